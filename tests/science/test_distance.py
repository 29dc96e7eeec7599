"""Distances against Karney's geodesics (geographiclib), and verdicts."""

from __future__ import annotations

import math

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from siltline.science.distance import at_site, metres
from siltline.science.faults import Contradiction, NotFinite, OutOfRange

LATS, LONS = st.floats(-85, 85), st.floats(-180, 180)


def karney(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(Geodesic.WGS84.Inverse(*one, *other)["s12"])


@given(LATS, LONS, st.floats(-0.4, 0.4), st.floats(-0.4, 0.4))
def test_near_places_to_a_tenth_of_a_millimetre(
    lat: float, lon: float, north: float, east: float
) -> None:
    other = lat + north, math.remainder(lon + east, 360)
    assert metres((lat, lon), other) == pytest.approx(karney((lat, lon), other), abs=1e-4)


@given(LATS, LONS, LATS, LONS)
def test_far_places_to_a_millimetre_and_the_other_side_of_the_world_to_0_6_percent(
    a: float, b: float, c: float, d: float
) -> None:
    there = karney((a, b), (c, d))
    try:
        found = metres((a, b), (c, d))
    except Contradiction:
        return
    if there < 1.9e7:
        assert found == pytest.approx(there, abs=1e-3)
    else:
        assert found == pytest.approx(there, rel=6e-3)


# GeographicLib's own example (its documentation): Wellington to Salamanca, 19,959,679.267 m.
def test_nearly_the_other_side_of_the_world() -> None:
    assert metres((-41.32, 174.81), (40.96, -5.50)) == pytest.approx(19_959_679.267, rel=6e-3)


# EXIF's 0.01 second of arc is 0.31 m along a meridian.
def test_the_step_of_a_photos_position() -> None:
    assert metres((45, 7), (45 + 0.01 / 3600, 7)) == pytest.approx(0.31, abs=0.005)


@given(LATS, LONS)
def test_a_place_is_no_distance_from_itself_and_across_the_date_line_is_near(
    lat: float, lon: float
) -> None:
    assert metres((lat, lon), (lat, lon)) == 0
    assert metres((lat, 179.9999), (lat, -179.9999)) < 25


@pytest.mark.parametrize(
    ("apart", "doubt", "verdict"),
    [
        (30, 15, "at-site"),
        (85, 15, "at-site"),
        (90, 15, "cannot-tell"),
        (115, 15, "cannot-tell"),
        (116, 15, "away"),
        (5000, 15, "away"),
        (30, 3000, "cannot-tell"),
        (0, 0, "at-site"),
    ],
)
def test_verdicts(apart: float, doubt: float, verdict: str) -> None:
    assert at_site(apart, doubt, 100) == verdict


@given(st.floats(0, 1e6), st.floats(0, 1e4), st.floats(1, 1e4))
def test_more_doubt_never_makes_a_verdict_surer(apart: float, doubt: float, site: float) -> None:
    if at_site(apart, doubt, site) == "cannot-tell":
        assert at_site(apart, doubt * 2 + 1, site) == "cannot-tell"


def test_what_is_refused_and_by_what_name() -> None:
    with pytest.raises(OutOfRange, match="a latitude cannot be 95 degrees"):
        metres((95, 0), (0, 0))
    with pytest.raises(OutOfRange, match="a longitude cannot be 190 degrees"):
        metres((0, 190), (0, 0))
    with pytest.raises(NotFinite, match="a latitude is nan"):
        metres((math.nan, 0), (0, 0))
    with pytest.raises(Contradiction, match="near if latitude and longitude of one are swapped"):
        metres((40.2, -75.1), (-75.1, 40.2))
    with pytest.raises(OutOfRange, match="the doubt of the positions cannot be -1 m"):
        at_site(1, -1)
