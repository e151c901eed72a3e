"""Many rows of payments at once: when the money is back, and at what rate, in every world."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.books.value import internal_rates

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_LOWEST, _HIGHEST = -18.0, 18.0  # logarithm of 1 + rate: from nothing left to 65 million-fold
_HALVINGS = 60


@dataclass(frozen=True, slots=True, eq=False)
class ManyRates:
    """The internal rate of every row, where it has just one.

    Attributes
    ----------
    rates : ndarray, shape (worlds,), share a year
        Not a number where there is none or more than one.
    none, several : ndarray of bool, shape (worlds,)
        Where no rate, or more than one, makes the payments worth nothing.
    """

    rates: Floats
    none: Bools
    several: Bools


def many_rates(payments: ArrayLike) -> ManyRates:
    """The rate at which each row of yearly payments is worth nothing.

    Parameters
    ----------
    payments : array_like of float, shape (years + 1, worlds), money
        Received above 0, paid below; the first is made now.

    Returns
    -------
    ManyRates

    Raises
    ------
    Unusable
        Not one number a year and world.

    Notes
    -----
    A row whose sign changes once has just one rate and is halved in; each other row is solved for
    every root.

    References
    ----------
    Descartes' rule of signs; Lorie and Savage 1955, Three problems in rationing capital, Journal
    of Business 28(4).

    Examples
    --------
    >>> found = many_rates(np.array([[-100.0, -100.0], [110.0, 230.0], [0.0, -132.0]]))
    >>> found.rates.round(9).tolist(), found.several.tolist()
    ([0.1, nan], [False, True])
    """
    rows = _rows(payments)
    changes = _sign_changes(rows)
    rates = np.full(rows.shape[1], np.nan)
    none, several = changes == 0, np.zeros(rows.shape[1], np.bool_)
    once = changes == 1
    rates[once] = _halved(rows[:, once])
    for at in np.flatnonzero(changes > 1):
        found = internal_rates(rows[:, at].tolist())
        none[at], several[at] = not found.rates, len(found.rates) > 1
        rates[at] = np.nan if found.rate is None else found.rate
    return ManyRates(rates=rates, none=none, several=several)


def many_paybacks(payments: ArrayLike) -> Floats:
    """Years until the money of each row is back and stays back, within a year in proportion.

    Parameters
    ----------
    payments : array_like of float, shape (years + 1, worlds), money
        Received above 0, paid below; the first is made now.

    Returns
    -------
    ndarray, shape (worlds,), years
        Infinity where it never comes back.

    Raises
    ------
    Unusable
        Not one number a year and world.

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapter 5.

    Examples
    --------
    >>> rows = np.array([[-10_000.0, -1.0]] + [[3_000.0, 0.0]] * 5)
    >>> many_paybacks(rows).round(2).tolist()
    [3.33, inf]
    """
    rows = _rows(payments)
    held = np.cumsum(rows, axis=0)
    short = held < 0
    last = len(rows) - 1 - np.argmax(short[::-1], axis=0)
    worlds = np.arange(rows.shape[1])
    after = np.minimum(last + 1, len(rows) - 1)
    here, there = held[last, worlds], held[after, worlds]
    step = np.where(after > last, here - there, 1.0)
    back = last + np.divide(here, step, out=np.zeros_like(here), where=step != 0)
    back = np.where(last == len(rows) - 1, np.inf, back)
    return np.where(short.any(axis=0), back, 0.0)


def rates_of_one_sale(paid: ArrayLike, brought: ArrayLike, years: ArrayLike) -> Floats:
    """What money brings a year that goes out once and comes back once, on a day.

    Parameters
    ----------
    paid, brought : array_like of float, shape () or (worlds,), money
    years : array_like of float, shape () or (worlds,), years
        Between the two: a part of one where it is less.

    Returns
    -------
    ndarray, shape (worlds,), share a year
        Not a number where one of the two is nothing or both fall on one day; infinite where it is
        beyond counting.

    References
    ----------
    Brealey, Myers and Allen 2020, Principles of Corporate Finance, chapter 2: the rate at which one
    payment, compounded over its years, is the other.

    Examples
    --------
    >>> rates_of_one_sale([10_000.0, 8_000.0], [12_000.0, 4_000.0], [0.5, 1.0]).round(4).tolist()
    [0.44, -0.5]
    """
    out, back, time = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(one, dtype=np.float64)) for one in (paid, brought, years))
    )
    there = (out > 0.0) & (back > 0.0) & (time > 0.0)
    growth = np.log(np.where(there, back, 1.0) / np.where(there, out, 1.0))
    with np.errstate(over="ignore"):
        rates = np.expm1(growth / np.where(there, time, 1.0))
    return np.where(there, rates, np.nan)


def _rows(payments: ArrayLike) -> Floats:
    rows = np.asarray(payments, dtype=np.float64)
    if rows.ndim != 2 or not rows.size or not np.isfinite(rows).all():
        raise Unusable(
            "the payments are not one number a year and world",
            remedy="Give a number for every year of every world, 0 where nothing is paid.",
        )
    return rows


def _sign_changes(rows: Floats) -> NDArray[np.int64]:
    """How often each row turns from paying to receiving or back; nothing paid turns nothing."""
    changes = np.zeros(rows.shape[1], np.int64)
    before = np.zeros(rows.shape[1])
    for payment in np.sign(rows):
        changes += (payment * before) < 0
        before = np.where(payment != 0, payment, before)
    return changes


def _halved(rows: Floats) -> Floats:
    """The only rate of rows that change sign once, by halving the logarithm of its growth."""
    power = np.arange(len(rows), dtype=np.float64)[:, None]
    first = np.argmax(rows != 0, axis=0)
    sign = np.sign(rows[first, np.arange(rows.shape[1])])  # of the present value at a high rate
    low, high = np.full(rows.shape[1], _LOWEST), np.full(rows.shape[1], _HIGHEST)
    used = power - first  # the first payment that is one is made now
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        worth = (rows * np.exp(-middle * np.maximum(used, 0.0))).sum(axis=0) * sign
        low, high = np.where(worth < 0, middle, low), np.where(worth < 0, high, middle)
    return np.asarray(np.expm1((low + high) / 2))
