"""Protection of a line by the international way: overload, shock, heat of a short circuit.

Every number here is an estimate for planning: an electrician must verify it against the standard
in force where the machine stands. Clauses are from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

BREAKER_AMPERE = (6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125)  # IEC 60898-1
FUSE_AMPERE = (
    2, 4, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400,
)  # fmt: skip  # gG, IEC 60269
# Current that surely trips in the conventional time, over the rating (from memory).
BREAKER_TRIPS = 1.45  # IEC 60898-1
ADJUSTABLE_TRIPS = 1.30  # IEC 60947-2, over its setting
FUSE_TRIPS = ((4.0, 2.1), (16.0, 1.9), (math.inf, 1.6))  # IEC 60269-1, gG: under this rating
CARRIES_TIMES = 1.45
# Magnetic trip, most, over the rating (IEC 60898-1, from memory).
MAGNETIC = {"B": 5.0, "C": 10.0, "D": 20.0}
# Longest disconnection in a TN supply (IEC 60364-4-41, from memory): volts to earth up to, seconds.
TN_SECONDS = ((120.0, 0.8), (230.0, 0.4), (400.0, 0.2), (math.inf, 0.1))
TOUCH_VOLTS = 50.0
COLD_SHARE = 2.0 / 3.0  # of the allowed loop, when measured cold (IEC 60364-6, from memory)
# Heat that a conductor of 1 mm2 bears, in A s^(1/2) (IEC 60364-4-43, table 43A, from memory).
HEAT = {"pvc": 115.0, "xlpe": 143.0, "pvc_aluminium": 76.0, "xlpe_aluminium": 94.0}
LONGEST_S = 5.0


@dataclass(frozen=True, slots=True)
class Overload:
    """Whether a device protects a conductor from overload; shares under or at 1 hold."""

    load_share: float  # design current over the device's rating
    rating_share: float  # rating over what the conductor carries
    trips_share: float  # tripping current over 1.45 times what it carries

    @property
    def protects(self) -> bool:
        """All three rules hold."""
        return max(self.load_share, self.rating_share, self.trips_share) <= 1.0 + 1e-9


def overload(
    load_ampere: float, device_ampere: float, carries_ampere: float, *, device: str = "breaker"
) -> Overload:
    """Whether load, device and conductor fit each other.

    Parameters
    ----------
    load_ampere : float
        Design current of the circuit.
    device_ampere : float
        Rating of the device, or its setting.
    carries_ampere : float
        What the conductor carries where it lies.
    device : str
        breaker, adjustable (a breaker that is set) or fuse (gG).

    Returns
    -------
    Overload

    Raises
    ------
    Unusable
        A current is not known, or no such device.

    Notes
    -----
    ``Ib <= In <= Iz`` and ``I2 <= 1.45 Iz``.

    References
    ----------
    IEC 60364-4-43:2008, clause 433.1 (from memory).

    Examples
    --------
    >>> overload(28, 32, 34).protects, overload(28, 32, 34, device="fuse").protects
    (True, False)
    """
    if not (load_ampere > 0 and device_ampere > 0 and carries_ampere > 0):
        raise Unusable(
            say("the line's currents are not known"),
            remedy=say("Get the load, the device's rating and what the conductor carries."),
        )
    if device not in ("breaker", "adjustable", "fuse"):
        raise Unusable(
            say("there is no such device"), remedy=say("Say breaker, adjustable or fuse.")
        )
    trips = device_ampere * _trips(device, device_ampere)
    return Overload(
        load_ampere / device_ampere,
        device_ampere / carries_ampere,
        trips / (CARRIES_TIMES * carries_ampere),
    )


def next_device_ampere(load_ampere: float, *, fuse: bool = False) -> int:
    """The standard rating at or over a design current.

    Parameters
    ----------
    load_ampere : float
    fuse : bool
        A gG fuse, else a small breaker.

    Returns
    -------
    int

    Raises
    ------
    Unusable
        No current, or over the largest.

    References
    ----------
    IEC 60898-1 and IEC 60269, preferred ratings (from memory).

    Examples
    --------
    >>> next_device_ampere(28.9), next_device_ampere(140, fuse=True)
    (32, 160)
    """
    sizes = FUSE_AMPERE if fuse else BREAKER_AMPERE
    over = [size for size in sizes if size >= load_ampere - 1e-9]
    if not (load_ampere > 0 and over):
        raise Unusable(
            say("there is no standard rating for this current"),
            remedy=say("Read the current on the plate again, or ask an electrician."),
        )
    return over[0]


@dataclass(frozen=True, slots=True)
class Loop:
    """Whether a fault to earth switches itself off fast enough."""

    most_ohm: float  # of the loop, when hot
    most_cold_ohm: float  # when it is measured cold and unloaded
    fault_ampere: float
    disconnects: bool


def fault_loop(volts_to_earth: float, trip_ampere: float, loop_ohm: float) -> Loop:
    """Whether the fault loop is low enough in a TN supply.

    Parameters
    ----------
    volts_to_earth : float
        Line to earth, nominal.
    trip_ampere : float
        That trips the device within the time allowed: see `magnetic_ampere`.
    loop_ohm : float
        Measured, cold, by an electrician.

    Returns
    -------
    Loop
        Judged by the cold value.

    Raises
    ------
    Unusable
        A number is not known.

    Notes
    -----
    ``Zs Ia <= U0``; measured cold, two thirds of that.

    References
    ----------
    IEC 60364-4-41:2005, clause 411.4.4; IEC 60364-6, annex (from memory).

    Examples
    --------
    >>> found = fault_loop(230, magnetic_ampere(32, "C"), 0.5)
    >>> round(found.most_ohm, 3), round(found.most_cold_ohm, 3), found.disconnects
    (0.719, 0.479, False)
    """
    if not (volts_to_earth > 0 and trip_ampere > 0 and loop_ohm > 0):
        raise Unusable(
            say("the fault loop is not known"),
            remedy=say("An electrician measures it at the machine's isolator."),
        )
    most = volts_to_earth / trip_ampere
    return Loop(most, COLD_SHARE * most, volts_to_earth / loop_ohm, loop_ohm <= COLD_SHARE * most)


def magnetic_ampere(device_ampere: float, curve: str) -> float:
    """The current that surely trips a small breaker at once.

    Parameters
    ----------
    device_ampere : float
        Its rating.
    curve : str
        B, C or D.

    Returns
    -------
    float
        Ampere.

    Raises
    ------
    Unusable
        No such curve.

    References
    ----------
    IEC 60898-1, upper end of the magnetic range (from memory).

    Examples
    --------
    >>> magnetic_ampere(32, "C"), magnetic_ampere(16, "B")
    (320.0, 80.0)
    """
    if curve not in MAGNETIC or not device_ampere > 0:
        raise Unusable(
            say("the breaker's curve is not known"),
            remedy=say("Read it on the breaker: a letter before the ampere, as C32."),
        )
    return MAGNETIC[curve] * device_ampere


def earth_rod_ohm(residual_ampere: float) -> float:
    """The most that an earth of its own may have in a TT supply.

    Parameters
    ----------
    residual_ampere : float
        At which the residual-current device trips. Drives leak some 10 to 50 mA by design; the
        type of device that suits them is the electrician's choice.

    Returns
    -------
    float
        Ohm, in the driest season.

    Raises
    ------
    Unusable
        The device is not known.

    Notes
    -----
    ``Ra Idn <= 50 V``.

    References
    ----------
    IEC 60364-4-41:2005, clause 411.5.3 (from memory).

    Examples
    --------
    >>> round(earth_rod_ohm(0.3), 1)
    166.7
    """
    if not residual_ampere > 0:
        raise Unusable(
            say("the residual-current device is not known"),
            remedy=say("Read its rating and type on it; an electrician measures the earth."),
        )
    return TOUCH_VOLTS / residual_ampere


def disconnection_s(volts_to_earth: float) -> float:
    """How fast a fault to earth must be off in a final circuit of a TN supply.

    Parameters
    ----------
    volts_to_earth : float
        Line to earth, nominal.

    Returns
    -------
    float
        Seconds; 5 for a line that feeds a board.

    Raises
    ------
    Unusable
        50 volts or less, or not known.

    References
    ----------
    IEC 60364-4-41:2005, table 41.1 (from memory).

    Examples
    --------
    >>> disconnection_s(230), disconnection_s(120)
    (0.4, 0.8)
    """
    if not volts_to_earth > 50:
        raise Unusable(
            say("no time is asked at 50 V and less, or the voltage is not known"),
            remedy=say("Say the voltage from line to earth."),
        )
    return next(seconds for most, seconds in TN_SECONDS if volts_to_earth <= most)


def least_area_mm2(fault_ampere: float, seconds: float, insulation: str = "pvc") -> float:
    """The least conductor that bears the heat of a short circuit until it is off.

    Parameters
    ----------
    fault_ampere : float
        Prospective.
    seconds : float
        Until the device has cut it; 0.1 to 5.
    insulation : str
        pvc, xlpe, pvc_aluminium, xlpe_aluminium.

    Returns
    -------
    float
        Square millimetres.

    Raises
    ------
    Unusable
        Over 5 seconds the rule does not hold; or a number is not known.

    Notes
    -----
    ``k^2 S^2 >= I^2 t``. Under 0.1 s the device's own let-through decides, on its sheet.

    References
    ----------
    IEC 60364-4-43:2008, clause 434.5.2 and table 43A (from memory).

    Examples
    --------
    >>> round(least_area_mm2(3000, 0.1), 2), round(least_area_mm2(3000, 0.1, "xlpe"), 2)
    (8.25, 6.63)
    """
    if insulation not in HEAT or not (fault_ampere > 0 and 0 < seconds <= LONGEST_S):
        raise Unusable(
            say("the heat of the short circuit cannot be told"),
            remedy=say("Get the prospective current and a device that cuts it within 5 s."),
        )
    return fault_ampere * math.sqrt(seconds) / HEAT[insulation]


def _trips(device: str, device_ampere: float) -> float:
    if device == "fuse":
        small, middle, large = FUSE_TRIPS
        if device_ampere <= small[0]:
            return small[1]
        return middle[1] if device_ampere < middle[0] else large[1]
    return BREAKER_TRIPS if device == "breaker" else ADJUSTABLE_TRIPS
