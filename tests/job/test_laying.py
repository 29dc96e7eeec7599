"""Facts are corrected and checklists changed on a job under way; the difference is shown first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acted import about
from siltline.job.acts import leave_out, tick, undo
from siltline.job.begin import begin
from siltline.job.close_out import review, sign_off
from siltline.job.laying import correct, lay_checklist, sheet_as_it_stands
from siltline.job.sheeting import sheet_text
from siltline.record.audit import faults
from siltline.rules.faults import Faulty
from siltline.rules.yamltext import load
from support.command import Shell
from support.house import HOUSE
from support.ticking import TickingClock
from support.wide import ONE, write_wide


@pytest.fixture
def wide(tmp_path: Path, clock: TickingClock) -> Iterator[Job]:
    checklist, house = write_wide(tmp_path)
    path = tmp_path / "wide.siltline"
    job = begin(house, path, checklist=str(checklist), clock=clock, device="0" * 16)
    yield job
    job.close()


def told(changes: object) -> list[str]:
    return [str(change) for change in changes]  # type: ignore[attr-defined]


def test_a_correction_is_shown_and_nothing_is_recorded_until_it_is_taken(wide: Job) -> None:
    before = len(wide.record.events)
    seen = correct(wide, ["year-built=1990"])
    assert told(seen.facts) == ["year-built: 1964 -> 1990"]
    assert told(seen.changes) == ["- lead/house: Ask for a lead survey."]
    assert len(wide.record.events) == before
    assert wide.step("lead/house").state == "todo"
    correct(wide, ["year-built=1990"], by="Ada", take=True)
    view = wide.step("lead/house")
    assert view.state == "not-needed"
    assert view.remarks == ("Not needed since Ada corrected the house sheet: year-built=1990.",)
    assert faults(wide.record.path) == []


def test_steps_keep_their_words_when_they_go_and_when_they_come_again(wide: Job) -> None:
    tick(wide, "lead/house", by="Ada", note="asked on Monday")
    correct(wide, ["year-built=1990"], by="Ada", take=True)
    word = wide.step("lead/house").word
    assert word
    assert word.note == "asked on Monday"
    correct(wide, ["year-built=1950"], by="Bo", take=True)
    view = wide.step("lead/house")
    assert (view.state, view.word) == ("documented", word)


def test_a_part_that_was_found_later_gets_its_steps(wide: Job) -> None:
    found = ["electrical.box.name=the hidden box", "electrical.box.kind=outlet",
             "electrical.box.room=den", "electrical.box.height=10 in"]  # fmt: skip
    assert "+ cable/box: See to the cable of the hidden box." in told(correct(wide, found).changes)
    correct(wide, found, by="Ada", take=True)
    assert wide.step("cable/box").state == "todo"
    assert sheet_as_it_stands(wide)["electrical.box.height"] == "10 in"


def test_a_fact_can_become_unknown_again_and_asks(wide: Job) -> None:
    correct(wide, ["electrical.low.height="], by="Ada", take=True)
    assert wide.step("cable/low").state == "measure"
    assert "electrical.low.height" not in sheet_as_it_stands(wide)


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ("year-built", "'year-built' is no fact; write the keys"),
        ("=3", "is no fact; write the keys"),
        ("rooms.den.waterline=high", "is not a number with its unit"),
        ("rooms.den.waterlin=3in", "did you mean 'waterline'"),
        ("rooms.den.waterline=-3in", "below"),
        ("electrical.low.room=attic", "attic"),
        ("electrical.low.kind=outlets", "did you mean 'outlet'"),
        ("year-built=64", "64"),
    ],
)
def test_a_fact_that_cannot_be_is_refused_in_one_sentence(
    wide: Job, setting: str, words: str
) -> None:
    before = len(wide.record.events)
    with pytest.raises(WrongUse) as refused:
        correct(wide, [setting], by="Ada", take=True)
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)
    assert len(wide.record.events) == before


def test_a_correction_without_a_name_is_not_taken(wide: Job) -> None:
    with pytest.raises(WrongUse):
        correct(wide, ["year-built=1990"], take=True)


def test_undo_takes_a_correction_back_with_what_it_laid(wide: Job) -> None:
    correct(wide, ["year-built=1990"], by="Ada", take=True)
    assert undo(wide).kind == "corrected"
    assert wide.step("lead/house").state == "todo"
    assert sheet_as_it_stands(wide)["year-built"] == "1964"


def test_another_checklist_is_laid_with_its_difference_shown_first(
    wide: Job, tmp_path: Path
) -> None:
    tick(wide, "lead/house", by="Ada")
    (tmp_path / "wide" / "one.yaml").write_text(
        ONE.replace("Ask for a lead survey.", "Have a lead survey made.").replace(
            "step: pump\n", "step: pump-on\n"
        ).replace("needs: [pump]", "needs: [pump-on]").replace("en: One,", "en: First,"),
        encoding="utf-8",
    )  # fmt: skip
    checklist = str(tmp_path / "wide")
    changes = told(lay_checklist(wide, checklist))
    assert changes[0] == "- pump/house: Watch the pump."
    assert "+ pump-on/house: Watch the pump." in changes
    assert "~ lead/house: what to do" in changes
    assert wide.step("lead/house").step.do == "Ask for a lead survey."
    lay_checklist(wide, checklist, by="Ada", take=True)
    view = wide.step("lead/house")
    assert view.step.do == "Have a lead survey made."
    assert view.word
    assert wide.board.plan.phases[0].title == "First"
    assert wide.step("pump/house").state == "not-needed"
    assert "wide" in wide.step("pump/house").remarks[0]
    # what is corrected from now on is laid by the new checklist, also after opening again
    again = open_job(wide.record.path)
    try:
        correct(again, ["year-built=1990"], by="Ada", take=True)
        assert again.step("lead/house").step.do == "Have a lead survey made."
        assert again.step("pump-on/house").state == "todo"
        assert faults(again.record.path) == []
    finally:
        again.close()


def test_undo_takes_a_checklist_back_that_was_laid_again(wide: Job, tmp_path: Path) -> None:
    tick(wide, "lead/house", by="Ada")
    (tmp_path / "wide" / "one.yaml").write_text(
        ONE.replace("Ask for a lead survey.", "Have one made.").replace("en: One,", "en: First,"),
        encoding="utf-8",
    )
    before = wide.board.plan
    lay_checklist(wide, str(tmp_path / "wide"), by="Ada", take=True)
    tick(wide, "lead/house", by="Bo")
    assert undo(wide).kind == "ticked"
    gone = undo(wide)
    assert (gone.kind, about(wide, gone)) == ("laid", "wide")
    assert wide.board.plan == before
    word = wide.step("lead/house").word
    assert word
    assert word.by == "Ada"
    # what is laid from now on is laid by the checklist of before, also after opening again
    again = open_job(wide.record.path)
    try:
        assert again.board.plan == before
        correct(again, ["rooms.loft.name=Attic"], by="Ada", take=True)
        assert again.step("lead/house").step.do == "Ask for a lead survey."
        assert faults(again.record.path) == []
        undo(again)
        assert undo(again).kind == "ticked", "the first laying stands"
        with pytest.raises(NotNow, match="nothing to take back"):
            undo(again)
    finally:
        again.close()


def test_a_checklist_with_faults_is_not_laid_and_tells_them(wide: Job, tmp_path: Path) -> None:
    (tmp_path / "wide" / "one.yaml").write_text(ONE.replace("why: It was wet.", ""), "utf-8")
    with pytest.raises(Faulty, match=r"one\.yaml:\d+:5: 'why' is missing here"):
        lay_checklist(wide, str(tmp_path / "wide"), by="Ada", take=True)


def test_a_job_that_was_signed_off_keeps_the_plan_it_was_signed_with(wide: Job) -> None:
    for view in list(wide.board.steps.values()):
        leave_out(wide, view.step.id, by="Ada", because="x", **_settling(view.step.id))
    sign_off(wide, by="Ada")
    states = {name: view.state for name, view in wide.board.steps.items()}
    with pytest.raises(
        NotNow, match=r"signed off by Ada on .* stays with the plan that was signed"
    ):
        correct(wide, ["year-built=1990"], by="Ada", take=True)
    with pytest.raises(NotNow, match="stays with the plan that was signed"):
        lay_checklist(wide, "river-flood", by="Ada", take=True)
    with pytest.raises(NotNow, match="stays with the plan that was signed"):
        correct(wide, ["loss.denied=2026-07-20", "year-built=1990"], by="Ada", take=True)
    # the claim goes on when the work is signed, and no rule asks for its dates
    correct(wide, ["loss.denied=2026-07-20", "loss.claim-number=INV-9"], by="Ada", take=True)
    assert sheet_as_it_stands(wide)["loss.denied"] == "2026-07-20"
    assert {name: view.state for name, view in wide.board.steps.items()} == states
    assert review(wide)


def _settling(step: str) -> dict[str, str]:
    return {"licence": "Electrician X-1"} if step.startswith("cable/") else {}


def test_the_commands_show_before_they_take(
    wide: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(capsys)
    path = wide.record.path
    wide.close()
    shown = shell("house", path, "year-built=1990")
    assert shown.code == 0
    assert shown.out.splitlines() == [
        "year-built: 1964 -> 1990",
        "- lead/house: Ask for a lead survey.",
        "Comes: 0, goes: 1, reads otherwise: 0.",
        "Nothing is recorded yet. Say it again with --by NAME --take to take this.",
    ]
    assert shell("house", path, "year-built=1990", "--take").code == 2  # nobody said who
    taken = shell("house", path, "year-built=1990", "--by", "Ada", "--take", "--json")
    assert taken.json["taken"] is True
    assert [change["step"] for change in taken.json["changes"]] == ["lead/house"]
    assert taken.json["facts"] == [{"path": "year-built", "old": "1964", "new": "1990"}]
    assert "year-built=1990" in shell("house", path).out.splitlines()
    assert shell("house", path, "--json").json["rooms.den.waterline"] == "31 in"
    same = shell("lay", path, "--checklist", tmp_path / "wide")
    assert same.out.splitlines()[0] == "Nothing changes for this house."
    assert shell("undo", path).out.startswith("Taken back: a correction of the house sheet")


def test_a_moment_is_read_from_what_was_typed_and_that_is_kept_beside_it(job: Job) -> None:
    correct(job, ["loss.water-out=yesterday 5 am"], by="Ada", take=True)
    fact = next(e for e in job.record.events if e.kind == "corrected").body["facts"][0]
    yesterday = (job.here() - timedelta(days=1)).date()
    assert fact["value"] == f"{yesterday} 05:00"
    assert fact["typed"] == "yesterday 5 am"
    with pytest.raises(WrongUse, match="can be two days"):
        correct(job, ["loss.water-out=3/4 05:00"])


def test_a_word_to_choose_may_be_spelt_as_people_spell_it(job: Job) -> None:
    correct(job, ["walls.north.cladding=Stone veneer"], by="Ada", take=True)
    assert sheet_as_it_stands(job)["walls.north.cladding"] == "stone-veneer"
    correct(job, ["crawl-space.sewage=Y"], by="Ada", take=True)
    assert sheet_as_it_stands(job)["crawl-space.sewage"] == "yes"


def test_what_came_back_after_it_was_said_not_to_be_there_is_there(job: Job) -> None:
    correct(job, ["burners.stove.name=stove"], by="Ada", take=True)
    correct(job, ["burners=no"], by="Ada", take=True)
    assert sheet_as_it_stands(job)["burners"] == "no"
    correct(job, ["burners.stove.name=the stove"], by="Ada", take=True)
    assert sheet_as_it_stands(job)["burners.stove.name"] == "the stove"


def test_a_fact_is_told_as_it_was_and_as_it_becomes(job: Job) -> None:
    settings = ["rooms.kitchen.waterline=34in", "rooms.kitchen.silt-line=", "year-built=1958",
                "rooms.loft.waterline=0 in", "loss.water-out=yesterday 5 am"]  # fmt: skip
    yesterday = (job.here() - timedelta(days=1)).date()
    lines = [
        "rooms.kitchen.waterline: 31 in -> 34in",
        "rooms.kitchen.silt-line: 28 in -> not known",
        "year-built: not known -> 1958",
        "rooms.loft.waterline: 0 in, as it was",
        f"loss.water-out: not known -> {yesterday} 05:00 (from 'yesterday 5 am')",
    ]
    assert told(correct(job, settings).facts) == lines
    assert told(correct(job, settings, by="Ada", take=True).facts) == lines


NOT_THERE = ["crawl-space", "burners", "well", "manufactured-home", "contents"]


@pytest.mark.parametrize("thing", NOT_THERE)
def test_none_says_that_there_is_none_as_it_does_in_the_sheet(
    new_job: Callable[..., Job], thing: str
) -> None:
    corrected = new_job(HOUSE, name="corrected")
    start = HOUSE.index(f"{thing}:") if f"{thing}:" in HOUSE else len(HOUSE)
    after = HOUSE.find("\ncontents:", start) if thing != "contents" else len(HOUSE)
    rest = HOUSE[after + 1 :] if after > 0 else ""
    written = new_job(f"{HOUSE[:start]}{thing}: none\n{rest}", name="written")
    for typed in (f"{thing}=none", f"{thing}= None "):
        correct(corrected, [typed], by="Ada", take=True)
        assert sheet_as_it_stands(corrected)[thing] == "none"
    plans = [[(s.id, s.do, s.asks) for s in j.board.plan.steps] for j in (corrected, written)]
    assert plans[0] == plans[1]
    assert load(sheet_text(corrected), "x").data == load(sheet_text(written), "x").data


def test_what_goes_with_none_is_told_before_it_is_taken(job: Job) -> None:
    seen = correct(job, ["crawl-space=none"])
    assert told(seen.facts) == ["crawl-space: flooded=yes, ground-cover=poly -> none"]
    assert any(change.kind == "gone" for change in seen.changes)
    correct(job, ["crawl-space=none"], by="Ada", take=True)
    assert told(correct(job, ["crawl-space.flooded=yes"]).facts) == [
        "crawl-space.flooded: not known -> yes"
    ]


def test_neither_yes_nor_none_is_refused_with_what_to_write(job: Job) -> None:
    with pytest.raises(WrongUse, match=r"'maybe' should be yes \(there is one\), or none;"):
        correct(job, ["crawl-space=maybe"])
