"""Money by week as its picture takes it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from retrue.cases.fix.buying_lines import Buying

MOST_WEEKS = 16  # drawn one by one; with more only those in which money moves


@dataclass(frozen=True, slots=True, kw_only=True)
class CashWeek:
    """Money of one week: what is paid, less what comes back."""

    on: date  # its Monday
    amount: float
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CashDrawing:
    """Everything of one picture.

    Attributes
    ----------
    later : float
        Of weeks after those that are drawn.
    undated : float
        Of what no week can be told for.
    """

    weeks: tuple[CashWeek, ...]
    currency: str
    later: float = 0.0
    undated: float = 0.0


def cash_drawing(view: Buying) -> CashDrawing | None:
    """A purchase list as its picture takes it.

    Parameters
    ----------
    view : Buying

    Returns
    -------
    CashDrawing or None
        Weeks in a row, empty ones too where there is room for them; None where no money moves in
        any week.

    Examples
    --------
    >>> from retrue.cases.fix.buying_lines import WeekCash
    >>> weeks = (WeekCash(week_on="2026-11-30", amount=5.0),
    ...          WeekCash(week_on="2026-12-14", amount=7.0))
    >>> view = Buying(on="2026-11-26", currency="EUR", rows=(), weeks=weeks, stock=(), total=12.0)
    >>> [(one.on.isoformat(), one.amount) for one in cash_drawing(view).weeks]
    [('2026-11-30', 5.0), ('2026-12-07', 0.0), ('2026-12-14', 7.0)]
    """
    told = {
        date.fromisoformat(one.week_on): CashWeek(
            on=date.fromisoformat(one.week_on), amount=one.amount, lines=one.lines
        )
        for one in view.weeks
    }
    if not told:
        return None
    first, last = min(told), max(told)
    every = [first + timedelta(weeks=at) for at in range((last - first).days // 7 + 1)]
    if len(every) > MOST_WEEKS:
        every = sorted(told)
    shown = every[:MOST_WEEKS]
    return CashDrawing(
        weeks=tuple(told.get(on, CashWeek(on=on, amount=0.0)) for on in shown),
        currency=view.currency,
        later=sum(told[on].amount for on in every[MOST_WEEKS:]),
        undated=view.undated,
    )
