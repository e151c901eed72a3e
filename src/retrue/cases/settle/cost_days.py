"""The first good part: by when it was expected, by when it is now. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from retrue.cases.settle.cost_lines import DaysView, Range
from retrue.cases.settle.cost_still import MachineStill

LATEST_DAYS = 36_500.0  # beyond it no day is named


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDay:
    """When the plan that is kept has a machine make its first good part; ISO dates."""

    early_on: str | None
    even_on: str | None
    late_on: str | None


def days_of(
    begun: str, on: date, told: Range, left: MachineStill, plan: PlanDay | None
) -> DaysView:
    """By when the first good part was expected, and by when it is now.

    Parameters
    ----------
    begun : str
        ISO date the forecast counts from; empty: none.
    on : date
        Today.
    told : Range
        Days, by the forecast.
    left : MachineStill
    plan : PlanDay or None
        Of the plan that is kept: it goes before the days that are only reckoned.

    Returns
    -------
    DaysView
    """
    was = _dates(begun, told) if begun else (None, None, None)
    reached = left.first_part_on
    now: tuple[str | None, str | None, str | None] = _dates(on.isoformat(), left.days)
    if left.closed:
        now, plan = (None, None, None), None
    if reached is not None:
        now = (reached, reached, reached)
    elif plan is not None and plan.even_on is not None:
        now = (plan.early_on, plan.even_on, plan.late_on)
    view = DaysView(
        begun_on=begun,
        was_early_on=was[0],
        was_even_on=was[1],
        was_late_on=was[2],
        early_on=now[0],
        even_on=now[1],
        late_on=now[2],
        reached_on=reached,
        by_plan=reached is None and plan is not None and plan.even_on is not None,
    )
    return _against_days(view)


def _against_days(view: DaysView) -> DaysView:
    if view.even_on is None or view.was_early_on is None or view.was_late_on is None:
        return view
    if view.even_on > view.was_late_on:
        return replace(view, against="above")
    return replace(view, against="below" if view.even_on < view.was_early_on else "within")


def _dates(begun: str, days: Range) -> tuple[str, str, str]:
    start = date.fromisoformat(begun)
    told = [
        (start + timedelta(days=round(min(value, LATEST_DAYS)))).isoformat()
        for value in (days.p10, days.p50, days.p90)
    ]
    return told[0], told[1], told[2]


def last_days(told: Sequence[DaysView]) -> DaysView:
    """Of a lot: the last of its machines.

    Parameters
    ----------
    told : sequence of DaysView

    Returns
    -------
    DaysView
        None where one of them has none.

    Examples
    --------
    >>> first = DaysView(even_on="2027-01-05")
    >>> last_days([first, DaysView(even_on="2027-03-01")]).even_on
    '2027-03-01'
    """

    def last(days: Iterable[str | None]) -> str | None:
        known = [*days]
        named = [one for one in known if one is not None]
        return max(named) if named and len(named) == len(known) else None

    begun = min((one.begun_on for one in told if one.begun_on), default="")
    return _against_days(
        DaysView(
            begun_on=begun,
            was_early_on=last(one.was_early_on for one in told),
            was_even_on=last(one.was_even_on for one in told),
            was_late_on=last(one.was_late_on for one in told),
            early_on=last(one.early_on for one in told),
            even_on=last(one.even_on for one in told),
            late_on=last(one.late_on for one in told),
            reached_on=last(one.reached_on for one in told),
        )
    )


def until(days: DaysView) -> date | None:
    """The day of the first good part: made, or with an even chance.

    Parameters
    ----------
    days : DaysView

    Returns
    -------
    date or None

    Examples
    --------
    >>> until(DaysView())
    """
    told = days.reached_on or days.even_on
    return date.fromisoformat(told) if told is not None else None
