"""A machine on a ramp: what pulls it up, what two holds must hold."""

from __future__ import annotations

import math

from retrue.base.formatter import THIN, number
from retrue.base.say import say
from retrue.cases.move.drawings import RampDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, line, path, plain, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.move.strokes import centre_mark, outline, shaft

STEEPEST = 40.0  # drawn; a slope that steep is refused elsewhere


def rows(drawing: RampDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers.

    Parameters
    ----------
    drawing : RampDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> rows(RampDrawing(mass_kg=5000, slope_deg=5, pull_newton=6718, hold_newton=4274))[2][1]
    '6\u202f718\u202fN'
    """
    force = THIN + "N"
    told = [
        (say("mass"), number(drawing.mass_kg) + THIN + "kg"),
        (say("slope"), number(drawing.slope_deg, 1) + "°"),
        (say("pull up the ramp"), number(drawing.pull_newton) + force),
        (say("what each of two holds must hold"), number(drawing.hold_newton) + force),
    ]
    for name, value in (
        (say("length along the slope"), drawing.length_mm), (say("rise"), drawing.rise_mm)
    ):  # fmt: skip
        if value is not None:
            told.append((name, number(value) + THIN + "mm"))
    return tuple(told)


def draw(drawing: RampDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the ramp from the side at its true slope.

    Parameters
    ----------
    drawing : RampDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``; the slope is true, lengths are not.

    Examples
    --------
    >>> from retrue.figures.ink import PAPER
    >>> made = RampDrawing(mass_kg=5000, slope_deg=5, pull_newton=6718, hold_newton=4274)
    >>> "hold twice 4\u202f274" in draw(made, theme=PAPER, room="wide")
    True
    """
    wide, size = min(WIDTHS[room], 520.0), 12.0 if room == "phone" else 13.0
    slope = math.radians(min(drawing.slope_deg, STEEPEST))
    run = wide - 60
    rise = run * math.tan(slope)
    top = 124.0
    foot, head = (30.0, top + rise), (30.0 + run, top)
    parts = [
        path(outline([foot, (head[0], foot[1]), head]), fill=theme.brass_tint, stroke=theme.ink,
             thick=1.4),
        line(6, foot[1], wide - 6, foot[1], theme.ink, thick=1.6),
        line(head[0], head[1], wide - 6, head[1], theme.ink, thick=1.6),
    ]  # fmt: skip
    parts += _machine(drawing, foot, slope, run, theme, size)
    parts += _angle(drawing, foot, slope, theme, size)
    lines = wrap(
        say("Machine on skates. Two holds that do not depend on each other, each to its own "
            "anchor. The slope is true, lengths are not."), wide - 16, size,
    )  # fmt: skip
    end = foot[1] + 44
    parts += [
        words(8, end + 1.35 * size * place, row, theme, size=size)
        for place, row in enumerate(lines)
    ]
    label = say("Ramp of {slope}°: pull {pull} N, hold twice {hold} N",
                slope=number(drawing.slope_deg, 1), pull=number(drawing.pull_newton),
                hold=number(drawing.hold_newton))  # fmt: skip
    return svg(parts, size=(wide, end + 1.35 * size * len(lines)), label=label,
               sort=f"figure ramp-{room}")  # fmt: skip


def _machine(
    drawing: RampDrawing, foot: tuple[float, float], slope: float, run: float, theme: Theme,
    size: float,
) -> list[str]:  # fmt: skip
    """The machine on its skates, the pull up, the holds back, its weight."""
    along = (math.cos(slope), -math.sin(slope))
    off = (-math.sin(slope), -math.cos(slope))

    def at(far: float, up: float) -> tuple[float, float]:
        return (foot[0] + far * along[0] + up * off[0], foot[1] + far * along[1] + up * off[1])

    start, length, tall = 0.34 * run, 0.26 * run, 84.0
    body = [at(start, 9), at(start + length, 9), at(start + length, 9 + tall), at(start, 9 + tall)]
    parts = [path(outline(body), fill=theme.blue_tint, stroke=theme.blue, thick=1.6)]
    for far in (start + 10, start + length - 10):
        x, y = at(far, 4.5)
        parts.append(path(_round(x, y, 4.5), fill=theme.sheet, stroke=theme.ink, thick=1.2))
    x, y = at(start + length / 2, 0.55 * tall)
    parts += centre_mark(x, y, theme, radius=7)
    parts += shaft((x, y + 9), (x, y + 44), theme.ink, thick=1.6)
    told = number(drawing.mass_kg) + THIN + "kg"
    mass = at(start + length / 2, 9 + tall)
    parts.append(words(mass[0], mass[1] - 14, told, theme, size=size, anchor="middle"))
    parts += shaft(at(start + length, 26), at(start + length + 0.2 * run, 26), theme.brass)
    pull = say("pull {newton} N", newton=number(drawing.pull_newton))
    x, y = at(start + length, 40)
    parts.append(words(x + 8, y - 8, pull, theme, size=size, bold=True, colour=theme.brass))
    for up in (20.0, 34.0):
        parts.append(line(*at(start, up), *at(start - 0.22 * run, up), theme.ink, thick=1.4))
        parts.append(path(_round(*at(start - 0.22 * run, up), 3), fill=theme.ink))
    hold = say("hold twice {newton} N", newton=number(drawing.hold_newton))
    x, y = at(start, 44)
    x = max(x - 12 - width(hold, size), 6.0)
    parts.append(words(x, y - 6, hold, theme, size=size, bold=True, colour=theme.brass))
    return parts


def _round(x: float, y: float, radius: float) -> str:
    r, left, right = plain(radius), plain(x - radius), plain(x + radius)
    return f"M{left} {plain(y)}A{r} {r} 0 1 0 {right} {plain(y)}A{r} {r} 0 1 0 {left} {plain(y)}Z"


def _angle(
    drawing: RampDrawing, foot: tuple[float, float], slope: float, theme: Theme, size: float
) -> list[str]:
    reach = 92.0
    end = (foot[0] + reach * math.cos(slope), foot[1] - reach * math.sin(slope))
    arc = (
        f"M{plain(foot[0] + reach)} {plain(foot[1])}A{plain(reach)} {plain(reach)} 0 0 0 "
        f"{plain(end[0])} {plain(end[1])}"
    )
    told = number(drawing.slope_deg, 1) + "°"
    return [
        path(arc, stroke=theme.ink, thick=1.0),
        words(foot[0] + reach - 18, foot[1] + size + 4, told, theme,
              size=size),
    ]  # fmt: skip
