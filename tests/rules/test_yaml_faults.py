"""A slip in a file is told in plain words where it is: what is wrong, and what to write."""

from __future__ import annotations

import re

import pytest

from siltline.rules.faults import Faulty
from siltline.rules.yamltext import load

ROOT = "house: A\n"
JARGON = re.compile(
    r"mapping|block|token|scalar|stream|node|flow|document|simple key|indicator|entries|<|expected"
)
# what was typed -> line:column, words of what is said
SLIPS: dict[str, tuple[str, str, str]] = {
    "a blank before a key": (
        "house: A\n year-built: 1958\n",
        "2:2",
        "deeper than line 1, which has its value already; begin it at column 1 as well",
    ),
    "a blank before a key of a place": (
        "rooms:\n  den:\n    name: Den\n     waterline: 31 in\n",
        "4:6",
        "begin it at column 5 as well",
    ),
    "a blank before a key after a list item": (
        "steps:\n  - step: a\n     do: x\n",
        "3:6",
        "begin it at column 5 as well",
    ),
    "deeper, after a remark and an empty line": (
        "house: A\n# c\n\n year: 1958\n",
        "4:2",
        "deeper than line 1, which has its value already; begin it at column 1",
    ),
    "deeper than a value in quotes": ('house: "A"\n  year: 1958\n', "2:3", "deeper than line 1"),
    "a blank before a group": (
        "house: A\nloss:\n  source: river\n rooms:\n",
        "4:2",
        "begins at column 2, where no line above it does; begin it at column 3 or 1",
    ),
    "between two depths": (
        "rooms:\n  den:\n    name: Den\n   waterline: 31 in\n",
        "4:4",
        "begin it at column 5 or 3 or 1",
    ),
    "between two depths of a list": (
        "steps:\n  - step: a\n    do: x\n   why: y\n",
        "4:4",
        "begin it at column 5 or 1",
    ),
    "the first line": (" house: A\nb: 1\n", "1:2", "the first line must begin at the left edge"),
    "the first line, behind a remark": ("# x\n  house: A\nb: 1\n", "2:3", "the left edge"),
    "a unit of percent": (
        "- unit: %\n",
        "1:9",
        'a value cannot begin with %; put it in quotes: "%"',
    ),
    "percent in brackets": ("a: {unit: %, count: 2}\n", "1:11", 'in quotes: "%"'),
    "a remark behind it": ("a: @b # c\n", "1:4", 'put it in quotes: "@b"'),
    "quotes in it": ('a: @"b\'\n', "1:4", "put it in quotes: '@\"b'''"),
    "a backslash in it": ("a: @b\\c\n", "1:4", "put it in quotes: '@b\\c'"),
    "a very long value": (f"a: @{'x' * 80}\n", "1:4", f'in quotes: "@{"x" * 59}..."'),
    "a comma": ("a: , b\n", "1:4", 'cannot begin with ,; put it in quotes: ", b"'),
    "a question mark": ("a: ? b\n", "1:4", "cannot begin with ?"),
    "a place in braces": (
        "- do: {place} is wet.\n",
        "1:7",
        'a text that begins with { must stand in quotes: "{place} is wet."',
    ),
    "a comma after a place": ("a:\n  do: {place}, now\n", "2:7", 'in quotes: "{place}, now"'),
    "a long text in braces": (f"do: {{a}} {'x' * 80}\n", "1:5", f'"{{a}} {"x" * 56}..."'),
    "a tab": ("a:\n\tb: 1\n", "2:1", "a tab stands here; write blanks instead"),
    "a tab after a colon": ("a:\t1\n", "1:3", "a tab stands here"),
    "no blank after a colon": (
        "house:A\nrooms: none\n",
        "1:7",
        "a blank is missing after the colon of 'house'; write house: A",
    ),
    "no blank, in a list": ("- do:x\n  why: y\n", "1:6", "the colon of 'do'; write do: x"),
    "no blank, at the end": ("a: 1\nb:2\n", "2:3", "write b: 2"),
    "no colon": ("house: A\nfoundation\nb: 1\n", "2:1", "this line has no colon: foundation;"),
    "no colon, at the end": ("a: 1\nb\n", "2:1", "this line has no colon: b;"),
    "a text over lines": ("a: one\n  two\n b: 1\n", "2:3", "or put a text of several lines in"),
    "a second colon": ("a: the den: wet\n", "1:11", "a second colon stands in this line"),
    "a quote": ("a: 'never\nb: 1\n", "1:4", "never closed; put ' at the end of the text too"),
    "inches in quotes": ("a: \"2'10\"\"\n", "1:10", 'put " at the end of the text too'),
    "text after quotes": ('a: "x" y\n', "1:8", 'put all of it between one pair of "'),
    "a bracket": ("a: [1, 2\n", "1:4", "what this [ opens is not closed; put ] at its end"),
    "a brace": ("a: {b: 1\nc: 2\n", "1:4", "what this { opens is not closed; put } at its end"),
    "an empty bracket": ("a: 1\nb: [\n", "2:4", "what this [ opens is not closed"),
    "a brace too many": ("a: {b: 1}}\n", "1:10", "this } closes nothing; take it out"),
    "a line of percent": ("%YAML 1.1\na: 1\n", "1:1", "lines that begin with % are not used here"),
    "a key among items": ("a:\n  - b\n  c: 1\n", "3:3", "stand side by side here"),
    "an item among keys": ("a:\n  c: 1\n  - b\n", "3:3", "stand side by side here"),
    "a list in a line": ("a: - b\n", "1:4", "put its first item in the next line"),
    "text after a bar": ("a: | x\n", "1:6", "after | or > the text begins in the next line"),
    "a backslash": ('a: "C:\\dir"\n', "1:8", "put the text in single quotes"),
    "a bell": ("a: x\x07\n", "1:5", "a character that nobody sees (U+0007) stands here"),
    "nothing that is known": ("a: !<\n", "1:6", "this is not YAML: what stands here fits nothing"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_told_in_plain_words_where_it_is(slip: str) -> None:
    text, place, words = SLIPS[slip]
    with pytest.raises(Faulty) as fault:
        load(text, "f.yaml")
    told = str(fault.value.faults[-1])
    assert told.startswith(f"f.yaml:{place}: ")
    assert words in told
    assert not JARGON.search(told), told
    assert "\n" not in told
