"""Photos are looked at: large, side by side, with their EXIF; noted on; opened outside."""

from __future__ import annotations

import stat
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import Static

from siltline import config
from siltline.job import Job
from siltline.job.acts import attach
from siltline.job.add import add
from siltline.job.sketching import draw_missing
from siltline.job.viewing import Viewer
from siltline.job.withholding import withhold
from siltline.judge.captions import captions
from siltline.photos.reader import PhotoReader
from siltline.screens.blocks import in_colour
from siltline.screens.drawing import HALF
from siltline.screens.photo import PhotoScreen
from siltline.screens.photo_list import PhotoListing
from siltline.screens.picture import Picture
from siltline.screens.themes import PALETTES
from support.desk import Hands, stand, until
from support.pictures import photo
from support.screens import picture, text

STEP = "room-as-found/kitchen"
SCREENS = {"photo": ("P",), "pair": ("P", "b"), "exif": ("P", "e"), "list": ("p", "down")}
HOSTILE = "\x1b]0;owned\x07[red]x\u202e"


@pytest.fixture
def taken(job: Job, tmp_path: Path) -> Job:
    """Three photos: two of one spot before and after, one at no step."""
    config.remember_person("Ines Valdkamp")
    how = {"size": (320, 240)}
    names = ("A.JPG", "B.JPG", "C.JPG")
    add(job, [photo(tmp_path, name, number, **how) for number, name in enumerate(names, 3)])
    draw_missing(job)  # what its pixels show is told from the first look on
    attach(job, STEP, "A.JPG", role="before", spot="sink")
    attach(job, STEP, "B.JPG", role="after", spot="sink")
    return job


@pytest.fixture
def seen_outside(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The files that a fake viewer of the system was given."""
    seen: list[Path] = []
    monkeypatch.setattr(Viewer.__init__, "__defaults__", (seen.append,))
    return seen


def drawn(pilot: Any, which: str = "picture-one") -> bool:
    """Tell whether a picture is there in half blocks."""
    lines = pilot.app.screen.query_one(f"#{which}", Picture)._lines
    return bool(lines) and HALF in lines[0].text


async def look(pilot: Any, *keys: str) -> Hands:
    """Go to the photos by keys, and wait for the picture."""
    await stand(pilot, STEP)
    hands = Hands(pilot)
    await hands.press(*keys)
    await until(pilot, lambda: isinstance(pilot.app.screen, PhotoScreen))
    await until(pilot, lambda: drawn(pilot))
    return hands


async def test_enter_in_the_list_looks_and_arrows_go_on_in_a_ring(
    taken: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(taken, (120, 40)) as pilot:
        hands = await look(pilot, "p", "enter")
        assert "1 of 3  C.JPG" in text(pilot.app)  # at no step, so it comes first
        assert "No step uses it yet." in text(pilot.app)
        await hands.press("right")
        shown = " ".join(text(pilot.app).split())
        assert "2 of 3 A.JPG" in shown
        assert "Before, Kitchen, sink: Photograph Kitchen" in shown
        assert "Camera time 2026:03:12 07:30:00, zone -05:00 assumed, of the house" in shown
        await hands.press("left", "left")
        assert "3 of 3  B.JPG" in text(pilot.app)
        await until(pilot, lambda: drawn(pilot))


async def test_the_picture_has_the_colours_and_the_shape_of_the_photo(
    taken: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(taken, (120, 40)) as pilot:
        await look(pilot, "P")
        lines = pilot.app.screen.query_one("#picture-one", Picture)._lines
        assert "Camera: Invented T1. 320 x 240 pixels" in text(pilot.app)
        wide, high = lines[0].cell_length, 2 * len(lines)
        assert abs(wide / high - 4 / 3) < 0.05
        style = lines[len(lines) // 2]._segments[0].style
        assert style is not None
        assert style.color is not None
        assert style.color.triplet is not None
        colour = (3 * 7 % 256, 3 * 31 % 256, 3 * 101 % 256)  # as `support.pictures` draws it
        assert max(abs(a - b) for a, b in zip(style.color.triplet, colour, strict=True)) < 6


async def test_keys_go_on_while_a_photo_is_drawn(
    taken: Job, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    let = threading.Event()
    real = PhotoReader.cells

    def slow(reader: PhotoReader, *how: Any) -> Any:
        assert let.wait(20)
        return real(reader, *how)

    monkeypatch.setattr(PhotoReader, "cells", slow)
    async with on_screen(taken) as pilot:
        await stand(pilot, STEP)
        hands = Hands(pilot)
        await hands.press("P")
        await until(pilot, lambda: "Drawing ..." in text(pilot.app))
        await hands.press("right", "right", "right")
        assert "2 of 2  B.JPG" in text(pilot.app)
        assert not drawn(pilot)
        let.set()
        await until(pilot, lambda: drawn(pilot))


async def test_before_and_after_side_by_side_and_a_word_where_there_is_no_pair(
    taken: Job, tmp_path: Path, on_screen: Callable[..., Any]
) -> None:
    add(taken, [photo(tmp_path, "D.JPG", 9)])
    attach(taken, STEP, "D.JPG", role="after", spot="door")  # of another spot: no pair
    async with on_screen(taken, (120, 40)) as pilot:
        hands = await look(pilot, "p", "enter")
        told: list[str] = []
        pilot.app.screen.notify = lambda words, **_: told.append(words)
        await hands.press("b")
        assert told == [
            "No step has this photo beside another one of the same spot, before and after."
        ]
        await hands.press("right", "b")
        await until(pilot, lambda: drawn(pilot) and drawn(pilot, "picture-other"))
        shown = text(pilot.app)
        assert "1 of 1  before and after  Kitchen" in shown
        assert "before: A.JPG" in shown
        assert "after: B.JPG" in shown
        assert "D.JPG" not in shown
        await hands.press("escape")
        assert "2 of 4  A.JPG" in text(pilot.app)


async def test_pairs_are_chosen_with_the_arrows(
    taken: Job, tmp_path: Path, on_screen: Callable[..., Any]
) -> None:
    add(taken, [photo(tmp_path, "D.JPG", 9)])
    attach(taken, STEP, "D.JPG", role="after", spot="sink")
    async with on_screen(taken, (120, 40)) as pilot:
        hands = await look(pilot, "P", "b")
        assert "1 of 2  before and after" in text(pilot.app)
        await hands.press("right")
        assert "after: D.JPG" in text(pilot.app)
        await hands.press("right")
        assert "after: B.JPG" in text(pilot.app)


async def test_exif_is_listed_beside_and_no_string_of_it_is_obeyed(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any]
) -> None:
    add(job, [photo(tmp_path, "H.JPG", 1, make=HOSTILE, model="T1")])
    async with on_screen(job, (120, 40)) as pilot:
        hands = await look(pilot, "p", "enter")
        await hands.press("e")
        await until(pilot, lambda: "DateTimeOriginal" in text(pilot.app))
        shown = text(pilot.app)
        assert "Exif DateTimeOriginal 2026:03:12 07:30:00" in shown
        assert "\x1b" not in shown
        assert "\u202e" not in shown
        listed = str(pilot.app.screen.query_one("#exif", Static).render())
        assert r"\x1b]0;owned\x07[red]x" in listed
        await until(pilot, lambda: drawn(pilot))
        await hands.press("e")
        assert "DateTimeOriginal" not in text(pilot.app)


async def test_a_note_is_added_and_stands_in_the_caption(
    taken: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(taken) as pilot:
        hands = await look(pilot, "P")
        await hands.press("n")
        await hands.fill({"note": "the mark is at 28 in"})
        assert "Note: the mark is at 28 in" in " ".join(text(pilot.app).split())
        await hands.press("n")
        await hands.fill({"note": "at 29 in"})
        assert "Note: at 29 in" in " ".join(text(pilot.app).split())
    assert "Note: at 29 in" in str(captions(taken.board))
    assert [e.by for e in taken.record.events if e.kind == "noted"] == ["Ines Valdkamp"] * 2


async def test_the_bytes_are_opened_outside_under_a_name_of_ours_and_go_with_the_program(
    taken: Job, on_screen: Callable[..., Any], seen_outside: list[Path]
) -> None:
    before = len(taken.record.events)
    async with on_screen(taken) as pilot:
        hands = await look(pilot, "P", "o")
        await until(pilot, lambda: bool(seen_outside))
        (path,) = seen_outside
        sha256 = next(iter(taken.board.ledger.photos))
        assert path.name == f"photo-{sha256[:16]}.jpg"
        assert path.read_bytes() == taken.record.photo_bytes(sha256)
        if sys.platform != "win32":
            assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
        await hands.press("right", "o")
        await until(pilot, lambda: len(seen_outside) == 2)
        assert seen_outside[1].parent == path.parent
    assert not path.parent.exists()
    assert len(taken.record.events) == before


async def test_a_withheld_photo_is_told_and_not_drawn(
    taken: Job, on_screen: Callable[..., Any], seen_outside: list[Path]
) -> None:
    withhold(taken, "C.JPG", because="a stranger's face", by="Ada")
    async with on_screen(taken, (120, 40)) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("p", "enter")
        await until(pilot, lambda: isinstance(pilot.app.screen, PhotoScreen))
        await hands.settle_form()
        assert "a stranger's face Its bytes were erased" in " ".join(text(pilot.app).split())
        await hands.press("o", "e")
        await hands.settle_form()
        assert seen_outside == []


async def test_the_step_of_a_photo_is_gone_to_from_the_list_and_from_the_photo(
    taken: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(taken) as pilot:
        hands = await look(pilot, "p", "enter")
        await hands.press("g")  # at no step: that is said, and the photo stays
        assert isinstance(pilot.app.screen, PhotoScreen)
        await hands.press("right", "g")
        await until(pilot, lambda: hasattr(pilot.app.screen, "in_hand"))
        await hands.settle_form()
        assert pilot.app.screen.in_hand.step.id == STEP
        await stand(pilot)
        await hands.press("p", "b", "full_stop", *"jpg", "ctrl+g")
        await hands.settle_form()
        assert pilot.app.screen.in_hand.step.id == STEP


async def test_a_photo_is_looked_at_from_the_list_to_attach_from_and_nothing_is_attached(
    taken: Job, on_screen: Callable[..., Any]
) -> None:
    before = len(taken.record.events)
    async with on_screen(taken) as pilot:
        hands = await look(pilot, "a", "ctrl+l")
        assert "1 of 3" in text(pilot.app)
        assert "Its step" not in text(pilot.app)  # the list below waits for a photo
        await hands.press("escape")
        assert "Ctrl+L: look at it" in text(pilot.app)
    assert len(taken.record.events) == before


@pytest.mark.parametrize(("keys", "look_key"), [("a", "ctrl+l"), ("p", "enter")])
async def test_a_photo_is_counted_in_the_list_that_is_seen(
    keys: str, look_key: str, sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        hands = await look(pilot, keys, *"tb7", "underscore", *"020", "down", look_key)
        assert "2 of 9  TB7_020" in text(pilot.app)
        await hands.press("left", "left")
        assert "9 of 9  TB7_020" in text(pilot.app)


@pytest.mark.parametrize("why", ["NO_COLOR", "SILTLINE_ASCII", "sixteen"])
async def test_without_colours_that_is_said_and_greys_are_drawn_with_characters(
    why: str, sample: Job, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(
        "SILTLINE_THEME" if why == "sixteen" else why, why if why == "sixteen" else "1"
    )
    async with on_screen(sample) as pilot:
        await stand(pilot, "outlet-replaced/sink-outlet")
        await Hands(pilot).press("P")
        await until(pilot, lambda: isinstance(pilot.app.screen, PhotoScreen))
        lines = pilot.app.screen.query_one("#picture-one", Picture)
        await until(pilot, lambda: len(lines._lines) > 3)
        shown = [line.text for line in lines._lines]
        assert all(set(line) <= set(" .:-=+*#%@") for line in shown)
        assert len(set("".join(shown))) > 5, "light and dark differ"
        assert "No colors can be shown here" in text(pilot.app)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
@pytest.mark.parametrize("name", SCREENS)
async def test_the_photos_look_as_kept(
    name: str,
    size: tuple[int, int],
    taken: Job,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    async with on_screen(taken, size) as pilot:
        await stand(pilot, STEP)
        await Hands(pilot).press(*SCREENS[name])
        for look_of in PALETTES:
            pilot.app.theme = look_of
            await settled(pilot, name, size)
            assert picture(pilot.app) == kept(name=look_of)


async def settled(pilot: Any, name: str, size: tuple[int, int]) -> None:
    """Wait until everything that is drawn meanwhile is there."""
    await pilot.pause()
    screen = pilot.app.screen
    if isinstance(screen, PhotoListing):
        screen.query_one("#search-field").cursor_blink = False
    shown = [one for one in screen.query(Picture) if one.size.width and one.photo]
    assert bool(shown) == (name != "list" or size == (120, 40))
    await until(pilot, lambda: all("Drawing" not in one._lines[0].text for one in shown))
    await until(pilot, lambda: name != "exif" or "DateTimeOriginal" in text(pilot.app))
    await pilot.pause()


def test_an_odd_line_of_pixels_is_drawn_whole() -> None:
    cells = (2, 3, bytes(range(18)))
    upper, lower = in_colour(cells)
    assert upper.cell_length == lower.cell_length == 2
    style = lower._segments[0].style
    assert style is not None
    assert style.color == style.bgcolor
