"""All money by week: what is paid a thick stroke, what is to come its range, and where to stop."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from retrue.base.formatter import day
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.settle.cost_drawing import CurveDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, line, path, plain, svg, words
from retrue.figures.letters import width
from retrue.figures.scale import Scale, amount, tidy

SIZE: dict[Room, float] = {"phone": 12.5, "wide": 13.0, "paper": 10.5, "broad": 13.0}
HIGH: dict[Room, float] = {"phone": 210.0, "wide": 250.0, "paper": 200.0, "broad": 280.0}
INSET = 10.0
MOST_FAR = 3.0  # times the highest point: a line to stop at beyond it is only said


def rows(drawing: CurveDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: paid by this week, and where it ends.

    Parameters
    ----------
    drawing : CurveDrawing

    Returns
    -------
    tuple of (str, str)
    """
    now, last, c = drawing.points[drawing.now], drawing.points[-1], drawing.currency
    told = [(say("paid by the week of {day}", day=now.week_on), amount(now.paid or 0.0, c))]
    if last.even is not None and last.low is not None and last.high is not None:
        told.append((
            say("in the end, week of {day}", day=last.week_on),
            say("{even} ({low} to {high})", even=amount(last.even, c), low=amount(last.low, c),
                high=amount(last.high, c)),
        ))  # fmt: skip
    if drawing.stop_at is not None:
        told.append((say("stopping would be as good at"), amount(drawing.stop_at, c)))
    return tuple(told)


@dataclass(frozen=True, slots=True)
class _Frame:
    scale: Scale
    left: float
    right: float
    top: float
    low: float
    count: int
    theme: Theme
    room: Room

    def x(self, at: float) -> float:
        return self.left + (self.right - self.left) * at / max(1, self.count - 1)

    def y(self, value: float) -> float:
        return self.low - (self.low - self.top) * self.scale.share(value)


def draw(drawing: CurveDrawing, *, theme: Theme, room: Room) -> str:
    """Draw money by week as a running sum.

    Parameters
    ----------
    drawing : CurveDrawing
    theme : Theme
    room : "phone", "wide", "paper" or "broad"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        There are fewer than two weeks, or a sum is no number.
    """
    if len(drawing.points) < 2:
        raise Unusable(
            say("money of one week alone is no curve"),
            remedy=say("Look again when a second week has money."),
        )
    frame = _frame(drawing, theme, room)
    parts = [*_grid(frame, drawing.currency), *_weeks(frame, drawing)]
    parts += _ahead(frame, drawing)
    parts += _paid(frame, drawing)
    parts += _stop(frame, drawing)
    label = f"{drawing.name}, " + say("money by week") + ": " + "; ".join(
        f"{name} {value}" for name, value in rows(drawing)
    )  # fmt: skip
    high = frame.low + 2 * SIZE[room] + 10
    return svg(parts, size=(WIDTHS[room], high), label=label, sort=f"picture curve-{room}")


def _values(drawing: CurveDrawing) -> list[float]:
    told = [one.paid for one in drawing.points] + [one.high for one in drawing.points]
    return [0.0, *(value for value in told if value is not None)]


def _frame(drawing: CurveDrawing, theme: Theme, room: Room) -> _Frame:
    values = _values(drawing)
    far = max(values)
    if drawing.stop_at is not None and drawing.stop_at <= MOST_FAR * far:
        values.append(drawing.stop_at)
    values += [one.low for one in drawing.points if one.low is not None]
    scale = tidy(values, 5)
    widest = max(width(amount(mark, drawing.currency), SIZE[room]) for mark in scale.marks)
    top = SIZE[room] + 6
    return _Frame(scale, widest + 10, WIDTHS[room] - INSET, top, HIGH[room], len(drawing.points),
                  theme, room)  # fmt: skip


def _grid(frame: _Frame, currency: str) -> Iterable[str]:
    size = SIZE[frame.room]
    for mark in frame.scale.marks:
        y = frame.y(mark)
        ink = frame.theme.ink if mark == 0 else frame.theme.line
        yield line(frame.left, y, frame.right, y, ink, thick=0.8)
        yield words(frame.left - 5, y + size / 3, amount(mark, currency), frame.theme, size=size,
                    anchor="end", colour=frame.theme.soft)  # fmt: skip


def _weeks(frame: _Frame, drawing: CurveDrawing) -> Iterable[str]:
    """A stroke for each week, a day where there is room, and today."""
    size, free = SIZE[frame.room] - 1, -1e9
    for at, one in enumerate(drawing.points):
        x = frame.x(at)
        told = day(date.fromisoformat(one.week_on))
        half = width(told, size) / 2
        middle = min(max(x, frame.left + half), frame.right - half)
        numbered = middle - half > free
        yield line(x, frame.low, x, frame.low + (7 if numbered else 4), frame.theme.ink, thick=0.8)
        if numbered:
            yield words(middle, frame.low + size + 10, told, frame.theme, size=size,
                        anchor="middle")  # fmt: skip
            free = middle + half + 8
    x = frame.x(drawing.now)
    yield line(x, frame.top, x, frame.low, frame.theme.soft, thick=0.9, dash="2 3")
    late = x > (frame.left + frame.right) / 2
    yield words(x + (-4 if late else 4), frame.top - 4, say("this week"), frame.theme, size=size,
                anchor="end" if late else "start", colour=frame.theme.soft)  # fmt: skip


def _ahead(frame: _Frame, drawing: CurveDrawing) -> list[str]:
    """The range of what is to come, from what is paid."""
    now = drawing.points[drawing.now]
    start = (frame.x(drawing.now), frame.y(now.paid or 0.0))
    told = [
        (frame.x(at), one.low, one.even, one.high)
        for at, one in enumerate(drawing.points)
        if at > drawing.now
    ]
    ahead = [(x, low, even, high) for x, low, even, high in told
             if low is not None and even is not None and high is not None]  # fmt: skip
    if not ahead:
        return []
    over = "".join(f"L{plain(x)} {plain(frame.y(high))}" for x, _, _, high in ahead)
    under = "".join(f"L{plain(x)} {plain(frame.y(low))}" for x, low, _, _ in reversed(ahead))
    even = "".join(f"L{plain(x)} {plain(frame.y(middle))}" for x, _, middle, _ in ahead)
    begin = f"M{plain(start[0])} {plain(start[1])}"
    return [
        path(f"{begin}{over}{under}Z", fill=frame.theme.brass_tint, stroke=frame.theme.brass,
             thick=0.8),
        path(f"{begin}{even}", stroke=frame.theme.brass, thick=2, dash="5 3"),
    ]  # fmt: skip


def _paid(frame: _Frame, drawing: CurveDrawing) -> list[str]:
    """What is paid: level within a week, up at its end."""
    shape, before = f"M{plain(frame.x(0))} {plain(frame.y(0.0))}", 0.0
    for at, one in enumerate(drawing.points[: drawing.now + 1]):
        x, paid = frame.x(at), one.paid if one.paid is not None else before
        shape += f"L{plain(x)} {plain(frame.y(before))}L{plain(x)} {plain(frame.y(paid))}"
        before = paid
    x, y = frame.x(drawing.now), frame.y(before)
    told = amount(before, drawing.currency)
    left = x - 6 - width(told, SIZE[frame.room]) > frame.left
    return [
        path(shape, stroke=frame.theme.ink, thick=3.5),
        words(x - 6 if left else x + 6, max(frame.top + 10, y - 6), told, frame.theme,
              size=SIZE[frame.room], anchor="end" if left else "start", bold=True),
    ]  # fmt: skip


def _stop(frame: _Frame, drawing: CurveDrawing) -> list[str]:
    """The sum at which stopping would be as good, said above its stroke."""
    if drawing.stop_at is None or drawing.stop_at > frame.scale.high:
        return []
    y, size = frame.y(drawing.stop_at), SIZE[frame.room] - 0.5
    told = say("stopping as good: {sum}", sum=amount(drawing.stop_at, drawing.currency))
    return [
        line(frame.left, y, frame.right, y, frame.theme.blue, thick=1.6, dash="8 4"),
        words(frame.right, y - 4, told, frame.theme, size=size, anchor="end",
              colour=frame.theme.blue),
    ]  # fmt: skip
