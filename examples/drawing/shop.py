"""What both machines stand in and are made of: hall, sheet metal, screws, cables."""

from __future__ import annotations

from importlib.resources import files

from examples.drawing.darkroom import (
    HIGH,
    WIDE,
    Colour,
    Photograph,
    Point,
    box,
    curve,
    oval,
    poly,
    stroke,
)

FONTS = files("retrue") / "web" / "static" / "fonts"
PLAIN, HEAVY = str(FONTS / "B612-Regular.otf"), str(FONTS / "B612-Bold.otf")
FIXED = str(FONTS / "B612Mono-Regular.otf")

PALE: Colour = (0.62, 0.63, 0.58)  # old light enamel
DARK: Colour = (0.16, 0.19, 0.2)
STEEL: Colour = (0.55, 0.55, 0.54)
IRON: Colour = (0.33, 0.32, 0.31)
RUST: Colour = (0.2, 0.09, 0.04)
OIL: Colour = (0.07, 0.055, 0.035)
RUBBER: Colour = (0.05, 0.05, 0.055)


def hall(p: Photograph, horizon: float) -> None:
    """A hall: painted wall with a skirting of darker paint, concrete floor with old stains."""
    p.fill(box(0, 0, WIDE, horizon), (0.52, 0.51, 0.45), down=-0.25, across=0.2, mottle=0.03)
    p.fill(box(0, horizon - 150, WIDE, horizon), (0.3, 0.33, 0.31), across=0.25, mottle=0.05)
    p.shadow(box(0, horizon - 152, WIDE, horizon - 148), 0.4, blur=1.5)
    p.fill(box(0, horizon, WIDE, HIGH), (0.36, 0.35, 0.33), down=0.3, mottle=0.08, grain=(30, 140))
    p.blotch(
        box(0, horizon + 10, WIDE, HIGH), (0.2, 0.19, 0.17), grain=(26, 170), share=0.3, cover=0.55
    )
    p.shadow(box(0, horizon - 4, WIDE, horizon + 6), 0.55, blur=4)
    for x in (330, 1120):  # joints of the slab run away from us
        p.fill(stroke([(x, horizon), (x + (x - 800) * 0.8, HIGH)], 3), (0.1, 0.1, 0.1), cover=0.6)


def sheet(
    p: Photograph,
    x0: float,
    y0: float,
    x1: float,
    y1: float,
    colour: Colour = PALE,
    *,
    worn: float = 0.25,
) -> None:
    """A painted panel: gradient, orange peel, dirt towards its foot, handled edges."""
    p.fill(box(x0, y0, x1, y1, 4), colour, down=-0.16, across=-0.05, mottle=0.018, grain=(90, 90))
    low = y1 - (y1 - y0) * 0.3
    p.blotch(box(x0, low, x1, y1), (0.22, 0.2, 0.16), grain=(90, 24), share=worn, cover=0.3, blur=5)
    p.edges(x0, y0, x1, y1)


def handle(p: Photograph, x: float, y0: float, y1: float) -> None:
    """An upright grip on two feet."""
    p.shadow(box(x + 8, y0 + 6, x + 24, y1 + 10, 8), 0.45, blur=8)
    p.rod(box(x, y0, x + 15, y1, 7), (0.13, 0.13, 0.13), upright=True, gloss=0.9)


def hose(p: Photograph, points: list[Point], width: float, colour: Colour = RUBBER) -> None:
    """A hose or cable lying or hanging, with the light along it."""
    path = curve(points)
    p.shadow(stroke([(x + 5, y + 9) for x, y in path], width), 0.4, blur=7)
    p.fill(stroke(path, width), colour)
    p.shine(stroke([(x, y - width * 0.22) for x, y in path], width * 0.22), 0.1, blur=1.6)


def window(
    p: Photograph, x0: float, y0: float, x1: float, y1: float, *, yellow: float = 0.0
) -> None:
    """A plastic window: dark inside, a lamp mirrored in it, scratches, perhaps yellow."""
    p.fill(box(x0 - 12, y0 - 12, x1 + 12, y1 + 12, 16), (0.06, 0.06, 0.06), down=0.3)
    p.fill(box(x0, y0, x1, y1, 8), (0.1, 0.11, 0.11), down=0.6, mottle=0.12)
    p.fill(box(x0, y0, x1, y1, 8), (0.34, 0.27, 0.1), cover=0.45 * yellow, down=-0.4)
    wide = x1 - x0
    p.shine(
        poly(
            (x0 + wide * 0.12, y0),
            (x0 + wide * 0.34, y0),
            (x0 + wide * 0.16, y1),
            (x0 - wide * 0.0, y1),
        ),
        0.1,
        blur=12,
    )
    for share in (0.2, 0.45, 0.52, 0.8):
        x = x0 + wide * share
        p.lines([[(x, y0 + 30), (x + wide * 0.18, y1 - 50)]], (0.5, 0.5, 0.48), 1.2, 0.25)


def foot(p: Photograph, x: float, y: float, *, wood: bool = False) -> None:
    """A levelling foot on the floor."""
    p.shadow(oval(x, y + 26, 70, 14), 0.7, blur=9)
    if wood:
        p.fill(box(x - 62, y + 6, x + 62, y + 28, 2), (0.33, 0.22, 0.11), mottle=0.2)
    p.rod(box(x - 11, y - 50, x + 11, y + 4), IRON, upright=True)
    p.fill(oval(x, y + 6, 44, 11), (0.1, 0.1, 0.1), down=-0.5)
