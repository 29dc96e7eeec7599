"""Strangers' bytes are read in a process of their own: it may hang or die, the program does not."""

from __future__ import annotations

import io
import json
import os
import random
import select
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from PIL import Image

from siltline.photos.reader import PATIENCE_S, Facts, PhotoReader, _joined
from support.hostile import (
    PLAIN,
    TUI,
    endless_exif,
    endless_scans,
    saved,
    started_with,
    with_exif,
)
from support.pictures import commented, picture

WHOLE = picture(1, offset="-05:00", size=(64, 48))
SHORT_S = 0.6


@pytest.fixture(scope="module")
def shared() -> Iterator[PhotoReader]:
    """One worker for the tests that must not harm it."""
    with PhotoReader() as reader:
        yield reader


def pid(reader: PhotoReader) -> int:
    assert reader._process is not None
    return reader._process.pid


Worker = Callable[[PhotoReader], subprocess.Popen[bytes]]


@pytest.fixture
def worker() -> Iterator[Worker]:
    """A function that gives a reader's process; a pipe left open fails this test and no later."""
    seen: list[subprocess.Popen[bytes]] = []

    def process(reader: PhotoReader) -> subprocess.Popen[bytes]:
        assert reader._process is not None
        seen.append(reader._process)
        return reader._process

    yield process
    for one in seen:
        for pipe in (one.stdin, one.stdout):
            assert pipe is not None
            with suppress(OSError):
                pipe.close()


def pipes_closed(process: subprocess.Popen[bytes]) -> bool:
    return all(pipe is not None and pipe.closed for pipe in (process.stdin, process.stdout))


@contextmanager
def impatient(reader: PhotoReader) -> Iterator[float]:
    """Let a reader that runs already lose its patience soon; give the time at the beginning."""
    assert reader.read(WHOLE)["make"] == "Invented"  # all that is slow to import is imported
    reader.patience_s = SHORT_S
    yield time.monotonic()
    reader.patience_s = PATIENCE_S


def test_a_photo_says_what_its_camera_wrote(shared: PhotoReader) -> None:
    assert shared.read(WHOLE) == {
        "format": "JPEG", "width": 64, "height": 48, "make": "Invented", "model": "T1",
        "orientation": None, "stamp": "2026:03:12 07:30:00", "offset": "-05:00", "subsec": None,
        "lat": None, "lon": None, "gps_utc": None, "gps_error": None, "serial": None,
        "software": None, "changed": None, "told_size": None, "maker_note": False,
        "differs": {}, "faults": {},
    }  # fmt: skip


@pytest.mark.parametrize("kind", ["JPEG", "MPO", "PNG", "TIFF"])
def test_every_format_that_is_promised_is_read_and_drawn(shared: PhotoReader, kind: str) -> None:
    image = Image.new("RGB", (64, 48), "red")
    more = {"save_all": True, "append_images": [image]} if kind == "MPO" else {}
    data = saved(image, kind, **more)
    facts = shared.read(data)
    assert (facts.get("format"), facts.get("width"), facts.get("height")) == (kind, 64, 48)
    assert shared.draw(data, 32).startswith(b"\xff\xd8")


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"x",
        b"GIF89a" + bytes(100),
        b"%PDF-1.7",
        b"<svg onload=alert(1)/>",
        b"\xff\xd8",
        bytes(5000),
        b"\0\0\0\x18ftypheic" + bytes(100),
        saved(Image.new("P", (9, 9)), "GIF"),
        saved(Image.new("RGB", (9, 9)), "BMP"),
        saved(Image.new("RGB", (9, 9)), "WEBP"),
    ],
    ids=["nothing", "a byte", "GIF head", "PDF", "SVG", "JPEG head", "zeros", "HEIC head", "GIF",
         "BMP", "WebP"],
)  # fmt: skip
def test_what_is_no_picture_of_the_formats_that_are_taken_in_gives_nothing(
    shared: PhotoReader, data: bytes
) -> None:
    before = pid(shared)
    assert shared.read(data) == {}
    assert shared.draw(data, 100) == b""
    assert pid(shared) == before


def test_a_picture_whose_exif_is_damaged_is_still_a_picture(shared: PhotoReader) -> None:
    # A picture that tells its resolution outside EXIF, as many do, gets no earlier look at EXIF.
    image = saved(Image.new("RGB", (64, 48), "red"), "JPEG", dpi=(72, 72))
    facts = shared.read(with_exif(b"II\xff\xff" + bytes(40), image))
    assert (facts.get("format"), facts.get("width"), facts.get("height")) == ("JPEG", 64, 48)
    assert facts.get("faults", {}).get("first")


def test_a_picture_cut_at_any_length_gives_facts_or_nothing(shared: PhotoReader) -> None:
    before = pid(shared)
    for step in range(40):
        facts = shared.read(WHOLE[: len(WHOLE) * step // 40])
        assert facts == {} or (facts["width"], facts["height"]) == (64, 48)
    assert shared.read(WHOLE)["stamp"] == "2026:03:12 07:30:00"
    assert pid(shared) == before


def test_a_picture_with_any_byte_changed_gives_facts_or_nothing(shared: PhotoReader) -> None:
    chance, before = random.Random(20260312), pid(shared)
    for _ in range(200):
        data = bytearray(WHOLE)
        data[chance.randrange(len(data))] = chance.randrange(256)
        started = time.monotonic()
        facts = shared.read(bytes(data))
        assert facts == {} or "format" in facts
        assert time.monotonic() - started < PATIENCE_S
        json.dumps(facts)  # it is kept as JSON
    assert pid(shared) == before


def test_a_second_reader_that_hangs_costs_the_patience_and_not_what_the_first_one_found(
    worker: Worker,
) -> None:
    with PhotoReader() as reader:
        hanging = worker(reader)
        with impatient(reader) as started:
            facts = reader.read(with_exif(endless_exif(), PLAIN))
        assert SHORT_S <= time.monotonic() - started < SHORT_S + 2
        assert (facts["format"], facts["width"]) == ("JPEG", 64)
        assert facts["faults"] == {"second": "stopped"}
        assert hanging.poll() is not None
        assert reader.read(WHOLE)["make"] == "Invented"


def test_a_first_reader_that_hangs_leaves_no_facts_and_the_next_photo_works(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    started_with(
        monkeypatch,
        "worker.first_reader = lambda data: time.sleep(60) if b'hang' in data else "
        "real_first(data)",
    )
    with PhotoReader() as reader:
        with impatient(reader) as started:
            assert reader.read(commented(WHOLE, b"hang")) == {"faults": {"first": "stopped"}}
        assert time.monotonic() - started < SHORT_S + 2
        assert reader.read(WHOLE)["make"] == "Invented"


def test_a_picture_that_takes_for_ever_to_draw_is_given_up_and_the_next_is_drawn() -> None:
    endless = endless_scans()
    with PhotoReader() as reader:
        assert reader.draw(WHOLE, 32).startswith(b"\xff\xd8")
        with impatient(reader) as started:
            assert reader.draw(endless, 100) == b""
        assert time.monotonic() - started < SHORT_S + 2
        assert reader.draw(WHOLE, 32).startswith(b"\xff\xd8")
        assert reader.read(WHOLE)["make"] == "Invented"


def test_a_worker_that_was_killed_between_photos_is_replaced_and_its_pipes_are_closed(
    worker: Worker,
) -> None:
    with PhotoReader() as reader:
        assert reader.read(WHOLE)["make"] == "Invented"
        first = worker(reader)
        first.kill()
        first.wait()
        assert reader.read(WHOLE)["make"] == "Invented"
        assert pid(reader) != first.pid
        assert pipes_closed(first)


@pytest.mark.skipif(os.name == "nt", reason="Windows cannot wait on a pipe")
def test_what_a_worker_said_before_it_was_killed_is_heard_at_once(worker: Worker) -> None:
    with PhotoReader() as reader:
        reader.begin(WHOLE)
        dying = worker(reader)
        assert dying.stdout is not None
        assert select.select([dying.stdout], [], [], 5)[0]
        time.sleep(0.2)  # both lines are written, and nobody has asked for them yet
        dying.kill()
        dying.wait()
        started = time.monotonic()
        facts = reader.finish()
        assert time.monotonic() - started < 2
        assert facts.get("make") == "Invented"
        assert reader.read(WHOLE)["make"] == "Invented"


def test_a_worker_that_dies_of_a_photo_costs_that_photo_and_no_waiting(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    started_with(
        monkeypatch,
        "worker.second_reader = lambda data: os._exit(11) if b'die' in data else real_second(data)",
    )
    with PhotoReader() as reader:
        started = time.monotonic()
        facts = reader.read(commented(WHOLE, b"die"))
        assert facts["make"] == "Invented"
        assert facts["faults"] == {"second": "stopped"}
        assert reader.read(WHOLE)["faults"] == {}
        assert time.monotonic() - started < PATIENCE_S


@pytest.mark.parametrize(
    "noise",
    ["print('noise')", "sys.__stdout__.write('noise'); sys.__stdout__.flush()",
     "os.write(1, b'noise from C\\n')", "os.write(2, b'warning\\n')"],
    ids=["print", "the first stdout", "a library in C", "stderr"],
)  # fmt: skip
def test_a_library_that_prints_does_not_break_the_talk(
    monkeypatch: pytest.MonkeyPatch, noise: str
) -> None:
    started_with(
        monkeypatch, f"def noisy(data):\n    {noise}\n    return real_first(data)\n"
        "worker.first_reader = noisy",
    )  # fmt: skip
    with PhotoReader() as reader:
        for _ in range(3):
            assert reader.read(WHOLE).get("make") == "Invented"


def test_a_large_photo_goes_through_in_either_direction(shared: PhotoReader) -> None:
    large = WHOLE + bytes(20_000_000)
    started = time.monotonic()
    assert shared.read(large)["make"] == "Invented"
    assert shared.draw(large, 32).startswith(b"\xff\xd8")
    noisy = saved(Image.effect_noise((2000, 2000), 90), "JPEG", quality=95)
    assert len(shared.draw(noisy, 2000)) > 1_000_000  # more than any pipe holds
    assert time.monotonic() - started < PATIENCE_S


def colours(drawn: bytes) -> dict[str, str]:
    """Return side -> the colour that a drawn picture has there."""
    with Image.open(io.BytesIO(drawn)) as image:
        assert image.format == "JPEG"
        right, bottom = image.width - 3, image.height - 3
        places = {
            "left": (2, image.height // 2),
            "right": (right, image.height // 2),
            "top": (image.width // 2, 2),
            "bottom": (image.width // 2, bottom),
        }
        seen = {side: image.getpixel(place) for side, place in places.items()}
    return {
        side: "red" if p[0] > 200 and p[2] < 60 else "blue" if p[2] > 200 and p[0] < 60 else "mixed"
        for side, p in seen.items()
    }


@pytest.mark.parametrize(
    ("orientation", "size", "sides"),
    [
        (None, (80, 40), {"left": "red", "right": "blue"}),
        (1, (80, 40), {"left": "red", "right": "blue"}),
        (3, (80, 40), {"left": "blue", "right": "red"}),
        (6, (40, 80), {"top": "red", "bottom": "blue"}),
        (8, (40, 80), {"top": "blue", "bottom": "red"}),
        (77, (80, 40), {"left": "red", "right": "blue"}),
    ],
)
def test_a_drawn_photo_is_upright(
    shared: PhotoReader,
    orientation: int | None,
    size: tuple[int, int],
    sides: dict[str, str],
) -> None:
    image = Image.new("RGB", (320, 160), "red")
    image.paste("blue", (160, 0, 320, 160))
    exif = Image.Exif()
    if orientation is not None:
        exif[0x0112] = orientation
    data = saved(image, "JPEG", exif=exif, quality=95)
    drawn = shared.draw(data, 80)
    with Image.open(io.BytesIO(drawn)) as small:
        assert small.size == size
        assert small.getexif().get(0x0112, 1) == 1  # nobody turns it a second time
    assert sides.items() <= colours(drawn).items()
    assert shared.read(data)["orientation"] == orientation


@pytest.mark.parametrize("mode", ["L", "CMYK", "RGB"])
@pytest.mark.parametrize("pixels", [1, 37, 100, 5000])
def test_a_drawn_photo_is_at_most_as_long_as_asked(
    shared: PhotoReader, mode: str, pixels: int
) -> None:
    drawn = shared.draw(saved(Image.new(mode, (300, 200)), "JPEG"), pixels)
    with Image.open(io.BytesIO(drawn)) as image:
        assert (image.mode, max(image.size)) == ("RGB", min(pixels, 300))


def test_what_is_cut_in_the_middle_is_not_drawn_and_reading_goes_on(shared: PhotoReader) -> None:
    noisy = saved(Image.effect_noise((640, 480), 90), "JPEG")
    assert shared.draw(noisy[: len(noisy) // 2], 100) == b""
    assert shared.draw(b"garbage", 100) == b""
    assert shared.read(WHOLE)["make"] == "Invented"


def joined(first: Facts, second: Facts, *faults: str) -> Facts:
    told = [*faults, "", ""]
    return _joined({"facts": first, "fault": told[0]}, {"facts": second, "fault": told[1]})


def test_where_the_readers_disagree_the_first_is_believed_and_the_second_is_told() -> None:
    facts = joined(
        {"format": "JPEG", "make": "A", "model": "T1 ", "lat": 1.0, "lon": 2.0, "stamp": "x"},
        {"make": "B", "model": " T1", "lat": 1.0000001, "lon": 2.00001, "stamp": None},
    )
    assert (facts["make"], facts["lon"], facts["stamp"]) == ("A", 2.0, "x")
    assert facts["differs"] == {"make": "B", "lon": 2.00001}


def test_what_the_first_reader_misses_is_filled_in_from_the_second() -> None:
    facts = joined({"format": "HEIF", "stamp": None}, {"stamp": "2026:03:12 07:30:00"}, "", "Odd")
    assert facts["stamp"] == "2026:03:12 07:30:00"
    assert (facts["differs"], facts["faults"]) == ({}, {"second": "Odd"})


def test_without_the_first_reader_there_is_no_picture() -> None:
    assert joined({}, {"make": "A"}, "SyntaxError") == {}


def test_a_disagreement_reaches_whoever_reads(monkeypatch: pytest.MonkeyPatch) -> None:
    started_with(
        monkeypatch, "worker.second_reader = lambda data: {**real_second(data), 'model': 'T2'}"
    )
    with PhotoReader() as reader:
        facts = reader.read(WHOLE)
    assert (facts["model"], facts["differs"]) == ("T1", {"model": "T2"})


def test_a_reader_that_fails_is_named_with_the_kind_of_its_fault(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    started_with(
        monkeypatch,
        "def failing(data):\n    raise NotImplementedError('hostile')\n"
        "worker.second_reader = failing",
    )
    with PhotoReader() as reader:
        facts = reader.read(WHOLE)
    assert (facts["make"], facts["faults"]) == ("Invented", {"second": "NotImplementedError"})


@pytest.mark.parametrize("how", ["idle", "a photo begun", "a large photo begun", "a fault"])
def test_closing_leaves_no_process(worker: Worker, how: str) -> None:
    with pytest.raises(ZeroDivisionError), PhotoReader() as reader:  # noqa: PT012
        running = worker(reader)
        assert running.poll() is None
        if "begun" in how:
            reader.begin(WHOLE + bytes(20_000_000 if "large" in how else 0))
        raise ZeroDivisionError
    assert running.poll() is not None
    assert pipes_closed(running)


def test_a_reader_that_was_closed_starts_again_when_it_is_asked() -> None:
    reader = PhotoReader()
    with reader:
        first = pid(reader)
    with reader:
        assert reader.read(WHOLE)["make"] == "Invented"
        assert pid(reader) != first


def is_running(process: int) -> bool:
    """Tell whether a process lives; one that nobody has waited for does not."""
    try:
        stat = Path(f"/proc/{process}/stat").read_text(encoding="utf-8")
    except OSError:
        return False
    return stat.rpartition(")")[2].split()[0] != "Z"


@pytest.mark.skipif(
    not (hasattr(signal, "SIGKILL") and Path("/proc/self/stat").exists()), reason="needs /proc"
)
def test_a_worker_ends_by_itself_when_the_program_is_killed() -> None:
    script = (
        f"import sys, time; sys.path.insert(0, {TUI!r})\n"
        "from siltline.photos.reader import PhotoReader\n"
        "with PhotoReader() as reader:\n"
        "    print(reader._process.pid, flush=True)\n"
        "    time.sleep(60)\n"
    )
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE) as program:
        assert program.stdout is not None
        orphan = int(program.stdout.readline())
        assert is_running(orphan)
        program.kill()
    end = time.monotonic() + 5
    while is_running(orphan) and time.monotonic() < end:
        time.sleep(0.05)
    assert not is_running(orphan)
