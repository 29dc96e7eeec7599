"""How far each measuring point is dry: against which goal, held how often, and when it will be.

The goal is the limit of the step, or the reading of unaffected wood of the same house with the
same meter where that is lower: the meter's bias then cancels out (common practice). A date comes
from `science.forecast`, which refuses one where the readings cannot carry it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta

from msgspec import Struct

from siltline import times
from siltline.judge.board import Board
from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.judge.holding import holds
from siltline.judge.measured import meter_named, newest_air, points_of, readings_at
from siltline.judge.points import AirReading, Meter, Point, PointReading, percent_of
from siltline.judge.references import Reference, reference_goal, references
from siltline.rules.plan import Proof
from siltline.science.doubt import Tolerance
from siltline.science.drying import Reading
from siltline.science.faults import Contradiction
from siltline.science.forecast import MOST, Forecast, forecast, rise, stalled
from siltline.science.wood import COLDEST, emc, emc_doubt, humidity_for, reachable

USUAL_LIMIT = 15.0  # %: extension leaflets on closing walls after a flood (Missouri, Mississippi)
COARSE, FINE = 1.0, 0.5  # points: the step of a display that shows whole numbers, or tenths
# How it stands: nothing read; read on one day only; dry on all days that the step wants; at the
# goal, not held yet; on its way; standing still; got wetter; the air never lets it dry.
STATES = ("unread", "first", "dry", "holding", "drying", "stalled", "wetter", "never")


class Verdict(Struct, frozen=True):
    """How a point stands.

    Attributes:
        point: which.
        state: one of STATES.
        readings: day since the first reading, percent.
        start: when the first one was read; None where none was.
        newest: the newest reading as recorded, or "".
        goal: percent; `limit` is that of the step.
        references: names of the points that the goal comes from; () where it is the limit.
        emc: where the air of its room brings wood to, percent; None where no air was read.
        air: that air.
        rh_needed: humidity, 0..1, below which that air would reach the goal; None without air.
        held, wanted: on how many readings, a day apart, it kept the limit; how many it must.
        told: the forecast; None where no air or too few readings carry one.
    """

    point: Point
    state: str
    readings: tuple[Reading, ...]
    start: datetime | None
    newest: str
    goal: float
    limit: float
    references: tuple[str, ...]
    emc: float | None
    air: AirReading | None
    rh_needed: float | None
    held: int
    wanted: int
    told: Forecast | None

    def day(self, number: float) -> datetime | None:
        """Return the moment of a day of the forecast; None for never."""
        if self.start is None or number > 100_000:  # noqa: PLR2004 - past any calendar
            return None
        return self.start + timedelta(days=number)


def resolution_of(meter: Meter | None, readings: Sequence[PointReading]) -> float:
    """Return the step of the display, points: the meter's, else what was typed shows."""
    if meter is not None and meter.resolution:
        return max(0.05, min(2.0, percent_of(meter.resolution)))
    tenths = any("." in one.typed for one in readings)
    return FINE if tenths else COARSE


def limits(board: Board) -> dict[tuple[str, str], Proof]:
    """Return (place, what is read there, in small letters) -> what a step wants of it."""
    found: dict[tuple[str, str], Proof] = {}
    for view in board.steps.values():
        for held in view.held:
            proof = held.proof
            if proof.kind == "reading" and proof.at_most and proof.unit == "%":
                found.setdefault((view.step.place, proof.name.casefold()), proof)
    return found


def _usual(reads: str) -> Proof:
    return Proof("reading", reads, 2, "%", f"{USUAL_LIMIT:g} %", hours_apart=24)


def verdict(
    board: Board,
    point: Point,
    wanted: Mapping[tuple[str, str], Proof] | None = None,
    *,
    dated: bool = True,
) -> Verdict:
    """Return how a point stands.

    Args:
        board: of the job.
        point: one of its points.
        wanted: what `limits` returned, where many points are looked at.
        dated: whether a day is reckoned, which takes some milliseconds.
    """
    read = readings_at(board.ledger, point.name)[-MOST:]
    known = limits(board) if wanted is None else wanted
    proof = known.get((point.place, point.reads.casefold())) or _usual(point.reads)
    limit = percent_of(proof.at_most)
    meter = read[-1].meter if read else ""
    dry = reference_goal(board, point, meter) if read else None
    goal, references = dry if dry and dry[0] < limit else (limit, ())
    start = times.read(read[0].at) if read else None
    days = tuple(
        Reading((times.read(one.at) - start).total_seconds() / 86400, percent_of(one.value))
        for one in read
        if start is not None
    )
    air = newest_air(board.ledger, "affected", point.air or point.place)
    end, _, needed = _end_in(air, goal)
    step = resolution_of(meter_named(board.ledger, meter), read)
    held = min(holds(proof, read), proof.count)
    state = _state(days, goal, held >= proof.count, step)
    if state in ("first", "drying", "stalled") and air is not None and never_in(air, goal):
        state = "never"
    return Verdict(
        point, state, days, start, read[-1].value if read else "", goal, limit, references,
        end, air, needed, held, proof.count,
        _forecast(days, end, goal, step) if dated else None,
    )  # fmt: skip


def _end_in(air: AirReading | None, goal: float) -> tuple[float | None, float, float | None]:
    """Return where the air brings wood to, how sure that is, and the humidity for the goal."""
    if air is None:
        return None, 0.0, None
    temp, rh = air.state
    if temp < COLDEST:  # the handbook's table begins there
        return None, 0.0, None
    try:
        needed = humidity_for(temp, goal)
    except Contradiction:
        needed = None
    return emc(temp, rh), emc_doubt(temp, rh, Tolerance()), needed


def never_in(air: AirReading, goal: float) -> tuple[float, float | None] | None:
    """Return where air leaves wood and the humidity that a goal needs, where it is never reached.

    Args:
        air: as it was read.
        goal: percent.

    Returns:
        Percent, and 0..1 (None where no humidity would do); None where the goal can be reached, or
        where that is too close to call.
    """
    end, doubt, needed = _end_in(air, goal)
    if end is None or reachable(*air.state, goal, doubt) is not False:
        return None
    return end, needed


def _forecast(
    days: Sequence[Reading], end: float | None, goal: float, resolution: float
) -> Forecast | None:
    if end is None or not 2 <= end <= 30 or len({one.day for one in days}) < 2:  # noqa: PLR2004
        return None
    return forecast(days, end, goal, resolution)


def _state(days: Sequence[Reading], goal: float, held: bool, resolution: float) -> str:
    if not days:
        return "unread"
    if days[-1].percent <= goal:
        return "dry" if held else "holding"
    if len({one.day for one in days}) < 2:  # noqa: PLR2004
        return "first"
    if rise(days, resolution):
        return "wetter"
    return "stalled" if stalled(days, goal, resolution) else "drying"


def verdicts(board: Board, *, dated: bool = True) -> list[Verdict]:
    """Return how every point stands, in the order of a round; unaffected wood has no verdict.

    Args:
        board: of the job.
        dated: as for `verdict`.
    """
    points, wanted = points_of(board.ledger), limits(board)
    return [verdict(board, one, wanted, dated=dated) for one in points if not one.reference]


def beside(board: Board, found: Sequence[Verdict]) -> list[Reference]:
    """Return the unaffected wood that points which were looked at are compared with."""
    return references(board, {one.point.name: one.references for one in found})


def of_points(board: Board) -> Iterator[Finding]:
    """Yield what the review says of points: wetter, standing still, never dry in their air.

    Of a point that keeps the limit of its step and not yet what unaffected wood reads, too.
    """
    for one in verdicts(board, dated=False):
        told = {"name": one.point.name, "newest": one.newest, "place": one.point.place}
        if one.state == "wetter":  # it has a cause that somebody must find
            yield finding("point-wetter", "decide", None, **told)
        elif one.state == "never":
            yield finding("point-never", "decide", None, **told)
        elif one.state == "stalled":
            yield finding("point-stalled", "note", None, **told)
        elif one.references and one.held >= one.wanted and one.state != "dry":
            names = ", ".join(one.references)
            goal = f"{one.goal:.1f}".removesuffix(".0")
            yield finding("point-above-dry-wood", "note", None, **told, goal=goal, points=names)


def step_of(board: Board, point: Point) -> str:
    """Return the id of the step whose reading a point shows; "" where the plan has it no more."""
    for view in board.steps.values():
        reads = [held.proof.name.casefold() for held in view.held]
        if view.step.place == point.place and point.reads.casefold() in reads:
            return view.step.id
    return ""
