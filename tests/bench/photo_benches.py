"""Photos: confirmed, drawn, read and shown against floors, and the memory of the program."""

from __future__ import annotations

import hashlib
import io
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path

from houses import big_job, with_photos
from PIL import Image
from ratios import TUI, pairs, told

from siltline.job import Job, open_job
from siltline.job.add import add_each
from siltline.job.sketching import draw_missing
from siltline.photos.headers import READER, first_reader
from siltline.photos.reader import PhotoReader
from siltline.photos.sketch import DRAWER, sketch
from siltline.record.derived import keep_facts
from siltline.record.pictures import keep_picture
from support.real_photos import FOLDER, PHOTOS

COUNT = 60
TIMES = 5


def invented() -> bytes:
    """Return a JPEG of 12 megapixels and some 4 MB."""
    grey = Image.effect_noise((4000, 3000), 10)
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x0112] = "Invented", "T1", 1
    exif.get_ifd(0x8769)[0x9003] = "2026:03:12 07:30:00"
    written = io.BytesIO()
    Image.merge("RGB", [grey] * 3).save(written, "JPEG", quality=88, exif=exif)
    return written.getvalue()


def card(folder: Path, count: int = COUNT) -> list[Path]:
    """Fill a folder with photos of 12 megapixels that differ in a comment only."""
    whole, paths = invented(), []
    for number in range(count):
        comment = b"\xff\xfe\0\x0a" + f"{number:08d}".encode("ascii")
        paths.append(folder / f"IMG_{number:04d}.JPG")
        paths[-1].write_bytes(whole[:-2] + comment + whole[-2:])
    print(f"({count} photos of {len(whole) / 1e6:.1f} MB)")  # noqa: T201
    return paths


@contextmanager
def database(path: Path) -> Iterator[sqlite3.Connection]:
    """Give an SQLite file with the settings of a job; it is gone afterwards."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for setting in ("page_size=16384", "journal_mode=TRUNCATE", "synchronous=FULL"):
            connection.execute(f"PRAGMA {setting}")
        connection.execute("CREATE TABLE photo (sha256 TEXT UNIQUE, data BLOB)")
        yield connection
    path.unlink()


@contextmanager
def job_of(folder: Path) -> Iterator[Job]:
    """Give a fresh job of 500 steps; it is gone afterwards."""
    begun = folder / "big-500.siltline"
    path = folder / "run.siltline"
    shutil.copy(begun if begun.exists() else big_job(folder, 500), path)
    with closing(open_job(path)) as job:
        yield job
    path.unlink()


def floor_of_adding(folder: Path, paths: list[Path]) -> float:
    """Read, sha256, EXIF in this process, and a BLOB commit with the same settings: no more."""
    first_reader(paths[0].read_bytes())  # imports
    with database(folder / "floor.sqlite") as connection:
        started = time.perf_counter()
        for path in paths:
            data = path.read_bytes()
            digest = hashlib.sha256(data).hexdigest()
            first_reader(data)
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("INSERT INTO photo VALUES (?, ?)", (digest, data))
            connection.execute("COMMIT")
        return (time.perf_counter() - started) / len(paths)


def our_adding(folder: Path, paths: list[Path]) -> float:
    """Taking the photos in as the commands and the screen do, the worker's start not counted."""
    with job_of(folder) as job:
        adding = add_each(job, paths)
        next(adding)
        started = time.perf_counter()
        done = sum(1 for _ in adding)
        return (time.perf_counter() - started) / done


def bench_confirm() -> None:
    """A photo taken in: hash, facts, committed."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        paths = card(folder)
        both = pairs(
            lambda: our_adding(folder, paths), lambda: floor_of_adding(folder, paths), TIMES
        )
    told("a photo of 12 MP confirmed", *both, "at most 1.5")


def drawn(path: Path) -> tuple[str, bytes]:
    """Hash and draw a file, with one decode for the small picture and all that is measured."""
    data = path.read_bytes()
    return hashlib.sha256(data).hexdigest(), sketch(data)[1]


def floor_of_drawing(folder: Path, paths: list[Path]) -> float:
    """Two processes that draw files and nothing else, and one write of all."""
    with database(folder / "floor.sqlite") as connection:
        started = time.perf_counter()
        with ProcessPoolExecutor(2) as processes:
            found = list(processes.map(drawn, paths))
        connection.execute("BEGIN IMMEDIATE")
        connection.executemany("INSERT INTO photo VALUES (?, ?)", found)
        connection.execute("COMMIT")
        return (time.perf_counter() - started) / len(paths)


def our_drawing(folder: Path, paths: list[Path]) -> float:
    """Drawing the photos of a job, the start of the workers counted."""
    with job_of(folder) as job:
        deque(add_each(job, paths), maxlen=0)
        started = time.perf_counter()
        count = draw_missing(job)
        return (time.perf_counter() - started) / count


def bench_draw() -> None:
    """A photo drawn small and measured."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        paths = card(folder)
        sketch(paths[0].read_bytes())  # what the floor's processes inherit
        both = pairs(
            lambda: our_drawing(folder, paths), lambda: floor_of_drawing(folder, paths), TIMES
        )
    told("a photo of 12 MP drawn", *both, "at most 1.3")


def _lasts(act: Callable[[], object]) -> float:
    started = time.perf_counter()
    act()
    return time.perf_counter() - started


def _run(*command: object) -> float:
    words = [str(word) for word in command]
    return _lasts(lambda: subprocess.run(words, check=True, capture_output=True))


def missing(tool: str) -> bool:
    if shutil.which(tool):
        return False
    print(f"({tool} is not installed: not measured)")  # noqa: T201
    return True


def real_photos() -> list[Path]:
    """Return the real photos of the tests, where they were fetched."""
    return sorted(path for path in map(FOLDER.joinpath, PHOTOS) if path.exists())


def bench_metadata() -> None:
    """EXIF of a card read by both readers, against exiftool over the same files at once."""
    if missing("exiftool"):
        return
    with tempfile.TemporaryDirectory() as scratch, PhotoReader() as reader:
        for name, paths in (("invented", card(Path(scratch))), ("real", real_photos() * 2)):
            both = pairs(
                lambda paths=paths: _lasts(  # type: ignore[misc]
                    lambda: [reader.read(path.read_bytes()) for path in paths]
                ),
                lambda paths=paths: _lasts(lambda: _exiftool(paths)),  # type: ignore[misc]
                TIMES,
            )
            told(f"EXIF of {len(paths)} {name} photos, exiftool", *both, "at most 0.2")


def _exiftool(paths: list[Path]) -> None:
    """Run exiftool; it ends with 1 where one of the files is none that it knows."""
    subprocess.run(["exiftool", "-json", *map(str, paths)], check=False, capture_output=True)


def bench_thumbs() -> None:
    """One photo drawn small and measured, against vipsthumbnail."""
    if missing("vipsthumbnail"):
        return
    with tempfile.TemporaryDirectory() as scratch, PhotoReader() as reader:
        (path,) = card(Path(scratch), 1)
        small = Path(scratch) / "small.jpg"

        def ours() -> None:
            reader.begin_sketch(path.read_bytes())
            small.write_bytes(reader.finish_sketch()[1])

        both = pairs(
            lambda: _lasts(ours),
            lambda: _run("vipsthumbnail", "--size", "320", path, "-o", small),
        )
    told("one photo drawn, vipsthumbnail", *both, "at most 1")


# Prints the most memory that a process of its own held, in kB, as Linux tells it: what `getrusage`
# tells begins with the memory of whoever started it.
_PEAK = """
import sys
sys.path.insert(0, sys.argv[3])
from pathlib import Path
from siltline.job import open_job
from siltline.job.add import add
from siltline.job.close_out import review
from siltline.job.pictures import describe
from siltline.job.sketching import draw_missing
job = open_job(Path(sys.argv[1]))
if sys.argv[2]:
    add(job, [Path(sys.argv[2])])
    draw_missing(job)
describe(job), review(job)
for line in Path("/proc/self/status").read_text().splitlines():
    if line.startswith("VmHWM"):
        print(line.split()[1])
"""


def peak(job: Path, folder: str = "") -> float:
    """Return the most megabytes of a program that opens a job, after it took a folder in."""
    words = [sys.executable, "-c", _PEAK, str(job), folder, str(TUI)]
    return int(subprocess.run(words, check=True, capture_output=True).stdout) * 1024 / 1e6


def bench_memory() -> None:
    """The most that the program itself holds: 60 photos taken in and drawn; 5,000 in a job."""
    if sys.platform != "linux":
        print("(memory is looked up as Linux tells it: not measured)")  # noqa: T201
        return
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        job = big_job(folder, 500)
        (folder / "card").mkdir()
        card(folder / "card")
        told_peak("60 photos taken in and drawn", peak(job, str(folder / "card")))
        job.unlink()
        many = big_job(folder, 500)
        with_photos(many, 5000)
        with_facts_and_looks(many)
        told_peak("5,000 photos, listed and reviewed", peak(many))


def with_facts_and_looks(path: Path) -> None:
    """Keep facts, looks and a small picture for every photo of a job, as if it had been drawn."""
    with PhotoReader() as reader:
        facts = reader.read(invented())
    looks, small = sketch(invented())
    with closing(open_job(path)) as job, job.record.writing():
        for photo in job.board.ledger.photos:
            keep_facts(job.record.connection, photo, READER, facts)
            alike = {**looks, "likeness": photo[:16]}
            keep_picture(job.record.connection, photo, DRAWER, alike, small)


def told_peak(name: str, megabytes: float) -> None:
    print(f"{name:<34} ours {megabytes:8.0f} MB   target under 200")  # noqa: T201


PHOTO_BENCHES = {
    "confirm": bench_confirm,
    "draw": bench_draw,
    "metadata": bench_metadata,
    "thumbs": bench_thumbs,
    "memory": bench_memory,
}
