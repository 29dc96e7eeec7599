"""What a YAML reader could not read, for whoever wrote it: what is wrong and how to write it.

The reader names states of its grammar at the place where it stopped, which is often a line after
the slip. So the slip is looked for in the lines around, the likeliest first.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from msgspec import Struct

from siltline.sentences import say

Told = tuple[int, int, str]  # line and column, from 0, and the sentence
LONGEST = 60  # characters of a value that is shown as it should be written

_BEFORE_KEY = re.compile(r"\s*(?:- +)*")
_NO_BLANK = re.compile(r"\s*(?:- +)*(?P<key>[\w-]+):(?=[^\s:/])(?!.*:\s)")
_VALUE = re.compile(r"\s*(?:- +)*(?:[^\s:#'\"{\[][^:]*:\s+)?(?P<value>[{\['\"].*)")
_CANNOT_BEGIN = re.compile(r"found character '(.)' that cannot start|node content, but found '(.)'")


class Trouble(Struct, frozen=True):
    """Where a reader stopped: its words, line and column from 0, where it began what it read."""

    problem: str
    line: int
    column: int
    begun: tuple[int, int] | None
    lines: Sequence[str]

    @property
    def here(self) -> str:
        """Return the line in which the reader stopped."""
        return self.lines[self.line] if self.line < len(self.lines) else ""

    def above(self) -> int | None:
        """Return the number of the nearest line above that says something."""
        said = (
            n for n in range(min(self.line, len(self.lines)) - 1, -1, -1) if _says(self.lines[n])
        )
        return next(said, None)


def _says(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _key_at(line: str) -> int:
    """Return the column, from 0, of the key of a line, behind the dashes of lists."""
    found = _BEFORE_KEY.match(line)
    return found.end() if found else 0


def _quoted(value: str) -> str:
    """Return a value as it is written in quotes."""
    text = value.split(" #", maxsplit=1)[0].strip()
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


def _tab(at: Trouble) -> Told | None:
    return (at.line, at.column, say("yaml.tab")) if r"'\t'" in at.problem else None


def _cannot_begin(at: Trouble) -> Told | None:
    """Tell of a value that begins with a sign that means something of its own."""
    found = _CANNOT_BEGIN.search(at.problem)
    if not found and "mapping keys are not allowed" not in at.problem:
        return None
    if at.column >= len(at.here):
        return None
    rest = at.here[at.column :]
    if re.search(r"[{\[]", at.here[: at.column]):  # inside brackets a value ends at its comma
        rest = re.split(r"[,\]}]", rest)[0] or rest[0]
    if len(rest) > LONGEST:
        rest = f"{rest[:LONGEST]}..."
    return at.line, at.column, say("yaml.begins", sign=at.here[at.column], value=_quoted(rest))


def _after_value(at: Trouble) -> Told | None:
    """Tell of text behind something that closed: {place} is wet, "x" y."""
    found = _VALUE.match(at.here)
    if "expected <block end>" not in at.problem or not found or found.start("value") >= at.column:
        return None
    sign, value = found["value"][0], found["value"]
    if at.here[at.column] in "}]":
        return at.line, at.column, say("yaml.bracket-more", bracket=at.here[at.column])
    if sign in "{[":
        shown = value if len(value) <= LONGEST else f"{value[:LONGEST]}..."
        told = say("yaml.bracket-first", bracket=sign, value=_quoted(shown))
        return at.line, found.start("value"), told
    return at.line, at.column, say("yaml.after-quote", quote=sign)


def _not_closed(at: Trouble) -> Told | None:
    """Tell of a quote or a bracket that is open where the reader gave up, at where it began."""
    if "unexpected end of stream" in at.problem and at.begun:
        line, column = at.begun
        return line, column, say("yaml.quote-open", quote=at.lines[line][column])
    if "expected ',' or" in at.problem and at.begun:
        line, column = at.begun
    elif "'<stream end>'" in at.problem:
        open_at = [(n, m.start()) for n, x in enumerate(at.lines) for m in re.finditer(r"[{\[]", x)]
        if not open_at:
            return None
        line, column = open_at[-1]
    else:
        return None
    bracket = at.lines[line][column]
    return (
        line,
        column,
        say("yaml.bracket-open", bracket=bracket, end="}" if bracket == "{" else "]"),
    )


def _no_key(line: int, at: Trouble) -> Told | None:
    """Tell of a line that should hold a key and a value, and does not."""
    text = at.lines[line]
    found = _NO_BLANK.match(text)
    if found:
        key = found["key"]
        value = text[found.end() :].strip()
        return line, found.end(), say("yaml.no-blank", key=key, line=f"{key}: {value}"[:LONGEST])
    if re.search(r":(\s|$)", text):
        return None
    return line, _key_at(text), say("yaml.no-colon", text=text.strip()[:LONGEST])


def _deeper(at: Trouble, above: int) -> Told:
    told = say("yaml.deeper", column=_key_at(at.lines[above]) + 1, above=above + 1)
    return at.line, _key_at(at.here), told


def _colon(at: Trouble) -> Told | None:
    if "mapping values are not allowed" not in at.problem:
        return None
    above = at.above()
    if re.search(r":\s", at.here[: at.column]) or above is None:
        return at.line, at.column, say("yaml.colon")
    return _no_key(above, at) or _deeper(at, above)


def _without_colon(at: Trouble) -> Told | None:
    if "could not find expected ':'" not in at.problem or not at.begun:
        return None
    return _no_key(at.begun[0], at)


def _indent(at: Trouble) -> Told | None:
    """Tell of a line that begins where no line above it begins."""
    above = at.above()
    if "but found '<block mapping start>'" not in at.problem or above is None:
        return None
    if at.column > _key_at(at.lines[above]):
        return _deeper(at, above)
    levels: list[int] = []
    for line in filter(_says, reversed(at.lines[: at.line])):
        if not levels or _key_at(line) < levels[-1]:
            levels.append(_key_at(line))
    columns = say("yaml.or").join(str(level + 1) for level in levels)
    return at.line, at.column, say("yaml.indent", column=at.column + 1, columns=columns)


def _first(at: Trouble) -> Told | None:
    if "expected '<document start>'" not in at.problem:
        return None
    first = next((n for n, line in enumerate(at.lines) if _says(line)), 0)
    if at.lines[first].startswith("%"):
        return first, 0, say("yaml.directive")
    indent = len(at.lines[first]) - len(at.lines[first].lstrip())
    return (first, indent, say("yaml.first-line")) if indent else None


_PLAINLY = {  # the reader's words -> our sentence, where it stopped
    "but found '?'": "yaml.list-mixed",
    "but found '-'": "yaml.list-mixed",
    "sequence entries are not allowed": "yaml.list-here",
    "expected a comment or a line break": "yaml.block-text",
    "escape character": "yaml.escape",
}


def _by_words(at: Trouble) -> Told | None:
    for words, key in _PLAINLY.items():
        if words in at.problem:
            return at.line, at.column, say(key)
    return None


_LOOKS: tuple[Callable[[Trouble], Told | None], ...] = (
    _tab, _after_value, _not_closed, _cannot_begin, _colon, _without_colon, _indent, _first,
    _by_words,
)  # fmt: skip


def explained(at: Trouble) -> Told:
    """Return what is wrong and how to write it, with the line and column, from 0, of the slip."""
    for look in _LOOKS:
        told = look(at)
        if told is not None:
            return told
    return at.line, at.column, say("yaml.syntax")


def forbidden(problem: str) -> str:
    """Return the sentence for text that YAML forbids, or that cannot be read for another reason."""
    found = re.search(r"character #x([0-9a-fA-F]+)", problem)
    return say("yaml.control", code=f"U+{int(found[1], 16):04X}") if found else say("yaml.syntax")
