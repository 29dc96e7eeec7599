"""How far the proof of a step is there: counted, one entry a kind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta

from msgspec import Struct, field

from siltline import times
from siltline.errors import WrongUse
from siltline.judge.contact import ROLES, Shows, clock_face
from siltline.judge.entries import Attached, Reading, Word
from siltline.judge.points import Point, PointReading
from siltline.rules.plan import Proof, Step
from siltline.sentences import say
from siltline.units import UNITS, quantity

BY_THE_LABEL = "by-the-label"
MEASURED = ("reading", "quantity", "contact-time")
MOST_POINTS = 4  # named in one sentence


class Held(Struct, frozen=True, gc=False):
    """How far one kind of proof is there: `have` of `proof.count`, and why not more."""

    proof: Proof
    have: int
    remark: str = ""

    @property
    def met(self) -> bool:
        """Tell whether this kind of proof is complete."""
        return self.have >= self.proof.count


class Shown(Struct, frozen=True):
    """What there is to show for a step: the word, its photos, its readings, its rounds."""

    word: Word | None
    attached: Sequence[Attached]
    readings: Sequence[Reading]
    rounds: Sequence[str] = ()
    ended: bool = False  # the step that ends a repeated one is done
    wet: Shows = Shows()
    zone: str = ""  # its name; the zone itself is wanted only where a time is told
    # what is read, in small letters -> the points that show it, with their readings by time
    points: Mapping[str, Sequence[tuple[Point, Sequence[PointReading]]]] = field(
        default_factory=dict
    )


def split(typed: str) -> tuple[str, str]:
    """Return the name and the amount of a value: `cut height = 24 in`, or no name at all."""
    name, equals, value = typed.partition("=")
    return (name.strip(), value.strip()) if equals else ("", typed.strip())


def within(proof: Proof, typed: str) -> str:
    """Return "" where a reading keeps its bounds, else the sentence that says which it breaks."""
    read = quantity(split(typed)[1])
    least = proof.at_least
    if proof.kind == "contact-time" and proof.name != BY_THE_LABEL:
        least = proof.name
    if proof.at_most and read.si > quantity(proof.at_most).si:
        return say("proof.too-high", value=typed, bound=proof.at_most, what=proof.name)
    if least and read.si < quantity(least).si:
        return say("proof.too-low", value=typed, bound=least, what=proof.name)
    return ""


def dimension(proof: Proof) -> str:
    """Return what a measured kind of proof measures."""
    return "time" if proof.kind == "contact-time" else UNITS[proof.unit].dimension


def answers(proof: Proof, typed: str) -> bool:
    """Tell whether a value is one of this kind of proof: by its unit, and by its name if any."""
    name, value = split(typed)
    try:
        fits = quantity(value).dimension == dimension(proof)
    except WrongUse:
        return False
    return fits and (not name or name.casefold() == proof.name.casefold())


def _run(proof: Proof, readings: Iterable[Reading | PointReading]) -> tuple[int, str]:
    """Count the readings of this proof's unit that keep its bounds, since the last that did not.

    Two that are nearer in time than the proof wants count as one.

    Returns:
        How many, and why not more, or "".
    """
    run: list[datetime] = []
    remark = ""
    for read in (read for read in readings if answers(proof, read.value)):
        at = times.read(read.at)
        remark = within(proof, read.value)
        if remark:
            run = []
        elif not run or at - run[-1] >= timedelta(hours=proof.hours_apart):
            run.append(at)
        else:
            remark = say("proof.too-soon", value=read.value, hours=proof.hours_apart)
    return len(run), remark


def holds(proof: Proof, readings: Iterable[Reading | PointReading]) -> int:
    """Return how many readings in turn, up to the newest, keep the bounds of a proof."""
    return _run(proof, readings)[0]


def _readings(proof: Proof, shown: Shown) -> Held:
    there = shown.points.get(proof.name.casefold(), ()) if proof.kind == "reading" else ()
    if there:
        return _at_points(proof, there)
    run, remark = _run(proof, shown.readings)
    have = min(run, proof.count)
    return Held(proof, have, "" if have == proof.count else remark)


def _at_points(proof: Proof, there: Sequence[tuple[Point, Sequence[PointReading]]]) -> Held:
    """Count what every point of a step shows: the wettest spot decides, not the mean."""
    runs = [min(_run(proof, read)[0], proof.count) for _, read in there]
    lack = [
        say("proof.point", name=point.name, value=read[-1].value if read else "-")
        for (point, read), run in zip(there, runs, strict=True)
        if run < proof.count
    ]
    told = ", ".join(lack[:MOST_POINTS]) + (", ..." if len(lack) > MOST_POINTS else "")
    remark = say("proof.points", n=len(lack), points=told, count=proof.count) if lack else ""
    return Held(proof, min(runs), remark)


def _photos(proof: Proof, shown: Shown) -> Held:
    return Held(proof, sum(one.role == proof.name for one in shown.attached))


def _spots(proof: Proof, shown: Shown) -> Held:
    """Count the spots that are shown in every role; photos without a spot are of one spot."""
    roles: dict[str, set[str]] = {}
    for one in shown.attached:
        roles.setdefault(one.spot, set()).add(one.role)
    return Held(proof, sum(set(proof.roles) <= there for there in roles.values()))


def _licence(proof: Proof, shown: Shown) -> Held:
    return Held(proof, int(bool(shown.word and shown.word.licence)))


def _label(proof: Proof, shown: Shown) -> Held:
    number = bool(shown.word and shown.word.registration)
    return Held(proof, int(number and any(one.role == "label" for one in shown.attached)))


def _contact(proof: Proof, shown: Shown) -> Held:
    """Count a contact time: ended whole by the clock, else two photos, else a value typed in."""
    least = 0.0 if proof.name == BY_THE_LABEL else float(quantity(proof.name).si)
    wet, roles = shown.wet, {one.role for one in shown.attached}
    if any(one.counted_s >= least for one in wet.whole):
        return Held(proof, 1)
    if not wet.early and (least or wet.longest_s) and roles.issuperset(ROLES):
        return Held(proof, 1)
    typed = _readings(proof, shown)
    if typed.met:
        return Held(proof, typed.have, say("wet.typed"))
    if wet.early:
        one = wet.early[-1]
        told = {"for": clock_face(one.counted_s), "of": one.run.minutes}
        return Held(proof, 0, say("wet.was-early", **told))
    return typed


_COUNT = {
    "photo": _photos,
    "same-spot": _spots,
    "reading": _readings,
    "quantity": _readings,
    "contact-time": _contact,
    "licence": _licence,
    "label": _label,
}


def _rounds(step: Step, shown: Shown, held: Sequence[Held]) -> Held:
    """Tell how often a repeated step was done, and when it is due again."""
    proof = Proof("repeat", step.every)
    own = [one for one in held if one.proof.kind == "reading"]
    ended = shown.ended if step.until else bool(own) and all(one.met for one in own)
    if ended or not shown.rounds:
        return Held(proof, int(ended))
    last = times.read(shown.rounds[-1])
    due = last + timedelta(seconds=float(quantity(step.every).si))
    said = say("proof.round", n=len(shown.rounds), due=times.shown(due, times.zone(shown.zone)))
    return Held(proof, 0, said)


def held(step: Step, shown: Shown) -> tuple[Held, ...]:
    """Return the proof of a step, one entry a kind; of ways, that of the way which was chosen."""
    proofs = list(step.proof)
    found: list[Held] = []
    if step.ways:
        way = step.way(shown.word.way) if shown.word else None
        names = ", ".join(one.id for one in step.ways)
        found.append(Held(Proof("way", names), int(way is not None)))
        if way is not None:
            proofs += [*way.proof, *([Proof("licence", way.who)] if way.who else [])]
    found += [_COUNT[proof.kind](proof, shown) for proof in proofs]
    if step.every:
        found.append(_rounds(step, shown, found))
    return tuple(found)
