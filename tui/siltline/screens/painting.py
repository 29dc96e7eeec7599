"""Reads and draws photos for a screen: in a thread, so that keys go on working.

The thread has a job of its own on the same file, as long work has, and the worker process that
decodes. The newest wish goes first: what nobody waits for any more is not begun.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar

from siltline.job import Job, open_job
from siltline.screens.blocks import Cells

T = TypeVar("T")
NOTHING: Cells = (0, 0, b"")


class Painter:
    """What a screen asks to draw photos; it costs nothing until it is asked."""

    def __init__(self, job: Job) -> None:
        """Take the job whose photos are drawn."""
        self._job = job
        self._thread = ThreadPoolExecutor(1, "painter")
        self._in_thread: _Desk | None = None

    def _do(self, act: Callable[[_Desk], T]) -> T:
        if self._in_thread is None:
            self._in_thread = _Desk(self._job)
        return act(self._in_thread)

    async def _done(self, act: Callable[[_Desk], T]) -> T:
        return await asyncio.wrap_future(self._thread.submit(self._do, act))

    async def cells(self, photo: str, width: int, height: int) -> Cells:
        """Return a photo as pixels fitted into a width and a height; (0, 0, b"") if it cannot be.

        Raises:
            Refusal: its bytes are gone or broken, or the file is away.
        """
        return await self._done(lambda desk: desk.cells(photo, width, height))

    def pixels(self, photo: str, width: int, height: int) -> Future[Cells]:
        """Return what will hold a photo itself, not its small picture; else as `cells`."""
        return self._thread.submit(self._do, lambda desk: desk.pixels(photo, width, height))

    async def tags(self, photo: str) -> list[tuple[str, str, str]]:
        """Return all that EXIF says of a photo; errors as for `cells`."""
        return await self._done(lambda desk: desk.tags(photo))

    async def bytes_of(self, photo: str) -> bytes:
        """Return a photo as the camera wrote it; errors as for `cells`."""
        return await self._done(lambda desk: desk.job.record.photo_bytes(photo))

    def close(self) -> None:
        """Let the file and the worker go, once what is being drawn is done."""
        self._thread.submit(self._close)
        self._thread.shutdown(wait=False)

    def _close(self) -> None:
        desk, self._in_thread = self._in_thread, None
        if desk is not None:
            desk.close()


class _Desk:
    """What the thread works with."""

    def __init__(self, job: Job) -> None:
        from siltline.photos.reader import DRAWING_PATIENCE_S, PhotoReader  # noqa: PLC0415

        self.job = open_job(job.record.path, job.clock, job.device)
        self.reader = PhotoReader(DRAWING_PATIENCE_S)

    def cells(self, photo: str, width: int, height: int) -> Cells:
        from siltline.job.sketching import small  # noqa: PLC0415 - reads photos

        drawn = small(self.job, photo)
        return self.reader.cells(drawn, width, height) if drawn else NOTHING

    def pixels(self, photo: str, width: int, height: int) -> Cells:
        return self.reader.cells(self.job.record.photo_bytes(photo), width, height)

    def tags(self, photo: str) -> list[tuple[str, str, str]]:
        return self.reader.tags(self.job.record.photo_bytes(photo))

    def close(self) -> None:
        self.reader.__exit__(None, None, None)
        self.job.close()
