"""What a cost page draws: each bucket on its rule, and money by week. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.say import say
from retrue.cases.settle.cost_lines import CashCurve, CashPoint, CostView, Range
from retrue.cases.settle.cost_ranges import NOTHING

MOST_BARS = 12  # buckets drawn; the rest is in the table


@dataclass(frozen=True, slots=True, kw_only=True)
class CostBar:
    """One bucket: the band that was expected, what is spent, where it ends.

    Attributes
    ----------
    forecast : Range or None
    actual : float
        In the book and owed: the pointer.
    end : Range
        Spent and still to come.

    Examples
    --------
    >>> end = Range(p10=85.0, p50=85.0, p90=85.0, mean=85.0)
    >>> CostBar(words="gloves", forecast=None, actual=85.0, end=end).actual
    85.0
    """

    words: str
    forecast: Range | None
    actual: float
    end: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class CostBars:
    """Everything of one picture: buckets, then all of it on a rule of its own."""

    name: str
    bars: tuple[CostBar, ...]
    whole: CostBar
    currency: str
    left_out: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveDrawing:
    """Money by week; ``now`` is the place of this week among the points."""

    name: str
    points: tuple[CashPoint, ...]
    currency: str
    now: int
    stop_at: float | None


def cost_bars(view: CostView) -> CostBars:
    """A cost as its picture takes it.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    CostBars
        The buckets with most money in them, in the order in which money goes.
    """
    bars = [
        CostBar(words=row.words, forecast=row.forecast, actual=row.actual, end=row.end)
        for row in view.rows
    ]
    largest = sorted(bars, key=lambda one: -max(_far(one), 0.0))[:MOST_BARS]
    shown = [one for one in bars if one in largest]
    return CostBars(
        name=view.machine_name or view.lot_name,
        bars=tuple(shown),
        whole=CostBar(
            words=say("all until the first good part"),
            forecast=view.restored_forecast,
            actual=view.restored,
            end=view.restored_end,
        ),
        currency=view.currency,
        left_out=len(bars) - len(shown),
    )


def _far(one: CostBar) -> float:
    told = one.forecast.p90 if one.forecast is not None else 0.0
    return max(told, one.actual, one.end.p90)


def curve_drawing(view: CostView) -> CurveDrawing | None:
    """Money by week as its picture takes it.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    CurveDrawing or None
        None where no money moves in any week.
    """
    curve: CashCurve = view.cash
    far = max((max(one.paid or 0.0, one.high or 0.0) for one in curve.points), default=0.0)
    if len(curve.points) < 2 or far < NOTHING:
        return None
    return CurveDrawing(
        name=view.machine_name or view.lot_name,
        points=curve.points,
        currency=view.currency,
        now=max((at for at, one in enumerate(curve.points) if one.paid is not None), default=0),
        stop_at=curve.stop_at,
    )
