"""Days of invented crews, by a seed: what they did where, and the photos they took of it.

The truth is known here and to nobody else: of each photo the step that it documents, or none.
How crews work is made up (common practice at best), so figures on these days tell how offers
stand among themselves, and no more.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cache
from hashlib import sha256
from zoneinfo import ZoneInfo

from siltline import resources
from siltline.judge import Board, Ledger, extend, fold, judge
from siltline.judge.photo_findings import Seen
from siltline.judge.proofs import roles
from siltline.judge.walks import walks
from siltline.photos.stamps import place
from siltline.record import Event, seal
from siltline.rules import files
from siltline.rules.house import read_house
from siltline.rules.lay import lay
from siltline.rules.plan import Plan, whole_to_json
from siltline.rules.yamltext import load

SITE = ZoneInfo("America/Chicago")
START = datetime(2026, 3, 12, 8, 0, tzinfo=SITE)
DEVICE = "00000000000000cc"


@dataclass(frozen=True)
class Shot:
    """A photo: its truth, and what a program can know of it."""

    sha256: str
    name: str
    camera: str
    taken: datetime
    step: str
    role: str
    seen: Seen


@dataclass
class Record:
    """Events of a day, one upon the other, and the board after each."""

    plan: Plan
    events: list[Event] = field(default_factory=list)
    ledger: Ledger = field(default_factory=Ledger)

    def add(self, kind: str, at: datetime, body: Mapping[str, object], by: str = "Ada") -> None:
        parents = [self.events[-1].id] if self.events else []
        self.events.append(
            seal(kind, body, at=at.isoformat(timespec="milliseconds"), device=DEVICE, by=by,
                 parents=parents)
        )  # fmt: skip
        if len(self.events) == 1 or not extend(self.ledger, self.events[-1:]):
            self.ledger = fold(self.events)

    def board(self) -> Board:
        return judge(self.ledger)


def laid(plan: Plan) -> Record:
    """Return the record of a job that was just begun."""
    record = Record(plan)
    body = {"plan": whole_to_json(plan), "checklist": {}, "sheet": {}, "engine": "0"}
    record.add("laid", START, body)
    return record


@dataclass(frozen=True)
class Day:
    """A day: its plan, how the crew went, its photos, when words were given."""

    plan: Plan
    way: str
    live: bool
    shots: tuple[Shot, ...]
    said: tuple[tuple[datetime, str], ...]
    taken_in: datetime

    @property
    def evening(self) -> datetime:
        """Return when the lead sits down and puts photos to steps."""
        return self.taken_in + timedelta(hours=1)

    @property
    def seen(self) -> dict[str, Seen]:
        return {shot.sha256: shot.seen for shot in self.shots}

    def begun(self, words: Sequence[tuple[datetime, str]] = ()) -> Record:
        """Return the record with every photo taken in, and words given."""
        record = laid(self.plan)
        for shot in self.shots:
            body = {"sha256": shot.sha256, "name": shot.name, "bytes": 1}
            record.add("photo", self.taken_in, body)
        for at, step in words:
            record.add("ticked", at, {"step": step, "licence": "", "values": [], "note": ""})
        return record


def _sheet(rooms: int, parts: int) -> str:
    lines = ["house: Invented", "time-zone: America/Chicago", "foundation: crawl-space",
             "loss: {source: river}", "rooms:"]  # fmt: skip
    lines += [f"  r{n}: {{name: Room {n}, waterline: 30 in, highest-wet-reading: 40 in}}"
              for n in range(rooms)]  # fmt: skip
    lines.append("walls:")
    lines += [f"  w{n}: {{name: wall {n}, room: r{n}, outer: true, cladding: brick-veneer}}"
              for n in range(rooms)]  # fmt: skip
    lines.append("electrical:")
    lines += [f"  p{n}-{k}: {{name: outlet {k} of room {n}, kind: outlet, room: r{n}, "
              f"height: 12 in, circuit: c{n // 2}}}"
              for n in range(rooms) for k in range(parts)]  # fmt: skip
    lines.append("contents:")
    lines += [f"  a{n}: {{name: album {n}, kind: photographs, room: r{n}, wet: true}}"
              for n in range(0, rooms, 2)]  # fmt: skip
    return "\n".join([*lines, "crawl-space: {flooded: true, ground-cover: poly}", ""])


@cache
def plan_of(rooms: int, parts: int) -> Plan:
    """Return the checklist that ships, laid over a house of so many rooms and outlets in each."""
    texts = files.checklist_texts(resources.folder("checklists") / "river-flood")
    source = load(_sheet(rooms, parts), "house.yaml")
    return lay(files.checklist_from(texts), read_house(source), source)


class _Camera:
    """A camera: how it numbers its files, and how far its clock is off (None: never set)."""

    def __init__(self, name: str, prefix: str, number: int, ahead: timedelta | None) -> None:
        self.name, self.prefix, self.number, self.ahead = name, prefix, number, ahead

    def shoot(self, taken: datetime, step: str, role: str, added: datetime) -> Shot:
        name = f"{self.prefix}{self.number:04d}.JPG"
        self.number = self.number % 9999 + 1
        shown = None if self.ahead is None else taken + self.ahead
        stamp = f"{shown:%Y:%m:%d %H:%M:%S}" if shown else None
        placed = place(stamp, None, None, site=SITE, taken_in=added)
        digest = sha256(f"{self.name}{name}".encode()).hexdigest()
        return Shot(digest, name, self.name, taken, step, role, Seen(placed, self.name))


WAYS = ("plan", "place in phase", "room", "their own")
WRONG = (timedelta(hours=9), timedelta(hours=-3), timedelta(days=-400), None)


def day(seed: int) -> Day:
    """Return a day of a crew."""
    chance = random.Random(seed)
    plan = plan_of(chance.randint(3, 6), chance.randint(1, 3))
    way = chance.choice(WAYS)
    live = chance.random() < 0.5
    cameras = (
        _Camera("Right", "IMG_", chance.randint(1, 9000), timedelta(0)),
        _Camera("Wrong", "DSC_", chance.choice((120, 9985)), chance.choice(WRONG)),
    )
    order = _order(chance, way, laid(plan).board())
    steps = {step.id: step for step in plan.steps}
    shots: list[tuple[_Camera, datetime, str, str]] = []
    said: list[tuple[datetime, str]] = []
    now, camera, place_before = START, cameras[0], ""
    held: list[tuple[str, str]] = []  # after photos that come with the next step's
    for step in _walked(chance, order):
        if chance.random() < 0.12:  # no photo is taken of it
            continue
        if steps[step].place != place_before and chance.random() < 0.3:
            camera = chance.choice(cameras)
        place_before = steps[step].place
        now += timedelta(minutes=chance.uniform(2, 12))
        wanted = [(step, role) for proof in steps[step].proof for role in roles(proof)
                  for _ in range(proof.count + (chance.random() < 0.15))]  # fmt: skip
        if not wanted:
            continue
        later = [one for one in wanted if one[1] == "after"]
        if later and chance.random() < 0.25:
            wanted = [one for one in wanted if one not in later]
        else:
            later = []
        for of, role in [*wanted[:1], *held, *wanted[1:]]:
            now += timedelta(minutes=chance.uniform(8, 30) if role == "after" else 0.8)
            shots.append((camera, now, of, role))
            if chance.random() < 0.1:  # of nothing that anybody asks for
                now += timedelta(minutes=1)
                shots.append((camera, now, "", ""))
        held = later
        said.append((now + timedelta(minutes=chance.uniform(0.5, 3)), step))
    if not live:
        listed = sorted((step for _, step in said), key=lambda step: steps[step].order)
        said = [(now + timedelta(hours=1, seconds=12 * n), step) for n, step in enumerate(listed)]
    taken_in = now + timedelta(minutes=30)
    taken = [camera.shoot(at, step, role, taken_in) for camera, at, step, role in shots]
    mixed = sorted(taken, key=lambda shot: (shot.camera, shot.name))  # as a folder is taken in
    return Day(plan, way, live, tuple(mixed), tuple(said), taken_in)


def _order(chance: random.Random, way: str, board: Board) -> list[str]:
    """Return the steps as a crew goes through them; their own way knows no order of places."""
    if way in WAYS[:3]:
        return walks(board)[WAYS.index(way)]
    steps = [view.step for view in board.steps.values()]
    drawn = {place: chance.random() for place in sorted({step.place for step in steps})}
    return [s.id for s in sorted(steps, key=lambda s: (s.order[0], drawn[s.place], s.order))]


def _walked(chance: random.Random, order: Sequence[str]) -> Iterator[str]:
    """Yield steps as a crew does them: in order, but for one in ten that is put off a little."""
    waiting: list[str] = []
    for step in order:
        if chance.random() < 0.1:
            waiting.append(step)
            continue
        yield step
        if waiting and chance.random() < 0.4:
            yield waiting.pop(0)
    yield from waiting


def truth(day: Day) -> list[Shot]:
    """Return the photos that document something, in the order of taking."""
    return sorted((s for s in day.shots if s.step), key=lambda shot: shot.taken)


def attach(record: Record, shot: Shot, at: datetime) -> None:
    """Attach a photo where it belongs."""
    record.add("attached", at, {"step": shot.step, "photo": shot.sha256, "role": shot.role})
