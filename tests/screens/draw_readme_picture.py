"""Draws `sample_job/screen.svg`, the picture in the README, from the tour.

python tests/screens/draw_readme_picture.py
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
PICTURE = ROOT / "sample_job" / "screen.svg"
STEP = "prove-dead/circuit-4"


def normal(svg: str) -> str:
    """Return an SVG without the number that differs from run to run."""
    return re.sub(r"terminal-\d+", "terminal", svg)


async def draw(job_path: Path) -> str:
    """Return the screen on the tour's job as SVG."""
    from siltline.job import open_job  # noqa: PLC0415
    from siltline.screens.app import SiltlineApp  # noqa: PLC0415

    job = open_job(job_path)
    app = SiltlineApp(job)
    async with app.run_test(size=(96, 28)) as pilot:
        await pilot.pause()
        app.screen.stand_on(STEP)  # type: ignore[attr-defined]
        await pilot.pause()
        await pilot.pause()
        svg = app.export_screenshot(title="siltline")
    job.close()
    return normal(svg)


def main() -> None:
    """Draw the picture, as a terminal shows it that can draw all."""
    os.environ.update(
        {"TERM": "xterm-256color", "COLORTERM": "truecolor", "SILTLINE_THEME": "night"}
    )
    for name in ("NO_COLOR", "SILTLINE_ASCII", "SILTLINE_LANGUAGE"):
        os.environ.pop(name, None)
    sys.path.insert(0, str(ROOT / "tui"))
    from siltline.tour import JOB_NAME, lay_out  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "tour"
        list(lay_out(folder))
        PICTURE.write_text(asyncio.run(draw(folder / JOB_NAME)), encoding="utf-8")


if __name__ == "__main__":
    main()
