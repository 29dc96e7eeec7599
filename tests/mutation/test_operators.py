"""The faults themselves: which ones are put into a piece of code, and that each is one."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from mutation.campaign import PACKAGE, all_mutants, modules
from mutation.explained import explained
from mutation.operators import mutants_of


def faults(tmp_path: Path, code: str) -> dict[str, list[str]]:
    """Return the kind of fault -> the code with it, a line each, of all mutants of some code."""
    path = tmp_path / "a.py"
    path.write_text(code, encoding="utf-8")
    found: dict[str, list[str]] = {}
    for number, mutant in enumerate(mutants_of(path, tmp_path)):
        fresh = mutants_of(path, tmp_path)[number]  # all of one list share one tree
        text = " ".join(ast.unparse(fresh.put_in()).split())
        found.setdefault(mutant.operator, []).append(text)
    return found


@pytest.mark.parametrize(
    ("code", "kind", "with_fault"),
    [
        ("a < b", "comparison", ["a <= b", "a >= b"]),
        ("a is None", "comparison", ["a is not None"]),
        ("a in b", "comparison", ["a not in b"]),
        ("a <= b < c", "comparison", ["a < b < c", "a > b < c", "a <= b <= c", "a <= b >= c"]),
        ("a and b", "boolean", ["a or b"]),
        ("a and b and c", "condition dropped", ["b and c", "a and c", "a and b"]),
        ("not a", "negation", ["a"]),
        ("a if b else c", "negation", ["a if not b else c"]),
        ("[a for a in b if c]", "condition dropped", ["[a for a in b if True]"]),
        ("a + b", "arithmetic", ["a - b"]),
        ("-a", "arithmetic", ["a"]),
        ("a[1]", "constant", ["a[2]"]),
        ("a(True)", "constant", ["a(False)"]),
        ("a('b')", "constant", ["a('XbX')"]),
        ("max(a)", "swapped", ["min(a)"]),
        ("a.b()", "statement removed", ["pass"]),
        ("a[b] = c", "statement removed", ["pass"]),
        ("a += b", "arithmetic", ["a -= b"]),
        ("raise a", "statement removed", ["pass"]),
    ],
)
def test_a_kind_of_fault(tmp_path: Path, code: str, kind: str, with_fault: list[str]) -> None:
    assert faults(tmp_path, code)[kind] == with_fault


def test_a_function_gives_nothing_back_or_goes_on(tmp_path: Path) -> None:
    found = faults(tmp_path, "def f(a):\n    if a:\n        return a\n    return None\n")
    assert found["return value"] == ["def f(a): if a: return None return None"]
    assert found["branch"] == ["def f(a): if a: pass return None"]


def test_loops_end_or_go_on(tmp_path: Path) -> None:
    found = faults(tmp_path, "for a in b:\n    continue\n")
    assert found["swapped"] == ["for a in b: break"]


@pytest.mark.parametrize(
    "code",
    [
        '"""What it is for."""',
        "say('key.of.a.sentence')",
        "a: Literal['b', 'c'] = d",
        "from a import b",
        "__all__ = ['a']",
    ],
)
def test_what_is_no_behaviour_gets_no_fault_but_its_removal(tmp_path: Path, code: str) -> None:
    assert faults(tmp_path, code).keys() <= {"statement removed"}


def test_every_fault_of_the_product_is_named_once_and_is_code() -> None:
    found = all_mutants()
    assert len(found) > 4000
    assert len({mutant.key for mutant in found}) == len(found)
    assert {mutant.file for mutant in found} <= {
        path.relative_to(PACKAGE).as_posix() for path in modules()
    }


def test_what_is_explained_is_a_fault_that_there_is() -> None:
    """The code may have changed since: then look again whether a test notices it now."""
    assert explained().keys() <= {mutant.key for mutant in all_mutants()}
    assert all(len(why) > 20 for why in explained().values())
