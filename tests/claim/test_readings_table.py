"""readings.csv: every reading of points and of the air, by time; unaffected wood is marked."""

from __future__ import annotations

import csv
from pathlib import Path

from siltline.claim.contents import gather
from siltline.claim.tables import READING_COLUMNS, write_photos, write_readings, write_steps
from siltline.job.acts import tick
from siltline.job.add import add
from siltline.job.points import add_meter
from siltline.job.rounds import read_round
from support.crawl import crawl_job, read_on
from support.pictures import photo


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_every_reading_stands_in_the_table_and_unaffected_wood_is_marked(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, (0, 1)))
    add_meter(job, "Old pins", corrects="no")
    clock.on(2)
    read_round(job, {"J1": "15"}, meter="Old pins", temp="10C", by="Ada", sure=True)
    write_readings(gather(job), tmp_path / "readings.csv")
    rows = table(tmp_path / "readings.csv")
    assert tuple(rows[0]) == READING_COLUMNS
    assert [row["what"] for row in rows].count("reference") == 2
    (first, second) = (row for row in rows if row["what"] == "reference")
    assert (first["point"], first["typed"], first["meter"]) == ("R1", "11 %", "Pin meter")
    assert first["where"] == "sill under the porch, never wet"
    assert first["at"] < second["at"]
    assert [row["what"] for row in rows].count("air affected") == 2
    last = rows[-1]
    assert (last["typed"], last["counts_as"], last["wood_temp"]) == ("15 %", "16.0 %", "10C")


def test_where_nothing_was_read_there_is_no_table(tmp_path: Path) -> None:
    job, _ = crawl_job(tmp_path)
    write_readings(gather(job), tmp_path / "readings.csv")
    assert not (tmp_path / "readings.csv").exists()


def test_the_table_is_in_the_order_of_time_whatever_the_offset(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    clock.on(2)
    for when in ("2026-03-15T09:00:00-04:00", "2026-03-15T08:30:00-05:00"):  # 13:00 and 13:30 UTC
        with job.acting():
            body = {"round": [{"point": "J1", "value": "20 %"}], "when": when}
            job.append("read", body, "Ada")
    write_readings(gather(job), tmp_path / "readings.csv")
    assert [row["at"] for row in table(tmp_path / "readings.csv")] == [
        "2026-03-15T08:00:00.000-05:00",  # both in the zone of the site
        "2026-03-15T08:30:00.000-05:00",
    ]


def test_every_time_of_a_table_is_in_the_zone_of_the_site(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)  # whose laptop is set to UTC
    list(read_on(job, clock, (0, 1)))
    read_round(job, {"J1": "20"}, when="yesterday 8:00", by="Ada", sure=True)
    tick(job, "gear-on/house", by="Ada")
    add(job, [photo(tmp_path, "JOIST.JPG", 1)])
    contents = gather(job)
    for write, name, column in (
        (write_readings, "readings.csv", "at"),
        (write_steps, "steps.csv", "at"),
        (write_photos, "photos.csv", "added"),
    ):
        write(contents, tmp_path / name)
        told = [row[column] for row in table(tmp_path / name) if row[column]]
        assert told
        assert {at[-6:] for at in told} == {"-05:00"}, name
