"""What is offered for a step and for a photo: unused first, by the row, by time, by role."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.judge import Board
from siltline.judge.bounds import Anchor, of_role
from siltline.judge.camera_rows import Row, in_order_of_names
from siltline.judge.offer_words import because
from siltline.judge.offering import Offering
from siltline.judge.photo_findings import Seen
from siltline.photos.stamps import Placed
from support.crews import Record, laid, plan_of

MORNING = datetime(2026, 3, 12, 13, 0, tzinfo=UTC)
NOW = MORNING + timedelta(hours=10)
ROOM, LINES, WEEP = "room-as-found/r0", "lines-as-found/r0", "weep-holes-open/w0"


def taken(minute: float, camera: str = "M2", zone_h: float = 0) -> Seen:
    """A photo taken so many minutes after the first, its zone known to some hours."""
    at = MORNING + timedelta(minutes=minute)
    late = at + timedelta(seconds=1, hours=zone_h)
    return Seen(Placed("unchecked", "-05:00", "site", at - timedelta(hours=zone_h), late), camera)


def no_time(_: float = 0, camera: str = "M2", clock: str = "unset") -> Seen:
    return Seen(Placed(clock, None, None, None, NOW), camera)


def wrong(minute: float, camera: str = "TB") -> Seen:
    at = NOW + timedelta(minutes=minute)
    return Seen(Placed("impossible", "-05:00", "site", at, at), camera)


def job(
    photos: Sequence[str],
    attached: Sequence[tuple[str, str, str]] = (),
    words: Mapping[str, float] | None = None,
    withheld: Sequence[str] = (),
) -> Board:
    """A job of two rooms whose photos are named by themselves."""
    record: Record = laid(plan_of(2, 1))
    for name in photos:
        record.add("photo", NOW, {"sha256": name, "name": f"{name}.JPG", "bytes": 1})
    for step, photo, role in attached:
        record.add("attached", NOW, {"step": step, "photo": photo, "role": role})
    for step, minute in (words or {}).items():
        at = MORNING + timedelta(minutes=minute)
        record.add("ticked", at, {"step": step, "licence": "", "values": [], "note": ""})
    for photo in withheld:
        record.add("withheld", NOW, {"photo": photo, "because": "a face"})
    return record.board()


def names(count: int, first: int = 1) -> list[str]:
    return [f"IMG_{number:04d}" for number in range(first, first + count)]


def offered(board: Board, seen: Mapping[str, Seen], step: str) -> list[str]:
    return [offer.photo for offer in Offering(board, seen, NOW).photos(step)]


def told(board: Board, seen: Mapping[str, Seen], step: str, place: int = 0) -> str:
    offering = Offering(board, seen, NOW)
    return because(offering, offering.photos(step)[place])


def test_the_next_of_the_row_after_a_photo_of_the_step_stands_first() -> None:
    photos = names(6)
    seen = {photo: taken(3.0 * n) for n, photo in enumerate(photos)}
    board = job(photos, [(ROOM, photos[2], "corner")])
    assert offered(board, seen, ROOM)[0] == photos[3]
    assert told(board, seen, ROOM) == (
        "next in the row after IMG_0003.JPG, of this step; 3 min after it"
    )


def test_a_photo_that_is_used_comes_after_all_others_and_says_where() -> None:
    photos = names(4)
    seen = {photo: taken(n) for n, photo in enumerate(photos)}
    board = job(photos, [(ROOM, photos[0], "corner"), (LINES, photos[1], "tape")])
    offers = Offering(board, seen, NOW).photos(ROOM)
    assert {offer.photo for offer in offers[:2]} == {photos[2], photos[3]}
    assert offers[2].used == (LINES,) or offers[3].used == (LINES,)
    assert not any(offer.clear for offer in offers[2:])
    assert "already used at" in told(board, seen, ROOM, 3)


def test_a_withheld_photo_is_never_offered() -> None:
    photos = names(3)
    seen = {photo: taken(n) for n, photo in enumerate(photos)}
    board = job(photos, [(ROOM, photos[0], "corner")], withheld=[photos[1]])
    assert offered(board, seen, ROOM) == [photos[2], photos[0]]


def test_a_photo_whose_bytes_are_lost_is_not_offered() -> None:
    photos = names(2)
    offering = Offering(job(photos), {}, NOW, away={photos[0]})
    assert [offer.photo for offer in offering.photos(ROOM)] == [photos[1]]


def test_between_the_photos_of_steps_around_it() -> None:
    photos = names(5)
    seen = {photo: taken(10.0 * n) for n, photo in enumerate(photos)}
    at = [(ROOM, photos[0], "corner"), ("room-as-found/r1", photos[1], "corner")]
    board = job(photos, [*at, (WEEP, photos[4], "before")])
    offering = Offering(board, seen, NOW)
    offers = offering.photos(LINES)
    assert {offer.photo for offer in offers[:2]} == {photos[2], photos[3]}
    assert because(offering, offers[0]) == (
        "next in the row after IMG_0002.JPG, of room-as-found/r1; 10 min after it"
    )
    assert because(offering, offers[1]) == (
        "taken between the photos of room-as-found/r1 and weep-holes-open/w0"
    )


def test_in_the_evening_the_order_of_the_steps_decides() -> None:
    """All words in one go say nothing of time: the first photo is of the first step."""
    photos = names(6)
    seen = {photo: taken(10.0 * n) for n, photo in enumerate(photos)}
    steps = ["gear-on/house", "power-off/house", ROOM, LINES]
    board = job(photos, words={step: 600 + 0.1 * n for n, step in enumerate(steps)})
    assert offered(board, seen, "gear-on/house")[0] == photos[0]
    assert "the first unused one, counted from IMG_0001.JPG" in told(board, seen, "gear-on/house")


def test_a_word_given_by_itself_draws_the_photos_taken_just_before_it() -> None:
    photos = names(8)
    seen = {photo: taken(20.0 * n) for n, photo in enumerate(photos)}
    words = {"gear-on/house": 1.0, "power-off/house": 21.0, "prove-dead/circuit-c0": 101.0}
    board = job(photos, words=words)
    assert offered(board, seen, "prove-dead/circuit-c0")[0] == photos[5]
    assert "1 min before the word" in told(board, seen, "prove-dead/circuit-c0")


def test_an_after_is_not_offered_from_before_its_before() -> None:
    photos = names(3)
    seen = {photo: taken(n) for n, photo in enumerate(photos)}
    offering = Offering(job(photos, [(WEEP, photos[1], "before")]), seen, NOW)
    assert offering.photos(WEEP)[0].photo == photos[2]
    assert offering.photos(WEEP)[0].role == "after"
    sooner = next(o for o in offering.photos(WEEP) if o.photo == photos[0])
    assert sooner.role == "before"


def test_what_lies_past_used_photos_is_not_called_the_next() -> None:
    photos = names(3)
    seen = {photo: taken(n) for n, photo in enumerate(photos)}
    board = job(photos, [(LINES, photos[1], "tape"), (ROOM, photos[0], "corner")])
    assert told(board, seen, ROOM).startswith("the first at no step after IMG_0001.JPG, of this")


def test_the_role_is_the_one_that_is_missing() -> None:
    photos = names(4)
    seen = {photo: taken(n) for n, photo in enumerate(photos)}
    assert Offering(job(photos), seen, NOW).photos(WEEP)[0].role == "before"
    both = job(photos, [(WEEP, photos[0], "before")])
    assert Offering(both, seen, NOW).photos(WEEP)[0].role == "after"


@pytest.mark.parametrize("clock", ["unset", "impossible"])
def test_a_clock_that_says_nothing_leaves_the_order_of_names_and_that_is_said(clock: str) -> None:
    photos = names(5)
    seen = {  # the clock would say the contrary of the names
        photo: no_time() if clock == "unset" else wrong(-n) for n, photo in enumerate(photos)
    }
    board = job(photos, [(ROOM, photos[1], "corner")])
    assert offered(board, seen, ROOM)[0] == photos[2]
    assert told(board, seen, ROOM) == (
        "next in the row after IMG_0002.JPG, of this step; by its file name, its clock says nothing"
    )


def test_one_impossible_stamp_makes_the_whole_camera_go_by_names() -> None:
    photos = names(4)
    seen = {photo: taken(-n) for n, photo in enumerate(photos)}
    seen[photos[3]] = wrong(0, "M2")
    board = job(photos, [(ROOM, photos[0], "corner")])
    assert offered(board, seen, ROOM)[0] == photos[1]


def test_a_clock_far_from_the_words_is_not_believed_and_that_is_said() -> None:
    photos = names(6)
    seen = {photo: taken(30.0 * n - 600) for n, photo in enumerate(photos)}
    steps = ["gear-on/house", "power-off/house", ROOM]
    board = job(
        photos,
        [(step, photos[n], "crew") for n, step in enumerate(steps)],
        {step: 30.0 * n for n, step in enumerate(steps)},
    )
    assert "its clock is far from the words" in told(board, seen, LINES)


def test_a_zone_that_is_not_known_tells_no_minutes() -> None:
    photos = names(4)
    seen = {photo: taken(n, zone_h=14) for n, photo in enumerate(photos)}
    board = job(photos, [(ROOM, photos[0], "corner")])
    assert told(board, seen, ROOM) == "next in the row after IMG_0001.JPG, of this step"


def test_file_numbers_turn_over_after_9999() -> None:
    """DCF numbers run from 0001 to 9999 and start again (JEITA CP-3461, from memory)."""
    row = ["DSC_9998", "DSC_9999", "DSC_0001", "DSC_0002"]
    assert in_order_of_names({name: f"{name}.JPG" for name in row[::-1]}) == row
    board = job(row, [(ROOM, row[1], "corner")])
    assert offered(board, {name: no_time() for name in row}, ROOM)[0] == row[2]


def test_names_without_four_digits_are_ordered_by_their_numbers() -> None:
    row = ["photo 2", "photo 10", "photo 100"]
    assert in_order_of_names({name: f"{name}.jpeg" for name in row[::-1]}) == row


def test_photos_that_no_file_was_read_of_are_offered_by_their_names() -> None:
    photos = names(3)
    assert offered(job(photos, [(ROOM, photos[0], "corner")]), {}, ROOM)[0] == photos[1]


def test_a_photo_is_offered_the_step_that_its_neighbours_are_at() -> None:
    photos = names(4)
    seen = {photo: taken(n) for n, photo in enumerate(photos)}
    board = job(photos, [(ROOM, photos[0], "corner")])
    offering = Offering(board, seen, NOW)
    assert offering.steps(photos[1])[0].step == ROOM
    offers = offering.steps(photos[0])
    assert ROOM not in [offer.step for offer in offers]
    assert not any(offer.clear for offer in offers)


def test_a_step_left_out_is_offered_after_one_that_is_open() -> None:
    photos = names(2)
    record = laid(plan_of(2, 1))
    record.add("photo", NOW, {"sha256": photos[0], "name": "IMG_0001.JPG", "bytes": 1})
    before = [o.step for o in Offering(record.board(), {}, NOW).steps(photos[0])]
    record.add("left-out", NOW, {"step": before[0], "because": "No crew."})
    after = [o.step for o in Offering(record.board(), {}, NOW).steps(photos[0])]
    assert before[0] != after[0]


def test_a_run_goes_on_with_the_same_camera_until_none_is_left() -> None:
    photos = [*names(3), "TB_0001"]
    seen = {photo: taken(n) for n, photo in enumerate(photos[:3])} | {"TB_0001": taken(1, "TB")}
    record = laid(plan_of(2, 1))
    for photo in photos:
        record.add("photo", NOW, {"sha256": photo, "name": f"{photo}.JPG", "bytes": 1})
    assert Offering(record.board(), seen, NOW).next_in_row(ROOM) is None
    run = []
    here = photos[0]
    while here:
        record.add("attached", NOW, {"step": ROOM, "photo": here, "role": "corner"})
        run.append(here)
        offer = Offering(record.board(), seen, NOW).next_in_row(ROOM)
        here = offer.photo if offer else ""
    assert run == photos[:3]


def test_a_photo_in_a_run_that_another_step_uses_is_passed_over() -> None:
    photos = names(3)
    board = job(photos, [(LINES, photos[1], "tape"), (ROOM, photos[0], "corner")])
    offer = Offering(board, {}, NOW).next_in_row(ROOM)
    assert offer is not None
    assert offer.photo == photos[2]


def test_no_photo_at_all_offers_nothing() -> None:
    assert Offering(job([]), {}, NOW).photos(ROOM) == []


# Laws, over jobs drawn at random.


@st.composite
def jobs(draw: st.DrawFn) -> tuple[list[str], list[tuple[str, str, str]], list[str], int]:
    photos = names(draw(st.integers(1, 9)))
    some = st.lists(st.sampled_from(photos), unique=True, max_size=5)
    at = st.sampled_from([(ROOM, "corner"), (LINES, "tape"), (WEEP, "before"), (WEEP, "after")])
    attached = [(step, photo, role) for photo in draw(some) for step, role in [draw(at)]]
    return photos, attached, draw(some), draw(st.integers(0, 2**16))


def _seen(photos: Sequence[str], seed: int) -> dict[str, Seen]:
    chance = random.Random(seed)
    kinds = (taken, no_time, wrong,
             lambda minute, camera: taken(minute, camera, 14))  # fmt: skip
    known = [(photo, chance.choice(kinds)(chance.uniform(0, 500), chance.choice("AB")))
             for photo in photos if chance.random() < 0.9]  # fmt: skip
    return dict(known)


@given(jobs())
def test_whatever_is_known_used_comes_last_withheld_never_and_each_has_its_reason(
    drawn: tuple[list[str], list[tuple[str, str, str]], list[str], int],
) -> None:
    photos, attached, withheld, seed = drawn
    board, seen = job(photos, attached, withheld=withheld), _seen(photos, seed)
    offering = Offering(board, seen, NOW)
    used = board.used_photos()
    for step in (ROOM, LINES, WEEP, "soil-dry/crawl-space"):
        offers = offering.photos(step)
        assert sorted(o.photo for o in offers) == sorted(set(photos) - set(withheld))
        assert [o.photo in used for o in offers] == sorted(o.photo in used for o in offers)
        assert all(because(offering, offer) for offer in offers)
        assert sum(offer.chance for offer in offers) <= 1 + 1e-9
        assert all(not offer.clear for offer in offers if offer.used)
    for photo in photos:
        offers = offering.steps(photo)
        assert {o.step for o in offers}.isdisjoint(used.get(photo, ()))
        assert all(because(offering, offer) for offer in offers)


@given(jobs(), st.randoms(use_true_random=False))
def test_the_order_in_which_things_are_listed_decides_nothing(
    drawn: tuple[list[str], list[tuple[str, str, str]], list[str], int], chance: random.Random
) -> None:
    photos, attached, withheld, seed = drawn
    seen = _seen(photos, seed)
    mixed = list(photos)
    chance.shuffle(mixed)
    shuffled = {photo: seen[photo] for photo in mixed if photo in seen}
    one = Offering(job(photos, attached, withheld=withheld), seen, NOW)
    other = Offering(job(mixed, attached, withheld=withheld), shuffled, NOW)
    for step in (ROOM, LINES, WEEP):
        assert one.photos(step) == other.photos(step)
    for photo in photos:
        assert one.steps(photo) == other.steps(photo)


def test_a_word_hours_away_is_no_reason() -> None:
    photos = names(2)
    seen = {photos[0]: taken(0), photos[1]: taken(300)}
    near = told(job(photos, words={ROOM: 5}), seen, ROOM)
    assert "5 min before the word" in near
    far = Offering(job(photos, words={ROOM: 5}), seen, NOW)
    (late,) = [offer for offer in far.photos(ROOM) if offer.photo == photos[1]]
    assert "the word" not in because(far, late)


def test_of_two_cameras_what_may_have_come_after_the_last_photo_goes_first() -> None:
    """A photo of the other camera, of just after or of long before the one attached last."""
    seen = {"M2_0001": taken(10), "TB_0001": taken(2, "TB"), "TB_0002": taken(12, "TB")}
    board = job(list(seen), [(ROOM, "M2_0001", "corner")])
    assert offered(board, seen, ROOM)[0] == "TB_0002"


def test_anchors_of_the_same_role_are_taken_where_there_are_any() -> None:
    wide, tape = Anchor("p1", "corner", 0), Anchor("p2", "tape", 1)
    assert of_role([wide, tape], "tape") == [tape]
    assert of_role([wide, tape], "after") == [wide, tape]


@pytest.mark.parametrize(("place", "ahead"), [(0, -3), (1, -2), (2, -1), (4, 0), (5, 1), (6, 1)])
def test_how_many_free_photos_lie_between(place: int, ahead: int) -> None:
    """Photos 3 and 5 are at steps, the others at none."""
    free = (0, 1, 2, 3, 3, 4, 4, 5)
    row = Row("M2", tuple("abcdefg"), {}, (None,) * 7, False, free)
    assert Anchor("d", "corner", 3).ahead(row, place) == ahead


def test_the_order_that_the_photos_follow_weighs_most() -> None:
    """Photos taken room by room, or step by step through all rooms."""
    photos = names(4)
    seen = {photo: taken(3.0 * n) for n, photo in enumerate(photos)}
    rooms = [(ROOM, photos[0]), (LINES, photos[1]), ("room-as-found/r1", photos[2]),
             ("lines-as-found/r1", photos[3])]  # fmt: skip
    board = job(photos, [(step, photo, "corner") for step, photo in rooms])
    bounds = Offering(board, seen, NOW).fitting.bounds
    places = [[order.index(step) for step, _ in rooms] for order in bounds.orders]
    follows = [
        weight for weight, at in zip(bounds.weights, places, strict=True) if at == sorted(at)
    ]
    others = [weight for weight, at in zip(bounds.weights, places, strict=True) if at != sorted(at)]
    assert follows
    assert others
    assert min(follows) > max(others)
