"""Paint, light and film for the drawn photographs of the example lot.

A photograph is an array of 1200 x 1600 x 3 linear brightnesses, 0 to 1. Shapes are painted on it
back to front, then it is developed: lens, light falloff, grain, a crooked hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

WIDE, HIGH = 1600, 1200
FINE = 2  # shapes are drawn this much larger, for smooth edges

Pixels = NDArray[np.float32]
Colour = tuple[float, float, float]
Point = tuple[float, float]
Points = Sequence[Point]


@dataclass(frozen=True, slots=True)
class Shape:
    """Something with an outline: a polygon, an oval, a stroke, a box with round corners."""

    sort: Literal["poly", "oval", "stroke", "box"]
    points: tuple[Point, ...]
    size: float = 0.0  # width of the stroke, radius of the corners

    def bounds(self) -> tuple[float, float, float, float]:
        """Left, top, right, low."""
        xs, ys = [p[0] for p in self.points], [p[1] for p in self.points]
        more = self.size if self.sort == "stroke" else 0.0
        return min(xs) - more, min(ys) - more, max(xs) + more, max(ys) + more


def poly(*points: Point) -> Shape:
    """A closed outline."""
    return Shape("poly", points)


def box(x0: float, y0: float, x1: float, y1: float, round_: float = 0.0) -> Shape:
    """An upright rectangle."""
    return Shape("box", ((x0, y0), (x1, y1)), round_)


def oval(x: float, y: float, wide: float, high: float | None = None) -> Shape:
    """An ellipse by its middle and half axes."""
    tall = wide if high is None else high
    return Shape("oval", ((x - wide, y - tall), (x + wide, y + tall)))


def stroke(points: Points, width: float) -> Shape:
    """A line with round bends."""
    return Shape("stroke", tuple(points), width)


def curve(points: Points, steps: int = 24) -> list[Point]:
    """A smooth line through some points (Catmull-Rom)."""
    out: list[Point] = []
    ends = [points[0], *points, points[-1]]
    for a, b, c, d in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        for step in range(steps):
            t = step / steps
            x, y = (
                0.5
                * (
                    2 * b[i]
                    + (c[i] - a[i]) * t
                    + (2 * a[i] - 5 * b[i] + 4 * c[i] - d[i]) * t**2
                    + (3 * b[i] - a[i] - 3 * c[i] + d[i]) * t**3
                )
                for i in (0, 1)
            )
            out.append((x, y))
    return [*out, points[-1]]


class Photograph:
    """One photograph in the making."""

    def __init__(self, seed: int, ground: Colour = (0.3, 0.3, 0.3)) -> None:
        self.chance = np.random.Generator(np.random.Philox(seed))
        self.pixels: Pixels = np.empty((HIGH, WIDE, 3), dtype=np.float32)
        self.pixels[:] = ground

    # -- places ------------------------------------------------------------

    def area(self, shape: Shape, blur: float = 0.0) -> tuple[slice, slice, Pixels]:
        """Where a shape lies and how much of each pixel it covers."""
        x0, y0, x1, y1 = shape.bounds()
        more = 3 * blur + 2
        left, top = max(0, int(x0 - more)), max(0, int(y0 - more))
        right, low = min(WIDE, int(x1 + more) + 1), min(HIGH, int(y1 + more) + 1)
        if right <= left or low <= top:
            return slice(0, 0), slice(0, 0), np.zeros((0, 0), dtype=np.float32)
        plate = Image.new("L", ((right - left) * FINE, (low - top) * FINE), 0)
        pen = ImageDraw.Draw(plate)
        points = [((x - left) * FINE, (y - top) * FINE) for x, y in shape.points]
        if shape.sort == "poly":
            pen.polygon(points, fill=255)
        elif shape.sort == "oval":
            pen.ellipse((*points[0], *points[1]), fill=255)
        elif shape.sort == "box":
            pen.rounded_rectangle((*points[0], *points[1]), radius=shape.size * FINE, fill=255)
        else:
            pen.line(points, fill=255, width=max(1, round(shape.size * FINE)), joint="curve")
        small = plate.resize((right - left, low - top), Image.Resampling.BOX)
        if blur > 0:
            small = small.filter(ImageFilter.GaussianBlur(blur))
        cover: Pixels = np.asarray(small, dtype=np.float32) / np.float32(255)
        return slice(top, low), slice(left, right), cover

    def noise(self, high: int, wide: int, grain_y: float, grain_x: float, steps: int = 3) -> Pixels:
        """Smooth chance between about -1 and 1, of a given grain in pixels."""
        total = np.zeros((high, wide), dtype=np.float32)
        weight = 1.0
        for step in range(steps):
            gy, gx = max(1.0, grain_y / 2**step), max(1.0, grain_x / 2**step)
            rows, columns = int(high / gy) + 3, int(wide / gx) + 3
            rough = self.chance.standard_normal((rows, columns)).astype(np.float32)
            sheet = Image.fromarray(rough).resize(
                (int(columns * gx), int(rows * gy)), Image.Resampling.BICUBIC
            )
            total += weight * np.asarray(sheet, dtype=np.float32)[:high, :wide]
            weight *= 0.55
        return total / 1.4

    # -- paint ---------------------------------------------------------------

    def fill(
        self,
        shape: Shape,
        colour: Colour,
        *,
        cover: float = 1.0,
        blur: float = 0.0,
        down: float = 0.0,
        across: float = 0.0,
        mottle: float = 0.0,
        grain: tuple[float, float] = (60, 60),
    ) -> None:
        """Paint a shape; ``down`` and ``across`` make it lighter or darker that way."""
        rows, columns, alpha = self.area(shape, blur)
        if not alpha.size:
            return
        high, wide = alpha.shape
        light = np.ones((high, wide), dtype=np.float32)
        light += down * np.linspace(-0.5, 0.5, high, dtype=np.float32)[:, None]
        light += across * np.linspace(-0.5, 0.5, wide, dtype=np.float32)[None, :]
        if mottle:
            light += mottle * self.noise(high, wide, *grain)
        ink = np.asarray(colour, dtype=np.float32) * light[..., None]
        part = self.pixels[rows, columns]
        part += (ink - part) * (alpha * cover)[..., None]

    def shadow(self, shape: Shape, depth: float = 0.5, *, blur: float = 18) -> None:
        """Darken softly."""
        rows, columns, alpha = self.area(shape, blur)
        self.pixels[rows, columns] *= (1 - depth * alpha)[..., None]

    def shine(self, shape: Shape, strength: float = 0.3, *, blur: float = 14) -> None:
        """Lighten softly, as a reflection does."""
        rows, columns, alpha = self.area(shape, blur)
        self.pixels[rows, columns] += (strength * alpha)[..., None]

    def rod(
        self,
        shape: Shape,
        colour: Colour,
        *,
        upright: bool = False,
        gloss: float = 0.5,
        mottle: float = 0.0,
    ) -> None:
        """Paint a shape as a round bar: light on one side, dark at both edges."""
        rows, columns, alpha = self.area(shape)
        if not alpha.size:
            return
        high, wide = alpha.shape
        t = np.linspace(0, 1, wide if upright else high, dtype=np.float32)
        light = 0.35 + 0.75 * np.clip(np.sin(np.pi * t), 0, 1) ** 0.8
        light += gloss * np.exp(-(((t - 0.32) / 0.09) ** 2))
        sheet = np.broadcast_to(light[None, :] if upright else light[:, None], (high, wide)).copy()
        if mottle:
            sheet += mottle * self.noise(high, wide, 25, 25)
        ink = np.asarray(colour, dtype=np.float32) * sheet[..., None]
        part = self.pixels[rows, columns]
        part += (ink - part) * alpha[..., None]

    def turned(
        self,
        x: float,
        y: float,
        radius: float,
        colour: Colour,
        *,
        flat: float = 1.0,
        gloss: float = 0.55,
        rings: float = 0.05,
    ) -> None:
        """Paint a turned face: two bright fans opposite each other and fine rings."""
        rows, columns, alpha = self.area(oval(x, y, radius, radius * flat))
        if not alpha.size:
            return
        ys, xs = np.mgrid[rows, columns].astype(np.float32)
        dx, dy = xs - x, (ys - y) / flat
        angle, far = np.arctan2(dy, dx), np.hypot(dx, dy)
        light = 0.62 + gloss * (np.cos(2 * (angle + 0.9)) ** 8) + 0.1 * np.cos(angle + 2.2)
        profile = self.noise(1, int(radius) + 4, 1, 3, 2)[0]
        light += rings * profile[np.clip(far, 0, radius + 2).astype(int)]
        ink = np.asarray(colour, dtype=np.float32) * light[..., None]
        part = self.pixels[rows, columns]
        part += (ink - part) * alpha[..., None]

    def blotch(
        self,
        shape: Shape,
        colour: Colour,
        *,
        grain: tuple[float, float] = (40, 40),
        share: float = 0.4,
        cover: float = 0.8,
        soft: float = 1.2,
        blur: float = 0.0,
    ) -> None:
        """Stain a share of a shape in patches: rust, dust, oil."""
        rows, columns, alpha = self.area(shape, blur)
        if not alpha.size:
            return
        high, wide = alpha.shape
        patches = self.noise(high, wide, grain[0], grain[1], 4)
        edge = float(np.quantile(patches, 1 - share))
        fine = 0.75 + 0.35 * self.noise(high, wide, 5, 5, 1)
        amount = np.clip((patches - edge) / soft * fine, 0, 1) * alpha * cover
        tint = 1 + 0.18 * self.noise(high, wide, 6, 6, 2)
        ink = np.asarray(colour, dtype=np.float32) * tint[..., None]
        part = self.pixels[rows, columns]
        part += (ink - part) * amount[..., None]

    def specks(self, shape: Shape, colour: Colour, count: int, size: float = 2.0) -> None:
        """Scatter chips or crumbs over the box around a shape."""
        x0, y0, x1, y1 = shape.bounds()
        for x, y, r, t in self.chance.random((count, 4)):
            length = size * (0.5 + 2 * r)
            px, py = x0 + x * (x1 - x0), y0 + y * (y1 - y0)
            end = (px + length * np.cos(6.3 * t), py + length * np.sin(6.3 * t))
            light = 0.7 + 0.6 * r
            ink = (colour[0] * light, colour[1] * light, colour[2] * light)
            self.fill(stroke([(px, py), end], size * 0.7), ink)

    def lines(self, segments: Sequence[Points], colour: Colour, width: float, cover: float) -> None:
        """Several strokes of one pen."""
        for segment in segments:
            self.fill(stroke(segment, width), colour, cover=cover, blur=0.4)

    def edges(self, x0: float, y0: float, x1: float, y1: float, depth: float = 0.3) -> None:
        """A sheet's edges: light along its top and left, dark along the others."""
        for a, b in (((x0, y0), (x1, y0)), ((x0, y0), (x0, y1))):
            self.shine(stroke([a, b], 2.5), depth * 0.35, blur=0.8)
        for a, b in (((x0, y1), (x1, y1)), ((x1, y0), (x1, y1))):
            self.shadow(stroke([a, b], 3.5), depth, blur=1.0)

    def bolt(self, x: float, y: float, radius: float, colour: Colour = (0.3, 0.3, 0.31)) -> None:
        """A socket head screw seen from its end."""
        self.shadow(oval(x + 2, y + 3, radius * 1.15), 0.5, blur=2.5)
        self.turned(x, y, radius, colour, gloss=0.35)
        six = [
            (x + 0.5 * radius * np.cos(k * np.pi / 3), y + 0.5 * radius * np.sin(k * np.pi / 3))
            for k in range(6)
        ]
        self.fill(poly(*six), (0.03, 0.03, 0.03), blur=0.5)

    def letters(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        colour: Colour,
        *,
        font: str,
        cover: float = 1.0,
        middle: bool = False,
    ) -> None:
        """Stamped or printed letters."""
        face = ImageFont.truetype(font, round(size), layout_engine=ImageFont.Layout.BASIC)
        wide = int(face.getlength(text)) + 6
        plate = Image.new("L", (wide, int(size * 1.5)), 0)
        ImageDraw.Draw(plate).text((2, 2), text, fill=255, font=face)
        alpha = np.asarray(plate, dtype=np.float32) / 255 * cover
        left, top = int(x - wide / 2 if middle else x), int(y)
        part = self.pixels[top : top + alpha.shape[0], left : left + wide]
        alpha = alpha[: part.shape[0], : part.shape[1]]
        part += (np.asarray(colour, dtype=np.float32) - part) * alpha[..., None]

    def bend(self, corners: Sequence[Point]) -> None:
        """Look at everything painted so far from aside: where its four corners go."""
        whole = ((0, 0), (WIDE, 0), (WIDE, HIGH), (0, HIGH))
        planes = [_warped(self.pixels[..., band], whole, corners) for band in range(3)]
        self.pixels = np.stack(planes, axis=-1)

    # -- film ----------------------------------------------------------------

    def develop(
        self,
        *,
        light: Point = (0.45, 0.35),
        falloff: float = 0.55,
        cast: Colour = (1.0, 1.0, 0.96),
        exposure: float = 1.0,
        tilt: Sequence[Point] = ((12, 8), (1590, 14), (1584, 1192), (6, 1186)),
        blur: float = 0.9,
        grain: float = 0.02,
    ) -> Image.Image:
        """Expose and develop: a lamp somewhere, a small lens, grain, a crooked hand.

        ``tilt`` names the four points of the scene that come to lie in the corners.
        """
        self.bend(_through(tilt))
        ys, xs = np.mgrid[0:HIGH, 0:WIDE].astype(np.float32)
        far = np.hypot((xs / WIDE - light[0]) * 1.25, ys / HIGH - light[1])
        lamp = exposure * (1.12 - falloff * far**1.6)
        picture = self.pixels * np.clip(lamp, 0.05, None)[..., None] * np.asarray(cast, np.float32)
        picture = 1 - np.exp(-1.25 * np.clip(picture, 0, None))  # shoulder of the film
        picture = np.clip(picture, 0, 1) ** (1 / 1.75)
        picture = 0.35 * picture + 0.65 * picture**2 * (3 - 2 * picture)  # and its toe
        sharp = Image.fromarray((picture * 255).astype(np.uint8))
        soft = np.asarray(sharp.filter(ImageFilter.GaussianBlur(blur)), dtype=np.float32) / 255
        dark = 1.25 - soft.mean(axis=-1, keepdims=True)  # small sensors are noisy in the dark
        fine = self.noise(HIGH, WIDE, 1.6, 1.6, 1)[..., None]
        tint = np.stack([self.noise(HIGH, WIDE, 5, 5, 1) for _ in range(3)], axis=-1)
        soft += dark * (grain * fine + 0.5 * grain * tint)
        return Image.fromarray((np.clip(soft, 0, 1) * 255).astype(np.uint8))


def _through(tilt: Sequence[Point]) -> list[Point]:
    """Where the canvas' corners go if ``tilt`` is to fill the frame."""
    whole = ((0, 0), (WIDE, 0), (WIDE, HIGH), (0, HIGH))
    m = np.array(_coefficients(whole, tilt), dtype=float)
    out = []
    for x, y in whole:
        low = m[6] * x + m[7] * y + 1
        out.append(((m[0] * x + m[1] * y + m[2]) / low, (m[3] * x + m[4] * y + m[5]) / low))
    return out


def _coefficients(to: Sequence[Point], of: Sequence[Point]) -> list[float]:
    """Eight numbers of the projection that takes the points ``of`` to the points ``to``."""
    rows, wanted = [], []
    for (x, y), (u, v) in zip(of, to, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    solved = np.linalg.solve(np.array(rows, dtype=float), np.array(wanted, dtype=float))
    return [float(value) for value in solved]


def _warped(plane: Pixels, of: Sequence[Point], to: Sequence[Point]) -> Pixels:
    back = _coefficients(of, to)
    sheet = Image.fromarray(np.ascontiguousarray(plane))
    moved = sheet.transform(
        (WIDE, HIGH), Image.Transform.PERSPECTIVE, back, Image.Resampling.BICUBIC
    )
    return np.asarray(moved, dtype=np.float32)
