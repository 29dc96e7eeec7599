"""Reads photos through a worker process that is killed when it takes too long."""

from __future__ import annotations

import json
import math
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Any, BinaryIO, Self, TypeVar, cast

from siltline.photos.drawing import SIZE
from siltline.photos.whole import head
from siltline.photos.worker import CELLS, DRAW, LENGTH, READ, REQUEST, SKETCH, TAGS

PATIENCE_S = 5.0  # a large photo takes a thousandth of that
GLANCE_S = 0.1  # how often it is looked whether an answer takes too long
# What a pipe takes on every system before a write waits: 4 kB on Windows.
FITS_A_PIPE = 4000
DRAWING_PATIENCE_S = 20.0  # 200 million pixels as HEIC take 5 s on a slow laptop
_PARENT = str(Path(__file__).parents[2])
# The worker finds this package as its parent did, installed or not.
_START = (
    f"import sys; sys.path.insert(0, {_PARENT!r}); from siltline.photos.worker import main; main()"
)

# Drawing takes every core there is: keys go before it.
_GENTLY = "import os; hasattr(os, 'nice') and os.nice(10); "
_BELOW_NORMAL: int = getattr(subprocess, "BELOW_NORMAL_PRIORITY_CLASS", 0)  # Windows has no nice

STOPPED = "stopped"  # instead of a fault: the worker was killed, or died

Facts = dict[str, Any]
Answer = TypeVar("Answer")


class PhotoReader:
    """A worker that lives as long as there are photos to read; use it as a context.

    `begin` hands a photo over and `finish` fetches the answer, so that the caller can hash
    the bytes in the time between.
    """

    def __init__(self, patience_s: float = PATIENCE_S, *, gentle: bool = False) -> None:
        """Take how long an answer may take, and whether the worker lets other programs go first."""
        self.patience_s = patience_s
        self.gentle = gentle
        self._process: subprocess.Popen[bytes] | None = None
        self._feeder: threading.Thread | None = None
        self._request: tuple[bytes, bytes, int, int] = (READ, b"", 0, 0)
        self._gave_up = False
        self._until = math.inf  # when the answer that is waited for takes too long
        self._left = threading.Event()

    def __enter__(self) -> Self:
        """Start the worker early: it needs 0.1 s before its first answer."""
        self._started()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End the worker."""
        self._stop()

    def _started(self) -> subprocess.Popen[bytes]:
        if self._process is None or self._process.poll() is not None:
            self._stop()  # closes the pipes of one that died
            self._process = subprocess.Popen(
                [sys.executable, "-c", (_GENTLY if self.gentle else "") + _START],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                creationflags=_BELOW_NORMAL if self.gentle else 0,
            )
            self._left = threading.Event()
            told = (self._process, self._left)
            threading.Thread(target=self._watch, args=told, daemon=True).start()
        return self._process

    def _watch(self, process: subprocess.Popen[bytes], left: threading.Event) -> None:
        """Kill a worker that takes too long: one thread a worker, for a timer a photo is dear."""
        while not left.wait(GLANCE_S):
            if time.monotonic() > self._until:
                self._gave_up = True
                process.kill()
                return

    def _stop(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        self._left.set()
        process.kill()
        if self._feeder is not None:
            self._feeder.join()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                with suppress(OSError):
                    pipe.close()
        process.wait()

    def _feed(self, kind: bytes, data: bytes, width: int = 0, height: int = 0) -> None:
        """Hand bytes to the worker; in a thread where they fill the pipe and a write waits."""
        process = self._started()
        self._request = kind, data, width, height

        def feed() -> None:
            with suppress(OSError, ValueError):  # the worker died: whoever reads will see
                assert process.stdin is not None  # noqa: S101 - opened as a pipe
                process.stdin.write(REQUEST.pack(kind, width, height, len(data)))
                process.stdin.write(data)
                process.stdin.flush()

        if len(data) <= FITS_A_PIPE:
            feed()
            return
        self._feeder = threading.Thread(target=feed, daemon=True)
        self._feeder.start()

    @contextmanager
    def _patiently(self) -> Iterator[BinaryIO]:
        """Give the worker's answers; it is killed when they take too long."""
        # One that died since may have answered before: its answer stands in the pipe.
        process = self._process or self._started()
        self._gave_up = False
        self._until = time.monotonic() + self.patience_s
        try:
            assert process.stdout is not None  # noqa: S101 - opened as a pipe
            yield cast("BinaryIO", process.stdout)
        finally:
            self._until = math.inf

    def _heard(self, fetch: Callable[[BinaryIO], tuple[Answer, bool]]) -> Answer:
        """Return what the worker answers, as far as it came.

        One that died is replaced and asked once more: the system may have ended it for want of
        memory, and the photo is as good as any. One that took too long is not.

        Args:
            fetch: reads an answer; returns it, and whether it is whole.
        """
        for tries_left in (1, 0):
            with self._patiently() as answers:
                answer, whole = fetch(answers)
            if whole:
                break
            self._stop()
            if self._gave_up or not tries_left:
                break
            self._feed(*self._request)
        self._request = (READ, b"", 0, 0)  # lets go of the photo
        return answer

    def begin(self, data: bytes) -> None:
        """Hand a photo to the worker to be read; returns at once."""
        self._feed(READ, head(data))

    def finish(self) -> Facts:
        """Return what both readers found in the photo that was handed over.

        Returns:
            The facts of `headers.first_reader`, gaps filled from the second reader;
            `differs` names what the two disagree on, `faults` which reader failed and how.
            {} where it is no picture; `raw` alone where it is a raw file, `faults` alone where
            the reading had to be stopped.
        """

        def fetch(answers: BinaryIO) -> tuple[list[bytes], bool]:
            lines = [answers.readline(), answers.readline()]
            return lines, lines[1].endswith(b"\n")

        lines = self._heard(fetch)
        return _joined(*(_answer(line) for line in lines))

    def read(self, data: bytes) -> Facts:
        """Return what both readers found in a photo; see `finish`."""
        self.begin(data)
        return self.finish()

    def _asked(self) -> bytes:
        """Return the worker's answer to the bytes that it was handed; b"" where it has none."""

        def fetch(answers: BinaryIO) -> tuple[bytes, bool]:
            size = answers.read(LENGTH.size)
            wanted = LENGTH.unpack(size)[0] if len(size) == LENGTH.size else 0
            answer = answers.read(wanted)
            whole = len(size) == LENGTH.size and len(answer) == wanted
            return (answer if whole else b""), whole

        return self._heard(fetch)

    def draw(self, data: bytes, pixels: int) -> bytes:
        """Return a JPEG of a photo, upright, at most `pixels` long; b"" where none can be made."""
        self._feed(DRAW, data, pixels, pixels)
        return self._asked()

    def cells(self, data: bytes, width: int, height: int) -> tuple[int, int, bytes]:
        """Return a photo as pixels, upright, fitted into a width and a height.

        Returns:
            Width, height and three bytes a pixel, line by line; (0, 0, b"") where it cannot be
            drawn.
        """
        self._feed(CELLS, data, width, height)
        answer = self._asked()
        wide, high = SIZE.unpack_from(answer) if answer else (0, 0)
        return wide, high, answer[SIZE.size :]

    def begin_sketch(self, data: bytes) -> None:
        """Hand a photo to the worker to be drawn small and measured; returns at once."""
        self._feed(SKETCH, data)

    def finish_sketch(self) -> tuple[Facts, bytes]:
        """Return what `sketch.sketch` found in the photo that was handed over.

        Returns:
            What its pixels show and a small JPEG; ({}, b"") where it cannot be drawn.
        """
        looks, _, drawn = self._asked().partition(b"\n")
        return (json.loads(looks) if looks else {}), drawn

    def tags(self, data: bytes) -> list[tuple[str, str, str]]:
        """Return group, name and value of all that EXIF says; [] where it cannot be read."""
        self._feed(TAGS, data)
        answer = self._asked()
        return [(group, name, value) for group, name, value in json.loads(answer or b"[]")]


def _answer(line: bytes) -> Facts:
    if not line.endswith(b"\n"):
        return {"facts": {}, "fault": STOPPED}
    found: Facts = json.loads(line)
    return found


def _joined(first: Facts, second: Facts) -> Facts:
    """Return one set of facts: the first reader's, the second's where the first has none."""
    facts, others = dict(first["facts"]), second["facts"]
    if "format" not in facts:
        return {"faults": {"first": STOPPED}} if first["fault"] == STOPPED else facts
    facts["differs"] = {
        name: other
        for name, other in others.items()
        if other is not None and facts.get(name) is not None and not _alike(facts[name], other)
    }
    for name, other in others.items():
        if facts.get(name) is None:
            facts[name] = other
    told = {"first": first["fault"] or facts.pop("exif_fault", ""), "second": second["fault"]}
    facts["faults"] = {reader: fault for reader, fault in told.items() if fault}
    return facts


def _alike(one: object, other: object) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) < 1e-6  # noqa: PLR2004 - a tenth of a metre on the ground
    if isinstance(one, str) and isinstance(other, str):
        return one.strip() == other.strip()
    return one == other
