"""A look at a photo in pixels, without a terminal: what is asked, encoded, written and said."""

from __future__ import annotations

import io
import shutil
import sys
import time
import tomllib
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from siltline.errors import NotNow
from siltline.job import Job
from siltline.job.add import add
from siltline.job.withholding import withhold
from siltline.screens import encoding, pixels
from siltline.screens.blocks import Cells
from siltline.screens.encoding import WANTED, encoded, padded, whole
from siltline.screens.lent import _Console
from siltline.screens.means import MOST, Means, Size, means_of, question, room_for, typed
from siltline.screens.photo import PhotoScreen
from siltline.screens.pixels import Look, placed, under
from siltline.text import cells as width_of
from support.desk import Hands, stand, until
from support.pictures import photo
from support.pixels_read import (
    CORNERS,
    chafa_runs,
    cornered,
    kitty_pictures,
    needed,
    off,
    sixel_pictures,
)
from support.screens import text

ROOT = Path(__file__).parents[2]
DA1_SIXEL = b"\x1b[?62;4;22c"
GREY: Cells = (2, 2, bytes(12))


# what a terminal draws


@pytest.mark.parametrize(
    ("heard", "means"),
    [
        (b"", Means()),
        (b"\x1b[?1;2c", Means()),
        (b"\x1b[?64;1;14;24c", Means()),  # 14 and 24 are no 4
        (b"\x1b[?4c", Means("sixel")),
        (DA1_SIXEL, Means("sixel")),
        (b"\x1b[?1;0;256S" + DA1_SIXEL, Means("sixel")),
        (b"\x1b[?1;0;255S" + DA1_SIXEL, Means()),
        (b"\x1b[?1;3;0S" + DA1_SIXEL, Means("sixel")),  # it does not tell
        (b"\x1b[6;20;10t\x1b[?2;0;700;600S" + DA1_SIXEL, Means("sixel", (10, 20), (700, 600))),
        (b"\x1b[6;0;0t" + DA1_SIXEL, Means("sixel")),
        (b"\x1b[6;22222;1t\x1b[?62;c", Means()),
        (b"\x1b_Gi=31;OK\x1b\\\x1b[6;18;9t" + DA1_SIXEL, Means("kitty", (9, 18))),
        (b"\x1b_Gi=31;ENOTSUPPORTED:no\x1b\\" + DA1_SIXEL, Means("sixel")),
        (b"\x1b_Gi=32;OK\x1b\\\x1b[?62;c", Means()),
    ],
)
def test_what_a_terminal_answers_is_what_it_draws_with(heard: bytes, means: Means) -> None:
    assert means_of(heard) == means
    assert typed(heard) == b""
    assert typed(b"a" + heard + b"\x1b[C") == b"a\x1b[C"


@given(st.binary(), st.binary(), st.tuples(*[st.integers(0, 500)] * 4), st.booleans())
def test_no_answer_makes_a_place_without_room_or_without_end(
    one: bytes, other: bytes, size: tuple[int, int, int, int], big: bool
) -> None:
    means = means_of(one + b"\x1b[6;999;999t" * big + other + DA1_SIXEL)
    room = room_for(Size(*size), means)
    assert 0 < room.wide <= MOST
    assert 0 < room.high <= MOST
    assert min(room.cell) > 0


@pytest.mark.parametrize(
    ("size", "means", "room"),
    [
        (Size(80, 24), Means("kitty"), (640, 23 * 16, (8, 16))),  # nobody tells
        (Size(80, 24), Means("kitty", (10, 20)), (800, 460, (10, 20))),
        (Size(100, 40, 604, 524), Means("sixel"), (600, 507, (6, 13))),  # with its frame
        (Size(100, 40, 604, 524), Means("sixel", None, (500, 900)), (500, 507, (6, 13))),
        (Size(80, 1, 800, 20), Means("kitty"), (800, 20, (10, 20))),
    ],
)
def test_a_picture_has_all_lines_but_the_last(size: Size, means: Means, room: Any) -> None:
    assert room_for(size, means) == room


def test_the_question_for_kitty_is_not_put_to_who_takes_it_for_a_title() -> None:
    assert b"\x1b_" in question({"TERM": "xterm-kitty"})
    assert b"\x1b_" in question({})
    for kind in ("tmux-256color", "screen", "screen.xterm-256color"):
        assert b"\x1b_" not in question({"TERM": kind})
        assert question({"TERM": kind}).endswith(b"\x1b[c")


def test_a_picture_stands_in_the_middle_of_the_lines_above_the_last() -> None:
    assert placed(Size(80, 24), (10, 20), 400, 230).endswith(b"\x1b[6;21H")  # 40 of 80, 12 of 23
    assert placed(Size(80, 24), (10, 20), 800, 460).endswith(b"\x1b[1;1H")
    assert placed(Size(80, 24), (10, 20), 805, 470).endswith(b"\x1b[1;1H")


@given(st.text(), st.integers(1, 120), st.booleans())
def test_the_line_below_fits_and_holds_nothing_that_a_terminal_obeys(
    caption: str, columns: int, ascii_only: bool
) -> None:
    line = under(caption, columns, ascii_only=ascii_only)
    assert width_of(line) < columns or columns <= 3
    assert not {"\x1b", "\x07", "\x9b", "\u202e"} & set(line)
    assert not ascii_only or line.isascii()
    assert columns < 30 or line.endswith("  Any key goes back.")


# bytes of a picture


@pytest.fixture
def _chafa() -> None:
    needed(chafa_runs(), "chafa.py")


@pytest.mark.usefixtures("_chafa")
@pytest.mark.parametrize("size", [(1, 1), (7, 5), (333, 251), (640, 480)])
def test_a_kitty_picture_has_the_very_pixels(size: tuple[int, int]) -> None:
    image = Image.effect_noise(size, 90).convert("RGB")
    data = encoded(image.tobytes(), size, "kitty", (10, 20))
    assert whole(data, "kitty")
    ((keys, seen),) = kitty_pictures(data)
    assert (int(keys["c"]), int(keys["r"])) == (-(-size[0] // 10), -(-size[1] // 20))
    assert seen.crop((0, 0, *size)).convert("RGB").tobytes() == image.tobytes()
    rest = seen.copy()
    rest.paste((0, 0, 0, 0), (0, 0, *size))
    assert rest.getbbox() is None, "what fills its cells cannot be seen"


@pytest.mark.usefixtures("_chafa")
@pytest.mark.parametrize("size", [(7, 5), (333, 251), (640, 480)])
def test_a_sixel_picture_has_the_colours_at_their_places(size: tuple[int, int]) -> None:
    image = Image.open(io.BytesIO(cornered(size, turned=False))).convert("RGB")
    data = encoded(image.tobytes(), image.size, "sixel", (10, 20))
    assert whole(data, "sixel")
    (seen,) = sixel_pictures(data)
    assert seen.width == size[0]
    assert size[1] <= seen.height < size[1] + 6
    assert min(size) < 10 or off(seen.crop((0, 0, *size))) < 12


@pytest.mark.parametrize("size", [(1, 1), (3, 2)])
def test_what_is_added_at_the_edges_is_clear(size: tuple[int, int]) -> None:
    data = bytes(range(1, 3 * size[0] * size[1] + 1))
    found = Image.frombytes("RGBA", (4, 3), padded(data, size, (4, 3)))
    assert found.crop((0, 0, *size)).convert("RGB").tobytes() == data
    assert found.getchannel("A").tobytes().count(255) == size[0] * size[1]


HEAD = b"\x1b_Ga=T,f=32,s=1,v=1,c=1,r=1,m=1\x1b\\"
LAST = b"\x1b_Gm=0\x1b\\"


@pytest.mark.parametrize(
    ("data", "way", "is_whole"),
    [
        (HEAD + b"\x1b_Gm=1;AAAA\x1b\\" + LAST, "kitty", True),
        (HEAD + LAST, "kitty", True),
        (HEAD + b"\x1b_Gm=1;AAAA", "kitty", False),
        (HEAD, "kitty", False),
        (HEAD + LAST + b"\x07", "kitty", False),
        (HEAD + LAST + b"x", "kitty", False),
        (b"\x1b]0;owned\x07" + HEAD + LAST, "kitty", False),
        (HEAD.replace(b"f=32", b"f=32,t=f") + LAST, "kitty", False),  # reads a file
        (HEAD + b"\x1b_Ga=d\x1b\\" + LAST, "kitty", False),
        (b'\x1bP0;1;0q"1;1;6;6#0;2;1;1;1#0!6~-\x1b\\', "sixel", True),
        (b"\x1bP0;1;0q#0!6~", "sixel", False),
        (b"\x1bP0;1;0q#0\x1b[2J!6~\x1b\\", "sixel", False),
        (b"\x1bP0;1;0q#0\x9c~\x1b\\", "sixel", False),
        (b"\x1bP0;1;0q~\x1b\\\n", "sixel", False),
        (b"\x1bP+q544e\x1b\\", "sixel", False),  # asks for what the terminal is
        (b"", "kitty", False),
        (b"", "sixel", False),
    ],
)
def test_nothing_but_one_whole_picture_gets_through(data: bytes, way: str, is_whole: bool) -> None:
    assert whole(data, way) is is_whole


@pytest.mark.parametrize(
    "script",
    [
        "import sys; sys.exit(3)",
        "print('\\x1b[2J')",
        "import time; time.sleep(60)",
        "raise OSError",
    ],
    ids=["ends", "other-bytes", "hangs", "fails"],
)
def test_an_encoder_that_fails_gives_no_bytes(script: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(encoding, "_START", script)
    monkeypatch.setattr(encoding, "PATIENCE_S", 0.7)
    began = time.monotonic()
    assert encoded(bytes(12), (2, 2), "kitty", (10, 20)) == b""
    assert time.monotonic() - began < 10


SLOW = """
import sys, time
time.sleep(0.4)
assert len(sys.stdin.buffer.read()) == 300_000
sys.stdout.buffer.write(%r)
"""


def test_an_encoder_that_is_slow_to_begin_gets_all_pixels(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(encoding, "_START", SLOW % (HEAD + LAST))
    assert encoded(bytes(300_000), (1000, 100), "kitty", (10, 20)) == HEAD + LAST


def test_an_encoder_that_nobody_waits_for_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(encoding, "_START", "import time; time.sleep(60)")
    asked: list[bool] = []

    def given_up() -> bool:
        asked.append(len(asked) == 2)
        return asked[-1]

    assert encoded(bytes(12), (2, 2), "kitty", (10, 20), given_up) == b""
    assert asked[:3] == [False, False, True]


def test_what_is_told_to_install_is_the_extra() -> None:
    told = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert told["project"]["optional-dependencies"]["pixels"] == [WANTED]


# one look


class Fake:
    """A terminal of 80x24 that says what it is told to, and keeps what it is sent."""

    def __init__(self, *heard: bytes) -> None:
        self.heard = list(heard)
        self.sent = b""
        self.after: Callable[[bytes], bytes] = lambda _: b""  # a key, by what was sent

    def size(self) -> Size:
        return Size(80, 24)

    def read(self, seconds: float) -> bytes:
        if self.heard:
            return self.heard.pop(0)
        time.sleep(min(seconds, 0.01))
        return self.after(self.sent)

    def write(self, data: bytes) -> None:
        self.sent += data


class FakeConsole:
    """The calls of msvcrt that are used, over keys that are there already."""

    def __init__(self, keys: str) -> None:
        self.keys = list(keys)

    def kbhit(self) -> bool:
        return bool(self.keys)

    def getwch(self) -> str:
        return self.keys.pop(0)


def test_a_console_of_windows_gives_all_that_is_there_and_takes_pieces() -> None:
    keys, written = FakeConsole("\x1b[?62;4c\ud800"), io.BytesIO()
    console = _Console(io.TextIOWrapper(written, "utf-8"), keys)
    assert console.read(1) == b"\x1b[?62;4c?"
    began = time.monotonic()
    assert console.read(0.05) == b""
    assert 0.05 <= time.monotonic() - began < 5
    console.write(bytes(20_000))
    assert written.getvalue() == bytes(20_000)


def done(cells: Cells) -> Future[Cells]:
    found: Future[Cells] = Future()
    found.set_result(cells)
    return found


@pytest.fixture
def hold(monkeypatch: pytest.MonkeyPatch) -> Callable[..., str]:
    """A function that holds a look on a fake terminal; the encoder is one, too."""

    def held(terminal: Fake, look: Look, made: bytes = HEAD + LAST) -> str:
        @contextmanager
        def lent(_: Any) -> Iterator[Fake]:
            yield terminal

        monkeypatch.setattr(pixels, "lent", lent)
        monkeypatch.setattr(pixels, "encoded", lambda *how: b"" if how[-1]() else made)
        told = look.hold()
        assert terminal.sent.startswith(b"\x1b[?1049h\x1b[?25l")
        assert terminal.sent.endswith(b"\x1b\\\x1b[0m\x1b[2J\x1b[?25h\x1b[?1049l")
        return told

    return held


def key_once(shown: bytes) -> Callable[[bytes], bytes]:
    """Return what presses a key once some bytes were sent."""
    return lambda sent: b"x" if shown in sent else b""


KITTY = b"\x1b_Gi=31;OK\x1b\\\x1b[?62;c"


def test_a_photo_is_fitted_into_the_lines_above_the_last_and_told_there(
    hold: Callable[..., str],
) -> None:
    wished: list[tuple[int, int]] = []

    def wish(wide: int, high: int) -> Future[Cells]:
        wished.append((wide, high))
        return done(GREY)

    terminal = Fake(KITTY)
    terminal.after = key_once(b"Any key")
    assert hold(terminal, Look("A.JPG", wish)) == ""
    assert wished == [(640, 368)]
    assert HEAD + LAST + b"\x1b[24;1H\x1b[2KA.JPG  Any key goes back." in terminal.sent


@pytest.mark.parametrize("split", range(1, len(KITTY)))
def test_an_answer_may_come_in_pieces_and_late_ones_are_no_key(
    split: int, hold: Callable[..., str]
) -> None:
    terminal = Fake(KITTY[:split], KITTY[split:], b"\x1b[?62;c")
    terminal.after = key_once(b"Any key")
    assert hold(terminal, Look("A.JPG", lambda *_: done(GREY))) == ""
    assert b"Any key" in terminal.sent


def test_a_key_need_not_wait_for_a_photo_that_takes_long(hold: Callable[..., str]) -> None:
    terminal = Fake(KITTY)
    terminal.after = key_once(b"Drawing")
    assert hold(terminal, Look("A.JPG", lambda *_: Future())) == ""
    assert HEAD not in terminal.sent


def test_a_key_while_it_is_encoded_goes_back_without_a_word(hold: Callable[..., str]) -> None:
    terminal = Fake(KITTY)
    looked = Look("A.JPG", lambda *_: done(GREY))
    terminal.after = key_once(b"Drawing")
    assert hold(terminal, looked) == ""
    assert HEAD not in terminal.sent


def test_a_key_breaks_off_what_is_written(hold: Callable[..., str]) -> None:
    made = HEAD + b"\x1b_Gm=1;" + b"A" * 200_000 + b"\x1b\\" + LAST
    terminal = Fake(KITTY)
    terminal.after = key_once(b"a=T")
    assert hold(terminal, Look("A.JPG", lambda *_: done(GREY)), made) == ""
    assert len(terminal.sent) < 100_000
    assert b"A\x1b\\\x1b_Ga=d,d=A\x1b\\" in terminal.sent


@pytest.mark.parametrize(
    ("result", "made", "told"),
    [
        ((0, 0, b""), HEAD + LAST, "This photo cannot be drawn."),
        (GREY, b"", "chafa.py failed here"),
        (NotNow("The file is away."), b"", "The file is away."),
        (OSError("\x1b]0;owned\x07"), b"", r"\x1b]0;owned\x07"),
    ],
)
def test_what_goes_wrong_is_told(
    result: Any, made: bytes, told: str, hold: Callable[..., str]
) -> None:
    found: Future[Cells] = Future()
    if isinstance(result, Exception):
        found.set_exception(result)
    else:
        found.set_result(result)
    assert told in hold(Fake(KITTY), Look("A.JPG", lambda *_: found), made)


def test_a_terminal_that_is_gone_ends_the_look(monkeypatch: pytest.MonkeyPatch) -> None:
    @contextmanager
    def lent(_: Any) -> Iterator[Fake]:
        terminal = Fake(KITTY)
        monkeypatch.setattr(terminal, "write", _raises)
        yield terminal

    monkeypatch.setattr(pixels, "lent", lent)
    assert "No picture can have the terminal here" in Look("", lambda *_: done(GREY)).hold()


def _raises(_: bytes) -> None:
    raise OSError(5, "Input/output error")


def test_it_ends_when_the_terminal_is_wanted_back_and_rings_meanwhile(
    hold: Callable[..., str],
) -> None:
    look, terminal = Look("A.JPG", lambda *_: done(GREY)), Fake(KITTY)
    held = Thread(target=hold, args=(terminal, look))
    held.start()
    while b"Any key" not in terminal.sent:
        time.sleep(0.01)
    assert b"\x07" not in terminal.sent
    look.bell.set()
    while b"\x07" not in terminal.sent:
        time.sleep(0.01)
    look.back.set()
    held.join(5)
    assert not held.is_alive()
    assert terminal.sent.count(b"\x07") == 1


# on the screen


@pytest.fixture
def taken(job: Job, tmp_path: Path) -> Job:
    add(job, [photo(tmp_path, "A.JPG", 3, size=(320, 240))])
    return job


async def said(pilot: Any) -> str:
    """Press the key on the one photo; return what is said."""
    await stand(pilot)
    hands = Hands(pilot)
    await hands.press("p", "enter")
    await until(pilot, lambda: isinstance(pilot.app.screen, PhotoScreen))
    told: list[str] = []
    pilot.app.screen.notify = lambda words, **_: told.append(words)
    await hands.press("I")
    await until(pilot, lambda: bool(told))
    return told[0]


async def test_without_the_package_it_is_said_how_to_install_it(
    taken: Job, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "chafa", None)
    async with on_screen(taken) as pilot:
        told = await said(pilot)
    assert f'{sys.executable} -m pip install "{WANTED}"' in told
    assert "o shows the photo in full" in told


async def test_where_textual_keeps_the_terminal_that_is_said(
    taken: Job, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pixels, "is_there", lambda: True)
    async with on_screen(taken) as pilot:
        assert "No picture can have the terminal here" in await said(pilot)


async def test_of_a_photo_that_was_withheld_that_is_said(
    taken: Job, on_screen: Callable[..., Any]
) -> None:
    withhold(taken, "A.JPG", because="a stranger's face", by="Ada")
    async with on_screen(taken) as pilot:
        assert "a stranger's face" in await said(pilot)


async def test_the_key_stands_in_the_foot(taken: Job, on_screen: Callable[..., Any]) -> None:
    async with on_screen(taken) as pilot:
        await stand(pilot)
        await Hands(pilot).press("p", "enter")
        await until(pilot, lambda: isinstance(pilot.app.screen, PhotoScreen))
        assert "I Pixel" in text(pilot.app)


def test_the_corners_of_the_tests_are_told_apart() -> None:
    assert len(set(CORNERS)) == 4
    assert shutil.which("sixel2png") is None or off(Image.new("RGB", (8, 8))) > 100
