"""Money against hours of work, with its band; or present value against the rate of interest."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.settle.versus_lines import ValueCurveDrawing
from retrue.figures.axes import BLUE, BRASS, BRASS_TINT, INK, SOFT, Room, Sheet, caption
from retrue.figures.ink import Theme
from retrue.figures.scale import amount

HIGH: dict[Room, float] = {"phone": 280.0, "wide": 310.0, "paper": 250.0, "broad": 340.0}
CLEAR = 1.12  # of the drawn range, so that words over the last line have room
CLOSE = 0.02  # of the range along: what stands nearer to a mark is not named beside it


def rows(drawing: ValueCurveDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table: its ends, where it stands now, what is marked.

    Parameters
    ----------
    drawing : ValueCurveDrawing

    Returns
    -------
    tuple of (str, str)
    """
    first, last = 0, len(drawing.xs) - 1
    told = [(_place(drawing, drawing.xs[at]), _money(drawing, at)) for at in (first, last)]
    if drawing.now is not None:
        told.append((say("now, {place}", place=_place(drawing, drawing.now)), _now(drawing)))
    return (*told, *((_place(drawing, x), say("as good as each other")) for x, _ in drawing.marks))


def _place(drawing: ValueCurveDrawing, x: float) -> str:
    if drawing.sort == "rate":
        return say("at {share} % a year", share=number(100 * x, 1))
    return say("at {hours} h a year", hours=number(x))


def _money(drawing: ValueCurveDrawing, at: int) -> str:
    even = amount(drawing.even[at], drawing.currency, signed=True)
    if not drawing.low:
        return even
    return say(
        "{even}, in eight ways of ten {low} to {high}",
        even=even,
        low=amount(drawing.low[at], drawing.currency, signed=True),
        high=amount(drawing.high[at], drawing.currency, signed=True),
    )


def _now(drawing: ValueCurveDrawing) -> str:
    """Where the curve stands at the shop's own place."""
    assert drawing.now is not None
    return amount(_at(drawing, drawing.now), drawing.currency, signed=True)


def _at(drawing: ValueCurveDrawing, x: float) -> float:
    """The curve between its points, in proportion."""
    xs, ys = drawing.xs, drawing.even
    after = next((at for at, one in enumerate(xs) if one >= x), len(xs) - 1)
    before = max(0, after - 1)
    wide = xs[after] - xs[before]
    share = (x - xs[before]) / wide if wide else 0.0
    return ys[before] + share * (ys[after] - ys[before])


def draw(drawing: ValueCurveDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the curve over a line of nothing, what is marked on it, and where the shop stands.

    Parameters
    ----------
    drawing : ValueCurveDrawing
    theme : Theme
    room : "phone", "wide", "paper" or "broad"

    Returns
    -------
    str
        One ``<svg>``: brass for what is reckoned, blue for what is marked.

    Raises
    ------
    Unusable
        It has fewer than two points.
    """
    if len(drawing.xs) < 2:
        raise Unusable(say("a curve of one point cannot be drawn"),
                       remedy=say("Give two points at least."))  # fmt: skip
    sheet = Sheet(room, high=HIGH[room])
    axes, times = sheet.axes, 100.0 if drawing.sort == "rate" else 1.0
    xs = [times * x for x in drawing.xs]
    if drawing.low:
        axes.fill_between(xs, drawing.low, drawing.high, color=BRASS_TINT, linewidth=0)
        axes.plot(xs, drawing.low, color=BRASS, linewidth=0.8)
        axes.plot(xs, drawing.high, color=BRASS, linewidth=0.8)
    axes.plot(xs, drawing.even, color=BRASS, linewidth=2.4)
    axes.axhline(0.0, color=INK, linewidth=1.0)
    low, high = _range(drawing)
    axes.set_xlim(xs[0], xs[-1])
    axes.set_ylim(low, high)
    _marks(sheet, drawing, times)
    axes.yaxis.set_major_formatter(lambda value, _: number(value))
    axes.xaxis.set_major_formatter(lambda value, _: number(value))
    along = say("interest, % a year") if drawing.sort == "rate" else say("hours of work a year")
    axes.set_xlabel(caption(along))
    axes.set_title(caption(_title(drawing)), loc="left")
    told = "; ".join(f"{name}: {value}" for name, value in rows(drawing))
    return sheet.finish(theme, label=f"{_title(drawing)}. {told}.",
                        sort=f"picture curve-{drawing.sort}-{room}")  # fmt: skip


def _title(drawing: ValueCurveDrawing) -> str:
    currency = drawing.currency
    if drawing.sort == "rate":
        return say("worth today, {currency}", currency=currency)
    return say("ahead (+) or behind (−), {currency}", currency=currency)


def _range(drawing: ValueCurveDrawing) -> tuple[float, float]:
    every = [0.0, *drawing.even, *drawing.low, *drawing.high]
    low, high = min(every), max(every)
    room = max(high - low, 1.0) * (CLEAR - 1.0)
    return low - room / 2, high + room


def _marks(sheet: Sheet, drawing: ValueCurveDrawing, times: float) -> None:
    """What is marked on the line of nothing, and where the shop stands."""
    axes, span = sheet.axes, drawing.xs[-1] - drawing.xs[0]
    for x, text in drawing.marks:
        axes.plot([times * x], [0.0], "o", color=BLUE, markersize=7, zorder=4)
        right = x - drawing.xs[0] > 0.55 * span
        axes.annotate(caption(text), (times * x, 0.0), xytext=(-6 if right else 6, -7),
                      textcoords="offset points", ha="right" if right else "left", va="top",
                      color=BLUE, zorder=5)  # fmt: skip
    if drawing.now is None:
        return
    axes.axvline(times * drawing.now, color=SOFT, linewidth=1.0, linestyle="--")
    if any(abs(x - drawing.now) < CLOSE * span for x, _ in drawing.marks):
        return
    right = drawing.now - drawing.xs[0] > 0.6 * span
    axes.annotate(
        caption(say("now")),
        (times * drawing.now, 1.0),
        xycoords=("data", "axes fraction"),
        xytext=(-4 if right else 4, -2),
        textcoords="offset points",
        ha="right" if right else "left",
        va="top",
        color=SOFT,
    )
