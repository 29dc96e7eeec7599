"""What was reckoned on steps: how the events fold into what stands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from siltline.judge.points import Knew

if TYPE_CHECKING:
    from siltline.record import Event

FAN, WHICH = "fan", "which"


class Reckoned(Struct, frozen=True):
    """A computation on a step, as it was given; what comes out is reckoned when it is shown.

    Attributes:
        step, what: id of the step, name of the computation.
        given: name of what it asks -> text as typed.
        event, at, by: which event says so, when and who.
    """

    step: str
    what: str
    given: Mapping[str, str]
    event: str
    at: str
    by: str

    @property
    def which(self) -> str:
        """Return which fan or mixture of the step it is, in small letters; "" for the only one."""
        return (self.given.get(WHICH) or self.given.get("product") or "").casefold()


def fold_reckoned(there: dict[str, list[Reckoned]], event: Event, knew: Knew) -> None:
    """Let what was reckoned replace what its writer knew of the same thing at the same step."""
    body = event.body
    new = Reckoned(body["step"], body["what"], body["given"], event.id, event.at, event.by or "")
    here = there.setdefault(new.step, [])
    here[:] = [
        one for one in here
        if (one.what, one.which) != (new.what, new.which) or not knew(event.id, one.event)
    ]  # fmt: skip
    here.append(new)
