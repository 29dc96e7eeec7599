"""verify, merge, withhold, second-copy, doctor."""

from __future__ import annotations

from pathlib import Path

import click

from siltline.cli.exits import BROKEN, FINDINGS, FINE, tell
from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option, wrapped
from siltline.sentences import say

PATH = click.Path(path_type=Path)


@click.command("verify", help=say("help.verify"))
@JOB
@click.option("--number", metavar="N", help=say("opt.number"))
@click.option("--salvage", "out", type=PATH, metavar="OUT", help=say("opt.salvage"))
@click.option("--by", metavar="NAME", help=say("opt.by"))
@json_option
def verify_command(
    job: Path, number: str | None, out: Path | None, by: str | None, as_json: bool
) -> int:
    """Tell whether the job file is whole."""
    if out is not None:
        return _salvage(job, out, by, as_json)
    from siltline.cli.progress import Line  # noqa: PLC0415
    from siltline.job.verifying import verify  # noqa: PLC0415

    with Line() as line:
        verdict = verify(job, number, line)
    found = list(verdict.faults)
    if as_json:
        more = {"number": verdict.number, "lost": list(verdict.lost)}
        told = {name: value for name, value in more.items() if value}
        emit_json({"whole": not found, "faults": found, **told})
    else:
        emit(found)
        emit(verdict.lost)
        emit([say("verify.faults", n=len(found)) if found else say("verify.whole")])
        emit([say(f"number.{verdict.number}")] if verdict.number else [])
    if found or verdict.number in ("other", "unknown"):
        return BROKEN
    return FINDINGS if verdict.lost else FINE


def _salvage(job: Path, out: Path, by: str | None, as_json: bool) -> int:
    from siltline.job.salvaging import salvage  # noqa: PLC0415

    report = salvage(job, out, by=by)
    counts = {"events": report.events, "photos": report.photos}
    if as_json:
        emit_json({"job": str(report.path), **counts, "lost": list(report.lost)})
    else:
        emit([say("salvage.done", job=report.path, **counts)])
        emit(say("salvage.lost", what=lost) for lost in report.lost)
        emit([say("salvage.count", n=len(report.lost))])
    return FINDINGS if report.lost else FINE


@click.command("merge", help=say("help.merge"))
@click.argument("jobs", nargs=-1, required=True, type=PATH, metavar="A B...")
@click.option("--into", required=True, type=PATH, metavar="C", help=say("opt.merge-into"))
@json_option
def merge_command(jobs: tuple[Path, ...], into: Path, as_json: bool) -> None:
    """Put the work of several laptops together."""
    from siltline.job.close_out import review  # noqa: PLC0415
    from siltline.job.merge import merge  # noqa: PLC0415

    job, joined = merge(jobs, into)
    try:
        facts = {"job": str(job.record.path), "events": joined.events, "photos": joined.photos}
        if not as_json:
            emit([say("merge.done", **facts)])  # it stands, even if the drive fails from here on
        decide = [finding for finding in review(job) if finding.weight == "decide"]
        if as_json:
            told = [{"code": f.code, "step": f.step, "text": f.text} for f in decide]
            emit_json({**facts, "decide": told})
            return
        emit([say("merge.decide", n=len(decide))])
        emit(line for finding in decide for line in wrapped(finding.text))
    finally:
        job.close()


@click.command("withhold", help=say("help.withhold"))
@JOB
@click.argument("photo", metavar="PHOTO")
@click.option("--because", required=True, metavar="T", help=say("opt.withhold-because"))
@click.option("--by", required=True, metavar="NAME", help=say("opt.withhold-by"))
@json_option
def withhold_command(job: Path, photo: str, because: str, by: str, as_json: bool) -> None:
    """Erase the bytes of a photo for good."""
    from siltline.job.withholding import withhold  # noqa: PLC0415

    with opened(job) as desk:
        sha256 = withhold(desk, photo, because=because, by=by)
        if as_json:
            emit_json({"sha256": sha256, "because": because, "by": by})
        else:
            emit([say("withhold.done", photo=sha256[:12]), say("withhold.elsewhere")])
            copy = desk.copy_state
            if copy is not None:
                away = bool(copy.because)
                emit([say("withhold.copy-later" if away else "withhold.copy", path=copy.path)])


@click.command("second-copy", help=say("help.second-copy"))
@JOB
@click.argument("folder", required=False, type=PATH, metavar="[FOLDER]")
@click.option("--off", is_flag=True, help=say("opt.copy-off"))
@json_option
def second_copy_command(job: Path, folder: Path | None, off: bool, as_json: bool) -> int:
    """Keep a second copy on another drive."""
    from siltline.job.second_copy import choose  # noqa: PLC0415

    with opened(job, tell_copy=False) as desk:
        if off or folder is not None:
            choose(desk.record, None if off else folder)
        desk.follow_copy()
        state = desk.copy_state
        if as_json:
            where = {"copy": str(state.path), "behind": state.behind} if state else {"copy": None}
            emit_json({**where, "because": state.because if state else ""})
        elif state is None:
            emit([say("copy.none")])
        elif state.behind:
            tell(say("copy.behind", n=state.behind, path=state.path, because=state.because))
        elif state.because:
            tell(say("copy.unseen", path=state.path, because=state.because))
        else:
            emit([say("copy.done", path=state.path)])
    return FINDINGS if state and state.because else FINE


@click.command("doctor", help=say("help.doctor"))
@click.argument("job", required=False, type=PATH, metavar="[JOB]")
@json_option
def doctor_command(job: Path | None, as_json: bool) -> int:
    """Look at the laptop before it is relied on."""
    from siltline.job.doctor import examine  # noqa: PLC0415

    signs = examine(job)
    if as_json:
        emit_json([{"about": s.about, "verdict": s.verdict, "text": s.text} for s in signs])
    else:
        for sign in signs:
            first, *rest = wrapped(sign.text, " " * 10)
            emit([f"{say(f'doctor.verdict.{sign.verdict}'):<10}{first.strip()}", *rest])
    return FINDINGS if any(sign.verdict == "look" for sign in signs) else FINE
