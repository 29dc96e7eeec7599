"""calc wood, drying: what air makes of wood, and when wood will be dry."""

from __future__ import annotations

import math
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.calc_options import TOLERANCE, tolerance
from siltline.cli.calc_words import line, tell, usage
from siltline.cli.output import json_option, wrapped
from siltline.cli.quantities import amount
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.drying import Reading
    from siltline.science.forecast import Forecast


@click.command("wood", help=say("help.calc-wood"))
@amount("temp", "temperature", "21C", required=True)
@amount("rh", "humidity", "50%", required=True)
@amount("goal", "ratio", "15%")
@amount("reading", "ratio", "17.5%")
@click.option(
    "--meter-corrects/--meter-does-not", default=None, help=say("opt.calc.meter-corrects")
)
@TOLERANCE
@json_option
def wood_command(
    temp: float,
    rh: float,
    goal: float | None,
    reading: float | None,
    meter_corrects: bool | None,
    temp_doubt: float | None,
    rh_doubt: float | None,
    as_json: bool,
) -> None:
    """Tell where wood ends in an air, and whether a goal can be reached there."""
    from siltline.science import wood  # noqa: PLC0415

    if reading is not None and meter_corrects is None:
        raise usage(say("calc.meter-which"))
    meter, told = tolerance(temp_doubt, rh_doubt)
    end, off = wood.emc(temp, rh), wood.emc_doubt(temp, rh, meter)
    percent = None if goal is None else wood.goal_of(100 * goal)
    facts: dict[str, Any] = {
        "temp_c": temp,
        "rh_percent": 100 * rh,
        "emc_percent": end,
        "emc_doubt_percent": off,
        "goal_percent": percent,
        "rh_for_goal_percent": None,
        "reachable": None,
        "too_close": None,
        "corrected_percent": None,
    }
    words = [line("emc", f"{end:.1f} %", f"{off:.1f} %")]
    if percent is not None:
        sure = wood.reachable(temp, rh, percent, off)
        limit = 100 * wood.humidity_for(temp, percent)
        facts |= {
            "rh_for_goal_percent": limit,
            "reachable": end < percent,
            "too_close": sure is None,
        }
        words += _goal_words(sure, percent, limit, rh)
    if reading is not None:
        raw = wood.moisture_of(100 * reading)
        right = raw if meter_corrects else wood.corrected(raw, temp)
        facts["corrected_percent"] = right
        words.append(line("corrected", f"{right:.1f} %"))
    rare = [say("calc.note.wet-air")] if rh > 0.95 else []  # noqa: PLR2004 - the table's end
    notes = [*rare, say("calc.caution.meter"), told, say("calc.source.wood")]
    tell(facts, words, notes, as_json=as_json)


def _goal_words(sure: bool | None, goal: float, limit: float, rh: float) -> list[str]:
    verdict = {True: "yes", False: "no", None: "too-close"}[sure]
    told = say(f"calc.reach.{verdict}", goal=f"{goal:g}", rh=f"{100 * rh:g}", limit=f"{limit:.0f}")
    return [line("rh-for-goal", f"{limit:.1f} %"), line("reachable", told)]


@click.command("drying", help=say("help.calc-drying"))
@click.option(
    "--readings",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE.csv",
    help=say("opt.calc.readings"),
)
@amount("emc", "ratio", "11%", required=True)
@amount("goal", "ratio", "15%", required=True)
@amount("resolution", "ratio", "0.5%")
@click.option("--ascii", "plain", is_flag=True, help=say("opt.calc.ascii"))
@json_option
def drying_command(
    readings: Path, emc: float, goal: float, resolution: float | None, plain: bool, as_json: bool
) -> None:
    """Tell on which day wood will be dry, or why that cannot be said."""
    from siltline.cli.readings_file import readings_of  # noqa: PLC0415
    from siltline.science.forecast import forecast, rise, stalled  # noqa: PLC0415

    found = readings_of(readings)
    end, wanted = 100 * emc, 100 * goal
    step = 0.5 if resolution is None else 100 * resolution
    told = forecast(found, end, wanted, step)
    still, risen = stalled(found, wanted, step), rise(found, step)
    early, middle, late = told.days or (math.nan,) * 3
    facts = {
        "answered": told.answered,
        "p05_day": early,
        "p50_day": middle,
        "p95_day": late,
        "p_never": told.never,
        "because": _because(told, end, wanted),
        "remedy": say(f"drying.remedy.{told.reason}") if told.reason else None,
        "reason": told.reason or None,
        "now_day": told.now,
        "readings_used": told.used,
        "stalled": still,
        "wetter": risen is not None,
    }
    plain = plain or not draws_blocks(sys.stdout.encoding)
    words = [] if as_json else _drying_words(told, found, end, wanted, plain)
    notes = [say("drying.stalled")] if still else []
    if risen is not None:
        days = f"{risen.now.day - risen.before.day:g}"
        values = {"before": f"{risen.before.percent:g}", "now": f"{risen.now.percent:g}"}
        notes = [say("drying.wetter", days=days, **values)]
    tell(
        facts,
        words,
        [*notes, say("calc.caution.meter"), say("calc.source.drying")],
        as_json=as_json,
    )


def draws_blocks(encoding: str | None) -> bool:
    """Tell whether the console has the characters of the chart; old code pages have not."""
    try:
        "\u25cf\u2591\u2500\u2508\u28ff".encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _because(told: Forecast, emc: float, goal: float) -> str | None:
    if not told.reason:
        return None
    never = "" if math.isnan(told.never) else f"{100 * told.never:.0f}"
    values = {"used": told.used, "never": never, "emc": f"{emc:g}", "goal": f"{goal:g}"}
    return say(f"drying.because.{told.reason}", **values)


def _drying_words(
    told: Forecast, readings: list[Reading], emc: float, goal: float, plain: bool
) -> list[str]:
    from siltline.science.chart import BLOCKS, PLAIN, chart  # noqa: PLC0415

    late = told.days[2] if told.answered else -math.inf
    drawn = chart(readings, goal, emc, told.fit, late + 1, marks=PLAIN if plain else BLOCKS)
    legend = say("drying.legend-plain" if plain else "drying.legend") if drawn else ""
    if told.answered:
        days = {
            name: f"{day:.1f}"
            for name, day in zip(("early", "middle", "late"), told.days, strict=True)
        }
        told_line = say("drying.answer", goal=f"{goal:g}", **days)
        past = [say("drying.past")] if told.days[1] <= told.now else []
        answer = [told_line, *past]
    else:
        because = _because(told, emc, goal) or ""
        answer = [say("drying.refused", because=because), say(f"drying.remedy.{told.reason}")]
    return [*drawn, legend, "", *(row for text in answer for row in wrapped(text, ""))]
