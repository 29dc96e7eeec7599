"""Photos of real cameras say here what another reader, exiftool, finds in them."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import tarfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from siltline.job import Job
from siltline.job.add import add
from siltline.job.pictures import describe
from siltline.photos.reader import PATIENCE_S, PhotoReader
from siltline.photos.whole import cut_off, zero_filled
from siltline.record.audit import faults
from support import real_photos
from support.real_photos import PHOTOS, real_photo

# What exiftool 12.57 prints for DateTimeOriginal, OffsetTimeOriginal, Make, Model, GPSLatitude,
# GPSLongitude (signed degrees), ImageWidth and ImageHeight.
TABLE = """\
pug.heic|2023:02:21 14:33:08|+03:00|Apple|iPhone 13 Pro|44.8504778|34.9766472|4032|3024
arrow.heic|2018:07:31 14:52:07||Apple|iPhone 8 Plus|||4032|3024
cat.hif|2020:09:14 11:09:34|-05:00|SONY|ILCE-7SM3|||4240|2832
xiaomi.heic|2023:04:27 19:44:18||Xiaomi|M2012K11AG|47.2272889|39.6999922|2592|1944
aux_YCbCr.heic|2025:06:02 14:07:50|+03:00|samsung|Galaxy S25 Ultra|59.5128174|24.8343058|4000|1848
200MP.heic|2025:01:19 14:53:27|+03:00|samsung|Galaxy S24 Ultra|||16320|12240
sony-alpha-6000.jpg|2014:04:18 20:33:53||SONY|ILCE-6000|||6000|4000
short-ascii-II.jpg|2015:02:28 17:10:49||XIAOMI|MI3|||4208|3120
evil1.jpg|2003:05:24 16:40:33||Canon|Canon PowerShot S400|||640|480
test1.jpg|2013:02:06 16:00:03||Apple|iPhone 4S|37.885|-122.6225|180|135
IMG_0001.JPG|2016:03:24 14:49:51||Apple|iPhone 6 Plus|40.0040861|116.4847806|2448|2448
01.jpg|2099:09:29 10:10:10||Make|XXX-XXX|4294967295||8|8
01.tif|2006:02:14 22:00:58||CASIO COMPUTER CO.,LTD|QV-R51|||300|400
02.jpg|2006:02:16 21:19:26||CASIO COMPUTER CO.,LTD|QV-R51|||400|210
L01.jpg|2006:02:15 23:39:07||CASIO COMPUTER CO.,LTD|QV-R51|||300|400
L02.jpg|2006:02:19 01:36:16||CASIO COMPUTER CO.,LTD|QV-R51|||300|400
large.jpg|2006:02:14 22:00:58||CASIO COMPUTER CO.,LTD|QV-R51|||500|667
noapp01.jpg|||||||50|50
noexif.jpg|||||||50|50
r_canon.jpg|2013:12:17 14:04:24||Canon|Canon PowerShot G1 X Mark II|||80|80
r_casio.jpg|2014:03:24 17:18:28||CASIO COMPUTER CO.,LTD.|EX-100|||80|80
r_olympus.jpg|2013:11:12 13:54:29||OLYMPUS IMAGING CORP.|STYLUS1|||80|80
r_pana.jpg|2007:09:15 13:15:57||Panasonic|DMC-L10|||80|80
r_pen.jpg|2014:08:23 13:05:43||OLYMPUS IMAGING CORP.|E-P3|||80|80
r_ricoh.jpg|2013:03:29 10:06:41||PENTAX RICOH IMAGING|GR|||80|80
r_sigma.jpg|2012:12:28 15:25:17||SIGMA|SIGMA DP3 Merrill|||80|80
r_sony.jpg|2013:04:13 10:22:18||SONY|DSC-RX1R|||80|80
"""
NUMBERS = {"lat": float, "lon": float, "width": int, "height": int, "orientation": int}
FIELDS = ("stamp", "offset", "make", "model", "lat", "lon", "width", "height")
EXPECTED: dict[str, dict[str, Any]] = {
    name: {f: NUMBERS.get(f, str)(v) if v else None for f, v in zip(FIELDS, said, strict=True)}
    for name, *said in (line.split("|") for line in TABLE.splitlines())
}
NO_PICTURE = ("corrupted.heic", "corrupted.hif", "empty.heic", "notjpeg.jpg")

EXPLAINED = {
    ("01.jpg", "lat"): "4294967295 degrees with no hemisphere is no place on this planet",
    ("r_casio.jpg", "serial"): "bytes that are no text: exiftool writes a question mark for one",
    ("01.tif", "stamp"): "an editor moved the stamp out of the EXIF directory, where EXIF wants it",
}

Facts = Mapping[str, Any]


@pytest.fixture(scope="module")
def found() -> dict[str, Facts]:
    """What the readers find in every real photo."""
    with PhotoReader() as reader:
        return {name: reader.read(real_photo(name).read_bytes()) for name in PHOTOS}


def agreement(ours: object, theirs: object) -> str:
    """Tell how a value of ours stands to that of exiftool: same, missed, different or more."""
    if theirs is None:
        return "same" if ours is None else "more"
    if ours is None:
        return "missed"
    if isinstance(theirs, float):
        return "same" if abs(float(str(ours)) - theirs) <= 1e-6 else "different"
    if isinstance(theirs, str):  # exiftool leaves out the blanks that some makers pad with
        return "same" if str(ours).strip() == theirs.strip() else "different"
    return "same" if ours == theirs else "different"


def told(by_field: Mapping[str, Counter[str]]) -> str:
    """Return the agreement as a table, a line a field."""
    kinds = ("same", "missed", "different", "more")
    lines = [f"{'':12}" + "".join(f"{kind:>11}" for kind in kinds)]
    lines += [f"{f:12}" + "".join(f"{n[kind]:>11}" for kind in kinds) for f, n in by_field.items()]
    return "\n".join(lines)


@pytest.mark.real
def test_every_photo_is_a_case_of_the_table() -> None:
    assert set(EXPECTED) | set(NO_PICTURE) == set(PHOTOS)


@pytest.mark.real
@pytest.mark.parametrize("name", EXPECTED)
def test_a_photo_says_what_was_read_from_it_once_by_another_reader(
    found: dict[str, Facts], name: str
) -> None:
    compared = {f: (found[name].get(f), theirs) for f, theirs in EXPECTED[name].items()}
    differing = {f: pair for f, pair in compared.items() if agreement(*pair) != "same"}
    explained = {pair for pair in EXPLAINED if pair[0] == name and pair[1] in FIELDS}
    assert {(name, f) for f in differing} == explained, differing


def exiftool() -> str:
    path = shutil.which("exiftool")
    if path is None:
        missing = pytest.fail if os.environ.get("CI") else pytest.skip
        missing("exiftool is not installed (Debian: libimage-exiftool-perl)")
    return str(path)


def yardstick(paths: list[Path]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield name -> fields as exiftool reads them now."""
    tags = {
        "stamp": "DateTimeOriginal",
        "offset": "OffsetTimeOriginal",
        "subsec": "SubSecTimeOriginal",
        "serial": "ExifIFD:SerialNumber",
        "make": "IFD0:Make",
        "model": "IFD0:Model",
        "lat": "GPSLatitude",
        "lon": "GPSLongitude",
        "width": "ImageWidth",
        "height": "ImageHeight",
        "orientation": "IFD0:Orientation",
    }
    asked = [f"-{tag}" for tag in (*tags.values(), "GPSDateStamp", "GPSTimeStamp")]
    ran = subprocess.run(
        [exiftool(), "-j", "-n", *asked, *map(str, paths)], capture_output=True, check=True
    )
    for values in json.loads(ran.stdout):
        said = {}
        for field, tag in tags.items():
            value = values.get(tag.rpartition(":")[2])
            said[field] = None if value in (None, "") else NUMBERS.get(field, str)(value)
        day, clock = values.get("GPSDateStamp"), values.get("GPSTimeStamp")
        said["gps_utc"] = f"{day} {clock.partition('.')[0]}" if day and clock else None
        yield Path(values["SourceFile"]).name, said


@pytest.mark.real
def test_nothing_differs_from_exiftool_today_without_an_explanation(
    found: dict[str, Facts],
) -> None:
    by_field: dict[str, Counter[str]] = {}
    unexplained = {}
    for name, said in yardstick([real_photo(name) for name in EXPECTED]):
        for field, theirs in said.items():
            ours = found[name].get(field)
            kind = agreement(ours, theirs)
            by_field.setdefault(field, Counter())[kind] += 1
            if kind != "same" and (name, field) not in EXPLAINED:
                unexplained[name, field] = (ours, theirs)
    print(told(by_field))  # noqa: T201 - for whoever asks with `-s`
    assert not unexplained, told(by_field)


@pytest.mark.real
def test_the_two_readers_agree_on_every_real_photo(found: dict[str, Facts]) -> None:
    assert {n: f["differs"] for n, f in found.items() if f.get("differs")} == {}


@pytest.mark.real
@pytest.mark.parametrize("name", NO_PICTURE)
def test_a_corrupted_file_is_no_picture_and_costs_no_patience(name: str) -> None:
    data = real_photo(name).read_bytes()
    with PhotoReader() as reader:
        started = time.monotonic()
        assert reader.read(data) == {}
        assert reader.draw(data, 100) == b""
        assert time.monotonic() - started < PATIENCE_S


@pytest.mark.real
def test_every_real_photo_is_taken_in_once_and_kept_byte_for_byte(job: Job) -> None:
    paths = [real_photo(name) for name in PHOTOS]
    report = add(job, paths)
    assert {o.path.name for o in report.of("refused")} == set(NO_PICTURE)
    assert {o.path.name for o in report.of("taken")} == set(EXPECTED)
    assert [o for o in report.of("taken") if o.notes] == []
    for outcome in report.of("taken"):
        assert outcome.sha256 == PHOTOS[outcome.path.name].sha256
        assert job.record.photo_bytes(outcome.sha256) == outcome.path.read_bytes()
    again = add(job, paths)
    assert len(again.of("already")) == len(EXPECTED)
    assert again.of("taken") == []
    assert len(describe(job)) == len(EXPECTED)
    assert faults(job.record.path) == []


@pytest.mark.real
def test_a_phone_that_wrote_its_offset_places_the_photo_to_the_second(job: Job) -> None:
    add(job, [real_photo("pug.heic")])
    (photo,) = describe(job)
    assert (photo["zone"], photo["zone_from"], photo["clock"]) == ("+03:00", "camera", "unchecked")
    assert photo["earliest_utc"] == "2023-02-21T11:33:08Z"
    assert photo["latest_utc"] == "2023-02-21T11:33:09Z"
    assert photo["camera"] == "Apple iPhone 13 Pro"


@pytest.mark.real
def test_a_phone_without_an_offset_is_placed_by_its_satellite_time(job: Job) -> None:
    add(job, [real_photo("IMG_0001.JPG")])
    (photo,) = describe(job)
    assert (photo["zone"], photo["zone_from"]) == ("+08:00", "satellite")
    assert photo["earliest_utc"] == "2016-03-24T06:49:51Z"


@pytest.mark.real
def test_no_real_photo_is_called_cut_off_or_zero_filled(found: dict[str, Facts]) -> None:
    for name in EXPECTED:
        data, kind = real_photo(name).read_bytes(), found[name].get("format", "")
        assert not cut_off(data, kind), name
        assert not zero_filled(data, kind), name


@pytest.mark.real
@pytest.mark.parametrize("name", [name for name in EXPECTED if name.lower().endswith(".jpg")])
def test_half_of_a_real_jpeg_is_called_cut_off(name: str) -> None:
    data = real_photo(name).read_bytes()
    assert cut_off(data[: len(data) // 2], "JPEG")


@pytest.mark.real
@pytest.mark.parametrize(
    ("name", "size"),
    [("arrow.heic", (240, 320)), ("pug.heic", (320, 240)), ("IMG_0001.JPG", (320, 320))],
)
def test_a_phone_picture_is_drawn_upright_and_turned_only_once(
    name: str, size: tuple[int, int]
) -> None:
    with PhotoReader() as reader:
        drawn = reader.draw(real_photo(name).read_bytes(), 320)
    with Image.open(io.BytesIO(drawn)) as image:
        assert (image.format, image.size) == ("JPEG", size)


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., str]]:
    """A folder for real photos with one small archive in it, put there by hand."""
    content = b"a photo"
    member = real_photos.Member("small", "package/a.jpg", real_photos._digest(content))
    monkeypatch.setattr(real_photos, "FOLDER", tmp_path)
    monkeypatch.setattr(real_photos, "PHOTOS", {"a.jpg": member})

    def put(names: tuple[str, ...], sha256: str | None = None) -> str:
        path = tmp_path / "small.tgz"
        with tarfile.open(path, "w:gz") as archive:
            for name in names:
                entry = tarfile.TarInfo(name)
                entry.size = len(content)
                archive.addfile(entry, io.BytesIO(content))
        known = sha256 or real_photos._digest(path.read_bytes())
        listed = real_photos.Archive("small.tgz", "npm", "small@1", known)
        monkeypatch.setattr(real_photos, "ARCHIVES", {"small": listed})
        real_photos._missing.cache_clear()
        return real_photos.available()

    yield put
    real_photos._missing.cache_clear()


def test_an_archive_that_was_put_there_by_hand_is_enough_and_nothing_else_leaves_it(
    own_folder: Callable[..., str], tmp_path: Path
) -> None:
    assert own_folder(("../evil.jpg", "package/a.jpg", "/tmp/evil.jpg", "package/b.jpg")) == ""  # noqa: S108
    assert {path.name for path in tmp_path.iterdir()} == {"small.tgz", "a.jpg"}
    assert real_photo("a.jpg").read_bytes() == b"a photo"


@pytest.mark.parametrize("under_ci", [False, True])
def test_an_archive_that_is_another_skips_a_test_and_fails_it_under_ci(
    own_folder: Callable[..., str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    under_ci: bool,
) -> None:
    assert "not the hash" in own_folder(("package/a.jpg",), "0" * 64)
    assert not (tmp_path / "a.jpg").exists()
    monkeypatch.setenv("CI", "true") if under_ci else monkeypatch.delenv("CI", raising=False)
    outcome = pytest.fail.Exception if under_ci else pytest.skip.Exception
    with pytest.raises(outcome, match="could not be had"):
        real_photo("a.jpg")


def test_an_archive_that_lacks_a_photo_says_which(own_folder: Callable[..., str]) -> None:
    assert "a.jpg not in it" in own_folder(("package/other.jpg",))
