"""Money over time: what a row of payments is worth, earns, and when it is back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable

Floats = NDArray[np.float64]

_REAL = 1e-5  # a root with a smaller imaginary part, relative to its size, is looked at as real
_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class InternalRates:
    """Every rate a year at which a row of payments is worth nothing, and a word where it matters.

    ``rates`` rises; ``rate`` is the only one, or None; ``why`` says why there is none or not one.
    """

    rates: tuple[float, ...]
    rate: float | None
    why: str


def discount_factors(rate: float, years: ArrayLike) -> Floats:
    """What one unit of money, paid later, is worth now.

    Parameters
    ----------
    rate : float
        Interest a year as a share (0.08 for 8 %), above -1.
    years : array_like of float
        Years from now.

    Returns
    -------
    numpy.ndarray
        Same shape, no unit.

    Raises
    ------
    Unusable
        A rate of -1 or less.

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapter 2.

    Examples
    --------
    >>> discount_factors(0.25, [0, 1, 2]).round(12).tolist()
    [1.0, 0.8, 0.64]
    """
    return np.asarray(np.exp(-math.log(_growth(rate)) * np.asarray(years, dtype=np.float64)))


def annuity_factor(rate: float, years: float) -> float:
    """What one unit of money a year, paid at each year's end, is worth now.

    Parameters
    ----------
    rate : float
        Interest a year as a share, above -1; 0 is allowed.
    years : float
        How many years, 0 or more.

    Returns
    -------
    float
        Years, discounted.

    Raises
    ------
    Unusable
        A rate of -1 or less, or fewer than 0 years.

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapter 2.

    Examples
    --------
    >>> round(annuity_factor(0.10, 5), 6), annuity_factor(0.0, 5)
    (3.790787, 5.0)
    """
    _growth(rate)
    if not 0 <= years < math.inf:
        raise Unusable("the years must be 0 or more", remedy="Give a number of years such as 7.")
    if rate == 0:
        return float(years)
    return -math.expm1(-years * math.log1p(rate)) / rate


def capital_recovery_factor(rate: float, years: float) -> float:
    """What must come back each year for one unit of money spent now.

    Parameters
    ----------
    rate : float
        Interest a year as a share, above -1; 0 is allowed.
    years : float
        How many years, above 0.

    Returns
    -------
    float
        A year.

    Raises
    ------
    Unusable
        A rate of -1 or less, or no years.

    References
    ----------
    Grant, Ireson and Leavenworth 1990, Principles of Engineering Economy, chapter 4 (A/P factor).

    Examples
    --------
    >>> round(capital_recovery_factor(0.10, 5), 6)
    0.263797
    """
    if not years > 0:
        raise Unusable("capital cannot come back in no time", remedy="Give years above 0.")
    return 1 / annuity_factor(rate, years)


def capital_charge(price: float, resale: float, rate: float, years: float) -> float:
    """What owning costs each year: capital recovery of the price, less that of the resale.

    Parameters
    ----------
    price : float
        Paid now, money.
    resale : float
        Got back at the end, money.
    rate : float
        Interest a year as a share, above -1.
    years : float
        How long it is kept, above 0.

    Returns
    -------
    float
        Money a year.

    Raises
    ------
    Unusable
        A rate of -1 or less, or no years.

    References
    ----------
    Grant, Ireson and Leavenworth 1990, Principles of Engineering Economy, chapter 7.

    Examples
    --------
    >>> round(capital_charge(95_000, 38_000, 0.08, 7))
    13988
    """
    back = capital_recovery_factor(rate, years)
    return price * back - resale * (back - rate)


def net_present_value(rate: float, payments: ArrayLike) -> Floats:
    """What a row of yearly payments is worth now; the first is made now.

    Parameters
    ----------
    rate : float
        Interest a year as a share, above -1.
    payments : array_like of float, shape (years + 1,) or (years + 1, worlds), money
        Received above 0, paid below.

    Returns
    -------
    numpy.ndarray, shape () or (worlds,), money
        Worth now.

    Raises
    ------
    Unusable
        A rate of -1 or less, or no payment.

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapter 5.

    Examples
    --------
    >>> round(float(net_present_value(0.10, [-10_000, 3_000, 3_000, 3_000, 3_000, 3_000])), 2)
    1372.36
    """
    rows = _payments(payments)
    factors = discount_factors(rate, np.arange(len(rows)))
    return np.asarray((rows * factors.reshape(-1, *[1] * (rows.ndim - 1))).sum(axis=0))


def internal_rates(payments: Sequence[float]) -> InternalRates:
    """Every rate at which a row of yearly payments is worth nothing.

    Parameters
    ----------
    payments : sequence of float, shape (years + 1,), money
        Received above 0, paid below; the first is made now.

    Returns
    -------
    InternalRates
        Rates a year as shares, all above -1, each once.

    Raises
    ------
    Unusable
        No payment, or one that is not a number.

    References
    ----------
    Lorie and Savage 1955, Three problems in rationing capital, Journal of Business 28(4): payments
    that change sign more than once may have more than one rate.

    Examples
    --------
    >>> round(internal_rates([-10_000, 3_000, 3_000, 3_000, 3_000, 3_000]).rate, 4)
    0.1524
    >>> [round(rate, 6) for rate in internal_rates([-1_600, 10_000, -10_000]).rates]
    [0.25, 4.0]
    """
    row = _payments(payments)
    if row.ndim != 1:
        raise Unusable("a rate belongs to one row of payments", remedy="Give one row at a time.")
    used = np.flatnonzero(row)
    if len(used) < 2 or not (row[used] > 0).any() or not (row[used] < 0).any():
        return InternalRates((), None, "money flows one way only")
    trimmed = row[used[0] : used[-1] + 1] / np.abs(row).max()
    found = np.roots(trimmed[::-1])
    near = found[(found.real > 0) & (np.abs(found.imag) <= _REAL * np.abs(found))].real
    rates: list[float] = []
    for start in sorted(1 / near):
        growth = _polished(trimmed, float(start))
        if growth is not None and not any(abs(growth - 1 - rate) < 1e-6 for rate in rates):
            rates.append(growth - 1)
    rates.sort()
    if not rates:
        return InternalRates((), None, "no rate makes these payments worth nothing")
    if len(rates) > 1:
        return InternalRates(tuple(rates), None, "more than one rate does: use the present value")
    return InternalRates((rates[0],), rates[0], "")


def payback_years(payments: Sequence[float], *, rate: float = 0.0) -> float | None:
    """Years until the money is back and stays back, within a year in proportion.

    Parameters
    ----------
    payments : sequence of float, shape (years + 1,), money
        Received above 0, paid below; the first is made now.
    rate : float
        Interest a year as a share, above -1; 0 for the plain payback.

    Returns
    -------
    float or None
        Years; None where it never comes back.

    Raises
    ------
    Unusable
        A rate of -1 or less, or no payment.

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapter 5.

    Examples
    --------
    >>> round(payback_years([-10_000, 3_000, 3_000, 3_000, 3_000, 3_000]), 2)
    3.33
    """
    row = _payments(payments)
    held = np.cumsum(row * discount_factors(rate, np.arange(len(row))))
    short = np.flatnonzero(held < 0)
    if not len(short):
        return 0.0
    last = int(short[-1])
    if last == len(row) - 1:
        return None
    return last + float(held[last] / (held[last] - held[last + 1]))


def _growth(rate: float) -> float:
    if not -1 < rate < math.inf:
        raise Unusable(
            "a yearly rate must lie above -1", remedy="Give it as a share: 0.08 for 8 per cent."
        )
    return 1 + rate


def _payments(payments: ArrayLike) -> Floats:
    rows = np.asarray(payments, dtype=np.float64)
    if rows.ndim == 0 or not rows.size or not np.isfinite(rows).all():
        raise Unusable(
            "the payments are not one number a year",
            remedy="Give a number for every year, 0 where nothing is paid.",
        )
    return rows


def _polished(payments: Floats, growth: float) -> float | None:
    """Newton's steps on the present value, from a root of the polynomial; None if they leave it."""
    power = np.arange(len(payments))
    value = growth
    for _ in range(_ROUNDS):
        terms = payments * value**-power
        slope = float((-power * terms).sum() / value)
        step = float(terms.sum()) / slope if slope else 0.0
        value -= step
        if not value > 0:
            return None
        if abs(step) <= 1e-14 * value:
            break
    discounted: Floats = payments * np.power(value, -power)
    whole, here = float(np.abs(discounted).sum()), float(discounted.sum())
    return value if abs(here) <= 1e-9 * whole and abs(value - growth) < 1e-3 * growth else None
