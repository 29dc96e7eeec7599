"""States follow from plan and words alone: laws over random acts, and the corners of the rules."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from siltline.judge import Board, Ledger, Word, extend, fold, judge
from siltline.judge.board import OPEN_STATES, STATES
from siltline.judge.causes import in_order
from siltline.judge.entries import Attached
from siltline.judge.findings import findings
from siltline.judge.ledger import UNDOABLE
from siltline.record import Event, seal
from siltline.rules.plan import Ask, Caution, Phase, Plan, Proof, whole_to_json
from support.boards import board, step


def states(found: Board) -> dict[str, str]:
    return {name.split("/")[0]: view.state for name, view in found.steps.items()}


TICKED = Word("ticked", "e", "2026-01-01T00:00:00Z", "Ada")
LEFT = Word("left-out", "e", "2026-01-01T00:00:00Z", "Ada", because="reason")
PHOTO = (Proof("photo", "before"),)


@pytest.mark.parametrize("hold", ["", "Nobody passes."])
@pytest.mark.parametrize(
    ("word", "photo", "released", "released_if_hold"),
    [
        (None, False, False, False),
        (None, True, False, False),
        (TICKED, False, True, False),
        (TICKED, True, True, True),
        (LEFT, False, True, False),
        (LEFT, True, True, False),
    ],
)
def test_what_releases_a_need(
    hold: str, word: Word | None, photo: bool, released: bool, released_if_hold: bool
) -> None:
    first = step("first", hold_point=hold, proof=PHOTO)
    attached = [Attached("a" * 64, "before", "e", "t")] if photo else []
    found = board(
        [first, step("second", needs=(first.id,))],
        words={first.id: word} if word else {},
        attached={first.id: attached},
    )
    free = released_if_hold if hold else released
    assert states(found)["second"] == ("todo" if free else "blocked")


def test_a_missing_fact_is_told_before_what_the_step_waits_for() -> None:
    first = step("first", hold_point="Nobody passes.")
    asks = (Ask(("electrical", "a", "height"), "its height"),)
    second = step(
        "second",
        needs=(first.id,),
        asks=asks,
        measure="Measure it.",
        measure_after="Prove it dead.",
    )
    view = board([first, second]).steps[second.id]
    assert view.state == "measure"
    assert view.waiting == (first.id,)
    assert view.measure == "Prove it dead. Measure it."
    released = board([first, second], words={first.id: TICKED}).steps[second.id]
    assert released.measure == "Measure it."


def test_a_word_whose_need_was_taken_back_is_kept_but_counts_no_more() -> None:
    first = step("first", hold_point="Nobody passes.")
    second = step("second", needs=(first.id,))
    view = board([first, second], words={second.id: TICKED}).steps[second.id]
    assert view.state == "blocked"
    assert view.word == TICKED
    assert any("no longer stands" in remark for remark in view.remarks)


def test_readings_go_to_the_proofs_of_their_unit_in_order() -> None:
    proof = (
        Proof("reading", "joist", 2, "%", at_most="15 %"),
        Proof("reading", "freezer", 1, "F", at_most="0 F"),
    )
    word = replace(TICKED, values=("-18C", "14%", "15.0 %"))
    view = board([step("a", proof=proof)], words={"a/house": word}).steps["a/house"]
    assert [held.have for held in view.held] == [2, 1]
    assert view.state == "documented"


@pytest.mark.parametrize(
    ("value", "meets"),
    [("15%", True), ("15.0001%", False), ("0 F", False), ("0%", True), ("-3%", True)],
)
def test_a_bound_is_kept_exactly(value: str, meets: bool) -> None:
    proof = (Proof("reading", "joist", 1, "%", at_most="15 %"),)
    word = replace(TICKED, values=(value,))
    view = board([step("a", proof=proof)], words={"a/house": word}).steps["a/house"]
    assert (view.state == "documented") is meets


def test_needs_in_a_ring_are_judged_without_an_end() -> None:
    """`rules check` refuses rings, but a merged record could hold one; nobody waits for ever."""
    one = step("one", needs=("two/house",))
    two = step("two", needs=("one/house",))
    assert set(states(board([one, two])).values()) <= {"blocked", "todo"}


# laws over random histories

IDS = ("a/house", "b/house", "c/house")
PLAN = Plan(
    "House",
    "",
    "c",
    (Phase("p", "P"),),
    (
        step("a", hold_point="Nobody passes.", proof=PHOTO),
        step("b", needs=("a/house",), proof=PHOTO),
        step("c", needs=("b/house",)),
    ),
)
ACTS = st.lists(
    st.tuples(
        st.sampled_from(["ticked", "unticked", "left-out", "attached", "detached", "undone"]),
        st.sampled_from(IDS),
    ),
    max_size=25,
)


def history(acts: list[tuple[str, str]]) -> list[Event]:
    """Return the events of acts; undone takes the newest undoable event that stands."""
    found: list[Event] = []
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d", "by": "Ada"}

    def append(kind: str, body: dict[str, object]) -> Event:
        parents = [found[-1].id] if found else []
        found.append(seal(kind, {**body, "n": len(found)}, parents=parents, **stamp))
        return found[-1]

    append("laid", {"plan": whole_to_json(PLAN)})
    standing: list[str] = []
    bodies = {
        "ticked": {"licence": "", "values": [], "note": ""},
        "left-out": {"because": "r"},
        "attached": {"photo": "f" * 64, "role": "before"},
        "detached": {"photo": "f" * 64},
        "unticked": {},
    }
    for kind, target in acts:
        if kind == "undone":
            if standing:
                append("undone", {"events": [standing.pop()]})
        else:
            event = append(kind, {"step": target, **bodies[kind]})
            standing.append(event.id)
    assert {kind for kind, _ in acts} - {"undone"} <= UNDOABLE
    return found


@given(ACTS)
@settings(max_examples=150)
def test_every_step_is_in_exactly_one_state_and_the_record_decides_it(
    acts: list[tuple[str, str]],
) -> None:
    events = history(acts)
    found = judge(fold(events))
    assert set(found.steps) == set(IDS)
    assert set(states(found).values()) <= set(STATES)
    assert states(judge(fold(events))) == states(found)


@given(ACTS, st.integers(1, 6))
@settings(max_examples=150)
def test_folding_piece_by_piece_gives_what_folding_at_once_gives(
    acts: list[tuple[str, str]], pieces: int
) -> None:
    events = history([act for act in acts if act[0] != "undone"])
    ledger = Ledger()
    for start in range(0, len(events), pieces):
        assert extend(ledger, events[start : start + pieces])
    assert judge(ledger).steps == judge(fold(events)).steps


@given(ACTS)
@settings(max_examples=150)
def test_undoing_everything_gives_the_beginning_back(acts: list[tuple[str, str]]) -> None:
    events = history([*acts, *[("undone", "a/house")] * len(acts)])
    assert states(judge(fold(events))) == states(judge(fold(events[:1])))


@given(ACTS)
@settings(max_examples=150)
def test_nothing_behind_a_hold_point_is_open_unless_it_is_documented(
    acts: list[tuple[str, str]],
) -> None:
    found = states(judge(fold(history(acts))))
    if found["a"] != "documented":
        assert found["b"] in ("blocked", "not-done")
    if found["b"] in OPEN_STATES and found["b"] != "done":
        assert found["c"] in ("blocked", "not-done")


def test_an_event_of_a_kind_from_the_future_changes_nothing_here() -> None:
    events = history([("ticked", "a/house")])
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d", "by": None}
    later = seal("something-new", {"step": "a/house"}, parents=[events[-1].id], **stamp)
    assert states(judge(fold([*events, later]))) == states(judge(fold(events)))


def test_a_repeated_step_without_an_end_goes_on() -> None:
    """The step that ends it may not be there in this house: it never counts as ended by itself."""
    again = step("pump", every="12 h")
    assert states(board([again], words={again.id: TICKED}))["pump"] == "done"


@pytest.mark.parametrize("kind", ["ticked", "unticked", "left-out"])
def test_a_word_of_nobody_in_particular_stands_without_a_name(kind: str) -> None:
    (laid,) = history([])
    body = {"step": "a/house", "licence": "", "values": [], "note": "", "because": "r"}
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d", "by": None}
    said = seal(kind, body, parents=[laid.id], **stamp)
    (word,) = fold([laid, said]).words["a/house"]
    assert (word.kind, word.by) == (kind, "")


def test_a_tick_of_an_older_program_has_no_way_and_no_registration() -> None:
    (laid,) = history([])
    body = {"step": "a/house", "licence": "X", "values": ["1 in"], "note": "n"}
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d", "by": "Ada"}
    (word,) = fold([laid, seal("ticked", body, parents=[laid.id], **stamp)]).words["a/house"]
    assert (word.licence, word.values, word.note) == ("X", ("1 in",), "n")
    assert (word.way, word.registration, word.because, word.decided_by) == ("", "", "", "")


@pytest.mark.parametrize(
    ("value", "meets"), [("4%", True), ("3.9999%", False), ("4.0001 %", True), ("15%", True)]
)
def test_a_lower_bound_is_kept_exactly(value: str, meets: bool) -> None:
    proof = (Proof("reading", "joist", 1, "%", at_most="15 %", at_least="4 %"),)
    word = replace(TICKED, values=(value,))
    view = board([step("a", proof=proof)], words={"a/house": word}).steps["a/house"]
    assert (view.state == "documented") is meets


def test_a_contact_time_is_kept_from_its_very_minute() -> None:
    proof = (Proof("contact-time", "10 min"),)
    for value, meets in (("10 min", True), ("599 s", False), ("600 s", True)):
        word = replace(TICKED, values=(value,))
        view = board([step("a", proof=proof)], words={"a/house": word}).steps["a/house"]
        assert (view.state == "documented") is meets


def test_who_withheld_a_photo_first_and_why_is_kept() -> None:
    (laid,) = history([])
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d"}
    first = seal(
        "withheld", {"photo": "f" * 64, "because": "a face"}, parents=[laid.id], by="Ada", **stamp
    )
    again = seal(
        "withheld", {"photo": "f" * 64, "because": "else"}, parents=[first.id], by=None, **stamp
    )
    (told,) = fold([laid, first, again]).withheld.values()
    assert (told.event, told.by, told.because) == (first.id, "Ada", "a face")
    nobody = seal("withheld", again.body, parents=[laid.id], by=None, **stamp)
    assert [one.by for one in fold([laid, nobody]).withheld.values()] == [""]


def test_a_photo_that_is_withheld_or_used_is_not_one_that_no_step_uses() -> None:
    (laid,) = history([])
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d", "by": "Ada"}
    events = [laid]
    for photo in ("a" * 64, "b" * 64, "c" * 64):
        body = {"sha256": photo, "name": f"{photo[0]}.JPG", "bytes": 1}
        events.append(seal("photo", body, parents=[events[-1].id], **stamp))
    used = {"step": "a/house", "photo": "a" * 64, "role": "before"}
    gone = {"photo": "b" * 64, "because": "a face"}
    for kind, body in (("attached", used), ("withheld", gone)):
        events.append(seal(kind, body, parents=[events[-1].id], **stamp))
    found = judge(fold(events))
    assert found.unused_photos() == ["c" * 64]
    assert found.used_photos() == {"a" * 64: ["a/house"]}


def test_what_takes_back_is_never_folded_onto_what_stood() -> None:
    first, tick, undo = history([("ticked", "a/house"), ("undone", "a/house")])
    ledger = fold([first])
    assert not extend(ledger, [tick, undo])
    assert extend(ledger, [tick])
    assert not extend(ledger, [undo])


def test_what_was_lost_with_a_damaged_file_is_told_the_photos_one_by_one() -> None:
    (laid,) = history([])
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d", "by": "Ada"}
    body = {"sha256": "a" * 64, "name": "A.JPG", "bytes": 1}
    photo = seal("photo", body, parents=[laid.id], **stamp)
    used = {"step": "a/house", "photo": "a" * 64, "role": "before"}
    attached = seal("attached", used, parents=[photo.id], **stamp)
    gone = {"a" * 64: "old.siltline", "f" * 64: "old.siltline"}

    def told(*events: Event) -> list[tuple[str, str, str | None]]:
        found = findings(judge(fold(events)), gone=gone)
        assert all("old.siltline" in one.text for one in found if one.code.endswith("-lost"))
        return [(f.code, f.weight, f.step) for f in found if f.code.endswith("-lost")]

    entries = ("entries-lost", "note", None)
    assert told(laid, photo, attached) == [("photo-lost", "must-fix", "a/house"), entries]
    assert told(laid, photo) == [("photo-lost", "note", None), entries]


def test_an_event_whose_parent_is_lost_is_read_all_the_same() -> None:
    """A salvage may bring an entry and not the one before it."""
    (laid,) = history([])
    stamp = {"at": "2026-01-01T00:00:00.000Z", "device": "d", "by": "Ada"}
    body = {"step": "a/house", "licence": "", "values": [], "note": ""}
    orphan = seal("ticked", body, parents=["0" * 64], **stamp)
    assert [e.id for e in in_order([orphan, laid])] == sorted(
        (laid.id, orphan.id), key=lambda one: ({laid.id: laid, orphan.id: orphan}[one].at, one)
    )
    assert judge(fold([laid, orphan])).steps["a/house"].word is not None


DEADLY = (Caution("DANGER", "It is live."),)


@pytest.mark.parametrize(
    ("first", "second", "over"),
    [(LEFT, None, True), (LEFT, TICKED, True), (LEFT, LEFT, False), (TICKED, TICKED, False)],
)
def test_a_deadly_step_says_that_what_comes_first_was_left_out(
    first: Word, second: Word | None, over: bool
) -> None:
    steps = [step("a"), step("b", needs=("a/house",), cautions=DEADLY)]
    words = {"a/house": first} | ({"b/house": second} if second else {})
    found = board(steps, words).steps["b/house"]
    assert found.over_left_out is over
    assert found.left_out == (("a/house",) if first is LEFT else ())
    assert any("a/house" in remark for remark in found.remarks) is over
    harmless = board([steps[0], replace(steps[1], cautions=())], words).steps["b/house"]
    assert not harmless.over_left_out
