"""The registers: who is at work with which trade and licence, which products, which meters."""

from __future__ import annotations

from siltline.job.people import add_person, add_product, people, products
from siltline.screens.field import Field, Typed
from siltline.screens.working import WorkingDesk
from siltline.sentences import say

MOST_LISTED = 6  # as many as fit above the fields at 24 lines


async def ask_name(desk: WorkingDesk) -> None:
    """Ask who is at the keyboard."""
    fields = [Field("by", say("form.by"), desk.person)]
    await desk.ask(say("form.name"), fields, act=lambda typed: desk.know(typed["by"]))


async def register_person(desk: WorkingDesk) -> None:
    """Put somebody into the register; those who are in it stand above."""

    def add(typed: Typed) -> None:
        add_person(
            desk.job, typed["name"], trade=typed["trade"], licence=typed["licence"],
            by=desk.person,
        )  # fmt: skip

    found = people(desk.job)
    listed = [say("people.line", **_person(one)) for one in found[-MOST_LISTED:]]
    names = dict.fromkeys(one.name for one in found)
    trades = dict.fromkeys([*_trades(desk), *(one.trade for one in found)])
    fields = [
        Field("name", say("people.name"), offers=tuple(names)),
        Field("trade", say("form.trade"), offers=tuple(trades)),
        Field("licence", say("form.person-licence"), needed=False),
    ]
    hint = "\n".join(listed) or say("people.empty")
    typed = await desk.ask(say("form.people"), fields, hint, act=add, name="people")
    if typed is not None:
        desk.changed(say("people.added", name=typed["name"]))


async def register_product(desk: WorkingDesk) -> None:
    """Put a product into the register, with the number and the photo of its label."""
    from siltline.job.said import registration_number  # noqa: PLC0415

    def add(typed: Typed) -> None:
        add_product(
            desk.job, typed["name"], registration=typed["registration"],
            photo=typed["photo"], by=desk.person,
        )  # fmt: skip

    ledger = desk.job.board.ledger
    listed = [
        say("product.line", name=one.name, registration=one.registration,
            photo=ledger.photos[one.photo].name if one.photo in ledger.photos else "")
        for one in products(desk.job)[-MOST_LISTED:]
    ]  # fmt: skip
    unused = tuple(ledger.photos[photo].name for photo in desk.job.board.unused_photos())
    fields = [
        Field("name", say("form.product-name")),
        Field("registration", say("form.product-number"), reads=registration_number),
        Field("photo", say("form.product-photo"), needed=False, offers=unused),
    ]
    hint = "\n".join(listed) or say("product.empty")
    typed = await desk.ask(say("form.product"), fields, hint, act=add, name="product")
    if typed is not None:
        desk.changed(say("people.added", name=typed["name"]))


async def register_meter(desk: WorkingDesk) -> None:
    """Put a meter into the register, or say more of one; those that are there stand above."""
    from siltline.job.points import add_meter, meter_told  # noqa: PLC0415
    from siltline.judge.measured import meters_of  # noqa: PLC0415
    from siltline.screens.measuring import is_yes, meter_fields  # noqa: PLC0415

    def add(typed: Typed) -> None:
        told = {key: typed[key] for key in ("tolerance", "resolution", "checked")}
        if typed["corrects"].strip():
            told["corrects"] = "yes" if is_yes(typed["corrects"]) else "no"
        add_meter(desk.job, typed["name"], by=desk.person, **told)

    found = meters_of(desk.job.board.ledger)
    listed = [say("meter.line", **meter_told(one)) for one in found[-MOST_LISTED:]]
    hint = "\n".join(listed) or say("meter.empty")
    fields = meter_fields(desk.job)
    typed = await desk.ask(say("form.meters"), fields, hint, act=add, name="meter")
    if typed is not None:
        desk.changed(say("people.added", name=typed["name"].strip()))


def _trades(desk: WorkingDesk) -> list[str]:
    """Return the trades whose licence the steps of this job ask for."""
    proofs = [proof for view in desk.job.board.steps.values() for proof in view.step.proof]
    named = [proof.name for proof in proofs if proof.kind == "licence"]
    return list(dict.fromkeys(trade for name in named for trade in name.split(" or ")))


def _person(one: object) -> dict[str, str]:
    return {key: getattr(one, key) for key in ("name", "trade", "licence")}
