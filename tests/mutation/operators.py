"""The mutants of a module: every place where one small fault can be put in, and the fault."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass
from pathlib import Path

# what is compared -> the boundary moved, and the contrary
_COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_COMPUTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
}
_SWAPPED = {"min": "max", "max": "min", "any": "all", "all": "any"}
_OPPOSITE: dict[type[ast.stmt], type[ast.stmt]] = {ast.Continue: ast.Break, ast.Break: ast.Continue}
_DECIDES = (ast.Compare, ast.BoolOp)  # their own mutants turn them already


@dataclass(frozen=True, slots=True, eq=False)
class Mutant:
    """One fault.

    Attributes:
        file: of the module, below the package.
        line: where.
        function: qualified name of the outermost function that holds it; "" in a module or class.
        body: the first and the last line inside that function.
        operator: the kind of fault.
        key: names it for as long as the code it changes stays as it is.
    """

    file: str
    line: int
    function: str
    body: tuple[int, int]
    operator: str
    key: str
    _holder: ast.AST
    _field: str
    _index: int | None
    _new: ast.AST
    _tree: ast.Module

    @property
    def old(self) -> ast.AST:
        """Return the code without the fault."""
        there = getattr(self._holder, self._field)
        found: ast.AST = there if self._index is None else there[self._index]
        return found

    def put_in(self) -> ast.Module:
        """Return the module with the fault in it; the tree is changed for good."""
        _set(self._holder, self._field, self._index, self._new)
        return ast.fix_missing_locations(self._tree)


def _set(holder: ast.AST, field: str, index: int | None, new: object) -> None:
    if index is None:
        setattr(holder, field, new)
    else:
        getattr(holder, field)[index] = new


def _with(node: ast.AST, **fields: object) -> ast.AST:
    """Return a node with some fields changed."""
    found = copy(node)
    for name, value in fields.items():
        setattr(found, name, value)
    return found


def _negated(node: ast.expr) -> ast.expr:
    return ast.UnaryOp(ast.Not(), node)


def _constants(node: ast.Constant) -> Iterator[ast.AST]:
    match node.value:
        case bool():
            yield ast.Constant(not node.value)
        case int() | float():
            yield ast.Constant(node.value + 1)
        case str():
            yield ast.Constant(f"X{node.value}X")


def _compared(node: ast.Compare) -> Iterator[ast.AST]:
    for place, op in enumerate(node.ops):
        for other in _COMPARED[type(op)]:
            yield _with(node, ops=[*node.ops[:place], other(), *node.ops[place + 1 :]])


def _expressions(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """Yield what an expression can be taken for, with the kind of fault."""
    match node:
        case ast.Compare():
            yield from (("comparison", new) for new in _compared(node))
        case ast.BoolOp(op, values):
            yield "boolean", _with(node, op=ast.Or() if isinstance(op, ast.And) else ast.And())
            for place in range(len(values)):
                rest = [*values[:place], *values[place + 1 :]]
                yield "condition dropped", _with(node, values=rest) if len(rest) > 1 else rest[0]
        case ast.UnaryOp(ast.Not(), operand):
            yield "negation", operand
        case ast.UnaryOp(ast.USub(), operand):
            yield "arithmetic", operand
        case ast.BinOp(_, op, _) if type(op) in _COMPUTED:
            yield "arithmetic", _with(node, op=_COMPUTED[type(op)]())
        case ast.Constant():
            yield from (("constant", new) for new in _constants(node))
        case ast.Name(id=name) if name in _SWAPPED:
            yield "swapped", ast.Name(_SWAPPED[name], ast.Load())


def _conditions(node: ast.AST) -> Iterator[tuple[str, int | None, str, ast.AST]]:
    """Yield the conditions that a node branches on, turned or dropped."""
    match node:
        case ast.If(test) | ast.While(test) | ast.IfExp(test):
            if not isinstance(test, _DECIDES) and not isinstance(test, ast.UnaryOp):
                yield "test", None, "negation", _negated(test)
        case ast.comprehension(ifs=ifs):
            for place, test in enumerate(ifs):
                yield "ifs", place, "condition dropped", ast.Constant(True)
                if not isinstance(test, _DECIDES) and not isinstance(test, ast.UnaryOp):
                    yield "ifs", place, "negation", _negated(test)


def _statements(node: ast.stmt) -> Iterator[tuple[str, ast.stmt]]:
    """Yield what a statement can be taken for."""
    match node:
        case ast.Expr(ast.Constant()):
            return
        case ast.Expr() | ast.Raise() | ast.Delete():
            yield "statement removed", ast.Pass()
        case ast.AugAssign(op=op):
            yield "statement removed", ast.Pass()
            if type(op) in _COMPUTED:
                yield "arithmetic", _with(node, op=_COMPUTED[type(op)]())
        case ast.Assign(targets=[ast.Attribute() | ast.Subscript(), *_]):
            yield "statement removed", ast.Pass()
        case ast.Continue() | ast.Break():
            yield "statement removed", ast.Pass()
            yield "swapped", _OPPOSITE[type(node)]()
        case ast.Return(value) if value is not None:
            if not (isinstance(value, ast.Constant) and value.value is None):
                yield "return value", ast.Return(ast.Constant(None))


class _Walk:
    """Walks a module and knows in which function it is."""

    def __init__(self, tree: ast.Module, file: str) -> None:
        self.tree = tree
        self.file = file
        self.keys: Counter[str] = Counter()
        self.bodies: dict[str, tuple[int, int]] = {"": (0, 0)}

    def below(self, node: ast.AST, name: str, function: str) -> Iterator[Mutant]:
        for field, value in ast.iter_fields(node):
            for index, child in _children(value):
                if not _is_left_alone(node, field, child):
                    yield from self.at(node, field, index, child, name, function)

    def at(
        self, holder: ast.AST, field: str, index: int | None, node: ast.AST, name: str, inside: str
    ) -> Iterator[Mutant]:
        if isinstance(node, ast.stmt):
            for operator, statement in _statements(node):
                yield self.mutant(operator, holder, field, index, node, statement, name, inside)
            if isinstance(holder, ast.If) and isinstance(node, ast.Return) and field == "body":
                gone = ast.Pass()
                yield self.mutant("branch", holder, field, index, node, gone, name, inside)
        for operator, new in _expressions(node):
            yield self.mutant(operator, holder, field, index, node, new, name, inside)
        for where, place, operator, test in _conditions(node):
            old = getattr(node, where) if place is None else getattr(node, where)[place]
            yield self.mutant(operator, node, where, place, old, test, name, inside)
        function = inside
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            name = f"{name}.{node.name}" if name else node.name
            if isinstance(node, ast.FunctionDef):
                function = inside or name
                last = node.end_lineno or node.lineno
                self.bodies.setdefault(function, (node.body[0].lineno, last))
        yield from self.below(node, name, function)

    def mutant(
        self,
        operator: str,
        holder: ast.AST,
        field: str,
        index: int | None,
        old: ast.AST,
        new: ast.AST,
        name: str,
        function: str,
    ) -> Mutant:
        ast.copy_location(new, old)
        outer = holder if isinstance(holder, ast.expr | ast.keyword) else old
        before = _short(outer)
        _set(holder, field, index, new)
        after = _short(new if outer is old else outer)
        _set(holder, field, index, old)
        key = f"{self.file} {name or 'module'}: {before} -> {after}"
        self.keys[key] += 1
        if self.keys[key] > 1:
            key += f" #{self.keys[key]}"
        line, body = getattr(old, "lineno", 0), self.bodies[function]
        return Mutant(
            self.file, line, function, body, operator, key, holder, field, index, new, self.tree
        )


def _children(value: object) -> Iterator[tuple[int | None, ast.AST]]:
    if isinstance(value, ast.AST):
        yield None, value
    elif isinstance(value, list):
        yield from ((n, one) for n, one in enumerate(value) if isinstance(one, ast.AST))


def _is_left_alone(holder: ast.AST, field: str, child: ast.AST) -> bool:
    """Tell what is no behaviour: annotations, words to choose from, docstrings, keys of sentences.

    A sentence under a wrong key only shows that its line was run, and words to choose from
    (`Literal`) are data of the sheet.
    """
    if field in ("annotation", "returns", "decorator_list", "type_comment", "bases"):
        return True
    match holder:
        case ast.Call(func=ast.Name("say")):
            return field == "args" and isinstance(child, ast.Constant)
        case ast.Subscript(value=ast.Name("Literal" | "Annotated")):
            return True
        case ast.Expr() | ast.JoinedStr() | ast.MatchValue() | ast.ImportFrom():
            return isinstance(child, ast.Constant)
        case ast.Assign(targets=[ast.Name("__all__" | "__slots__")]):
            return True
    return False


def _short(node: ast.AST) -> str:
    text = " ".join(ast.unparse(node).split())
    return text if len(text) <= 90 else f"{text[:60]} ... {text[-25:]}"


def mutants_of(path: Path, package: Path) -> list[Mutant]:
    """Return every mutant of a module, in the order of its code; all share one tree."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    file = path.relative_to(package).as_posix()
    return list(_Walk(tree, file).below(tree, "", ""))
