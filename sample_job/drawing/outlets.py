"""Two wall outlets: the one beside the sink, and the one behind the range."""

from __future__ import annotations

from drawing.colours import BLACK, DARK, MUD, PLASTER, STEEL
from drawing.shapes import box, oval, points_at, rounded, smooth
from drawing.sheet import HIGH, WHOLE, WIDE, Sheet
from drawing.silt_line import upright_tape
from drawing.textures import film, wet_mud


def _outlet(c: Sheet, x: float, y: float, *, muddy: bool = False) -> None:
    """Draw a wall outlet with two sockets round a centre."""
    c.origin(x, y)
    c.thing(rounded(-46, -72, 46, 72, 9), "#cbbd9f" if muddy else "#faf8f2", 0.1 * muddy, 12)
    for y0 in (-35, 35):
        c.area(rounded(-27, y0 - 24, 27, y0 + 24, 16), "#a08c68" if muddy else "#e4e1d8")
        slots = (box(-13, y0 - 14, -8, y0 + 4), box(8, y0 - 12, 13, y0 + 4))
        for slot in (*slots, oval(0, y0 + 13, 5, 5)):
            c.area(slot, DARK)
    c.area(oval(0, 0, 4, 4), "#8b8b86")
    if muddy:
        for mud in (
            "-46,30 -20,14 6,34 28,22 46,40 44,72 -44,72",
            "-27,-24 -4,-40 14,-22 8,4 -20,2",
        ):
            wet_mud(c, smooth(points_at(mud)))
        c.flecks([(-44, -70), (44, 40)], 50, MUD, 3)
    c.origin()


def sink_outlet(c: Sheet, *, muddy: bool) -> None:
    """Draw the outlet beside the sink, muddy as found or new in a cleaned wall."""
    c.area(WHOLE, PLASTER, rough=0.04, cell=80)
    if muddy:
        film(c, 300, HIGH)
    c.dice.seed("sink")  # the same whatever is behind it
    c.area(box(560, 300, WIDE, 420), BLACK, 0.4, down=(1, 0), soft=6, rough=0)
    for pipe in (box(872, 440, WIDE + 9, 478), box(752, 320, 792, 520), box(872, 440, 912, 520)):
        c.thing(pipe, "#b4bbbe")
    c.thing(rounded(752, 480, 912, 560, 40), "#b4bbbe")
    c.thing(rounded(560, 120, WIDE + 60, 340, 26), "#f5f4ef", 0.02)
    c.area(rounded(560, 120, WIDE + 60, 340, 26), "#5b6670", 0.3, down=(0, 1), rough=0)
    for spout in (
        rounded(800, 20, 830, 112, 6),
        rounded(690, 14, 830, 42, 14),
        rounded(690, 20, 716, 76, 8),
    ):
        c.area(spout, "#a4adb1", rough=0.03)
    for x in (742, 866):
        c.area(rounded(x, 80, x + 22, 112, 4), "#a4adb1")
        c.area(rounded(x - 14, 66, x + 36, 84, 8), "#8d979b")
    c.thing(rounded(546, 108, WIDE + 60, 146, 12), "#fdfcf8", 0.01)
    _outlet(c, 300, 530, muddy=muddy)


def range_outlet(c: Sheet) -> None:
    """Draw the outlet behind a pulled-out range, a tape beside it at 44 in."""
    c.area(WHOLE, PLASTER, rough=0.04, cell=80)
    c.area(box(300, 330, WIDE, HIGH), "#8d7748", 0.5, soft=8, rough=0.2, cell=50)
    upright_tape(c, 130, 47, 96)
    _outlet(c, 420, 222)
    for x0, x1 in ((130, 172), (232, 364)):
        c.line([(x0, 222), (x1, 222)], "#b3261e", 5)
    c.area(points_at("374,222 350,211 350,233"), "#b3261e")
    c.line(smooth(points_at("422,210 424,420 560,660 700,600 560,660 424,420")), "#2a2a2a", 13)
    c.thing(rounded(398, 236, 444, 284, 8), "#2a2a2a")
    c.thing(points_at("600,300 600,190 1100,190 1100,300"), "#e6e7e3")
    c.thing(points_at("600,300 730,410 730,800 600,690"), "#c3c6c2")
    c.thing(points_at("600,300 1060,300 1190,410 730,410"), "#f4f4f0", 0.02)
    for x, y in ((710, 328), (890, 328), (775, 382), (965, 382)):
        c.area(oval(x, y, 66, 18), "#2e3032")
        c.line(oval(x, y, 40, 10), "#6a6e70", 3)
    c.thing(points_at("730,410 1190,410 1190,800 730,800"), "#ecece8", 0.02)
    c.area(rounded(790, 520, 1190, 800, 14), "#2b2c2e")
    c.thing(rounded(780, 466, 1190, 486, 9), STEEL)
    for x in (690, 770, 930, 1000):
        c.thing(oval(x, 246, 22, 22), "#2a2a2a")
        c.line([(x, 246), (x, 228)], "#f0f0ec", 4)
