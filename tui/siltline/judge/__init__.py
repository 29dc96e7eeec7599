"""The one judge: plan and words in, states, findings and hand-off out. Pure functions."""

from siltline.judge.board import Board, StepView, judge
from siltline.judge.finding import Finding
from siltline.judge.findings import findings
from siltline.judge.ledger import Attached, Ledger, TakenPhoto, Word, extend, fold

__all__ = [
    "Attached",
    "Board",
    "Finding",
    "Ledger",
    "StepView",
    "TakenPhoto",
    "Word",
    "extend",
    "findings",
    "fold",
    "judge",
]
