"""Text from outside is shown so that no terminal obeys it and no spreadsheet computes it."""

from __future__ import annotations

import os
import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from siltline.text import cell, cells, fit, in_ascii, slug, storable, visible

# Categories of the Unicode Standard, chapter 4.5: control, format, surrogate, private use,
# unassigned, line and paragraph separator. None of them has a shape of its own.
HIDDEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
ANYTHING = st.text(st.characters())  # with lone surrogates, unlike the default of text()
SHOWN = st.text(st.characters(exclude_categories=HIDDEN))
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


@pytest.mark.parametrize(
    ("char", "shown"),
    [
        ("\x1b", r"\x1b"),  # ESC begins a command to the terminal
        ("\x9b", r"\x9b"),  # C1: the same command in one character
        ("\x85", r"\x85"),
        ("\x00", r"\x00"),
        ("\x07", r"\x07"),
        ("\x08", r"\x08"),
        ("\x7f", r"\x7f"),
        ("\t", r"\x09"),
        ("\r", r"\x0d"),
        ("\n", r"\x0a"),
        ("\u202e", r"\u202e"),  # right-to-left override
        ("\u2066", r"\u2066"),  # isolate
        ("\u200b", r"\u200b"),  # zero-width space
        ("\u200d", r"\u200d"),  # zero-width joiner
        ("\ufeff", r"\ufeff"),
        ("\u00ad", r"\xad"),  # soft hyphen
        ("\u2028", r"\u2028"),
        ("\u2029", r"\u2029"),
        ("\ue000", r"\ue000"),  # private use
        ("\uffff", r"\uffff"),  # never a character
        ("\ud800", r"\ud800"),
        ("\udcff", r"\udcff"),
        ("\U000e0041", r"\U000e0041"),  # a tag character, which spells unseen words
        ("\U0010fffd", r"\U0010fffd"),
    ],
)
def test_what_a_terminal_would_obey_or_hide_is_written_out(char: str, shown: str) -> None:
    assert visible(f"a{char}b") == f"a{shown}b"


def test_notes_of_several_lines_keep_their_line_feeds_and_nothing_else() -> None:
    assert visible("one\r\n\ttwo\n", lines=True) == "one\\x0d\n\\x09two\n"


@given(ANYTHING, st.booleans())
def test_nothing_hidden_is_ever_left(text: str, lines: bool) -> None:
    left = {char for char in visible(text, lines=lines) if unicodedata.category(char) in HIDDEN}
    assert left <= ({"\n"} if lines else set())


@given(ANYTHING, st.booleans())
def test_what_is_visible_already_is_not_changed_again(text: str, lines: bool) -> None:
    once = visible(text, lines=lines)
    assert visible(once, lines=lines) == once


@given(SHOWN)
def test_plain_text_of_any_script_stays_as_it_is(text: str) -> None:
    assert visible(text) == text
    assert visible(text, lines=True) == text


@given(ANYTHING)
def test_what_is_storable_fits_into_utf_8_and_only_surrogates_are_changed(text: str) -> None:
    kept = storable(text)
    kept.encode("utf-8")
    assert storable(kept) == kept
    if not any("\ud800" <= char <= "\udfff" for char in text):
        assert kept == text


@pytest.mark.skipif(os.name == "nt", reason="file names are not bytes there")
def test_a_file_name_that_is_no_text_can_be_kept() -> None:
    assert storable(os.fsdecode(b"IMG\xff.JPG")) == "IMG\\udcff.JPG"


@given(ANYTHING, st.integers(3, 60))
def test_a_slug_is_a_name_that_every_file_system_takes(text: str, longest: int) -> None:
    name = slug(text, longest=longest)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name)
    assert len(name) <= longest + 2  # a device's name gets two characters more
    if len(name) > longest:
        assert name.endswith("-x")


@given(ANYTHING)
def test_a_slug_of_a_slug_is_itself(text: str) -> None:
    assert slug(slug(text)) == slug(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Kitchen", "kitchen"),
        ("  The den, west side ", "the-den-west-side"),
        ("caf\u00e9 n\u00ba 3", "cafe-no-3"),
        ("A/1", "a-1"),
        ("../../etc", "etc"),
        ("-- --", "x"),
        ("", "x"),
        ("\u53a8\u623f", "x"),
        ("a" * 41, "a" * 40),
        ("a" * 39 + " b", "a" * 39),
    ],
)
def test_slugs(text: str, name: str) -> None:
    assert slug(text) == name


# The names that Windows keeps for devices, whatever their ending: from memory.
DEVICES = ["con", "prn", "aux", "nul"] + [f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10)]


@pytest.mark.parametrize("device", DEVICES)
def test_no_slug_is_the_name_of_a_device(device: str) -> None:
    assert slug(device) == f"{device}-x"
    assert slug(device.upper()) == f"{device}-x"
    assert slug(f" {device}. ") == f"{device}-x"


def test_a_slug_that_is_cut_to_the_name_of_a_device_is_not_one() -> None:
    assert slug("con-crete", longest=4) == "con-x"
    assert slug("com\u00b9") == "com1-x"  # a superscript one is a one after NFKD


# Starts that make a spreadsheet compute: OWASP ASVS 5, requirement 1.2.10 (= + - @ tab NUL).
@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_a_cell_that_starts_like_a_formula_is_marked_as_text(start: str) -> None:
    assert cell(f"{start}1+1") == f"'{start}1+1"
    assert cell(start) == f"'{start}"


@pytest.mark.parametrize("start", ["\t", "\r", "\x00"])
def test_a_formula_behind_a_tab_a_return_or_a_nul_is_marked_or_shown(start: str) -> None:
    shown = cell(f"{start}=1+1")
    assert shown.startswith("\\x")
    assert start not in shown


@pytest.mark.parametrize("number", ["-5", "-5.25", "-0", "15.2", "0"])
def test_a_plain_number_stays_a_number_in_a_cell(number: str) -> None:
    assert cell(number) == number


@pytest.mark.parametrize(
    "text", ["-5 in", "-5-5", "-.5", "-5.", "--5", "-1e5", "-\u0665+1", "-5\n"]
)
def test_what_is_not_a_plain_number_does_not_pass_as_one(text: str) -> None:
    assert cell(text) == f"'{text}"


@given(ANYTHING)
def test_no_cell_ever_starts_like_a_formula(text: str) -> None:
    shown = cell(text)
    assert not shown.startswith(FORMULA_STARTS) or re.fullmatch(r"-\d+(\.\d+)?", shown)
    assert visible(shown, lines=True) == shown


@pytest.mark.parametrize(
    ("text", "columns"), [("", 0), ("wall", 4), ("\u4e2d\u6587", 4), ("e\u0301", 1), ("\uff21", 2)]
)
def test_a_text_takes_the_columns_that_unicode_gives_it(text: str, columns: int) -> None:
    """Unicode Standard Annex 11: wide and full-width take two, combining marks none."""
    assert cells(text) == cell_len(text) == columns


@given(SHOWN, st.integers(0, 30))
def test_what_is_cut_fits_and_ends_in_an_ellipsis(text: str, width: int) -> None:
    cut = fit(text, width)
    assert cells(cut) <= width
    assert cut == text or cut.endswith("\u2026") or width == 0


@given(SHOWN)
def test_ascii_stays_and_everything_else_becomes_ascii(text: str) -> None:
    assert in_ascii(text).isascii()
    assert in_ascii("plain ASCII") == "plain ASCII"


@pytest.mark.parametrize(
    ("text", "plain"),
    [("K\u00fcche", "Kuche"), ("34\u2033", '34"'), ("34\u00bd", "341/2"), ("\u4e2d", "?")],
)
def test_what_has_a_plain_form_gets_it(text: str, plain: str) -> None:
    assert in_ascii(text) == plain
