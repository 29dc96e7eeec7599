"""The fields of the forms about measuring: points, meters, rounds of readings, the air."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

from siltline.errors import WrongUse
from siltline.judge.measured import meters_of, readings_at
from siltline.screens.field import Field
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.judge.points import Point

_AIRED = ("room", "crawl-space", "basement")  # kinds of places that have air of their own
YES, NO = ("yes", "y", "sí", "si"), ("no", "n")


def quietly(reads: Callable[[str], object]) -> Callable[[str], str]:
    """Return what reads a field whose words need no echo: a word that is none is refused."""

    def read(typed: str) -> str:
        reads(typed)
        return ""

    return read


def is_yes(typed: str) -> bool:
    """Tell yes from no.

    Raises:
        WrongUse: it is neither.
    """
    word = typed.strip().casefold()
    if word not in (*YES, *NO):
        raise WrongUse(say("form.not-offered", value=typed, offers="yes, no"))
    return word in YES


def point_fields() -> list[Field]:
    """Return what is asked of a measuring point that is set up."""
    from siltline.job.points import material_typed  # noqa: PLC0415 - no first paint needs a form
    from siltline.judge.points import MATERIALS  # noqa: PLC0415
    from siltline.screens.facts import amount  # noqa: PLC0415

    return [
        Field("material", say("form.point-material"), needed=False,
              reads=quietly(material_typed), offers=MATERIALS),
        Field("name", say("form.point-name")),
        Field("where", say("form.point-where"), needed=False),
        Field("height", say("form.point-height"), needed=False,
              reads=lambda typed: amount(typed, "length")),
        Field("depth", say("form.point-depth"), needed=False,
              reads=lambda typed: amount(typed, "length")),
        Field("reference", say("form.point-reference"), "no", reads=quietly(is_yes),
              offers=("no", "yes")),
    ]  # fmt: skip


def _value_field(job: Job, number: int, one: Point) -> Field:
    """Return the field for the number read at a point, with the last one beside it."""
    from siltline.job.rounds import moisture_typed, with_unit  # noqa: PLC0415

    read = readings_at(job.board.ledger, one.name)
    dry = say("dry.reference") if one.reference else ""
    spot = ", ".join(filter(None, (one.name, one.where, dry)))
    told = say("form.round-point", spot=spot, newest=read[-1].value if read else "-")
    return Field(f"value{number}", told, needed=False, reads=moisture_typed, completes=with_unit)


def _meter_fields(job: Job, points: Sequence[Point]) -> Iterator[Field]:
    """Yield the fields for the meter, and for the wood's temperature where one needs that."""
    from siltline.job.rounds import meter_typed, wood_understood  # noqa: PLC0415

    meters = meters_of(job.board.ledger)
    read = (readings_at(job.board.ledger, one.name) for one in points)
    used = next((there[-1].meter for there in read if there), "")
    named = quietly(partial(meter_typed, job, how=say("form.meter-how")))
    offers = tuple(one.name for one in meters)
    label = say("form.meter") if meters else say("form.meter-none")
    yield Field("meter", label, used, needed=False, reads=named, offers=offers)
    if any(one.corrects != "yes" for one in meters):
        yield Field("temp", say("form.wood-temp"), needed=False, reads=wood_understood)


def when_field(job: Job) -> Field:
    """Return the field for when it was read; empty is now."""
    from siltline.job.points import when_understood  # noqa: PLC0415

    reads = partial(when_understood, job)
    return Field("when", say("form.when-read"), needed=False, reads=reads)


def round_fields(job: Job, points: Sequence[Point]) -> list[Field]:
    """Return what is asked of a round: a number a point, the meter, what that needs, when."""
    values = [_value_field(job, number, one) for number, one in enumerate(points)]
    return [*values, *_meter_fields(job, points), when_field(job)]


def air_fields(job: Job, here: str) -> list[Field]:
    """Return what is asked of the air of the day.

    Args:
        job: the open job.
        here: the place of the step in hand.
    """
    from siltline.job.rounds import air_understood  # noqa: PLC0415
    from siltline.judge.points import AIRS  # noqa: PLC0415

    steps = [view.step for view in job.board.steps.values()]
    names = tuple(dict.fromkeys(one.place for one in steps if one.place_kind in _AIRED))
    place = here if here in names else (names or ("",))[0]
    return [
        Field("place", say("form.air-place"), place, needed=False, offers=names),
        *(
            Field(f"value-{air}", say(f"form.air-{air}"), needed=False, reads=air_understood)
            for air in AIRS
        ),
        when_field(job),
    ]


def meter_fields(job: Job) -> list[Field]:
    """Return what is asked of a meter that comes into the register."""
    from siltline.job.points import day_understood, promise_typed  # noqa: PLC0415

    offers = tuple(one.name for one in meters_of(job.board.ledger))
    return [
        Field("name", say("form.meter-name"), offers=offers),
        *(
            Field(key, say(f"form.meter-{key}"), needed=False,
                  reads=partial(promise_typed, name=say(f"meter.{key}")))
            for key in ("tolerance", "resolution")
        ),
        Field("checked", say("form.meter-checked"), needed=False,
              reads=partial(day_understood, job)),
        Field("corrects", say("form.meter-corrects"), needed=False, reads=quietly(is_yes),
              offers=("yes", "no")),
    ]  # fmt: skip
