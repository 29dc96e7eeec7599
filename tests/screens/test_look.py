"""Every look can be read: WCAG contrast, ANSI Z535 signal words, few colours or none, ASCII."""

from __future__ import annotations

import colorsys
import unicodedata
from collections.abc import AsyncIterator, Callable, Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich._palettes import EIGHT_BIT_PALETTE, STANDARD_PALETTE, WINDOWS_PALETTE
from rich.cells import cell_len
from rich.color import Color as Ink
from rich.color import ColorSystem
from rich.segment import Segment

from siltline.job import Job
from siltline.judge.next_thing import next_thing
from siltline.screens.app import SiltlineApp
from siltline.screens.doing import DeskScreen
from siltline.screens.drawing import contrast, draws_ascii_only, in_ascii
from siltline.screens.themes import PALETTES, Palette, after, fitting, pairs
from siltline.screens.words import SIGNAL_STYLES
from siltline.text import visible
from support.desk import Hands
from support.screens import text

Rgb = tuple[int, int, int]
SIXTEEN = {tuple(STANDARD_PALETTE[number]) for number in range(16)}
LOOKS = pytest.mark.parametrize("look", PALETTES)
FLOORS = {"night": 4.5, "sunlight": 7.0, "sixteen": 4.5}  # WCAG 2.2: 1.4.3 (AA), 1.4.6 (AAA)
SCREENS: dict[str, tuple[str, ...]] = {
    "desk": (),
    "danger": ("@prove-dead/circuit-4",),
    "attach": ("a",),
    "leave-out": ("x",),
    "tick": ("enter",),
    "review": ("v",),
    "help": ("question_mark",),
    "toast": ("u",),
}


def ratio(one: Rgb, other: Rgb) -> float:
    """Contrast ratio, written again from WCAG 2.2 (definitions of relative luminance and ratio)."""
    lights = []
    for colour in (one, other):
        linear = [
            c / 255 / 12.92 if c / 255 <= 0.04045 else ((c / 255 + 0.055) / 1.055) ** 2.4
            for c in colour
        ]
        lights.append(sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True)))
    return (max(lights) + 0.05) / (min(lights) + 0.05)


def rgb(colour: str) -> Rgb:
    return (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))


def drawn(app: Any) -> Iterator[Segment]:
    """What goes out to the terminal, with a style each."""
    for strip in app.screen._compositor.render_strips():
        yield from (segment for segment in strip if segment.text.strip() and segment.style)


def colours(segment: Segment) -> tuple[Rgb, Rgb]:
    style = segment.style
    assert style is not None
    assert style.color is not None
    assert style.bgcolor is not None
    return tuple(style.color.get_truecolor()), tuple(style.bgcolor.get_truecolor())


async def all_screens(job: Job) -> AsyncIterator[tuple[str, SiltlineApp]]:
    """Every screen after the other, with the name of each."""
    app = SiltlineApp(job)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        for name, keys in SCREENS.items():
            await go(pilot, keys)
            yield name, app
            if not isinstance(app.screen, DeskScreen):
                await pilot.press("escape")


async def go(pilot: Any, keys: tuple[str, ...]) -> None:
    hands = Hands(pilot)
    await pilot.pause()
    for key in keys:
        if key.startswith("@"):
            pilot.app.screen.stand_on(key[1:])
            await pilot.pause()
        else:
            await hands.press(key)
    await pilot.pause()
    await pilot.pause()


# contrast


@pytest.mark.parametrize(
    ("one", "other", "wanted"),
    [
        ("#000000", "#ffffff", 21.0),  # WCAG 2.2: ratios run from 1 to 21
        ("#ffffff", "#ffffff", 1.0),
        ("#767676", "#ffffff", 4.54),  # the palest grey that passes AA on white; from memory
        ("#595959", "#ffffff", 7.0),  # and AAA; from memory
    ],
)
def test_contrast_is_counted_as_the_standard_does(one: str, other: str, wanted: float) -> None:
    assert contrast(rgb(one), rgb(other)) == pytest.approx(wanted, abs=0.006)


@given(st.tuples(*[st.integers(0, 255)] * 3), st.tuples(*[st.integers(0, 255)] * 3))
def test_contrast_agrees_with_the_formula_written_again(one: Rgb, other: Rgb) -> None:
    assert contrast(one, other) == pytest.approx(ratio(one, other))
    assert contrast(one, other) == contrast(other, one)


def test_every_pair_of_every_look_keeps_its_contrast() -> None:
    lines = []
    for look, palette in PALETTES.items():
        assert palette.floor == FLOORS[look]
        for what, letters, ground in pairs(palette):
            found = ratio(rgb(letters), rgb(ground))
            lines.append(f"{look:9}{what:24}{letters} on {ground}  {found:5.2f}")
            assert found >= FLOORS[look], lines[-1]
    print("\n".join(lines))  # noqa: T201 - the figures, with -s


@LOOKS
async def test_every_letter_on_every_screen_keeps_the_contrast_of_its_look(
    look: str, sample: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_THEME", look)
    said_nothing = set("▁▂▃▄▅▆▇▌")  # the ends of scroll bars and the edge of a message
    async for name, app in all_screens(sample):
        seen = list(drawn(app))
        assert len(seen) > 5, name
        for segment in seen:
            letters, ground = colours(segment)
            if not set(segment.text.strip()) <= said_nothing:
                assert ratio(letters, ground) >= FLOORS[look], (name, segment)
            if look == "sixteen":
                assert {letters, ground} <= SIXTEEN, "nothing is blended"


# terminals of few colours


@pytest.mark.parametrize(
    "terminal",
    [STANDARD_PALETTE, WINDOWS_PALETTE, EIGHT_BIT_PALETTE],
    ids=["pc-text-mode", "windows-console", "xterm"],
)
def test_sixteen_colours_keep_their_contrast_as_terminals_draw_them(terminal: Any) -> None:
    """Palettes: Rich's tables, an independent library's."""
    for what, letters, ground in pairs(PALETTES["sixteen"]):
        one, other = (
            Ink.parse(colour).downgrade(ColorSystem.STANDARD).number for colour in (letters, ground)
        )
        assert one is not None
        assert other is not None
        assert one != other, what
        assert ratio(terminal[one], terminal[other]) >= 4.5, what


@pytest.mark.parametrize("look", ["night", "sunlight"])
def test_256_colours_keep_the_contrast_of_a_look(look: str) -> None:
    """xterm's 256 colours, as Rich chooses among them."""
    for what, letters, ground in pairs(PALETTES[look]):
        one, other = (
            Ink.parse(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor()
            for colour in (letters, ground)
        )
        assert ratio(one, other) >= FLOORS[look] - 0.05, what


@pytest.mark.parametrize(
    ("asked", "colours", "no_colour", "wanted"),
    [
        ("", "truecolor", False, "night"),
        ("", "256", False, "night"),
        ("", "standard", False, "sixteen"),
        ("", "windows", False, "sixteen"),
        ("", None, False, "sixteen"),
        ("sunlight", "standard", False, "sunlight"),
        ("no-such-look", "truecolor", False, "night"),
        ("sunlight", "truecolor", True, "sixteen"),
    ],
)
def test_the_look_to_start_with_fits_person_and_terminal(
    asked: str, colours: str | None, no_colour: bool, wanted: str
) -> None:
    assert fitting(asked, colours, no_colour=no_colour) == wanted


def test_looks_come_round() -> None:
    look = "night"
    seen = [look := after(look) for _ in PALETTES]
    assert sorted(seen) == sorted(PALETTES)
    assert seen[-1] == "night"


async def test_the_next_look_is_put_on_at_once_and_kept(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        await pilot.pause()
        assert pilot.app.theme == "night"
        await pilot.app.run_action("next_theme")
        await pilot.pause()
        assert pilot.app.theme == "sunlight"
        grounds = {s.style.bgcolor.get_truecolor() for s in drawn(pilot.app)}
        assert rgb(PALETTES["sunlight"].ground) in grounds
        assert rgb(PALETTES["night"].ground) not in grounds
    async with on_screen(sample) as pilot:
        assert pilot.app.theme == "sunlight"


# signal words

# ANSI Z535.1 names the colours: safety red, orange, yellow, blue. Degrees of hue around those
# names, from memory of the colours, not of the standard's tolerances.
HUES = {"DANGER": (340, 375), "WARNING": (15, 40), "CAUTION": (44, 66), "NOTICE": (200, 245)}
LETTERS = {"DANGER": "#ffffff", "WARNING": "#000000", "CAUTION": "#000000", "NOTICE": "#ffffff"}


@pytest.mark.parametrize("palette", [PALETTES["night"], PALETTES["sunlight"]])
@pytest.mark.parametrize("word", HUES)
def test_signal_words_have_the_colours_of_ansi_z535(palette: Palette, word: str) -> None:
    letters, ground = palette.signals[word]
    assert letters == LETTERS[word]
    hue = colorsys.rgb_to_hsv(*(part / 255 for part in rgb(ground)))[0] * 360
    low, high = HUES[word]
    assert low <= hue <= high or low <= hue + 360 <= high


def test_no_two_signal_words_look_alike_in_any_look() -> None:
    for palette in PALETTES.values():
        assert len(set(palette.signals.values())) == len(SIGNAL_STYLES) == 4


@LOOKS
async def test_a_caution_has_its_word_and_its_colours(
    look: str, sample: Job, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_THEME", look)
    async with on_screen(sample) as pilot:
        await go(pilot, SCREENS["danger"])
        signal = next(s for s in drawn(pilot.app) if s.text.strip() == "DANGER")
    letters, ground = PALETTES[look].signals["DANGER"]
    assert signal.style is not None
    assert signal.style.color.get_truecolor() == rgb(letters)  # type: ignore[union-attr]
    assert signal.style.bgcolor.get_truecolor() == rgb(ground)  # type: ignore[union-attr]


# no colour at all


async def test_without_colour_nothing_has_one_and_what_stood_out_still_does(
    sample: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    first = next_thing(sample.board)
    assert first is not None
    wanted = {
        "desk": first.step.rule.replace("-", " "),
        "danger": "DANGER",
        "review": "Must be fixed",
    }
    async for name, app in all_screens(sample):
        seen = list(drawn(app))
        for segment in seen:
            assert segment.style is not None
            for ink in (segment.style.color, segment.style.bgcolor):
                assert ink is None or ink.is_default, (name, segment)
        turned = " ".join(s.text for s in seen if s.style and s.style.reverse)
        assert wanted.get(name, "") in turned


async def test_without_colour_there_is_one_look_and_it_says_so(
    sample: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = SiltlineApp(sample)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await app.run_action("next_theme")
        await pilot.pause(0.1)
        assert app.theme == "sixteen"
        assert "NO_COLOR is set" in text(app)


# ASCII


@given(st.text(st.characters()))
def test_ascii_is_as_wide_as_what_it_stands_for(typed: str) -> None:
    shown = visible(typed)
    told = in_ascii(shown)
    assert told.isascii()
    assert told.isprintable()
    assert cell_len(told) == cell_len(shown)


def test_lines_arrows_blocks_and_letters_have_their_ascii() -> None:
    assert in_ascii("┌─┬─┐│ │└─┴─┘ ├ ┤ ┼ ╭ ╯ ║ ═ ╔ ╝") == "+-+-+| |+-+-+ + + + + + | - + +"
    assert in_ascii("← → ↑ ↓ ▲ ▼ … • ▀ █ ▌") == "< > ^ v ^ v ~ * : # |"
    assert in_ascii("Señora Núñez — ¿está?") == "Senora Nunez - ?esta?"
    every_box_line = "".join(map(chr, range(0x2500, 0x2580)))
    assert set(in_ascii(every_box_line)) <= set("-|+/\\X")
    every_block = "".join(map(chr, range(0x2580, 0x25A0)))
    assert "?" not in in_ascii(every_block)
    arrows = "".join(char for char in map(chr, range(0x2190, 0x2194)))
    assert "?" not in in_ascii(arrows)


@pytest.mark.parametrize(
    ("environ", "encoding", "wanted"),
    [
        ({"TERM": "xterm-256color"}, "utf-8", False),
        ({"TERM": "xterm-256color"}, "UTF8", False),
        ({}, None, False),
        ({"TERM": "xterm-256color"}, "iso8859-1", True),
        ({"TERM": "xterm-256color"}, "ANSI_X3.4-1968", True),
        ({}, "cp437", True),
        ({}, "cp65001", False),
        ({"TERM": "linux"}, "utf-8", True),
        ({"TERM": "dumb"}, "utf-8", True),
        ({"TERM": "linux", "SILTLINE_ASCII": "0"}, "utf-8", False),
        ({"TERM": "xterm-256color", "SILTLINE_ASCII": "1"}, "utf-8", True),
    ],
)
def test_ascii_is_drawn_where_the_terminal_cannot_draw_more(
    environ: dict[str, str], encoding: str | None, wanted: bool
) -> None:
    assert draws_ascii_only(environ, encoding) is wanted


async def test_in_ascii_no_screen_draws_anything_else(
    sample: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "linux")
    monkeypatch.setenv("SILTLINE_LANGUAGE", "es")
    async for name, app in all_screens(sample):
        shown = text(app)
        assert shown.isascii(), name
        assert all(unicodedata.category(char) != "Cc" for char in shown.replace("\n", ""))
