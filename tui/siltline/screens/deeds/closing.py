"""What concerns the whole house: its facts, hand-off, sign-off, claim."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import shorten, wrap
from typing import TYPE_CHECKING

from siltline.record.number import record_number
from siltline.screens.field import Field, Typed
from siltline.screens.telling import TellScreen
from siltline.screens.working import WorkingDesk
from siltline.sentences import say
from siltline.text import visible

if TYPE_CHECKING:
    from siltline.job.laying import Corrected

MOST_TOLD = 12
# Lines of the form that are no facts and no steps: frame, both fields, keys, how many steps.
OTHER_LINES, LEAST_LINES = 14, 4
WIDEST_FORM, FRAME = 76, 5  # as asking.tcss has them, with a scroll bar


async def hand_over(desk: WorkingDesk) -> None:
    """Hand the job to the next crew, and show the number that fixes the record."""
    from siltline.job.close_out import hand_off  # noqa: PLC0415
    from siltline.job.deadlines import briefly  # noqa: PLC0415

    number: list[str] = []
    due: list[str] = []

    def hand(typed: Typed) -> None:
        event, _ = hand_off(desk.job, giver=typed["giver"], taker=typed["taker"])
        number.append(record_number(event.id))
        due.extend(briefly(desk.job))

    fields = [Field("giver", say("form.giver"), desk.person), Field("taker", say("form.taker"))]
    typed = await desk.ask(say("form.hand-off"), fields, act=hand, name="hand-off")
    if typed is not None:
        told = [say("desk.handed", **typed), say("number.is", number=number[0])]
        listed = ["\n".join([say("handoff.deadlines"), *due])] if due else []
        desk.app.push_screen(TellScreen([*told, say("number.why"), *listed]))


async def correct_house(desk: WorkingDesk) -> None:
    """Correct a fact of the house; what that changes is shown before it is taken."""
    from siltline.job.laying import correct  # noqa: PLC0415

    seen: list[Corrected] = []

    def look(typed: Typed) -> None:
        seen[:] = [correct(desk.job, [typed["value"]])]

    field = Field("value", say("form.fact-of-house"))
    hint = say("form.house-hint")
    typed = await desk.ask(say("form.house"), [field], hint, act=look, name="house")
    if typed is None:
        return
    await take_facts(desk, [typed["value"]], seen[0])


async def take_facts(desk: WorkingDesk, settings: Sequence[str], seen: Corrected) -> bool:
    """Show what facts change in the plan, and record them where the person says so.

    Args:
        desk: where it is shown.
        settings: `path=value`, as `correct` takes them.
        seen: what they change, as it was looked at.

    Returns:
        Whether they were taken.
    """
    from siltline.job.laying import correct  # noqa: PLC0415

    def take(named: Typed) -> None:
        correct(desk.job, settings, by=named["by"], note=named["note"], take=True)
        desk.know(named["by"])

    fields = [
        Field("by", say("form.by"), desk.person),
        Field("note", say("form.note"), needed=False),
    ]
    told, hint = _in_sight(desk, seen)
    taken = await desk.ask(told, fields, hint, act=take)
    if taken:
        desk.changed(say("lay.taken"))
    return bool(taken)


def _in_sight(desk: WorkingDesk, seen: Corrected) -> tuple[str, str]:
    """Return title and hint of that form: the facts, and steps as far as there is room."""
    width = min(WIDEST_FORM, desk.size.width * 9 // 10) - FRAME
    facts = [line for fact in seen.facts for line in wrap(visible(str(fact)), width)]
    steps = [shorten(str(change), width, placeholder=" ...") for change in seen.changes]
    room = max(LEAST_LINES, desk.size.height - OTHER_LINES - len(facts))
    hint = "\n".join([*steps[:room], say("form.house-more", n=len(steps))])
    return "\n".join([say("form.house-take"), *facts]), hint


async def sign_end(desk: WorkingDesk) -> None:
    """Sign the end of the work, and show the number that fixes the record."""
    from siltline.job.close_out import ensure_fixed, review, sign_off  # noqa: PLC0415
    from siltline.job.said import person  # noqa: PLC0415

    def ready(typed: Typed) -> None:
        desk.ensure_may_work()
        person(typed["by"])
        ensure_fixed(review(desk.job))  # before the whole file is hashed for nothing
        desk.know(typed["by"])

    fields = [Field("by", say("form.by"), desk.person)]
    typed = await desk.ask(say("form.sign-off"), fields, say("form.sign-off-hint"), act=ready)
    if typed is None:
        return
    event = await desk.work_on(lambda job, follow: sign_off(job, by=typed["by"], follow=follow))
    if event is not None:
        number = say("number.is", number=record_number(event.id))
        await _tell(desk, [say("desk.signed"), number, say("number.why")])


async def verify_file(desk: WorkingDesk) -> None:
    """Hash the whole file and say whether it is whole; keys go on working meanwhile."""
    from siltline.job.verifying import verify  # noqa: PLC0415 - hashing

    if not desk.may_work():
        return
    path = desk.job.record.path
    verdict = await desk.work_on(lambda _, follow: verify(path, follow=follow))
    if verdict is None:
        return
    found = verdict.faults
    head = say("verify.faults", n=len(found)) if found else say("verify.whole")
    await _tell(desk, [head, *found[:MOST_TOLD], *verdict.lost[:MOST_TOLD]])


async def _tell(desk: WorkingDesk, sentences: Sequence[str]) -> None:
    """Show what must be read, once whatever is being typed on top is done."""
    await desk.on_top.wait()
    desk.app.push_screen(TellScreen(sentences))


async def write_for_insurer(desk: WorkingDesk) -> None:
    """Write the folder for the insurer; keys go on working meanwhile."""
    from siltline.claim.folder import write_claim  # noqa: PLC0415 - the report wants 0.2 s

    def ready(_: Typed) -> None:
        desk.ensure_may_work()

    field = Field("path", say("form.claim-folder"), f"{desk.job.record.path.stem}-claim")
    typed = await desk.ask(say("form.claim"), [field], say("form.claim-hint"), act=ready)
    if typed is None:
        return
    folder = desk.job.record.path.parent / typed["path"].strip()
    written = await desk.work_on(lambda job, follow: write_claim(job, folder, follow))
    if written is not None:
        desk.changed(say("claim.done", folder=folder, n=len(written)))
