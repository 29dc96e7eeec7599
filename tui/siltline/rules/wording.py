"""A rule's sentences at one place, in each language that the rule speaks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from siltline.rules.checklist import PlacedRule
from siltline.rules.plan import Caution, Never, Proof, Way
from siltline.rules.rule import BASE, COMMON_PRACTICE, ProofRule, Rule, SourceRule
from siltline.sentences import say

Spoken = Mapping[str, str]


def _all_spoken(rule: Rule) -> Iterator[Spoken]:
    yield from (rule.do, rule.why)
    for one in (rule.measure, rule.hold_point, rule.takes_out):
        if one is not None:
            yield one
    for caution in rule.caution:
        yield caution.told[1]
    for never in rule.never:
        yield from (never.act, never.because)
    for way in rule.ways or ():
        yield way.do


def languages(rule: Rule) -> list[str]:
    """Return the languages besides the base that a rule speaks, at least in part."""
    found = {language for spoken in _all_spoken(rule) for language in spoken}
    return sorted(found - {BASE})


def sentences(rule: Rule, names: Mapping[str, str], language: str, asked: bool) -> dict[str, Any]:
    """Return the fields of a step that are sentences, in one language, else in the base.

    Args:
        rule: what is said.
        names: what the placeholders stand for.
        language: in which language.
        asked: whether the step asks for a fact, so that what comes before it is said.
    """

    def told(spoken: Spoken | None) -> str:
        return (spoken.get(language) or spoken[BASE]).format_map(names) if spoken else ""

    return {
        "do": told(rule.do),
        "reason": told(rule.why),
        "measure_after": told(rule.measure) if asked else "",
        "hold_point": told(rule.hold_point),
        "cautions": tuple(
            Caution(word, told(text)) for word, text in (c.told for c in rule.caution)
        ),
        "nevers": tuple(Never(told(n.act), told(n.because)) for n in rule.never),
        "ways": tuple(
            Way(
                w.way,
                told(w.do),
                w.who or "",
                tuple(map(proof, w.proof)),
                nothing_there=w.nothing_there,
                draws_in=w.draws_in or "",
            )
            for w in rule.ways or ()
        ),
        "takes_out": told(rule.takes_out),
    }


def proof(rule: ProofRule) -> Proof:
    """Return a kind of proof as the plan holds it."""
    names = (rule.photo, rule.reading, rule.quantity, rule.licence, rule.label, rule.contact_time)
    roles = tuple(rule.same_spot or ())
    return Proof(
        rule.kind,
        next((name for name in names if name), ", ".join(roles)),
        int(rule.count),
        rule.unit or "",
        rule.at_most or "",
        rule.at_least or "",
        int(rule.hours_apart),
        roles,
    )


def source(told: SourceRule) -> str:
    """Return a source in words."""
    if told.title == COMMON_PRACTICE:
        return say("source.common-practice")
    title = ", ".join(part for part in (told.title, told.edition, told.section) if part)
    if told.says:
        title = say("source.says", title=title, says=told.says)
    return say(f"source.{told.seen}", title=title)


def sources(placed: PlacedRule) -> tuple[str, ...]:
    """Return the sources of a rule in words."""
    return tuple(map(source, placed.rule.source))
