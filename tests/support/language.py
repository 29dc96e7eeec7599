"""What a small file of the rule language comes to: its faults, or its advice and its steps."""

from __future__ import annotations

from pathlib import Path

from siltline.rules.advice import advice
from siltline.rules.faults import Faulty
from siltline.rules.files import checklist_from, house_from
from siltline.rules.lay import lay

FOLDER = Path(__file__).parents[1] / "rules" / "language"
NAME = "one.yaml"


def outcome(text: str) -> list[str]:
    """Return what a phase file comes to, a line each.

    `fault 5:11: ...` where it is refused; else `advice 5:11: ...`, and a line for each step over
    the house that lies beside the files, with its state at the start (`todo` or `measure`).
    """
    texts = {"checklist.yaml": f"checklist: c\ntitle: C\nphases: [{NAME}]\n", NAME: text}
    try:
        checklist = checklist_from(texts)
    except Faulty as faulty:
        return [f"fault {fault.line}:{fault.column}: {fault.text}" for fault in faulty.faults]
    told = [f"advice {one.line}:{one.column}: {one.text}" for one in advice(checklist)]
    house = (FOLDER / "house.yaml").read_text(encoding="utf-8")
    plan = lay(checklist, *house_from(house, "house.yaml"))
    return told + [f"{'measure' if step.asks else 'todo'} {step.id}" for step in plan.steps]
