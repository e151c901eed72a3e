"""The plan of a machine's feet: what each one must do, and what the level showed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.feet import STAYS_UM, Foot
from retrue.cases.prove.level_numbers import Drawing, Place
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Anchor, Theme, line, path, plain, svg, words
from retrue.figures.letters import wrap
from retrue.figures.prove.labels import Labels

FOOT = 11.0  # radius of a foot, drawing units
LONGEST = {"phone": 20.0, "wide": 30.0, "paper": 30.0}  # of a tilt's arrow
SIDE, ABOVE = 58.0, 54.0  # room around the plan
FLATTEST, HIGHEST = 130.0, 250.0


@dataclass(frozen=True, slots=True)
class Plan:
    """From millimetres on the floor to drawing units; y to the rear is up."""

    left: float
    low: float
    scale: float
    bottom: float

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """A place on the drawing."""
        return (
            SIDE + self.left + (x_mm) * self.scale,
            self.bottom - (y_mm - self.low) * self.scale,
        )


def draw(drawing: Drawing, *, theme: Theme, room: Room) -> str:
    """Draw the feet in plan.

    Parameters
    ----------
    drawing : Drawing
        Feet with their rises, places with their tilts.
    theme : Theme
        Colours.
    room : "phone", "wide" or "paper"
        How much room there is.

    Returns
    -------
    str
        One ``<svg>``.
    """
    wide, size = WIDTHS[room], 12.0 if room == "phone" else 13.0
    plan, below = _plan(drawing, wide)
    high = below + ABOVE
    labels = Labels(wide, high, size, theme)
    parts = _bed(drawing, plan, theme)
    for place in drawing.places:
        labels.keep_free(*plan.at(place.x_mm, place.y_mm), 3)
    for foot in drawing.feet:
        labels.keep_free(*plan.at(foot.x_mm, foot.y_mm), FOOT)
    left_over = [foot for foot in drawing.feet if not _beside(foot, plan, labels, theme)]
    for place in drawing.places:
        parts += _arrows(place, plan, LONGEST[room] / max(abs(drawing.worst), 1e-9), theme, labels)
    for foot in drawing.feet:
        parts += _foot(foot, *plan.at(foot.x_mm, foot.y_mm), theme)
    notes = [text for foot in left_over for text in _foot_lines(foot, full=True)]
    notes += _notes(drawing)
    rows = [row for text in notes for row in wrap(text, wide - 16, size)]
    for index, row in enumerate(rows):
        parts.append(words(8, high + size + 1.35 * size * index, row, theme, size=size))
    high += 1.35 * size * len(rows) + 8
    label = say(
        "Plan of the feet: largest tilt {tilt} µm/m; most to raise {rise} µm",
        tilt=number(abs(drawing.worst)),
        rise=number(max((foot.raise_um for foot in drawing.feet), default=0.0)),
    )
    return svg(parts + labels.parts, size=(wide, high), label=label, sort="figure feet")


def _plan(drawing: Drawing, wide: float) -> tuple[Plan, float]:
    """How the plan stands on a drawing that wide, and where its lower edge is."""
    xs, ys = _spread(drawing)
    long, deep = max(xs) - min(xs), max(ys) - min(ys)
    room = wide - 2 * SIDE
    scale = min(room / max(long, 1.0), HIGHEST / max(deep, 1.0))
    bottom = ABOVE + max(deep * scale, FLATTEST if deep == 0 else 0.0)
    left = (room - long * scale) / 2 - min(xs) * scale
    return Plan(left, min(ys), scale, bottom), bottom


def _spread(drawing: Drawing) -> tuple[list[float], list[float]]:
    places = [(one.x_mm, one.y_mm) for one in drawing.feet]
    places += [(one.x_mm, one.y_mm) for one in drawing.places]
    return [x for x, _ in places], [y for _, y in places]


def _bed(drawing: Drawing, plan: Plan, theme: Theme) -> list[str]:
    xs, ys = _spread(drawing)
    left, low = plan.at(min(xs), min(ys))
    right, top = plan.at(max(xs), max(ys))
    outline = f"M{plain(left)} {plain(low)}H{plain(right)}V{plain(top)}H{plain(left)}Z"
    return [path(outline, stroke=theme.line, thick=1)]


def _foot(foot: Foot, x: float, y: float, theme: Theme) -> list[str]:
    """A foot: a round with the turn of its screw as a wedge, and an arrow up where it rises."""
    disc = _circle(x, y, FOOT)
    parts = [path(disc, stroke=theme.ink, fill=theme.sheet, thick=1.2)]
    if foot.raise_um < STAYS_UM:
        return parts
    if foot.turns is not None:
        parts.append(path(_wedge(x, y, foot.turns), fill=theme.brass_tint, stroke=theme.brass))
    parts.append(line(x, y + 7, x, y - 5, theme.brass, thick=2))
    tip = f"M{plain(x - 4)} {plain(y - 3)}L{plain(x)} {plain(y - 8)}L{plain(x + 4)} {plain(y - 3)}Z"
    parts.append(path(tip, fill=theme.brass))
    return parts


def _circle(x: float, y: float, radius: float) -> str:
    r = plain(radius)
    return (
        f"M{plain(x - radius)} {plain(y)}A{r} {r} 0 1 0 {plain(x + radius)} {plain(y)}"
        f"A{r} {r} 0 1 0 {plain(x - radius)} {plain(y)}Z"
    )


def _wedge(x: float, y: float, turns: float) -> str:
    if turns >= 1:
        return _circle(x, y, FOOT - 2)
    angle, radius = 2 * math.pi * turns, FOOT - 1
    end_x, end_y = x + radius * math.sin(angle), y - radius * math.cos(angle)
    r = plain(radius)
    return (
        f"M{plain(x)} {plain(y)}L{plain(x)} {plain(y - radius)}"
        f"A{r} {r} 0 {int(turns > 0.5)} 1 {plain(end_x)} {plain(end_y)}Z"
    )


def _foot_lines(foot: Foot, *, full: bool = False) -> tuple[str, ...]:
    if foot.raise_um < STAYS_UM:
        told = say("{foot} stays", foot=foot.name)
        return (told,)
    told = say("{foot} up {rise} µm", foot=foot.name, rise=number(foot.raise_um))
    if foot.turns is None or foot.degrees is None:
        return (told,)
    turn = say("{turns} turn, {deg}°", turns=number(foot.turns, 3), deg=number(foot.degrees))
    return (f"{told}: {turn}",) if full else (told, turn)


def _beside(foot: Foot, plan: Plan, labels: Labels, theme: Theme) -> bool:
    x, y = plan.at(foot.x_mm, foot.y_mm)
    lines = _foot_lines(foot)
    rise = 1.25 * labels.size * (len(lines) - 1)
    above, below = y - FOOT - 5 - rise, y + FOOT + 3 + labels.size
    upper = y < (ABOVE + plan.bottom) / 2
    first, second = (above, below) if upper else (below, above)
    offsets: tuple[tuple[float, Anchor], ...] = (
        (0, "middle"), (-FOOT, "start"), (FOOT, "end"), (-50, "start"), (50, "end"),
    )  # fmt: skip
    places = [(x + shift, row, anchor) for row in (first, second) for shift, anchor in offsets]
    if labels.put(lines, places, colour=theme.ink, bold=True):
        return True
    labels.put((foot.name,), places, bold=True)
    return False


def _arrows(place: Place, plan: Plan, reach_of: float, theme: Theme, labels: Labels) -> list[str]:
    """The tilts of one place: arrows to the high end, with their numbers where there is room."""
    x, y = plan.at(place.x_mm, place.y_mm)
    parts = [path(_circle(x, y, 2.5), fill=theme.blue)]
    for tilt, along in ((place.tilt_x, True), (place.tilt_y, False)):
        if tilt is None:
            continue
        half = reach_of * tilt / 2
        dx, dy = (half, 0.0) if along else (0.0, -half)
        parts += _arrow(x - dx, y - dy, x + dx, y + dy, theme)
        labels.put((number(abs(tilt)),), _spots(x, y, dx, dy, labels.size), colour=theme.blue)
    return parts


def _spots(
    x: float, y: float, dx: float, dy: float, size: float
) -> list[tuple[float, float, Anchor]]:
    """Where the number of an arrow may stand: at its tip first."""
    to: Anchor = "start" if dx >= 0 else "end"
    back: Anchor = "end" if dx >= 0 else "start"
    gap = 4.0 if dx >= 0 else -4.0
    if dx:
        return [
            (x + dx + gap, y + 4, to),
            (x - dx - gap, y + 4, back),
            (x + dx, y + size + 4, "middle"),
            (x + dx, y - 6, "middle"),
        ]
    above, below = y - abs(dy) - 4, y + abs(dy) + size
    first, second = (above, below) if dy <= 0 else (below, above)
    return [(x, first, "middle"), (x, second, "middle"), (x + 5, first, "start")]


def _arrow(x1: float, y1: float, x2: float, y2: float, theme: Theme) -> list[str]:
    length = math.hypot(x2 - x1, y2 - y1)
    if length < 1:
        return []
    along_x, along_y = (x2 - x1) / length, (y2 - y1) / length
    head = min(6.0, length)
    base_x, base_y = x2 - head * along_x, y2 - head * along_y
    half = head / 2
    over, across = half * along_x, half * along_y
    tip = (
        f"M{plain(x2)} {plain(y2)}L{plain(base_x - across)} {plain(base_y + over)}"
        f"L{plain(base_x + across)} {plain(base_y - over)}Z"
    )
    return [line(x1, y1, base_x, base_y, theme.blue, thick=1.6), path(tip, fill=theme.blue)]


def _notes(drawing: Drawing) -> list[str]:
    notes = [
        say("Seen from above, x to the right, rear at the top."),
        say("Arrow at a dot: tilt in µm/m, towards the high end."),
    ]
    if any(foot.raise_um >= STAYS_UM for foot in drawing.feet):
        notes.append(say("Wedge in a foot: how far to turn its screw, the way that lifts."))
    return notes
