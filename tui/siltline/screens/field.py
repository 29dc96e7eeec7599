"""A field of a form as data: what is asked, what is offered, how what was typed is read."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from siltline.errors import WrongUse
from siltline.sentences import say

Typed = dict[str, str]


class Field(Struct, frozen=True):
    """A field of a form.

    Attributes:
        key, label, value: its name, what is asked, what stands in it.
        needed: whether it may not stay empty.
        prefix: goes before what is typed, where that alone could be of several things.
        reads: returns what is read from what was typed, or raises WrongUse.
        offers: what is likely typed.
        completes: returns what was typed with what goes without saying here.
    """

    key: str
    label: str
    value: str = ""
    needed: bool = True
    prefix: str = ""
    reads: Callable[[str], str] | None = None
    offers: tuple[str, ...] = ()
    completes: Callable[[str], str] | None = None

    def whole(self, typed: str) -> str:
        """Return what was typed, with what goes without saying in this field."""
        return self.completes(typed.strip()) if self.completes else typed.strip()

    def read(self, typed: str) -> str:
        """Return what is read from a text; "" where nothing is to be read.

        Raises:
            WrongUse: it cannot be read, or in several ways.
        """
        return self.reads(typed.strip()) if self.reads and typed.strip() else ""

    def seen(self, typed: str) -> str:
        """Return what to show beside the field while typing goes on."""
        try:
            read = self.read(typed)
        except WrongUse:
            return say("form.not-read")
        return f"= {read}" if read else ""
