"""Taking photos in: what is confirmed is safe, what is refused says why, nothing comes in twice."""

from __future__ import annotations

import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest

from siltline.errors import Unreadable
from siltline.job import Job, open_job
from siltline.job.acts import attach, find_photo
from siltline.job.add import add, add_each, read_again
from siltline.job.pictures import describe
from siltline.job.sketching import draw_missing
from siltline.photos import sources
from siltline.record.audit import faults
from siltline.record.derived import photo_facts
from siltline.sentences import say
from siltline.text import HIDDEN_CATEGORIES, storable
from support.command import Shell
from support.pictures import photo, picture

LARGE = (1024, 768)  # enough pixels to be no sign
TUI = str(Path(__file__).parents[2] / "tui")


def sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def photo_events(job: Job) -> list[str]:
    return [event.body["sha256"] for event in job.record.events if event.kind == "photo"]


def photos(folder: Path, count: int) -> list[Path]:
    return [photo(folder, f"IMG_{n:04d}.JPG", n) for n in range(count)]


def link_to(path: Path, target: Path) -> Path:
    try:
        path.symlink_to(target)
    except OSError:
        pytest.skip("this system lets nobody but an administrator make links")
    return path


def test_a_photo_is_taken_in_once_whatever_name_it_comes_under(job: Job, tmp_path: Path) -> None:
    path = photo(tmp_path / "card", "IMG_0001.JPG")
    copy = Path(shutil.copy(path, tmp_path / "card" / "copy of it.jpeg"))
    report = add(job, [path, copy, path], by="Ada")
    assert [(o.path, o.kind, o.sha256) for o in report.outcomes] == [
        (path, "taken", sha256(path)),
        (copy, "already", sha256(path)),
        (path, "already", sha256(path)),
    ]
    assert photo_events(job) == [sha256(path)]
    (shown,) = describe(job)
    assert (shown["name"], shown["bytes"]) == ("IMG_0001.JPG", path.stat().st_size)
    assert job.record.photo_bytes(sha256(path)) == path.read_bytes()
    assert job.record.events[-1].by == "Ada"


def test_a_folder_is_taken_in_in_the_order_of_its_names(job: Job, tmp_path: Path) -> None:
    for number, name in enumerate(("b/2.jpg", "a.jpg", "b/1.jpg", "c.jpg")):
        photo(tmp_path / "card" / Path(name).parent, Path(name).name, number)
    report = add(job, [tmp_path / "card"])
    assert [o.path.name for o in report.of("taken")] == ["a.jpg", "1.jpg", "2.jpg", "c.jpg"]
    assert [p["name"] for p in describe(job)] == ["a.jpg", "1.jpg", "2.jpg", "c.jpg"]


def test_what_another_program_took_in_meanwhile_is_already_there(job: Job, tmp_path: Path) -> None:
    path = photo(tmp_path / "card")
    other = open_job(job.record.path)
    try:
        assert add(other, [path]).of("taken")
        assert not job.board.ledger.photos
        (outcome,) = add(job, [path]).outcomes
    finally:
        other.close()
    assert (outcome.kind, outcome.sha256) == ("already", sha256(path))
    assert photo_events(job) == [sha256(path)]
    assert faults(job.record.path) == []


def test_stopping_between_files_loses_nothing_and_offering_all_again_takes_only_the_rest(
    job: Job, tmp_path: Path
) -> None:
    paths = photos(tmp_path / "card", 5)
    adding = add_each(job, [tmp_path / "card"])
    confirmed = [next(adding).sha256, next(adding).sha256]
    adding.close()
    again = open_job(job.record.path)
    try:
        assert photo_events(again) == confirmed
        report = add(again, [tmp_path / "card"])
        assert [o.sha256 for o in report.of("already")] == confirmed
        assert photo_events(again) == [sha256(path) for path in paths]
        assert add(again, [tmp_path / "card"]).of("taken") == []
    finally:
        again.close()
    assert faults(job.record.path) == []


def missing(folder: Path) -> Path:
    return folder / "gone.jpg"


def linked(folder: Path) -> Path:
    return link_to(folder / "link.jpg", photo(folder))


def empty(folder: Path) -> Path:
    (folder / "empty.jpg").touch()
    return folder / "empty.jpg"


def no_picture(folder: Path) -> Path:
    (folder / "notes.jpg").write_text("not a picture", encoding="utf-8")
    return folder / "notes.jpg"


def head_only(folder: Path) -> Path:
    (folder / "head.jpg").write_bytes(picture()[:12])
    return folder / "head.jpg"


def too_large(folder: Path) -> Path:
    (folder / "large.jpg").write_bytes(picture() + bytes(sources.LARGEST))
    return folder / "large.jpg"


def too_deep(folder: Path) -> Path:
    photo(folder / Path(*["f"] * (sources.DEEPEST + 1)))
    return folder


@pytest.mark.parametrize(
    ("make", "because"),
    [
        (missing, say("add.missing")),
        (linked, say("add.link")),
        (empty, say("add.empty")),
        (no_picture, say("add.no-picture")),
        (head_only, say("add.no-picture")),
        (too_large, say("add.too-large", limit=0)),
        (too_deep, say("add.too-deep", deepest=sources.DEEPEST)),
    ],
)
def test_what_is_refused_says_why_and_leaves_no_trace_while_the_others_come_in(
    job: Job,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    make: Callable[[Path], Path],
    because: str,
) -> None:
    monkeypatch.setattr(sources, "LARGEST", 20_000)
    (tmp_path / "card").mkdir()
    bad, good = make(tmp_path / "card"), photo(tmp_path / "good", number=9)
    report = add(job, [bad, good])
    (refused,) = report.of("refused") + report.of("again")
    assert (refused.because, refused.sha256) == (because, "")
    assert [o.path for o in report.of("taken")] == [good]
    assert photo_events(job) == [sha256(good)]
    assert faults(job.record.path) == []


def card(folder: Path, names: list[bytes]) -> list[Path]:
    """Write a photo under each name, byte for byte."""
    folder.mkdir()
    paths = [Path(os.fsdecode(os.path.join(os.fsencode(folder), name))) for name in names]  # noqa: PTH118 - bytes
    for number, path in enumerate(paths):
        path.write_bytes(picture(number))
    return paths


HOSTILE = [
    b"\x1b]0;owned\x07.jpg",
    b"\x1b[2J\x1b[31mred.jpg",
    b"new\nline.jpg",
    b"tab\there.jpg",
    b"not utf-8 \xff\xfe.jpg",
    "\u202egpj.exe".encode(),
    "zero\u200bwidth\ufeff.jpg".encode(),
    "\u2028separator.jpg".encode(),
    b"[@click=app.bell]click.jpg",
    b"[bold red]oops[.jpg",
    b"=cmd|calc!A0.jpg",
    b"-rf.jpg",
    b"100%.jpg",
    b"{name} %s.jpg",
    b"'; DROP TABLE event; --.jpg",
    b" blank .jpg",
    b"\xc2\x85next\xc2\x9b31m.jpg",
    "Küche 写真 🏠.jpg".encode(),
    b"a" * 251 + b".jpg",
]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux holds names of any bytes")
def test_hostile_names_are_kept_and_a_photo_is_found_by_the_name_it_had(
    job: Job, tmp_path: Path
) -> None:
    paths = card(tmp_path / "card", HOSTILE)
    report = add(job, [tmp_path / "card"])
    assert len(report.of("taken")) == len(HOSTILE)
    kept = {p["sha256"]: p["name"] for p in describe(job)}
    for path in paths:
        assert kept[sha256(path)] == storable(path.name)
        kept[sha256(path)].encode("utf-8")
        assert find_photo(job, path.name) == sha256(path)
        attach(job, "gear-on/house", path.name, role="crew")
    assert faults(job.record.path) == []
    again = open_job(job.record.path)
    try:
        assert {p["sha256"]: p["name"] for p in describe(again)} == kept
    finally:
        again.close()


def hidden(text: str) -> set[str]:
    """Return the characters of a text that a terminal would obey or hide."""
    return {c for c in text if c != "\n" and unicodedata.category(c) in HIDDEN_CATEGORIES}


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux holds names of any bytes")
def test_hostile_names_are_shown_with_every_hidden_character_written_out(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    paths = card(tmp_path / "card", HOSTILE)
    for path in paths:  # one refused file for each as well
        path.with_name(path.name[:200] + ".txt").write_text("no picture", encoding="utf-8")
    shell = Shell(capsys)
    added = shell("add", job.record.path, tmp_path / "card")
    listed = shell("photos", job.record.path)
    for ran in (added, listed, shell("add", job.record.path, tmp_path / "card")):
        assert hidden(ran.out + ran.err) == set()
    # a line feed in a name begins no line; notes stand under their photo, indented
    assert len([line for line in listed.out.splitlines() if line[0] != " "]) == len(HOSTILE)
    (told,) = added.err.splitlines()  # a sentence for all of them
    assert f"{len(HOSTILE)} files were not taken in" in told
    assert "\\x1b[2J\\x1b[31mred.jpg" in added.out
    assert "\\u202egpj.exe" in listed.out
    for arguments in (("add", job.record.path, tmp_path / "card"), ("photos", job.record.path)):
        assert json.loads(shell(*arguments, "--json").out)


def hostile_camera(folder: Path) -> Path:
    return photo(folder, make="\x1b[31mX[/oops]\u202e", model="=T1\n", stamp="\x1b[2J")


def test_what_a_camera_wrote_is_shown_with_every_hidden_character_written_out(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    add(job, [hostile_camera(tmp_path / "card")])
    listed = Shell(capsys)("photos", job.record.path)
    assert "X[/oops]" in listed.out
    assert hidden(listed.out) == set()
    assert len([line for line in listed.out.splitlines() if line[0] != " "]) == 1


def test_a_photo_that_lost_its_end_is_taken_in_and_the_loss_is_told(
    job: Job, tmp_path: Path
) -> None:
    whole = photo(tmp_path / "card", size=LARGE)
    cut = tmp_path / "card" / "cut.jpg"
    cut.write_bytes(whole.read_bytes()[:-20])
    report = add(job, [cut, whole])
    assert [o.notes for o in report.of("taken")] == [(say("sign.cut-off"),), ()]
    assert [p["notes"] for p in describe(job)] == [[say("sign.cut-off")], []]
    assert job.record.photo_bytes(sha256(cut)) == cut.read_bytes()


def test_a_photo_from_a_card_that_was_pulled_is_taken_in_and_the_zeros_are_told(
    job: Job, tmp_path: Path
) -> None:
    whole = picture(size=(64, 48))
    ended, pulled = tmp_path / "ended.jpg", tmp_path / "pulled.jpg"
    ended.write_bytes(whole[:-20] + bytes(70_000) + whole[-20:])
    pulled.write_bytes(whole[:-20] + bytes(70_000))
    report = add(job, [ended, pulled])
    assert [o.notes for o in report.of("taken")] == [
        (say("sign.zeros"),),
        (say("sign.cut-off"), say("sign.zeros")),
    ]


def test_facts_that_were_removed_by_sql_are_read_again_and_are_the_same(
    job: Job, tmp_path: Path
) -> None:
    paths = photos(tmp_path / "card", 3)
    paths[1].write_bytes(paths[1].read_bytes()[:-20])
    add(job, paths)
    before = describe(job)
    job.record.connection.execute("DELETE FROM derived_photo")
    assert describe(job)[0]["camera"] is None
    assert read_again(job) == 3
    assert describe(job) == before
    assert read_again(job) == 0


def test_facts_that_an_older_reader_found_are_read_again(job: Job, tmp_path: Path) -> None:
    add(job, photos(tmp_path / "card", 2))
    before = describe(job)
    change = "UPDATE derived_photo SET reader = '0', facts = '{}' WHERE sha256 = ?"
    job.record.connection.execute(change, (before[0]["sha256"],))
    assert read_again(job) == 1
    assert describe(job) == before


def test_the_table_of_facts_may_be_dropped_as_the_schema_says(job: Job, tmp_path: Path) -> None:
    add(job, photos(tmp_path / "card", 2))
    before = describe(job)
    job.record.connection.execute("DROP TABLE derived_photo")
    again = open_job(job.record.path)
    try:
        assert read_again(again) == 2
        assert describe(again) == before
    finally:
        again.close()


_ADDER = f"""
import sys
sys.path.insert(0, {TUI!r})
from pathlib import Path
from siltline.job import open_job
from siltline.job.add import add_each
job = open_job(Path(sys.argv[1]))
for outcome in add_each(job, [Path(sys.argv[2])]):
    print(outcome.sha256, flush=True)
"""


@pytest.fixture
def card_of_60(tmp_path: Path) -> dict[str, Path]:
    return {sha256(path): path for path in photos(tmp_path / "card", 60)}


def kill_while_adding(job_path: Path, folder: Path, chance: random.Random) -> list[str]:
    """Kill a program in the middle of adding a folder; return all that it confirmed."""
    command = [sys.executable, "-c", _ADDER, str(job_path), str(folder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as adder:
        assert adder.stdout is not None
        confirmed = [adder.stdout.readline().strip() for _ in range(chance.randrange(1, 58))]
        time.sleep(chance.random() * 0.02)  # a photo takes about as long
        adder.kill()
        confirmed += adder.stdout.read().split()
    return confirmed


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs SIGKILL")
@pytest.mark.parametrize("rounds", [3, pytest.param(50, marks=pytest.mark.full)])
def test_a_killed_program_loses_no_photo_that_it_confirmed(
    job: Job, tmp_path: Path, card_of_60: dict[str, Path], rounds: int
) -> None:
    chance, begun = random.Random(rounds), job.record.path
    job.close()
    for number in range(rounds):
        path = Path(shutil.copy(begun, tmp_path / f"round-{number}.siltline"))
        confirmed = kill_while_adding(path, tmp_path / "card", chance)
        again = open_job(path)
        try:
            kept = photo_events(again)
            assert set(confirmed) <= set(kept)
            for known in kept:
                assert again.record.photo_bytes(known) == card_of_60[known].read_bytes()
            assert faults(path) == []
            report = add(again, [tmp_path / "card"])
            assert [o.sha256 for o in report.of("already")] == kept
            assert sorted(photo_events(again)) == sorted(card_of_60)
        finally:
            again.close()
        assert faults(path) == []
        path.unlink()


def pages(job: Job, limit: int | None = None) -> int:
    """Return how many pages the file has; first let it grow to no more than a limit."""
    if limit is not None:
        job.record.connection.execute(f"PRAGMA max_page_count = {limit}")
    (count,) = job.record.connection.execute("PRAGMA page_count").fetchone()
    return int(count)


def test_a_full_drive_says_so_keeps_what_was_confirmed_and_goes_on_when_there_is_space(
    job: Job, tmp_path: Path
) -> None:
    first, second, large = photos(tmp_path / "card", 3)
    large.write_bytes(large.read_bytes() + bytes(200_000))
    add(job, [first])
    events, whole = len(job.record.events), describe(job)
    pages(job, pages(job) + 2)
    with pytest.raises(Unreadable, match="full; nothing was recorded now"):
        add(job, [large, second])
    assert len(job.record.events) == events
    assert describe(job) == whole
    assert not job.record.connection.in_transaction
    assert add(job, [second]).of("taken")  # what still fits comes in
    pages(job, 1_000_000)
    assert [o.kind for o in add(job, [first, second, large]).outcomes] == [
        "already", "already", "taken"
    ]  # fmt: skip
    assert job.record.photo_bytes(sha256(large)) == large.read_bytes()
    assert faults(job.record.path) == []


def test_a_drive_that_fills_up_at_any_point_of_an_adding_leaves_all_of_a_photo_or_nothing(
    job: Job, tmp_path: Path
) -> None:
    """With no page left to grow, now the photo, now its facts, now its event is what fails."""
    full = 0
    for path in photos(tmp_path / "card", 60):
        before = photo_events(job)
        pages(job, pages(job))
        try:
            add(job, [path])
        except Unreadable as fault:
            assert "full; nothing was recorded now" in str(fault)  # noqa: PT017
            assert photo_events(job) == before
            full += 1
            pages(job, 1_000_000)
            add(job, [path])
        pages(job, 1_000_000)
        assert photo_events(job) == [*before, sha256(path)]
    assert full >= 3
    assert faults(job.record.path) == []
    assert len(photo_facts(job.record.connection)) == 60


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE derived_picture SET looks = CAST(x'ff' AS TEXT)",
        "UPDATE derived_picture SET looks = '{'",
        "UPDATE derived_picture SET drawer = CAST(x'ff' AS TEXT)",
    ],
)
def test_rows_of_small_pictures_that_are_torn_are_as_if_not_there_and_are_drawn_again(
    job: Job, tmp_path: Path, damage: str
) -> None:
    add(job, photos(tmp_path / "card", 2))
    assert draw_missing(job) == 2
    before = describe(job)
    job.record.connection.execute(damage)
    assert len(describe(job)) == 2
    assert draw_missing(job) == 2
    assert describe(job) == before
