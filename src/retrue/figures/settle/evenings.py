"""The evenings of a week on the clock: each day a line under one steel rule of hours."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from retrue.base.formatter import day
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.settle.evening_drawing import EveningBar, EveningDay, EveningDrawing
from retrue.cases.settle.evening_shown import hours_text
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, bar, line, svg, words
from retrue.figures.letters import width

SIZE: dict[Room, float] = {"phone": 13.0, "wide": 13.0, "paper": 10.5, "broad": 13.0}
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
INSET = 10.0
RULE = 22.0  # height of the rule
THICK = 13.0  # of a stretch of work
PITCH = 24.0  # from day to day
LEAST = 2.0  # width of the shortest stretch
USUAL = (18.0, 23.0)  # hours of the clock that are always there
LEAST_APART = 8.0  # between numerals


def rows(drawing: EveningDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: the day, and its hours.

    Parameters
    ----------
    drawing : EveningDrawing

    Returns
    -------
    tuple of (str, str)
    """
    return tuple((day(one.on), _told(one)) for one in drawing.days)


def _told(one: EveningDay) -> str:
    told = hours_text(one.hours)
    times = ", ".join(
        f"{_clock(bar.begins)}–{_clock(bar.ends)}" for bar in one.bars if bar.sort == "told"
    )
    if times:
        told = say("{hours}, {times}", hours=told, times=times)
    if one.open_hours:
        told = say("{told}; {hours} guessed, not answered", told=told,
                   hours=hours_text(one.open_hours))  # fmt: skip
    return told


def _clock(hour: float) -> str:
    minutes = round(hour * 60)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


@dataclass(frozen=True, slots=True)
class _Scale:
    """From an hour of the clock to a place on the drawing."""

    first: int
    last: int
    left: float
    right: float

    def at(self, hour: float) -> float:
        return self.left + (hour - self.first) * (self.right - self.left) / (self.last - self.first)


def draw(drawing: EveningDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the week: what was told in blue, what is only guessed in brass and open.

    Parameters
    ----------
    drawing : EveningDrawing
    theme : Theme
    room : "phone", "wide", "paper" or "broad"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        It has no day.
    """
    if not drawing.days:
        raise Unusable(
            say("a week without days cannot be drawn"),
            remedy=say("Give it one day at least."),
        )
    size = SIZE[room]
    scale = _scale(drawing, room)
    parts = _rule(scale, theme, size)
    top = 4 + RULE + 8
    for one in drawing.days:
        parts += _day(one, scale, top, theme, room)
        top += PITCH
    label = say("evenings of the week") + ": " + "; ".join(f"{name} {told}" for name, told
                                                          in rows(drawing))  # fmt: skip
    return svg(parts, size=(WIDTHS[room], top + 4), label=label, sort=f"picture evenings-{room}")


def _scale(drawing: EveningDrawing, room: Room) -> _Scale:
    bars = [one for day in drawing.days for one in day.bars]
    first = floor(min([USUAL[0], *(one.begins for one in bars)]))
    last = ceil(max([USUAL[1], *(one.ends for one in bars)]))
    size = SIZE[room]
    left = INSET + max(width(say(name), size) for name in DAYS) + 12
    right = WIDTHS[room] - INSET - width(hours_text(88.75), size) - 8
    return _Scale(first, last, left, right)


def _rule(scale: _Scale, theme: Theme, size: float) -> list[str]:
    """The rule's body, a stroke for each hour, numerals where there is room."""
    parts = [bar(scale.left, 4, scale.right - scale.left, RULE, fill=theme.sheet,
                 stroke=theme.ink, thick=1.4)]  # fmt: skip
    free = scale.left
    for hour in range(scale.first, scale.last + 1):
        x, told = scale.at(hour), f"{hour % 24}"
        wide = width(told, size - 1.5)
        inside = scale.left < x < scale.right
        numbered = inside and x - wide / 2 > free and x + wide / 2 < scale.right - 2
        if inside:
            parts.append(line(x, 4, x, 4 + (8 if numbered else 5), theme.ink, thick=0.9))
        if numbered:
            parts.append(words(x, 4 + RULE - 3, told, theme, size=size - 1.5, anchor="middle",
                               sort="scale"))  # fmt: skip
            free = x + wide / 2 + LEAST_APART
    return parts


def _day(one: EveningDay, scale: _Scale, top: float, theme: Theme, room: Room) -> list[str]:
    size, base = SIZE[room], top + THICK - 2
    quiet = theme.soft if not (one.bars or one.hours) else theme.ink
    parts = [
        words(INSET, base, say(DAYS[one.on.weekday()]), theme, size=size, colour=quiet),
        line(scale.left, top + THICK + 3, scale.right, top + THICK + 3, theme.line, thick=0.6),
    ]
    parts += [_bar(each, scale, top, theme) for each in one.bars]
    if one.hours or one.open_hours:
        told = hours_text(one.hours or one.open_hours)
        colour = theme.ink if one.hours else theme.brass
        parts.append(words(WIDTHS[room] - INSET, base, told, theme, size=size, anchor="end",
                           colour=colour))  # fmt: skip
    return parts


def _bar(one: EveningBar, scale: _Scale, top: float, theme: Theme) -> str:
    left, wide = scale.at(one.begins), scale.at(one.ends) - scale.at(one.begins)
    told = one.sort == "told"
    return bar(
        left, top, max(LEAST, wide), THICK, fill=theme.blue_tint if told else theme.brass_tint,
        stroke=theme.blue if told else theme.brass, thick=1.0,
    )  # fmt: skip
