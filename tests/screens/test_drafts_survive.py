"""What is typed is there again after the program was killed in the middle of a word."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

import pytest

from siltline import config
from siltline.job import Job, open_job
from siltline.job.drafts import draft_of
from siltline.screens import keeping

pytest.importorskip("pty")

from screens.test_terminal import terminal


def _wait_for(path: Path, words: str, seconds: float = 20) -> None:
    end = time.monotonic() + seconds
    while not path.exists() or words not in path.read_text(encoding="utf-8"):
        assert time.monotonic() < end, f"{words!r} was not kept"
        time.sleep(0.02)


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL")
def test_a_draft_survives_a_kill_and_is_offered_again(job: Job) -> None:
    job.close()
    draft = draft_of(job, "leave-out gear-on/house").path
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        term.send("x")
        term.wait_for("Reason")
        term.send("Ada Lovelorn\rthe utility comes on")
        _wait_for(draft, "the utility comes on")
        term.process.kill()
        term.process.wait()
    kept = json.loads(draft.read_text(encoding="utf-8"))
    assert kept["by"] == "Ada Lovelorn"
    assert [p.name for p in draft.parent.iterdir()] == [draft.name]
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        term.send("x")
        term.wait_for("stands in the fields again")
        term.wait_for("the utility comes on")
        term.send(" Monday\x13")  # Ctrl+S from the first field is done at once
        term.wait_for("Left out")
        term.send("q")
        assert term.end() == 0
    again = open_job(job.record.path)
    word = again.step("gear-on/house").word
    again.close()
    assert word
    assert word.because == "the utility comes on Monday"
    assert not draft.exists()
    assert (config.settings_folder() / "drafts").is_dir()


def test_a_draft_is_written_at_most_twice_a_second(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Timer:
        def stop(self) -> None: ...

    class Form:
        timers: list[float] = []  # noqa: RUF012

        def set_timer(self, delay: float, _: object) -> Timer:
            self.timers.append(delay)
            return Timer()

    now = [100.0]
    monkeypatch.setattr(keeping, "monotonic", lambda: now[0])
    typed = {"note": ""}
    draft = draft_of(job, "x")
    form = Form()
    keeper = keeping.Keeper(form, draft, lambda: typed)  # type: ignore[arg-type]
    keeper.start(typed)
    written = []
    for number in range(100):  # ten keys a second for ten seconds
        typed = {"note": "x" * (number + 1)}
        keeper.changed()
        if keeper.waiting is not None and now[0] >= keeper.written + keeping.EVERY_S:
            keeper.write()
        if draft.kept() and (not written or draft.kept() != written[-1]):
            written.append(draft.kept())
        now[0] += 0.1
    assert 2 <= len(written) <= 21
    keeper.write()
    assert draft.kept() == typed
