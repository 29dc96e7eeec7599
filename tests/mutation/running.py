"""One mutant, one forked process: the fault is put in, and tests run until one of them fails."""

from __future__ import annotations

import gc
import importlib.util
import os
import resource
import shutil
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import pytest

from mutation.covering import run_one
from mutation.operators import Mutant

SURVIVED, KILLED, BROKEN = 0, 1, 3
ENDS = {SURVIVED: "survived", KILLED: "killed", BROKEN: "broken"}
MEMORY = 4 << 30


def _codes(code: CodeType) -> Iterator[CodeType]:
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield inner
            yield from _codes(inner)


def compiled(mutant: Mutant, package: Path) -> CodeType:
    """Return the module with the fault in it."""
    return compile(mutant.put_in(), str(package / mutant.file), "exec", dont_inherit=True)


def live_functions(package: Path) -> dict[tuple[str, str], list[FunctionType]]:
    """Return (file, qualified name) -> the functions of that code, wherever they are held."""
    found: dict[tuple[str, str], list[FunctionType]] = {}
    root = f"{package}{os.sep}"
    for one in gc.get_objects():
        if isinstance(one, FunctionType) and one.__code__.co_filename.startswith(root):
            file = Path(one.__code__.co_filename).relative_to(package).as_posix()
            found.setdefault((file, one.__code__.co_qualname), []).append(one)
    return found


def swap_code(mutant: Mutant, module: CodeType, functions: Sequence[FunctionType]) -> bool:
    """Give the living functions the code with the fault; tell whether that could be done."""
    codes = {(c.co_qualname, c.co_firstlineno): c for c in _codes(module)}
    pairs = [(f, codes.get((f.__code__.co_qualname, f.__code__.co_firstlineno))) for f in functions]
    if not pairs or any(c is None or c.co_freevars != f.__code__.co_freevars for f, c in pairs):
        return False
    for function, code in pairs:
        assert code is not None
        function.__code__ = code
    return True


class _Faulty:
    """Finds one module with the fault in it, before anybody else does."""

    def __init__(self, name: str, code: CodeType) -> None:
        self.name = name
        self.code = code

    def find_spec(self, name: str, *_: Any) -> Any:
        if name != self.name:
            return None
        origin = self.code.co_filename
        is_package = origin.endswith("__init__.py")
        where = [str(Path(origin).parent)] if is_package else None
        return importlib.util.spec_from_file_location(
            name, origin, loader=self, submodule_search_locations=where
        )

    def create_module(self, _: Any) -> None:
        """Leave making the module to Python."""

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, vars(module))  # noqa: S102 - our own code with a fault in it


class _Only:
    """A plugin that runs some tests, in this order, until one fails."""

    def __init__(self, tests: Sequence[str]) -> None:
        self.place = {test: n for n, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = sorted(
            (item for item in items if item.nodeid in self.place),
            key=lambda item: self.place[item.nodeid],
        )


def anew(mutant: Mutant, code: CodeType, tests: Sequence[str]) -> int:
    """Import the package again with the fault in it, and the tests; for what import decides."""
    for name in list(sys.modules):
        if name.partition(".")[0] in ("siltline", "tests", "support", "conftest"):
            del sys.modules[name]
    name = "siltline." + mutant.file.removesuffix(".py").replace("/", ".")
    sys.meta_path.insert(0, _Faulty(name.removesuffix(".__init__"), code))
    files = sorted({test.partition("::")[0] for test in tests})
    twice = "ignore::pytest.PytestAssertRewriteWarning"  # plugins are here already
    ended = pytest.main(["-x", "-q", "-W", twice, *files], plugins=[_Only(tests)])
    ends = {pytest.ExitCode.OK: SURVIVED, pytest.ExitCode.NO_TESTS_COLLECTED: BROKEN}
    return ends.get(pytest.ExitCode(ended), KILLED)


def _run(items: Sequence[pytest.Item]) -> int:
    for item, following in zip(items, [*items[1:], None], strict=True):
        if not run_one(item, following):
            return KILLED
    return SURVIVED


def _limit(seconds: float) -> None:
    """A fault can make a loop endless or fill the memory: the system ends both."""
    resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds) + 1))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    signal.alarm(int(seconds) * 8)


def forked(work: Callable[[], int], seconds: float) -> str:
    """Do some work in a process of its own; return `survived`, `killed` or `timeout`."""
    folder = tempfile.mkdtemp(prefix="mutant-")
    sys.stdout.flush()
    child = os.fork()
    if not child:
        status = KILLED
        try:
            _limit(seconds)
            os.environ["PYTEST_DEBUG_TEMPROOT"] = folder
            null = os.open(os.devnull, os.O_RDWR)
            for stream in (1, 2):
                os.dup2(null, stream)
            status = BROKEN
            status = work()
        except MemoryError:
            status = KILLED
        finally:
            os._exit(status)
    _, ended = os.waitpid(child, 0)
    shutil.rmtree(folder, ignore_errors=True)
    if os.WIFSIGNALED(ended):
        return "timeout"
    return ENDS[os.WEXITSTATUS(ended)]


def own_folder(session: pytest.Session) -> None:
    """Let tests of a forked process make their folders in one of its own."""
    factory = session.config._tmp_path_factory  # type: ignore[attr-defined]
    factory._basetemp = Path(tempfile.mkdtemp(dir=os.environ["PYTEST_DEBUG_TEMPROOT"]))


def in_place(
    session: pytest.Session,
    mutant: Mutant,
    code: CodeType,
    functions: Sequence[FunctionType],
    items: Sequence[pytest.Item],
) -> int | None:
    """Run tests on the living functions with the fault in them; None where that cannot be."""
    if not swap_code(mutant, code, functions):
        return None
    own_folder(session)
    return _run(items)


__all__ = ["anew", "compiled", "forked", "in_place", "live_functions"]
