"""A second copy gets what is new after each act, says when it cannot, and catches up later."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from siltline.errors import WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, tick, undo
from siltline.job.add import add
from siltline.job.doctor import examine
from siltline.job.merge import merge
from siltline.job.second_copy import choose
from siltline.job.verifying import verify
from siltline.record import rows
from siltline.record.connect import PAGE_BYTES
from siltline.screens.app import SiltlineApp
from support.command import Shell
from support.pictures import photo
from support.records import begun, told
from support.screens import text
from support.ticking import TickingClock


@pytest.fixture
def drive(tmp_path: Path) -> Path:
    """Another drive."""
    folder = tmp_path / "drive"
    folder.mkdir()
    return folder


@pytest.fixture
def copy(drive: Path) -> Path:
    return drive / "job.siltline"


@pytest.fixture(scope="module")
def with_a_photo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("made")
    made = begun(folder)
    add(made, [photo(folder, "0.JPG")])
    made.close()
    return made.record.path


@pytest.fixture
def job(with_a_photo: Path, tmp_path: Path, drive: Path) -> Iterator[Job]:
    """An open job that is copied to the drive after each act."""
    made = open_job(Path(shutil.copy(with_a_photo, tmp_path)), TickingClock(), "00000000000000aa")
    choose(made.record, drive)
    made.follow_copy()
    yield made
    made.close()


def work(job: Job, times: int = 1) -> None:
    for _ in range(times):
        tick(job, "power-off/house", by="Ada")


def equals(job: Job, copy: Path) -> None:
    """Check that a copy opens, is whole, and says what the job says."""
    job.close()
    assert verify(copy).faults == ()
    one, other = told(job.record.path), told(copy)
    assert one == other


def state(job: Job) -> tuple[int, str]:
    assert job.copy_state is not None
    return job.copy_state.behind, job.copy_state.because


def test_it_is_whole_at_once_and_equal_after_every_kind_of_act(
    job: Job, copy: Path, tmp_path: Path
) -> None:
    assert verify(copy).faults == ()
    add(job, [photo(tmp_path, "1.JPG", 1)])
    attach(job, "power-off/house", "1.JPG", role="before")
    work(job)
    tick(job, "outlet/one", by="Ada", values=["14 in"])
    undo(job)
    assert state(job) == (0, "")
    equals(job, copy)


def test_sql_alone_reads_the_same_steps_in_it(job: Job, copy: Path) -> None:
    work(job)
    job.close()
    for path in (job.record.path, copy):
        with closing(sqlite3.connect(path)) as connection:
            states = dict(connection.execute("SELECT step, state FROM steps"))
        assert states["power-off/house"] == "done"


class Watched:
    """Looks which pages of a file change."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.before = path.read_bytes()

    def changed_pages(self) -> int:
        """Return how many pages differ from the last look."""
        now, was = self.path.read_bytes(), self.before
        self.before = now
        starts = range(0, len(now), PAGE_BYTES)
        return sum(now[n : n + PAGE_BYTES] != was[n : n + PAGE_BYTES] for n in starts)


def test_only_what_is_new_is_written(job: Job, copy: Path, tmp_path: Path) -> None:
    """An act costs a few pages, though the job holds a photo of many."""
    large = photo(tmp_path, "large.JPG", 2)
    large.write_bytes(large.read_bytes() + bytes(range(256)) * 12_000)
    watched = Watched(copy)
    add(job, [large])
    pages_of_photo = large.stat().st_size // PAGE_BYTES
    assert pages_of_photo <= watched.changed_pages() <= pages_of_photo + 12
    for _ in range(5):
        work(job)
        assert watched.changed_pages() <= 6
    assert len(copy.read_bytes()) == len(job.record.path.read_bytes())


def test_rows_that_are_there_are_not_written_again(
    job: Job, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: list[str] = []
    keep_event, keep_photo = rows.keep_event, rows.keep_photo
    monkeypatch.setattr(rows, "keep_event", lambda c, e: (kept.append(e.kind), keep_event(c, e))[1])
    monkeypatch.setattr(
        rows, "keep_photo", lambda c, s, d: (kept.append(s), keep_photo(c, s, d))[1]
    )
    work(job)
    assert kept == ["ticked", "ticked"], "once in the job, once in its copy"


def test_a_drive_that_is_pulled_is_told_and_catches_up(
    job: Job, drive: Path, copy: Path, tmp_path: Path
) -> None:
    gone = tmp_path / "pulled"
    drive.rename(gone)
    for n in range(1, 4):
        work(job)
        behind, because = state(job)
        assert behind == n
        assert "is the drive plugged in" in because
    gone.rename(drive)
    work(job)
    assert state(job) == (0, "")
    equals(job, copy)


def test_how_far_it_is_behind_is_known_at_the_next_start(
    job: Job, drive: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job.record.path
    work(job)
    job.close()
    gone = tmp_path / "pulled"
    drive.rename(gone)
    shell = Shell(capsys)
    for n in (1, 2):
        ran = shell("tick", path, "power-off/house", "--by", "Ada")
        assert ran.code == 0, "the act itself is recorded"
        assert f"lacks {n} entr" in ran.err
    asked = shell("second-copy", path, "--json")
    assert (asked.code, asked.json["behind"]) == (1, 2)
    gone.rename(drive)
    back = shell("second-copy", path)
    assert (back.code, "up to date" in back.out) == (0, True)
    assert verify(drive / "job.siltline").faults == ()


def test_a_drive_that_is_pulled_while_nothing_is_new_is_told_too(
    job: Job, drive: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is not said to be up to date when nobody could look."""
    path = job.record.path
    job.close()
    drive.rename(tmp_path / "pulled")
    ran = Shell(capsys)("second-copy", path)
    assert ran.code == 1
    assert "up to date" not in ran.out
    assert "is the drive plugged in" in ran.err


@pytest.fixture
def behind(job: Job, drive: Path, tmp_path: Path) -> Job:
    drive.rename(tmp_path / "pulled")
    work(job)
    return job


async def test_the_screen_says_how_far_it_is_behind(behind: Job) -> None:
    async with SiltlineApp(behind).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "copy 1 behind" in text(pilot.app)


SPOILT = {
    "cut": lambda copy: copy.write_bytes(copy.read_bytes()[:40_000]),
    "no database": lambda copy: copy.write_bytes(b"x" * 40_000),
    "its events overwritten": lambda copy: overwrite(copy, 1),
    "its index overwritten": lambda copy: overwrite(copy, 2),
    "a folder": lambda copy: (copy.unlink(), copy.mkdir()),
}


def overwrite(path: Path, page: int) -> None:
    raw = bytearray(path.read_bytes())
    raw[page * PAGE_BYTES : (page + 1) * PAGE_BYTES] = b"\x55" * PAGE_BYTES
    path.write_bytes(raw)


@pytest.mark.parametrize("how", SPOILT)
def test_a_copy_that_is_damaged_is_told_and_stops_no_act(job: Job, copy: Path, how: str) -> None:
    job._copy.close()
    SPOILT[how](copy)
    for n in (1, 2):
        work(job)
        behind, because = state(job)
        assert behind == n
        assert because.endswith(".")
        assert "recorded" not in because, "the act itself was recorded"
    job.close()
    assert verify(job.record.path).faults == ()


def test_an_empty_file_under_its_name_becomes_the_copy(job: Job, copy: Path) -> None:
    job._copy.close()
    copy.write_bytes(b"")
    work(job)
    assert state(job) == (0, "")
    equals(job, copy)


def test_a_copy_that_was_removed_is_made_anew(job: Job, copy: Path) -> None:
    copy.unlink()
    work(job)
    assert state(job) == (0, "")
    equals(job, copy)


def test_a_drive_on_which_nothing_can_be_made_is_told_and_stops_no_act(
    job: Job, copy: Path, drive: Path
) -> None:
    job._copy.close()
    copy.unlink()
    (drive / ".job.siltline.part").mkdir()  # SQLite can make no file of that name
    work(job)
    behind, because = state(job)
    assert behind >= 1
    assert because
    (drive / ".job.siltline.part").rmdir()
    work(job)
    assert state(job) == (0, "")
    equals(job, copy)


def test_a_full_drive_is_told_under_the_name_of_the_copy(
    job: Job, copy: Path, tmp_path: Path
) -> None:
    pages = len(copy.read_bytes()) // PAGE_BYTES
    work(job)
    job._copy._connection.execute(f"PRAGMA max_page_count = {pages + 1}")
    large = photo(tmp_path, "large.JPG", 2)
    large.write_bytes(large.read_bytes() + bytes(1_000_000))
    add(job, [large])
    behind, because = state(job)
    assert behind == 1
    assert "full" in because
    work(job)  # opened anew, without the limit
    assert state(job) == (0, "")
    equals(job, copy)


def test_a_copy_that_is_locked_is_told_and_catches_up(
    job: Job, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    work(job)
    job._copy._connection.execute("PRAGMA busy_timeout = 20")
    with closing(sqlite3.connect(copy, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        work(job)
        behind, because = state(job)
        assert behind == 1
        assert "Another program is writing to it" in because
    work(job)
    assert state(job) == (0, "")


def test_a_copy_of_another_job_is_refused_and_left_as_it_is(
    tmp_path: Path, drive: Path, copy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "elsewhere").mkdir()
    other = begun(tmp_path / "elsewhere", device="00000000000000bb")
    other.close()
    shutil.copy(other.record.path, copy)
    theirs = copy.read_bytes()
    mine = begun(tmp_path)
    choose(mine.record, drive)
    work(mine)
    behind, because = state_after(mine)
    assert behind == len(mine.record.events)
    assert "copy of another job" in because
    mine.close()
    assert copy.read_bytes() == theirs
    ran = Shell(capsys)("second-copy", mine.record.path)
    assert ran.code == 1
    assert "another job" in ran.err


def state_after(job: Job) -> tuple[int, str]:
    job.follow_copy()
    return state(job)


def test_what_another_laptop_wrote_into_the_copy_stays_there(
    job: Job, copy: Path, tmp_path: Path
) -> None:
    """Its work is not lost, merging brings it over; and its step table is not replaced by ours."""
    other = open_job(copy)
    tick(other, "outlet/one", by="Ben", values=["14 in"])
    theirs = other.record.events[-1].id
    other.close()
    work(job)
    assert state(job) == (0, "")
    merged, _ = merge([job.record.path], copy)  # then it has what the job is about to bring
    tick(merged, "outlet/two", by="Ben", values=["14 in"])
    merged.close()
    work(job)
    assert state(job) == (0, "")
    job.close()
    assert verify(copy).faults == ()
    assert theirs in {i for i, _ in told(copy)["events"]}
    assert {i for i, _ in told(job.record.path)["events"]} < {i for i, _ in told(copy)["events"]}


def test_a_copy_can_be_worked_on_where_the_job_is_lost(job: Job, copy: Path) -> None:
    work(job)
    job.close()
    job.record.path.unlink()
    again = open_job(copy)
    work(again)
    assert again.copy_state is None or not again.copy_state.because
    again.close()
    assert verify(copy).faults == ()


@pytest.mark.parametrize("where", ["no such folder", "a file", "the job's own folder"])
def test_a_folder_that_cannot_hold_it_is_refused(job: Job, tmp_path: Path, where: str) -> None:
    folder = {
        "no such folder": tmp_path / "nowhere",
        "a file": tmp_path / "job.siltline",
        "the job's own folder": tmp_path,
    }[where]
    with pytest.raises(WrongUse):
        choose(job.record, folder)
    work(job)
    assert state(job) == (0, ""), "and the copy goes on where it was"


def test_it_can_be_ended(job: Job, copy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job.record.path
    job.close()
    shell = Shell(capsys)
    assert "no second copy" in shell("second-copy", path, "--off").out
    before = copy.read_bytes()
    assert shell("tick", path, "power-off/house", "--by", "Ada").code == 0
    assert copy.read_bytes() == before


def test_a_kill_between_job_and_copy_loses_nothing(
    job: Job, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The act is in the job; the copy gets it with the next one."""
    with monkeypatch.context() as killed:
        killed.setattr("siltline.record.copying.bring", lambda *_: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            work(job)
    job.close()
    again = open_job(job.record.path)
    work(again)
    assert state(again) == (0, "")
    equals(again, copy)


def looked(job: Job) -> tuple[str, str]:
    """Return what the doctor says of the second copy."""
    signs = [sign for sign in examine(job.record.path) if sign.about == "copy"]
    return next((sign.verdict, sign.text) for sign in signs)


def test_the_doctor_tells_how_the_second_copy_stands(job: Job, copy: Path) -> None:
    assert looked(job)[0] == "fine"
    assert "up to date" in looked(job)[1]
    older = copy.read_bytes()
    work(job, 2)
    job.close()
    copy.write_bytes(older)
    kept = copy.read_bytes()
    assert looked(job) == (
        "look",
        f"The second copy {copy} is there but lacks 2 entries; it is brought up with the next act.",
    )
    assert copy.read_bytes() == kept, "looking writes nothing"
    copy.write_bytes(b"no database" * 1000)
    assert "It is damaged; move it away" in looked(job)[1]
    copy.unlink()
    assert "It is not there; it is made with the next act." in looked(job)[1]
    assert not copy.exists()
    copy.parent.rmdir()
    verdict, told = looked(job)
    assert verdict == "look"
    assert "was up to date when it was seen last" in told
    assert "is the drive plugged in?" in told


def test_the_doctor_tells_how_many_entries_a_copy_out_of_reach_lacks(
    job: Job, copy: Path, tmp_path: Path
) -> None:
    shutil.move(copy.parent, tmp_path / "pulled")
    work(job, 3)
    assert "not known to hold the newest 3 entries" in looked(job)[1]


def test_the_doctor_refuses_the_copy_of_another_job_and_says_where_there_is_none(
    job: Job, copy: Path, tmp_path: Path
) -> None:
    other = begun(tmp_path, "other", device="b" * 16)
    other.close()
    shutil.copy(other.record.path, copy)
    assert "is the copy of another job" in looked(job)[1]
    choose(job.record, None)
    verdict, told = looked(job)
    assert verdict == "look"
    assert told.startswith("job.siltline has no second copy on this laptop;")


def test_of_a_copy_itself_the_doctor_asks_for_no_copy(job: Job, copy: Path) -> None:
    job.close()
    assert [sign.about for sign in examine(copy)][-1:] == ["job"]
    assert "copy" not in {sign.about for sign in examine(copy)}


def test_a_bit_that_flips_in_the_copy_is_found_by_verify_of_it(job: Job, copy: Path) -> None:
    job.close()
    raw = bytearray(copy.read_bytes())
    raw[raw.index(b'"kind":"begun"') + 9] ^= 1
    copy.write_bytes(raw)
    assert verify(job.record.path).faults == ()
    assert verify(copy).faults
