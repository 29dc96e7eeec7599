"""Runs a campaign by hand: `python -m mutation --sample 400 --seed 1` inside `tests/`."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path


def tell(line: str) -> None:
    """Print a line at once, also into a pipe."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> int:
    """Run what was asked for; return 0 where the score reaches the floor."""
    parser = argparse.ArgumentParser(prog="mutation", description=__doc__)
    parser.add_argument("--sample", type=int, default=400, help="how many mutants; 0 for all")
    parser.add_argument("--seed", default="1", help="which ones")
    parser.add_argument("--only", default="*", help="of which files: 'judge/*'")
    parser.add_argument("--key", action="append", default=[], help="this one")
    parser.add_argument("--floor", type=float, default=0.0, help="the least score, percent")
    asked = parser.parse_args()
    root = Path(__file__).parents[2]
    os.chdir(root)
    sys.path[:0] = [str(root / "tests"), str(root / "tui")]
    from mutation.campaign import Asked, run  # noqa: PLC0415 - needs the paths above

    score = run(Asked(asked.sample, asked.seed, asked.only, asked.key, tell))
    for line in score.lines():
        tell(line)
    return 0 if score.percent >= asked.floor else 1


if __name__ == "__main__":
    sys.exit(main())
