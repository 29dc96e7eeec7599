"""The one judge: plan and words in, states, findings and hand-off out. Pure functions."""

from siltline.judge.board import Board, StepView, judge
from siltline.judge.entries import Attached, TakenPhoto, Word
from siltline.judge.ledger import Ledger, extend, fold

__all__ = [
    "Attached",
    "Board",
    "Ledger",
    "StepView",
    "TakenPhoto",
    "Word",
    "extend",
    "fold",
    "judge",
]
