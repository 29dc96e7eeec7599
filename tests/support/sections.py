"""Houses for sections: nothing known, and names that would do harm. Invented."""

from __future__ import annotations

BARE = """\
house: Bare house
rooms: {den: {name: Den}}
walls: {back: {name: back wall, room: den}}
electrical:
  one: {name: outlet one, kind: outlet, room: den}
  two: {name: switch two, kind: switch, room: den}
crawl-space: true
"""
HOSTILE_NAME = "\\e[31m{height} %s [b]x[/b] \\u202eevil \\u4e2d\\u6587\\u4e2d\\u6587 e\\u0301 " * 2
HOSTILE = f"""\
house: Hostile house
loss: {{source: river}}
rooms:
  den: {{name: "{HOSTILE_NAME}", waterline: 80 cm, highest-wet-reading: 1 m}}
walls:
  back: {{name: "{HOSTILE_NAME}", room: den, outer: true, cladding: lap, structure: stud}}
electrical:
  one: {{name: "{HOSTILE_NAME}", kind: outlet, room: den, height: 30 cm, cable-runs: attic}}
  two: {{name: "{HOSTILE_NAME}", kind: outlet, room: den, height: 1.2 m, cable-runs: floor}}
  six: {{name: "{HOSTILE_NAME}", kind: outlet, room: den, cable-runs: crawl-space}}
crawl-space:
  height: 60 cm
  waterline: 20 cm
  openings: {{vent: {{name: "{HOSTILE_NAME}", side: north, open: false}}}}
"""
