"""A small invented house with every kind of place, for tests."""

from __future__ import annotations

HOUSE = """\
house: Test house
time-zone: America/Chicago
foundation: crawl-space
loss:
  source: river
  category: 3
  water-in: 2026-03-10 21:30
rooms:
  kitchen:
    name: Kitchen
    waterline: 31 in
    silt-line: 28 in
    highest-wet-reading: 38 in
  loft:
    name: Loft
    waterline: 0 in
    highest-wet-reading: 0 in
walls:
  north:
    name: north wall
    room: kitchen
    outer: true
    cladding: brick-veneer
electrical:
  low-outlet:
    name: outlet by the sink
    kind: outlet
    room: kitchen
    height: 14 in
    circuit: 4
  hidden-outlet:
    name: outlet behind the range
    kind: outlet
    room: kitchen
    circuit: 4
  high-outlet:
    name: outlet over the counter
    kind: outlet
    room: kitchen
    height: 44 in
    circuit: 4
  low-switch:
    name: low switch
    kind: switch
    room: kitchen
    height: 2 ft
    circuit: 5
  breaker-4:
    name: breaker 4
    kind: breaker
    room: kitchen
    height: 34 in
    circuit: 4
crawl-space:
  flooded: true
  ground-cover: poly
contents:
  album:
    name: the family album
    kind: photographs
    room: kitchen
    wet: true
"""
