"""A checklist that uses every word of the rule language, and a house for it. Invented."""

from __future__ import annotations

from pathlib import Path

TOP = """\
checklist: wide
title: {en: Wide, es: Amplia}
uses: [names.yaml]
phases: [one.yaml]
"""
NAMES = """\
shared: Names
conditions:
  old: {house.year-built: {below: 1978}}
cautions:
  live: [{DANGER: A live part kills.}]
"""
ONE = """\
phase: one
title: {en: One, es: Uno}
steps:
  - step: carpet
    each: room
    work: tear-out
    when: {wetted: true}
    do: {en: "Take out the carpet of {place}.", es: "Saque la alfombra de {place}."}
    why: It is foul.
    proof:
      - {same-spot: [before, after], count: 2}
      - {quantity: area, unit: ft2}
      - {quantity: cut height, unit: in}
      - {quantity: length, unit: ft}
    takes-out: Carpet
    caution: [{CAUTION: Wear gloves.}]
    never: [{act: Do not vacuum it., because: The exhaust spreads it.}]
    source: common practice
  - step: carpet-back
    each: room
    do: Lay carpet again in {place}.
    why: It was there.
    puts-back: carpet
    may-stay-out: [owner, official]
    source: common practice
  - step: cable
    each: electrical-part
    when: {wetted: true}
    do: See to the cable of {place}.
    why: It was wet.
    hold-point: Nobody closes the wall before it.
    ways:
      - {way: replace, do: Replace it.}
      - {way: test, do: Test it., who: electrician, proof: [{photo: meter}]}
    caution: [{as: live}]
    override: {who: electrician, because: They differ.}
    source:
      - {title: A list, seen: read, says: replace}
      - {title: A county, seen: read, says: test}
  - step: close
    each: electrical-part
    do: Close the wall at {place}.
    why: It was open.
    needs: [cable]
    caution: [{as: live}]
    source: common practice
  - step: sanitise
    each: room
    work: chemical
    when: {wetted: true}
    do: Sanitise {place}.
    why: It is foul.
    proof:
      - {label: disinfectant}
      - {contact-time: 10 min}
    caution: [{WARNING: Never mix it.}]
    source: common practice
  - step: read
    each: room
    when: {wetted: true}
    do: Read the wood of {place}.
    why: Dry is a number.
    repeat: {every: 24 h}
    proof: [{reading: wood, unit: "%", at-most: 15 %}]
    source: common practice
  - step: pump
    do: Watch the pump.
    why: It stops.
    repeat: {every: 12 h, until: done-pumping}
    source: common practice
  - step: done-pumping
    do: Take the pump out.
    why: The water is gone.
    needs: [pump]
    source: common practice
  - step: lead
    when: {is: old}
    do: Ask for a lead survey.
    why: Paint of that age can hold it.
    source: common practice
"""
HOUSE = """\
house: Wide house
year-built: 1964
time-zone: America/Chicago
loss: {source: river}
rooms:
  den: {name: Den, waterline: 31 in, highest-wet-reading: 38 in}
  loft: {name: Loft}
electrical:
  low: {name: low outlet, kind: outlet, room: den, height: 14 in, circuit: 4}
"""


def write_wide(folder: Path) -> tuple[Path, Path]:
    """Write the checklist and the sheet; return both paths."""
    checklist = folder / "wide"
    checklist.mkdir(parents=True)
    for name, text in (("checklist.yaml", TOP), ("names.yaml", NAMES), ("one.yaml", ONE)):
        (checklist / name).write_text(text, encoding="utf-8")
    house = folder / "wide-house.yaml"
    house.write_text(HOUSE, encoding="utf-8")
    return checklist, house
