"""What was taken out of the house and is not back yet."""

from __future__ import annotations

from siltline.judge.board import Board, StepView
from siltline.judge.entries import Word
from siltline.rules.plan import Step


def _took_out(step: Step, word: Word) -> bool:
    """Tell whether a word on a step that takes something out says that something was there."""
    way = step.way(word.way)
    return word.kind == "ticked" and not (way is not None and way.nothing_there)


def still_to_put_back(board: Board) -> list[tuple[StepView, StepView | None]]:
    """Return what is out and not back: the step that took it, the step that returns it.

    Where laptops differ on whether it was taken out, it may be out.
    """
    returning = {v.step.puts_back: v for v in board.steps.values() if v.step.puts_back}
    found: list[tuple[StepView, StepView | None]] = []
    for view in board.steps.values():
        if not view.step.takes_out:
            continue
        words = board.ledger.words.get(view.step.id, ())
        back = returning.get(view.step.id)
        is_back = back is not None and back.state in ("done", "documented")
        if not is_back and any(_took_out(view.step, word) for word in words):
            found.append((view, back))
    return found
