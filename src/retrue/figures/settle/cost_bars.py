"""Where money was to go and went: each bucket a band, what is spent a brass pointer, on a rule."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.settle.cost_drawing import CostBar, CostBars
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, bar, line, path, plain, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.scale import BODY, Scale, amount, fitted, rule_body

SIZE: dict[Room, float] = {"phone": 13.0, "wide": 13.0, "paper": 10.5, "broad": 13.0}
INSET = 12.0
BAND = 12.0  # height of a band
GAP = 9.0  # between two buckets
LEAST = 2.0  # width of the narrowest band
BOLD = 1.12  # how much wider bold words are
COLUMN: dict[Room, float] = {"phone": 0.0, "wide": 190.0, "paper": 150.0, "broad": 230.0}
SHARE_OF_WORDS = 0.6  # of a phone's line


def rows(drawing: CostBars) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: what, what is spent and what was expected.

    Parameters
    ----------
    drawing : CostBars

    Returns
    -------
    tuple of (str, str)
    """
    return tuple(
        (one.words, _told(one, drawing.currency)) for one in (*drawing.bars, drawing.whole)
    )


def _told(one: CostBar, currency: str) -> str:
    spent = amount(one.actual, currency)
    if one.forecast is None:
        return say("{spent} spent, not foreseen", spent=spent)
    return say(
        "{spent} spent of {low} to {high}",
        spent=spent,
        low=amount(one.forecast.p10, currency),
        high=amount(one.forecast.p90, currency),
    )


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


def draw(drawing: CostBars, *, theme: Theme, room: Room) -> str:
    """Draw the buckets under each other on one rule, and all of it on a second.

    Parameters
    ----------
    drawing : CostBars
    theme : Theme
    room : "phone", "wide", "paper" or "broad"

    Returns
    -------
    str
        One ``<svg>``: expected a blue band with a stroke at the even chance; spent a brass
        pointer; from it a thin brass stroke to where it ends.

    Raises
    ------
    Unusable
        There is nothing to draw, or a sum is no number.
    """
    if not drawing.bars:
        raise Unusable(
            say("a cost without any money cannot be drawn"),
            remedy=say("Freeze a number, or put a line in the book."),
        )
    parts, top = _block(drawing.bars, drawing.currency, theme, room, 4.0)
    more, top = _block((drawing.whole,), drawing.currency, theme, room, top + 14.0, bold=True)
    key, top = _key(theme, room, top + 8.0)
    label = f"{drawing.name}, " + say("expected and spent") + ": " + "; ".join(
        f"{name} {value}" for name, value in rows(drawing)
    )  # fmt: skip
    return svg(
        parts + more + key, size=(WIDTHS[room], top), label=label, sort=f"picture cost-{room}"
    )


def _block(
    bars: tuple[CostBar, ...],
    currency: str,
    theme: Theme,
    room: Room,
    top: float,
    *,
    bold: bool = False,
) -> tuple[list[str], float]:
    """Some bars over one rule; the elements, and how far down they reach."""
    values = [0.0]
    for one in bars:
        values += [one.actual, one.end.p10, one.end.p90]
        values += [one.forecast.p10, one.forecast.p90] if one.forecast is not None else []
    left = COLUMN[room] + INSET
    right = WIDTHS[room] - INSET
    scale = fitted(values, right - left, SIZE[room] - 1, most=4 if room == "phone" else 6)
    frame = _Frame(scale, left, right, theme, room, currency)
    parts: list[str] = []
    first = top
    for one in bars:
        more, top = _bar(frame, one, top, bold=bold)
        parts += more
    zero = frame.at(0.0)
    parts.insert(0, line(zero, first, zero, top + 1, theme.line, thick=0.8))
    parts += rule_body(scale, left, right, top + 1, theme, size=SIZE[room] - 1)
    return parts, top + 1 + BODY


def _bar(frame: _Frame, one: CostBar, top: float, *, bold: bool) -> tuple[list[str], float]:
    """One bucket: its words, its band, its pointer."""
    size, theme = SIZE[frame.room], frame.theme
    told = amount(one.actual, frame.currency)
    narrow = frame.room == "phone"
    room = WIDTHS[frame.room] * SHARE_OF_WORDS if narrow else COLUMN[frame.room] - 4
    named = wrap(one.words, room / (BOLD if bold else 1.0), size)
    parts = [
        words(2, top + size + at * (size + 3), text, theme, size=size, bold=bold)
        for at, text in enumerate(named)
    ]
    high = len(named) * (size + 3) + 2
    start = top + high + 3 if narrow else top + 1
    if narrow:
        parts.append(words(WIDTHS[frame.room] - 2, top + size, told, theme, size=size,
                           anchor="end", bold=True))  # fmt: skip
    parts += _marks(frame, one, start)
    low = start + BAND + 9.0
    if not narrow:
        parts.append(_beside(frame, one, told, start + BAND - 1))
        low = max(low, top + high)
    return parts, low + GAP - 4.0


def _marks(frame: _Frame, one: CostBar, top: float) -> list[str]:
    theme, spent = frame.theme, frame.at(one.actual)
    parts = []
    if one.forecast is not None:
        left, right = frame.at(one.forecast.p10), frame.at(one.forecast.p90)
        parts.append(bar(left, top, max(LEAST, right - left), BAND, fill=theme.blue_tint,
                         stroke=theme.blue))  # fmt: skip
        even = frame.at(one.forecast.p50)
        parts.append(line(even, top - 2, even, top + BAND + 2, theme.ink, thick=2))
    low, high = frame.at(one.end.p10), frame.at(one.end.p90)
    if high - spent > LEAST:
        middle = top + BAND / 2
        parts.append(line(spent, middle, high, middle, theme.brass, thick=1.2, dash="3 3"))
        parts.append(line(low, middle, high, middle, theme.brass, thick=3))
    parts.append(line(spent, top - 3, spent, top + BAND + 1, theme.brass, thick=3))
    parts.append(path(f"M{plain(spent)} {plain(top + BAND - 1)}l-6 10h12z", fill=theme.brass))
    return parts


def _beside(frame: _Frame, one: CostBar, told: str, base: float) -> str:
    """The amount to the right of everything that is drawn, else to the left of it."""
    size = SIZE[frame.room]
    values = [one.actual, one.end.p90, *([one.forecast.p90] if one.forecast is not None else [])]
    far = max(frame.at(value) for value in values) + 9
    if far + width(told, size) <= WIDTHS[frame.room] - 2:
        return words(far, base, told, frame.theme, size=size, bold=True)
    near = [one.actual, *([one.forecast.p10] if one.forecast is not None else [])]
    left = min(frame.at(value) for value in near) - 10
    if left - width(told, size) >= COLUMN[frame.room]:
        return words(left, base, told, frame.theme, size=size, anchor="end", bold=True)
    return words(WIDTHS[frame.room] - 2, base + size + 3, told, frame.theme, size=size,
                 anchor="end", bold=True)  # fmt: skip


def _key(theme: Theme, room: Room, top: float) -> tuple[list[str], float]:
    """What the marks mean, in words beside each."""
    size = SIZE[room] - 1
    base = top + size
    parts = [bar(2, base - 9, 22, 9, fill=theme.blue_tint, stroke=theme.blue)]
    parts.append(words(30, base, say("expected, 8 in 10"), theme, size=size, colour=theme.soft))
    x, second = (2.0, base + size + 6) if room == "phone" else (190.0, base)
    parts.append(path(f"M{plain(x + 8)} {plain(second - 9)}l-6 10h12z", fill=theme.brass))
    parts.append(words(x + 20, second, say("spent so far"), theme, size=size, colour=theme.soft))
    x, third = (150.0, second) if room == "phone" else (330.0, base)
    parts.append(line(x, third - 4, x + 22, third - 4, theme.brass, thick=3))
    parts.append(words(x + 28, third, say("where it ends"), theme, size=size, colour=theme.soft))
    return parts, third + 6
