"""The tools that hold the code to its rules: linter, formatter, types, the arrows."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOOLS = {
    "lint": ["-m", "ruff", "check", "."],
    "format": ["-m", "ruff", "format", "--check", "tui", "run.py", "sample_job", "tests"],
    "types": ["-m", "mypy"],
    "arrows": ["-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"],
}


@pytest.mark.parametrize("tool", TOOLS)
def test_the_code_keeps_its_rules(tool: str) -> None:
    ran = subprocess.run(
        [sys.executable, *TOOLS[tool]], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
