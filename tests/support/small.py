"""A tiny checklist and house, for tests that make many jobs."""

from __future__ import annotations

from pathlib import Path

TOP = "checklist: tiny\ntitle: Tiny\nphases: [one.yaml]\n"
ONE = """\
phase: one
title: One
steps:
  - {step: power-off, do: Cut the power., why: W., takes-out: Power, hold-point: Nobody passes.,
     proof: [{photo: before}], caution: [{DANGER: It kills.}], source: common practice}
  - {step: walk, do: Walk., why: W., needs: [power-off], source: common practice}
  - {step: outlet, each: electrical-part, when: {wetted: true}, do: Replace it., why: W.,
     caution: [{DANGER: It kills.}], source: common practice}
  - {step: power-back, do: Switch on., why: W., puts-back: power-off, needs: [walk],
     source: common practice}
"""
HOUSE = """\
house: Tiny house
foundation: slab
loss: {source: river}
rooms: {den: {name: Den, waterline: 31 in, highest-wet-reading: 38 in}}
electrical:
  one: {name: outlet one, kind: outlet, room: den}
  two: {name: outlet two, kind: outlet, room: den}
"""


def write_tiny(folder: Path) -> tuple[Path, Path]:
    """Write the checklist and the sheet; return both paths."""
    checklist = folder / "tiny"
    checklist.mkdir(parents=True)
    (checklist / "checklist.yaml").write_text(TOP, encoding="utf-8")
    (checklist / "one.yaml").write_text(ONE, encoding="utf-8")
    house = folder / "tiny.yaml"
    house.write_text(HOUSE, encoding="utf-8")
    return checklist, house
