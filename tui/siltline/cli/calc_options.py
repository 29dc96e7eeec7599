"""What the calc commands on air share: where, how good the meter, and which two airs."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from siltline.cli.calc_words import usage
from siltline.cli.quantities import amount
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.doubt import Tolerance


LEAST_RH = 0.001  # no meter promises a tenth of a point of humidity


def _options(*options: Any) -> Callable[[Any], Any]:
    """Return a decorator of several options, shown in their order."""

    def add(command: Any) -> Any:
        for option in reversed(options):
            command = option(command)
        return command

    return add


WHERE = _options(amount("altitude", "length", "500m"), amount("pressure", "pressure", "95461Pa"))
TOLERANCE = _options(amount("temp-doubt", "difference", "0.5K"), amount("rh-doubt", "ratio", "2%"))
TWO_AIRS = _options(
    amount("inside", "air", "18C/85%", required=True),
    amount("outside", "air", "14C/60%", required=True),
)


def pressure_at(altitude: float | None, pressure: float | None) -> tuple[float, str]:
    """Return the pressure in Pa and the note that says where it is from."""
    from siltline.science.air import SEA_LEVEL, pressure_of, standard_pressure  # noqa: PLC0415

    if altitude is not None and pressure is not None:
        raise usage(say("calc.one-of", options="--altitude, --pressure"))
    if pressure is not None:
        return pressure_of(pressure), ""
    if altitude is not None:
        return standard_pressure(altitude), say("calc.note.altitude")
    return SEA_LEVEL, say("calc.note.sea-level")


def tolerance(temp: float | None, rh: float | None) -> tuple[Tolerance, str]:
    """Return the meter's tolerance, the usual one where none is given, and its note."""
    from siltline.science.doubt import USUAL_RH, USUAL_TEMP, Tolerance  # noqa: PLC0415

    if rh is not None and 0 < rh < LEAST_RH:
        raise usage(say("calc.doubt-fraction", text=f"{100 * rh:g}%", percent=f"{1e4 * rh:g}%"))
    found = Tolerance(USUAL_TEMP if temp is None else temp, USUAL_RH if rh is None else rh)
    values = {"temp": f"{found.temp:g}", "rh": f"{100 * found.rh:g}"}
    if temp is None or rh is None:
        return found, say("calc.note.tolerance-usual", **values)
    return found, say("calc.note.tolerance-given", **values)
