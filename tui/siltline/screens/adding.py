"""Takes photos in from the screen: in a thread with its own connection, stoppable, counted."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from textual.worker import get_current_worker

from siltline.errors import Refusal
from siltline.job import open_job
from siltline.job.add import Report, add_each
from siltline.screens.forms import Field, Form
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.screens.desk import DeskScreen


async def take_in(desk: DeskScreen) -> None:
    """Ask for a file or folder and take its photos in; keys go on working meanwhile."""
    form = Form(say("form.add"), [Field("path", say("form.path"))], say("form.add-hint"))
    typed = await desk.app.push_screen_wait(form)
    if typed is None:
        return
    worker = desk.run_worker(lambda: _work(desk, typed["path"]), thread=True, exit_on_error=False)
    try:
        report = await worker.wait()
    except Exception as fault:  # noqa: BLE001 - the worker wraps whatever it met
        cause = fault.__cause__ or getattr(fault, "error", fault)
        told = str(cause) if isinstance(cause, Refusal) else say("desk.add-failed", fault=cause)
        desk.notify(told, markup=False, severity="error", timeout=10)
        return
    desk.job.refresh()
    counts = {kind: len(report.of(kind)) for kind in ("taken", "already", "refused")}
    desk.changed(say("add.summary", **counts))
    for outcome in report.of("refused")[:3]:
        told = say("add.refused", name=outcome.path.name, because=outcome.because)
        desk.notify(told, markup=False, severity="warning", timeout=8)


def _work(desk: DeskScreen, typed: str) -> Report:
    path = Path(typed.strip().strip('"')).expanduser()  # a dropped file comes in quotes
    report = Report()
    mine = get_current_worker()
    job = open_job(desk.job.record.path, desk.job.clock, desk.job.device)
    try:
        for outcome in add_each(job, [path], by=desk.person or None):
            report.outcomes.append(outcome)
            if mine.is_cancelled:
                break
    finally:
        job.close()
    return report
