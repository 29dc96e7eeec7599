"""Invented drying walls: six kinds of truth, two meters, and wood that never dries.

The truths are ours, as the priors of the method are; what they test is that an interval called
90 % holds about nine days in ten, also where the curve is not the method's own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random

GOAL = 15.0
LONGEST = 60  # days


@dataclass(frozen=True)
class Meter:
    """A meter: sd of a reading about the truth, and the step of its display, points."""

    sd: float
    resolution: float

    def read(self, truth: float, rng: Random) -> float:
        steps = round((truth + rng.gauss(0, self.sd)) / self.resolution)
        return steps * self.resolution


METERS = {"A": Meter(0.5, 0.5), "B": Meter(1.0, 1.0)}


@dataclass(frozen=True)
class Wall:
    """A truth: moisture by day, the day it comes to the goal, and what the room's air says."""

    emc: float
    at: Callable[[float], float]
    dry: float  # inf: never
    outliers: bool = False


def _first_day(at: Callable[[float], float]) -> float:
    """Return when a curve that falls comes to the goal, by bisection."""
    if at(400.0) > GOAL:
        return math.inf
    low, high = 0.0, 400.0
    for _ in range(50):
        mid = (low + high) / 2
        low, high = (mid, high) if at(mid) > GOAL else (low, mid)
    return high


def _page(start: float, end: float, tau: float, n: float) -> Callable[[float], float]:
    return lambda t: end + (start - end) * math.exp(-((t / tau) ** n))


def _slab(start: float, end: float, tau: float) -> Callable[[float], float]:
    """Diffusion out of a slab (Crank 1975): the mean of Fick's series, slowest term exp(-t/tau)."""

    def at(t: float) -> float:
        odd = [(2 * j + 1) ** 2 for j in range(40)]
        left = sum(math.exp(-k * t / tau) / k for k in odd) * 8 / math.pi**2
        return end + (start - end) * left

    return at


def _jump(start: float, end: float, tau: float, change: float) -> Callable[[float], float]:
    """Mid-way to the goal the room's air changes, so that the wood heads for another end."""
    when = min(LONGEST, _first_day(_page(start, end, tau, 1))) / 2
    then = end + (start - end) * math.exp(-when / tau)

    def at(t: float) -> float:
        if t <= when:
            return end + (start - end) * math.exp(-t / tau)
        other = end + change
        return other + (then - other) * math.exp(-(t - when) / tau)

    return at


def _steady(start: float, end: float, tau: float, rate: float) -> Callable[[float], float]:
    """Free water first leaves at an even rate (points a day), down to 28 %."""
    turn = max(0.0, (start - 28) / rate)

    def at(t: float) -> float:
        if t < turn:
            return start - rate * t
        return end + (min(start, 28.0) - end) * math.exp(-(t - turn) / tau)

    return at


def _curve(
    kind: str, start: float, end: float, tau: float, rng: Random
) -> Callable[[float], float]:
    match kind:
        case "page":
            return _page(start, end, tau, rng.uniform(0.7, 1.25))
        case "slab":
            return _slab(start, end, tau)
        case "jump":
            return _jump(start, end, tau, rng.choice((-1.2, 1.2)))
        case "steady":
            return _steady(start + 8, end, tau, rng.uniform(0.6, 2))
    return _page(start, end, tau, 1)


def wall(kind: str, rng: Random) -> Wall:
    """Return an invented wall of a kind that comes to the goal between day 3 and day 60."""
    while True:
        emc = rng.uniform(9, 13)
        end = emc + rng.gauss(0, 1)
        start, tau = rng.uniform(19, 29), math.exp(rng.uniform(math.log(2), math.log(15)))
        at = _curve(kind, start, end, tau, rng)
        dry = _first_day(at)
        if 3 < dry < LONGEST:
            return Wall(emc, at, dry, kind == "outliers")


KINDS = ("exponential", "page", "slab", "jump", "outliers", "steady")


def never_dry(rng: Random) -> Wall:
    """Return a wall that ends 0.3 to 2.5 points above the goal in a room that says so."""
    end = GOAL + rng.uniform(0.3, 2.5)
    tau = math.exp(rng.uniform(math.log(2), math.log(15)))
    return Wall(end - rng.gauss(0, 1), _page(rng.uniform(20, 29), end, tau, 1), math.inf)


def read_daily(
    one: Wall, meter: Meter, rng: Random, most: int = LONGEST
) -> Iterator[list[tuple[float, float]]]:
    """Yield what was read so far, from the third daily reading to the last before the goal."""
    found: list[tuple[float, float]] = []
    for day in range(most):
        if day >= one.dry:
            return
        value = meter.read(one.at(day), rng)
        if one.outliers and rng.random() < 0.05:
            value += rng.choice((-1, 1)) * rng.uniform(2, 4)
        found.append((float(day), value))
        if len(found) >= 3:
            yield list(found)
