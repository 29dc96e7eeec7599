"""calc: the computations of the trade, without a job. Each module holds what belongs together."""

from __future__ import annotations

import click

from siltline.cli.calc_air import air_command
from siltline.cli.calc_equipment import equipment_command
from siltline.cli.calc_fan import crawl_command, outside_command
from siltline.cli.calc_mix import bleach_command, distance_command
from siltline.cli.calc_naming import naming
from siltline.cli.calc_wood import drying_command, wood_command
from siltline.sentences import say


@click.group("calc", help=say("help.calc"))
def calc_command() -> None:
    """Hold the computations."""


for _command in (
    air_command,
    outside_command,
    crawl_command,
    equipment_command,
    wood_command,
    drying_command,
    bleach_command,
    distance_command,
):
    calc_command.add_command(naming(_command))
