"""`why` tells how each need stands, and of a step that is gone why it went."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace

from siltline.job import Job
from siltline.job.acts import leave_out, tick
from siltline.job.laying import correct, lay_checklist
from siltline.job.why import why
from siltline.rules.files import house_from
from siltline.rules.plan import Because
from siltline.rules.standing import facts_now
from support.house import HOUSE
from support.wide import ONE, write_wide


def lines(job: Job, step: str) -> list[str]:
    return [text for _, text in why(job, job.step(step))]


def test_a_step_that_went_away_says_so_and_tells_its_facts_as_they_are_now(job: Job) -> None:
    step = "outlet-replaced/low-outlet"
    assert any(line.startswith("wetted = yes") for line in lines(job, step))
    correct(job, ["electrical.low-outlet.height=50 in"], by="Ada", take=True)
    told = lines(job, step)
    assert f"{step}: not-needed" in told
    assert "This step does not apply any more." in told
    assert any("Ada corrected the house sheet" in line for line in told)
    (wetted,) = [line for line in told if line.startswith("wetted")]
    assert wetted.startswith("wetted = no (")
    assert wetted.endswith("; when the step was laid: yes")
    (kind,) = [line for line in told if line.startswith("kind")]
    assert kind.startswith("kind = outlet (")
    assert "laid" not in kind, "it is as it was"
    assert not any(line.startswith(("needs ", "It goes away", "Missing")) for line in told)


def test_a_step_whose_place_is_gone_says_that_the_sheet_holds_it_no_more(job: Job) -> None:
    correct(job, ["crawl-space=none"], by="Ada", take=True)
    told = lines(job, "poly-out/crawl-space")
    assert told[-1] == (
        "place: the house sheet holds it no more; when the step was laid: Crawl space"
    )


def test_a_fact_that_only_an_older_version_knew_is_told_as_it_was(job: Job) -> None:
    step = job.step("outlet-replaced/low-outlet").step
    older = replace(step, facts=(Because("soaked", "yes", "house.yaml:1"),))
    house, source = house_from(HOUSE, "house.yaml")
    (standing,) = facts_now(older, house, source)
    assert (standing.then.value, standing.now) == ("yes", None)


def test_a_need_tells_how_it_stands(tmp_path: Path, new_job: Callable[..., Job]) -> None:
    folder, house = write_wide(tmp_path)
    text = ONE.replace("needs: [pump]", "needs: [pump, lead]")
    (folder / "one.yaml").write_text(text, encoding="utf-8")
    job = new_job(house.read_text(encoding="utf-8"), str(folder))
    step = "done-pumping/house"
    assert "needs pump/house (not there yet)" in lines(job, step)
    leave_out(job, "pump/house", by="Ada", because="it drained by itself")
    assert "needs pump/house (left out; nothing of it was done)" in lines(job, step)
    tick(job, "lead/house", by="Ada")
    assert "needs lead/house (there)" in lines(job, step)
    correct(job, ["year-built=1990"], by="Ada", take=True)
    assert not any(line.startswith("needs lead/house (there)") for line in lines(job, step))


def test_a_checklist_that_drops_a_step_leaves_its_facts_as_they_are(
    tmp_path: Path, new_job: Callable[..., Job]
) -> None:
    folder, house = write_wide(tmp_path)
    job = new_job(house.read_text(encoding="utf-8"), str(folder))
    (folder / "one.yaml").write_text(ONE[: ONE.index("  - step: lead")], encoding="utf-8")
    lay_checklist(job, str(folder), by="Ada", take=True)
    told = lines(job, "lead/house")
    assert "Not needed since Ada laid the checklist wide again." in told
    assert any(line.startswith("house.year-built = 1964 (") for line in told), told
