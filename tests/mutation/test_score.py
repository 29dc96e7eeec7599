"""A sampled campaign: the score is printed and keeps its floor."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SAMPLE, SEED, FLOOR = "80", "1", "85"


@pytest.mark.full
@pytest.mark.skipif(not hasattr(os, "fork"), reason="each mutant lives in a forked process")
def test_a_sample_of_faults_is_noticed(figure: Callable[[str], None]) -> None:
    command = [sys.executable, "tests/mutation"]
    asked = ["--sample", SAMPLE, "--seed", SEED, "--floor", FLOOR]
    ran = subprocess.run(
        [*command, *asked], cwd=ROOT, capture_output=True, text=True, check=False, timeout=3600
    )
    for line in ran.stdout.splitlines():
        if line.startswith(("mutants ", "survived", "no test")):
            figure(line)
    assert ran.returncode == 0, ran.stdout[-4000:] + ran.stderr[-2000:]
