"""Beside the machines: the coolant tank, and what goes with the lot on a pallet."""

from __future__ import annotations

import math

from examples.drawing.darkroom import HIGH, WIDE, Colour, Photograph, box, oval, poly, stroke
from examples.drawing.shop import (
    DARK,
    HEAVY,
    IRON,
    OIL,
    RUBBER,
    RUST,
    STEEL,
    hose,
)

SLATE: Colour = (0.2, 0.22, 0.24)


def tank(p: Photograph) -> None:
    """The coolant tank from above: a rust line, grey paste, a floating rag."""
    p.fill(box(0, 0, WIDE, HIGH), (0.3, 0.29, 0.26), down=0.25, mottle=0.1, grain=(40, 130))
    p.blotch(box(0, 0, WIDE, HIGH), OIL, grain=(70, 120), share=0.35, cover=0.7)
    p.fill(poly((140, 120), (1440, 70), (1520, 1110), (90, 1140)), SLATE, down=-0.2, mottle=0.05)
    inner = poly((215, 195), (1370, 150), (1435, 1030), (170, 1055))
    p.fill(inner, (0.1, 0.095, 0.08))
    p.blotch(inner, RUST, grain=(20, 40), share=0.7, cover=0.85)
    wet = poly((262, 262), (1328, 222), (1378, 985), (222, 1004))
    p.shadow(wet, 0.4, blur=14)
    p.fill(wet, (0.25, 0.25, 0.19), down=0.35, across=-0.2, mottle=0.08, grain=(90, 160))
    p.blotch(wet, (0.33, 0.32, 0.28), grain=(60, 110), share=0.5, cover=0.75)
    p.blotch(wet, (0.1, 0.085, 0.05), grain=(34, 60), share=0.22, cover=0.85)
    p.blotch(
        poly((262, 262), (700, 245), (560, 640), (240, 700)),
        (0.42, 0.41, 0.38),
        grain=(30, 44),
        share=0.75,
        cover=0.85,
    )
    p.shine(poly((820, 300), (1080, 290), (960, 660), (760, 690)), 0.16, blur=46)
    p.shine(oval(1120, 820, 120, 40), 0.12, blur=30)
    _pump(p)
    p.shadow(poly((560, 760), (790, 720), (860, 850), (640, 900)), 0.5, blur=14)
    rag = poly((548, 745), (700, 705), (790, 716), (850, 830), (740, 850), (632, 886))
    p.fill(rag, (0.36, 0.1, 0.08), mottle=0.25, grain=(20, 40))
    p.specks(wet, (0.42, 0.41, 0.38), 150, 8)


def _pump(p: Photograph) -> None:
    """The pump on its plate, its hose going off to the right."""
    p.shadow(box(985, 120, 1215, 520, 10), 0.6, blur=22)
    p.fill(
        poly((960, 120), (1230, 110), (1240, 470), (965, 480)),
        (0.28, 0.29, 0.29),
        down=-0.2,
        mottle=0.05,
    )
    p.edges(962, 118, 1232, 474)
    p.turned(1098, 290, 122, (0.14, 0.15, 0.16), gloss=0.4)
    p.turned(1098, 290, 80, (0.1, 0.105, 0.11), gloss=0.3)
    for k in range(16):
        a = k * math.pi / 8
        p.shadow(
            stroke(
                [
                    (1098 + 86 * math.cos(a), 290 + 86 * math.sin(a)),
                    (1098 + 118 * math.cos(a), 290 + 118 * math.sin(a)),
                ],
                9,
            ),
            0.6,
            blur=1.5,
        )
    for bx in (985, 1212):
        for by in (140, 452):
            p.bolt(bx, by, 13)
    hose(p, [(1215, 400), (1330, 420), (1470, 330), (1620, 320)], 36, (0.08, 0.09, 0.12))


def loose(p: Photograph) -> None:
    """Everything that goes with both machines, on a pallet, with a tape measure."""
    p.fill(box(0, 0, WIDE, HIGH), (0.34, 0.33, 0.31), down=0.2, mottle=0.1, grain=(40, 130))
    p.blotch(box(0, 0, WIDE, HIGH), (0.16, 0.15, 0.13), grain=(60, 140), share=0.35, cover=0.5)
    p.shadow(poly((150, 150), (1480, 120), (1540, 1120), (90, 1140)), 0.7, blur=30)
    for k in range(7):
        y = 130 + 142 * k
        p.fill(
            poly(
                (140 - 6 * k, y),
                (1470 + 8 * k, y - 26),
                (1474 + 8 * k, y + 92),
                (134 - 6 * k, y + 118),
            ),
            (0.4 - 0.02 * (k % 3), 0.3, 0.17),
            mottle=0.14,
            grain=(7, 220),
        )
        p.shadow(stroke([(134 - 6 * k, y + 120), (1474 + 8 * k, y + 94)], 9), 0.75, blur=3)
        p.bolt(190, y + 55, 7, (0.3, 0.28, 0.26))
        p.bolt(1420, y + 30, 7, (0.3, 0.28, 0.26))
    p.blotch(box(140, 120, 1500, 1130), OIL, grain=(60, 90), share=0.2, cover=0.5)
    for index, (x, y) in enumerate(((260, 250), (400, 236), (545, 262), (690, 240), (842, 256))):
        _holder(p, x, y, rusty=index in (1, 4))
    _jaws(p)
    _vice(p)
    _papers(p)
    _tape(p)
    p.shadow(oval(1290, 905, 150, 120), 0.55, blur=20)  # a crate of small parts
    p.fill(box(1150, 760, 1430, 1010, 8), (0.07, 0.1, 0.2), down=-0.3, mottle=0.05)
    p.fill(box(1172, 782, 1408, 984, 4), (0.03, 0.035, 0.05))
    p.specks(box(1185, 795, 1395, 970), (0.4, 0.38, 0.34), 130, 15)
    for x, y in ((1230, 850), (1310, 900), (1350, 830), (1250, 930)):
        p.turned(x, y, 27, STEEL)
        p.fill(oval(x, y, 12), (0.03, 0.03, 0.03))


def _holder(p: Photograph, x: float, y: float, *, rusty: bool) -> None:
    """A taper tool holder lying on its side, flange in the middle."""
    p.shadow(
        poly((x + 10, y + 20), (x + 120, y + 20), (x + 110, y + 360), (x + 30, y + 360)),
        0.6,
        blur=14,
    )
    p.rod(
        poly((x, y + 150), (x + 104, y + 150), (x + 74, y + 330), (x + 30, y + 330)),
        (0.45, 0.44, 0.43),
        upright=True,
        mottle=0.05,
    )
    p.rod(box(x + 40, y + 328, x + 64, y + 372, 4), IRON, upright=True)
    p.rod(box(x - 14, y + 104, x + 118, y + 152, 3), (0.3, 0.3, 0.3), upright=True)
    p.shadow(box(x - 14, y + 122, x + 118, y + 132), 0.5, blur=2)
    p.rod(box(x + 12, y, x + 92, y + 106, 6), (0.18, 0.18, 0.185), upright=True)
    if rusty:
        p.blotch(box(x - 14, y, x + 118, y + 372), RUST, grain=(18, 18), share=0.45, cover=0.75)


def _jaws(p: Photograph) -> None:
    for index, (x, y) in enumerate(((240, 700), (420, 720), (600, 690), (265, 880), (450, 890))):
        p.shadow(box(x + 10, y + 14, x + 160, y + 130), 0.6, blur=11)
        p.fill(
            poly((x, y), (x + 148, y - 6), (x + 152, y + 112), (x + 4, y + 118)),
            (0.33, 0.325, 0.315),
            down=-0.3,
            mottle=0.06,
        )
        p.fill(
            poly((x + 50, y - 2), (x + 148, y - 6), (x + 150, y + 50), (x + 52, y + 54)),
            (0.45, 0.44, 0.42),
            down=-0.2,
        )
        p.edges(x, y, x + 150, y + 115)
        p.bolt(x + 40, y + 84, 15)
        p.bolt(x + 106, y + 84, 15)
        if index in (0, 3):
            p.blotch(box(x, y, x + 150, y + 115), RUST, grain=(18, 18), share=0.5, cover=0.75)


def _vice(p: Photograph) -> None:
    p.shadow(box(790, 700, 1100, 1000), 0.6, blur=20)
    p.fill(box(780, 680, 1070, 960, 8), (0.2, 0.24, 0.23), down=-0.25, mottle=0.05)
    p.edges(780, 680, 1070, 960)
    for y in (690, 850):
        p.fill(
            box(796, y, 1054, y + 60, 4), (0.45, 0.44, 0.42), down=-0.3, mottle=0.04, grain=(3, 80)
        )
        p.edges(796, y, 1054, y + 60)
    p.rod(box(900, 955, 950, 1050, 6), IRON, upright=True)


def _papers(p: Photograph) -> None:
    p.shadow(poly((1110, 250), (1420, 210), (1470, 620), (1150, 660)), 0.55, blur=16)
    p.fill(poly((1100, 235), (1400, 195), (1450, 600), (1140, 645)), (0.5, 0.47, 0.36), mottle=0.04)
    p.fill(poly((1125, 262), (1370, 230), (1408, 555), (1158, 592)), (0.62, 0.6, 0.5))
    for k in range(9):
        p.lines(
            [[(1150 + 3 * k, 300 + 32 * k), (1352 + 4 * k, 274 + 32 * k)]], (0.2, 0.2, 0.22), 5, 0.7
        )
    p.blotch(box(1100, 200, 1450, 640), (0.3, 0.22, 0.1), grain=(50, 50), share=0.2, cover=0.5)


def _tape(p: Photograph) -> None:
    """A steel tape pulled out along the front edge of the pallet."""
    y0, y1 = 1062, 1040
    p.shadow(poly((120, y0 + 8), (1330, y1 + 8), (1332, y1 + 56), (122, y0 + 56)), 0.5, blur=8)
    p.fill(
        poly((120, y0), (1330, y1), (1331, y1 + 44), (121, y0 + 44)), (0.72, 0.6, 0.12), mottle=0.03
    )
    for k in range(121):
        x = 124 + 10 * k
        y = y0 + (y1 - y0) * (k / 121)
        long = 26 if k % 10 == 0 else 18 if k % 5 == 0 else 11
        p.fill(stroke([(x, y), (x, y + long)], 1.8), (0.03, 0.03, 0.03))
        if k % 10 == 0 and k:
            p.letters(x - 30, y + 12, f"{k}", 22, (0.03, 0.03, 0.03), font=HEAVY)
    p.shadow(box(1320, 990, 1480, 1130, 20), 0.6, blur=12)
    p.fill(box(1310, 980, 1465, 1110, 22), DARK, down=-0.4)
    p.fill(oval(1388, 1045, 42), RUBBER, down=-0.5)
