"""calc equipment: air movers and dehumidifiers to begin with; each factor with its mark."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from siltline.cli.calc_words import FOOT2, PINT_KG, cautions, flow, line, tell, usage
from siltline.cli.output import json_option
from siltline.cli.quantities import amount
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.equipment import Factor, Machine

DAY = 86_400.0
FOOT3 = 0.028316846592
_KINDS: tuple[Machine, ...] = (
    "conventional",
    "low-grain",
    "desiccant",
)  # as science has them; imported late


@click.command("equipment", help=say("help.calc-equipment"))
@amount("area", "area", "1200ft2", required=True)
@amount("height", "length", "8ft", required=True)
@amount("wet-area", "area", "400ft2")
@amount("wet-upper", "area", "200ft2")
@click.option("--rooms", type=int, default=1, metavar="3", help=say("opt.rooms"))
@click.option("--class", "wet", type=click.Choice(["1", "2", "3", "4"]),
              help=say("opt.water-class"))  # fmt: skip
@click.option("--machine", type=click.Choice(_KINDS), help=say("opt.machine"))
@amount("rated", "mass-a-day", "70pt/day")
@amount("airflow", "flow", "300cfm")
@json_option
def equipment_command(
    area: float,
    height: float,
    wet_area: float | None,
    wet_upper: float | None,
    rooms: int,
    wet: str | None,
    machine: Machine | None,
    rated: float | None,
    airflow: float | None,
    as_json: bool,
) -> None:
    """Tell what to begin a drying with."""
    from siltline.science import crawl  # noqa: PLC0415
    from siltline.science import equipment as science  # noqa: PLC0415

    _ensure_together(wet, machine, rated, airflow)
    floor = science.ensure_part(area if wet_area is None else wet_area, area)
    space = crawl.volume(area, height)
    movers = science.air_movers(rooms, floor, wet_upper or 0)
    facts: dict[str, Any] = {
        "air_movers_low": movers.low,
        "air_movers_high": movers.high,
        "volume_m3": space,
        "wet_floor_m2": floor,
        "wet_upper_m2": wet_upper or 0.0,
        "rooms": rooms,
        "class": int(wet) if wet else None,
        **_factor("air_movers_per_room", science.ROOM),
        **_factor("wet_floor_per_air_mover_m2", science.WET_FLOOR),
        **_factor("wet_upper_per_air_mover_m2", science.WET_UPPER),
    }
    dryers: list[str] = []
    for kind in _KINDS if machine is None else (machine,):
        found, told = _dehumidifiers(kind, wet, space, rated, airflow, asked=machine is not None)
        facts |= found
        dryers += told
    words = [*cautions("not-must", "machine-power", "mould"), "", line("space", _cubic(space))]
    words += [*_mover_words(facts, rooms), *dryers]
    tell(facts, words, _notes(wet_area, wet_upper, wet, rated or airflow), as_json=as_json)


def _ensure_together(
    wet: str | None, machine: Machine | None, rated: float | None, airflow: float | None
) -> None:
    """Refuse options that say nothing without each other."""
    if machine is not None and wet is None:
        raise usage(say("calc.both-of", options="--machine, --class"))
    if rated is not None and (wet is None or machine == "desiccant"):
        raise usage(say("calc.rated-which"))
    if airflow is not None and (wet is None or machine in ("conventional", "low-grain")):
        raise usage(say("calc.airflow-which"))


def _factor(name: str, factor: Factor) -> dict[str, Any]:
    return {f"{name}_low": factor.low, f"{name}_high": factor.high, f"{name}_mark": factor.mark}


def _cubic(m3: float) -> str:
    return f"{m3:.1f} m3 ({m3 / FOOT3:.0f} ft3)"


def _mover_words(facts: dict[str, Any], rooms: int) -> list[str]:
    from siltline.science import equipment as science  # noqa: PLC0415

    low, high = facts["air_movers_low"], facts["air_movers_high"]
    told = str(low) if low == high else say("calc.low-high", low=low, high=high)
    each = say("calc.each-room", n=round(science.ROOM.low), mark=_mark(science.ROOM))
    lines = [line("movers", told), line("movers-room", f"{rooms}: {each}")]
    lines.append(line("movers-floor", _each(science.WET_FLOOR)))
    if facts["wet_upper_m2"]:
        lines.append(line("movers-upper", _each(science.WET_UPPER)))
    return lines


def _mark(factor: Factor) -> str:
    return say(f"calc.mark.{factor.mark}")


def _each(factor: Factor) -> str:
    low, high = (f"{area / FOOT2:.0f}" for area in (factor.high, factor.low))
    return say("calc.each-area", low=low, high=high, mark=_mark(factor))


def _dehumidifiers(
    kind: Machine, wet: str | None, space: float, rated: float | None, airflow: float | None, *,
    asked: bool,
) -> tuple[dict[str, Any], list[str]]:  # fmt: skip
    """Return what one kind of dehumidifier must do together, as facts and as lines.

    Where that kind was not asked for by name, the class it has no figure in is only told.
    """
    from siltline.science import equipment as science  # noqa: PLC0415
    from siltline.science.faults import Contradiction  # noqa: PLC0415

    name, dry = kind.replace("-", "_"), kind == "desiccant"
    keys = (f"{name}_{'air_m3_s' if dry else 'kg_day'}", f"{name}_machines", f"{name}_mark")
    facts: dict[str, Any] = dict.fromkeys(keys)
    if wet is None:
        return facts, []
    try:
        needed = science.capacity(kind, int(wet), space)
    except Contradiction:
        if asked:
            raise
        return facts, [line(kind, say("calc.no-figure", mark=say("calc.mark.memory")))]
    factor = science.CHANGES[int(wet)] if dry else science.DIVISORS[kind][int(wet)]
    facts[keys[0]], facts[keys[2]] = needed if dry else needed * DAY, factor.mark
    lines = [
        line(kind, flow(needed) if dry else _water(needed)),
        line("factor", _why(kind, factor)),
    ]
    each, unit = (airflow, "m3/s") if dry else (rated, "kg/s")
    if each is not None:
        facts[keys[1]] = science.machines(needed, each, unit)
        lines.append(line("machines", str(facts[keys[1]])))
    return facts, lines


def _water(rate: float) -> str:
    return f"{rate * DAY:.1f} kg/day ({rate * DAY / PINT_KG:.0f} {say('calc.pints')})"


def _why(kind: Machine, factor: Factor) -> str:
    """Return the factor of a dehumidifier with its mark, as the trade says it."""
    if kind == "desiccant":
        return say("calc.each-change", n=round(factor.high * 3600), mark=_mark(factor))
    ft3 = round(factor.high * PINT_KG / DAY / FOOT3)
    return say("calc.each-pint", ft3=ft3, mark=_mark(factor))


def _notes(
    wet_area: float | None, wet_upper: float | None, wet: str | None, rating: float | None
) -> list[str]:
    """Return what was taken for granted, and what to give instead."""
    taken = {
        say("calc.note.whole-floor"): wet_area is None,
        say("calc.note.no-upper"): wet_upper is None,
        say("calc.note.no-class"): wet is None,
        say("calc.note.no-rating"): wet is not None and rating is None,
    }
    told = [note for note, so in taken.items() if so]
    return [*told, say("calc.note.count-again"), say("calc.source.equipment")]
