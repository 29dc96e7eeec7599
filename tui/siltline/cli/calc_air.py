"""calc air: what is in the air."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.calc_options import TOLERANCE, WHERE, pressure_at, tolerance
from siltline.cli.calc_words import line, tell, usage
from siltline.cli.output import json_option
from siltline.cli.quantities import amount
from siltline.reckon.words import GRAINS, celsius
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.air import Air
    from siltline.science.doubt import Doubt


def _made(seconds: dict[str, float | None]) -> tuple[Callable[..., Air], float]:
    """Return how the air is made and the second reading; exactly one must be given."""
    from siltline.science import air  # noqa: PLC0415

    given = {name: value for name, value in seconds.items() if value is not None}
    if len(given) != 1:
        raise usage(say("calc.one-of", options="--rh, --dew, --wet-bulb"))
    makers = {"rh": air.from_humidity, "dew": air.from_dew_point, "wet-bulb": air.from_wet_bulb}
    ((name, value),) = given.items()
    return makers[name], value


@click.command("air", help=say("help.calc-air"))
@amount("temp", "temperature", "25C", required=True)
@amount("rh", "humidity", "60%")
@amount("dew", "temperature", "16C")
@amount("wet-bulb", "temperature", "19C")
@WHERE
@TOLERANCE
@json_option
def air_command(
    temp: float,
    rh: float | None,
    dew: float | None,
    wet_bulb: float | None,
    altitude: float | None,
    pressure: float | None,
    temp_doubt: float | None,
    rh_doubt: float | None,
    as_json: bool,
) -> None:
    """Tell what a temperature and one more reading say of the air."""
    from siltline.science.doubt import doubt  # noqa: PLC0415

    at, where = pressure_at(altitude, pressure)
    meter, told = tolerance(temp_doubt, rh_doubt)
    make, second = _made({"rh": rh, "dew": dew, "wet-bulb": wet_bulb})
    found = make(temp, second, at)
    off = doubt(make, temp, second, at, meter)
    notes = [told, *([where] if where else []), say("calc.source.air")]
    tell(_air_facts(found, off), _air_words(found, off), notes, as_json=as_json)


def _air_facts(air: Air, off: Doubt) -> dict[str, Any]:
    return {
        "temp_c": air.temp,
        "dew_point_c": air.dew,
        "humidity_ratio_g_kg": 1000 * air.ratio,
        "grains_per_lb": GRAINS * air.ratio,
        "vapour_pressure_pa": air.vapour,
        "saturation_pressure_pa": air.saturation,
        "wet_bulb_c": air.wet_bulb,
        "enthalpy_kj_kg": air.enthalpy / 1000,
        "volume_m3_kg": air.volume,
        "rh_percent": 100 * air.rh,
        "pressure_pa": air.pressure,
        "frost": air.dew <= 0,
        "dew_point_doubt_k": off.dew,
        "humidity_ratio_doubt_g_kg": 1000 * off.ratio,
        "grains_per_lb_doubt": GRAINS * off.ratio,
        "vapour_pressure_doubt_pa": off.vapour,
        "wet_bulb_doubt_k": off.wet_bulb,
        "enthalpy_doubt_kj_kg": off.enthalpy / 1000,
        "volume_doubt_m3_kg": off.volume,
        "rh_doubt_percent": 100 * off.rh,
    }


def _air_words(air: Air, off: Doubt) -> list[str]:
    ratio = f"{1000 * air.ratio:.2f} g/kg ({GRAINS * air.ratio:.1f} {say('calc.grains')})"
    return [
        line("frost" if air.dew <= 0 else "dew", celsius(air.dew), f"{off.dew:.1f} K"),
        line("ratio", ratio, f"{1000 * off.ratio:.2f} g/kg"),
        line("rh", f"{100 * air.rh:.1f} %", f"{100 * off.rh:.1f} %"),
        line("vapour", f"{air.vapour:.0f} Pa", f"{off.vapour:.0f} Pa"),
        line("saturation", f"{air.saturation:.0f} Pa"),
        line("wet-bulb", celsius(air.wet_bulb), f"{off.wet_bulb:.1f} K"),
        line("enthalpy", f"{air.enthalpy / 1000:.1f} kJ/kg", f"{off.enthalpy / 1000:.1f} kJ/kg"),
        line("volume", f"{air.volume:.3f} m3/kg", f"{off.volume:.3f} m3/kg"),
        line("pressure", f"{air.pressure:.0f} Pa"),
    ]
