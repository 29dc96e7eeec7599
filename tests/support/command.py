"""Runs commands in this process and keeps what they print."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

import pytest

from siltline.cli.exits import run
from siltline.cli.root import root


@dataclass(frozen=True)
class Ran:
    """A command that ran: its exit code and what it printed."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


class Shell:
    """Calls commands as a shell would."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, *args: object) -> Ran:
        self.capsys.readouterr()
        code = run(root, [str(arg) for arg in args])
        told = self.capsys.readouterr()
        return Ran(code, told.out, told.err)
