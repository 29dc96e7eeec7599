"""The facts by which a step was laid, as they stand now: for steps that apply no more."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from siltline.rules.facts import Place
from siltline.rules.house import House
from siltline.rules.match import Index, fact_at, word
from siltline.rules.places import places
from siltline.rules.plan import Because, Step
from siltline.rules.yamltext import Source


class Standing(Struct, frozen=True):
    """A fact of a step as it was when the step was laid, and now; None where it is no more."""

    then: Because
    now: Because | None


def facts_now(step: Step, house: House, source: Source) -> Iterator[Standing]:
    """Yield each fact by which a step was laid, beside what the house says of it now.

    Where the place itself is gone, there is nothing more to say than that.

    Args:
        step: the step, with its facts as of its laying.
        house: the house as it is known now.
        source: its sheet, with what was found out since.
    """
    index: Index = {(p.kind, p.id): p for there in places(house, source).values() for p in there}
    place = index.get((step.place_kind, step.place))
    if place is None:
        yield Standing(Because("place", step.place_name, ""), None)
        return
    for then in step.facts:
        yield Standing(then, _now(then, place, index))


def _now(then: Because, place: Place, index: Index) -> Because | None:
    if then.fact == "place":
        return Because(then.fact, place.name, place.where)
    try:
        fact = fact_at(then.fact, place, index)
    except KeyError:  # a fact that an earlier version knew
        return None
    return Because(then.fact, word(fact.value), fact.where)
