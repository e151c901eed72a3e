"""Absorption of a winding: how its insulation reading climbs, and when that says nothing."""

from __future__ import annotations

from typing import Literal

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.insulation import Winding

INDEX_MINIMUM = {"A": 1.5, "B": 2.0, "F": 2.0, "H": 2.0}
INDEX_UP_TO_MEGOHM = 5000.0  # over it the currents are too small to compare


def polarization_index(one_minute_megohm: float, ten_minutes_megohm: float) -> float:
    """How much the reading climbs from one minute to ten.

    Parameters
    ----------
    one_minute_megohm, ten_minutes_megohm : float
        At one temperature, test voltage kept on.

    Returns
    -------
    float
        Ratio; 1.5 is wanted of class A (105), 2.0 of classes B, F and H.

    Raises
    ------
    Unusable
        A reading is not positive.

    References
    ----------
    IEEE Std 43-2000, as quoted in the manual of a tester (secondary source).

    Examples
    --------
    >>> polarization_index(50, 120)
    2.4
    """
    return _ratio(ten_minutes_megohm, one_minute_megohm)


def index_minimum(insulation_class: str) -> float:
    """The least polarization index of a class of insulation.

    Parameters
    ----------
    insulation_class : str
        A, B, F or H.

    Returns
    -------
    float

    Raises
    ------
    Unusable
        Another letter: the standard names no index for it.

    References
    ----------
    IEEE Std 43-2000, as quoted in the manual of a tester (secondary source).

    Examples
    --------
    >>> index_minimum("A"), index_minimum("F")
    (1.5, 2.0)
    """
    if insulation_class not in INDEX_MINIMUM:
        raise Unusable(
            say("no least index is known for this class"),
            remedy=say("Read the letter on the plate of the motor: A, B, F or H."),
        )
    return INDEX_MINIMUM[insulation_class]


def index_means_nothing(
    one_minute_megohm: float, winding: Winding
) -> Literal["", "high", "small_random"]:
    """Why a polarization index does not judge a winding; empty where it does.

    Parameters
    ----------
    one_minute_megohm : float
    winding : str
        As in :func:`retrue.science.insulation.minimum_megohm`.

    Returns
    -------
    str
        ``high``: over 5 gigohm the index is no criterion. ``small_random``: in a small winding
        wound at random the absorption current is gone within seconds or minutes.

    References
    ----------
    IEEE Std 43-2013, clauses on the index: 5 gigohm from memory; small windings by a trade
    association's summary of the edition (secondary source).

    Examples
    --------
    >>> index_means_nothing(6000, "form"), index_means_nothing(200, "random")
    ('high', 'small_random')
    """
    if one_minute_megohm > INDEX_UP_TO_MEGOHM:
        return "high"
    return "small_random" if winding == "random" else ""


def absorption_ratio(half_minute_megohm: float, one_minute_megohm: float) -> float:
    """How much the reading climbs from half a minute to one.

    Parameters
    ----------
    half_minute_megohm, one_minute_megohm : float

    Returns
    -------
    float

    Raises
    ------
    Unusable
        A reading is not positive.

    References
    ----------
    Handbooks of tester makers (from memory); it is not in IEEE Std 43.

    Examples
    --------
    >>> absorption_ratio(100, 140)
    1.4
    """
    return _ratio(one_minute_megohm, half_minute_megohm)


def absorption_reading(ratio: float) -> Literal["falls", "questionable", "between", "good"]:
    """What an absorption ratio says.

    Parameters
    ----------
    ratio : float
        From :func:`absorption_ratio`.

    Returns
    -------
    str
        falls (under 1), questionable (to 1.25), between (to 1.4), good.

    References
    ----------
    Handbooks of tester makers (from memory, unverified).

    Examples
    --------
    >>> absorption_reading(0.9), absorption_reading(1.1), absorption_reading(1.5)
    ('falls', 'questionable', 'good')
    """
    if ratio < 1.0:
        return "falls"
    if ratio < 1.25:
        return "questionable"
    return "between" if ratio < 1.4 else "good"


def _ratio(later_megohm: float, earlier_megohm: float) -> float:
    if not (earlier_megohm > 0 and later_megohm > 0):
        raise Unusable(
            say("both readings are needed, in megohm"),
            remedy=say("Read both from one test, the voltage kept on between them."),
        )
    return later_megohm / earlier_megohm
