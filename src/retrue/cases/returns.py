"""What the money put into a lot brings, as one row of payments: present value, rate, payback."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.books.value import internal_rates, net_present_value, payback_years
from retrue.cases.alternatives import DAYS_A_YEAR
from retrue.cases.plans import Outcome, Prospect
from retrue.cases.sheet import ReturnRow
from retrue.cases.view import View

Floats = NDArray[np.float64]


def return_row(view: View, amount: float) -> ReturnRow:
    """Payments of the best option on average, year by year, against buying the work in.

    Parameters
    ----------
    view : View
    amount : float
        Hammer price, in the lot's currency.

    Returns
    -------
    ReturnRow

    Notes
    -----
    Money goes out at once; margins come in from the first good part on, a resale at the horizon
    or when it is sold. Own hours are not counted: their value stands beside the price.
    """
    years = max(1, round(view.settled.horizon))
    payments = np.zeros(years + 1)
    payments[0] = -(amount * view.settled.k * view.settled.exchange + view.option.money.mean())
    for prospect, outcome in zip(view.chooser.prospects, view.option.outcomes, strict=True):
        payments += _brought(prospect, outcome, years)
    payments /= view.settled.exchange
    found = internal_rates(payments.tolist())
    return ReturnRow(
        present_value=round(float(net_present_value(view.settled.interest, payments)), 2),
        rate=None if found.rate is None else round(found.rate, 6),
        why=found.why,
        payback_years=payback_years(payments.tolist()),
    )


def _brought(prospect: Prospect, outcome: Outcome, years: int) -> Floats:
    """What one machine brings in each year, on average; the first entry is now."""
    flow, interest = np.zeros(years + 1), prospect.settled.interest
    ready = outcome.days / DAYS_A_YEAR
    if outcome.plan.keeps:
        margin = prospect.worth.margin_a_year * outcome.went_on
        for year in range(1, years + 1):
            flow[year] += float((margin * _share(ready, year)).mean())
        when = np.full(len(ready), float(years))
    else:
        when = ready
    resale = outcome.brings * (1.0 + interest) ** when
    at = np.clip(np.ceil(when).astype(int), 1, years)
    flow += np.bincount(at, weights=resale, minlength=years + 1)[: years + 1] / len(ready)
    return flow


def _share(ready: Floats, year: int) -> Floats:
    """How much of a year, counted from one, lies after the first good part.

    >>> _share(np.array([0.25, 3.0]), 1).tolist()
    [0.75, 0.0]
    """
    return np.clip(year - ready, 0.0, 1.0)
