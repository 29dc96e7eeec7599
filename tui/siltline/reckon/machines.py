"""Air movers and dehumidifiers to begin a drying with; each factor is told with its mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from siltline.reckon.words import DAY, FOOT2, FOOT3, PINT_KG, Line, Told, cubic, flow
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.equipment import Factor, Machine

Given = Mapping[str, Any]  # name of what is given -> SI number; None where it is not
KINDS: tuple[Machine, ...] = ("conventional", "low-grain", "desiccant")  # as science has them
CLASSES = ("1", "2", "3", "4")


def machines(given: Given, *, rooms_too: bool = True) -> Told:
    """Tell what to begin a drying with: rules of thumb, no more.

    Args:
        given: area (m2) and height (m); where known, wet-area and wet-upper (m2), rooms, class (one
            of CLASSES), machine (one of KINDS), rated (kg/s) and airflow (m3/s) of one machine.
        rooms_too: False in a space without rooms, for which no rule says how many air movers.

    Raises:
        Incomplete: what says nothing without the others.
        NotFinite, OutOfRange, Contradiction: a number is none, or there is no figure for it.
    """
    from siltline.science import crawl  # noqa: PLC0415
    from siltline.science import equipment as science  # noqa: PLC0415

    _together(given)
    area, wet_area, upper = given["area"], given.get("wet-area"), given.get("wet-upper") or 0.0
    rooms, kind, wet = given.get("rooms"), given.get("machine"), given.get("class")
    rooms = 1 if rooms is None else rooms
    floor = science.ensure_part(area if wet_area is None else wet_area, area)
    space = crawl.volume(area, given["height"])
    movers = science.air_movers(rooms, floor, upper) if rooms_too else science.Movers(0, 0)
    facts: dict[str, Any] = {
        "air_movers_low": movers.low,
        "air_movers_high": movers.high,
        "volume_m3": space,
        "wet_floor_m2": floor,
        "wet_upper_m2": upper,
        "rooms": rooms,
        "class": int(wet) if wet else None,
        **_factor("air_movers_per_room", science.ROOM),
        **_factor("wet_floor_per_air_mover_m2", science.WET_FLOOR),
        **_factor("wet_upper_per_air_mover_m2", science.WET_UPPER),
    }
    lines = [Line("space", cubic(space)), *_mover_lines(facts, rooms)]
    for one in KINDS if kind is None else (kind,):
        found, told = _dehumidifiers(one, space, given)
        facts |= found
        lines += told
    return Told(facts, tuple(lines))


def _together(given: Given) -> None:
    """Refuse what says nothing without the others."""
    from siltline.science.faults import Incomplete, together  # noqa: PLC0415

    wet, kind = given.get("class"), given.get("machine")
    if kind is not None:
        together(given, machine="machine", **{"class": "class"})
    if given.get("rated") is not None and (wet is None or kind == "desiccant"):
        raise Incomplete(say("calc.rated-which"), "rating", "class")
    if given.get("airflow") is not None and (wet is None or kind in ("conventional", "low-grain")):
        raise Incomplete(say("calc.airflow-which"), "rating", "class")


def _factor(name: str, factor: Factor) -> dict[str, Any]:
    return {f"{name}_low": factor.low, f"{name}_high": factor.high, f"{name}_mark": factor.mark}


def _mover_lines(facts: Mapping[str, Any], rooms: int) -> Iterable[Line]:
    from siltline.science import equipment as science  # noqa: PLC0415

    low, high = facts["air_movers_low"], facts["air_movers_high"]
    if not facts["air_movers_high"]:
        yield Line("movers", say("calc.no-movers"))
        return
    yield Line("movers", str(low) if low == high else say("calc.low-high", low=low, high=high))
    each = say("calc.each-room", n=round(science.ROOM.low), mark=_mark(science.ROOM))
    yield Line("movers-room", say("calc.of-rooms", rooms=rooms, each=each))
    yield Line("movers-floor", _each(science.WET_FLOOR))
    if facts["wet_upper_m2"]:
        yield Line("movers-upper", _each(science.WET_UPPER))


def _mark(factor: Factor) -> str:
    return say(f"calc.mark.{factor.mark}")


def _each(factor: Factor) -> str:
    low, high = (f"{area / FOOT2:.0f}" for area in (factor.high, factor.low))
    return say("calc.each-area", low=low, high=high, mark=_mark(factor))


def _dehumidifiers(kind: Machine, space: float, given: Given) -> tuple[dict[str, Any], list[Line]]:
    """Return what one kind of dehumidifier must do together, as facts and as lines.

    Where that kind was not asked for by name, the class it has no figure in is only told.
    """
    from siltline.science import equipment as science  # noqa: PLC0415
    from siltline.science.faults import Contradiction  # noqa: PLC0415

    name, dry, wet = kind.replace("-", "_"), kind == "desiccant", given.get("class")
    keys = (f"{name}_{'air_m3_s' if dry else 'kg_day'}", f"{name}_machines", f"{name}_mark")
    facts: dict[str, Any] = dict.fromkeys(keys)
    if wet is None:
        return facts, []
    try:
        needed = science.capacity(kind, int(wet), space)
    except Contradiction:
        if given.get("machine") is not None:
            raise
        return facts, [Line(kind, say("calc.no-figure", mark=say("calc.mark.memory")))]
    factor = science.CHANGES[int(wet)] if dry else science.DIVISORS[kind][int(wet)]
    facts[keys[0]], facts[keys[2]] = needed if dry else needed * DAY, factor.mark
    told = flow(needed) if dry else _water(needed)
    lines = [Line(kind, told), Line("factor", _why(kind, factor))]
    each, unit = (given.get("airflow"), "m3/s") if dry else (given.get("rated"), "kg/s")
    if each is not None:
        facts[keys[1]] = science.machines(needed, each, unit)
        lines.append(Line("machines", str(facts[keys[1]])))
    return facts, lines


def _water(rate: float) -> str:
    return f"{rate * DAY:.1f} kg/day ({rate * DAY / PINT_KG:.0f} {say('calc.pints')})"


def _why(kind: Machine, factor: Factor) -> str:
    """Return the factor of a dehumidifier with its mark, as the trade says it."""
    if kind == "desiccant":
        return say("calc.each-change", n=round(factor.high * 3600), mark=_mark(factor))
    ft3 = round(factor.high * PINT_KG / DAY / FOOT3)
    return say("calc.each-pint", ft3=ft3, mark=_mark(factor))
