"""What is imported when: opening a job reads no YAML, and help imports next to nothing."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from siltline.job import Job

TUI = str(Path(__file__).parents[2] / "tui")


def loaded(code: str) -> set[str]:
    """Return the modules that are loaded after some code ran in a fresh Python."""
    start = f"import sys, json; sys.path.insert(0, {TUI!r})"
    script = f"{start}\n{code}\nprint(json.dumps(list(sys.modules)))"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return set(json.loads(ran.stdout.splitlines()[-1]))


def test_opening_a_job_imports_neither_the_yaml_reader_nor_pydantic_nor_textual(job: Job) -> None:
    job.close()
    path = str(job.record.path)
    found = loaded(
        f"from pathlib import Path; from siltline.job import open_job; open_job(Path({path!r}))"
    )
    for heavy in ("ruamel.yaml", "pydantic", "textual", "PIL", "exifread", "sqlite_utils", "typst"):
        assert heavy not in found


def test_the_screen_on_a_job_imports_neither_the_yaml_reader_nor_pydantic() -> None:
    found = loaded("import siltline.screens.app")
    assert "textual" in found
    for heavy in ("ruamel.yaml", "pydantic", "PIL", "exifread", "sqlite_utils", "typst"):
        assert heavy not in found


def test_what_shows_a_photo_in_pixels_neither_decodes_nor_encodes_it() -> None:
    found = loaded("import siltline.screens.photo, siltline.screens.pixels")
    for elsewhere in ("PIL", "pi_heif", "chafa"):  # each has a process of its own
        assert elsewhere not in found


@pytest.mark.parametrize(
    "heavy",
    ["sqlite3", "textual", "siltline.job", "siltline.record", "siltline.science", "zoneinfo"],
)
def test_help_imports_next_to_nothing(heavy: str) -> None:
    found = loaded(
        "from siltline.cli.exits import run; from siltline.cli.root import root; run(root, ['-h'])"
    )
    assert heavy not in found


def test_the_computations_need_no_array_library_and_no_job() -> None:
    found = loaded("import siltline.science.forecast, siltline.science.chart, siltline.cli.calc")
    for heavy in ("numpy", "scipy", "sqlite3", "textual", "siltline.job", "ruamel.yaml"):
        assert heavy not in found
