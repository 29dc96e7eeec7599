"""A photo is said to be at the site or away only where its position and the house's carry that."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.job import Job
from siltline.job.acts import attach
from siltline.job.add import add
from siltline.job.clock import code_of, mark
from siltline.job.close_out import review
from siltline.job.laying import correct
from siltline.job.pictures import describe
from siltline.job.places import doubt_of, places, site_of, where_is
from siltline.judge.photo_places import USUAL_DOUBT, classify, told
from siltline.record.derived import keep_facts, photo_facts
from siltline.screens.entries import of_photos
from support.command import Shell
from support.house import HOUSE
from support.pictures import photo

SITE = (29.951, -90.072)  # invented
PLACED = HOUSE.replace(
    "foundation:", "position: {latitude: 29.951, longitude: -90.072}\nfoundation:"
)
DEGREE = 110_850.0  # m of latitude at 30 degrees north, WGS 84; from memory


def north(metres: float, **told: float) -> dict[str, Any]:
    """Return the facts of a photo that was taken so far north of the house."""
    return {"lat": SITE[0] + metres / DEGREE, "lon": SITE[1], **told}


@pytest.mark.parametrize(
    ("metres", "told", "verdict"),
    [
        (0, {}, "at-site"),
        (195, {}, "at-site"),  # 150 m and the usual 50
        (205, {}, "cannot-tell"),
        (545, {}, "cannot-tell"),
        (555, {}, "away"),
        (155, {"gps_error": 10.0}, "at-site"),
        (165, {"gps_error": 10.0}, "cannot-tell"),
        (515, {"gps_error": 10.0}, "away"),
        (5_000, {"gps_error": 6_000.0}, "at-site"),  # such a fix speaks against nothing
    ],
)
def test_the_distance_decides_with_its_doubt(
    metres: float, told: dict[str, float], verdict: str
) -> None:
    found = where_is(north(metres, **told), SITE)
    assert found.verdict == verdict
    assert found.distance == pytest.approx(metres, abs=2)


@pytest.mark.parametrize(
    ("facts", "site", "says"),
    [
        ({}, SITE, "no position"),
        ({"lat": 0.0, "lon": 0.0}, SITE, "0, 0"),
        (north(0), None, "house sheet (position)"),
        ({"lat": 40.2, "lon": -75.1}, (-75.1, 40.2), "swapped"),
    ],
)
def test_what_cannot_be_told_says_what_would_help(
    facts: dict[str, Any], site: tuple[float, float] | None, says: str
) -> None:
    found = where_is(facts, site)
    assert (found.verdict, found.distance) == ("cannot-tell", None)
    assert says in told(found)


@pytest.mark.parametrize("told", [None, 0, -5.0, float("nan"), float("inf"), 1e9, "8"])
def test_an_error_of_a_fix_that_says_nothing_leaves_the_usual_doubt(told: object) -> None:
    assert doubt_of({"gps_error": told}) == USUAL_DOUBT
    assert doubt_of({"gps_error": 8}) == 8


@given(st.floats(0, 2e7), st.floats(0, 1e5), st.floats(0, 1e5))
def test_law_more_doubt_never_makes_a_photo_away(
    distance: float, doubt: float, more: float
) -> None:
    order = ("at-site", "cannot-tell", "away")
    before, after = classify(distance, doubt), classify(distance, doubt + more)
    assert order.index(after) <= order.index(before)


@given(st.floats(-90, 90), st.floats(-180, 180), st.floats(-90, 90), st.floats(-180, 180))
def test_law_any_two_places_give_a_verdict(a: float, b: float, c: float, d: float) -> None:
    found = where_is({"lat": a, "lon": b}, (c, d))
    assert found.verdict in ("at-site", "away", "cannot-tell")
    assert told(found)


def given_position(job: Job, name: str, facts: dict[str, Any]) -> str:
    """Let the file of a photo say a position."""
    (sha256,) = (p for p, taken in job.board.ledger.photos.items() if taken.name == name)
    with job.acting(changes_states=False):
        known = job.record.derived(photo_facts)[sha256]
        keep_facts(job.record.connection, sha256, "2", {**known, **facts})
    return sha256


def test_the_position_is_that_of_the_sheet_as_it_was_corrected(
    new_job: Callable[..., Job], job: Job
) -> None:
    placed = new_job(PLACED, name="placed")
    assert site_of(placed) == SITE
    correct(placed, ["position.latitude=30.5"], by="Ada", take=True)
    assert site_of(placed) == (30.5, SITE[1])
    assert site_of(job) is None
    correct(job, ["position.latitude=30.5", "position.longitude=-90"], by="Ada", take=True)
    assert site_of(job) == (30.5, -90.0)


def test_only_an_attached_photo_that_is_away_is_noted(
    new_job: Callable[..., Job], tmp_path: Path
) -> None:
    job = new_job(PLACED, name="placed")
    add(job, [photo(tmp_path, f"{n}.JPG", i) for i, n in enumerate(("HERE", "AWAY", "TRAY"))])
    given_position(job, "HERE.JPG", north(20))
    away = given_position(job, "AWAY.JPG", north(2_400))
    given_position(job, "TRAY.JPG", north(9_000))
    attach(job, "gear-on/house", "HERE.JPG", role="crew")
    assert "photo-away" not in {f.code for f in review(job)}
    attach(job, "gear-on/house", "AWAY.JPG", role="other")
    (found,) = (f for f in review(job) if f.code == "photo-away")
    assert (found.weight, found.step) == ("note", "gear-on/house")
    assert "AWAY.JPG was taken 2.4 km from the house" in found.text
    told = {one["name"]: one for one in describe(job)}
    assert [told[f"{n}.JPG"]["place"] for n in ("HERE", "AWAY")] == ["at-site", "away"]
    assert told["AWAY.JPG"]["distance_m"] == pytest.approx(2400, abs=2)
    assert places(job)[away].verdict == "away"


def test_without_a_position_of_the_house_nothing_is_away(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "A.JPG", 1)])
    given_position(job, "A.JPG", north(90_000))
    attach(job, "gear-on/house", "A.JPG", role="crew")
    assert "photo-away" not in {f.code for f in review(job)}
    assert [p["place"] for p in describe(job)] == ["cannot-tell"]


def test_the_list_on_the_screen_says_when_and_where(
    new_job: Callable[..., Job], tmp_path: Path
) -> None:
    job = new_job(PLACED, name="placed")
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    given_position(job, "A.JPG", north(2_400))
    mark(job, "B.JPG", shown="12 Mar 2026 07:29:00", code=code_of(job))
    rows = {str(entry.row).split()[0]: entry for entry in of_photos(job)}
    assert "1 min fast" in str(rows["A.JPG"].detail)
    assert "Away: taken 2.4 km" in str(rows["A.JPG"].detail)
    assert "position" not in str(rows["B.JPG"].detail)
    assert "the laptop's clock" in str(rows["B.JPG"].row)


def test_the_command_says_where_a_photo_was_taken(
    new_job: Callable[..., Job], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = new_job(PLACED, name="placed")
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    given_position(job, "A.JPG", north(2_400))
    path = job.record.path
    job.close()
    told = Shell(capsys)("photos", path).out.splitlines()
    assert told[1] == "    Away: taken 2.4 km from the house, give or take 50 m."
    assert not any("position" in line for line in told)
