"""Writes the report: its data as JSON, its pictures made smaller, the page by typst."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from siltline import __version__, times
from siltline.claim.contents import Contents
from siltline.claim.originals import FOLDER
from siltline.job import Job
from siltline.judge import StepView
from siltline.judge.findings import is_clear, still_to_put_back
from siltline.judge.proofs import gap, wanted
from siltline.photos.reader import PhotoReader
from siltline.rules.files import house_from
from siltline.rules.house import House
from siltline.sentences import say
from siltline.text import visible
from siltline.units import both, quantity

TEMPLATE = Path(__file__).with_name("report.typ")
# The words of the page itself, which the template sets.
WORDS = (
    "facts", "what", "room", "waterline", "silt-line", "wet-reading", "status", "state", "count",
    "house-title", "still-out-title", "finding", "remedy", "handovers", "why", "source", "proof",
    "readings", "note", "unused-title", "page", "undrawable",
)  # fmt: skip
STATE_ORDER = ("documented", "done", "todo", "blocked", "measure", "not-done", "not-needed")
PIXELS = 900  # on half a page: 220 dots an inch
PATIENCE_S = 60.0  # to draw one photo: some progressive JPEGs take ten seconds

Data = dict[str, Any]


def _shown(value: Any) -> Any:
    """Make every string of some data visible, however deep."""
    match value:
        case str():
            return visible(value, lines=True)
        case dict():
            return {key: _shown(inner) for key, inner in value.items()}
        case list():
            return [_shown(inner) for inner in value]
    return value


def _house(job: Job) -> House:
    """Return the house sheet that the plan was laid on, with what was measured since."""
    sheet = next(e.body["sheet"] for e in job.record.events if "sheet" in e.body)
    house, _ = house_from(sheet["text"], sheet["name"], job.board.ledger.measured.items())
    return house


def _height(text: str | None) -> str:
    return both(quantity(text, "length")) if text else say("report.unknown")


def _about(job: Job) -> Data:
    house, loss = _house(job), _house(job).loss
    unknown = say("report.unknown")
    facts = {
        "address": house.address,
        "owner": house.owner,
        "year-built": house.year_built,
        "foundation": house.foundation,
        "time-zone": house.time_zone,
        "source": loss.source,
        "category": loss.category,
        "water-in": loss.water_in,
        "water-out": loss.water_out,
    }
    return {
        "name": house.house,
        "note": house.note or "",
        "facts": [[say(f"report.fact.{k}"), v or unknown] for k, v in facts.items()],
        "rooms": [
            [room.name, *map(_height, (room.waterline, room.silt_line, room.highest_wet_reading))]
            for room in house.rooms.values()
        ],
    }


def _caption(contents: Contents, sha256: str) -> str:
    photo = contents.photos[sha256]
    stamp = photo["stamp"] or say("photos.no-stamp")
    return say(
        "report.caption",
        file=contents.names[sha256],
        stamp=stamp,
        zone=say(f"report.zone.{photo['zone_from'] or 'none'}", zone=photo["zone"] or ""),
        clock=say(f"report.clock.{photo['clock']}"),
        photo=sha256[:12],
    )


def _role_order(view: StepView, role: str) -> int:
    """Return a number that puts photos in the order of the rule: before, then after."""
    roles = [proof.name for proof in view.step.proof if proof.kind == "photo"]
    return roles.index(role) if role in roles else len(roles)


def _pictures(view: StepView, contents: Contents, drawn: set[str]) -> list[Data]:
    return [
        {
            "file": f"{a.photo}.jpg" if a.photo in drawn else "",
            "alt": say("report.alt", role=a.role, place=view.step.place_name),
            "role": a.role,
            "caption": _caption(contents, a.photo),
        }
        for a in sorted(view.attached, key=lambda a: _role_order(view, a.role))
        if a.photo in contents.photos
    ]


def _word(job: Job, view: StepView) -> str:
    word = view.word
    if word is None:
        return ""
    licence = say("report.licence", licence=word.licence) if word.licence else ""
    return say(f"report.word.{word.kind}", by=word.by, licence=licence, at=job.shown(word.at))


def _step(job: Job, view: StepView, contents: Contents, drawn: set[str]) -> Data:
    step, word = view.step, view.word
    lacks = view.missing if view.state in ("todo", "done") else ()
    return {
        "id": step.id,
        "place": step.place_name,
        "do": step.do,
        "state": view.state,
        "state-words": say(f"state.{view.state}"),
        "reason": step.reason,
        "facts": [f"{b.fact}: {b.value} ({b.where})" for b in step.facts],
        "rule": say("report.rule", rule=step.rule, file=step.file, line=step.line),
        "sources": list(step.sources),
        "proof": [wanted(p) for p in step.proof],
        "word": _word(job, view),
        "readings": list(word.values) if word else [],
        "note": word.note if word else "",
        "missing": [gap(held) for held in lacks],
        "remarks": [*([view.measure] if view.state == "measure" else []), *view.remarks],
        "pictures": _pictures(view, contents, drawn),
    }


def _phases(job: Job, contents: Contents, drawn: set[str]) -> list[Data]:
    views = job.board.steps.values()
    return [
        {
            "title": phase.title,
            "steps": [_step(job, v, contents, drawn) for v in views if v.step.phase == phase.id],
        }
        for phase in job.board.plan.phases
        if any(v.step.phase == phase.id for v in views)
    ]


def _handovers(job: Job) -> list[str]:
    ledger = job.board.ledger
    handed = [
        say("report.handed", giver=h.by, taker=h.to, at=job.shown(h.at)) for h in ledger.handoffs
    ]
    return handed + [say("signoff.done", by=s.by, at=job.shown(s.at)) for s in ledger.signoffs]


def _data(job: Job, contents: Contents, drawn: set[str]) -> Data:
    states = Counter(view.state for view in job.board.steps.values())
    weights = {
        weight: [[f.text, f.remedy] for f in contents.findings if f.weight == weight]
        for weight in ("must-fix", "decide", "note")
    }
    unused = job.board.unused_photos()
    return {
        "title": say("report.title"),
        "house": _about(job),
        "written": say(
            "report.written",
            at=job.shown(times.written(job.clock())),
            job=job.record.path.name,
            version=__version__,
        ),
        "limits": say("report.limits"),
        "clear": say("report.clear" if is_clear(contents.findings) else "report.not-clear"),
        "states": [[say(f"state.{s}"), str(n)] for s in STATE_ORDER if (n := states[s])],
        "findings": [[say(f"weight.{w}"), rows] for w, rows in weights.items() if rows],
        "out": [
            say("report.still-out", thing=out.step.takes_out, place=out.step.place_name)
            for out, _ in still_to_put_back(job.board)
        ],
        "phases": _phases(job, contents, drawn),
        "unused": [_caption(contents, photo) for photo in unused],
        "handovers": _handovers(job),
        "words": {key: say(f"report.{key}") for key in WORDS},
    }


def _draw(contents: Contents, originals: Path, folder: Path) -> set[str]:
    """Draw every photo that a step uses into `folder`; return which could be drawn."""
    drawn = set()
    with PhotoReader(PATIENCE_S) as reader:
        for sha256, photo in contents.photos.items():
            if not photo["steps"]:
                continue
            picture = reader.draw((originals / contents.names[sha256]).read_bytes(), PIXELS)
            if picture:
                (folder / f"{sha256}.jpg").write_bytes(picture)
                drawn.add(sha256)
    return drawn


def write_report(job: Job, contents: Contents, path: Path) -> None:
    """Write the report as a PDF; the originals must lie beside it already.

    The same record gives the same bytes, but for the day and minute of its writing.
    """
    import typst  # noqa: PLC0415 - 10 ms, and only for a claim

    with tempfile.TemporaryDirectory(prefix="siltline-") as name:
        folder = Path(name)
        drawn = _draw(contents, path.parent / FOLDER, folder)
        data = json.dumps(_shown(_data(job, contents, drawn)))
        (folder / "data.json").write_text(data, encoding="utf-8")
        shutil.copy(TEMPLATE, folder / "report.typ")
        written = int(job.clock().timestamp())
        typst.compile(folder / "report.typ", output=path, root=folder, timestamp=written)
