"""Money by week: what is paid and what comes back, as lengths on one steel rule."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.formatter import day
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.fix.cash_drawing import CashDrawing, CashWeek
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, bar, line, svg, words
from retrue.figures.letters import width
from retrue.figures.scale import BODY, Scale, amount, fitted, rule_body

SIZE: dict[Room, float] = {"phone": 13.0, "wide": 13.0, "paper": 10.5}
THICK = 13.0  # of a length
INSET = 12.0
GAP = 6.0  # between two weeks
BESIDE = 6.0  # between a length and its amount


def rows(drawing: CashDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: week and sum, then what has no week.

    Parameters
    ----------
    drawing : CashDrawing

    Returns
    -------
    tuple of (str, str)
    """
    told = [
        (say("week of {day}", day=day(one.on)), _sum(one.amount, drawing.currency))
        for one in drawing.weeks
    ]
    if drawing.later:
        told.append((say("later"), _sum(drawing.later, drawing.currency)))
    if drawing.undated:
        told.append((say("no week can be told for"), _sum(drawing.undated, drawing.currency)))
    return tuple(told)


def _sum(value: float, currency: str) -> str:
    return say("{sum} comes back", sum=amount(-value, currency)) if value < 0 else amount(
        value, currency
    )  # fmt: skip


def draw(drawing: CashDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the weeks under each other, each sum as a length from the rule's zero.

    Parameters
    ----------
    drawing : CashDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``: what is expected to be paid in brass, what comes back open, to the left.

    Raises
    ------
    Unusable
        There is no week, or a sum is no number.
    """
    if not drawing.weeks:
        raise Unusable(
            say("money without weeks cannot be drawn"),
            remedy=say("Name a day for one purchase at least."),
        )
    frame = _frame(drawing, theme, room)
    parts: list[str] = []
    top = 4.0
    for one in drawing.weeks:
        more, top = frame.row(one, top)
        parts += more
    zero = frame.at(0.0)
    parts.insert(0, line(zero, 2, zero, top + 2, theme.line, thick=0.8))
    left, right = frame.left, frame.right
    parts += rule_body(frame.scale, left, right, top + 2, theme, size=SIZE[room] - 1)
    label = say("money by week") + ": " + "; ".join(f"{name} {sum}" for name, sum in rows(drawing))
    return svg(parts, size=(WIDTHS[room], top + BODY + 8), label=label, sort=f"picture cash-{room}")


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

    def row(self, one: CashWeek, top: float) -> tuple[list[str], float]:
        """One week: its day beside the length, above it on a phone."""
        size = SIZE[self.room]
        narrow = self.room == "phone"
        base = top + size
        told = amount(one.amount, self.currency) if one.amount else "\u2013"
        start = base + 4 if narrow else top + 1
        parts = [words(2, base if narrow else start + 11, day(one.on), self.theme, size=size,
                       colour=self.theme.soft)]  # fmt: skip
        zero, end = self.at(0.0), self.at(one.amount)
        if one.amount:
            fill = self.theme.brass_tint if one.amount > 0 else self.theme.sheet
            parts.append(bar(zero, start, end - zero, THICK, fill=fill, stroke=self.theme.brass))
        if narrow:
            parts.append(words(WIDTHS[self.room] - 2, base, told, self.theme, size=size,
                               anchor="end", bold=True))  # fmt: skip
        else:
            x = max(zero, end) + BESIDE
            parts.append(words(x, start + 11, told, self.theme, size=size, bold=True))
        return parts, start + THICK + GAP


def _frame(drawing: CashDrawing, theme: Theme, room: Room) -> _Frame:
    size = SIZE[room]
    sums = [one.amount for one in drawing.weeks]
    beside = 0.0
    left = INSET
    if room != "phone":
        left = width(day(drawing.weeks[0].on), size) + 2 * INSET
        beside = BESIDE + max(width(amount(one, drawing.currency), size) for one in sums)
    right = WIDTHS[room] - INSET - beside
    scale = fitted([0.0, *sums], right - left, size - 1, most=5)
    return _Frame(scale, left, right, theme, room, drawing.currency)
