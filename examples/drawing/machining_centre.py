"""The bed-type machining centre of the lot from outside, as its seller photographed it."""

from __future__ import annotations

import math

from examples.drawing.darkroom import HIGH, WIDE, Photograph, box, oval, poly, stroke
from examples.drawing.shop import (
    DARK,
    FIXED,
    HEAVY,
    IRON,
    OIL,
    PALE,
    PLAIN,
    RUST,
    STEEL,
    foot,
    hall,
    handle,
    hose,
    sheet,
    window,
)


def front(p: Photograph) -> None:
    """The whole machine from outside: doors, window, panel, tank, a pool below."""
    hall(p, 850)
    p.shadow(poly((250, 1010), (1420, 1010), (1520, 1090), (180, 1090)), 0.75, blur=26)
    for x in (380, 830, 1290):
        foot(p, x, 1012, wood=x == 1290)
    # Side wall in the shade, column behind, head cover on top.
    p.fill(box(560, 60, 1010, 330, 6), (0.5, 0.51, 0.47), down=-0.15, mottle=0.03)
    p.edges(560, 60, 1010, 330)
    p.shadow(box(700, 120, 870, 128), 0.35, blur=3)
    sheet(p, 610, 30, 960, 190)
    for x in range(650, 930, 34):
        p.shadow(box(x, 62, x + 16, 150, 3), 0.55, blur=1.5)
    p.fill(poly((205, 330), (270, 262), (270, 985), (205, 940)), (0.36, 0.37, 0.34), down=-0.3)
    sheet(p, 270, 250, 1260, 985)
    p.fill(box(270, 800, 1260, 985), DARK, down=-0.3, mottle=0.04)
    p.blotch(box(270, 820, 1260, 985), (0.3, 0.28, 0.22), grain=(70, 12), share=0.3, cover=0.35)
    p.shadow(box(270, 794, 1260, 806), 0.5, blur=4)
    _doors(p)
    hose(p, [(1130, 960), (1250, 1010), (1330, 960), (1400, 880), (1440, 600), (1452, 470)], 15)
    _panel(p, 1262, 300)
    # Coolant tank pulled forward, chip tray, drips.
    p.shadow(box(420, 985, 1130, 1040), 0.6, blur=14)
    sheet(p, 430, 900, 1120, 1030, (0.3, 0.32, 0.31), worn=0.5)
    p.fill(box(470, 892, 700, 908), (0.07, 0.07, 0.07))
    p.blotch(box(430, 960, 1120, 1030), RUST, grain=(16, 60), share=0.25, cover=0.6, blur=2)
    p.fill(oval(560, 1096, 250, 34), OIL, cover=0.95, blur=7)
    p.fill(oval(840, 1076, 120, 16), OIL, cover=0.9, blur=6)
    p.shine(oval(500, 1090, 90, 6), 0.05, blur=8)
    p.letters(330, 275, "INV. 0417", 26, (0.1, 0.12, 0.14), font=HEAVY, cover=0.8)


def _doors(p: Photograph) -> None:
    for x0, x1 in ((330, 755), (765, 1190)):
        sheet(p, x0, 335, x1, 790, (0.66, 0.67, 0.62), worn=0.2)
        window(p, x0 + 75, 410, x1 - 75, 640, yellow=0.9 if x0 < 500 else 0.5)
    p.shadow(box(752, 335, 768, 790), 0.75, blur=2)
    handle(p, 715, 520, 700)
    handle(p, 792, 520, 700)
    for x in (300, 1220):
        p.shadow(box(x, 300, x + 5, 790), 0.3, blur=2)
    p.fill(box(320, 318, 1205, 336), (0.12, 0.12, 0.12), down=0.6)


def _panel(p: Photograph, x: float, y: float) -> None:
    """The operator's panel on its arm: a dark screen, keys, two turning knobs, a stop button."""
    p.rod(box(x - 10, y + 20, x + 70, y + 52), (0.5, 0.5, 0.47))
    p.shadow(box(x + 60, y + 20, x + 300, y + 480, 10), 0.55, blur=22)
    sheet(p, x + 50, y - 10, x + 285, y + 450, (0.42, 0.44, 0.43), worn=0.1)
    p.fill(box(x + 72, y + 15, x + 263, y + 165, 6), (0.02, 0.025, 0.025), down=0.6)
    p.shine(poly((x + 80, y + 20), (x + 150, y + 20), (x + 105, y + 160), (x + 80, y + 160)), 0.07)
    for row in range(5):
        for column in range(6):
            kx, ky = x + 76 + column * 32, y + 185 + row * 28
            worn = 0.5 if (row * 7 + column * 3) % 5 else 0.33
            p.fill(box(kx, ky, kx + 25, ky + 20, 3), (worn, worn, worn * 0.95), down=-0.3)
    for kx in (x + 105, x + 185):
        p.shadow(oval(kx + 3, y + 375, 27), 0.5, blur=5)
        p.turned(kx, y + 370, 25, (0.12, 0.12, 0.12))
        p.fill(stroke([(kx, y + 370), (kx + 12, y + 350)], 4), (0.7, 0.7, 0.68))
    p.fill(oval(x + 245, y + 372, 24), (0.42, 0.33, 0.05))
    p.turned(x + 245, y + 370, 17, (0.5, 0.06, 0.05), gloss=0.2)


def plate(p: Photograph) -> None:
    """Its name plate, riveted, a little greasy."""
    p.fill(box(0, 0, WIDE, HIGH), PALE, down=-0.1, across=-0.2, mottle=0.025, grain=(120, 120))
    p.blotch(box(0, 0, WIDE, HIGH), (0.3, 0.26, 0.18), grain=(160, 60), share=0.3, cover=0.3)
    p.shadow(box(268, 186, 1350, 1030, 10), 0.55, blur=12)
    p.fill(
        box(260, 170, 1340, 1010, 10), (0.52, 0.52, 0.5), across=0.25, mottle=0.03, grain=(2, 300)
    )
    p.edges(260, 170, 1340, 1010)
    rows = (
        ("MACHINE TYPE", "BED MILL"),
        ("SERIAL NO", "02-0417"),
        ("YEAR", "2002"),
        ("SUPPLY", "3 ~ 400 V 50 Hz"),
        ("FULL LOAD", "32 A"),
        ("FUSE", "40 A gG"),
        ("RATED", "22 kVA"),
        ("MASS", "4 300 kg"),
    )
    p.fill(box(290, 200, 1310, 290), (0.05, 0.06, 0.07))
    p.letters(800, 214, "VERTICAL MACHINING CENTRE", 44, (0.6, 0.6, 0.58), font=HEAVY, middle=True)
    for index, (name, value) in enumerate(rows):
        y = 318 + index * 82
        p.letters(300, y + 12, name, 34, (0.05, 0.05, 0.06), font=PLAIN)
        p.fill(box(700, y, 1300, y + 66), (0.62, 0.62, 0.6), mottle=0.02)
        p.edges(700, y, 1300, y + 66, 0.2)
        p.letters(722, y + 8, value, 40, (0.09, 0.09, 0.1), font=FIXED, cover=0.92)
    for x in (285, 1315):
        for y in (192, 988):
            p.turned(x, y, 15, STEEL)
    p.blotch(box(260, 170, 1340, 1010), (0.2, 0.15, 0.08), grain=(60, 60), share=0.16, cover=0.5)
    p.lines([[(420, 260), (640, 430)], [(980, 700), (1260, 610)]], (0.75, 0.75, 0.73), 2, 0.5)


def door_switch(p: Photograph) -> None:
    """The door switch with its key left in, tied with wire; the door stands open."""
    p.fill(box(0, 0, WIDE, HIGH), (0.07, 0.07, 0.07), down=0.4, mottle=0.1)
    sheet(p, 520, -20, 1640, 1220, PALE)
    p.fill(box(430, -20, 525, 1220), (0.36, 0.37, 0.34), across=0.3)
    p.shadow(box(400, -20, 440, 1220), 0.7, blur=14)
    p.fill(box(-20, -20, 210, 1220), (0.5, 0.51, 0.47), across=-0.5)  # the open door's edge
    p.shadow(box(200, -20, 240, 1220), 0.7, blur=14)
    p.shadow(box(760, 330, 1160, 960, 16), 0.6, blur=24)
    p.fill(box(730, 300, 1120, 930, 18), (0.08, 0.085, 0.09), down=-0.3, across=-0.2, mottle=0.03)
    p.edges(730, 300, 1120, 930)
    p.fill(box(765, 345, 1085, 440, 8), (0.55, 0.54, 0.5))
    p.letters(925, 365, "DOOR 1", 46, (0.06, 0.06, 0.07), font=HEAVY, middle=True)
    for x in (775, 1075):
        for y in (475, 890):
            p.bolt(x, y, 17)
    p.fill(box(820, 560, 1030, 620, 6), (0.015, 0.015, 0.015))  # the slot with the key in it
    p.shadow(box(700, 545, 1010, 650), 0.5, blur=12)
    p.fill(box(640, 540, 985, 636, 6), STEEL, down=-0.35, mottle=0.03, grain=(2, 120))
    p.edges(640, 540, 985, 636)
    p.fill(box(600, 500, 690, 676, 8), (0.5, 0.5, 0.49), down=-0.3)
    p.edges(600, 500, 690, 676)
    for y in (530, 646):
        p.fill(oval(645, y, 15), (0.02, 0.02, 0.02))
    for k in range(4):  # the wire that keeps it in
        y = 560 + 18 * k
        hose(
            p,
            [(590, y - 10), (700, y + 26), (900, y - 4), (1130, y + 20), (1150, y + 60)],
            7,
            (0.42, 0.3, 0.12),
        )
    hose(p, [(1120, 620), (1170, 660), (1150, 720), (1180, 760)], 7, (0.42, 0.3, 0.12))
    p.rod(box(880, 925, 970, 1010, 8), (0.3, 0.3, 0.3), upright=True)
    hose(p, [(925, 1005), (930, 1090), (1020, 1150), (1250, 1230)], 34)
    p.blotch(
        box(560, 0, 1560, 1200), (0.3, 0.26, 0.18), grain=(120, 60), share=0.3, cover=0.35, blur=20
    )


def feet(p: Photograph) -> None:
    """One corner at the floor: a levelling screw on a piece of wood, oil below, a crack."""
    p.fill(box(0, 0, WIDE, 640), DARK, down=-0.4, mottle=0.05)
    p.edges(0, -10, WIDE + 10, 560)
    p.blotch(box(0, 300, WIDE, 600), (0.3, 0.27, 0.2), grain=(80, 14), share=0.3, cover=0.4)
    p.fill(box(0, 640, WIDE, HIGH), (0.37, 0.36, 0.33), down=0.3, mottle=0.1, grain=(30, 110))
    p.shadow(box(0, 560, WIDE, 760), 0.8, blur=40)
    p.fill(
        poly((360, 420), (1230, 420), (1230, 590), (1120, 640), (470, 640), (360, 590)),
        (0.28, 0.3, 0.29),
        down=-0.4,
        mottle=0.05,
    )
    p.edges(360, 420, 1230, 590)
    p.turned(800, 470, 74, IRON)
    p.fill(
        poly(
            *[
                (800 + 52 * math.cos(k * math.pi / 3), 470 + 44 * math.sin(k * math.pi / 3))
                for k in range(6)
            ]
        ),
        (0.4, 0.39, 0.37),
        down=-0.5,
    )
    p.rod(box(752, 600, 848, 830), IRON, upright=True, mottle=0.1)
    for y in range(606, 826, 13):
        p.shadow(box(752, y, 848, y + 6), 0.45, blur=1)
    p.blotch(box(752, 600, 848, 830), RUST, grain=(20, 20), share=0.5, cover=0.7)
    _wood(p)


def _wood(p: Photograph) -> None:
    """What the foot stands on, and the floor around it."""
    p.shadow(oval(810, 985, 420, 70), 0.7, blur=24)
    p.fill(
        poly((440, 880), (1150, 850), (1190, 960), (420, 1000)),
        (0.37, 0.25, 0.12),
        down=-0.35,
        mottle=0.16,
        grain=(8, 160),
    )
    p.fill(
        poly((420, 1000), (1190, 960), (1190, 1005), (424, 1050)),
        (0.2, 0.13, 0.06),
        mottle=0.2,
        grain=(6, 120),
    )
    p.blotch(
        poly((440, 880), (1150, 850), (1190, 960), (420, 1000)),
        OIL,
        grain=(30, 90),
        share=0.45,
        cover=0.8,
    )
    p.fill(oval(800, 866, 150, 34), (0.14, 0.14, 0.14), down=-0.6)
    p.fill(oval(800, 850, 118, 24), (0.3, 0.29, 0.28), down=-0.4)
    p.fill(oval(280, 1090, 300, 62), OIL, cover=0.85, blur=14)
    p.shine(oval(240, 1075, 90, 12), 0.12, blur=10)
    crack = [(1600, 820), (1480, 860), (1400, 930), (1260, 990), (1200, 1100), (1080, 1200)]
    p.fill(stroke(crack, 5), (0.06, 0.06, 0.06), blur=0.8)
    p.shine(stroke([(x, y + 6) for x, y in crack], 3), 0.08, blur=1.5)
    p.specks(box(0, 780, WIDE, 1190), (0.45, 0.44, 0.42), 150, 5)
