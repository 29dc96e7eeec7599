"""The top command: finds a subcommand's module only when it is called, and sets exit codes."""

from __future__ import annotations

import importlib
import sys
from typing import Any

import click

from siltline import __version__
from siltline.cli.exits import run
from siltline.sentences import say

# command -> module that holds it; each module imports what it needs when it runs
COMMANDS = {
    "tour": "tour",
    "practice": "starting",
    "recent": "starting",
    "begin": "jobs",
    "open": "jobs",
    "steps": "jobs",
    "why": "jobs",
    "add": "photos",
    "photos": "photos",
    "clock": "clock",
    "photo": "photo",
    "note": "photo",
    "attach": "photos",
    "detach": "photos",
    "offer": "offering",
    "tick": "acts",
    "untick": "acts",
    "wet": "wet",
    "reckon": "reckon",
    "leave-out": "acts",
    "undo": "acts",
    "review": "closing",
    "handoff": "closing",
    "signoff": "closing",
    "claim": "closing",
    "verify": "record",
    "merge": "record",
    "withhold": "record",
    "second-copy": "record",
    "doctor": "record",
    "house": "laying",
    "contents": "people",
    "people": "people",
    "product": "people",
    "lay": "laying",
    "section": "section",
    "deadlines": "deadlines",
    "point": "points",
    "meter": "points",
    "read": "readings",
    "air": "readings",
    "drying": "points",
    "rules": "rules",
    "calc": "calc",
}


class LateGroup(click.Group):
    """A group that lists its commands without importing them."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Return the commands in the order of a job."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Import the module of a command and return the command."""
        module = COMMANDS.get(cmd_name)
        if module is None:
            return None
        found = importlib.import_module(f"siltline.cli.{module}")
        command: click.Command = getattr(found, cmd_name.replace("-", "_") + "_command")
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Name the command that was likely meant."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from siltline.rules.faults import meant  # noqa: PLC0415

            ctx.fail(say("cli.no-command", command=args[0]) + meant(args[0], list(COMMANDS)))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """List the commands from the catalogue."""
        with formatter.section(say("cli.commands")):
            formatter.write_dl([(name, say(f"help.{name}")) for name in COMMANDS])


@click.group(
    cls=LateGroup,
    help=say("cli.help"),
    epilog=say("cli.exits"),
    context_settings={"help_option_names": ["-h", "--help"]},
    invoke_without_command=True,
)
@click.version_option(__version__, prog_name="siltline")
@click.pass_context
def root(ctx: click.Context) -> None:
    """Show the start where a person sits at a terminal and names no command; else the help."""
    if ctx.invoked_subcommand is not None:
        return
    from siltline.cli.starting import in_terminal, start  # noqa: PLC0415

    if not in_terminal():
        raise click.exceptions.NoArgsIsHelpError(ctx)
    start()


def main(args: list[str] | None = None, **_: Any) -> None:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # a console of an old code page shows `?`, not a fault
            reconfigure(errors="replace")
    sys.exit(run(root, args))
