"""Draws the photos of the sample job: plain pictures of an invented house, with EXIF.

Run `python sample_job/draw_photos.py [FOLDER]`; the default is `photos` beside this file. The
same Pillow gives the same bytes: texture is seeded by the picture, nothing asks for the time.

INVENTED, all of it: the house, its people, both cameras and every place and time in the tags.
One camera is right. The other runs ahead, see `CAMERAS`, so that a crew can practise on it.

`SHOTS` says which photo shows what; the package `drawing` beside this file draws it.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from functools import partial
from pathlib import Path

from drawing.belongings import album, bagged, freezer
from drawing.colours import PLASTER
from drawing.crawl_space import crawl, hatch
from drawing.front import corner, entrance, valve
from drawing.outlets import range_outlet, sink_outlet
from drawing.outside import meter, weep
from drawing.panel import breakers, tester
from drawing.people import crew, thumb
from drawing.rooms import DEN, KITCHEN, hall
from drawing.sheet import HIGH, WIDE, Sheet
from drawing.silt_line import tape
from drawing.solid import Eye, room
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base
from PIL.TiffImagePlugin import IFDRational

SITE = timezone(timedelta(hours=-5))  # the invented house, in March


@dataclass(frozen=True)
class Camera:
    """An invented camera.

    Attributes:
        make: who is said to have made it.
        model: its name.
        ahead: how far its clock runs ahead of the true local time.
        phone: whether it also writes its offset from UTC, parts of a second and its position.
    """

    make: str
    model: str
    ahead: timedelta
    phone: bool


CAMERAS = {
    "M2": Camera("Mosslight", "M2", timedelta(0), phone=True),
    # The error of the sample job: somebody set this clock wrong long ago.
    "TB-7": Camera("Tarnbeck", "TB-7", timedelta(hours=9, minutes=16), phone=False),
}


@dataclass(frozen=True)
class Shot:
    """A photo of the sample job: its file, its camera, the true local time, what it shows."""

    name: str
    camera: str
    clock: str
    draw: Callable[[Sheet], None]


KITCHEN_1, KITCHEN_2 = Eye((0.6, 0.6, 5.4), (12, 9.4, 1.6)), Eye((11.4, 9.4, 5.4), (0, 0.8, 1.6))
DEN_1, DEN_2 = Eye((1.7, 0.6, 5.4), (13.6, 11, 1.8)), Eye((13.2, 11.2, 5.4), (0, 2.6, 1.8))
SHOTS = (
    Shot("M2_0097.JPG", "M2", "07:35", entrance),
    Shot("M2_0098.JPG", "M2", "07:38", partial(corner, door=True)),
    Shot("M2_0099.JPG", "M2", "07:41", partial(corner, door=False)),
    Shot("M2_0100.JPG", "M2", "07:48", valve),
    Shot("M2_0101.JPG", "M2", "08:02", crew),
    Shot("M2_0102.JPG", "M2", "08:14", meter),
    Shot("M2_0103.JPG", "M2", "09:31", album),
    Shot("M2_0104.JPG", "M2", "09:52", bagged),
    Shot("M2_0105.JPG", "M2", "10:20", freezer),
    Shot("M2_0106.JPG", "M2", "10:41", tester),
    Shot("M2_0107.JPG", "M2", "10:55", partial(breakers, new=False)),
    Shot("M2_0108.JPG", "M2", "11:24", partial(breakers, new=True)),
    Shot("M2_0109.JPG", "M2", "11:02", partial(sink_outlet, muddy=True)),
    Shot("M2_0110.JPG", "M2", "11:37", partial(sink_outlet, muddy=False)),
    Shot("M2_0111.JPG", "M2", "14:05", hatch),
    Shot("M2_0112.JPG", "M2", "14:50", thumb),
    Shot("M2_0113.JPG", "M2", "11:48", range_outlet),
    Shot("TB7_0201.JPG", "TB-7", "08:40", partial(room, which=KITCHEN, eye=KITCHEN_1)),
    Shot("TB7_0202.JPG", "TB-7", "08:42", partial(room, which=KITCHEN, eye=KITCHEN_2)),
    Shot("TB7_0203.JPG", "TB-7", "08:45", partial(tape, wall=PLASTER, inch=28, boards=False)),
    Shot("TB7_0204.JPG", "TB-7", "08:52", partial(room, which=DEN, eye=DEN_1)),
    Shot("TB7_0205.JPG", "TB-7", "08:54", partial(room, which=DEN, eye=DEN_2)),
    Shot("TB7_0206.JPG", "TB-7", "08:57", partial(tape, wall="#a9bcc0", inch=27, boards=True)),
    Shot("TB7_0207.JPG", "TB-7", "09:05", hall),
    Shot("TB7_0208.JPG", "TB-7", "13:10", partial(weep, colour="#a8573f", clear=False)),
    Shot("TB7_0209.JPG", "TB-7", "13:42", partial(weep, colour="#a8573f", clear=True)),
    Shot("TB7_0210.JPG", "TB-7", "13:50", partial(weep, colour="#755a52", clear=False)),
    Shot("TB7_0211.JPG", "TB-7", "14:15", partial(crawl, cover=True)),
    Shot("TB7_0212.JPG", "TB-7", "15:30", partial(crawl, cover=False)),
)


def taken(shot: Shot) -> datetime:
    """Return the true moment of a shot."""
    hour, minute = shot.clock.split(":")
    return datetime(2026, 3, 12, int(hour), int(minute), tzinfo=SITE)


def _degrees(dice: random.Random, whole: int) -> tuple[IFDRational, IFDRational, IFDRational]:
    """Return degrees, minutes and seconds: a whole degree and a few 1e-5 of one."""
    hundredths = dice.randint(3, 18)
    return IFDRational(whole, 1), IFDRational(0, 1), IFDRational(hundredths, 100)


def tags(shot: Shot) -> Image.Exif:
    """Return what the camera of a shot writes into its file."""
    camera, moment, exif = CAMERAS[shot.camera], taken(shot), Image.Exif()
    stamp = f"{moment + camera.ahead:%Y:%m:%d %H:%M:%S}"
    exif[Base.Make], exif[Base.Model] = camera.make, camera.model
    exif[Base.Orientation], exif[Base.DateTime] = 1, stamp
    inner = exif.get_ifd(IFD.Exif)
    inner[Base.ExifVersion] = b"0232"
    inner[Base.DateTimeOriginal] = inner[Base.DateTimeDigitized] = stamp
    inner[Base.ExifImageWidth], inner[Base.ExifImageHeight] = WIDE, HIGH
    if camera.phone:
        dice = random.Random(shot.name)  # noqa: S311 - jitter, no secret
        inner[Base.OffsetTime] = inner[Base.OffsetTimeOriginal] = moment.isoformat()[-6:]
        inner[Base.SubsecTimeOriginal] = f"{dice.randint(0, 999):03d}"
        place, utc = exif.get_ifd(IFD.GPSInfo), moment.astimezone(UTC)
        place[GPS.GPSVersionID] = b"\2\3\0\0"
        place[GPS.GPSLatitudeRef], place[GPS.GPSLatitude] = "N", _degrees(dice, 41)
        place[GPS.GPSLongitudeRef], place[GPS.GPSLongitude] = "W", _degrees(dice, 91)
        clock = (utc.hour, utc.minute, utc.second)
        place[GPS.GPSTimeStamp] = tuple(IFDRational(part, 1) for part in clock)
        place[GPS.GPSDateStamp] = f"{utc:%Y:%m:%d}"
    return exif


def draw(shot: Shot, folder: Path) -> Path:
    """Draw one photo into a folder.

    Before and after of a thing are seeded alike, so that only what changed differs.

    Returns:
        the path of its file.
    """
    picture = shot.draw.func if isinstance(shot.draw, partial) else shot.draw
    sheet = Sheet(picture.__name__)
    shot.draw(sheet)
    path = folder / shot.name
    sheet.finished().save(path, "JPEG", quality=76, optimize=True, exif=tags(shot))
    return path


def draw_all(folder: Path) -> list[Path]:
    """Draw all photos into a folder, which is made where it is missing.

    Returns:
        the paths of their files, in the order of `SHOTS`.
    """
    folder.mkdir(parents=True, exist_ok=True)
    return [draw(shot, folder) for shot in SHOTS]


def main(words: Sequence[str]) -> int:
    """Draw all photos and say which."""
    folder = Path(words[0]) if words else Path(__file__).parent / "photos"
    for path in draw_all(folder):
        sys.stdout.write(f"{path.name}  {path.stat().st_size / 1000:.0f} kB\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
