"""A campaign: a sample of the mutants, each held against the tests that run its line."""

from __future__ import annotations

import ast
import gc
import hashlib
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fnmatch import fnmatch
from pathlib import Path

import pytest

from mutation import running
from mutation.covering import Coverage, Lines, Tracer, coverage
from mutation.explained import explained
from mutation.operators import Mutant, mutants_of

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "tui" / "siltline"
MUTATED = ("rules", "judge")
# The tests beside the code, and the use cases that lay, judge and ask; none that starts a process.
TESTS = (
    "tests/rules", "tests/judge", "tests/job/test_acts.py", "tests/job/test_asking.py",
    "tests/job/test_laying.py", "tests/job/test_section.py", "tests/cli/test_rules_commands.py",
)  # fmt: skip
QUICK = 0.3  # seconds: all tests as quick as this are run before any that is slower
LONGEST = 15.0  # seconds of tests a mutant, where there are slower ones
CASES = 3  # of each test, before the rest of them


@dataclass
class Asked:
    """What a campaign is to do: how many mutants, drawn by which seed, of which files."""

    sample: int = 400
    seed: str = "1"
    only: str = "*"
    keys: Sequence[str] = ()
    tell: Callable[[str], None] = print


@dataclass
class Score:
    """What became of the mutants."""

    asked: Asked
    ended: dict[str, str] = field(default_factory=dict)  # key -> what became of it
    mutants: dict[str, Mutant] = field(default_factory=dict)
    seconds: float = 0.0

    def count(self, *ends: str) -> int:
        return sum(end in ends for end in self.ended.values())

    @property
    def survivors(self) -> list[str]:
        """Return the mutants that no test noticed and nobody explained."""
        known = explained()
        alive = ("survived", "no test")
        return [key for key, end in self.ended.items() if end in alive and key not in known]

    @property
    def percent(self) -> float:
        """Return how many were noticed of those that can be, in percent."""
        killed = self.count("killed", "timeout")
        return 100 * killed / max(1, killed + len(self.survivors))

    def lines(self) -> list[str]:
        """Return the score in words."""
        killed, alive = self.count("killed", "timeout"), self.count("survived", "no test")
        every = max(1, len(self.ended))
        told = (
            f"mutants {len(self.ended)} (seed {self.asked.seed}): killed {killed} "
            f"({100 * killed / every:.1f} %), of these {self.count('timeout')} by the clock; "
            f"survived {alive}, of these {self.count('no test')} run by no test, "
            f"explained {alive - len(self.survivors)}; score {self.percent:.1f} %; "
            f"{self.seconds:.0f} s"
        )
        kinds: Counter[str] = Counter(m.operator for m in self.mutants.values())
        gone: Counter[str] = Counter(self.mutants[key].operator for key in self.survivors)
        return [
            told,
            *(f"  {kind:<18} {n:5d}  survived {gone[kind]:4d}" for kind, n in kinds.most_common()),
        ]


def modules() -> list[Path]:
    """Return the modules that mutants are made of."""
    return sorted(path for folder in MUTATED for path in (PACKAGE / folder).rglob("*.py"))


def all_mutants() -> list[Mutant]:
    """Return every mutant there is."""
    return [mutant for path in modules() for mutant in mutants_of(path, PACKAGE)]


def _chosen(asked: Asked) -> list[Mutant]:
    """Draw a sample: the first of one seed are the same however many are asked for."""
    found = [m for m in all_mutants() if fnmatch(m.file, asked.only)]
    if asked.keys:
        return [m for m in found if m.key in asked.keys]
    order = {m.key: hashlib.sha256(f"{asked.seed} {m.key}".encode()).digest() for m in found}
    found.sort(key=lambda mutant: order[mutant.key])
    return found[: asked.sample] if asked.sample else found


def _imports(path: Path) -> set[str]:
    """Return the modules of the package that a module imports, as files below the package."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("siltline."):
            base = (node.module or "").removeprefix("siltline.").replace(".", "/")
            found |= {f"{base}.py", f"{base}/__init__.py"}
            found |= {f"{base}/{name.name}.py" for name in node.names}
    return found


class Campaign:
    """A pytest plugin that takes the place of the run: it holds mutants against the tests."""

    def __init__(self, asked: Asked) -> None:
        self.asked = asked
        self.score = Score(asked)
        files = [path.relative_to(PACKAGE).as_posix() for path in modules()]
        self.tracer = Tracer(PACKAGE, files)
        self.importers = {
            path.relative_to(PACKAGE).as_posix(): _imports(path) for path in modules()
        }
        sys.settrace(self.tracer)

    def pytest_configure(self) -> None:
        """Draw the same examples always, and keep none that a mutant failed on."""
        from hypothesis import Phase, settings  # noqa: PLC0415 - pytest wants to import it first

        phases = (Phase.explicit, Phase.generate)
        settings.register_profile(
            "mutation", database=None, derandomize=True, deadline=None, phases=phases
        )
        settings.load_profile("mutation")

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        sys.settrace(None)
        at_import = self.tracer.take()
        began = time.monotonic()
        covered = coverage(session.items, self.tracer, self._kept(session))
        self.asked.tell(
            f"{len(covered.seconds)} tests, {sum(covered.seconds.values()):.0f} s, "
            f"{len(covered.left_out)} left out; covering took {time.monotonic() - began:.0f} s"
        )
        for test in covered.left_out:
            self.asked.tell(f"  left out (slow, or fails without a mutant): {test}")
        hold = _Hold(self, session, covered, at_import)
        hold.control()
        hold.all()
        self.score.seconds = time.monotonic() - began
        return True

    def _kept(self, session: pytest.Session) -> Path:
        """Return where the coverage of just these sources and tests is kept."""
        digest = hashlib.sha256()
        for folder in ("tui", "tests", "checklists"):
            for path in sorted((ROOT / folder).rglob("*")):
                mine = path.is_relative_to(Path(__file__).parent) and path.name != "covering.py"
                if path.is_file() and "__pycache__" not in path.parts and not mine:
                    digest.update(path.read_bytes())
        assert session.config.cache is not None
        folder = Path(session.config.cache.mkdir("mutation"))
        return folder / f"{digest.hexdigest()[:16]}.json"


class _Hold:
    """Holds mutants against tests."""

    def __init__(
        self, campaign: Campaign, session: pytest.Session, covered: Coverage, at_import: Lines
    ) -> None:
        self.campaign = campaign
        self.session = session
        self.covered = covered
        self.at_import = at_import
        self.items = {item.nodeid: item for item in session.items}
        self.by_line = covered.by_line()
        self.by_file = covered.by_file()
        self.functions = running.live_functions(PACKAGE)
        tests = {test.partition("::")[0] for test in covered.seconds}
        self.naming = {test: _imports(ROOT / test) for test in tests}

    def control(self) -> None:
        """Make sure that what is no fault is never noticed, in either way of putting one in."""
        gc.collect()
        gc.freeze()
        for mutant in (m for m in all_mutants() if m.file == "judge/proofs.py"):
            sound = replace(mutant, _new=mutant.old)
            ended = self.end(sound, 1.0)
            assert ended == "survived", f"no fault, and yet {ended}"
            ended = self.end(replace(sound, function=""), 1.0)
            assert ended == "survived", f"no fault, and yet {ended} when imported"
            break

    def all(self) -> None:
        score, tell = self.campaign.score, self.campaign.asked.tell
        chosen = _chosen(self.campaign.asked)
        for number, mutant in enumerate(chosen, 1):
            score.ended[mutant.key] = end = self.end(mutant)
            score.mutants[mutant.key] = mutant
            if mutant.key in score.survivors:
                tell(f"{end}: {mutant.key}   [line {mutant.line}, {mutant.operator}]")
            if number % 50 == 0:
                tell(f"... {number} of {len(chosen)}, score so far {score.percent:.1f} %")

    def end(self, mutant: Mutant, longest: float = LONGEST) -> str:
        lines = self.at_import.get(mutant.file, set())
        first, last = mutant.body
        decides = not mutant.function or mutant.line in lines
        # a function that was called at import left others behind, with the code they had then
        import_time = decides or any(first <= line <= last for line in lines)
        tests = self.tests(mutant, decides, longest)
        if not tests:
            return "no test"
        code = running.compiled(mutant, PACKAGE)
        seconds = 15 + 3 * sum(self.covered.seconds[test] for test in tests)
        functions = self.functions.get((mutant.file, mutant.function), ())

        def work() -> int:
            items = [self.items[test] for test in tests]
            ended = None
            if not import_time:
                ended = running.in_place(self.session, mutant, code, functions, items)
            return running.anew(mutant, code, tests) if ended is None else ended

        return running.forked(work, seconds + (30 if import_time else 0))

    def tests(self, mutant: Mutant, decides: bool, longest: float) -> list[str]:
        """Return the tests that can notice a mutant: all quick ones, slow ones as time allows."""
        if decides:  # at import, for whatever comes later
            can = self._of_module(mutant.file)
        else:
            can = set(self.by_line.get((mutant.file, mutant.line), ()))
        cases: Counter[str] = Counter()
        place: dict[str, tuple[int, float, str]] = {}
        for took, test in sorted((self.covered.seconds[test], test) for test in can):
            function = test.partition("[")[0]
            cases[function] += 1  # some cases of every test go before all cases of any
            place[test] = (2 if took > QUICK else int(cases[function] > CASES), took, test)
        found: list[str] = []
        for test in sorted(can, key=place.__getitem__):
            longest -= self.covered.seconds[test]
            if longest < 0 and place[test][0] > 1:
                break
            found.append(test)
        return found

    def _of_module(self, file: str) -> set[str]:
        """Return the tests that run a line of a module, or of one that imports it, or name it."""
        importers = self.campaign.importers
        files = {file} | {other for other, own in importers.items() if file in own}
        naming = {test for test, own in self.naming.items() if file in own}
        found: set[str] = set().union(*(self.by_file.get(one, set()) for one in files))
        return found | {t for t in self.covered.seconds if t.partition("::")[0] in naming}


def run(asked: Asked) -> Score:
    """Run a campaign in this process, which must not have imported the package yet."""
    campaign = Campaign(asked)
    quiet = ["-q", "-s", "-p", "no:xdist", "-m", "not full and not real", "--no-header"]
    pytest.main([*quiet, *TESTS], plugins=[campaign])
    return campaign.score


__all__ = ["Asked", "Campaign", "Score", "all_mutants", "run"]
