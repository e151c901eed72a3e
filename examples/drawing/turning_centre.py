"""The slant-bed turning centre of the lot from outside, as its seller photographed it."""

from __future__ import annotations

import math

from examples.drawing.darkroom import HIGH, WIDE, Colour, Photograph, box, oval, poly, stroke
from examples.drawing.shop import (
    FIXED,
    HEAVY,
    OIL,
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

SAND: Colour = (0.55, 0.5, 0.38)  # its enamel
SLATE: Colour = (0.2, 0.22, 0.24)


def front(p: Photograph) -> None:
    """The whole machine from outside: long low casing, one sliding door, chip chute."""
    hall(p, 800)
    p.shadow(poly((120, 1000), (1500, 1000), (1570, 1080), (60, 1080)), 0.75, blur=26)
    for x in (250, 760, 1330):
        foot(p, x, 1002)
    p.fill(poly((90, 420), (150, 370), (150, 975), (90, 930)), (0.3, 0.28, 0.22), down=-0.3)
    sheet(p, 150, 360, 1480, 975, SAND, worn=0.4)
    p.fill(box(150, 830, 1480, 975), SLATE, down=-0.3, mottle=0.05)
    p.blotch(box(150, 840, 1480, 975), (0.27, 0.23, 0.16), grain=(60, 14), share=0.35, cover=0.4)
    p.fill(
        poly((430, 360), (1180, 360), (1130, 250), (470, 250)),
        (0.48, 0.44, 0.34),
        down=-0.25,
        mottle=0.03,
    )
    p.shadow(stroke([(430, 360), (1180, 360)], 6), 0.5, blur=3)
    sheet(p, 160, 370, 440, 825, (0.5, 0.46, 0.35))  # headstock end with a louvre
    for y in range(440, 620, 24):
        p.shadow(box(205, y, 390, y + 11, 3), 0.55, blur=1.5)
        p.shine(box(205, y + 12, 390, y + 14), 0.07, blur=1)
    p.turned(300, 715, 58, (0.14, 0.14, 0.14), gloss=0.25)
    sheet(p, 455, 385, 1105, 815, (0.58, 0.53, 0.41))
    window(p, 540, 455, 940, 660, yellow=1.0)
    for angle in (0.2, 1.1, 2.0, 3.3, 4.4, 5.3):  # a star in the window
        end = (690 + 74 * math.cos(angle), 560 + 60 * math.sin(angle))
        p.lines([[(690, 560), end]], (0.75, 0.75, 0.7), 1.8, 0.8)
    handle(p, 1040, 500, 700)
    p.fill(box(455, 812, 1110, 826), (0.05, 0.05, 0.05))
    _panel(p)
    p.fill(box(1330, 700, 1480, 830), (0.06, 0.06, 0.06), down=0.4)  # chip chute, open
    p.specks(box(1335, 770, 1475, 828), (0.3, 0.29, 0.27), 120, 7)
    p.blotch(box(1200, 820, 1480, 975), RUST, grain=(60, 16), share=0.25, cover=0.6)
    p.fill(oval(1270, 1080, 260, 32), OIL, cover=0.95, blur=8)
    p.shine(oval(1230, 1076, 80, 6), 0.1, blur=7)
    p.letters(1340, 398, "INV. 0421", 24, (0.09, 0.09, 0.1), font=HEAVY, cover=0.8)
    hose(p, [(150, 900), (80, 940), (40, 860), (10, 700), (-20, 640)], 26)


def _panel(p: Photograph) -> None:
    x, y = 1135, 395
    sheet(p, x, y, 1320, y + 420, (0.34, 0.35, 0.34), worn=0.1)
    p.fill(box(x + 16, y + 22, x + 168, y + 150, 5), (0.02, 0.025, 0.025), down=0.5)
    p.shine(poly((x + 24, y + 30), (x + 80, y + 30), (x + 50, y + 140), (x + 24, y + 140)), 0.08)
    for row in range(6):
        for column in range(5):
            tone = 0.46 if (row + 2 * column) % 4 else 0.25
            kx, ky = x + 18 + column * 31, y + 170 + row * 26
            p.fill(box(kx, ky, kx + 24, ky + 19, 3), (tone, tone, tone * 0.94), down=-0.3)
    p.turned(x + 50, y + 372, 30, (0.12, 0.12, 0.12))
    p.fill(oval(x + 132, y + 374, 25), (0.42, 0.33, 0.05))
    p.turned(x + 132, y + 372, 18, (0.5, 0.06, 0.05), gloss=0.2)


def plate(p: Photograph) -> None:
    """Its name plate, printed, one corner bent."""
    p.fill(box(0, 0, WIDE, HIGH), SAND, down=-0.15, across=0.2, mottle=0.03, grain=(110, 110))
    p.blotch(box(0, 0, WIDE, HIGH), (0.26, 0.22, 0.14), grain=(130, 60), share=0.35, cover=0.35)
    p.shadow(box(238, 260, 1380, 990, 6), 0.6, blur=14)
    p.fill(box(230, 240, 1370, 970, 6), (0.08, 0.085, 0.09), across=0.2, mottle=0.04)
    p.edges(230, 240, 1370, 970)
    p.letters(270, 262, "SLANT BED TURNING CENTRE", 46, (0.62, 0.61, 0.57), font=HEAVY)
    p.fill(box(270, 330, 1330, 334), (0.6, 0.6, 0.57))
    rows = (
        ("Type", "7-250", "No", "04-113"),
        ("Volt", "3 x 400", "Hz", "50"),
        ("kVA", "27", "A", "40"),
        ("Chuck", "250 mm", "rpm max", "3 500"),
        ("Mass", "3 800 kg", "Year", "2004"),
    )
    for index, (name, value, other, more) in enumerate(rows):
        y = 360 + 118 * index
        for x, label, text in ((270, name, value), (810, other, more)):
            p.letters(x, y + 26, label, 34, (0.62, 0.61, 0.57), font=PLAIN)
            p.fill(box(x + 175, y, x + 510, y + 88), (0.57, 0.56, 0.53), mottle=0.03)
            p.letters(x + 195, y + 16, text, 46, (0.06, 0.06, 0.07), font=FIXED, cover=0.95)
    for x in (255, 1345):
        p.turned(x, 262, 13, STEEL)
        p.turned(x, 948, 13, STEEL)
    p.shine(poly((1250, 970), (1370, 850), (1370, 970)), 0.16, blur=6)
    p.blotch(box(230, 240, 1370, 970), (0.3, 0.26, 0.17), grain=(36, 80), share=0.2, cover=0.45)


def hours(p: Photograph) -> None:
    """The hour page on an old screen, picture burnt in, keys worn round it."""
    p.fill(box(0, 0, WIDE, HIGH), (0.3, 0.31, 0.3), down=-0.2, across=0.2, mottle=0.03)
    p.blotch(box(0, 0, WIDE, HIGH), (0.16, 0.15, 0.12), grain=(110, 60), share=0.3, cover=0.35)
    p.shadow(box(150, 80, 1230, 930, 30), 0.4, blur=14)
    p.fill(box(140, 70, 1220, 915, 28), (0.09, 0.095, 0.1), down=-0.4, mottle=0.03)
    p.edges(140, 70, 1220, 915)
    p.fill(box(215, 135, 1145, 850, 40), (0.012, 0.022, 0.016))
    glow: Colour = (0.16, 0.85, 0.3)
    p.letters(255, 170, "OPERATING TIME", 46, glow, font=FIXED, cover=0.9)
    p.fill(box(255, 232, 1105, 236), glow, cover=0.7)
    lines = (
        ("POWER ON", "38 214 h"),
        ("SPINDLE RUN", "21 406 h"),
        ("CUTTING", "12 977 h"),
        ("PARTS", "  104 338"),
        ("ALARM B2", "BATTERY LOW"),
    )
    for index, (name, value) in enumerate(lines):
        y = 278 + 92 * index
        p.letters(255, y, name, 44, glow, font=FIXED, cover=0.88)
        p.letters(700, y, value, 44, glow, font=FIXED, cover=0.88)
    p.letters(255, 765, "17-06-25  07:41", 36, glow, font=FIXED, cover=0.6)
    for index in range(6):  # another page burnt in below it
        p.letters(
            300,
            205 + 92 * index,
            f"N0{index + 1}0 G01 X{48 - index}.4 Z-{3 * index}.",
            40,
            (0.06, 0.13, 0.08),
            font=FIXED,
            cover=0.5,
        )
    for y in range(140, 850, 4):
        p.shadow(box(216, y, 1144, y + 1.6), 0.3, blur=0)
    p.shine(box(216, 136, 1144, 848, 40), 0.02, blur=30)
    p.shine(poly((940, 140), (1100, 140), (1140, 500), (1040, 480)), 0.09, blur=26)
    _keys(p)


def _keys(p: Photograph) -> None:
    """Keys to the right of the screen and below it; the most used ones are rubbed blank."""
    for row in range(7):
        for column in range(3):
            kx, ky = 1275 + column * 106, 90 + row * 118
            worn = (row * 3 + column) % 4 == 1
            p.shadow(box(kx + 4, ky + 6, kx + 94, ky + 98, 8), 0.5, blur=5)
            p.fill(
                box(kx, ky, kx + 90, ky + 90, 8),
                (0.45, 0.45, 0.42) if not worn else (0.55, 0.5, 0.4),
                down=-0.25,
                mottle=0.03,
            )
            p.edges(kx, ky, kx + 90, ky + 90, 0.2)
            text = "XZYFST7894561230-.EO/"[row * 3 + column]
            p.letters(
                kx + 45,
                ky + 20,
                text,
                46,
                (0.06, 0.06, 0.06),
                font=HEAVY,
                cover=0.25 if worn else 0.9,
                middle=True,
            )
            if worn:
                p.blotch(
                    box(kx, ky, kx + 90, ky + 90),
                    (0.12, 0.1, 0.07),
                    grain=(20, 20),
                    share=0.35,
                    cover=0.5,
                )
    for index in range(6):
        kx = 235 + index * 155
        p.shadow(box(kx + 4, 966, kx + 124, 1046, 8), 0.5, blur=5)
        p.fill(box(kx, 958, kx + 120, 1036, 8), (0.42, 0.42, 0.4), down=-0.25, mottle=0.03)
        p.edges(kx, 958, kx + 120, 1036, 0.2)
