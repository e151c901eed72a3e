"""The machining centre opened: ways, oil tank, spindle taper."""

from __future__ import annotations

import math

from examples.drawing.darkroom import HIGH, WIDE, Photograph, box, oval, poly, stroke
from examples.drawing.shop import (
    OIL,
    PLAIN,
    RUBBER,
    RUST,
    STEEL,
    hose,
    sheet,
)


def ways(p: Photograph) -> None:
    """The X ways with the cover pushed back: rust bloom, a dry track, a torn wiper."""
    p.fill(box(0, 0, WIDE, HIGH), (0.1, 0.1, 0.1), down=0.5, mottle=0.1)
    sheet(p, -20, -20, 1620, 250, (0.32, 0.33, 0.32), worn=0.5)
    for k in range(5):  # telescopic cover, pushed to the right
        x = 1050 + 110 * k
        p.shadow(box(x - 26, 210, x + 10, 720), 0.6, blur=16)
        p.fill(
            box(x, 190 + 12 * k, 1640, 700 - 10 * k),
            STEEL,
            down=-0.3,
            across=0.2,
            mottle=0.03,
            grain=(3, 200),
        )
        p.edges(x, 190 + 12 * k, 1640, 700 - 10 * k)
        p.fill(box(x - 7, 190 + 12 * k, x + 6, 700 - 10 * k), RUBBER)
    for y0, y1 in ((300, 420), (800, 950)):  # two flat ways
        p.fill(
            box(-20, y0, 1060 if y0 < 500 else 1640, y1),
            (0.5, 0.49, 0.47),
            down=-0.25,
            mottle=0.04,
            grain=(2, 260),
        )
        p.shine(box(-20, y0 + 6, 1040 if y0 < 500 else 1640, y0 + 22), 0.16, blur=6)
        p.shadow(box(-20, y1 - 8, 1640, y1 + 26), 0.7, blur=12)
        area = box(-20, y0, 1060 if y0 < 500 else 1640, y1)
        p.blotch(area, RUST, grain=(26, 44), share=0.4, cover=0.8, soft=0.7)
        p.blotch(area, (0.27, 0.12, 0.05), grain=(10, 14), share=0.2, cover=0.8)
        for k in range(7):
            y = y0 + 24 + k * (y1 - y0) / 9
            p.lines([[(60 + 40 * k, y), (720 + 60 * k, y + 3)]], (0.68, 0.67, 0.64), 1.6, 0.5)
    _screw(p)
    hose(p, [(1046, 706), (1020, 770), (960, 800), (930, 860)], 13)  # the torn wiper lip
    p.blotch(box(0, 960, WIDE, HIGH), OIL, grain=(50, 80), share=0.6, cover=0.8)
    p.specks(box(0, 960, WIDE, 1190), (0.26, 0.25, 0.23), 260, 8)
    p.specks(box(0, 720, 1000, 800), (0.24, 0.23, 0.21), 70, 6)


def _screw(p: Photograph) -> None:
    p.fill(box(-20, 520, 1640, 720), (0.06, 0.06, 0.06), down=0.4)  # the screw between them
    p.rod(box(-20, 560, 1640, 676), (0.42, 0.4, 0.37), mottle=0.1)
    for k in range(46):
        x = -40 + 38 * k
        p.shadow(poly((x, 560), (x + 17, 560), (x + 45, 676), (x + 28, 676)), 0.5, blur=2.5)
        p.shine(poly((x + 20, 566), (x + 26, 566), (x + 52, 670), (x + 46, 670)), 0.1, blur=2)
    p.blotch(box(-20, 556, 1640, 680), RUST, grain=(18, 60), share=0.3, cover=0.65, blur=3)
    for k in range(5):
        x = 1050 + 110 * k
        p.shadow(box(x - 40, 500, x, 700), 0.35, blur=20)
        p.fill(
            box(x, 470 + 4 * k, 1640, 712 - 8 * k),
            STEEL,
            down=-0.25,
            across=0.15,
            mottle=0.03,
            grain=(3, 200),
        )
        p.edges(x, 470 + 4 * k, 1640, 712 - 8 * k)


def lube(p: Photograph) -> None:
    """The way oil tank from above, cap off: milky oil, low; a can beside it."""
    p.fill(box(0, 0, WIDE, HIGH), (0.3, 0.29, 0.27), down=0.3, mottle=0.1, grain=(60, 120))
    p.blotch(box(0, 0, WIDE, HIGH), OIL, grain=(80, 120), share=0.45, cover=0.65)
    p.shadow(box(330, 190, 1120, 1010, 30), 0.7, blur=30)
    p.fill(box(300, 160, 1080, 980, 34), (0.58, 0.56, 0.47), across=-0.2, down=-0.15, mottle=0.03)
    p.edges(300, 160, 1080, 980)
    p.fill(box(350, 210, 1030, 930, 24), (0.5, 0.48, 0.39), down=-0.15, mottle=0.04)
    p.shadow(box(350, 210, 1030, 240, 10), 0.3, blur=8)
    p.turned(640, 560, 238, (0.16, 0.16, 0.15), gloss=0.2)
    p.fill(oval(640, 566, 206), (0.09, 0.085, 0.07))
    p.fill(oval(644, 586, 188, 180), (0.6, 0.54, 0.36), down=0.25, mottle=0.05, grain=(60, 90))
    p.blotch(oval(644, 586, 186, 178), (0.72, 0.68, 0.54), grain=(40, 60), share=0.5, cover=0.7)
    p.blotch(oval(644, 586, 186, 178), (0.25, 0.19, 0.09), grain=(14, 20), share=0.1, cover=0.7)
    p.shadow(poly((430, 380), (840, 380), (860, 480), (420, 480)), 0.45, blur=20)
    p.shine(oval(560, 640, 60, 22), 0.2, blur=12)
    p.rod(box(625, 380, 651, 700, 10), (0.5, 0.46, 0.36), upright=True)  # strainer stem
    # Cap with its cord, pump motor, brass fittings.
    p.shadow(oval(1000, 900, 150), 0.6, blur=18)
    p.turned(985, 880, 145, RUBBER, gloss=0.5, rings=0.1)
    for k in range(28):
        a = k * 2 * math.pi / 28
        p.shadow(
            stroke(
                [
                    (985 + 126 * math.cos(a), 880 + 126 * math.sin(a)),
                    (985 + 145 * math.cos(a), 880 + 145 * math.sin(a)),
                ],
                8,
            ),
            0.5,
            blur=1.5,
        )
    hose(p, [(850, 700), (900, 760), (880, 810), (930, 840)], 7, (0.2, 0.2, 0.18))
    p.rod(box(390, 235, 560, 345, 16), (0.14, 0.15, 0.15))
    p.rod(box(880, 240, 980, 300, 8), (0.45, 0.33, 0.12))
    hose(p, [(980, 270), (1130, 250), (1250, 120), (1400, -20)], 16, (0.45, 0.33, 0.14))
    # The can: a smaller round tin seen from above with a hand-written label.
    p.shadow(oval(1370, 690, 190), 0.65, blur=22)
    p.turned(1345, 660, 180, (0.38, 0.38, 0.36), rings=0.1)
    p.fill(oval(1345, 660, 150), (0.24, 0.06, 0.05), mottle=0.05)
    p.fill(box(1240, 610, 1450, 715, 4), (0.62, 0.6, 0.52))
    p.letters(1345, 630, "HYDRAULIC", 30, (0.05, 0.05, 0.2), font=PLAIN, middle=True)
    p.letters(1345, 668, "46", 30, (0.05, 0.05, 0.2), font=PLAIN, middle=True)
    p.turned(1345, 545, 34, (0.1, 0.1, 0.1))


def taper(p: Photograph) -> None:
    """Straight up into the spindle taper with a torch: rings, a dark band, a bright smear."""
    p.fill(box(0, 0, WIDE, HIGH), (0.24, 0.25, 0.24), across=-0.3, mottle=0.05)
    p.blotch(box(0, 0, WIDE, HIGH), OIL, grain=(70, 70), share=0.35, cover=0.5)
    p.shadow(oval(800, 610, 545), 0.7, blur=30)
    p.turned(800, 600, 520, (0.4, 0.4, 0.39), gloss=0.4)
    for k in range(6):
        a = k * math.pi / 3 + 0.26
        p.bolt(800 + 440 * math.cos(a), 600 + 440 * math.sin(a), 27)
    p.shadow(oval(800, 600, 372), 0.6, blur=6)
    p.turned(800, 600, 364, (0.56, 0.56, 0.55), gloss=0.7)
    for side in (-1, 1):  # driving keys
        x = 800 + side * 318
        p.shadow(box(x - 46, 552, x + 50, 660, 6), 0.6, blur=8)
        p.fill(box(x - 48, 545, x + 46, 650, 6), (0.45, 0.45, 0.44), down=-0.4, mottle=0.04)
        p.edges(x - 48, 545, x + 46, 650)
        p.bolt(x, 598, 16)
    for step in range(44):  # the bore narrows away from us
        share = step / 43
        radius = 272 - 150 * share**0.8
        glow = 0.62 - 0.42 * share
        if 0.28 < share < 0.46:
            glow *= 0.45  # the dark band where the tool does not touch
        if step in (8, 11, 31):
            glow *= 0.55
        p.turned(
            800 + 6 * share, 600 + 10 * share, radius, (glow, glow * 0.98, glow * 0.93), gloss=0.5
        )
    p.shine(poly((880, 700), (960, 760), (900, 830), (830, 760)), 0.22, blur=14)
    rust = oval(800, 605, 268)
    p.blotch(rust, RUST, grain=(26, 26), share=0.09, cover=0.7)
    p.fill(oval(806, 610, 118), (0.015, 0.015, 0.015))
    p.turned(808, 612, 52, (0.22, 0.22, 0.21), gloss=0.3)  # gripper far inside
    for k in range(4):
        a = k * math.pi / 2 + 0.5
        p.fill(oval(808 + 66 * math.cos(a), 612 + 66 * math.sin(a), 17), (0.3, 0.29, 0.27))
    p.blotch(box(300, 100, 1300, 1100), (0.12, 0.09, 0.05), grain=(50, 50), share=0.12, cover=0.5)
