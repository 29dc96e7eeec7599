"""A job with a step whose surface must stay wet, and a clock that stands until it is set."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from siltline.job import Job
from siltline.job.begin import begin
from support.wide import ONE, write_wide

STEP = "sanitise/den"


class SetClock:
    """Shows the time that it was last set to: 8:00 at Chicago on 12 March 2026 at first."""

    def __init__(self) -> None:
        self.time = datetime(2026, 3, 12, 13, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.time

    def on(self, minutes: float) -> None:
        self.time += timedelta(minutes=minutes)


def wet_job(folder: Path, clock: SetClock, contact: str = "10 min") -> Job:
    """Begin a job with a step that asks for a contact time; its label is asked for nowhere."""
    checklist, house = write_wide(folder)
    text = ONE.replace("      - {label: disinfectant}\n", "")
    text = text.replace("contact-time: 10 min", f"contact-time: {contact}")
    (checklist / "one.yaml").write_text(text, encoding="utf-8")
    path = folder / "wet.siltline"
    return begin(house, path, checklist=str(checklist), clock=clock, device="00000000000000aa")
