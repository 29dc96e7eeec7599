"""The claim tells the time by the laptop's clock where that is known, beside the camera's own."""

from __future__ import annotations

import csv
from pathlib import Path

from siltline.claim.contents import gather
from siltline.claim.report_steps import source
from siltline.claim.tables import write_photos
from siltline.job import Job
from siltline.job.acts import find_photo
from siltline.job.add import add
from siltline.job.clock import code_of, mark
from support.pictures import photo


def test_captions_and_table_carry_the_corrected_time_with_its_doubt(
    job: Job, tmp_path: Path
) -> None:
    add(job, [
        photo(tmp_path, "CLOCK.JPG", 1, stamp="2026:03:12 07:03:12"),
        photo(tmp_path, "WALL.JPG", 2, stamp="2026:03:12 07:33:12"),
        photo(tmp_path, "PHONE.JPG", 3, model="P9"),
    ])  # fmt: skip
    mark(job, "CLOCK.JPG", shown="12 Mar 2026 07:00:00", code=code_of(job))
    contents = gather(job)
    wall = source(contents, find_photo(job, "WALL.JPG"))
    assert "taken 12 Mar 2026 07:30:00 by the laptop's clock" in wall
    assert "give or take 3 s" in wall
    assert "Camera time 2026:03:12 07:33:12" in wall
    assert "clock not checked" in source(contents, find_photo(job, "PHONE.JPG"))

    write_photos(contents, tmp_path / "photos.csv")
    with (tmp_path / "photos.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["name_on_camera"]: row for row in csv.DictReader(file)}
    assert (rows["WALL.JPG"]["clock"], rows["WALL.JPG"]["error_s"]) == ("checked", "192")
    assert rows["WALL.JPG"]["doubt_s"] == "3"
    assert rows["CLOCK.JPG"]["file"] == "0001-clock.jpg"
    assert (rows["PHONE.JPG"]["clock"], rows["PHONE.JPG"]["error_s"]) == ("unchecked", "")
