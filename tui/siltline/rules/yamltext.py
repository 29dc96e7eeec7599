"""YAML 1.2 with the position of every value: plain data only, as hostile as it may be.

Anchors, aliases, tags, duplicate keys, several documents and depths that no sheet needs are
refused. Numbers, dates and times stay the text that was typed; only true, false and null
become values.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct, field

from siltline.rules.faults import Fault, Faulty
from siltline.rules.yamlfaults import Trouble, explained, forbidden
from siltline.sentences import say

Path = tuple[str | int, ...]
DEEPEST = 20
LARGEST = 500_000  # characters, read in seconds; a house of 60 rooms has 60,000
# What ends a line in YAML 1.2; `splitlines` knows more, and would count other lines.
_LINE_END = re.compile(r"\r\n|\r|\n")
_HASH = re.compile(r"\s+#\S")
_WORDS = {"true": True, "false": False, "null": None, "~": None, "": None}


class Source(Struct):
    """What a YAML file said, and where each value and each key stood (line, column from 1).

    `corrected` holds the paths whose value was found out later and stands in no line.
    """

    file: str
    data: Any = None
    marks: dict[Path, tuple[int, int]] = field(default_factory=dict)
    key_marks: dict[Path, tuple[int, int]] = field(default_factory=dict)
    corrected: set[Path] = field(default_factory=set)

    def fault(self, path: Path, text: str, *, key: bool = False) -> Fault:
        """Return a fault at a value (or its key), or at the nearest thing above it."""
        if key and path in self.key_marks:
            return Fault(self.file, *self.key_marks[path], text)
        while path and path not in self.marks:
            path = path[:-1]
        return Fault(self.file, *self.marks.get(path, (1, 1)), text)

    def line(self, path: Path) -> int:
        """Return the line of a value, counted from 1."""
        return self.marks.get(path, (1, 1))[0]


def _at(mark: Any) -> tuple[int, int]:
    return (mark.line + 1, mark.column + 1)


class _Builder:
    """Turns the parser's events into data; collects what it refuses and reads on."""

    def __init__(self, events: Iterator[Any], source: Source, text: str) -> None:
        self.lines = _LINE_END.split(text)
        self.events = events
        self.source = source
        self.faults: list[Fault] = []

    def refuse(self, event: Any, key: str, /, **values: object) -> None:
        self.faults.append(Fault(self.source.file, *_at(event.start_mark), say(key, **values)))

    def document(self) -> Any:
        data, documents = None, 0
        for event in self.events:
            if type(event).__name__ == "DocumentStartEvent":
                documents += 1
                if documents > 1:
                    self.refuse(event, "yaml.second-document")
                value = self.value(next(self.events), ())
                data = value if documents == 1 else data
        return data

    def plain(self, event: Any) -> None:
        """Refuse what makes a value more than it looks."""
        if getattr(event, "anchor", None) is not None:
            self.refuse(event, "yaml.anchor")
        elif getattr(event, "tag", None) is not None:
            self.refuse(event, "yaml.tag")
        elif any("\ud800" <= char <= "\udfff" for char in getattr(event, "value", None) or ""):
            self.refuse(event, "yaml.surrogate")

    def hash_after(self, event: Any) -> None:
        """Refuse a value that seems to go on after a # (12 Oak Lane #4): YAML drops the rest."""
        mark = event.end_mark
        line = self.lines[mark.line] if mark.line < len(self.lines) else ""
        if _HASH.match(line, mark.column):
            place = (mark.line + 1, line.index("#", mark.column) + 1)
            self.faults.append(Fault(self.source.file, *place, say("yaml.hash")))

    def value(self, event: Any, path: Path) -> Any:
        self.source.marks[path] = _at(event.start_mark)
        self.plain(event)
        match type(event).__name__:
            case "MappingStartEvent":
                return self.mapping(event, path)
            case "SequenceStartEvent":
                return self.sequence(event, path)
            case "ScalarEvent":
                plain = event.implicit[0]
                if plain:
                    self.hash_after(event)
                return _WORDS.get(event.value, event.value) if plain else event.value
        return None  # an alias: refused above

    def too_deep(self, event: Any, path: Path) -> None:
        if len(path) > DEEPEST:
            self.refuse(event, "yaml.too-deep", deepest=DEEPEST)
            raise Faulty(self.faults)

    def sequence(self, start: Any, path: Path) -> list[Any]:
        self.too_deep(start, path)
        found: list[Any] = []
        while type(event := next(self.events)).__name__ != "SequenceEndEvent":
            found.append(self.value(event, (*path, len(found))))
        return found

    def mapping(self, start: Any, path: Path) -> dict[str, Any]:
        self.too_deep(start, path)
        found: dict[str, Any] = {}
        while type(event := next(self.events)).__name__ != "MappingEndEvent":
            key = event.value if type(event).__name__ == "ScalarEvent" else None
            if key is None:
                self.refuse(event, "yaml.key-not-a-word")
                self.value(event, (*path, "?"))
                self.value(next(self.events), (*path, "?"))
                continue
            self.plain(event)
            if key in found:
                self.refuse(event, "yaml.twice", key=key)
            self.source.key_marks.setdefault((*path, key), _at(event.start_mark))
            value = self.value(next(self.events), (*path, key))
            found.setdefault(key, value)
        return found


def decode(raw: bytes, file: str) -> str:
    """Return the text of a file.

    Raises:
        Faulty: not UTF-8; names the line and column of the first byte that is not.
    """
    body = raw.removeprefix(codecs.BOM_UTF8)
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as fault:
        good = body[: fault.start].decode("utf-8")
        raise Faulty([Fault(file, *_place(good, len(good)), say("yaml.not-utf8"))]) from fault


def _place(text: str, index: int) -> tuple[int, int]:
    """Return the line and column of a character of a text, both from 1."""
    return text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index)


def load(text: str, file: str) -> Source:
    """Return the data of a YAML text with the position of each value.

    Raises:
        Faulty: a syntax fault (the first), or all that is refused and all duplicate keys.
    """
    # 80 ms to import: only where a sheet or a checklist is read
    from ruamel.yaml import YAML  # noqa: PLC0415
    from ruamel.yaml.error import MarkedYAMLError, YAMLError  # noqa: PLC0415

    if len(text) > LARGEST:
        raise Faulty([Fault(file, 1, 1, say("yaml.too-large", limit=LARGEST))])
    source = Source(file)
    builder = _Builder(iter(YAML(typ="safe", pure=True).parse(text)), source, text)
    try:
        source.data = builder.document()
    except MarkedYAMLError as fault:
        raise Faulty([*builder.faults, Fault(file, *_slip(fault, builder.lines))]) from fault
    except (YAMLError, ValueError, OverflowError, RecursionError) as fault:
        # A character that YAML forbids has a position; a number past all bounds has none.
        where = _place(text, getattr(fault, "position", 0))
        raise Faulty([*builder.faults, Fault(file, *where, forbidden(str(fault)))]) from fault
    if builder.faults:
        raise Faulty(builder.faults)
    return source


def _slip(fault: Any, lines: Sequence[str]) -> tuple[int, int, str]:
    """Return line, column and sentence of what a reader could not read."""
    mark, began = fault.problem_mark or fault.context_mark, fault.context_mark
    line, column = (mark.line, mark.column) if mark else (0, 0)
    begun = (began.line, began.column) if began else None
    line, column, told = explained(Trouble(fault.problem or "", line, column, begun, lines))
    return line + 1, column + 1, told


def as_mapping(source: Source) -> Mapping[str, Any]:
    """Return the top of a file as a mapping.

    Raises:
        Faulty: the file is empty or holds something else.
    """
    if not isinstance(source.data, dict):
        raise Faulty([source.fault((), say("yaml.not-a-mapping"))])
    return source.data
