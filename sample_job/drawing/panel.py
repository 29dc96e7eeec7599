"""The breaker panel: tested dead, its fourth breaker muddy, the same breaker new."""

from __future__ import annotations

from drawing.colours import BLACK, DARK, FAINT, MUD, PAPER, SILT
from drawing.people import gloved_hand
from drawing.shapes import box, oval, points_at, rounded, smooth
from drawing.sheet import HIGH, WHOLE, Sheet
from drawing.textures import film, wet_mud


def _breaker(c: Sheet, x: float, *, new: bool = False) -> None:
    """Draw a breaker, 120 units wide and 330 tall, its switch down."""
    body, metal = ("#2a2c30", "#d3d6d8") if new else ("#4a4640", "#8f8878")
    c.thing(rounded(x, 0, x + 120, 330, 8), body, 0.1, 14)
    c.area(box(x, 4, x + 26, 326), "#ffffff", 0.12, across=(1, 0), rough=0)
    c.area(rounded(x + 32, 90, x + 88, 240, 8), "#121315")
    c.area(rounded(x + 38, 160, x + 82, 236, 6), "#f0f0ee" if new else "#a9a294")
    c.area(box(x + 38, 160, x + 82, 180), BLACK, 0.3, down=(1, 0.2), rough=0)
    for y in (34, 296):
        c.area(oval(x + 60, y, 17, 17), metal)
        c.line([(x + 49, y - 6), (x + 71, y + 6)], "#333333", 4)
    if not new:
        c.flecks([(x + 6, 170), (x + 114, 324)], 24, SILT, 3)


def _breaker_row(c: Sheet, *, four_is_new: bool) -> None:
    """Draw a row of six breakers with their numbers; the fourth is muddy or new."""
    c.thing(box(-6, -96, 776, -22), PAPER, 0.04)
    for n in range(6):
        c.words(n * 130 + 60, -58, str(n + 1), 46)
        if n < 5:  # noqa: PLR2004
            c.line([(n * 130 + 125, -96), (n * 130 + 125, -22)], FAINT)
        _breaker(c, n * 130)
    if four_is_new:
        _breaker(c, 390, new=True)
        return
    mud = "382,128 418,98 452,122 486,92 514,120 516,340 494,352 484,420 470,352 440,344 "
    c.shadow(smooth(points_at(mud + "428,392 386,346")), 4, 6)
    wet_mud(c, smooth(points_at(mud + "428,392 386,346")))
    c.area(rounded(430, 164, 470, 230, 10), "#a08767", 0.4, soft=3, rough=0.1)
    c.flecks([(392, 8), (508, 120)], 70, MUD, 5)


def tester(c: Sheet) -> None:
    """Draw a two-prong tester at breakers of an open panel, its lamp dark."""
    c.area(WHOLE, "#d3bfa2", rough=0.04, cell=70)
    film(c, 600, HIGH)
    c.thing(points_at("250,40 250,640 30,690 30,0"), "#9aa2a5")
    c.area(points_at("222,300 222,360 206,362 206,298"), DARK)
    c.thing(box(250, 40, 950, 640), "#8b9396")
    c.area(box(272, 62, 928, 618), "#3d4245", rough=0.06)
    for n, tint in enumerate(("#1f1f1f", "#a3312a", "#1f1f1f", "#e8e6df", "#a3312a", "#3f7a4a")):
        x, bend = 340 + n * 104, 84 + abs(n - 2.5) * 16
        c.line([(570 + n * 12, 62), (570 + n * 12, bend), (x, bend), (x, 250)], tint, 8)
    c.origin(290, 262, 0.8)
    _breaker_row(c, four_is_new=False)
    c.origin()
    c.area(points_at("758,600 860,566 1040,680 1040,800 728,800"), "#c4681f", rough=0.1, cell=20)
    for x in (650, 754):
        c.line([(680 + (x - 650) * 0.4, 480), (x, 430), (x, 320)], "#1c1c1c", 16)
        c.line([(x, 326), (x, 290)], "#e3e6e8", 8)
    c.thing(rounded(642, 440, 762, 720, 30), "#e5b32b")
    for r, tint in ((36, "#3a352b"), (28, "#451512"), (20, "#2a0c0b")):
        c.area(oval(702, 494, r, r), tint)
    c.area(oval(692, 484, 7, 5), "#8d6a66")
    gloved_hand(c, 642, 545, 120)


def breakers(c: Sheet, *, new: bool) -> None:
    """Draw a row of breakers of which the fourth is muddy or new."""
    c.area(WHOLE, "#868e91", rough=0.05, cell=60)
    c.area(box(70, 90, 954, 700), "#565c5f", rough=0.06)
    c.line(points_at("70,700 70,90 954,90"), "#00000090", 6)
    for x, y in ((36, 50), (988, 50), (36, 720), (988, 720)):
        c.area(oval(x, y, 14, 14), "#c2c7c9", rough=0.1)
        c.line([(x - 9, y - 5), (x + 9, y + 5)], "#333333", 4)
    c.area(box(70, 600, 954, 700), SILT, 0.8, down=(0, 1), cell=30)
    c.origin(100, 236, 1.07)
    _breaker_row(c, four_is_new=new)
    c.origin()
