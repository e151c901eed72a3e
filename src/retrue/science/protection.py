"""Protection that both ways share: trip classes of an overload, and what a panel withstands."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.supply import ROOT_3

# IEC 60947-4-1, tripping time in seconds at 7.2 times the setting, from cold (from memory; the
# same windows in a maker's answer, secondary source).
TRIP_S = {"10A": (2.0, 10.0), "10": (4.0, 10.0), "20": (6.0, 20.0), "30": (9.0, 30.0)}
HOLDS_TIMES, HOLDS_S = 1.05, 7200.0  # must not trip within
TRIPS_TIMES, TRIPS_S = 1.2, 7200.0  # must trip within
UNMARKED_AMPERE = 5000.0  # a panel without a rating (UL 508A, from memory)


def trip_class(start_s: float) -> str:
    """The fastest trip class that lets a motor start.

    Parameters
    ----------
    start_s : float
        How long it takes to run up at about 7.2 times its current.

    Returns
    -------
    str
        10A, 10, 20 or 30.

    Raises
    ------
    Unusable
        It takes longer than the slowest class surely allows.

    References
    ----------
    IEC 60947-4-1, trip classes (from memory).

    Examples
    --------
    >>> trip_class(1.5), trip_class(3), trip_class(8)
    ('10A', '10', '30')
    """
    for name, (soonest, _) in TRIP_S.items():
        if 0 <= start_s < soonest:
            return name
    raise Unusable(
        say("no trip class lets a motor start that long"),
        remedy=say("Unload it, ramp it up by a drive, or protect it by its winding sensors."),
    )


def in_trip_class(trip_s: float, name: str) -> bool:
    """Whether an overload relay tripped within its class at 7.2 times its setting, from cold.

    Parameters
    ----------
    trip_s : float
        As measured by a qualified person.
    name : str
        Its class.

    Returns
    -------
    bool

    Raises
    ------
    Unusable
        No such class.

    References
    ----------
    IEC 60947-4-1, trip classes (from memory).

    Examples
    --------
    >>> in_trip_class(5, "10"), in_trip_class(5, "20")
    (True, False)
    """
    if name not in TRIP_S:
        raise Unusable(
            say("there is no such trip class"), remedy=say("Read it on the relay: 10A, 10, 20, 30.")
        )
    soonest, latest = TRIP_S[name]
    return soonest < trip_s <= latest


def prospective_ampere(volts: float, *, short_circuit_kva: float) -> float:
    """The short-circuit current that a three-phase supply can give.

    Parameters
    ----------
    volts : float
        Line to line.
    short_circuit_kva : float
        Of the supply at that place: see `transformer.short_circuit_kva`.

    Returns
    -------
    float
        Ampere, all three lines together; a motor running adds about 4 times its own current.

    Raises
    ------
    Unusable
        A number is not known.

    References
    ----------
    Three-phase power (by definition); IEC 60909-0 adds a voltage factor of up to 1.10.

    Examples
    --------
    >>> round(prospective_ampere(400, short_circuit_kva=2500))
    3608
    """
    if not (volts > 0 and short_circuit_kva > 0):
        raise Unusable(
            say("the short-circuit current of the supply is not known"),
            remedy=say("Ask the grid company, or read kVA and uk on the transformer's plate."),
        )
    return short_circuit_kva * 1000.0 / (ROOT_3 * volts)


@dataclass(frozen=True, slots=True)
class Withstands:
    """Whether a panel bears the short circuit of its supply."""

    rating_ampere: float
    prospective_ampere: float
    rating_marked: bool

    @property
    def bears(self) -> bool:
        """The rating is as high as the current that can come."""
        return self.prospective_ampere <= self.rating_ampere


def withstands(current_ampere: float, rating_ampere: float | None = None) -> Withstands:
    """Hold a panel's short-circuit rating against the current that can come.

    Parameters
    ----------
    current_ampere : float
        Prospective at its terminals.
    rating_ampere : float or None
        On the panel's plate; without one 5 kA are counted.

    Returns
    -------
    Withstands

    Raises
    ------
    Unusable
        The current is not known.

    References
    ----------
    UL 508A, supplement SB, for unmarked (from memory); IEC 60204-1, rated short-circuit current
    (from memory).

    Examples
    --------
    >>> withstands(3608).bears, withstands(12000, 10000).bears
    (True, False)
    """
    if not (current_ampere > 0 and math.isfinite(current_ampere)):
        raise Unusable(
            say("the short-circuit current of the supply is not known"),
            remedy=say("Ask the grid company, or read kVA and uk on the transformer's plate."),
        )
    rating = UNMARKED_AMPERE if rating_ampere is None else rating_ampere
    return Withstands(rating, current_ampere, rating_ampere is not None)
