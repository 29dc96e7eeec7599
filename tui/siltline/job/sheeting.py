"""The house sheet of a job as text that a person edits, and what an edited text changes."""

from __future__ import annotations

from typing import Any

from siltline.errors import WrongUse
from siltline.job.desk import Job
from siltline.job.laying import read_settings, sheet_of
from siltline.rules.sheet.sections import NEW, sections, text_at, value_at
from siltline.rules.sheet.writing import faults_of, put
from siltline.rules.yamltext import load
from siltline.sentences import say

__all__ = [
    "NEW",
    "changed",
    "faults_of",
    "put",
    "rebased",
    "sections",
    "sheet_text",
    "text_at",
    "value_at",
]

Path = tuple[str, ...]


def sheet_text(job: Job) -> str:
    """Return the text of the sheet of a job, with what was found out and corrected put in."""
    return put(sheet_of(job)["text"], job.board.ledger.facts())


def changed(before: str, after: str) -> list[str]:
    """Return what an edited sheet says otherwise, as `job.laying.correct` takes it.

    Raises:
        Faulty: one of the texts is no YAML.
        WrongUse: something was put where the sheet has no such thing to correct.
    """
    old, new = load(before, "house.yaml").data, load(after, "house.yaml").data
    if not isinstance(new, dict):
        raise WrongUse(say("sheet.empty"))
    return list(_differing(old, new, ()))


def rebased(before: str, after: str, upon: str) -> str:
    """Return what was edited, upon a sheet that somebody else corrected meanwhile.

    Args:
        before: the text that was edited.
        after: what it was edited to.
        upon: the text as it is now.

    Returns:
        `after` where nothing else changed, or where what changed cannot be told from it.
    """
    if before == upon or not before.strip():
        return after
    try:
        facts, _ = read_settings(changed(before, after))
        return put(upon, facts)
    except WrongUse:
        return after


def _differing(old: Any, new: Any, path: Path) -> Any:
    if old == new:
        return
    if isinstance(new, dict) and (isinstance(old, dict) or new):
        there = old if isinstance(old, dict) else {}
        for key in [*new, *(key for key in there if key not in new)]:
            yield from _differing(there.get(key), new.get(key), (*path, str(key)))
    elif isinstance(old, dict) and new is None:
        for key in old:  # each fact that is not known any more
            yield from _differing(old[key], None, (*path, str(key)))
    else:
        yield f"{'.'.join(path)}={_typed(new, path)}"


def _typed(value: Any, path: Path) -> str:
    """Return a value as a person types it."""
    if isinstance(value, dict):  # `{}`: it is there, and no more is known
        return say("fact.yes")
    nested: Any = value
    for key in reversed(path):
        nested = {key: nested}
    return text_at(nested, path)
