"""A photo in the pixels of a terminal: whatever that answers, and however it ends."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from siltline.job import Job
from siltline.job.add import add
from support.answering import (
    CELL,
    KITTY,
    NEITHER,
    SILENT,
    SIXEL,
    TRIED,
    Answering,
    with_chafa,
)
from support.pixels_read import (
    chafa_runs,
    cornered,
    kitty_pictures,
    needed,
    off,
    screen,
    sixel_pictures,
)
from support.terminal import running, termios

GONE = b"\x1b[?25h\x1b[?1049l"  # the cursor, the screen of before
BACK = "Any key goes back."
NO_PIXELS = "This terminal draws no"
HOSTILE = "\x1b]0;owned\x07\x1b[31mred\u202e.JPG"
START = "import sys; from siltline.cli import main; sys.exit(main(sys.argv[1:]))"
PICTURE = re.compile(rb"\x1b_G[^\x1b]*\x1b\\|\x1bP[^\x1b]*\x1b\\")


@pytest.fixture(autouse=True)
def _chafa() -> None:
    needed(chafa_runs(), "chafa.py")


@pytest.fixture
def shot(job: Job, tmp_path: Path) -> Job:
    """A job with one photo, held upright."""
    return with_photo(job, tmp_path, "A.JPG", cornered())


def with_photo(job: Job, folder: Path, name: str, data: bytes) -> Job:
    (folder / name).write_bytes(data)
    add(job, [folder / name])
    return job


@contextmanager
def looking(
    job: Job, answers: Mapping[bytes, bytes], script: str = "", **env: str
) -> Iterator[Answering]:
    """Give a terminal on which the program shows the one photo of a job, after a script."""
    job.close()
    command = [sys.executable, "-c", f"{script}\n{START}", "open", str(job.record.path)]
    env = {**with_chafa(), **env}
    with running(command, kind=Answering, answers=answers, env=env) as term:
        term.wait_for("Put on")
        term.send("p")
        term.wait_for("No step uses it yet")  # of the row
        term.seen = b""
        term.send("\r")
        term.wait_for("1 of 1")
        term.wait_for("Pixel")
        term.wait_for("\u2580")
        term.read(0.5)
        yield term


def settle(term: Answering, quiet_s: float = 0.3) -> None:
    """Read until nothing comes any more."""
    while term.read(quiet_s):
        pass


def leave(term: Answering, *keys_of: str) -> None:
    """Leave the photo, the list and the program."""
    for keys in keys_of or ("\x1b", "\x1b", "q"):
        term.send(keys)
        term.read(0.3)
    assert term.end() == 0


def shown(term: Answering) -> list[str]:
    return screen(term.seen, term.size[:2])


def looked(term: Answering) -> bytes:
    """Press the key, wait for the photo, then any key; return what came until the photo stood."""
    term.seen = b""
    term.send("I")
    term.wait_for(BACK)
    term.read(0.3)
    found = term.seen
    assert GONE not in found.partition(b"\x1b[2J\x1b[H")[2], "it stays until a key is pressed"
    term.send("\x1b[C")  # an arrow, several bytes: all of them are one key
    term.wait_until(lambda: GONE in term.seen.rpartition(BACK.encode())[2])
    return found


def test_a_kitty_gets_the_photo_itself_upright_and_then_the_screen_of_before(shot: Job) -> None:
    with looking(shot, KITTY) as term:
        before = shown(term)
        seen = looked(term)
        settle(term)
        assert shown(term) == before
        assert "1 of 1  A.JPG" in before[0]
        leave(term)
    ((keys, image),) = kitty_pictures(seen)
    assert (keys["c"], keys["r"]) == ("78", "29")  # of cells of 10x20: 773 x 580 pixels
    assert image.size == (780, 580)
    assert off(image.crop((0, 0, 773, 580))) < 12
    assert b"\x1b_Ga=d,d=A\x1b\\" in term.seen, "it keeps no picture"


def test_a_sixel_terminal_gets_it_no_larger_than_it_takes(shot: Job) -> None:
    with looking(shot, SIXEL) as term:
        before = shown(term)
        seen = looked(term)
        settle(term)
        assert shown(term) == before
        leave(term)
    (image,) = sixel_pictures(seen)
    assert image.width == 700  # of 1000 that there are: SIXEL says so
    assert 525 <= image.height < 525 + 6
    assert off(image.crop((0, 0, 700, 525))) < 12
    assert b"\x1b_Ga=" not in seen


@pytest.mark.parametrize("answers", [NEITHER, SILENT], ids=["neither", "silent"])
def test_a_terminal_that_draws_no_pixels_gets_none_and_a_sentence_says_so(
    shot: Job, answers: Mapping[bytes, bytes]
) -> None:
    with looking(shot, answers) as term:
        term.seen = b""
        term.send("I")
        term.wait_for("\x1b[c")
        asked = time.monotonic()
        term.wait_until(lambda: GONE in term.seen.rpartition(b"\x1b[c")[2])
        waited = time.monotonic() - asked
        term.wait_for(NO_PIXELS)
        term.wait_for("photo in full")  # what else there is to do
        leave(term)
    assert [found for found in PICTURE.findall(term.seen) if found != TRIED] == []
    assert waited < 1.5
    assert (waited > 0.4) == (answers is SILENT), "half a second is waited for an answer"


def test_who_would_take_the_question_for_a_title_is_not_asked_it(shot: Job) -> None:
    with looking(shot, {**SIXEL, CELL: b""}, TERM="tmux-256color") as term:
        looked(term)
        leave(term)
    assert b"\x1b_" not in term.seen


def test_a_photo_that_cannot_be_drawn_is_told_in_a_sentence(job: Job, tmp_path: Path) -> None:
    data = cornered()
    with_photo(job, tmp_path, "A.JPG", data[: len(data) // 2])
    job.close()
    command = [sys.executable, "-m", "siltline", "open", str(job.record.path)]
    with running(command, kind=Answering, answers=KITTY, env=with_chafa()) as term:
        term.wait_for("Put on")
        term.send("p")
        term.wait_for("No step uses it yet")
        term.send("\r")
        term.wait_for("This photo cannot be drawn")
        term.seen = b""
        term.send("I")
        term.wait_until(lambda: GONE in term.seen)
        term.wait_until(lambda: "This photo cannot be" in "".join(shown(term)[15:]))  # the toast
        leave(term)
    assert kitty_pictures(term.seen) == []


def test_a_name_that_a_terminal_would_obey_is_written_out_below_the_photo(
    job: Job, tmp_path: Path
) -> None:
    with_photo(job, tmp_path, HOSTILE, cornered((200, 150)))
    with looking(job, KITTY) as term:
        seen = looked(term)
        leave(term)
    below = seen.rpartition(b"\x1b[2K")[2].decode()
    assert below.startswith(r"\x1b]0;owned\x07\x1b[31mred\u202e.JPG")
    assert below.endswith(BACK)
    for raw in (b"owned\x07", b"\x1b[31mred", "\u202e".encode()):
        assert raw not in term.seen
    assert len(kitty_pictures(seen)) == 1


def test_a_key_breaks_a_picture_off_and_its_sequence_is_ended(shot: Job) -> None:
    with looking(shot, KITTY) as term:
        term.seen = b""
        term.send("I")
        term.wait_for("\x1b[c")
        while b"a=T,f=32" not in term.seen:  # no more than that, so the rest has to wait
            term.seen += os.read(term.master, 4096)
        term.send("x")
        time.sleep(0.3)
        term.wait_until(lambda: GONE in term.seen)
        settle(term)
        leave(term)
    whole, _, after = term.seen.partition(b"\x1b_Ga=d,d=A\x1b\\")
    assert b"m=0" not in whole, "it was broken off"
    assert whole.endswith(b"\x1b\\")
    assert after.startswith(b"\x1b\\")
    assert BACK.encode() not in term.seen


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_signal_ends_it_while_the_photo_stands_and_the_terminal_is_as_before(
    shot: Job, name: str
) -> None:
    with looking(shot, SIXEL) as term:
        term.seen = b""
        term.send("I")
        term.wait_for(BACK)
        assert not termios.tcgetattr(term.master)[3] & termios.ECHO
        term.process.send_signal(getattr(signal, name))
        assert term.end() == 0
        assert termios.tcgetattr(term.master)[3] & termios.ECHO
        assert termios.tcgetattr(term.master)[3] & termios.ICANON
    after = term.seen.rpartition(BACK.encode())[2]
    assert b"\x1b\\" in after
    assert after.rstrip().endswith(GONE)


def test_a_terminal_that_closes_while_the_photo_stands_ends_it(shot: Job) -> None:
    with looking(shot, KITTY) as term:
        term.seen = b""
        term.send("I")
        term.wait_for(BACK)
        term.close()
        assert term.end() == 0
    assert [p.name for p in shot.record.path.parent.glob("job.siltline*")] == ["job.siltline"]


def test_a_stop_from_outside_leaves_the_photo_and_what_comes_after_it(shot: Job) -> None:
    with looking(shot, SIXEL) as term:
        before = shown(term)
        term.seen = b""
        term.send("I")
        term.wait_for(BACK)
        for _ in range(5):
            term.process.send_signal(signal.SIGSTOP)
            time.sleep(0.1)
            term.process.send_signal(signal.SIGCONT)
            time.sleep(0.2)
        term.send("x")
        term.wait_until(lambda: GONE in term.seen.rpartition(BACK.encode())[2])
        settle(term)
        assert shown(term) == before
        leave(term)


MEANWHILE = """
from siltline.screens.photo import PhotoScreen
shows = PhotoScreen.on_mount
def on_mount(self):
    shows(self)
    self.set_interval(0.01, self._show_words)
    self.set_interval(0.02, self.app.bell)
PhotoScreen.on_mount = on_mount
"""


def test_what_is_drawn_meanwhile_is_drawn_after_it_and_a_bell_rings_at_once(shot: Job) -> None:
    with looking(shot, SIXEL, MEANWHILE) as term:
        term.seen = b""
        term.send("I")
        term.wait_for(BACK)
        term.seen = b""
        term.wait_until(lambda: term.seen.count(b"\x07") > 3)
        time.sleep(1.5)  # enough to fill what would be written in vain
        term.read(0.2)
        assert term.seen.strip(b"\x07") == b""
        term.send("x")
        term.wait_for("1 of 1")
        leave(term)


GONE_ON = """
from siltline.screens.photo import PhotoScreen
from siltline.screens.pixels import Look
writes = Look._write
def written(self, terminal, data):
    app.call_from_thread(app.set_timer, 0.2, app.screen.dismiss)
    return writes(self, terminal, data)
Look._write = written
shows = PhotoScreen.on_mount
def on_mount(self):
    global app
    app = self.app
    shows(self)
PhotoScreen.on_mount = on_mount
"""


def test_where_the_photo_is_left_meanwhile_the_terminal_is_given_back(shot: Job) -> None:
    with looking(shot, SIXEL, GONE_ON) as term:
        term.seen = b""
        term.send("I")
        term.wait_until(lambda: GONE in term.seen)
        term.wait_for("No step uses it yet")  # the list below
        leave(term, "\x1b", "q")


@pytest.fixture
def tmux() -> Iterator[Any]:
    """A function that does something in a tmux of its own."""
    needed(shutil.which("tmux"), "tmux")
    socket = f"siltline-pixels-{os.getpid()}"

    def act(*args: str) -> str:
        command = ["tmux", "-L", socket, "-f", os.devnull, *args]
        env = {**os.environ, **with_chafa()}
        return subprocess.run(command, capture_output=True, text=True, check=True, env=env).stdout

    yield act
    subprocess.run(["tmux", "-L", socket, "kill-server"], capture_output=True, check=False)


def test_inside_tmux_that_is_said_and_neither_screen_nor_title_change(shot: Job, tmux: Any) -> None:
    shot.close()
    program = shlex.join([sys.executable, "-m", "siltline", "open", str(shot.record.path)])
    tmux("new-session", "-d", "-x", "100", "-y", "30", program)

    def wait_for(words: str) -> str:
        end = time.monotonic() + 30
        while words not in (shown := tmux("capture-pane", "-p")):
            assert time.monotonic() < end, shown
            time.sleep(0.1)
        return str(shown)

    for keys, words in (("p", "No step uses it yet"), ("Enter", "\u2580")):
        wait_for("Put on" if keys == "p" else "A.JPG")
        tmux("send-keys", keys)
        before = wait_for(words)
    title = tmux("display-message", "-p", "#{pane_title}")
    tmux("send-keys", "I")
    wait_for(NO_PIXELS)
    after = wait_for("\u2580")  # drawn again, smaller: the notice has lines of its own
    assert NO_PIXELS in after
    assert after.splitlines()[0] == before.splitlines()[0]
    assert tmux("display-message", "-p", "#{pane_title}") == title
