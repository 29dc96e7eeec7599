"""What can go wrong, by what a person must do next; cli maps each kind to an exit code."""

from __future__ import annotations


class Refusal(Exception):  # noqa: N818 - a refusal is a word of this project
    """An act that cannot be done as asked; its text is one sentence for people.

    Attributes:
        about: what that was said must be said otherwise, as the act names it (`taker`); "" where
            it is no single thing. A form stands in that field then.
    """

    def __init__(self, text: str, *, about: str = "") -> None:
        super().__init__(text)
        self.about = about


class WrongUse(Refusal):
    """The words of the call do not fit: no such step, no such photo, a bad quantity."""


class NotNow(Refusal):
    """The act is understood but the state of the job forbids it, and says what to do first."""


class Unreadable(Refusal):
    """A file is locked, missing its rights, newer than this program, or not what it claims."""


class Busy(Unreadable):
    """Another program holds the file for a moment."""


class Broken(Refusal):
    """A file contradicts itself: what it holds cannot be what was written."""


def why(fault: OSError) -> str:
    """Return a fault of the system in its own words, without its number."""
    return fault.strerror or str(fault)
