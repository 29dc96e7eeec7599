"""Faults of a file: all of them at once, each with its line, its column and what was meant."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from msgspec import Struct
from msgspec.structs import replace

from siltline.errors import WrongUse
from siltline.sentences import say
from siltline.text import visible

MOST_KNOWN = 24  # words that a person still looks through
MOST_TOLD = 200  # faults; a file with more is not a sheet with mistakes


class Fault(Struct, frozen=True, order=True):
    """One thing that is wrong in a file; lines and columns count from 1."""

    file: str
    line: int
    column: int
    text: str

    @property
    def where(self) -> str:
        """Return `file:line:column:`."""
        return f"{visible(self.file)}:{self.line}:{self.column}:"

    def __str__(self) -> str:
        """Return `file:line:column: what is wrong`."""
        return f"{self.where} {self.text}"


class Faulty(WrongUse):
    """A file that cannot be used; `faults` has every reason, up to as many as anybody reads."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        found = sorted(set(faults))
        if len(found) > MOST_TOLD:
            more = replace(found[MOST_TOLD], text=say("faults.more"))
            found = [*found[:MOST_TOLD], more]
        self.faults = found
        super().__init__("\n".join(map(str, self.faults)))


def meant(word: str, known: Sequence[str]) -> str:
    """Return `; did you mean 'X'?`, or which words are known, for the end of a fault."""
    # `brick` means brick-veneer, not block: a whole word of the name beats a likeness
    whole = [one for one in known if word and word.lower() in one.lower().split("-")]
    near = whole[:1] if len(whole) == 1 else get_close_matches(word, known, n=1)
    if near:
        return say("faults.meant", word=near[0])
    if len(known) > MOST_KNOWN:
        likest = get_close_matches(word, known, n=MOST_KNOWN // 2, cutoff=0)
        return say("faults.known-some", words=", ".join(likest), n=len(known))
    return say("faults.known", words=", ".join(known)) if known else ""
