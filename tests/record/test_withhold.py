"""A withheld photo: its bytes are gone from the file and every free page; hash and reason stay."""

from __future__ import annotations

import random
import shutil
import sqlite3
from itertools import permutations
from pathlib import Path

import pytest
from pypdf import PdfReader

from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, tick, undo
from siltline.job.add import add
from siltline.job.close_out import hand_off
from siltline.job.merge import merge
from siltline.job.second_copy import choose
from siltline.job.verifying import verify
from siltline.job.withholding import withhold
from siltline.record.audit import faults
from support.command import Shell
from support.pictures import photo
from support.records import begun, large_job

REASON = "a stranger's face"
PIECE = 32  # bytes in a row that stand nowhere by accident, if they are random
TAIL = 40_000  # random bytes behind each picture, as some cameras write their own there


def taken(folder: Path, name: str, number: int) -> Path:
    """Write a picture of which nearly all bytes are its own."""
    path = photo(folder, name, number)
    path.write_bytes(path.read_bytes() + random.Random(number).randbytes(TAIL))
    return path


def pieces(data: bytes) -> list[bytes]:
    tail = data[-TAIL:]
    return [tail[n : n + PIECE] for n in range(0, len(tail) - PIECE, max(PIECE, len(tail) // 100))]


def remains(raw: bytes, data: bytes) -> int:
    """Return how many pieces of a photo are still somewhere in a file."""
    return sum(piece in raw for piece in pieces(data))


@pytest.fixture
def job(tmp_path: Path) -> Job:
    """A job with three photos, of which the second is the proof of a step."""
    made = begun(tmp_path)
    add(made, [taken(tmp_path, f"{n}.JPG", n) for n in range(3)])
    attach(made, "power-off/house", "1.JPG", role="before")
    tick(made, "power-off/house", by="Ada")
    return made


@pytest.mark.parametrize("which", ["0.JPG", "1.JPG", "2.JPG"])
def test_its_bytes_and_what_was_read_of_them_are_nowhere_in_the_file(
    job: Job, tmp_path: Path, which: str
) -> None:
    data = (tmp_path / which).read_bytes()
    secret = f"number {which[0]}".encode()  # stands in its EXIF only
    assert remains(job.record.path.read_bytes(), data) > 0
    sha256 = withhold(job, which, because=REASON, by="Ada")
    job.close()
    raw = job.record.path.read_bytes()
    assert remains(raw, data) == 0
    assert secret not in raw
    assert sha256.encode() in raw
    assert REASON.encode() in raw
    assert not list(tmp_path.glob("*-journal"))
    assert faults(job.record.path) == []


def test_none_of_many_pages_keeps_a_piece(tmp_path: Path) -> None:
    """Large photos over many pages, one at the start, one in the middle, one at the end."""
    path = large_job(tmp_path, photos=7, bytes_each=300_000, acts=5)
    job = open_job(path)
    away = [list(job.board.ledger.photos)[n] for n in (0, 3, 6)]
    data = {sha256: job.record.photo_bytes(sha256) for sha256 in away}
    assert all(remains(path.read_bytes(), one) for one in data.values())
    for sha256 in away:
        withhold(job, sha256, because=REASON, by="Ada")
    job.close()
    raw = path.read_bytes()
    assert [remains(raw, data[sha256]) for sha256 in away] == [0, 0, 0]
    assert faults(path) == []


def test_hash_and_reason_stay_and_the_proof_is_missing_again(job: Job) -> None:
    assert job.step("power-off/house").state == "documented"
    sha256 = withhold(job, "1.JPG", because=REASON, by="Ben")
    told = job.board.ledger.withheld[sha256]
    assert (told.by, told.because) == ("Ben", REASON)
    assert job.board.ledger.photos[sha256].name == "1.JPG"
    assert job.step("power-off/house").state == "done"
    assert verify(job.record.path).faults == ()
    job.close()


def test_it_needs_a_reason_and_happens_once(job: Job) -> None:
    for because in ("", "  "):
        with pytest.raises(WrongUse):
            withhold(job, "0.JPG", because=because, by="Ada")
    with pytest.raises(WrongUse, match="no photo"):
        withhold(job, "nothing", because=REASON, by="Ada")
    withhold(job, "0.JPG", because=REASON, by="Ada")
    events = len(job.record.events)
    with pytest.raises(NotNow, match="already"):
        withhold(job, "0.JPG", because="again", by="Ada")
    assert len(job.record.events) == events
    job.close()


def test_an_act_that_fails_erases_nothing(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    sha256 = next(iter(job.board.ledger.photos))
    with monkeypatch.context() as broken:
        broken.setattr("siltline.job.desk.Job._keep", lambda _: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            withhold(job, "0.JPG", because=REASON, by="Ada")
    assert job.record.photo_bytes(sha256)
    assert faults(job.record.path) == []
    job.close()


def test_taking_the_same_photo_in_again_says_that_it_is_withheld(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Not silently: the file is told of as refused, with the reason of then."""
    sha256 = withhold(job, "1.JPG", because=REASON, by="Ada")
    events = len(job.record.events)
    (outcome,) = add(job, [tmp_path / "1.JPG"]).outcomes
    assert outcome.kind == "refused"
    assert REASON in outcome.because
    assert len(job.record.events) == events
    assert not job.record.has_photo(sha256)
    with pytest.raises(NotNow, match="withheld"):
        attach(job, "power-off/house", sha256[:12], role="before")
    job.close()
    ran = Shell(capsys)("add", job.record.path, tmp_path / "1.JPG")
    assert ran.code == 1
    assert REASON in ran.err


def test_photos_claim_and_hand_off_go_on(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sha256 = withhold(job, "1.JPG", because=REASON, by="Ada")
    hand_off(job, giver="Ada", taker="Ben")
    job.close()
    shell = Shell(capsys)
    listed = shell("photos", job.record.path)
    assert f"withheld: {REASON}" in listed.out
    assert shell("review", job.record.path).code == 1
    claimed = shell("claim", job.record.path, tmp_path / "claim", "--json")
    assert claimed.code == 0, claimed.err
    assert len([f for f in claimed.json["files"] if f.startswith("originals/")]) == 2
    data = (tmp_path / "1.JPG").read_bytes()
    for file in (tmp_path / "claim").rglob("*"):
        assert not file.is_file() or remains(file.read_bytes(), data) == 0
    pages = PdfReader(tmp_path / "claim" / "report.pdf").pages
    report = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert REASON in report
    assert sha256[:12] in report


def test_it_comes_back_from_no_copy_not_even_by_way_of_a_third_laptop(
    job: Job, tmp_path: Path
) -> None:
    """The third never had the photo, hears that it is withheld, and then meets the old copy."""
    third = begun_copy(job, tmp_path, "third")
    old = begun_copy(job, tmp_path, "old")
    new = taken(tmp_path, "new.JPG", 77)
    with_photo = open_job(old)
    add(with_photo, [new])
    with_photo.close()
    newer = begun_copy(with_photo, tmp_path, "newer")
    away = open_job(newer)
    sha256 = withhold(away, "new.JPG", because=REASON, by="Ada")
    away.close()
    for order in permutations([third, old, newer]):
        into = tmp_path / f"{'-'.join(p.stem for p in order)}.siltline"
        merged, _ = merge(order, into)
        assert not merged.record.has_photo(sha256)
        merged.close()
        assert faults(into) == []
    merge([newer], third)[0].close()
    merge([old], third)[0].close()
    assert remains(third.read_bytes(), new.read_bytes()) == 0
    assert faults(third) == []


def begun_copy(job: Job, folder: Path, name: str) -> Path:
    return Path(shutil.copy(job.record.path, folder / f"{name}.siltline"))


def test_the_second_copy_lets_it_go_with_the_next_act(job: Job, tmp_path: Path) -> None:
    drive = tmp_path / "drive"
    drive.mkdir()
    choose(job.record, drive)
    job.follow_copy()
    copy = drive / "job.siltline"
    data = (tmp_path / "1.JPG").read_bytes()
    assert remains(copy.read_bytes(), data) > 0
    withhold(job, "1.JPG", because=REASON, by="Ada")
    job.close()
    assert remains(copy.read_bytes(), data) == 0
    assert verify(copy).faults == ()


def test_whoever_withholds_is_named(job: Job, capsys: pytest.CaptureFixture[str]) -> None:
    before = len(job.record.events)
    with pytest.raises(WrongUse, match="a name is missing"):
        withhold(job, "0.JPG", because=REASON, by=" ")
    assert len(job.record.events) == before
    job.close()
    shell = Shell(capsys)
    assert shell("withhold", job.record.path, "0.JPG", "--because", REASON).code == 2
    done = shell("withhold", job.record.path, "0.JPG", "--because", REASON, "--by", "Ada")
    assert done.code == 0
    assert "second copy" not in done.out, "it has none"


@pytest.mark.parametrize("there", [True, False])
def test_the_second_copy_is_told_of_where_there_is_one(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str], there: bool
) -> None:
    drive = tmp_path / "drive"
    drive.mkdir()
    choose(job.record, drive)
    job.follow_copy()
    job.close()
    if not there:
        shutil.move(drive, tmp_path / "pulled")
    told = Shell(capsys)("withhold", job.record.path, "0.JPG", "--because", REASON, "--by", "Ada")
    assert ("let it go too" in told.out) is there
    assert ("still holds it" in told.out.replace("before still holds it", "")) is not there


def test_undo_says_that_a_withheld_photo_cannot_come_back(job: Job) -> None:
    withhold(job, "0.JPG", because=REASON, by="Ada")
    before = len(job.record.events)
    with pytest.raises(NotNow, match=r"cannot come back, so undo stops here"):
        undo(job)
    assert len(job.record.events) == before
    assert job.step("power-off/house").word
    tick(job, "power-off/house", by="Bo")
    undo(job)  # what came after it
    word = job.step("power-off/house").word
    assert word
    assert word.by == "Ada"
    with pytest.raises(NotNow, match="cannot come back"):
        undo(job)


def test_bytes_that_stay_though_they_are_withheld_are_a_fault(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("siltline.record.rows.erase_photo", lambda *_: None)
    withhold(job, "0.JPG", because=REASON, by="Ada")
    job.close()
    assert any("its bytes are still in the file" in fault for fault in faults(job.record.path))


def test_other_photos_are_kept_from_being_removed_as_before(
    job: Job,
) -> None:
    withhold(job, "0.JPG", because=REASON, by="Ada")
    with pytest.raises(sqlite3.IntegrityError, match="never removed"):
        job.record.connection.execute("DELETE FROM photo")
    for statement in ("DELETE FROM withheld", "UPDATE withheld SET sha256 = 'x'"):
        with pytest.raises(sqlite3.IntegrityError, match="stays so"):
            job.record.connection.execute(statement)
    job.close()
