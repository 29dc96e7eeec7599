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

# The same house with every kind of place and nearly every key; all of it invented.
WHOLE = (
    HOUSE.replace(
        "foundation: crawl-space\n",
        """\
foundation: crawl-space
address: 1 Test Lane (invented)
owner: Somebody Invented
year-built: 1958
altitude: 410 ft
position: {latitude: 41.25, longitude: -95.93}
level: the sill of the front door
""",
    )
    .replace(
        "  category: 3\n",
        """\
  category: 3
  category-since: 2026-03-10 21:30
  salt: false
  policy: federal
  insurer: An invented insurer
  policy-number: INV-1
  claim-number: INV-2
  mortgagee: An invented bank
  consent-to-work: {by: Somebody Invented, at: 2026-03-12 08:00}
  consent-to-discard: false
""",
    )
    .replace(
        "    waterline: 31 in\n",
        """\
    length: 14 ft
    width: 11 ft
    ceiling-height: 8 ft
    level: 0 in
    floor: sheet-vinyl
    wall-finish: wallboard
    from-above: false
    category: 3
    waterline: 31 in
""",
    )
    .replace(
        "    cladding: brick-veneer\n",
        """\
    cladding: brick-veneer
    other-room: loft
    length: 14 ft
    structure: stud
    sheathing: plywood
    sheathing-mark: exposure-1
    insulation: fibreglass
    finish: wallboard
    finish-from: 4 in
""",
    )
    .replace(
        "    height: 14 in\n",
        """\
    height: 14 in
    cable: nm
    cable-runs: wall
    cable-lowest: 12 in
""",
    )
    .replace(
        "crawl-space:\n",
        """\
motors:
  sump:
    name: sump pump
    kind: sump-pump
    space: crawl-space
    height: 2 in
appliances:
  cold-box:
    name: refrigerator
    kind: refrigerator
    room: kitchen
    height: 3 in
burners:
  heater:
    name: water heater
    kind: water-heater
    room: kitchen
    fuel: gas
    draws-air-from: crawl-space
    sealed: false
fuels:
  tank:
    name: propane tank
    kind: propane
    space: outside
    tank: true
    tank-moved: true
    shut-off: false
live-sources:
  roof:
    name: roof panels
    kind: solar
    space: attic
well: {kind: drilled, flooded: true}
septic: {flooded: true, backs-up: false}
heating-cooling:
  kind: furnace
  ducts: crawl-space
  duct-material: flexible
  ducts-insulated: true
  ducts-wet: true
manufactured-home: none
basement:
  flooded: false
  area: 200 ft2
  sump-pits: 1
crawl-space:
  area: 1100 ft2
  height: 3 ft
  standing-water: true
  openings:
    north-vent: {side: north, kind: vent, open: true}
""",
        1,
    )
    .replace(
        "    kind: photographs\n",
        """\
    kind: photographs
    quantity: 2
    value: $40
""",
    )
)
