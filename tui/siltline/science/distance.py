"""How far apart two places are, and whether a photo was taken at the site.

Source: T. Vincenty, Direct and inverse solutions of geodesics on the ellipsoid, Survey Review
XXIII (1975), on WGS 84; 0.5 mm. Near the other side of the world it does not converge: there
the great circle on a sphere stands in, within 0.6 %. `tests/science` holds both against
Karney's algorithm.
"""

from __future__ import annotations

import math

from siltline.science.faults import Contradiction, within
from siltline.sentences import say

AT_SITE, AWAY, CANNOT_TELL = "at-site", "away", "cannot-tell"
VERDICTS = (AT_SITE, AWAY, CANNOT_TELL)
USUAL_DOUBT = 15.0  # m, a phone beside a house; common practice, open sky is better
SITE = 100.0  # m about the given point: a house, its lot and the street; common practice
_A, _F = 6_378_137.0, 1 / 298.257223563  # WGS 84, NIMA TR8350.2
_B = _A * (1 - _F)
_MEAN = 6_371_008.8  # m, mean radius of WGS 84
_FAR, _NEAR = 50_000.0, 5_000.0  # m: places of one job, and the same place with its numbers swapped

Place = tuple[float, float]


def _series(u2: float) -> tuple[float, float]:
    a = 1 + u2 / 16384 * (4096 + u2 * (-768 + u2 * (320 - 175 * u2)))
    return a, u2 / 1024 * (256 + u2 * (-128 + u2 * (74 - 47 * u2)))


def _great_circle(one: Place, other: Place) -> float:
    p, q = math.radians(one[0]), math.radians(other[0])
    half = math.radians(other[1] - one[1]) / 2
    h = math.sin((q - p) / 2) ** 2 + math.cos(p) * math.cos(q) * math.sin(half) ** 2
    return 2 * _MEAN * math.asin(min(1.0, math.sqrt(h)))


def _along(sin_s: float, cos_s: float, sigma: float, mid: float, cos2: float) -> float:
    """Return the length of a geodesic from its arc on the auxiliary sphere, m."""
    a, b = _series(cos2 * (_A * _A - _B * _B) / (_B * _B))
    inner = cos_s * (2 * mid * mid - 1)
    inner -= b / 6 * mid * (4 * sin_s * sin_s - 3) * (4 * mid * mid - 3)
    return _B * a * (sigma - b * sin_s * (mid + b / 4 * inner))


def _vincenty(one: Place, other: Place) -> float | None:
    u1, u2 = (math.atan((1 - _F) * math.tan(math.radians(p[0]))) for p in (one, other))
    (s1, c1), (s2, c2) = ((math.sin(u), math.cos(u)) for u in (u1, u2))
    apart = math.radians(math.remainder(other[1] - one[1], 360))
    lam = apart
    for _ in range(200):
        sin_l, cos_l = math.sin(lam), math.cos(lam)
        sin_s = math.hypot(c2 * sin_l, c1 * s2 - s1 * c2 * cos_l)
        if sin_s == 0:
            return 0.0
        cos_s = s1 * s2 + c1 * c2 * cos_l
        sigma = math.atan2(sin_s, cos_s)
        sin_a = c1 * c2 * sin_l / sin_s
        cos2 = 1 - sin_a * sin_a
        mid = cos_s - 2 * s1 * s2 / cos2 if cos2 > 0 else 0.0
        c = _F / 16 * cos2 * (4 + _F * (4 - 3 * cos2))
        before = lam
        bend = sigma + c * sin_s * (mid + c * cos_s * (2 * mid * mid - 1))
        lam = apart + (1 - c) * _F * sin_a * bend
        if abs(lam - before) < 1e-12:  # noqa: PLR2004 - radians, a hundredth of a millimetre
            return _along(sin_s, cos_s, sigma, mid, cos2)
        if abs(lam) > math.pi:
            return None
    return None


def metres(one: Place, other: Place) -> float:
    """Return the distance of two places on the ellipsoid.

    Args:
        one: latitude (-90..90) and longitude (-180..180), degrees, WGS 84.
        other: likewise.

    Returns:
        m.

    Raises:
        NotFinite, OutOfRange: a number is none.
        Contradiction: the two are far apart, and near if one had its two numbers swapped.
    """
    for lat, lon in (one, other):
        within("latitude", lat, -90, 90, "degrees")
        within("longitude", lon, -180, 180, "degrees")
    far = _distance(one, other)
    turned = other[1], other[0]
    if far > _FAR and abs(other[1]) <= 90 and _great_circle(one, turned) < _NEAR:  # noqa: PLR2004
        raise Contradiction(say("science.swapped-place"), "latitude")
    return far


def _distance(one: Place, other: Place) -> float:
    found = _vincenty(one, other)
    return _great_circle(one, other) if found is None else found


def at_site(apart: float, doubt: float = USUAL_DOUBT, site: float = SITE) -> str:
    """Return `at-site`, `away`, or `cannot-tell` where the doubt is too large for either.

    Args:
        apart: m, as `metres` has it.
        doubt: how far both positions together can be off, m, 0 to 100,000.
        site: how far from its point the site reaches, m, 1 to 10,000.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("distance", apart, 0, 2.1e7, "m")
    within("position-doubt", doubt, 0, 100_000, "m")
    within("site", site, 1, 10_000, "m")
    if apart + doubt <= site:
        return AT_SITE
    return AWAY if apart - doubt > site else CANNOT_TELL
