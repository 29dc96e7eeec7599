"""YAML is read as plain data with the place of every value; all else is told at its place."""

from __future__ import annotations

import io
import json
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from siltline.rules.faults import Faulty
from siltline.rules.yamltext import DEEPEST, LARGEST, as_mapping, decode, load
from siltline.sentences import say

FAULT = re.compile(r"f\.yaml:[1-9]\d*:[1-9]\d*: \S.*")


def told(text: str) -> list[str]:
    """Return the faults of a text as `line:column: words`."""
    with pytest.raises(Faulty) as fault:
        load(text, "f.yaml")
    return [line.removeprefix("f.yaml:") for line in str(fault.value).splitlines()]


SHEET = """\
# a remark
house: Test house
rooms:
  kitchen:
    name: "The kitchen"   # and another
    waterline:   31 in
  den: {name: Den, silt-line: '2 ft'}
list:
  - one
  -  two
  - [three, four]
note: >-
  folded
  text
caf\u00e9: \u00fc, then
empty:
last: ~
"""


@pytest.mark.parametrize(
    ("path", "place", "value"),
    [
        ((), (2, 1), None),
        (("house",), (2, 8), "Test house"),
        (("rooms",), (4, 3), None),
        (("rooms", "kitchen"), (5, 5), None),
        (("rooms", "kitchen", "name"), (5, 11), "The kitchen"),
        (("rooms", "kitchen", "waterline"), (6, 18), "31 in"),
        (("rooms", "den"), (7, 8), None),
        (("rooms", "den", "name"), (7, 15), "Den"),
        (("rooms", "den", "silt-line"), (7, 31), "2 ft"),
        (("list",), (9, 3), None),
        (("list", 0), (9, 5), "one"),
        (("list", 1), (10, 6), "two"),
        (("list", 2), (11, 5), None),
        (("list", 2, 1), (11, 13), "four"),
        (("note",), (12, 7), "folded text"),
        (("caf\u00e9",), (15, 7), "\u00fc, then"),
        (("last",), (17, 7), None),
    ],
)
def test_every_value_is_known_with_its_line_and_column(
    path: tuple[str | int, ...], place: tuple[int, int], value: str | None
) -> None:
    source = load(SHEET, "f.yaml")
    assert source.marks[path] == place
    assert source.line(path) == place[0]
    data = source.data
    for part in path:
        data = data[part]
    if value is not None:
        assert data == value


def test_keys_have_places_too_and_a_fault_stands_at_the_nearest_thing_there_is() -> None:
    source = load(SHEET, "f.yaml")
    assert str(source.fault(("rooms", "den"), "x", key=True)) == "f.yaml:7:3: x"
    assert str(source.fault(("rooms", "den"), "x")) == "f.yaml:7:8: x"
    assert str(source.fault(("rooms", "kitchen", "silt-line"), "x")) == "f.yaml:5:5: x"
    assert str(source.fault(("walls", "north", "name"), "x", key=True)) == "f.yaml:2:1: x"
    assert source.line(("walls",)) == 1


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_lines_end_as_on_any_machine(ending: str) -> None:
    source = load(f"a: 1{ending}b:{ending}  c: 2{ending}", "f.yaml")
    assert source.data == {"a": "1", "b": {"c": "2"}}
    assert source.marks["b", "c"] == (3, 6)


@pytest.mark.parametrize(
    "word",
    [
        "NO", "no", "yes", "on", "y", "True", "NULL", "1", "0", "0o7", "0x1F", "012", "1_000",
        "1.0", "1e3", "-1", ".inf", ".nan", "1:30", "21:30", "2026-03-10", "2026-03-10 21:30",
        "2026-03-10T21:30:00Z", "31 in", "2'10\"", "<<", "=",
    ],
)  # fmt: skip
def test_what_a_person_typed_stays_text(word: str) -> None:
    assert load(f"a: {word}", "f.yaml").data == {"a": word}
    assert load(f"a: [{word}]", "f.yaml").data == {"a": [word]}


@pytest.mark.parametrize(
    ("word", "value"),
    [("true", True), ("false", False), ("null", None), ("~", None), ("", None)],
)
def test_only_true_false_and_null_become_values_and_not_in_quotes(word: str, value: object) -> None:
    assert load(f"a: {word}", "f.yaml").data == {"a": value}
    assert load(f"a: '{word}'\nb: \"{word}\"", "f.yaml").data == {"a": word, "b": word}


def test_a_key_that_stands_twice_is_told_each_time_and_others_are_read_on() -> None:
    assert told("a: 1\nb: 2\na: 3\nc:\n  d: 1\n  d: 2\na: 4\n") == [
        "3:1: the key 'a' stands here a second time; keep one",
        "6:3: the key 'd' stands here a second time; keep one",
        "7:1: the key 'a' stands here a second time; keep one",
    ]


ANCHOR = "anchors and aliases (& and *) are not used here; write the value out"
TAG = "tags (!) are not used here; write the plain value"
KEY = "a key must be a plain word"
SECOND = "a second document starts here (---); keep one document a file"


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("a: &x 1\nb: *x\n", [f"1:4: {ANCHOR}", f"2:4: {ANCHOR}"]),
        ("a: &x [1]\n", [f"1:4: {ANCHOR}"]),
        ("a: &x {b: 1}\n<<: *x\n", [f"1:4: {ANCHOR}", f"2:5: {ANCHOR}"]),
        ("a: !!str 1\n", [f"1:4: {TAG}"]),
        ("a: !x [1]\n", [f"1:4: {TAG}"]),
        ("a: ! 1\n", [f"1:4: {TAG}"]),
        ("a: !!python/name:os.system {}\n", [f"1:4: {TAG}"]),
        ("- !!set {a, b}\n", [f"1:3: {TAG}"]),
        ("? [a, b]\n: c\n", [f"1:3: {KEY}"]),
        ("{a: b}: c\n", [f"1:1: {KEY}"]),
        ("a: 1\n---\nb: 2\n", [f"2:1: {SECOND}"]),
        ("a: 1\n--- \n", [f"2:1: {SECOND}"]),
    ],
)
def test_what_no_sheet_needs_is_refused_at_its_place(text: str, faults: list[str]) -> None:
    assert told(text) == faults


# An anchor or a tag before a key means as little here as one before a value.
@pytest.mark.parametrize(("text", "fault"), [("&x a: 1\n", ANCHOR), ("!!str a: 1\n", TAG)])
def test_an_anchor_or_a_tag_of_a_key_is_refused_too(text: str, fault: str) -> None:
    assert told(text) == [f"1:1: {fault}"]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a:\n\tb: 1\n", "2:1"),
        ("a: 'never closed\n", "1:4"),
        ("a: [1, 2\n", "1:4"),
        ("a: b: c\n", "1:5"),
        ("a: 1\n b: 2\n", "2:2"),
        ("a: @x\n", "1:4"),
        ("a: `x`\n", "1:4"),
        ("a: %x\n", "1:4"),
        ("a: *nobody\n", "1:4"),
        ("a: !e!x 1\n", "1:4"),
        ('a: "\\q"\n', "1:6"),
        ("%YAML 3.0\n---\na: 1\n", "1:1"),
    ],
)
def test_a_syntax_fault_is_told_where_the_slip_is(text: str, place: str) -> None:
    (fault,) = told(text)
    assert fault.startswith(f"{place}: ")


def test_a_character_that_yaml_forbids_is_told_where_it_stands() -> None:
    (fault,) = told("a: 1\nb: x\x01\n")
    assert fault.startswith("2:5: ")


@pytest.mark.parametrize("bad", ["\x00", "\x01", "\x1b[31m", "\x7f", "\ud800", "\uffff", "\x9b"])
def test_control_characters_and_surrogates_are_refused_and_never_shown_raw(bad: str) -> None:
    (fault,) = told(f"a: x{bad}\n")
    assert "a character that nobody sees" in fault
    assert bad not in fault


# YAML 1.2.2 section 5.7 lets eight hex digits stand, but Unicode ends at 10FFFF.
@pytest.mark.parametrize("escape", ["\\U00110000", "\\UFFFFFFFF", "\\U7fffffff"])
def test_an_escape_past_the_end_of_unicode_is_told_and_never_raised(escape: str) -> None:
    (fault,) = told(f'a: 1\nb: "{escape}"\n')
    assert FAULT.fullmatch(f"f.yaml:{fault}")


def test_a_version_of_endless_digits_is_told_and_never_raised() -> None:
    (fault,) = told(f"%YAML {'9' * 5000}.1\n---\na: 1\n")
    assert FAULT.fullmatch(f"f.yaml:{fault}")


def test_an_escaped_surrogate_is_refused_for_no_record_could_hold_it() -> None:
    (fault,) = told('a: 1\nb: "\\ud800"\n')
    assert fault.startswith("2:")


def test_a_depth_that_no_sheet_needs_is_refused_at_once() -> None:
    deep = f"1:{DEEPEST + 2}: this is nested deeper than {DEEPEST} levels; no sheet or checklist "
    assert told("[" * 100_000) == [f"{deep}needs that"]
    assert told("[" * (DEEPEST + 2) + "]" * (DEEPEST + 2)) == [f"{deep}needs that"]
    load("[" * (DEEPEST + 1) + "]" * (DEEPEST + 1), "f.yaml")


@pytest.mark.parametrize("piece", ["{a: ", "- ", "? ", "[{a: ", "[[], "])
def test_other_towers_are_refused_too(piece: str) -> None:
    assert any("deeper" in fault or "not closed" in fault for fault in told(piece * 10_000))


def test_a_huge_text_is_refused_unread() -> None:
    assert told("a" * (LARGEST + 1)) == [
        f"1:1: the file has more than {LARGEST} characters; no sheet or checklist needs that"
    ]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n", "---\n", "~", "word", "- a\n"])
def test_a_file_without_keys_is_told_when_keys_are_wanted(text: str) -> None:
    with pytest.raises(Faulty, match=r"f\.yaml:\d+:\d+: the file should hold keys and values"):
        as_mapping(load(text, "f.yaml"))


def test_a_byte_order_mark_is_taken_off() -> None:
    text = decode(b"\xef\xbb\xbfa: 1\n", "f.yaml")
    assert text == "a: 1\n"
    assert load(text, "f.yaml").marks["a",] == (1, 4)


@pytest.mark.parametrize(
    ("raw", "place"),
    [
        (b"a: 1\nb: caf\xe9\n", "2:7"),  # Latin-1
        (b"\xff", "1:1"),
        (b"a: 1\n\xe2\x82", "2:1"),  # cut off inside a character
        (b"a: \xed\xa0\x80\n", "1:4"),  # a surrogate, which UTF-8 has no place for
        (b"a: \xc0\xaf\n", "1:4"),  # longer than it needs to be
        ("a: 1\n".encode("utf-16"), "1:1"),
    ],
)
def test_bytes_that_are_not_utf_8_are_told_at_the_first_of_them(raw: bytes, place: str) -> None:
    with pytest.raises(Faulty) as fault:
        decode(raw, "f.yaml")
    words = "the file is not UTF-8 text from here on; save it as UTF-8"
    assert str(fault.value) == f"f.yaml:{place}: {words}"


def test_utf_16_without_a_mark_is_told_too() -> None:
    with pytest.raises(Faulty):
        load(decode("a: 1\n".encode("utf-16-le"), "f.yaml"), "f.yaml")


# The mark is no part of the text, so it must not move the place of what comes after it.
@pytest.mark.parametrize(
    ("raw", "place"), [(b"\xef\xbb\xbf\xff", "1:1"), (b"\xef\xbb\xbfa: 1\n\xff", "2:1")]
)
def test_a_byte_order_mark_does_not_move_the_place_of_a_fault(raw: bytes, place: str) -> None:
    with pytest.raises(Faulty, match=rf"^f\.yaml:{place}: "):
        decode(raw, "f.yaml")


def test_the_column_of_a_bad_byte_counts_characters_as_every_other_column_does() -> None:
    with pytest.raises(Faulty, match=r"^f\.yaml:1:6: "):
        decode("a: \u00e9\u00e9".encode() + b"\xff", "f.yaml")


def test_a_file_name_is_told_visible() -> None:
    with pytest.raises(Faulty) as fault:
        load("[", "\x1b[31m.yaml")
    assert "\x1b" not in str(fault.value)


MARKS = st.text("\n \t:-?[]{},&*!|>'\"%@`#=<.~aN01\\Uux\ufeff\x00\x85\u2028\r\u00e9", max_size=40)


@given(MARKS | st.text(st.characters(), max_size=40))
@settings(max_examples=300, deadline=None)
def test_any_text_at_all_is_data_or_a_fault_at_a_place(text: str) -> None:
    faults = ["f.yaml:1:1: none"]
    try:
        source = load(text, "f.yaml")
    except Faulty as fault:
        faults = str(fault).splitlines()
    else:
        assert isinstance(source.data, dict | list | str | bool | None)
    assert faults
    assert all(FAULT.fullmatch(line) for line in faults)


@given(st.binary(max_size=40))
@settings(deadline=None)
def test_any_bytes_at_all_are_text_or_a_fault_at_a_place(raw: bytes) -> None:
    told_of = "f.yaml:1:1: none"
    try:
        text = decode(raw, "f.yaml")
    except Faulty as fault:
        told_of = str(fault)
    else:
        assert text.encode("utf-8-sig" if raw.startswith(b"\xef\xbb\xbf") else "utf-8") == raw
    assert FAULT.fullmatch(told_of)


def nested(words: st.SearchStrategy[str]) -> st.SearchStrategy[dict[str, Any]]:
    inner = st.recursive(
        words,
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4),
        max_leaves=12,
    )
    return st.dictionaries(words, inner, max_size=4)


# The writer puts the line breaks of Unicode bare into quotes, where YAML folds them to blanks.
WORDS = st.text(
    st.characters(exclude_categories=("Cs",), exclude_characters="\x85\u2028\u2029"), max_size=12
)


@given(nested(WORDS))
@settings(max_examples=100, deadline=None)
def test_what_another_writer_wrote_is_read_as_it_was(data: dict[str, Any]) -> None:
    writer = YAML(typ="safe", pure=True)
    writer.default_flow_style = False
    writer.representer.ignore_aliases = lambda _: True
    written = io.StringIO()
    writer.dump(data, written)
    assert load(written.getvalue(), "f.yaml").data == data


@given(nested(st.text(st.characters(max_codepoint=0xFFFF, exclude_categories=("Cs",)), max_size=9)))
@settings(max_examples=100, deadline=None)
def test_json_is_yaml_and_is_read_as_it_was(data: dict[str, Any]) -> None:
    text = json.dumps(data).replace("\x7f", "\\u007f")  # YAML lets no DEL stand bare
    assert load(text, "f.yaml").data == data


def test_a_second_colon_in_a_line_is_told_as_one() -> None:
    with pytest.raises(Faulty) as told:
        load("a: b: c\n", "x.yaml")
    assert [str(fault.text) for fault in told.value.faults] == [say("yaml.colon")]
