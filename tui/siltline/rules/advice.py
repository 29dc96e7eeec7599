"""What checklist research advises: not wrong, but people skip or misread it.

Five to nine items before a pause, short sentences, and no bare "checked": Gawande's summaries of
the aviation practice; Degani and Wiener, Human Factors 35(2), 1993, on answers that say what was
observed (both seen in summaries).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from siltline.rules.check import by_phase, spoken_texts
from siltline.rules.checklist import Checklist, PlacedRule, plainly
from siltline.rules.faults import Fault
from siltline.sentences import say

MOST_ITEMS = 9
MOST_WORDS = 20
_SENTENCE = re.compile(r"[.!?;:]\s+|[.!?;:]$")
_CHECK = re.compile(r"\bcheck(s|ed|ing)?\b", re.IGNORECASE)
_OBSERVED = frozenset({"photo", "same-spot", "reading", "quantity", "contact-time", "label"})


def _long_lists(checklist: Checklist) -> Iterator[Fault]:
    for rules in by_phase(checklist).values():
        run = 0
        for placed in rules:
            run += 1
            if run == MOST_ITEMS + 1:
                told = say("advice.items", most=MOST_ITEMS)
                yield placed.source.fault(placed.at("step"), told)
            if placed.rule.hold_point:
                run = 0


def _long_sentences(placed: PlacedRule) -> Iterator[Fault]:
    for path, text in spoken_texts(placed):
        longest = max((len(part.split()) for part in _SENTENCE.split(text) if part), default=0)
        if longest > MOST_WORDS:
            told = say("advice.words", n=longest, most=MOST_WORDS)
            yield placed.source.fault(placed.at(*path), told)


def _bare_checks(placed: PlacedRule) -> Iterator[Fault]:
    kinds = {proof.kind for proof in placed.rule.proof}
    if _CHECK.search(plainly(placed.rule.do)) and not kinds & _OBSERVED:
        yield placed.source.fault(placed.at("do"), say("advice.check"))


def advice(checklist: Checklist) -> list[Fault]:
    """Return what is advised against, each at its line; the checklist is free of faults."""
    found = [*_long_lists(checklist)]
    for placed in checklist.rules:
        found += [*_long_sentences(placed), *_bare_checks(placed)]
    return sorted(set(found))
