"""Garbage is collected in pauses, and what is in use is gone through in no other collection."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Iterator

import pytest

from siltline.screens.tidying import EVERY_S, PAUSE_S, Tidying


class Ring:
    """Something that only a collection frees."""

    def __init__(self) -> None:
        self.me = self


class Seconds:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def seconds() -> Iterator[Seconds]:
    before = gc.get_threshold()
    gc.disable()
    yield Seconds()
    gc.set_threshold(*before)
    gc.unfreeze()
    gc.enable()


def test_it_waits_for_a_pause_and_collects_what_was_set_aside_too(seconds: Seconds) -> None:
    ring = Ring()
    gone = weakref.ref(ring)
    tidying = Tidying(seconds)
    tidying.begin()
    assert gc.isenabled()
    assert gc.get_freeze_count() > 0
    del ring
    gc.collect()
    assert gone() is not None  # it is set aside
    seconds.now = EVERY_S
    tidying.key()
    seconds.now += PAUSE_S - 0.1
    assert not tidying.look()
    assert gone() is not None
    seconds.now += 0.1
    assert tidying.look()
    assert gone() is None
    assert gc.get_freeze_count() > 0
    seconds.now += EVERY_S - 0.1
    assert not tidying.look()  # once a minute is enough


def test_where_garbage_is_collected_as_usual_it_leaves_that_alone(seconds: Seconds) -> None:
    gc.enable()
    tidying = Tidying(seconds)
    tidying.begin()
    seconds.now = 2 * EVERY_S
    assert not tidying.look()
    assert gc.get_freeze_count() == 0
