"""The record number: a slip is noticed, and it says whether two people hold one record."""

from __future__ import annotations

import hashlib
import shutil
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from stdnum.iso7064 import mod_97_10

from siltline.errors import WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import tick, undo
from siltline.job.close_out import hand_off
from siltline.job.verifying import verify
from siltline.record.number import read_number, record_number
from siltline.screens.app import SiltlineApp
from support.command import Shell
from support.desk import Hands
from support.records import begun
from support.screens import text

IDS = st.binary(min_size=32, max_size=32).map(lambda raw: hashlib.sha256(raw).hexdigest())
DIGITS = "0123456789"


@given(IDS)
def test_the_check_digits_are_those_of_iso_7064(event_id: str) -> None:
    """Oracle: python-stdnum's ISO/IEC 7064:2003 MOD 97-10, which other numbers rely on too."""
    digits = record_number(event_id).replace(" ", "")
    assert mod_97_10.is_valid(digits)
    assert digits == digits[:-2] + mod_97_10.calc_check_digits(digits[:-2])
    assert int(event_id, 16) % 10**30 == int(digits[:-2])


@given(IDS)
def test_it_is_eight_groups_of_four_digits_and_reads_back(event_id: str) -> None:
    number = record_number(event_id)
    groups = number.split(" ")
    assert len(groups) == 8
    assert all(len(group) == 4 and group.isdecimal() and group.isascii() for group in groups)
    assert read_number(number) == number


@given(
    IDS,
    st.lists(
        st.sampled_from(["", " ", "-", ".", "\u00a0", "\t", " - ", "\u2013", "\u2011"]), min_size=33
    ),
)
def test_how_it_is_grouped_does_not_matter(event_id: str, between: list[str]) -> None:
    number = record_number(event_id)
    digits = number.replace(" ", "")
    typed = between[32] + "".join(d + b for d, b in zip(digits, between, strict=False))
    assert read_number(typed) == number


@given(IDS)
def test_every_wrong_digit_and_every_two_exchanged_are_noticed(event_id: str) -> None:
    digits = record_number(event_id).replace(" ", "")
    wrong = {digits[:n] + d + digits[n + 1 :] for n in range(32) for d in DIGITS}
    wrong |= {digits[:n] + digits[n + 1] + digits[n] + digits[n + 2 :] for n in range(31)}
    wrong.discard(digits)
    assert len(wrong) >= 32 * 9
    for typed in wrong:
        with pytest.raises(WrongUse, match="misread or misheard"):
            read_number(typed)


@given(IDS, st.integers(0, 31), st.sampled_from(DIGITS))
def test_a_digit_too_few_or_too_many_is_noticed(event_id: str, at: int, digit: str) -> None:
    digits = record_number(event_id).replace(" ", "")
    for typed in (digits[:at] + digits[at + 1 :], digits[:at] + digit + digits[at:]):
        with pytest.raises(WrongUse, match=r"has 3[13]"):
            read_number(typed)


@given(st.text())
def test_whatever_is_typed_is_a_number_or_a_sentence(typed: str) -> None:
    with suppress(WrongUse):
        assert mod_97_10.is_valid(read_number(typed).replace(" ", ""))


@pytest.mark.parametrize("typed", ["\u0661" * 32, "\uff11" * 32, "1" * 31 + "\u00b2"])
def test_digits_of_other_scripts_are_no_digits_here(typed: str) -> None:
    """Nobody types them by accident, and `int` would take them."""
    with pytest.raises(WrongUse):
        read_number(typed)


@pytest.fixture
def handed(tmp_path: Path) -> tuple[Path, str]:
    """A job that was handed over, and its number."""
    job = begun(tmp_path)
    tick(job, "power-off/house", by="Ada")
    event, _ = hand_off(job, giver="Ada", taker="Ben")
    job.close()
    return job.record.path, record_number(event.id)


def go_on(path: Path) -> None:
    job = open_job(path)
    tick(job, "power-off/house", by="Cleo")
    job.close()


@pytest.mark.parametrize(
    ("what", "verdict", "code"), [("same", "exact", 0), ("more", "more", 0), ("other", "other", 4)]
)
def test_a_number_tells_which_record_a_file_holds(
    handed: tuple[Path, str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    what: str,
    verdict: str,
    code: int,
) -> None:
    path, number = handed
    if what == "more":
        go_on(path)
    elif what == "other":
        number = record_number(hashlib.sha256(b"another").hexdigest())
    shell = Shell(capsys)
    assert verify(path, number).number == verdict
    ran = shell("verify", path, "--number", number, "--json")
    assert (ran.code, ran.json["number"]) == (code, verdict)
    assert ran.json["whole"] is True
    plain = shell("verify", path, "--number", number.replace(" ", "-"))
    assert plain.code == code
    said = {"exact": "exactly the record", "more": "and more", "other": "not the record"}
    assert said[verdict] in plain.out


def test_of_two_hand_offs_the_earlier_is_held_and_more(handed: tuple[Path, str]) -> None:
    path, first = handed
    job = open_job(path)
    event, _ = hand_off(job, giver="Ben", taker="Cleo")
    job.close()
    assert verify(path, first).number == "more"
    assert verify(path, record_number(event.id)).number == "exact"


def test_a_file_from_before_the_hand_off_does_not_hold_it(tmp_path: Path) -> None:
    job = begun(tmp_path)
    tick(job, "power-off/house", by="Ada")
    earlier = tmp_path / "earlier.siltline"
    shutil.copy(job.record.path, earlier)
    event, _ = hand_off(job, giver="Ada", taker="Ben")
    job.close()
    assert verify(earlier, record_number(event.id)).number == "other"


def test_the_number_of_an_entry_that_is_no_hand_off_is_not_looked_for(tmp_path: Path) -> None:
    job = begun(tmp_path)
    tick(job, "power-off/house", by="Ada")
    undo(job)
    newest = job.record.events[-1].id
    job.close()
    assert verify(job.record.path, record_number(newest)).number == "other"


@pytest.mark.parametrize("how", ["an entry", "cannot be opened"])
def test_of_a_damaged_file_it_cannot_be_told(
    handed: tuple[Path, str], tmp_path: Path, capsys: pytest.CaptureFixture[str], how: str
) -> None:
    path, number = handed
    raw = bytearray(path.read_bytes())
    if how == "an entry":
        at = raw.index(b'"kind":"begun"')
        raw[at + 9] ^= 1  # of the first entry: the file still opens
    else:
        del raw[20_000:]
    path.write_bytes(raw)
    verdict = verify(path, number)
    assert verdict.faults
    assert verdict.number == "unknown"
    ran = Shell(capsys)("verify", path, "--number", number)
    assert ran.code == 4
    assert "cannot be told from a damaged file" in ran.out
    assert "--salvage" in ran.out
    assert "not the record" not in ran.out


def test_a_slip_is_told_before_the_file_is_read(
    handed: tuple[Path, str], capsys: pytest.CaptureFixture[str]
) -> None:
    path, number = handed
    slipped = number[:-1] + str((int(number[-1]) + 1) % 10)
    ran = Shell(capsys)("verify", path, "--number", slipped)
    assert ran.code == 2
    assert "check digits do not fit" in ran.err


async def test_screen_command_and_claim_show_one_number(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    async with SiltlineApp(job).run_test(size=(100, 40)) as pilot:
        hands = Hands(pilot)
        await hands.press("h")
        await hands.fill({"giver": "Ada", "taker": "Ben"})
        shown = text(pilot.app)
    event = job.record.events[-1]
    assert event.kind == "handed-off"
    number = record_number(event.id)
    assert number in shown
    job.close()
    shell = Shell(capsys)
    assert shell("verify", job.record.path, "--number", number).code == 0
    assert shell("claim", job.record.path, tmp_path / "claim").code == 0
    pages = PdfReader(tmp_path / "claim" / "report.pdf").pages
    report = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert number in report
    ran = shell("handoff", job.record.path, "--from", "Ben", "--to", "Cleo", "--json")
    assert ran.json["number"] == record_number(ran.json["id"])
    said = shell("handoff", job.record.path, "--from", "Cleo", "--to", "Ben").out
    again = open_job(job.record.path)
    assert record_number(again.record.events[-1].id) in said
    again.close()
