"""Contactors and overload relays: utilisation category, trip class, setting."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.science.protection import HOLDS_TIMES, TRIP_S, TRIPS_TIMES

CLASS_TIMES = 7.2  # the current at which the classes are defined, over the setting
HEATS_ALONE_FROM = 3.0  # under it a relay loses heat while it warms: no rule of squares
HEATERS = ("AC-1", "DC-1")
Choice = Literal["fits", "too_small", "ask"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Category:
    """What a contactor must make and break, in times its rated current of that category."""

    id: str
    load: str
    make_times: float
    break_times: float
    covers: tuple[str, ...] = ()  # categories that are milder in every way


# IEC 60947-4-1, table 7: making and breaking (from memory, unverified).
CATEGORIES = {
    one.id: one
    for one in (
        Category(id="AC-1", load=later("heaters and other loads with hardly any inductance"),
                 make_times=1.5, break_times=1.5),
        Category(id="AC-2", load=later("slip-ring motors: starting, switching off"),
                 make_times=4.0, break_times=4.0, covers=("AC-1",)),
        Category(id="AC-3", load=later("cage motors: starting, switching off while running"),
                 make_times=10.0, break_times=8.0, covers=("AC-1", "AC-2")),
        Category(id="AC-4", load=later("cage motors: jogging, plugging, reversing"),
                 make_times=12.0, break_times=10.0, covers=("AC-1", "AC-2", "AC-3")),
        Category(id="DC-1", load=later("direct current with hardly any inductance"),
                 make_times=1.5, break_times=1.5),
        Category(id="DC-3", load=later("shunt motors: starting, plugging, jogging"),
                 make_times=4.0, break_times=4.0, covers=("DC-1",)),
        Category(id="DC-5", load=later("series motors: starting, plugging, jogging"),
                 make_times=4.0, break_times=4.0, covers=("DC-1", "DC-3")),
    )
}  # fmt: skip


def category(id: str) -> Category:
    """One utilisation category.

    Parameters
    ----------
    id : str
        AC-1, AC-2, AC-3, AC-4, DC-1, DC-3 or DC-5.

    Returns
    -------
    Category

    Raises
    ------
    Unusable
        No such category.

    References
    ----------
    IEC 60947-4-1, table 7 (from memory, unverified).

    Examples
    --------
    >>> category("AC-3").make_times, category("AC-3").break_times
    (10.0, 8.0)
    """
    if id not in CATEGORIES:
        raise Unusable(
            say("there is no such utilisation category"),
            remedy=say("Read it on the contactor: AC-1 to AC-4, DC-1, DC-3 or DC-5."),
        )
    return CATEGORIES[id]


def made_and_broken_ampere(id: str, load_ampere: float) -> tuple[float, float]:
    """The currents a contactor must make and break for a load.

    Parameters
    ----------
    id : str
        Category of the load.
    load_ampere : float
        Its running current, from the plate.

    Returns
    -------
    tuple of float
        To make, to break; ampere.

    Raises
    ------
    Unusable
        No such category, or no current.

    References
    ----------
    IEC 60947-4-1, table 7 (from memory, unverified).

    Examples
    --------
    >>> made_and_broken_ampere("AC-3", 9), made_and_broken_ampere("AC-4", 9)
    ((90.0, 72.0), (108.0, 90.0))
    """
    _ampere(load_ampere)
    kind = category(id)
    return kind.make_times * load_ampere, kind.break_times * load_ampere


def contactor(id: str, load_ampere: float, rated_ampere: Mapping[str, float]) -> Choice:
    """Whether a contactor fits a load.

    Parameters
    ----------
    id : str
        Category of the load: a jogged motor is AC-4.
    load_ampere : float
        Running current, from the plate.
    rated_ampere : mapping of str to float
        The contactor's own ratings by category, at the voltage of the load.

    Returns
    -------
    str
        ``fits`` by a rating in that category or in a heavier one; ``too_small`` where such a
        rating is lower, or where a milder one of a motor's shows that it cannot make or break the
        current; ``ask`` where only milder ratings are known: they are never converted. A rating
        for heaters (AC-1, DC-1) says nothing of what it makes and breaks for a motor.

    Raises
    ------
    Unusable
        No such category, or no current.

    References
    ----------
    IEC 60947-4-1, utilisation categories (from memory, unverified).

    Examples
    --------
    >>> contactor("AC-3", 9, {"AC-3": 12}), contactor("AC-4", 9, {"AC-3": 12})
    ('fits', 'ask')
    >>> contactor("AC-4", 12, {"AC-3": 12}), contactor("AC-3", 9, {"AC-1": 25})
    ('too_small', 'ask')
    """
    _ampere(load_ampere)
    wanted = category(id)
    for own, rated in rated_ampere.items():
        if (own == id or id in category(own).covers) and rated >= load_ampere:
            return "fits"
    if id in rated_ampere:
        return "too_small"
    makes, breaks = wanted.make_times * load_ampere, wanted.break_times * load_ampere
    milder = [(category(own), rated) for own, rated in rated_ampere.items()
              if own in wanted.covers and own not in HEATERS]  # fmt: skip
    if milder and all(
        kind.make_times * rated < makes or kind.break_times * rated < breaks
        for kind, rated in milder
    ):
        return "too_small"
    return "ask"


def setting_ampere(plate_ampere: float, *, inside_delta: bool = False) -> float:
    """What an overload relay is set to: the plate, never the table and never the fuse.

    Parameters
    ----------
    plate_ampere : float
        Of the motor, at the voltage and connection in use.
    inside_delta : bool
        The relay sits in the three branches of a delta, not in the line.

    Returns
    -------
    float
        Ampere.

    Raises
    ------
    Unusable
        No current.

    References
    ----------
    IEC 60947-4-1 (from memory); a branch of a delta carries the line's over root three (by
    definition).

    Examples
    --------
    >>> setting_ampere(10), round(setting_ampere(10, inside_delta=True), 2)
    (10, 5.77)
    """
    _ampere(plate_ampere)
    return plate_ampere / math.sqrt(3.0) if inside_delta else plate_ampere


def holds_and_trips_ampere(set_ampere: float) -> tuple[float, float]:
    """The current a relay must hold for two hours, and the one that must trip it within two.

    Parameters
    ----------
    set_ampere : float

    Returns
    -------
    tuple of float
        Holds; trips. Ampere.

    Raises
    ------
    Unusable
        No current.

    References
    ----------
    IEC 60947-4-1, limits of operation: 1.05 and 1.2 times the setting (from memory, unverified).

    Examples
    --------
    >>> holds_and_trips_ampere(10)
    (10.5, 12.0)
    """
    _ampere(set_ampere)
    return HOLDS_TIMES * set_ampere, TRIPS_TIMES * set_ampere


def trips_after_s(name: str, times: float) -> tuple[float, float]:
    """When a relay of a class trips from cold: not before, and not after.

    Parameters
    ----------
    name : str
        10A, 10, 20 or 30.
    times : float
        Current over the setting.

    Returns
    -------
    tuple of float
        Seconds. At 7.2 times the setting they are the class itself.

    Raises
    ------
    Unusable
        No such class, or a current under three times the setting.

    Notes
    -----
    Off 7.2 times, both ends go with the inverse square of the current, as a body does that has no
    time to lose heat: an estimate, the relay's own curve goes first.

    References
    ----------
    IEC 60947-4-1, trip classes (from memory, unverified); heat without loss by definition.

    Examples
    --------
    >>> trips_after_s("10", 7.2), trips_after_s("10", 3.6)
    ((4.0, 10.0), (16.0, 40.0))
    """
    if name not in TRIP_S or not HEATS_ALONE_FROM <= times < math.inf:
        raise Unusable(
            say("when this relay trips cannot be told"),
            remedy=say("Read its class on it (10A, 10, 20, 30) and take its own curve."),
        )
    stretched = (CLASS_TIMES / times) ** 2
    soonest, latest = TRIP_S[name]
    return soonest * stretched, latest * stretched


def _ampere(current: float) -> None:
    if not 0 < current < math.inf:
        raise Unusable(
            say("the current of the load is needed"),
            remedy=say("Read the amps on the motor's plate."),
        )
