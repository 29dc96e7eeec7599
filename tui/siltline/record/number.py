"""The record number: what two people read to each other to know that they hold one record.

It names the event of a hand-off or a sign-off, whose hash fixes everything that it was written
upon. Eight groups of four digits: the last 30 decimal digits of the hash, and two check digits
by ISO 7064 MOD 97-10 (as bank account numbers have), so that a digit heard wrong, or two
exchanged, is noticed on the telephone and not in court.
"""

from __future__ import annotations

import re

from siltline.errors import WrongUse
from siltline.sentences import say

_DIGITS = 30  # 99 bits: nobody makes a second record of the same number
_GROUP = 4
_BETWEEN = re.compile(r"[\s.\-\u2010-\u2015\u2212]")  # blanks, dots, and every kind of dash
_WHOLE = re.compile(r"[0-9]{32}")


def _check(digits: str) -> str:
    return f"{98 - int(digits + '00') % 97:02d}"


def record_number(event_id: str) -> str:
    """Return the number of an event, in groups: `4071 2298 ...`.

    Args:
        event_id: 64 hex digits.
    """
    digits = f"{int(event_id, 16) % 10**_DIGITS:0{_DIGITS}d}"
    whole = digits + _check(digits)
    return " ".join(whole[i : i + _GROUP] for i in range(0, len(whole), _GROUP))


def read_number(typed: str) -> str:
    """Return a number as `record_number` writes it, from what a person typed or heard.

    Raises:
        WrongUse: not 32 digits, or its check digits do not fit: misread or misheard.
    """
    digits = _BETWEEN.sub("", typed)
    if not _WHOLE.fullmatch(digits):
        raise WrongUse(say("number.length", n=len(digits)))
    if int(digits) % 97 != 1:
        raise WrongUse(say("number.check"))
    return " ".join(digits[i : i + _GROUP] for i in range(0, len(digits), _GROUP))
