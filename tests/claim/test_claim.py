"""The claim folder: a report that says what the record says, tables, originals, sums."""

from __future__ import annotations

import csv
import hashlib
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from siltline.claim.folder import write_claim
from siltline.claim.report import WORDS
from siltline.errors import Broken, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, leave_out, tick
from siltline.job.add import add
from siltline.science.chart import PAPER
from siltline.sentences import say
from siltline.tour import CLAIM_NAME, JOB_NAME, lay_out
from support.house import HOUSE, WHOLE
from support.pictures import photo

BARE = "house: Bare house\nrooms: {a: {name: A}}\n"
HOSTILE = '=HYPERLINK("x") #set page(fill: red) [b]\x1b[31m\u202e $a$ <b> \\n'


@pytest.fixture(scope="module")
def tour(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("claim") / "tour"
    list(lay_out(folder))
    return folder


@pytest.fixture
def lived(tour: Path) -> Iterator[Job]:
    job = open_job(tour / JOB_NAME)
    yield job
    job.close()


def words(pdf: Path) -> str:
    """Return the text of a report with its white space and hyphenation folded."""
    text = " ".join(page.extract_text() for page in PdfReader(pdf).pages)
    return re.sub(r"\s+", " ", text)


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_the_report_tells_the_deadlines_and_how_each_was_counted(tour: Path) -> None:
    report = words(tour / CLAIM_NAME / "report.pdf")
    assert "Proof of loss Sat 9 May 2026, until the day ends" in report
    assert "Counts from the loss: Tue 10 Mar 2026 21:30. Source: Federal flood policy" in report
    assert "no such date is recorded" not in report


def test_the_report_names_house_steps_people_times_and_states(tour: Path, lived: Job) -> None:
    report = words(tour / CLAIM_NAME / "report.pdf")
    assert "The house at Heron Bend" in report
    assert "Invented for the tour" in report
    for view in lived.board.steps.values():
        assert view.step.id in report
        if view.word is not None:
            assert view.word.by in report
    for told in (
        "Said to be done by Pella Wray, Electrician E-0417 (invented), 12 Mar 2026 12:07.",
        "Handed over by Ines Valdkamp to Jory Stane, 12 Mar 2026 17:30.",
        "Still to put back",
        "Ground cover (poly), Crawl space",
        "31 in (79 cm)",
        "R703.8.6",
        "Left out, decided by Ines Valdkamp",
        "the camera's clock was wrong",
    ):
        assert told.replace("'", "\u2019") in report.replace("'", "\u2019"), told


def test_the_report_tells_all_that_is_known_of_the_house_and_nothing_that_is_not(
    new_job: Callable[..., Job], tmp_path: Path
) -> None:
    write_claim(new_job(WHOLE), tmp_path / "whole")
    report = words(tmp_path / "whole" / "report.pdf")
    for told in (
        "Altitude 410 ft (125 m)",
        "Levels measured from the sill of the front door",
        "Mortgagee An invented bank",
        "Consent to work, by Somebody Invented",
        "Sheathing: plywood; Mark on the sheathing: exposure-1",
        "Room: Kitchen; Room behind it: Loft",
        "Cable: nm; Cable runs in: wall; Lowest cable: 12 in (30 cm)",
        "Draws air from: crawl-space; Sealed: no",
        "north-vent: (Side: north, Kind: vent, Open: yes)",
        "Ducts run in: crawl-space",
        "Quantity: 2; Value: $40",
    ):
        assert told.replace(" ", "") in report.replace(" ", ""), told
    write_claim(new_job(BARE, name="bare"), tmp_path / "bare")
    bare = words(tmp_path / "bare" / "report.pdf")
    assert "Owner not known" in bare
    for untold in ("The house in detail", "Altitude", "Policy", "Consent", "None"):
        assert untold not in bare


def test_every_photo_of_a_step_is_in_the_report_under_its_file_name(tour: Path, lived: Job) -> None:
    reader = PdfReader(tour / CLAIM_NAME / "report.pdf")
    report = words(tour / CLAIM_NAME / "report.pdf")
    names = [path.name for path in (tour / CLAIM_NAME / "originals").iterdir()]
    folded = report.replace(" ", "")  # a long name is broken at its hyphens
    assert [name for name in names if name not in folded] == []
    pictures = {image.data for page in reader.pages for image in page.images}
    assert len(pictures) == len(lived.board.used_photos())


def test_the_report_is_tagged_with_headings_and_alternative_texts(tour: Path) -> None:
    reader = PdfReader(tour / CLAIM_NAME / "report.pdf")
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.trailer["/Root"]["/Lang"] == "en"
    raw = (tour / CLAIM_NAME / "report.pdf").read_bytes()
    assert reader.metadata is not None
    assert reader.metadata.title == "Flood damage and clean-up record: The house at Heron Bend"
    assert raw.startswith(b"%PDF-1.7")


def test_the_same_record_gives_the_same_files(tour: Path, lived: Job, tmp_path: Path) -> None:
    """But for the moment of writing, which comes from the clock that is passed in."""
    lived.clock = lambda: datetime(2026, 4, 1, tzinfo=UTC)
    for name in ("one", "two"):
        write_claim(lived, tmp_path / name)
    sums = [
        (tmp_path / name / "sha256sums.txt").read_text(encoding="utf-8") for name in ("one", "two")
    ]
    assert sums[0] == sums[1]


def test_the_sums_cover_every_file_and_are_right(tour: Path) -> None:
    claim = tour / CLAIM_NAME
    listed = dict(
        reversed(line.split("  ", 1))
        for line in (claim / "sha256sums.txt").read_text(encoding="utf-8").splitlines()
    )
    there = {p.relative_to(claim).as_posix() for p in claim.rglob("*") if p.is_file()}
    assert set(listed) == there - {"sha256sums.txt"}
    for name, digest in listed.items():
        assert hashlib.sha256((claim / name).read_bytes()).hexdigest() == digest
        assert re.fullmatch(r"[A-Za-z0-9./-]+", name), "names that every system and tool takes"


def test_the_tables_hold_what_the_record_holds(tour: Path, lived: Job) -> None:
    steps = rows(tour / CLAIM_NAME / "steps.csv")
    assert {row["step"]: row["state"] for row in steps} == {
        s: v.state for s, v in lived.board.steps.items()
    }
    photos = rows(tour / CLAIM_NAME / "photos.csv")
    assert {row["sha256"] for row in photos} == set(lived.board.ledger.photos)
    assert {row["lon"] for row in photos if row["camera"] == "Tarnbeck TB-7"} == {""}
    assert all(float(row["lon"]) < -90 for row in photos if row["camera"] == "Mosslight M2")


def test_hostile_text_everywhere_is_shown_and_never_obeyed(new_job: object, tmp_path: Path) -> None:
    house = HOUSE.replace("name: north wall", f"name: {HOSTILE!r}".replace("\\x1b", "ESC"))
    job: Job = new_job(house)  # type: ignore[operator]
    add(
        job, [photo(tmp_path, "a.JPG", 1, make=HOSTILE.replace("\u202e", ""), model="\x1b]0;x\x07")]
    )
    tick(job, "gear-on/house", by=HOSTILE, note=HOSTILE)
    attach(job, "gear-on/house", "a.JPG", role="crew")
    leave_out(job, "power-off/house", by=HOSTILE, because=HOSTILE)
    write_claim(job, tmp_path / "claim")
    report = words(tmp_path / "claim" / "report.pdf")
    assert "#set page(fill: red)" in report
    assert "\\x1b[31m" in report
    for table in ("steps.csv", "photos.csv"):
        raw = (tmp_path / "claim" / table).read_text(encoding="utf-8-sig")
        assert not set(raw) & {"\x1b", "\u202e", "\x07"}
        for row in rows(tmp_path / "claim" / table):
            starts = {value[:1] for value in row.values() if not re.fullmatch(r"-?[\d.]+", value)}
            assert not starts & set("=+-@")


def test_a_folder_that_holds_something_is_left_alone(job: Job, tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.mkdir()
    (taken / "mine").touch()
    with pytest.raises(WrongUse, match="left as it is"):
        write_claim(job, taken)
    assert [p.name for p in taken.iterdir()] == ["mine"]
    empty = tmp_path / "empty"
    empty.mkdir()
    assert "report.pdf" in write_claim(job, empty)


def test_a_photo_whose_bytes_changed_stops_the_claim_and_leaves_nothing(
    job: Job, tmp_path: Path
) -> None:
    add(job, [photo(tmp_path, "a.JPG", 1)])
    job.record.connection.execute("DROP TRIGGER photo_stays")
    job.record.connection.execute("UPDATE photo SET data = zeroblob(bytes)")
    with pytest.raises(Broken, match="no longer has the bytes"):
        write_claim(job, tmp_path / "claim")
    assert not (tmp_path / "claim").exists()
    assert not list(tmp_path.glob(".claim*"))


def test_a_photo_that_cannot_be_drawn_is_listed_with_its_original(job: Job, tmp_path: Path) -> None:
    path = photo(tmp_path, "a.JPG", 1, size=(640, 480))
    path.write_bytes(path.read_bytes()[:900])
    (outcome,) = add(job, [path]).outcomes
    if outcome.kind == "refused":
        pytest.skip("the header itself was cut")
    attach(job, "gear-on/house", "a.JPG", role="crew")
    write_claim(job, tmp_path / "claim")
    assert "cannot be printed" in words(tmp_path / "claim" / "report.pdf")


def test_the_report_draws_each_wetted_place_once(tour: Path) -> None:
    report = words(tour / CLAIM_NAME / "report.pdf")
    for place in ("the north wall, kitchen side", "the west wall, den side", "Hall"):
        assert report.count(f"Section: {place} wetted \u25cf yes") == 1
    assert report.count("Section: Crawl space flooded \u25cf yes") == 1
    for left_out in ("Kitchen", "Den", "Loft"):  # shown with a wall; not wetted
        assert f"Section: {left_out}" not in report
    assert "wetted 14 in (36 cm) outlet beside the sink" in report


def test_every_mark_of_a_drying_chart_is_explained_below_the_heading() -> None:
    assert "charts-legend" in WORDS
    legend = say("report.charts-legend")
    for mark in (PAPER.reading, PAPER.likely, PAPER.band, PAPER.goal, PAPER.end):
        assert legend.count(mark) == 1
