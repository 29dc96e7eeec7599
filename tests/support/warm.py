"""A Python that has siltline imported and forks a child for each request: thousands a minute.

Run as a script it reads requests, a JSON line each, and answers each with a JSON line. `Warm` is
its other end. POSIX only.
"""

from __future__ import annotations

import contextlib
import ctypes
import json
import os
import random
import select
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from support import cuts
from support.scripted import heavy

if TYPE_CHECKING:
    from siltline.job import Job

MOST = 30  # photos that a child takes in before it is killed at the latest
PATIENCE_S = 30.0


@dataclass(frozen=True)
class Told:
    """What a command under the shim came to; `calls` are those of the armed kinds."""

    code: int
    out: str
    err: str
    calls: int


@dataclass(frozen=True)
class Arm:
    """Let the n-th call of the `first` kinds fail, and afterwards all of the `later` kinds."""

    at: int
    errno: int
    first: int
    later: int = 0


class Warm:
    """The parent of all children; use it as a context."""

    def __init__(self, home: Path, shim: Path | None = None) -> None:
        """Take the settings folder of the children and, where calls are watched, the shim."""
        self._process = subprocess.Popen(
            [sys.executable, "-W", "ignore", __file__],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=cuts.environment(shim, SILTLINE_HOME=home),
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.stdout.close()
        self._process.wait()

    def _ask(self, **request: Any) -> dict[str, Any]:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps(request).encode() + b"\n")
        self._process.stdin.flush()
        found: dict[str, Any] = json.loads(self._process.stdout.readline())
        return found

    def command(
        self,
        *args: object,
        watch: Path | None = None,
        arm: Arm | None = None,
        log: Path | None = None,
    ) -> Told:
        """Run a command, watching a folder, with a fault armed or a log kept."""
        armed = [arm.at, arm.errno, arm.first, arm.later] if arm else None
        told = self._ask(
            do="command",
            args=[str(arg) for arg in args],
            watch=str(watch or ""),
            arm=armed,
            log=str(log or ""),
        )
        return Told(**told)

    def stay(self, job: Path, act: str, arm: Arm, *, watch: Path, photo: Path) -> list[str]:
        """Let a program that stays open, as the screen does, act under a fault and again without.

        Returns:
            What the act said under the fault ("" where it was done), what it said afterwards, and
            how the second copy stood after each ("" where it is up to date or there is none).
        """
        armed = [arm.at, arm.errno, arm.first, arm.later]
        request = {"job": str(job), "act": act, "arm": armed, "watch": str(watch)}
        told: list[str] = self._ask(do="stay", photo=str(photo), **request)["told"]
        return told

    def live(self, job: Path, number: int, *, acts: int, wait: float) -> list[str]:
        """Let a child work on a job until it is killed; return the acts that it told of.

        Args:
            job: the file.
            number: of this child; its photos and its mix of acts follow from it.
            acts: how many acknowledged acts to wait for.
            wait: seconds, from the last of them or, for none, from the start.
        """
        told = self._ask(do="live", job=str(job), number=number, acts=acts, wait=wait)
        assert told["status"] == signal.SIGKILL, told
        found: list[str] = told["told"]
        return found


def _child(work: Callable[[], int]) -> int:
    """Fork; the child does the work and leaves with its answer. Return its pid."""
    pid = os.fork()
    if pid:
        return pid
    code = 70
    with contextlib.suppress(SystemExit):
        try:
            code = work()
        except BaseException:  # noqa: BLE001 - the parent reads what is told
            import traceback  # noqa: PLC0415

            traceback.print_exc()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)


def _command(request: Mapping[str, Any]) -> dict[str, Any]:
    from siltline.cli.exits import run  # noqa: PLC0415
    from siltline.cli.root import root  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        out, err, calls = (Path(scratch) / name for name in ("out", "err", "calls"))

        def work() -> int:
            for number, path in ((1, out), (2, err)):
                os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT), number)
            if request["watch"]:
                shim = ctypes.CDLL(None)
                shim.cuts_watch(request["watch"].encode())
                if request["log"]:
                    shim.cuts_log(request["log"].encode())
                at, *rest = request["arm"] or [0, 0, 0, 0]
                shim.cuts_arm(ctypes.c_long(at), *rest)
            code = run(root, request["args"])
            if request["watch"]:
                calls.write_text(str(ctypes.CDLL(None).cuts_calls()), encoding="utf-8")
            return code

        _, status = os.waitpid(_child(work), 0)
        read = [path.read_text(encoding="utf-8") if path.exists() else "" for path in (out, err)]
        seen = int(calls.read_text(encoding="utf-8")) if calls.exists() else 0
    return {
        "code": os.waitstatus_to_exitcode(status),
        "out": read[0],
        "err": read[1],
        "calls": seen,
    }


def _done(act: str, job: Job, photo: Path) -> str:
    """Do an act; return "" or the sentence that says why not."""
    from siltline.errors import Refusal  # noqa: PLC0415
    from siltline.job import acts  # noqa: PLC0415
    from siltline.job.add import add  # noqa: PLC0415
    from siltline.job.close_out import hand_off  # noqa: PLC0415
    from siltline.job.withholding import withhold  # noqa: PLC0415

    table: dict[str, Callable[[], object]] = {
        "add": lambda: add(job, [photo]),
        "attach": lambda: acts.attach(job, "walk/house", "one.JPG"),
        "tick": lambda: acts.tick(job, "walk/house", by="Ada"),
        "undo": lambda: acts.undo(job),
        "handoff": lambda: hand_off(job, giver="Ada", taker="Ben"),
        "withhold": lambda: withhold(job, "one.JPG", because="a face", by="Ada"),
    }
    try:
        table[act]()
    except Refusal as fault:
        return str(fault)
    return ""


def _stay(request: Mapping[str, Any]) -> dict[str, Any]:
    from siltline.job import open_job  # noqa: PLC0415

    hear, tell = os.pipe()

    def work() -> int:
        job, told, shim = open_job(Path(request["job"])), [], ctypes.CDLL(None)
        job.bring_copy()
        shim.cuts_watch(request["watch"].encode())
        at, *rest = request["arm"]
        for armed in (at, 0):
            shim.cuts_arm(ctypes.c_long(armed), *rest)
            told.append(_done(request["act"], job, Path(request["photo"])))
            told.append(job.copy_state.because if job.copy_state else "")
        job.close()
        os.write(tell, json.dumps(told).encode())
        return 0

    pid = _child(work)
    os.close(tell)
    _, status = os.waitpid(pid, 0)
    told = os.read(hear, 60_000)
    os.close(hear)
    return {"told": json.loads(told) if told else [f"died: {status}"]}


def _photos(folder: Path, number: int, rng: random.Random) -> list[Path]:
    paths = [folder / f"{n}.JPG" for n in range(number * MOST, (number + 1) * MOST)]
    for n, path in enumerate(paths, number * MOST):
        path.write_bytes(heavy(n, rng.choice((10, 10, 10, 40_000))))
    return paths


def _at_work(request: Mapping[str, Any], photos: Path, tell: int) -> int:
    """Add photos and give and take words; tell each event when its act has returned."""
    from siltline.job import open_job  # noqa: PLC0415
    from siltline.job.acts import attach, tick, untick  # noqa: PLC0415
    from siltline.job.add import add_each  # noqa: PLC0415

    number, job = request["number"], open_job(Path(request["job"]))

    def told() -> None:
        os.write(tell, job.record.events[-1].id.encode() + b"\n")

    for outcome in add_each(job, _photos(photos, number, random.Random(number))):
        told()
        attach(job, "walk/house", outcome.sha256)
        told()
        if job.step("power-off/house").word is None:
            tick(job, "power-off/house", by="Ada")
        else:
            untick(job, "power-off/house")
        told()
    time.sleep(PATIENCE_S)  # to be killed
    return 0


def _live(request: Mapping[str, Any]) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as scratch:
        hear, tell = os.pipe()
        pid = _child(lambda: _at_work(request, Path(scratch), tell))
        os.close(tell)
        return _killed(pid, hear, request)


def _killed(pid: int, hear: int, request: Mapping[str, Any]) -> dict[str, Any]:
    """Kill a child at its moment; return what it had told."""
    heard, patience = b"", PATIENCE_S
    while heard.count(b"\n") < request["acts"] and patience > 0:
        before = time.monotonic()
        if select.select([hear], [], [], patience)[0]:
            piece = os.read(hear, 4096)
            if not piece:
                break
            heard += piece
        patience -= time.monotonic() - before
    time.sleep(request["wait"])
    os.kill(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    while piece := os.read(hear, 4096):
        heard += piece
    os.close(hear)
    return {"told": heard.decode().split(), "status": status}


def _serve() -> None:
    import sqlite_utils  # noqa: F401, PLC0415

    import siltline.cli.acts  # noqa: PLC0415
    import siltline.cli.closing  # noqa: PLC0415
    import siltline.cli.jobs  # noqa: PLC0415
    import siltline.cli.photos  # noqa: PLC0415
    import siltline.cli.record  # noqa: PLC0415
    import siltline.job.begin  # noqa: PLC0415
    import siltline.job.merge  # noqa: PLC0415
    import siltline.rules.files  # noqa: F401, PLC0415

    os.environ.pop("LD_PRELOAD", None)  # not for the worker that reads photos
    answers = {"command": _command, "live": _live, "stay": _stay}
    for line in sys.stdin:
        request = json.loads(line)
        sys.stdout.write(json.dumps(answers[request["do"]](request)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    _serve()
