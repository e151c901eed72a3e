"""One machine's dates on a calendar rule: with luck, as likely as not, and the day to promise."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from retrue.base.formatter import day
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.fix.dates_drawing import DatesDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, bar, line, path, plain, svg, words
from retrue.figures.labels import Label, place
from retrue.figures.letters import width

SIZE: dict[Room, float] = {"phone": 13.0, "wide": 13.0, "paper": 10.5}
INSET = 12.0
BAND = 14.0
BODY = 28.0  # height of the rule
LEAST = 2.0  # width of the shortest band
WEEKS_UP_TO_DAYS, MONTHS_UP_TO_DAYS = 130, 1200  # graduations: Mondays, months, else years


def rows(drawing: DatesDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table.

    Parameters
    ----------
    drawing : DatesDrawing

    Returns
    -------
    tuple of (str, str)
    """
    told = [
        (say("with luck, 1 in 10"), day(drawing.early_on)),
        (say("as likely as not"), day(drawing.even_on)),
        (say("promise, 9 in 10"), day(drawing.promise_on)),
    ]
    if drawing.was_on is not None:
        told.append((say("promised before"), day(drawing.was_on)))
    return tuple(told)


@dataclass(frozen=True, slots=True)
class _Scale:
    """From a day to a place on the rule."""

    first: date
    days: float
    left: float
    right: float

    def at(self, when: date) -> float:
        return self.left + (self.right - self.left) * (when - self.first).days / self.days


def draw(drawing: DatesDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the range of one machine's date.

    Parameters
    ----------
    drawing : DatesDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``: the band from luck to promise, a stroke at the even chance, a pointer at
        the day to promise; the promise of the plan before as an open pointer.

    Raises
    ------
    Unusable
        The dates run backwards.
    """
    dates = (drawing.early_on, drawing.even_on, drawing.promise_on)
    if list(dates) != sorted(dates):
        raise Unusable(
            say("dates that run backwards cannot be drawn"), remedy=say("Plan it again.")
        )
    scale = _scale(drawing, room)
    parts, band = _above(drawing, scale, theme, room)
    early, even, promise = map(scale.at, dates)
    parts.append(bar(early, band, max(LEAST, promise - early), BAND, fill=theme.brass_tint,
                     stroke=theme.brass))  # fmt: skip
    edge = band + BAND + 4
    parts += _rule(scale, edge, theme, room, promise)
    parts.append(line(even, band - 3, even, edge, theme.ink, thick=3))
    parts.append(line(promise, band - 3, promise, edge + BODY, theme.brass, thick=3))
    more, low = _pointer(drawing, scale, edge + BODY, theme, room)
    label = f"{drawing.machine}, " + say("first good part") + ": " + "; ".join(
        f"{name} {value}" for name, value in rows(drawing)
    )  # fmt: skip
    return svg(
        parts + more, size=(WIDTHS[room], low + 6), label=label, sort=f"picture dates-{room}"
    )


def _scale(drawing: DatesDrawing, room: Room) -> _Scale:
    last = max(filter(None, (drawing.promise_on, drawing.was_on)))
    first = min(filter(None, (drawing.start, drawing.early_on, drawing.was_on)))
    days = max(14.0, (last - first).days * 1.06)
    return _Scale(first, days, INSET, WIDTHS[room] - INSET)


def _above(
    drawing: DatesDrawing, scale: _Scale, theme: Theme, room: Room
) -> tuple[list[str], float]:
    """Words over the marks of luck and the even chance, and where the band begins."""
    size = SIZE[room]
    told = [(say("with luck"), drawing.early_on), (say("as likely as not"), drawing.even_on)]
    lines = [(name, day(on)) for name, on in told]
    wide = [max(width(name, size - 1), width(value, size)) + 4 for name, value in lines]
    wishes = [Label(scale.at(on), one, 1 - at)
              for at, ((_, on), one) in enumerate(zip(told, wide, strict=True))]  # fmt: skip
    spots = place(wishes, 2, WIDTHS[room] - 2)
    high = 2 * size + 8
    band = 4 + (max(spot.row for spot in spots) + 1) * high
    parts = []
    for wish, spot, (name, value) in zip(wishes, spots, lines, strict=True):
        base = band - 8 - spot.row * high
        parts.append(words(spot.x, base - size - 1, name, theme, size=size - 1, anchor="middle",
                           colour=theme.soft))  # fmt: skip
        parts.append(words(spot.x, base, value, theme, size=size, anchor="middle", bold=True))
        if abs(spot.x - wish.x) > wish.wide / 2:
            parts.append(line(spot.x, base + 3, wish.x, band - 2, theme.soft, thick=0.8))
    return parts, band


def _rule(scale: _Scale, edge: float, theme: Theme, room: Room, crossed: float) -> Iterator[str]:
    """The body of the rule, a stroke for each Monday, month or year, days where there is room."""
    size = SIZE[room] - 1.5
    low = edge + BODY
    yield path(
        f"M{plain(scale.left - 6)} {plain(edge)}H{plain(scale.right + 6)}V{plain(low)}"
        f"H{plain(scale.left - 6)}Z", fill=theme.sheet, stroke=theme.ink, thick=1.4,
    )  # fmt: skip
    free = -1e9
    for when in _marks(scale):
        x = scale.at(when)
        told = day(when)
        ends = x + width(told, size) + 3
        numbered = x > free and ends < scale.right + 4 and not x < crossed < ends + 2
        yield line(x, edge, x, edge + (12 if numbered else 7), theme.ink, thick=0.9)
        if numbered:
            yield words(x + 3, edge + BODY - 6, told, theme, size=size)
            free = ends + 7


def _marks(scale: _Scale) -> Iterator[date]:
    last = scale.first + timedelta(days=int(scale.days))
    if scale.days <= WEEKS_UP_TO_DAYS:
        when = scale.first + timedelta(days=-scale.first.weekday() % 7)
        while when <= last:
            yield when
            when += timedelta(weeks=1)
        return
    step = 1 if scale.days <= MONTHS_UP_TO_DAYS else 12
    months = scale.first.year * 12 + scale.first.month  # of the month after the first day
    months += -months % step
    while (when := date(months // 12, months % 12 + 1, 1)) <= last:
        yield when
        months += step


def _pointer(
    drawing: DatesDrawing, scale: _Scale, low: float, theme: Theme, room: Room
) -> tuple[list[str], float]:
    """The pointers below the rule, the day to promise in words, and how far down they reach."""
    size = SIZE[room] + 1
    promise = scale.at(drawing.promise_on)
    parts = [path(f"M{plain(promise)} {plain(low - 2)}l-7 12h14z", fill=theme.brass)]
    base = low + 12 + size
    parts.append(_written(say("promise {on}", on=day(drawing.promise_on)), promise, base, size,
                          theme, room))  # fmt: skip
    if drawing.was_on is not None and drawing.was_on != drawing.promise_on:
        was = scale.at(drawing.was_on)
        parts.append(path(f"M{plain(was)} {plain(low)}l-6 10h12z", fill=theme.sheet,
                          stroke=theme.brass))  # fmt: skip
        base += size + 5
        told = say("promised before: {on}", on=day(drawing.was_on))
        parts.append(_written(told, was, base, size - 1, theme, room, bold=False))
    return parts, base


def _written(
    told: str, x: float, base: float, size: float, theme: Theme, room: Room, *, bold: bool = True
) -> str:
    half = width(told, size) / 2 + 2
    middle = min(max(x, 2 + half), WIDTHS[room] - 2 - half)
    return words(middle, base, told, theme, size=size, anchor="middle", bold=bold)
