"""Inside the turning centre: chuck and turret."""

from __future__ import annotations

import math

from examples.drawing.darkroom import HIGH, WIDE, Photograph, box, oval, poly, stroke
from examples.drawing.shop import (
    OIL,
    RUST,
)


def chuck(p: Photograph) -> None:
    """The chuck from the front: one odd jaw, rust on its face, dry slides."""
    p.fill(box(0, 0, WIDE, HIGH), (0.13, 0.13, 0.125), across=0.5, mottle=0.1)
    p.blotch(box(0, 0, WIDE, HIGH), OIL, grain=(60, 110), share=0.5, cover=0.6)
    p.fill(
        poly((1180, 0), (1600, 0), (1600, 1200), (1420, 1200)),
        (0.26, 0.25, 0.22),
        across=-0.5,
        mottle=0.08,
    )
    p.shadow(oval(790, 640, 560), 0.8, blur=40)
    p.turned(760, 600, 530, (0.34, 0.335, 0.32), gloss=0.4, rings=0.08)
    p.shadow(oval(760, 600, 505), 0.25, blur=3)
    p.turned(760, 600, 498, (0.46, 0.455, 0.44), gloss=0.6, rings=0.06)
    p.blotch(oval(760, 600, 498), RUST, grain=(44, 44), share=0.34, cover=0.75, soft=0.9)
    for k in range(3):
        _jaw(p, 760, 600, -math.pi / 2 + 2 * math.pi * k / 3, odd=k == 1)
    p.shadow(oval(760, 600, 122), 0.5, blur=5)
    p.turned(760, 600, 116, (0.3, 0.29, 0.28), gloss=0.4)
    p.fill(oval(760, 600, 92), (0.01, 0.01, 0.01))
    p.shine(oval(735, 655, 40, 10), 0.05, blur=8)
    for k in range(3):
        a = -math.pi / 2 + math.pi / 3 + 2 * math.pi * k / 3
        p.bolt(760 + 400 * math.cos(a), 600 + 400 * math.sin(a), 25)
    p.specks(box(200, 1080, 1400, 1195), (0.3, 0.29, 0.27), 160, 9)


def _jaw(p: Photograph, x: float, y: float, angle: float, *, odd: bool) -> None:
    """One jaw along a radius: slide, serrations, a stepped block, two screws."""
    c, s = math.cos(angle), math.sin(angle)

    def at(far: float, aside: float) -> tuple[float, float]:
        return x + far * c - aside * s, y + far * s + aside * c

    def block(near: float, far: float, half: float) -> tuple[tuple[float, float], ...]:
        return at(near, -half), at(far, -half), at(far, half), at(near, half)

    p.fill(poly(*block(125, 505, 88)), (0.1, 0.1, 0.1), mottle=0.1)
    for k in range(26):
        far = 135 + 14 * k
        p.shine(stroke([at(far, -86), at(far, 86)], 3), 0.1, blur=1)
    lengths = (
        ((150, 470, 78), (165, 390, 74), (175, 300, 68))
        if not odd
        else ((250, 500, 70), (270, 430, 62))
    )
    for step, (near, far, half) in enumerate(lengths):
        tone = 0.36 + 0.07 * step if not odd else 0.25 + 0.05 * step
        p.shadow(poly(*[(px + 9, py + 12) for px, py in block(near, far, half)]), 0.55, blur=9)
        p.fill(
            poly(*block(near, far, half)),
            (tone, tone * 0.98, tone * 0.94),
            down=-0.25,
            mottle=0.05,
            grain=(4, 60),
        )
        p.lines(
            [[at(near, -half), at(far, -half)], [at(near, -half), at(near, half)]],
            (0.8, 0.8, 0.78),
            3,
            0.4,
        )
    p.blotch(
        poly(*block(150, 500, 80)), RUST, grain=(24, 24), share=0.3 if not odd else 0.12, cover=0.7
    )
    for far in (235, 345) if not odd else (330, 430):
        p.bolt(*at(far, 0), 27)


def turret(p: Photograph) -> None:
    """The turret from the front: a dent, two empty stations, scale in the pockets."""
    p.fill(box(0, 0, WIDE, HIGH), (0.14, 0.14, 0.135), down=0.3, mottle=0.1)
    p.fill(
        poly((0, 0), (560, 0), (260, 1200), (0, 1200)), (0.24, 0.23, 0.2), across=0.4, mottle=0.1
    )
    p.blotch(box(0, 0, WIDE, HIGH), (0.2, 0.17, 0.12), grain=(60, 130), share=0.45, cover=0.5)
    x, y, radius, sides = 830, 590, 470, 12
    rim = [
        (
            x + radius * math.cos(2 * math.pi * (k + 0.5) / sides),
            y + radius * math.sin(2 * math.pi * (k + 0.5) / sides),
        )
        for k in range(sides)
    ]
    p.shadow(poly(*[(px + 26, py + 34) for px, py in rim]), 0.8, blur=36)
    p.fill(poly(*[(px + 20, py + 22) for px, py in rim]), (0.16, 0.16, 0.155), down=-0.4)
    p.fill(poly(*rim), (0.4, 0.395, 0.385), down=-0.25, across=-0.15, mottle=0.04, grain=(3, 90))
    p.lines(
        [[a, b] for a, b in zip(rim, rim[1:] + rim[:1], strict=True)], (0.75, 0.75, 0.73), 3, 0.4
    )
    p.turned(x, y, 330, (0.42, 0.415, 0.4), gloss=0.55)
    p.turned(x, y, 190, (0.33, 0.325, 0.315), gloss=0.5)
    p.fill(oval(x, y, 70), (0.12, 0.12, 0.12), down=-0.4)
    for k in range(6):
        a = k * math.pi / 3 + 0.4
        p.bolt(x + 135 * math.cos(a), y + 135 * math.sin(a), 22)
    for k in range(sides):
        _station(p, x, y, 2 * math.pi * k / sides, k)
    p.blotch(oval(x, y, 450), RUST, grain=(34, 34), share=0.2, cover=0.65)
    dent = oval(x - 252, y + 330, 46, 34)
    p.shadow(dent, 0.75, blur=9)
    p.shine(oval(x - 240, y + 352, 40, 12), 0.35, blur=5)
    p.lines(
        [[(x - 330, y + 300), (x - 190, y + 382)], [(x - 316, y + 322), (x - 206, y + 350)]],
        (0.78, 0.78, 0.76),
        4,
        0.7,
    )
    for dx in (0, 46, 120):  # oil running down below it
        p.fill(stroke([(x + 80 + dx, y + 470), (x + 84 + dx, HIGH)], 12), OIL, cover=0.7, blur=3)
        p.shine(stroke([(x + 78 + dx, y + 480), (x + 80 + dx, HIGH)], 3), 0.1, blur=1.5)


def _station(p: Photograph, x: float, y: float, angle: float, index: int) -> None:
    c, s = math.cos(angle), math.sin(angle)

    def at(far: float, aside: float) -> tuple[float, float]:
        return x + far * c - aside * s, y + far * s + aside * c

    def block(near: float, far: float, half: float) -> tuple[tuple[float, float], ...]:
        return at(near, -half), at(far, -half), at(far, half), at(near, half)

    p.bolt(*at(300, 0), 15)
    if index in (3, 8):  # empty: a dark pocket with scale
        p.fill(poly(*block(365, 455, 46)), (0.02, 0.02, 0.02))
        p.blotch(poly(*block(365, 455, 46)), RUST, grain=(14, 14), share=0.55, cover=0.8)
        return
    if index % 2:
        p.shadow(poly(*[(a + 8, b + 10) for a, b in block(350, 560, 50)]), 0.5, blur=9)
        p.fill(poly(*block(350, 545, 48)), (0.2, 0.2, 0.2), down=-0.3, mottle=0.05)
        p.turned(*at(445, 0), 34, (0.38, 0.37, 0.36))
        p.fill(oval(*at(445, 0), 20), (0.02, 0.02, 0.02))
    else:
        p.shadow(poly(*[(a + 8, b + 10) for a, b in block(350, 600, 34)]), 0.5, blur=9)
        p.fill(poly(*block(350, 470, 52)), (0.24, 0.24, 0.235), down=-0.3, mottle=0.05)
        p.fill(poly(*block(440, 610, 22)), (0.1, 0.1, 0.105), mottle=0.05)
        p.fill(poly(*block(590, 622, 20)), (0.5, 0.4, 0.14))
        p.bolt(*at(390, -30), 11)
        p.bolt(*at(390, 30), 11)
