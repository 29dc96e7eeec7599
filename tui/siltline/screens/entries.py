"""What the lists hold: findings, photos, readings, things still out, and all text to search."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from textual.content import Content

from siltline.job import Job
from siltline.job.close_out import review
from siltline.job.one_photo import Photo, bytes_gone, camera, steps, when
from siltline.job.pictures import describe
from siltline.job.tell import word_told
from siltline.judge import StepView
from siltline.judge.drying import step_of
from siltline.judge.finding import Finding, is_clear
from siltline.judge.measured import points_of, readings_at
from siltline.judge.proofs import wanted
from siltline.judge.put_back import still_to_put_back
from siltline.screens.listing import Entry, Listed, Listing
from siltline.screens.words import plain, row
from siltline.sentences import say

_WEIGHTS = {"must-fix": "bold $error", "decide": "bold $warning", "note": "$secondary"}


WIDEST_NAME = 28  # of a photo, in a column; a longer one pushes its line


def of_findings(found: list[Finding]) -> list[Entry]:
    """Return the findings of a review, with what to do about each."""
    return [
        Entry(
            Content.assemble(plain(f"{say(f'weight.{f.weight}'):<16}", _WEIGHTS[f.weight]),
                             plain(f.text)),
            Content.assemble(plain(f"{f.step}\n" if f.step else "", "$secondary"), plain(f.text),
                             "\n", plain(f.remedy, "bold")),
            f.step or "",
            f"{f.step} {f.text} {f.remedy}".casefold(),
        )
        for f in found
    ]  # fmt: skip


def of_photos(job: Job) -> list[Entry]:
    """Return every photo, those that no step uses first, with what its file says."""
    found = sorted(describe(job), key=lambda one: bool(one["steps"]))
    wide = min(WIDEST_NAME, max((len(photo["name"]) for photo in found), default=0))
    return [_photo(job, photo, wide) for photo in found]


def _photo(job: Job, photo: Photo, wide: int) -> Entry:
    stamp = photo["stamp"] or say("photos.no-stamp")
    at_nothing = say("photos.clock" if photo["clock_shown"] else "listing.unused")
    where = ", ".join(photo["steps"]) or at_nothing
    line = Content.assemble(
        plain(f"{photo['name']:<{wide}}"), plain(f"  {stamp}  ", "$secondary"), plain(where)
    )
    told = [*(plain(caption, "bold") for caption in photo["captions"])]
    told += [plain(doubt, "$warning") for doubt in photo["notes"]]
    gone = bytes_gone(job, photo)
    told += [plain(gone)] if gone else []
    told += [plain(text) for text in (when(photo), camera(photo), steps(photo))]
    told += [plain(photo["place_told"])] if photo["lat"] is not None else []
    told += [plain(say("photo.hash", photo=photo["sha256"][:16]), "$secondary")]
    found_by = " ".join([photo["name"], photo["sha256"], *(text.plain for text in told)])
    step = photo["steps"][0] if photo["steps"] else ""
    return Entry(line, Content("\n").join(told), step, found_by.casefold(), photo["sha256"])


def of_readings(job: Job) -> list[Entry]:
    """Return every reading and every fact that was found out, the newest first."""
    ledger = job.board.ledger
    told: list[tuple[str, str, str, str]] = []
    for step, readings in ledger.readings.items():
        told += [(one.at, step, one.value, "") for one in readings]
    for point in points_of(ledger):
        step = step_of(job.board, point)
        told += [
            (one.at, step, one.value, ", ".join(filter(None, (point.name, one.meter, one.by))))
            for one in readings_at(ledger, point.name)
        ]
    for values in ledger.measured.values():
        told += [(one.at, one.step, str(one.value), f"{one.words}, {one.by}") for one in values]
    return [
        Entry(
            Content.assemble(
                plain(f"{job.shown(at):<18} ", "$secondary"), plain(f"{value:<14}", "bold"),
                plain(step or say("word.house-sheet")), plain(f"  {words}", "$secondary"),
            ),
            Content.assemble(plain(f"{value}  {words}\n"), _detail(job, step)),
            step,
            f"{value} {step} {words}".casefold(),
        )
        for at, step, value, words in sorted(told, reverse=True)
    ]  # fmt: skip


def of_things_out(job: Job) -> list[Entry]:
    """Return what was taken out and is not back, with the step that brings it back."""
    found: list[Entry] = []
    for out, back in still_to_put_back(job.board):
        step = (back or out).step
        told = say("listing.out", thing=out.step.takes_out, place=out.step.place_name)
        line = Content.assemble(plain(told), plain(f"  {step.id}", "$secondary"))
        found.append(Entry(line, _detail(job, step.id), step.id, f"{told} {step.id}".casefold()))
    return found


def _detail(job: Job, step: str) -> Content:
    view = job.board.steps.get(step)
    if view is None:
        return Content("")
    return Content.assemble(plain(view.step.do, "bold"), "\n", plain(word_told(job, view)))


def _texts(view: StepView) -> Iterator[str]:
    step, word = view.step, view.word
    yield from (step.id, step.do, step.reason, step.place_name, step.hold_point, step.measure)
    yield from (text for caution in step.cautions for text in (caution.word, caution.text))
    yield from (never.act for never in step.nevers)
    yield from (wanted(proof) for proof in step.proof)
    for way in step.ways:
        yield from (way.do, way.who, *(wanted(proof) for proof in way.proof))
    yield from step.sources
    yield from view.remarks
    if word is not None:
        yield from (word.by, word.note, word.because, word.licence, *word.values)


def of_everything(job: Job) -> list[Entry]:
    """Return all that can be searched: steps, findings, photos, readings."""
    steps = [
        Entry(
            Content.assemble(row(view), plain(f"  {view.step.do}", "$secondary")),
            _detail(job, view.step.id),
            view.step.id,
            " ".join(_texts(view)).casefold(),
        )
        for view in job.board.steps.values()
    ]
    return [*steps, *of_findings(review(job)), *of_photos(job), *of_readings(job)]


def _review(job: Job) -> Listed:
    found = review(job)
    head = say("review.clear" if is_clear(found) else "review.open", n=len(found))
    return Listed(head, of_findings(found), head)


def _photos(job: Job) -> Listed:
    found = of_photos(job)
    return Listed(say("listing.photos", n=len(found)), found)


def _readings(job: Job) -> Listed:
    found = of_readings(job)
    return Listed(say("listing.readings", n=len(found)), found, say("listing.no-readings"))


def _put_back(job: Job) -> Listed:
    found = of_things_out(job)
    return Listed(say("listing.put-back", n=len(found)), found, say("listing.nothing-out"))


def _search(job: Job) -> Listed:
    return Listed(say("search.title"), of_everything(job))


# name -> what makes the list, and whether it is searched by typing
_LISTS: dict[str, tuple[Callable[[Job], Listed], bool]] = {
    "review": (_review, False),
    "search": (_search, True),
    "photos": (_photos, True),
    "readings": (_readings, False),
    "put-back": (_put_back, False),
}


def listing(name: str, job: Job) -> Listing:
    """Return the list of that name on a job."""
    if name == "deadlines":
        from siltline.screens.due_list import DueListing  # noqa: PLC0415 - reads the sheet

        return DueListing(job)
    make, search = _LISTS[name]
    if name == "photos":
        from siltline.screens.photo_list import PhotoListing  # noqa: PLC0415 - and only here

        return PhotoListing(job, lambda: make(job))
    return Listing(lambda: make(job), search=search)
