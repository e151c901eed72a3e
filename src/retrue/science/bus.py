"""The direct-current bus of a drive: its volts, what it stores, how it fills and how it empties.

Times are estimates for planning and never a leave to touch: a bus is dead when a competent person
has measured it under 50 V with a proved meter. A resistor that should empty it may be open.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

PRECHARGED_CONSTANTS = 5.0  # time constants after which 99.3 per cent is reached
RESIDUAL_VOLTS, RESIDUAL_S = 60.0, 5.0  # IEC 60204-1:2016, 6.2.4 (secondary source)
EXEMPT_MICROCOULOMB = 60.0  # the same clause
TOUCH_VOLTS = 50.0
PULSES = {1: 2, 3: 6}


@dataclass(frozen=True, slots=True)
class Rectified:
    """Volts behind an uncontrolled rectifier."""

    mean_volts: float  # under load, without capacitors
    peak_volts: float  # what the capacitors are charged to with no load


@dataclass(frozen=True, slots=True)
class Precharge:
    """Filling a bus through a resistor."""

    peak_ampere: float
    constant_s: float
    filled_s: float  # five time constants
    stored_joule: float
    resistor_joule: float  # burnt in the resistor: as much as is stored


@dataclass(frozen=True, slots=True)
class Residual:
    """A bus against the rule of 60 V within 5 s; a judgement of its design, no leave to touch."""

    charge_microcoulomb: float
    exempt: bool  # 60 microcoulomb or less
    falls_s: float  # to 60 V, by resistor and capacity as stated
    kept: bool  # exempt, or within 5 s


def rectified(line_volts: float, *, phases: int = 3) -> Rectified:
    """What an uncontrolled rectifier makes of a supply.

    Parameters
    ----------
    line_volts : float
        Line to line on three phases; of the two leads on one.
    phases : int
        1 or 3.

    Returns
    -------
    Rectified
        A supply that feeds energy back holds a value of its own, over these.

    Raises
    ------
    Unusable
        No such supply.

    References
    ----------
    Mean of a p-pulse bridge, ``sqrt(2) * V * p / pi * sin(pi / p)`` (by definition): 1.35 times the
    line voltage on three phases, 0.90 on one; peak 1.414.

    Examples
    --------
    >>> found = rectified(400)
    >>> round(found.mean_volts, 1), round(found.peak_volts, 1)
    (540.2, 565.7)
    """
    if phases not in PULSES or not 0 < line_volts < math.inf:
        raise Unusable(
            say("the supply of the rectifier is not known"),
            remedy=say("Ask the electrician for the volts between lines, and one phase or three."),
        )
    pulses, peak = PULSES[phases], math.sqrt(2) * line_volts
    return Rectified(peak * pulses / math.pi * math.sin(math.pi / pulses), peak)


def energy_joule(capacity_uf: float, volts: float) -> float:
    """What charged capacitors store.

    Parameters
    ----------
    capacity_uf : float
        All of them together, in microfarad.
    volts : float

    Returns
    -------
    float
        Joule.

    Raises
    ------
    Unusable
        A number is not positive.

    References
    ----------
    Electrostatics (by definition).

    Examples
    --------
    >>> round(energy_joule(2000, 565), 1)
    319.2
    """
    _positive(capacity_uf, volts)
    return 0.5 * capacity_uf * 1e-6 * volts**2


def precharge(capacity_uf: float, resistor_ohm: float, volts: float) -> Precharge:
    """What filling a bus through a resistor draws, takes and burns.

    Parameters
    ----------
    capacity_uf, resistor_ohm, volts : float

    Returns
    -------
    Precharge

    Raises
    ------
    Unusable
        A number is not positive.

    References
    ----------
    A capacitor charged through a resistor (by definition).

    Examples
    --------
    >>> found = precharge(2000, 100, 565)
    >>> found.peak_ampere, round(found.filled_s, 3), round(found.resistor_joule, 1)
    (5.65, 1.0, 319.2)
    """
    _positive(capacity_uf, resistor_ohm, volts)
    constant = resistor_ohm * capacity_uf * 1e-6
    stored = energy_joule(capacity_uf, volts)
    return Precharge(
        volts / resistor_ohm, constant, PRECHARGED_CONSTANTS * constant, stored, stored
    )


def falls_s(
    capacity_uf: float, resistor_ohm: float, volts: float, to_volts: float = TOUCH_VOLTS
) -> float:
    """How long a bus takes to fall, if its resistor is whole; an estimate, never a leave to touch.

    Parameters
    ----------
    capacity_uf, resistor_ohm, volts, to_volts : float

    Returns
    -------
    float
        Seconds; 0 where it is lower already.

    Raises
    ------
    Unusable
        A number is not positive.

    References
    ----------
    A capacitor emptied through a resistor (by definition): ``R * C * ln(V0 / V)``.

    Examples
    --------
    >>> round(falls_s(2000, 47000, 565, 60), 1), round(falls_s(2000, 47000, 565), 1)
    (210.8, 227.9)
    """
    _positive(capacity_uf, resistor_ohm, volts, to_volts)
    return resistor_ohm * capacity_uf * 1e-6 * max(0.0, math.log(volts / to_volts))


def residual(capacity_uf: float, resistor_ohm: float, volts: float) -> Residual:
    """A bus against the rule that live parts fall to 60 V within 5 s of switching off.

    Parameters
    ----------
    capacity_uf, resistor_ohm, volts : float

    Returns
    -------
    Residual
        Where it is not kept, a warning label with the delay is asked at the enclosure.

    Raises
    ------
    Unusable
        A number is not positive.

    References
    ----------
    IEC 60204-1:2016, clause 6.2.4, with its exemption of 60 microcoulomb (secondary source: a
    commentary clause by clause).

    Examples
    --------
    >>> residual(2000, 47000, 565).kept, residual(0.1, 1e6, 565).exempt
    (False, True)
    """
    seconds = falls_s(capacity_uf, resistor_ohm, volts, RESIDUAL_VOLTS)
    charge = capacity_uf * volts
    exempt = charge <= EXEMPT_MICROCOULOMB
    return Residual(charge, exempt, seconds, exempt or seconds <= RESIDUAL_S)


def _positive(*numbers: float) -> None:
    if not all(0 < one < math.inf for one in numbers):
        raise Unusable(
            say("microfarad, ohm and volts of the bus are needed"),
            remedy=say("Read them on the capacitors and in the drive's document."),
        )
