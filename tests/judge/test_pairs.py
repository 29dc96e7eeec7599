"""Which photos belong side by side, and which of those at two steps look alike."""

from __future__ import annotations

from datetime import UTC, datetime

from msgspec.structs import replace

from siltline.judge.entries import Attached, TakenPhoto
from siltline.judge.pairing import pairs_of, pairs_with
from siltline.judge.photo_findings import Seen, of_photos
from siltline.photos.stamps import Placed
from siltline.rules.plan import Proof
from support.boards import board, step

NOW = datetime(2026, 3, 12, tzinfo=UTC)
SPOTS = (Proof("same-spot", "", roles=("wet", "stripped", "dry")),)


def at(photo: str, role: str, spot: str = "") -> Attached:
    return Attached(photo, role, "e", "t", spot)


def test_a_before_and_an_after_of_one_spot_are_a_pair_the_earlier_first() -> None:
    found = board([step("a")], attached={"a/house": [
        at("p2", "after", "N"), at("p1", "before", "N"), at("p3", "after", "S"), at("p4", "during"),
    ]})  # fmt: skip
    (pair,) = pairs_of(found.steps["a/house"])
    assert pair.photos == ("p1", "p2")
    assert [one.photos for one in pairs_with(found, "p4")] == [("p1", "p2")]
    assert not pairs_with(found, "p9")


def test_roles_of_one_spot_pair_each_with_the_next_and_own_pairs_come_first() -> None:
    found = board([step("a", proof=SPOTS)], attached={"a/house": [
        at("p1", "wet"), at("p2", "stripped"), at("p3", "dry"),
    ]})  # fmt: skip
    assert [pair.photos for pair in pairs_of(found.steps["a/house"])] == [
        ("p1", "p2"), ("p2", "p3"),
    ]  # fmt: skip
    assert pairs_with(found, "p3")[0].photos == ("p2", "p3")


def alike(*uses: tuple[str, str, str], likeness: str = "f" * 16) -> list[str]:
    """The steps of each pair of photos that is said to look alike."""
    attached: dict[str, list[Attached]] = {}
    for name, photo, role in uses:
        attached.setdefault(f"{name}/house", []).append(at(photo, role))
    found = board([step("a"), step("b")], attached=attached)
    ledger = replace(found.ledger, photos={
        photo: TakenPhoto(photo, f"{photo}.JPG", 1, "t", None) for _, photo, _ in uses
    })  # fmt: skip
    seen = {
        photo: Seen(Placed("unset", None, None, None, NOW), "M2", likeness=likeness)
        for _, photo, _ in uses
    }
    told = of_photos(replace(found, ledger=ledger), seen)
    return [one.text for one in told if one.code == "photo-alike"]


def test_photos_that_look_alike_are_told_at_two_steps_and_in_one_role_of_a_step() -> None:
    (told,) = alike(("a", "p1", "before"), ("b", "p2", "before"))
    assert "p1.JPG" in told
    assert "p2.JPG" in told
    assert "a/house, b/house" in told
    assert alike(("a", "p1", "before"), ("a", "p2", "before"))


def test_a_before_and_an_after_of_one_wall_may_look_alike() -> None:
    assert not alike(("a", "p1", "before"), ("a", "p2", "after"))
