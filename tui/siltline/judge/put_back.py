"""What was taken out of the house and is not back yet."""

from __future__ import annotations

from siltline.judge.board import Board, StepView


def still_to_put_back(board: Board) -> list[tuple[StepView, StepView | None]]:
    """Return what is out and not back: the step that took it, the step that returns it.

    Where laptops differ on whether it was taken out, it may be out.
    """
    returning = {v.step.puts_back: v for v in board.steps.values() if v.step.puts_back}
    found: list[tuple[StepView, StepView | None]] = []
    for view in board.steps.values():
        words = board.ledger.words.get(view.step.id, ())
        nothing = {way.id for way in view.step.ways if way.nothing_there}
        out = any(word.kind == "ticked" and word.way not in nothing for word in words)
        taken = view.step.takes_out and out
        back = returning.get(view.step.id)
        if taken and not (back and back.state in ("done", "documented")):
            found.append((view, back))
    return found
