"""The one place that decides exit codes, and the last that sees a fault."""

from __future__ import annotations

import os
import sys

import click

from siltline.config import command
from siltline.errors import Broken, NotNow, Refusal, Unreadable, WrongUse
from siltline.sentences import say
from siltline.text import visible

NAME = "siltline"
FINE, FINDINGS, WRONG_USE, UNREADABLE, BROKEN = range(5)
STOPPED = 130  # as shells have it for Ctrl+C
_CODES: dict[type[Refusal], int] = {
    WrongUse: WRONG_USE,
    NotNow: FINDINGS,
    Unreadable: UNREADABLE,
    Broken: BROKEN,
}


def code_of(fault: Refusal) -> int:
    """Return the exit code of a refusal."""
    return next(code for kind, code in _CODES.items() if isinstance(fault, kind))


def tell(text: str) -> None:
    """Say something on stderr, made visible."""
    click.echo(visible(text, lines=True), err=True)


def _note_down(fault: BaseException) -> str:
    """Keep the details of a fault of ours where a person can send them; return where."""
    import traceback  # noqa: PLC0415

    from siltline.config import settings_folder  # noqa: PLC0415

    path = settings_folder() / "last-fault.txt"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("".join(traceback.format_exception(fault)), encoding="utf-8")
    except OSError:
        return say("cli.nowhere")
    return str(path)


def _usage(fault: click.UsageError) -> int:
    tell(fault.format_message())
    if fault.ctx is not None:
        called, _, rest = fault.ctx.command_path.partition(" ")
        tell(
            say("cli.see-help", command=f"{command() if called == NAME else called} {rest}".strip())
        )
    return WRONG_USE


def _reader_gone() -> int:
    """Keep Python from complaining at exit that whoever read our output has gone."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return FINE


def _after(fault: BaseException) -> int:
    """Say a fault in one sentence and return its exit code."""
    match fault:
        case click.exceptions.Exit():
            return fault.exit_code
        case click.UsageError():
            return _usage(fault)
        case click.Abort() | KeyboardInterrupt():
            tell(say("cli.stopped"))
            return STOPPED
        case Refusal():
            tell(str(fault))
            return code_of(fault)
        case BrokenPipeError():
            return _reader_gone()
    tell(say("cli.our-fault", where=_note_down(fault)))
    return UNREADABLE


def run(command: click.Command, args: list[str] | None) -> int:
    """Run a command and return its exit code; every fault becomes a sentence."""
    try:
        # Expanding * on Windows would change names with brackets in them.
        result = command.main(
            args, prog_name=NAME, standalone_mode=False, windows_expand_args=False
        )
    except (Exception, KeyboardInterrupt) as fault:  # noqa: BLE001 - ours must not look like theirs
        return _after(fault)
    return result if isinstance(result, int) else FINE
