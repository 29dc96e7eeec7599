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
from siltline.claim.report_house import about
from siltline.claim.report_sections import charts, sections
from siltline.claim.report_steps import phases, source
from siltline.job import Job
from siltline.job.deadlines import deadlines_of, site_zone
from siltline.job.section import reader_of
from siltline.judge import due_words
from siltline.judge.finding import is_clear
from siltline.judge.put_back import still_to_put_back
from siltline.photos.reader import PhotoReader
from siltline.progress import QUIET, Follower
from siltline.record.number import record_number
from siltline.sentences import say
from siltline.text import visible

TEMPLATE = Path(__file__).with_name("report.typ")
# The words of the page itself, which the template sets.
WORDS = (
    "facts", "what", "room", "place", "known", "waterline", "silt-line", "wet-reading", "status",
    "state", "count", "detail-title", "house-title", "sections-title", "sections-note",
    "charts-title", "charts-note", "charts-legend",
    "still-out-title", "finding", "remedy", "handovers", "why", "source", "proof",
    "deadlines-title", "deadline", "due", "counted", "never", "readings", "reckoned", "note",
    "unused-title", "page", "undrawable",
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


def _handovers(job: Job) -> list[str]:
    ledger = job.board.ledger
    handed = []
    for one in ledger.handoffs:
        told = {"giver": one.by, "taker": one.to, "at": job.shown(one.at)}
        handed.append(say("report.handed", number=record_number(one.event), **told))
    return handed + [
        say("report.signed", by=s.by, at=job.shown(s.at), number=record_number(s.event))
        for s in ledger.signoffs
    ]


def _deadlines(job: Job) -> list[list[str]]:
    """Return each deadline that has an end, and how it was counted.

    What to do about one, and what is still to be asked, is for the crew and the owner.
    """
    zone, rows = site_zone(job), []
    for one in deadlines_of(job):
        if one.due is None and one.state != "met":
            continue
        end = due_words.until(one, zone)
        met = say("due.line", line=end, rest=say("due.met")) if one.state == "met" else end
        counted = [text for text in (due_words.since(one, zone), due_words.source(one)) if text]
        rows.append([due_words.title(one), met, " ".join([*counted, *one.notes])])
    return rows


def _data(job: Job, contents: Contents, drawn: set[str]) -> Data:
    states = Counter(view.state for view in job.board.steps.values())
    weights = {
        weight: [[f.text, f.remedy] for f in contents.findings if f.weight == weight]
        for weight in ("must-fix", "decide", "note")
    }
    unused = job.board.unused_photos()
    reader = reader_of(job)
    return {
        "title": say("report.title"),
        "house": about(reader.house),
        "sections": sections(job, reader),
        "charts": charts(job),
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
        "deadlines": _deadlines(job),
        "phases": phases(job, contents, drawn),
        "unused": [
            " ".join([*contents.photos[photo]["captions"], source(contents, photo)])
            for photo in unused
        ],
        "handovers": _handovers(job),
        "words": {key: say(f"report.{key}") for key in WORDS},
    }


def _draw(contents: Contents, originals: Path, folder: Path, follow: Follower) -> set[str]:
    """Draw every photo that a step uses into `folder`; return which could be drawn."""
    drawn = set()
    with PhotoReader(PATIENCE_S) as reader:
        for done, (sha256, photo) in enumerate(contents.photos.items()):
            follow.reached("draw", done, len(contents.photos))
            if not photo["steps"] or photo["withheld"] or photo["lost"]:
                continue
            picture = reader.draw((originals / contents.names[sha256]).read_bytes(), PIXELS)
            if picture:
                (folder / f"{sha256}.jpg").write_bytes(picture)
                drawn.add(sha256)
    return drawn


def write_report(job: Job, contents: Contents, path: Path, follow: Follower = QUIET) -> None:
    """Write the report as a PDF; the originals must lie beside it already.

    The same record gives the same bytes, but for the day and minute of its writing.
    """
    import typst  # noqa: PLC0415 - 10 ms, and only for a claim

    with tempfile.TemporaryDirectory(prefix="siltline-") as name:
        folder = Path(name)
        drawn = _draw(contents, path.parent / FOLDER, folder, follow)
        data = json.dumps(_shown(_data(job, contents, drawn)))
        (folder / "data.json").write_text(data, encoding="utf-8")
        follow.reached("report", 0)
        shutil.copy(TEMPLATE, folder / "report.typ")
        written = int(job.clock().timestamp())
        typst.compile(folder / "report.typ", output=path, root=folder, timestamp=written)
