"""What makes two entries of a register the same one."""

from __future__ import annotations

from siltline.judge.register import key_of


def test_entries_are_the_same_however_they_are_typed() -> None:
    assert key_of("Ada  Invented ", "Electrician") == key_of("ada invented", "ELECTRICIAN")
    assert key_of("Ada", "electrician") == ("ada", "electrician")
    assert key_of("Ada", "electrician") != key_of("Ada", "carpenter")
