"""What the money laid out brings a year, where it has one such rate."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.books.many_rows import many_rates, rates_of_one_sale
from retrue.books.value import internal_rates
from retrue.cases.alternatives import DAYS_A_YEAR
from retrue.cases.machines import band
from retrue.cases.settle.versus_flows import Gap
from retrue.cases.settle.versus_lines import RateRow

Floats = NDArray[np.float64]

FEWEST = 20  # worlds with just one rate below which no band of it is told


def rate_row(payments: Floats) -> RateRow:
    """What the money laid out more brings a year, or what the money kept in hand costs.

    Parameters
    ----------
    payments : ndarray, shape (years + 1, worlds), money
        Ours less the other way's.

    Returns
    -------
    RateRow

    References
    ----------
    Lorie and Savage 1955, Three problems in rationing capital, Journal of Business 28(4).

    Examples
    --------
    >>> rate_row(np.array([[-100.0], [230.0], [-132.0]])).roots
    (0.1, 0.2)
    """
    found, mean = many_rates(payments), payments.mean(axis=1)
    lays_out_more = bool(mean[0] < 0.0)
    turned = (payments[0] < 0.0) != lays_out_more
    sole = found.rates[~np.isnan(found.rates) & ~turned]
    told = band(sole) if len(sole) >= FEWEST else None
    return RateRow(
        p10=told.p10 if told else None,
        p50=told.p50 if told else None,
        p90=told.p90 if told else None,
        none=int((found.none & ~turned).sum()),
        several=int((found.several & ~turned).sum()),
        turned=int(turned.sum()),
        roots=tuple(round(rate, 6) for rate in internal_rates(mean.tolist()).rates),
        lays_out_more=lays_out_more,
    )


def sale_of(gap: Gap) -> tuple[Floats, Floats, Floats]:
    """What was paid, own hours with it, what the sale brings on its day, and the years until then.

    Parameters
    ----------
    gap : Gap
        Of a machine that is sold, or to be.

    Returns
    -------
    paid, brought : ndarray, shape (worlds,), money
    years : ndarray, shape (worlds,), years
    """
    years = gap.ours.sale_days / DAYS_A_YEAR
    paid = gap.ours.money + gap.rate * gap.ours.own_hours
    return paid, np.asarray(gap.ours.sale * (1.0 + gap.interest) ** years), years


def sale_row(gap: Gap, worked: bool) -> RateRow:
    """What the money brought a year that came back with one sale, by the day of it.

    Parameters
    ----------
    gap : Gap
        Of a machine that is sold, or to be.
    worked : bool
        It did its work before: what it saved came in all the time, and no rate is told.

    Returns
    -------
    RateRow
    """
    why = say("it worked before it was sold: what it saved came in all the while, on no one day")
    rates = np.full(len(gap.hours), np.nan)
    if not worked:
        why = say("nothing was paid or nothing comes back, or both on one day")
        rates = rates_of_one_sale(*sale_of(gap))
    sole = rates[np.isfinite(rates)]
    told = band(sole) if len(sole) >= FEWEST else None
    return RateRow(
        p10=told.p10 if told else None,
        p50=told.p50 if told else None,
        p90=told.p90 if told else None,
        none=0 if worked else int((~np.isfinite(rates)).sum()),
        several=0,
        turned=0,
        roots=(),
        lays_out_more=True,
        why="" if told else why,
    )
