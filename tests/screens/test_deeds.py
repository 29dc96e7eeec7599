"""Whatever a key does has its command, its words and its line in the help."""

from __future__ import annotations

from siltline.cli.root import COMMANDS
from siltline.screens.deeds import DEEDS
from siltline.screens.doing import DeskScreen

# What is a matter of the screen alone.
NO_COMMAND = {"help", "name", "quit"}
# Commands that act on files, on the laptop or without a job; every other one has a key.
NO_KEY = {
    "tour", "practice", "recent", "begin", "open", "verify", "merge", "withhold", "second-copy",
    "doctor", "lay", "rules", "calc",
}  # fmt: skip


def test_every_key_has_its_command_and_every_act_its_key() -> None:
    assert {deed.action for deed in DEEDS if not deed.command} == NO_COMMAND
    assert {deed.command for deed in DEEDS if deed.command} <= COMMANDS.keys()
    assert COMMANDS.keys() - {deed.command for deed in DEEDS} == NO_KEY


def test_no_key_does_two_things_and_every_deed_can_be_done() -> None:
    keys = [deed.key for deed in DEEDS]
    assert len(keys) == len(set(keys))
    for deed in DEEDS:
        assert hasattr(DeskScreen, f"action_{deed.action}"), deed.action
