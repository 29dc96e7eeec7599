"""The captions of a photo: what it shows, by step, place and role, with what was noted on it."""

from __future__ import annotations

from siltline.judge.board import Board, StepView
from siltline.judge.entries import Attached
from siltline.sentences import say


def notes(board: Board, photo: str) -> tuple[str, ...]:
    """Return the notes on a photo; each says whose it is where several stand side by side."""
    stand = [noted for noted in board.ledger.notes.get(photo, ()) if noted.note]
    if len(stand) == 1:
        return (say("caption.note", note=stand[0].note),)
    return tuple(say("caption.note-by", note=one.note, by=one.by) for one in stand)


def of_use(board: Board, view: StepView, used: Attached) -> str:
    """Return the caption of a photo at one step, as `Before, Kitchen: Take out the carpet`."""
    step, role = view.step, used.role.replace("-", " ")
    told = {"role": role[:1].upper() + role[1:], "place": step.place_name, "do": step.do}
    shown = say("caption.spot", spot=used.spot, **told) if used.spot else say("caption.use", **told)
    return " ".join([shown, *notes(board, used.photo)])


def captions(board: Board) -> dict[str, tuple[str, ...]]:
    """Return photo -> its captions: one a use, in the order of the steps; else its name."""
    found: dict[str, tuple[str, ...]] = {}
    for view in board.steps.values():
        for used in view.attached:
            found[used.photo] = (*found.get(used.photo, ()), of_use(board, view, used))
    for photo, taken in board.ledger.photos.items():
        if photo not in found:
            found[photo] = (" ".join([taken.name, *notes(board, photo)]),)
    return found
