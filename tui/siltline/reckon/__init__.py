"""The computations of the trade from typed amounts to words: for commands, steps and the claim.

Knows no job: what is given comes in as texts or SI numbers, what comes out are flat facts in SI,
and lines of words. `science` reckons.
"""

from siltline.reckon.table import RECKONINGS, Asked, Reckoning, read_all, works_out
from siltline.reckon.words import Line, Told

__all__ = ["RECKONINGS", "Asked", "Line", "Reckoning", "Told", "read_all", "works_out"]
