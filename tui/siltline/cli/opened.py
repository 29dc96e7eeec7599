"""Opens a job for one command and closes it whatever happens."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from siltline.job import Job


@contextmanager
def opened(path: Path, *, tell_copy: bool = True) -> Iterator[Job]:
    """Open a job; the import is late, for it costs what `--help` must not.

    Args:
        path: the job file.
        tell_copy: say on stderr where the second copy fell behind in this command.
    """
    from siltline.job import open_job  # noqa: PLC0415

    job = open_job(path)
    try:
        yield job
        state = job.copy_state
        if tell_copy and state is not None and state.behind:
            from siltline.cli.exits import tell  # noqa: PLC0415
            from siltline.sentences import say  # noqa: PLC0415

            tell(say("copy.behind", n=state.behind, path=state.path, because=state.because))
    finally:
        job.close()
