"""How wood comes down to what its room allows, fitted to readings: which day, and how sure.

The curve is Page's, M(t) = Me + A exp(-(t/tau)^n): exponential at n = 1, and near a slab that
dries from within at n about 0.7 (`tests/science` holds it against both). Me, where the wood
ends, is known from the air of the room within a doubt (`wood.py`); how fast, how bent, how far
and how noisy are not. So nothing is fitted to one best curve: a grid of curves is weighed by the
readings, and on each of its nodes Me and A, which enter linearly, are integrated out exactly.
The chance that the wood is at its goal by day t is then a weighted sum of normal probabilities,
smooth in t, and no sampling and no array library is needed.

Priors are ours, chosen on simulated truths only (`tests/science/test_coverage.py`). Readings in
percent of moisture by dry mass, days as floats.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import mul
from typing import NamedTuple

from msgspec import Struct

# Above fibre saturation, near 30 %, wood dries at an even rate and meters read badly: Wood
# Handbook (FPL-GTR-282) chapter 4; James 1988, FPL-GTR-6 (abstract read).
FIBRE_SATURATION = 30.0
EMC_DOUBT = 1.2  # sd of Me about the room's EMC, points
BEND, BEND_SD, BEND_NODES = 0.95, 0.20, 7  # n: mean, sd, nodes over +-2.2 sd
NOISE, NOISE_LOG_SD, NOISE_NODES = 0.8, 0.45, 5  # log-normal prior of a reading's sd, points
NOISE_RANGE = (0.3, 2.5)
# Readings of one spot err together (one hand, one room whose air changes), so each counts for less
# than one of its own; without this, walls whose room changes mid-way fall below 85 %.
TRUST = 0.85
FASTEST, SLOWEST, COARSE, FINE = 0.3, 90.0, 22, 20  # tau, days; nodes of the two passes
LEAST_FALL = 0.5  # A, points: a curve that falls less is no drying curve
NEAR = 0.05  # a curve that ends this near its goal does not reach it in any time that counts
_SOON, _FAR = 0.02, 50 * SLOWEST  # days: between them a dry day is looked for
_ROOT_HALF = math.sqrt(0.5)
_DRAWN = 60  # nodes that a chart's band is drawn from
_NEGLIGIBLE = -7.0  # log of a weight against the likeliest node's


class Reading(Struct, frozen=True):
    """One reading: day (any origin), moisture content in percent of dry mass."""

    day: float
    percent: float


class Node(NamedTuple):
    """One curve of the grid: its weight, its shape, and what Me and A are on it.

    `end`, `fall` are the means of Me (percent) and A (points); `vee`, `vea`, `vaa` their
    variances and covariance.
    """

    weight: float
    tau: float
    bend: float
    noise: float
    end: float
    fall: float
    vee: float
    vea: float
    vaa: float

    def level(self, day: float) -> tuple[float, float]:
        """Return mean and sd of the moisture content, percent, so many days after the first."""
        g = math.exp(-((max(day, 0.0) / self.tau) ** self.bend))
        spread = self.vee + g * (2 * self.vea + g * self.vaa)
        return self.end + self.fall * g, math.sqrt(spread)


def _normal(z: float) -> float:
    return 0.5 * math.erfc(-z * _ROOT_HALF)


class Fit(Struct, frozen=True):
    """What the readings say: weighted curves, with days counted from `start`."""

    start: float
    nodes: tuple[Node, ...]

    def by(self, day: float, goal: float) -> float:
        """Return the chance, 0..1, that the wood is at the goal (percent) by a day."""
        after, exp, erfc = max(day - self.start, 0.0), math.exp, math.erfc
        total = 0.0  # written out: this loop is where a forecast spends its time
        shape, g = (0.0, 0.0), 0.0
        for weight, tau, bend, _, end, fall, vee, vea, vaa in self.nodes:
            if (tau, bend) != shape:  # nodes that differ in noise alone follow one another
                shape = (tau, bend)
                g = exp(-((after / tau) ** bend))
            doubled = 2 * (vee + g * (2 * vea + g * vaa))
            total += weight * erfc((end + fall * g - goal) / math.sqrt(doubled))
        return min(1.0, total / 2)

    def never(self, goal: float) -> float:
        """Return the chance, 0..1, that the wood never comes to the goal (percent)."""
        level = goal - NEAR
        found = sum(n.weight * _normal((n.end - level) / math.sqrt(n.vee)) for n in self.nodes)
        return min(1.0, found)  # weights sum to 1 only as floats do

    @property
    def noise(self) -> float:
        """Return the likely sd of a reading about its curve, points."""
        return sum(node.weight * node.noise for node in self.nodes)

    def bands(self, days: Sequence[float]) -> list[tuple[float, float, float]]:
        """Return the 5, 50 and 95 % level of the moisture content on each day, percent."""
        heaviest = sorted(self.nodes, key=lambda node: -node.weight)[:_DRAWN]
        whole = sum(node.weight for node in heaviest)
        return [self._band(day - self.start, heaviest, whole) for day in days]

    @staticmethod
    def _band(day: float, nodes: Sequence[Node], whole: float) -> tuple[float, float, float]:
        parts = [(node.weight / whole, *node.level(day)) for node in nodes]

        def level(q: float) -> float:
            low = min(mean - 3 * sd for _, mean, sd in parts)
            high = max(mean + 3 * sd for _, mean, sd in parts)
            while high - low > 0.02:  # noqa: PLR2004 - points, less than a chart can show
                mid = (low + high) / 2
                below = sum(w * _normal((mid - mean) / sd) for w, mean, sd in parts)
                low, high = (mid, high) if below < q else (low, mid)
            return (low + high) / 2

        return level(0.05), level(0.5), level(0.95)

    def days(self, chances: Sequence[float], goal: float) -> list[float]:
        """Return the days by which the wood is at the goal with rising chances; inf for never.

        To 0.0005 of the chance or 0.2 % of the time. What one search learns the next begins with.
        """
        first, last = self.by(self.start, goal), self.by(self.start + _FAR, goal)
        known = [(math.log(_SOON), first), (math.log(_FAR), last)]
        found = []
        for chance in chances:
            if first >= chance or last < chance:
                found.append(self.start if first >= chance else math.inf)
            else:
                found.append(self.start + math.exp(self._when(chance, goal, known)))
        return found

    def _when(self, chance: float, goal: float, known: list[tuple[float, float]]) -> float:
        """Return the logarithm of a time by the Illinois method on log odds; adds to `known`."""
        aim = _odds(chance)
        low, f_low = max((x, f) for x, f in known if f < chance)
        high, f_high = min((x, f) for x, f in known if f >= chance)
        y_low, y_high = _odds(f_low) - aim, _odds(f_high) - aim
        side = 0
        while high - low > 2e-3:  # noqa: PLR2004 - the tolerance above
            part = y_low / (y_low - y_high)
            mid = low + (high - low) * min(0.95, max(0.05, part))
            f_mid = self.by(self.start + math.exp(mid), goal)
            known.append((mid, f_mid))
            if abs(f_mid - chance) < 5e-4:  # noqa: PLR2004
                return mid
            y_mid = _odds(f_mid) - aim
            if y_mid < 0:
                low, y_low = mid, y_mid
                y_high, side = (y_high / 2, -1) if side == -1 else (y_high, -1)
            else:
                high, y_high = mid, y_mid
                y_low, side = (y_low / 2, 1) if side == 1 else (y_low, 1)
        return (low + high) / 2


def _odds(chance: float) -> float:
    inside = min(1 - 1e-6, max(1e-6, chance))
    return math.log(inside / (1 - inside))


def _nodes(low: float, high: float, count: int) -> list[float]:
    step = (high - low) / (count - 1)
    return [low + step * i for i in range(count)]


_BENDS = [(BEND + BEND_SD * z, -z * z / 2) for z in _nodes(-2.2, 2.2, BEND_NODES)]
_NOISES = [
    (math.exp(x), -(((x - math.log(NOISE)) / NOISE_LOG_SD) ** 2) / 2)
    for x in _nodes(math.log(NOISE_RANGE[0]), math.log(NOISE_RANGE[1]), NOISE_NODES)
]


def _curve(
    sums: tuple[float, float, float], gs: Sequence[float], above: Sequence[float]
) -> tuple[float, float, float, float, float, float]:
    """Return the sums that the fit of one shape needs, each reading counting for `TRUST`."""
    count, total, squares = sums
    sgy = TRUST * sum(map(mul, gs, above))
    return count, total, squares, TRUST * sum(gs), TRUST * sum(map(mul, gs, gs)), sgy


def _weigh(
    days: Sequence[float],
    above: Sequence[float],
    taus: Sequence[float],
    resolution: float,
    every: int = 1,
) -> list[tuple[float, ...]]:
    """Return (log weight, tau, bend, noise, end, fall, vee, vea, vaa) of each node.

    `above` is readings less the EMC, points; so is `end`. `every` leaves bends and noises out.
    """
    sums = (TRUST * len(days), TRUST * sum(above), TRUST * sum(map(mul, above, above)))
    prior = 1 / EMC_DOUBT**2
    noises = [(s, s * s + resolution * resolution / 12, log) for s, log in _NOISES[::every]]
    found: list[tuple[float, ...]] = []
    for tau in taus:
        logs = [math.log(day / tau) if day > 0 else -math.inf for day in days]
        for bend, log_bend in _BENDS[::every]:
            gs = [math.exp(-math.exp(bend * x)) for x in logs]
            count, total, squares, sg, sgg, sgy = _curve(sums, gs, above)
            for noise, v, log_noise in noises:
                paa, pea, pee = sgg / v, sg / v, count / v + prior
                det = paa * pee - pea * pea
                fall = (pee * sgy - pea * total) / (det * v)
                end = (paa * total - pea * sgy) / (det * v)
                misfit = (squares - fall * sgy - end * total) / v
                log = log_bend + log_noise - (count * math.log(v) + misfit + math.log(det)) / 2
                found.append((log, tau, bend, noise, end, fall, paa / det, -pea / det, pee / det))
    return found


def _kept(found: list[tuple[float, ...]], emc: float) -> tuple[Node, ...]:
    """Return the nodes that count, their weights summing to 1; too small falls are weighed out."""
    top = max(log for log, *_ in found)
    nodes = []
    for log, tau, bend, noise, end, fall, vee, vea, vaa in found:
        if log < top + _NEGLIGIBLE:
            continue
        # wood that only rose has no such curve; then all are as unlikely, and none is divided by
        falls = max(_normal((fall - LEAST_FALL) / math.sqrt(vaa)), 1e-12)
        weight = math.exp(log - top) * falls
        nodes.append(Node(weight, tau, bend, noise, emc + end, fall, vee, vea, vaa))
    total = sum(node.weight for node in nodes)
    return tuple(node._replace(weight=node.weight / total) for node in nodes)


def fit(readings: Sequence[Reading], emc: float, resolution: float) -> Fit:
    """Return the curves that readings allow, weighed.

    Args:
        readings: two or more, by day, at or below 30 %; `forecast.forecast` sees to it.
        emc: what the air of the room brings wood to in the end, percent.
        resolution: the step of the meter's display, points.
    """
    days = [r.day - readings[0].day for r in readings]
    above = [r.percent - emc for r in readings]
    low, high = math.log(FASTEST), math.log(SLOWEST)
    coarse = _weigh(days, above, [math.exp(x) for x in _nodes(low, high, COARSE)], resolution, 2)
    top = max(log for log, *_ in coarse)
    likely = [math.log(tau) for log, tau, *_ in coarse if log > top - 6]
    step = (high - low) / (COARSE - 1)
    around = max(low, min(likely) - step), min(high, max(likely) + step)
    fine = _weigh(days, above, [math.exp(x) for x in _nodes(*around, FINE)], resolution)
    return Fit(readings[0].day, _kept(fine, emc))
