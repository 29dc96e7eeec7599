"""The review names what is open, early, left out, not put back or doubtful, and what to do."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from siltline.job import Job
from siltline.job.acts import attach, leave_out, tick, untick
from siltline.job.add import add
from siltline.job.close_out import review
from siltline.judge.finding import Finding, is_clear
from siltline.judge.findings import findings
from siltline.judge.photo_findings import Seen
from siltline.photos.stamps import Placed
from support.pictures import photo
from support.walking import document


def codes(found: list[Finding]) -> set[tuple[str, str, str | None]]:
    return {(f.weight, f.code, f.step) for f in found}


def test_every_open_step_is_a_must_fix_with_what_to_do(job: Job) -> None:
    tick(job, "gear-on/house", by="Ada")
    found = codes(review(job))
    assert ("must-fix", "proof-missing", "gear-on/house") in found
    assert ("must-fix", "not-done-yet", "power-off/house") in found
    assert ("must-fix", "waiting", "prove-dead/circuit-4") in found
    assert ("must-fix", "measure-first", "outlet-replaced/hidden-outlet") in found
    assert all(f.text and f.remedy for f in review(job))


def test_what_was_taken_out_stays_a_must_fix_until_it_is_back(job: Job, tmp_path: Path) -> None:
    document(job, tmp_path, "gear-on/house")
    document(job, tmp_path, "power-off/house")
    key = ("must-fix", "still-to-put-back", "power-back/house")
    assert key in codes(review(job))
    untick(job, "power-off/house")
    assert key not in codes(review(job))


def test_what_somebody_decides_stays_out_must_be_decided(job: Job, tmp_path: Path) -> None:
    document(job, tmp_path, "gear-on/house")
    document(job, tmp_path, "power-off/house")
    leave_out(job, "power-back/house", by="Owner", because="house is sold")
    assert ("decide", "stays-out", "power-back/house") in codes(review(job))


def test_a_hold_point_left_out_is_a_must_fix_and_another_step_only_a_note(job: Job) -> None:
    leave_out(job, "power-off/house", by="Ada", because="r")
    leave_out(job, "weep-holes-open/north", by="Ada", because="r")
    found = codes(review(job))
    assert ("must-fix", "safety-left-out", "power-off/house") in found
    assert ("note", "left-out", "weep-holes-open/north") in found


def _tick_over_what_was_left_out(job: Job, folder: Path, **told: str) -> None:
    """Switch the power on again though a wetted outlet was left out."""
    leave_out(job, "outlet-replaced/low-outlet", by="Ada", because="the owner has somebody")
    while waiting := job.step("power-back/house").waiting:
        document(job, folder, waiting[0])
    assert any("may not be safe" in said for said in job.step("power-back/house").remarks)
    tick(job, "power-back/house", by="Bo", **told)


def test_a_deadly_step_ticked_over_what_was_left_out_must_be_fixed(
    job: Job, tmp_path: Path
) -> None:
    _tick_over_what_was_left_out(job, tmp_path, note="looked fine")
    over = {f.step: f for f in review(job) if f.code == "over-left-out"}
    found = over["power-back/house"]
    assert found.weight == "must-fix"
    assert "outlet-replaced/low-outlet" in found.text
    assert "Bo" in found.text
    untick(job, "power-back/house")
    assert "power-back/house" not in {f.step for f in review(job) if f.code == "over-left-out"}


def test_with_a_licence_it_is_to_be_decided(job: Job, tmp_path: Path) -> None:
    _tick_over_what_was_left_out(job, tmp_path, licence="E-1")
    assert ("decide", "over-left-out", "power-back/house") in codes(review(job))


def test_what_is_left_out_before_a_step_that_cannot_kill_is_only_a_note(
    job: Job, tmp_path: Path
) -> None:
    leave_out(job, "lines-as-found/kitchen", by="Ada", because="r")
    document(job, tmp_path, "weep-holes-open/north")
    view = job.step("weep-holes-open/north")
    assert view.left_out == ("lines-as-found/kitchen",)
    assert not view.over_left_out
    assert "over-left-out" not in {f.code for f in review(job)}


def test_a_word_given_before_the_first_word_on_its_hold_point_is_found(
    job: Job, tmp_path: Path
) -> None:
    """One file refuses it; two laptops' work put together can hold it."""
    needs = job.step("prove-dead/circuit-4").step.needs
    for need in needs:
        if need != "power-off/house":
            document(job, tmp_path, need)
    with job.acting():
        body = {"step": "prove-dead/circuit-4", "licence": "X", "values": [], "note": ""}
        job.append("ticked", body, "Ben")
    document(job, tmp_path, "power-off/house")
    assert ("must-fix", "ticked-early", "prove-dead/circuit-4") in codes(review(job))
    tick(job, "prove-dead/circuit-4", by="Ben", licence="X")
    assert ("must-fix", "ticked-early", "prove-dead/circuit-4") not in codes(review(job))


def test_only_a_hold_point_is_asked_for_before_the_word_that_needs_it(
    job: Job, tmp_path: Path
) -> None:
    with job.acting():
        body = {"step": "weep-holes-open/north", "licence": "", "values": [], "note": ""}
        job.append("ticked", body, "Ben")
    document(job, tmp_path, "gear-on/house")
    document(job, tmp_path, "lines-as-found/kitchen")
    assert "lines-as-found/kitchen" in job.step("weep-holes-open/north").step.needs
    early = [f.text for f in review(job) if f.code == "ticked-early"]
    assert len(early) == 1
    assert "gear-on/house" in early[0]


def test_photos_at_no_step_and_at_two_steps_are_noted(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    attach(job, "gear-on/house", "A.JPG", role="crew")
    attach(job, "power-off/house", "A.JPG", role="power-off")
    found = codes(review(job))
    assert ("note", "photo-unused", None) in found
    assert ("note", "photo-shared", "gear-on/house") in found
    (shared,) = (one for one in review(job) if one.code == "photo-shared")
    assert "gear-on/house, power-off/house" in shared.text


def test_a_photo_at_one_step_alone_is_not_shared(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "A.JPG", 1)])
    attach(job, "gear-on/house", "A.JPG", role="crew")
    assert "photo-shared" not in {one.code for one in review(job)}


def test_what_is_odd_about_a_photo_is_noted_where_it_is_used(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    used, unused = job.board.ledger.photos
    attach(job, "gear-on/house", used, role="crew")
    noon = datetime(2026, 3, 12, 12, tzinfo=UTC)
    odd = Seen(Placed("unchecked", None, None, noon, noon), "T", ("It was edited.", "Twice."))
    (found,) = (f for f in findings(job.board, {used: odd, unused: odd}) if "doubtful" in f.code)
    assert (found.weight, found.step) == ("note", "gear-on/house")
    assert "It was edited. Twice." in found.text


def test_wrong_clocks_are_told_once_a_camera(job: Job, tmp_path: Path) -> None:
    for number in range(4):
        path = photo(tmp_path, f"{number}.JPG", number, stamp="2031:01:01 10:00:00", model="W")
        add(job, [path])
        attach(job, "gear-on/house", path.name, role="other")
    path = photo(tmp_path, "unset.JPG", 9, stamp="0000:00:00 00:00:00", model="U")
    add(job, [path])
    attach(job, "gear-on/house", path.name, role="other")
    told = {f.code: f.text for f in review(job) if f.code.startswith("clock")}
    assert set(told) == {"clock-impossible", "clock-unset"}
    assert "4 stamps" in told["clock-impossible"]
    assert "Invented W" in told["clock-impossible"]


def test_an_after_photo_older_than_its_before_is_to_be_decided(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    before, after = job.board.ledger.photos
    attach(job, "weep-holes-open/north", before, role="before")
    attach(job, "weep-holes-open/north", after, role="after")
    noon = datetime(2026, 3, 12, 12, tzinfo=UTC)
    hour, second = timedelta(hours=1), timedelta(seconds=1)
    placed = {
        before: Placed("unchecked", None, None, noon, noon + second),
        after: Placed("unchecked", None, None, noon - hour, noon - hour + second),
    }

    def shown(camera: str, other: str = "T") -> dict[str, Seen]:
        return {before: Seen(placed[before], other), after: Seen(placed[after], camera)}

    wrong = ("decide", "before-after-reversed", "weep-holes-open/north")
    assert wrong in codes(findings(job.board, shown("T")))
    late = placed[after]
    placed[after] = Placed("unchecked", None, None, noon - second, noon)
    assert wrong in codes(findings(job.board, shown("T"))), "it ends as the other begins"
    placed[after] = Placed("unchecked", None, None, noon, noon + second)
    assert wrong not in codes(findings(job.board, shown("T")))
    placed[after] = late
    assert wrong not in codes(findings(job.board, shown("other")))
    assert wrong not in codes(findings(job.board, shown("", "")))  # whose clocks, nobody knows


def test_gravest_first_and_clear_only_without_anything_to_fix_or_decide(job: Job) -> None:
    found = review(job)
    weights = [f.weight for f in found]
    assert weights == sorted(weights, key=("must-fix", "decide", "note").index)
    assert not is_clear(found)
    assert is_clear([f for f in found if f.weight == "note"])
