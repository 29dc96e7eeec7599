"""Draws many photos with several workers, in the order in which they come."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack

from siltline.photos.reader import DRAWING_PATIENCE_S, Facts, PhotoReader

WORKERS = 2  # a laptop of two cores; each holds one photo, so memory stays known
ALONE_ABOVE = 60_000_000  # pixels: a picture that large is decoded while no other is

Drawn = tuple[str, Facts, bytes]  # photo, what its pixels show, a small JPEG


def sketches(
    photos: Iterable[tuple[str, int]], data: Callable[[str], bytes], workers: int = WORKERS
) -> Iterator[Drawn]:
    """Yield each photo drawn; ({}, b"") where it cannot be.

    Stop asking, and nothing more is drawn: the workers end with the generator.

    Args:
        photos: each photo and how many pixels it has.
        data: gives the bytes of a photo; asked when its turn comes, so few are held at once.
        workers: how many processes.
    """
    with ExitStack() as stack:
        idle = deque(
            stack.enter_context(PhotoReader(DRAWING_PATIENCE_S, gentle=True))
            for _ in range(workers)
        )
        busy: deque[tuple[str, PhotoReader]] = deque()

        def oldest() -> Drawn:
            photo, reader = busy.popleft()
            looks, small = reader.finish_sketch()
            idle.append(reader)
            return photo, looks, small

        for photo, pixels in photos:
            while busy and (not idle or pixels > ALONE_ABOVE):
                yield oldest()
            idle[0].begin_sketch(data(photo))
            busy.append((photo, idle.popleft()))
            while busy and pixels > ALONE_ABOVE:
                yield oldest()
        while busy:
            yield oldest()
