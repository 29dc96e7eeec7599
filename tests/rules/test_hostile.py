"""Hostile sheets: whatever a file holds, each fault is one sentence at a line and column, quickly.

The shapes of attack are those of YAML itself (YAML 1.2.2: anchors and aliases 7.1, tags 6.9.1,
duplicate keys 3.2.1.3, tabs 6.1, byte order marks 5.2) and of Unicode (bidirectional controls:
Unicode Standard Annex 9).
"""

from __future__ import annotations

import gzip
import re
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from siltline.cli.exits import run
from siltline.cli.root import root
from siltline.errors import WrongUse
from siltline.rules.faults import MOST_TOLD, Faulty
from siltline.rules.files import house_from, text_of
from siltline.rules.yamltext import LARGEST, decode
from support.house import HOUSE

TOLD = re.compile(r"h\.yaml:[1-9]\d*:[1-9]\d*: [^\x00-\x1f\x7f-\x9f\u2028\u2029]+")
BIDI = "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
PATIENCE_S = 20.0  # of one slow core, for some tens of thousands of characters


def told(raw: bytes | str) -> list[str]:
    """Return the faults of a sheet, each held to be one plain sentence at a place."""
    started = time.process_time()
    try:
        text = decode(raw, "h.yaml") if isinstance(raw, bytes) else raw
        house_from(text, "h.yaml")
        found = []
    except Faulty as fault:
        found = str(fault).split("\n")
    assert time.process_time() - started < PATIENCE_S
    assert len(found) <= MOST_TOLD + 1
    assert [line for line in found if not TOLD.fullmatch(line)] == []
    assert [line for line in found if any(mark in line for mark in BIDI)] == []
    return [line.removeprefix("h.yaml:") for line in found]


ROOM = "house: x\nrooms:\n  a:\n    name: A\n"


@pytest.mark.parametrize(
    ("sheet", "wanted"),
    [
        # anchors and aliases: the million laughs, a merge key, an alias to itself
        ("house: &x x\nrooms: {a: {name: *x}}\n", ["1:8: anchors", "2:19: anchors"]),
        ("a: &a [x, x]\nb: &b [*a, *a]\n",
         ["1:4: anchors", "2:4: anchors", "2:8: anchors", "2:12: anchors"]),
        ("house: x\nrooms: &r {a: {name: A}}\nwalls:\n  <<: *r\n", ["2:8: anchors", "4:7: anch"]),
        ("house: &h [*h]\n", ["1:8: anchors", "1:12: anchors"]),
        # tags: a type of a language, binary, a local one, one made by a directive
        ("house: !!python/object/apply:os.system [id]\n", ["1:8: tags"]),
        ("house: !!binary aGk=\n", ["1:8: tags"]),
        ("house: !secret x\n", ["1:8: tags"]),
        ("%TAG ! tag:evil,2000:\n---\nhouse: !x y\n", ["3:8: tags"]),
        ("!!map {house: x}\n", ["1:1: tags"]),
        # the same key twice, at the top, in a room, in two spellings of one text
        (f"house: y\n{ROOM}", ["2:1: the key 'house' stands here a second time"]),
        (f"{ROOM}    name: B\n", ["5:5: the key 'name' stands here a second time"]),
        (f'{ROOM}  "a": {{name: B}}\n', ["5:3: the key 'a' stands here a second time"]),
        # tabs
        ("house: x\nrooms:\n\ta:\n", ["3:1: a tab stands here"]),
        # a mark of byte order inside, a NUL, an escape, half a character
        (f"{ROOM}\ufeffwalls: none\n", ["5:1: "]),
        (f"{ROOM}note: a\x00b\n", ["5:8: a character that nobody sees"]),
        (f"{ROOM}note: \x1b[2J\n", ["5:7: a character that nobody sees"]),
        (f'{ROOM}note: "\\ud800"\n', ["5:7: this escape is half a character"]),
        # text that runs from right to left, as a key, a word to choose, an id, a room
        (f"{ROOM}\u202ellaw: x\n", [r"5:1: '\u202ellaw' is not known here"]),
        (f"{ROOM}foundation: \u202ebals\n", [r"5:13: 'foundation' cannot be '\u202ebals'"]),
        (f"{ROOM}  \u2067b: {{name: B}}\n", [r"5:3: '\u2067b' should be small letters"]),
        (
            f"{ROOM}walls: {{w: {{name: W, room: \u200fa}}}}\n",
            [
                "5:28: 'room' should be small letters",
                r"5:28: there is no room '\u200fa' in this sheet; did you mean 'a'?",
            ],
        ),
        # more than one document, a directive, something that is no mapping
        (f"{ROOM}---\nhouse: y\n", ["5:1: a second document"]),
        ("--- [house]\n", ["1:5: the file should hold keys and values"]),
        ("? [a, b]\n: x\n", ["1:3: a key must be a plain word"]),
        # numbers past all bounds
        (f"house: x\naltitude: {'9' * 5000} ft\nrooms: {{a: {{name: A}}}}\n", ["2:11: '999"]),
        (f"house: x\nyear-built: {'9' * 5000}\nrooms: {{a: {{name: A}}}}\n", ["2:13: '999"]),
        (f"{ROOM}    waterline: 1e999999999 in\n", ["5:16: '1e999999999 in' is not a number"]),
        (f"{ROOM}    waterline: nan in\n", ["5:16: 'nan in' is not a number"]),
        ("house: x\nposition: {latitude: 1e99, longitude: \u0661}\n", ["1:1: ", "2:22", "2:39"]),
    ],
)  # fmt: skip
def test_each_attack_is_told_at_its_place(sheet: str, wanted: list[str]) -> None:
    found = told(sheet)
    assert len(found) == len(wanted), found
    for line, start in zip(found, wanted, strict=True):
        assert line.startswith(start), line


@pytest.mark.parametrize("mark", BIDI)
def test_a_name_may_run_from_right_to_left_and_is_shown_by_its_marks(mark: str) -> None:
    house, _ = house_from(ROOM.replace("name: A", f"name: {mark}A"), "h.yaml")
    assert house.rooms["a"].name == f"{mark}A"
    assert f"\\u{ord(mark):04x}" in told(ROOM.replace("name: A", f"name: A\n    {mark}: 1"))[0]


@pytest.mark.parametrize(
    ("raw", "place"),
    [
        (HOUSE.encode("utf-16"), "1:1"),
        (HOUSE.encode("utf-32"), "1:1"),
        (HOUSE.replace("loft", "caf\u00e9").encode("latin-1"), "14:6"),
        (HOUSE.replace("loft", "caf\u00e9").encode("cp1252"), "14:6"),
        (b"\xef\xbb\xbf" + HOUSE.replace("loft", "caf\u00e9").encode("latin-1"), "14:6"),
        (gzip.compress(HOUSE.encode(), mtime=0), "1:2"),
        (b"\x89PNG\r\n\x1a\n", "1:1"),
    ],
)
def test_another_encoding_is_told_at_the_first_byte_that_is_not_utf_8(
    raw: bytes, place: str
) -> None:
    words = "the file is not UTF-8 text from here on; save it as UTF-8"
    assert told(raw) == [f"{place}: {words}"]


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be", "utf-32-le"])
def test_an_encoding_without_a_mark_shows_by_its_zero_bytes(encoding: str) -> None:
    (fault,) = told(HOUSE.encode(encoding))
    assert fault.startswith("1:")


def test_a_mark_of_byte_order_before_the_sheet_is_no_part_of_it() -> None:
    assert told(b"\xef\xbb\xbf" + HOUSE.encode()) == []
    assert told(HOUSE.replace("\n", "\r\n").encode()) == []


def big(n: int) -> dict[str, str]:
    """Return texts of about `n` characters that cost a careless reader the most."""
    walls = "".join(f"  w{i}: {{name: W, room: q{i}}}\n" for i in range(n // 60))
    return {
        "unknown keys": "".join(f"k{i}: 1\n" for i in range(n // 10)),
        "one key again and again": "house: x\n" * (n // 9),
        "rooms": "house: x\nrooms:\n" + "".join(f"  r{i}: {{name: A}}\n" for i in range(n // 20)),
        "walls of no room": "house: x\nrooms:\n"
        + "".join(f"  r{i}: {{name: A}}\n" for i in range(n // 60)) + "walls:\n" + walls,
        "parts of no kind": ROOM + "electrical:\n"
        + "".join(f"  p{i}: {{name: A, room: a, kind: x}}\n" for i in range(n // 40)),
        "laughs": "".join(f"b{i}: &b{i} [*b{max(i - 1, 0)}]\n" for i in range(n // 24)),
        "tags": "".join(f"k{i}: !t 1\n" for i in range(n // 14)),
        "remarks": "".join(f"k{i}: 1 #x\n" for i in range(n // 14)),
        "documents": "---\n" * (n // 4),
        "a long key": "k" * (n - 8) + ": 1\n",
        "a long word": f"house: {'v' * (n - 8)}\n",
        "a quote that never ends": 'house: "' + "v " * (n // 2 - 8),
        "a bracket that never ends": "house: [" + "v, " * (n // 3 - 8),
        "brackets": "[" * n,
        "braces": "{" * n,
        "dashes": "- " * (n // 2),
        "exclamations": "!" * n,
        "a staircase": "\n".join(" " * i + "a:" for i in range(int((2 * n) ** 0.5) - 2)),
        "a block": "note: |\n" + " x\n" * (n // 3 - 8),
        "lines": "\n" * n,
        "carriage returns": "a\r" * (n // 2),
        "a list in a line": "house: [" + "1," * (n // 2 - 8) + "]",
        "keys in a line": "{" + "a: b, " * (n // 6 - 2) + "}",
    }  # fmt: skip


@pytest.mark.parametrize("name", big(100))
def test_a_large_hostile_sheet_is_refused_quickly(name: str) -> None:
    found = told(big(20_000)[name])
    assert bool(found) == (name != "rooms")


@pytest.mark.full
@pytest.mark.parametrize("name", big(100))
def test_the_largest_hostile_sheet_is_refused_in_bounded_time(
    name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(globals(), "PATIENCE_S", 120.0)
    text = big(LARGEST - 100)[name][:LARGEST]
    started = time.process_time()
    told(text)
    with capsys.disabled():
        print(f"\n{name}: {len(text)} characters, {time.process_time() - started:.1f} s")  # noqa: T201


def test_a_file_past_all_bounds_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "h.yaml"
    with path.open("wb") as file:
        file.truncate(3_000_000_000)  # a hole: the disk holds nothing of it
    with pytest.raises(WrongUse, match="too large to be a sheet"):
        text_of(path)


@pytest.mark.parametrize(
    "raw",
    [
        b"house: &x x\n", b"\x00" * 100, b"\xff\xfe" * 50, "house: \u202ex\n".encode(),
        b"[" * 5000, b"a: b: c\n", b"\t\n", b"%YAML 9.9\n---\na: 1\n", b"",
        b"house: x\nrooms: {}\n",
    ],
)  # fmt: skip
def test_the_commands_tell_it_without_a_traceback(
    raw: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "h.yaml"
    sheet.write_bytes(raw)
    assert run(root, ["rules", "check", str(sheet)]) == 1
    checked = capsys.readouterr()
    assert run(root, ["begin", str(sheet), str(tmp_path / "job")]) == 2
    begun = capsys.readouterr()
    for text in (checked.out, begun.err):
        assert "Traceback" not in text
        assert re.search(r"^h\.yaml:\d+:\d+: .", text, re.MULTILINE)
    assert not (tmp_path / "job.siltline").exists()


PIECES = st.sampled_from(
    [
        "house: x\n", "rooms:\n", "  a:\n", "    name: A\n", "{", "}", "[", "]", "&a ", "*a",
        "!!x ",
        "\t", "\ufeff", "\u202e", "\x00", ": ", "- ", "? ", "|\n", '"', "'", "#", "---\n", "\u2028",
        "    waterline: 31 in\n", "walls: none\n", "  flooded: true\n", "crawl-space:\n", "%", "\r",
        "burners: true\n", "<<: ", "~", "null", "\\x00", "\u00e9", "\ud800", "0x10", "1:30", "no",
    ]
)  # fmt: skip


@given(st.lists(PIECES, max_size=25).map("".join))
@settings(max_examples=150, deadline=None)
def test_any_mixture_of_pieces_is_a_house_or_faults_at_their_places(text: str) -> None:
    told(text)


@given(st.data())
@settings(max_examples=100, deadline=None)
def test_a_good_sheet_with_a_piece_of_anything_in_it_is_a_house_or_faults(
    data: st.DataObject,
) -> None:
    at = data.draw(st.integers(0, len(HOUSE)))
    more = data.draw(PIECES | st.text(max_size=6))
    told(HOUSE[:at] + more + HOUSE[at:])


@pytest.mark.parametrize("mark", ["\u2028", "\u2029", "\x85"])
@pytest.mark.parametrize("opens", ["[", "{"])
def test_what_ends_a_line_elsewhere_ends_none_in_yaml(mark: str, opens: str) -> None:
    with pytest.raises(Faulty) as told:
        house_from(f"{mark}{opens}house: x\n", "h.yaml")
    assert [(fault.line, fault.column) for fault in told.value.faults] == [(1, 2)]
