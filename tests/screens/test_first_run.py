"""In a real terminal: siltline alone opens the start, and no byte from outside gets through."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from siltline import times
from siltline.job import Job, open_job
from siltline.job.people import add_person, add_product
from siltline.job.recent import recent, remember
from support.house import HOUSE

pytest.importorskip("pty")

from screens.test_terminal import FORBIDDEN, HOSTILE, terminal


def test_siltline_alone_opens_the_start_and_the_job_that_is_picked(job: Job) -> None:
    job.close()
    remember(job.record.path, "Test house", times.now())
    with terminal() as term:
        term.wait_for("Jobs opened on this laptop")
        term.send("\r")
        term.wait_for("gear on")
        term.send("q")
        assert term.end() == 0
    assert recent()[0].path == job.record.path


def test_no_byte_from_outside_reaches_the_terminal_through_a_form(
    new_job: Callable[..., Job], tmp_path: Path
) -> None:
    escaped = HOSTILE.encode("unicode_escape").decode().replace('"', "'")
    job = new_job(HOUSE.replace("name: Kitchen", f'name: "{escaped}"'))
    add_person(job, HOSTILE, trade=HOSTILE, licence=HOSTILE)
    add_product(job, HOSTILE, registration="1-1")
    job.close()
    remember(tmp_path / f"{HOSTILE.replace('/', '')}.siltline", HOSTILE, times.now())
    remember(job.record.path, HOSTILE, times.now())
    with terminal("open") as term:
        term.wait_for("Jobs opened")
        term.send("\r")
        term.wait_for("gear on")
        for keys in ("i", "\x1b[B", "\x1b", "k", "\x1b[B", "\x1b", "t", "\x13", "\x1b", "x",
                     "\x1b[B", "\x1b", "j", "\x1b[B" * 3, "\r", "\x13", "\x1b", "t", "\x1b",
                     "\x1b", "q"):  # fmt: skip
            term.send(keys)
            term.read(0.5)
        assert term.end() == 0
    for bytes_from_outside in FORBIDDEN:
        assert bytes_from_outside not in term.seen
    assert b"\\x1b]0;owned" in term.seen, "the hostile text was on the screen, made visible"
    open_job(job.record.path).close()
