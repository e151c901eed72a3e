"""When one machine makes its first good part, as its picture takes it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from retrue.cases.fix.plan_lines import PlanView


@dataclass(frozen=True, slots=True, kw_only=True)
class DatesDrawing:
    """One machine's dates.

    Attributes
    ----------
    start : date
        From which it was planned: where the rule begins.
    was_on : date or None
        The promise of the plan before, where this one breaks it or comes sooner.
    """

    machine: str
    start: date
    early_on: date
    even_on: date
    promise_on: date
    was_on: date | None = None


def dates_drawings(view: PlanView) -> tuple[DatesDrawing, ...]:
    """Every machine of a plan as its picture takes it.

    Parameters
    ----------
    view : PlanView

    Returns
    -------
    tuple of DatesDrawing
        In the order of the plan; a machine without a date has none.

    Examples
    --------
    >>> from retrue.cases.fix.plan_lines import MachineDates, PlanView
    >>> mill = MachineDates(machine="m", machine_name="mill", early_on="2027-01-18",
    ...     even_on="2027-02-01", promise_on="2027-02-22", expected_on="2027-02-01", late_by=(),
    ...     order_now=(), stop_loss=None, hours_left=60.0, day_worth=12.0)
    >>> view = PlanView(at="2026-11-26T08:00+01:00", lots=("l",), machines=(mill,), rows=(),
    ...     hire=(), refused=(), hands=("An",), proved=True, by_rule=False, gap=0.0, seed=7,
    ...     worlds=500, currency="EUR")
    >>> [(one.machine, one.promise_on.isoformat()) for one in dates_drawings(view)]
    [('mill', '2027-02-22')]
    """
    was = {one.machine_name: date.fromisoformat(one.was_on) for one in view.broke}
    return tuple(
        DatesDrawing(
            machine=one.machine_name,
            start=datetime.fromisoformat(view.at).date(),
            early_on=date.fromisoformat(one.early_on),
            even_on=date.fromisoformat(one.even_on),
            promise_on=date.fromisoformat(one.promise_on),
            was_on=was.get(one.machine_name),
        )
        for one in view.machines
        if one.early_on and one.even_on and one.promise_on
    )
