"""What an hour of a machine is made of: each part begins where the one before it ended."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.settle.rate_lines import RateBarsDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, bar, line, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.scale import BODY, Scale, amount, fitted, rule_body

SIZE: dict[Room, float] = {"phone": 13.0, "wide": 13.0, "paper": 10.5, "broad": 13.0}
THICK = 14.0  # of a length
INSET = 12.0
GAP = 7.0  # between two parts
BESIDE = 6.0  # between a length and its amount
NAMES = 0.42  # of the width, at most, for the words beside the lengths
LINE = 1.25  # from one line of words to the next, in letters


def rows(drawing: RateBarsDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: each part, their sum, the operator, the whole.

    Parameters
    ----------
    drawing : RateBarsDrawing

    Returns
    -------
    tuple of (str, str)
    """
    money = drawing.currency
    told = [(name, amount(value, money, 2)) for name, value in drawing.rows]
    told.append((say("an hour of it"), amount(drawing.total, money, 2)))
    told.append((say("the operator's hour"), amount(drawing.operator, money, 2)))
    whole = drawing.total + drawing.operator
    return (*told, (say("with the operator"), amount(whole, money, 2)))


def draw(drawing: RateBarsDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the parts under each other over one rule, the operator's hour open at the end.

    Parameters
    ----------
    drawing : RateBarsDrawing
    theme : Theme
    room : "phone", "wide", "paper" or "broad"

    Returns
    -------
    str
        One ``<svg>``: estimates in brass; a part that brings runs back.

    Raises
    ------
    Unusable
        There is no part, or a sum is no number.
    """
    if not drawing.rows:
        raise Unusable(
            say("an hour without parts cannot be drawn"),
            remedy=say("Name what a year costs."),
        )
    frame = _frame(drawing, theme, room)
    parts: list[str] = []
    top = 4.0
    for one in _steps(drawing):
        more, top = frame.row(one, top)
        parts += more
    zero = frame.at(0.0)
    parts.insert(0, line(zero, 2, zero, top + 2, theme.line, thick=0.8))
    parts += rule_body(frame.scale, frame.left, frame.right, top + 2, theme, size=SIZE[room] - 1)
    told = "; ".join(f"{name} {value}" for name, value in rows(drawing))
    label = say("what an hour is made of") + ": " + told
    return svg(parts, size=(WIDTHS[room], top + BODY + 8), label=label,
               sort=f"picture rate-{room}")  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Step:
    """One length: from where to where, its words and amount, and whether it is open."""

    words: str
    start: float
    end: float
    amount: float
    bold: bool = False
    open: bool = False


def _steps(drawing: RateBarsDrawing) -> Iterator[_Step]:
    at = 0.0
    for name, value in drawing.rows:
        yield _Step(name, at, at + value, value)
        at += value
    yield _Step(say("an hour of it"), 0.0, drawing.total, drawing.total, bold=True)
    if drawing.operator:
        whole = drawing.total + drawing.operator
        yield _Step(say("the operator's hour"), drawing.total, whole, drawing.operator, open=True)
        yield _Step(say("with the operator"), 0.0, whole, whole, bold=True)


@dataclass(frozen=True, slots=True)
class _Frame:
    scale: Scale
    left: float
    right: float
    theme: Theme
    room: Room
    currency: str

    def at(self, value: float) -> float:
        return self.left + (self.right - self.left) * self.scale.share(value)

    def row(self, one: _Step, top: float) -> tuple[list[str], float]:
        """One part: its words beside the length, above it on a phone."""
        size, narrow = SIZE[self.room], self.room == "phone"
        told = amount(one.amount, self.currency, 2)
        space = WIDTHS[self.room] - 4 - width(told, size) - BESIDE if narrow else self.left - INSET
        lines = wrap(one.words, space, size)
        base = top + size
        colour = self.theme.ink if one.bold else self.theme.soft
        parts = [
            words(2, base + at * size * LINE, text, self.theme, size=size, colour=colour)
            for at, text in enumerate(lines)
        ]
        low = base + (len(lines) - 1) * size * LINE
        start = low + 4 if narrow else top + 1
        left, right = self.at(one.start), self.at(one.end)
        parts += self._length(one, left, right, start)
        if narrow:
            parts.append(words(WIDTHS[self.room] - 2, base, told, self.theme, size=size,
                               anchor="end", bold=True))  # fmt: skip
        else:
            x = max(left, right) + BESIDE
            parts.append(words(x, start + 11, told, self.theme, size=size, bold=True))
        return parts, max(start + THICK, low + 3) + GAP

    def _length(self, one: _Step, left: float, right: float, top: float) -> list[str]:
        if one.bold:
            middle = top + THICK / 2
            return [
                line(left, middle, right, middle, self.theme.ink, thick=3),
                line(right, top, right, top + THICK, self.theme.ink, thick=1.4),
            ]
        fill = self.theme.sheet if one.open else self.theme.brass_tint
        return [bar(left, top, right - left, THICK, fill=fill, stroke=self.theme.brass)]


def _frame(drawing: RateBarsDrawing, theme: Theme, room: Room) -> _Frame:
    size = SIZE[room]
    ends = [0.0, *(value for one in _steps(drawing) for value in (one.start, one.end))]
    beside, left = 0.0, INSET
    if room != "phone":
        names = max(width(one.words, size) for one in _steps(drawing))
        left = min(names, NAMES * WIDTHS[room]) + 2 * INSET
        told = (amount(one.amount, drawing.currency, 2) for one in _steps(drawing))
        beside = BESIDE + max(width(text, size) for text in told)
    right = WIDTHS[room] - INSET - beside
    scale = fitted(ends, right - left, size - 1, most=5)
    return _Frame(scale, left, right, theme, room, drawing.currency)
