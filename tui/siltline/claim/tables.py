"""The tables of a claim, for spreadsheets: no cell of them is ever a formula."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

from siltline import times
from siltline.claim.contents import Contents
from siltline.judge import StepView
from siltline.judge.measured import points_of, readings_at
from siltline.judge.proofs import gap
from siltline.text import cell

STEP_COLUMNS = (
    "step", "phase", "place", "act", "state", "word", "by", "licence", "at", "readings",
    "reason_left_out", "note", "photos", "missing", "remarks", "why", "source",
)  # fmt: skip
PHOTO_COLUMNS = (
    "file", "name_on_camera", "sha256", "bytes", "camera", "stamp", "zone", "zone_from", "clock",
    "error_s", "doubt_s", "earliest_utc", "latest_utc", "lat", "lon", "place", "distance_m",
    "added", "withheld", "lost", "steps", "caption",
)  # fmt: skip
READING_COLUMNS = (
    "at", "what", "point", "place", "reads", "where", "typed", "counts_as", "wood_temp", "air_temp",
    "air_humidity", "surface_temp", "meter", "by",
)  # fmt: skip
_MADE = (
    "file",
    "name_on_camera",
    "withheld",
    "lost",
    "steps",
    "caption",
)  # not as `describe` has them


def _write(path: Path, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    # A byte-order mark makes the common spreadsheet read UTF-8; RFC 4180 wants CR LF.
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(columns)
        for row in rows:
            writer.writerow([cell("" if value is None else str(value)) for value in row])


def _at(contents: Contents, at: str) -> str:
    """Return a time of the record in the zone of the site, with its offset; "" for none.

    What one laptop wrote in its own zone and what another wrote can so be sorted and compared.
    """
    return times.written(times.read(at).astimezone(contents.job.zone)) if at else ""


def _step_row(view: StepView, titles: dict[str, str], contents: Contents) -> list[object]:
    step, word = view.step, view.word
    lacks = view.missing if view.state in ("todo", "done") else ()
    return [
        step.id,
        titles.get(step.phase, step.phase),
        step.place_name,
        step.do,
        view.state,
        word.kind if word else "",
        word.by if word else "",
        word.licence if word else "",
        _at(contents, word.at) if word else "",
        "; ".join(word.values) if word else "",
        word.because if word else "",
        word.note if word else "",
        "; ".join(f"{a.role}: {contents.names.get(a.photo, a.photo)}" for a in view.attached),
        " ".join(gap(held) for held in lacks),
        " ".join(view.remarks),
        step.reason,
        "; ".join(step.sources),
    ]


def write_steps(contents: Contents, path: Path) -> None:
    """Write every step with its state, people, times, readings and photos."""
    board = contents.job.board
    titles = {phase.id: phase.title for phase in board.plan.phases}
    rows = (_step_row(view, titles, contents) for view in board.steps.values())
    _write(path, STEP_COLUMNS, rows)


def write_photos(contents: Contents, path: Path) -> None:
    """Write every photo with what its file says and where it is used."""
    keys = [name for name in PHOTO_COLUMNS if name not in _MADE]
    rows = (
        [
            "" if photo["withheld"] or photo["lost"] else contents.names[sha256],
            photo["name"],
            *(_at(contents, photo[key]) if key == "added" else photo[key] for key in keys),
            photo["withheld"]["because"] if photo["withheld"] else "",
            photo["lost"],
            "; ".join(photo["steps"]),
            " ".join(photo["captions"]),
        ]
        for sha256, photo in contents.photos.items()
    )
    _write(path, PHOTO_COLUMNS, rows)


def write_readings(contents: Contents, path: Path) -> None:
    """Write every reading of a point and of the air, by time; nothing where none was read."""
    ledger = contents.job.board.ledger
    rows: list[list[object]] = [
        [
            _at(contents, one.at), "reference" if point.reference else "point", point.name,
            point.place, point.reads, point.where, one.typed, one.value, one.temp, "", "", "",
            one.meter, one.by,
        ]
        for point in points_of(ledger)
        for one in readings_at(ledger, point.name)
    ]  # fmt: skip
    rows += [
        [
            _at(contents, a.at), f"air {a.air}", "", a.place, "", "", "", "", "", a.temp, a.rh,
            a.surface, a.meter, a.by,
        ]
        for a in ledger.airs
    ]  # fmt: skip
    if rows:
        _write(path, READING_COLUMNS, sorted(rows, key=lambda row: times.read(str(row[0]))))
