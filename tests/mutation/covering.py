"""Which lines each test runs, and which are run while the modules are imported."""

from __future__ import annotations

import json
import os
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

Lines = dict[str, set[int]]
SLOWEST = 4.0  # seconds; a slower test (hostile sheets of the largest size) is left out


class Tracer:
    """Collects the lines that are run in some files."""

    def __init__(self, package: Path, files: Iterable[str]) -> None:
        self.names = {str(package / file): file for file in files}
        self.lines: Lines = defaultdict(set)

    def __call__(self, frame: FrameType, *_: Any) -> Callable[..., Any] | None:
        """Begin with a frame, as `sys.settrace` wants it."""
        file = self.names.get(frame.f_code.co_filename)
        if file is None:
            return None
        add = self.lines[file].add
        add(frame.f_lineno)

        def inside(frame: FrameType, *_: Any) -> Any:
            add(frame.f_lineno)
            return inside

        return inside

    def take(self) -> Lines:
        """Return what was collected since the last time."""
        found, self.lines = self.lines, defaultdict(set)
        return found


@dataclass
class Coverage:
    """The tests that pass, how long each takes, and the lines that each runs."""

    seconds: dict[str, float] = field(default_factory=dict)
    lines: dict[str, dict[str, list[int]]] = field(default_factory=dict)
    left_out: list[str] = field(default_factory=list)

    def by_line(self) -> Mapping[tuple[str, int], list[str]]:
        """Return (file, line) -> the tests that run it."""
        found: dict[tuple[str, int], list[str]] = defaultdict(list)
        for test, files in self.lines.items():
            for file, lines in files.items():
                for line in lines:
                    found[file, line].append(test)
        return found

    def by_file(self) -> Mapping[str, set[str]]:
        """Return file -> the tests that run some line of it."""
        found: dict[str, set[str]] = defaultdict(set)
        for test, files in self.lines.items():
            for file in files:
                found[file].add(test)
        return found


def run_one(item: pytest.Item, following: pytest.Item | None = None) -> bool:
    """Run a test; tell whether it passed (or was skipped)."""
    failures = item.session.testsfailed
    item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
    return item.session.testsfailed == failures


def _spent() -> float:
    """Return the seconds of a processor that this process and those it waited for have used."""
    return sum(os.times()[:4])


def measure(items: Sequence[pytest.Item], tracer: Tracer, out: Path) -> None:
    """Run every test under the tracer and write what each runs; for a forked process."""
    found = Coverage()
    for item, following in zip(items, [*items[1:], None], strict=True):
        began = _spent()
        sys.settrace(tracer)
        passed = run_one(item, following)
        sys.settrace(None)
        took = _spent() - began
        lines = tracer.take()
        if not passed or took > SLOWEST:
            found.left_out.append(item.nodeid)
        else:
            found.seconds[item.nodeid] = took
            found.lines[item.nodeid] = {file: sorted(own) for file, own in lines.items()}
    out.write_text(json.dumps(vars(found)), encoding="utf-8")


def coverage(items: Sequence[pytest.Item], tracer: Tracer, out: Path) -> Coverage:
    """Return what the tests cover: measured in a forked process, or as it was kept."""
    if not out.exists():
        child = os.fork()
        if not child:
            status = 1
            try:
                measure(items, tracer, out)
                status = 0
            finally:
                os._exit(status)
        os.waitpid(child, 0)
    return Coverage(**json.loads(out.read_text(encoding="utf-8")))
