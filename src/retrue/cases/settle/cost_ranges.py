"""Ranges added, moved and compared: a figure in every world, told by four numbers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.cases.machines import band
from retrue.cases.settle.cost_lines import Against, Range
from retrue.cases.sheet import Band

Floats = NDArray[np.float64]
NOTHING = 0.5  # money or hours below which nothing is said of it


def range_of(values: Floats) -> Range:
    """Good luck, even chance, bad luck and the average of a figure.

    Parameters
    ----------
    values : ndarray, shape (worlds,)

    Returns
    -------
    Range

    Examples
    --------
    >>> range_of(np.arange(11.0))
    Range(p10=1.0, p50=5.0, p90=9.0, mean=5.0)
    """
    told = band(values)
    return Range(p10=told.p10, p50=told.p50, p90=told.p90, mean=float(values.mean()))


def sure(value: float) -> Range:
    """A figure that is known.

    Parameters
    ----------
    value : float

    Returns
    -------
    Range

    Examples
    --------
    >>> sure(3.0).p90
    3.0
    """
    return Range(p10=value, p50=value, p90=value, mean=value)


def moved(told: Range, by: float) -> Range:
    """A range with a known sum added.

    Parameters
    ----------
    told : Range
    by : float

    Returns
    -------
    Range

    Examples
    --------
    >>> moved(sure(3.0), 2.0).mean
    5.0
    """
    return Range(p10=told.p10 + by, p50=told.p50 + by, p90=told.p90 + by, mean=told.mean + by)


def plus(one: Range, other: Range) -> Range:
    """Two ranges that go up and down together: their ends are added, which is the widest sum.

    Parameters
    ----------
    one, other : Range

    Returns
    -------
    Range

    Examples
    --------
    >>> plus(sure(3.0), sure(2.0)).p90
    5.0
    """
    return Range(
        p10=one.p10 + other.p10,
        p50=one.p50 + other.p50,
        p90=one.p90 + other.p90,
        mean=one.mean + other.mean,
    )


def scaled(told: Range, by: float) -> Range:
    """A range with every figure multiplied.

    Parameters
    ----------
    told : Range
    by : float
        Not below 0.

    Returns
    -------
    Range

    Examples
    --------
    >>> scaled(sure(3.0), 2.0).p10
    6.0
    """
    return Range(p10=told.p10 * by, p50=told.p50 * by, p90=told.p90 * by, mean=told.mean * by)


def along(told: Range, order: Floats) -> Floats:
    """A range as a figure in every world, going up and down with another one.

    Parameters
    ----------
    told : Range
    order : ndarray, shape (worlds,)
        The other one.

    Returns
    -------
    ndarray, shape (worlds,)
        Its percentiles are those of the range, straight between them; the outer tenths are drawn
        out so that its average is the range's. Added to the other one, the ends are added, as
        :func:`plus` does.

    Examples
    --------
    >>> values = along(Range(p10=1.0, p50=2.0, p90=4.0, mean=2.5), np.arange(1000.0))
    >>> seen = range_of(values)
    >>> seen.p10, seen.p50, seen.p90, round(seen.mean, 9)
    (1.0, 2.0, 4.0, 2.5)
    """
    last = len(order) - 1
    places = np.argsort(np.argsort(order, kind="stable"), kind="stable")
    at = [round(share * last) for share in (0.1, 0.5, 0.9)]  # as ``band`` picks them
    values = np.interp(places, at, (told.p10, told.p50, told.p90))
    more = told.mean - float(values.mean())
    outer = np.maximum(0, places - at[2]) if more > 0.0 else np.maximum(0, at[0] - places)
    if not outer.any():
        return np.asarray(values)
    return np.asarray(values + outer * (more / float(outer.mean())))


def of_band(told: Band, mean: float | None = None) -> Range:
    """A band of the price sheet as a range.

    Parameters
    ----------
    told : Band
    mean : float or None
        None: nobody kept it; by the three-point rule.

    Returns
    -------
    Range

    References
    ----------
    Swanson's rule, 0.3, 0.4, 0.3 of P10, P50, P90: A. Hurst, G. Brown, R. Swanson, Swanson's
    30-40-30 rule, AAPG Bulletin 84 (2000) 1883 (from memory).

    Examples
    --------
    >>> of_band(Band(p10=1.0, p50=2.0, p90=5.0)).mean
    2.6
    """
    average = 0.3 * told.p10 + 0.4 * told.p50 + 0.3 * told.p90 if mean is None else mean
    return Range(p10=told.p10, p50=told.p50, p90=told.p90, mean=round(average, 9))


def against(end: float, forecast: Range | None) -> Against:
    """Where an end stands to what was expected.

    Parameters
    ----------
    end : float
        Its even chance, or what it was.
    forecast : Range or None

    Returns
    -------
    str
        within: between good and bad luck (8 in 10 of the ways it could go); above; below; empty:
        nothing was expected. Half a unit is no difference.

    Examples
    --------
    >>> told = Range(p10=8900.0, p50=11000.0, p90=14200.0, mean=11300.0)
    >>> against(9840.0, told), against(14201.0, told), against(8000.0, told), against(1.0, None)
    ('within', 'above', 'below', '')
    """
    if forecast is None:
        return ""
    if end > forecast.p90 + NOTHING:
        return "above"
    return "below" if end < forecast.p10 - NOTHING else "within"
