"""Hoses: what burst pressure a working pressure asks, what a hose loses in length, its flow."""

from __future__ import annotations

import math

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.motor_match import Fits

BURST_TIMES = 4.0  # hydraulic hoses (SAE J517, ISO 7751: secondary source)
SHORTENS_SHARE = 0.04  # under pressure, at most (from memory, unverified)
LOOSE_TIMES, LONGEST_TIMES = 1.1, 1.5  # longer it is asked, and never fits (judgement)
STORED_YEARS, OLD_YEARS = 2.0, 6.0  # in store, and until it is replaced (DIN 20066, from memory)


def burst_bar(working_bar: float, *, times: float = BURST_TIMES) -> float:
    """The least burst pressure of a hose.

    Parameters
    ----------
    working_bar : float
        The highest there is, peaks included.
    times : float
        Burst over working.

    Returns
    -------
    float
        Bar.

    References
    ----------
    SAE J517, ISO 7751: four times for hydraulics (secondary source).

    Examples
    --------
    >>> burst_bar(70)
    280.0
    """
    return times * working_bar


def long_enough(has_mm: float | None, needs_mm: float | None) -> Fits:
    """Whether a hose is still long enough when pressure has shortened it.

    Parameters
    ----------
    has_mm, needs_mm : float or None
        None where nobody knows.

    Returns
    -------
    str
        yes where it reaches although shortened, ask where it only just reaches or hangs in a loop
        that may kink or rub, no where it is half as long again.

    References
    ----------
    Up to 4 per cent under pressure (from memory, unverified).

    Examples
    --------
    >>> long_enough(1050, 1000), long_enough(1010, 1000), long_enough(990, 1000)
    ('yes', 'ask', 'no')
    >>> long_enough(1200, 1000), long_enough(3000, 1000)
    ('ask', 'no')
    """
    if has_mm is None or needs_mm is None:
        return "ask"
    if has_mm < needs_mm or has_mm > LONGEST_TIMES * needs_mm:
        return "no"
    reaches = has_mm * (1.0 - SHORTENS_SHARE) >= needs_mm
    return "yes" if reaches and has_mm <= LOOSE_TIMES * needs_mm else "ask"


def young_enough(years: float | None) -> Fits:
    """Whether a hose from a shelf may still be fitted.

    Parameters
    ----------
    years : float or None
        Since it was made.

    Returns
    -------
    str
        yes up to two years, ask up to six, no beyond.

    References
    ----------
    DIN 20066 (from memory): two years in store, six years in all.

    Examples
    --------
    >>> young_enough(1), young_enough(4), young_enough(7), young_enough(None)
    ('yes', 'ask', 'no', 'ask')
    """
    if years is None:
        return "ask"
    return "yes" if years <= STORED_YEARS else "ask" if years <= OLD_YEARS else "no"


def flow_m_s(litre_min: float, bore_mm: float) -> float:
    """How fast a fluid runs in a hose.

    Parameters
    ----------
    litre_min : float
        Litres a minute.
    bore_mm : float
        Inside diameter.

    Returns
    -------
    float
        Metres a second.

    Raises
    ------
    Unusable
        No bore.

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(flow_m_s(30, 12.5), 2)
    4.07
    """
    if not bore_mm > 0:
        raise Unusable(say("the hose has no bore"), remedy=say("Measure its inside diameter."))
    return litre_min / 60000.0 / (math.pi * (bore_mm / 2000.0) ** 2)
