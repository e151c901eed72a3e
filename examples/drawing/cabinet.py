"""The electrical cabinet of the machining centre, open and dusty."""

from __future__ import annotations

import math

from examples.drawing.darkroom import HIGH, WIDE, Photograph, box, poly, stroke
from examples.drawing.shop import (
    HEAVY,
    PLAIN,
    RUBBER,
    STEEL,
    hose,
)


def cabinet(p: Photograph) -> None:
    """The electrical cabinet open, power off: grey dust on every ledge, two slots empty."""
    p.fill(box(0, 0, WIDE, HIGH), (0.2, 0.2, 0.19), across=-0.3)
    p.fill(poly((0, 40), (150, 90), (150, 1120), (0, 1190)), (0.5, 0.51, 0.47), across=-0.5)
    p.fill(box(150, 60, 1450, 1150), (0.44, 0.4, 0.31), down=-0.2, mottle=0.03)
    p.shadow(box(150, 60, 1450, 120), 0.5, blur=22)
    p.fill(poly((1450, 60), (1600, 20), (1600, 1200), (1450, 1150)), (0.5, 0.51, 0.47), across=0.4)
    for y in (330, 600, 860, 1095):
        _trunking(p, 180, y, 1420)
    for x in (170, 1395):
        _trunking_upright(p, x, 90, 1110)
    _drives(p)
    _contactors(p)
    _terminals(p)
    for y in (112, 326, 428, 596, 680, 856, 952, 1092):  # grey dust lies on every ledge
        ledge = box(185, y - 5, 1405, y + 16)
        p.blotch(ledge, (0.13, 0.125, 0.12), grain=(8, 60), share=0.85, cover=0.9, soft=0.5, blur=2)
        p.blotch(
            box(185, y, 1405, y + 80),
            (0.15, 0.145, 0.135),
            grain=(40, 24),
            share=0.5,
            cover=0.5,
            blur=9,
        )
    p.blotch(box(160, 100, 1440, 1140), (0.16, 0.15, 0.13), grain=(70, 90), share=0.6, cover=0.5)


def _trunking(p: Photograph, x0: float, y: float, x1: float) -> None:
    p.shadow(box(x0, y + 6, x1, y + 62), 0.5, blur=6)
    p.fill(box(x0, y, x1, y + 50, 2), (0.34, 0.35, 0.34), down=-0.2)
    for x in range(int(x0) + 6, int(x1), 13):
        p.shadow(box(x, y + 30, x + 6, y + 50), 0.6, blur=0.6)
    p.shine(box(x0, y, x1, y + 4), 0.12, blur=1)


def _trunking_upright(p: Photograph, x: float, y0: float, y1: float) -> None:
    p.fill(box(x, y0, x + 42, y1, 2), (0.33, 0.34, 0.33), across=-0.2)
    p.edges(x, y0, x + 42, y1)


def _drives(p: Photograph) -> None:
    """Four axis drives, one missing, and the spindle drive with fins."""
    for index, x in enumerate((235, 390, 545, 700)):
        if index == 2:
            p.fill(box(x, 120, x + 138, 322), (0.3, 0.28, 0.23), mottle=0.05)
            p.bolt(x + 25, 150, 8)
            p.bolt(x + 110, 300, 8)
            for k in range(4):
                colour = ((0.35, 0.06, 0.05), (0.08, 0.1, 0.3), (0.4, 0.36, 0.1), RUBBER)[k]
                hose(
                    p,
                    [(x + 20 + 30 * k, 335), (x + 28 + 26 * k, 280), (x + 10 + 34 * k, 240)],
                    7,
                    colour,
                )
            continue
        p.shadow(box(x + 8, 128, x + 150, 330), 0.55, blur=10)
        p.fill(box(x, 115, x + 138, 320, 4), (0.13, 0.14, 0.15), down=-0.3, mottle=0.04)
        p.edges(x, 115, x + 138, 320)
        p.fill(box(x + 14, 130, x + 124, 170), (0.55, 0.55, 0.52))
        p.letters(
            x + 22,
            134,
            f"AXIS {'XYZ '[min(index, 3) if index < 2 else 2]}",
            22,
            (0.1, 0.1, 0.1),
            font=PLAIN,
        )
        p.fill(box(x + 40, 190, x + 98, 232, 3), (0.02, 0.02, 0.02))
        for k in range(5):
            p.fill(box(x + 16 + 23 * k, 268, x + 33 + 23 * k, 304), (0.1, 0.25, 0.14), down=-0.4)
            p.bolt(x + 24.5 + 23 * k, 286, 5)
    p.shadow(box(880, 128, 1385, 330), 0.55, blur=12)
    p.fill(box(870, 112, 1370, 322, 4), (0.2, 0.21, 0.22), down=-0.25, mottle=0.03)
    p.edges(870, 112, 1370, 322)
    for x in range(890, 1140, 18):
        p.shadow(box(x, 130, x + 9, 306), 0.7, blur=1)
        p.shine(box(x + 10, 130, x + 13, 306), 0.08, blur=1)
    p.fill(box(1170, 135, 1345, 215), (0.55, 0.55, 0.52))
    p.letters(1182, 150, "SPINDLE", 30, (0.1, 0.1, 0.1), font=HEAVY)
    p.turned(1258, 266, 42, (0.08, 0.08, 0.08), gloss=0.2)
    for k in range(7):
        a = k * 0.9
        p.fill(
            stroke([(1258, 266), (1258 + 36 * math.cos(a), 266 + 36 * math.sin(a))], 6),
            (0.02, 0.02, 0.02),
        )


def _contactors(p: Photograph) -> None:
    for index, x in enumerate(range(230, 1360, 94)):
        if index == 7:
            continue
        tall = 150 if index % 3 else 120
        p.shadow(box(x + 5, 440, x + 84, 445 + tall), 0.5, blur=7)
        p.fill(box(x, 430, x + 76, 430 + tall, 4), (0.15, 0.155, 0.16), down=-0.2, mottle=0.03)
        p.fill(box(x + 12, 430 + tall * 0.34, x + 64, 430 + tall * 0.62, 2), (0.5, 0.49, 0.44))
        for k in range(3):
            p.bolt(x + 15 + 23 * k, 443, 7, (0.5, 0.5, 0.48))
            p.bolt(x + 15 + 23 * k, 416 + tall, 7, (0.5, 0.5, 0.48))
            for y0, y1 in ((330 + 50, 436), (424 + tall, 606)):
                colour = ((0.04, 0.04, 0.04), (0.25, 0.04, 0.03), (0.04, 0.05, 0.2))[
                    (index + k) % 3
                ]
                hose(
                    p,
                    [
                        (x + 15 + 23 * k, y0),
                        (x + 11 + 25 * k, (y0 + y1) / 2),
                        (x + 15 + 23 * k, y1),
                    ],
                    6,
                    colour,
                )
    for x, wide in ((235, 260), (520, 190)):  # transformer and a board
        p.shadow(box(x + 8, 690, x + wide + 8, 858), 0.5, blur=9)
        p.fill(
            box(x, 680, x + wide, 850, 3),
            (0.12, 0.13, 0.12) if wide > 200 else (0.05, 0.2, 0.12),
            mottle=0.08,
        )
        p.edges(x, 680, x + wide, 850)
    p.rod(box(275, 705, 345, 830, 8), (0.4, 0.26, 0.08), upright=True)
    p.rod(box(375, 705, 445, 830, 8), (0.4, 0.26, 0.08), upright=True)
    for k in range(12):
        p.fill(
            box(535 + (k % 6) * 27, 700 + (k // 6) * 60, 556 + (k % 6) * 27, 735 + (k // 6) * 60),
            (0.03, 0.03, 0.03),
        )
    for k in range(8):  # fuses
        x = 770 + 74 * k
        p.fill(box(x, 680, x + 62, 850, 3), (0.46, 0.46, 0.43), down=-0.2)
        p.edges(x, 680, x + 62, 850)
        p.fill(box(x + 18, 735, x + 44, 800, 3), (0.1, 0.1, 0.1))
    p.fill(box(1075, 700, 1110, 850, 3), (0.07, 0.05, 0.04), cover=0.7, blur=9)  # scorched


def _terminals(p: Photograph) -> None:
    for k in range(56):
        x = 225 + 20.5 * k
        colour = (0.42, 0.43, 0.4) if k % 9 else (0.2, 0.33, 0.12)
        p.fill(box(x, 955, x + 17, 1060, 1), colour, down=-0.2)
        p.bolt(x + 8.5, 972, 5, STEEL)
        p.bolt(x + 8.5, 1044, 5, STEEL)
        tint = ((0.04, 0.04, 0.04), (0.3, 0.05, 0.03), (0.05, 0.06, 0.24), (0.33, 0.3, 0.26))[k % 4]
        hose(p, [(x + 8, 908), (x + 3 + (k * 7) % 11, 935), (x + 8, 972)], 5, tint)
        if k % 6 != 4:
            hose(p, [(x + 8, 1044), (x + (k * 5) % 13, 1075), (x + 8, 1100)], 5, tint)
    hose(
        p, [(700, 1050), (760, 1130), (900, 1080), (1010, 1150), (1180, 1120)], 9, (0.4, 0.38, 0.3)
    )
