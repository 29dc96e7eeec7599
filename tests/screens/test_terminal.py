"""In a real terminal: it opens, obeys keys, ends cleanly, and no byte from outside gets through."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
import unicodedata
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from siltline.job import Job, open_job
from siltline.job.acts import attach, leave_out, tick
from siltline.job.add import add
from siltline.job.close_out import hand_off
from siltline.job.laying import correct
from siltline.job.withholding import withhold
from siltline.record.audit import faults
from siltline.text import HIDDEN_CATEGORIES
from support.house import HOUSE
from support.pictures import photo
from support.terminal import TUI, running, terminal

fcntl = pytest.importorskip("fcntl")
termios = pytest.importorskip("termios")

PATIENCE_S = 20.0
HOSTILE = "\x1b]0;owned\x07\x1b[31mred\x9b2J\u202e[@click=app.quit]x[/] [/oops]"
# What a program may send a terminal of its own accord: CSI, OSC and the like of Textual. What
# must never come is what stood in a name: the title set, the colour, the C1 byte, the override.
FORBIDDEN = [b"owned\x07", b"\x1b[31mred", b"\xc2\x9b", "\u202e".encode()]


def own_terminal() -> None:
    """Make the terminal the program's own, so that its end is a signal (SIGHUP)."""
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def nohup() -> None:
    """As nohup starts a program: the signal is ignored."""
    own_terminal()
    signal.signal(signal.SIGHUP, signal.SIG_IGN)


def test_a_tick_by_keys_is_recorded_and_q_leaves(job: Job) -> None:
    job.close()
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        term.wait_for("Put on")
        term.send("\r")
        term.wait_for("Your name")
        term.send("Ada Lovelorn\r\r")
        term.wait_for("takes it back")
        term.send("q")
        assert term.end() == 0
    again = open_job(job.record.path)
    assert again.step("gear-on/house").word.by == "Ada Lovelorn"  # type: ignore[union-attr]
    again.close()
    assert [p.name for p in job.record.path.parent.glob("job.siltline*")] == ["job.siltline"]


def _colours(seen: bytes) -> set[str]:
    """The kinds of colour that were asked of the terminal."""
    found = set()
    for parts in re.findall(rb"\x1b\[([0-9;]*)m", seen):
        codes = parts.decode().split(";")
        for number, code in enumerate(codes):
            if code in ("38", "48"):
                found.add({"2": "truecolor", "5": "256"}[codes[number + 1]])
                break
            if code.isdigit() and (30 <= int(code) <= 47 or 90 <= int(code) <= 107):
                found.add("16" if code not in ("39", "49") else "default")
    return found


@pytest.mark.parametrize(
    ("also", "wanted"),
    [
        ({}, {"truecolor"}),
        ({"COLORTERM": ""}, {"256"}),
        ({"TERM": "linux", "COLORTERM": ""}, {"16"}),
        ({"TERM": "xterm", "COLORTERM": ""}, {"16"}),
        ({"NO_COLOR": "1"}, set()),
    ],
    ids=["truecolor", "256", "console", "16", "no-color"],
)
def test_a_terminal_is_sent_no_more_colour_than_it_draws(
    job: Job, also: dict[str, str], wanted: set[str]
) -> None:
    job.close()
    with terminal("open", job.record.path, env=also) as term:
        term.wait_for("gear on")
        term.read(0.3)
        term.send("q")
        assert term.end() == 0
    assert _colours(term.seen) - {"default"} == wanted


@pytest.mark.parametrize(
    "also", [{"TERM": "linux"}, {"PYTHONIOENCODING": "latin-1"}], ids=["console", "latin-1"]
)
def test_a_terminal_that_draws_ascii_is_sent_ascii(job: Job, also: dict[str, str]) -> None:
    job.close()
    with terminal("open", job.record.path, env={"SILTLINE_LANGUAGE": "es", **also}) as term:
        term.wait_for("gear on")
        term.send("?")
        term.wait_for("Teclas")
        term.send("\x1b")
        term.read(0.5)
        term.send("q")
        assert term.end() == 0
    assert term.seen.isascii()


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
def test_a_signal_ends_it_as_if_the_person_had_left(job: Job, name: str) -> None:
    job.close()
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        term.process.send_signal(getattr(signal, name))
        assert term.end() == 0
    assert b"\x1b[?1049l" in term.seen, "the terminal is given back as it was"


def test_a_stop_from_outside_is_gone_on_from_with_the_keys_of_before(job: Job) -> None:
    job.close()
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        for _ in range(2):
            term.process.send_signal(signal.SIGSTOP)
            time.sleep(0.3)
            term.process.send_signal(signal.SIGCONT)
            term.read(1)
        term.wait_for("Put on")
        term.send("\r")
        term.wait_for("Your name")
        term.send("Ada Lovelorn\r\r")
        term.wait_for("takes it back")
        term.send("q")
        assert term.end() == 0
    again = open_job(job.record.path)
    assert again.step("gear-on/house").word.by == "Ada Lovelorn"  # type: ignore[union-attr]
    again.close()


@pytest.mark.parametrize("start", [own_terminal, nohup, None])
def test_a_terminal_that_closes_ends_it_and_leaves_one_file(
    job: Job, start: Callable[[], None] | None
) -> None:
    job.close()
    with terminal("open", job.record.path, preexec_fn=start) as term:
        term.wait_for("gear on")
        term.close()
        assert term.end() == 0
    assert [p.name for p in job.record.path.parent.glob("job.siltline*")] == ["job.siltline"]
    assert faults(job.record.path) == []


def test_photos_that_come_in_when_the_terminal_closes_are_whole(job: Job, tmp_path: Path) -> None:
    for number in range(60):
        photo(tmp_path / "card", f"{number}.JPG", number)
    job.close()
    with terminal("open", job.record.path, preexec_fn=own_terminal) as term:
        term.wait_for("gear on")
        term.send("f")
        term.wait_for("File or folder")
        term.send(f"{tmp_path / 'card'}\r")
        term.wait_for("S: stop")
        term.wait_for(" of 60")
        term.close()
        term.end()
    again = open_job(job.record.path)
    assert faults(again.record.path) == []
    (kept,) = again.record.connection.execute("SELECT count(*) FROM photo").fetchone()
    assert kept == len(again.board.ledger.photos)
    again.close()


@pytest.mark.parametrize("term_type", ["screen-256color", "xterm", "vt100"])
def test_no_kind_of_terminal_makes_it_wait_for_an_answer(job: Job, term_type: str) -> None:
    """The pseudo-terminal answers no question, as a plain one over ssh may not."""
    job.close()
    with terminal("open", job.record.path, env={"TERM": term_type}) as term:
        began = time.monotonic()
        term.wait_for("gear on", PATIENCE_S)
        term.send("?")
        term.wait_for("list the steps by place", PATIENCE_S)
        assert time.monotonic() - began < PATIENCE_S
        term.send("\x1b")
        term.read(0.5)
        term.send("q")
        assert term.end() == 0


FAULTY = """
import sys
from siltline.screens.deeds import looking
def fails(self):
    hostile = "\\x1b]0;owned\\x07\\x1b[31mred"
    raise RuntimeError(hostile)
looking.show_help = fails
from siltline.cli import main
sys.exit(main(sys.argv[1:]))
"""


def test_a_fault_of_ours_ends_in_one_sentence_and_gives_the_terminal_back(job: Job) -> None:
    job.close()
    with running([sys.executable, "-c", FAULTY, "open", str(job.record.path)]) as term:
        term.wait_for("gear on")
        term.send("?")
        assert term.end() != 0
    after = term.seen.rpartition(b"\x1b[?1049l")[2]
    assert b"siltline itself made a mistake" in after
    assert b"Traceback" not in term.seen
    for bytes_from_outside in FORBIDDEN:
        assert bytes_from_outside not in term.seen
    assert faults(job.record.path) == []


# What the program itself may send: cursor, colour and mode sequences (CSI of ECMA-48), and keypad
# mode; nothing of the program's is an OSC, DCS, APC, PM or SOS string, or a C1 byte.
OWN = re.compile(rb"\x1b\[[0-9;:?<=>]*[ -/]*[@-~]|\x1b[=>78]|\x1b\]22;[a-z-]*\x07")


def raw_in(seen: bytes) -> list[str]:
    """Return the characters of what a terminal got that obey or hide, but for our own sequences."""
    text = OWN.sub(b"", seen).decode("utf-8", "replace")
    return sorted({c for c in text if unicodedata.category(c) in HIDDEN_CATEGORIES} - set("\r\n"))


# What a terminal hands on of a paste: no q of it is a key, should no form be up.
PASTED = "\x1bc\x1b]0;owned\x07\x1b[31mred\x9b2J\u202e \x1b [/oops]"


def paste(text: str) -> str:
    return f"\x1b[200~{text}\x1b[201~"


def hostile_house() -> str:
    """Return the sheet with hostile text in every field that takes any text."""
    escaped = HOSTILE.encode("unicode_escape").decode().replace('"', "'")
    named = re.sub(r"(?m)^( *name): .*$", lambda m: f'{m[1]}: "{m.start()} {escaped}"', HOUSE)
    return named.replace("house: Test house", f'house: "{escaped}"')


def hostile_job(new_job: Callable[..., Job], folder: Path) -> Job:
    """Return a job in whose every field that takes any text stands what no terminal may get."""
    job = new_job(hostile_house(), name="job \x1b[31mred\u202e")
    image = photo(folder, "\x1b[31mred\u202e.JPG", 1, model=HOSTILE.encode().decode("latin-1"))
    add(job, [image, photo(folder, "\x1b]0;owned\x07.JPG", 2, make=HOSTILE[:9])], by=HOSTILE)
    mine, other = job.board.ledger.photos
    attach(job, "gear-on/house", mine, role="crew", spot=HOSTILE, by=HOSTILE)
    tick(job, "gear-on/house", by=HOSTILE, note=HOSTILE, licence=HOSTILE)
    leave_out(job, "power-off/house", by=HOSTILE, because=HOSTILE)
    correct(job, ["rooms.kitchen.waterline=30 in"], by=HOSTILE, note=HOSTILE, take=True)
    hand_off(job, giver=HOSTILE, taker=HOSTILE + "2")
    withhold(job, other, by=HOSTILE, because=HOSTILE)
    return job


# Through every screen and list, and hostile text pasted into the first field of every form.
EVERYWHERE = (
    "\x1b[A" * 3,
    "\x1b[B" * 9,
    *(piece for key in "?vprbys/" for piece in (key, "\x1b[B\x1b[B", "\x1b")),
    *(piece for key in "axdehzcfn" for piece in (key, paste(PASTED), "\r\r", "\x1b")),
    "l",
    "o",
    "u",
    "k",
    "\r",
    "\x1b",
)


def test_no_byte_from_outside_reaches_the_terminal(
    new_job: Callable[..., Job], tmp_path: Path
) -> None:
    job = hostile_job(new_job, tmp_path / "card")
    job.close()
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        for keys in EVERYWHERE:
            term.send(keys)
            term.read(0.15)
        for keys in ("\x1b", "\x1b", "\x1b", "q") * 4:  # whatever lies on top, work in hand
            if term.process.poll() is None:
                term.send(keys)
                term.read(0.5)
        assert term.end() == 0
    assert raw_in(term.seen) == []
    for bytes_from_outside in FORBIDDEN:
        assert bytes_from_outside not in term.seen
    assert re.search(rb"\\x1b", term.seen), "the hostile text was on the screen, made visible"


def newest(path: Path, number: int) -> list[str]:
    """Return the kinds of the newest entries of a job that is open elsewhere."""
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
        rows = connection.execute("SELECT envelope FROM event ORDER BY seq").fetchall()
    return [json.loads(envelope)["kind"] for (envelope,) in rows[-number:]]


def test_the_main_job_by_keys(job: Job, tmp_path: Path) -> None:
    path = job.record.path
    for number in range(3):
        photo(tmp_path / "card", f"A{number}.JPG", number)
    job.close()
    with terminal("open", job.record.path) as term:
        for keys, comes in (  # words of a form or a list, or the newest entry of the record
            ("", "Put on"),
            ("\r", "Your name"),
            ("Ada Lovelorn\r\r", ["ticked"]),
            ("f", "File or folder"),
            (f"{tmp_path / 'card'}\r", ["photo"] * 3),
            ("a", "Attach a photo"),
            ("\r", ["attached"]),
            ("x", "Reason"),
            ("the ladder is wet\r", ["left-out"]),
            ("u", ["undone"]),
            ("h", "Taken over by"),
            ("\rBen Invented\r", "Record number"),
            ("\r", ""),
            ("V", "The file is whole"),
            ("\r", ""),
            ("c", "Name of the folder"),
        ):
            term.seen = b""
            term.send(keys)
            if isinstance(comes, str):
                term.wait_for(comes, 40)
            else:
                term.wait_until(lambda comes=comes: newest(path, len(comes)) == comes, 40)
            term.read(0.3)
        term.send("\r")
        term.wait_until((path.with_name("job-claim") / "report.pdf").exists, 40)
        term.read(0.5)
        term.send("q")
        assert term.end() == 0
    again = open_job(job.record.path)
    kinds = [event.kind for event in again.record.events if event.kind not in ("begun", "laid")]
    assert kinds == ["ticked", *["photo"] * 3, "attached", "left-out", "undone", "handed-off"]
    again.close()


@pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")
def test_inside_tmux_it_is_drawn_and_obeys_keys_and_ends_with_the_session(job: Job) -> None:
    job.close()
    socket = f"siltline-{os.getpid()}"

    def tmux(*args: str) -> str:
        command = ["tmux", "-L", socket, "-f", os.devnull, *args]
        return subprocess.run(command, capture_output=True, text=True, check=True, env=env).stdout

    def wait_for(words: str) -> None:
        end = time.monotonic() + 40
        while words not in (shown := tmux("capture-pane", "-p")):
            assert time.monotonic() < end, shown
            time.sleep(0.2)

    env = {**os.environ, "PYTHONPATH": TUI}
    program = shlex.join([sys.executable, "-m", "siltline", "open", str(job.record.path)])
    tmux("new-session", "-d", "-x", "80", "-y", "24", program)
    try:
        wait_for("Put on")
        tmux("send-keys", "Enter")
        wait_for("Your name")
        tmux("send-keys", "Ada Lovelorn", "Enter", "Enter")
        wait_for("takes it back")
        pid = int(tmux("display-message", "-p", "#{pane_pid}"))
    finally:
        tmux("kill-server")
    end = time.monotonic() + 20
    while Path(f"/proc/{pid}").exists() and time.monotonic() < end:
        time.sleep(0.1)
    assert [p.name for p in job.record.path.parent.glob("job.siltline*")] == ["job.siltline"]
    again = open_job(job.record.path)
    assert again.step("gear-on/house").word.by == "Ada Lovelorn"  # type: ignore[union-attr]
    again.close()
