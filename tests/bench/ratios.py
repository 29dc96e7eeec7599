"""Medians of ours and of a floor, side by side."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

TUI = Path(__file__).parents[2] / "tui"

RUNS = 11


def told(name: str, ours: list[float], floor: list[float], target: str) -> None:
    """Print the medians of ours and of the floor, and their ratio and difference."""
    one, other = statistics.median(ours), statistics.median(floor)
    print(  # noqa: T201
        f"{name:<34} ours {one * 1000:8.1f} ms   floor {other * 1000:8.1f} ms   "
        f"ratio {one / other:5.2f}   difference {(one - other) * 1000:+7.1f} ms   target {target}"
    )


def pairs(
    ours: Callable[[], float], floor: Callable[[], float], runs: int = RUNS
) -> tuple[list[float], list[float]]:
    """Measure both in turn, after one run of each that does not count."""
    ours(), floor()
    both = [(ours(), floor()) for _ in range(runs)]
    return [a for a, _ in both], [b for _, b in both]


def process(code: str) -> float:
    """Return how long a fresh Python takes for some code."""
    env = {**os.environ, "PYTHONPATH": str(TUI), "PYTHONDONTWRITEBYTECODE": ""}
    started = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL, env=env)
    return time.perf_counter() - started
