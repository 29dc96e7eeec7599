"""Opens a job for one command and closes it whatever happens."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from siltline.job import Job


@contextmanager
def opened(path: Path) -> Iterator[Job]:
    """Open a job; the import is late, for it costs what `--help` must not."""
    from siltline.job import open_job  # noqa: PLC0415

    job = open_job(path)
    try:
        yield job
    finally:
        job.close()
