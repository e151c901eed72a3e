"""A transformer before a machine: currents, which tap, its inrush, and how far the volts dip."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.supply import line_current_ampere

INRUSH_TIMES = (8.0, 12.0)  # of full load current, for about a tenth of a second
BAND_PERCENT = 10.0
# NFPA 70, table 430.7(B), kVA a horsepower with the rotor held, upper end (from memory).
LOCKED_KVA_PER_HP = {
    "A": 3.15, "B": 3.55, "C": 4.0, "D": 4.5, "E": 5.0, "F": 5.6, "G": 6.3, "H": 7.1, "J": 8.0,
    "K": 9.0, "L": 10.0, "M": 11.2, "N": 12.5, "P": 14.0, "R": 16.0, "S": 18.0, "T": 20.0,
    "U": 22.4,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Currents:
    """A transformer's currents at full load, and the first gulp when it is switched on."""

    primary_ampere: float
    secondary_ampere: float
    inrush_low_ampere: float
    inrush_high_ampere: float


def transformer_currents(
    kva: float, primary_volts: float, secondary_volts: float, *, phases: int = 3
) -> Currents:
    """The currents of a transformer on both sides.

    Parameters
    ----------
    kva : float
        On its plate.
    primary_volts, secondary_volts : float
        Line to line.
    phases : int
        3 or 1.

    Returns
    -------
    Currents

    Raises
    ------
    Unusable
        Volts, kVA or phases are not known.

    References
    ----------
    Three-phase power (by definition); inrush of 8 to 12 times (handbook rule, from memory).

    Examples
    --------
    >>> found = transformer_currents(75, 480, 208)
    >>> round(found.primary_ampere, 2), round(found.secondary_ampere, 1)
    (90.21, 208.2)
    """
    primary = line_current_ampere(kva, primary_volts, phases=phases)
    low, high = (times * primary for times in INRUSH_TIMES)
    return Currents(primary, line_current_ampere(kva, secondary_volts, phases=phases), low, high)


@dataclass(frozen=True, slots=True)
class Tap:
    """One tap, and what the machine gets on it without load."""

    tap_volts: float
    secondary_volts: float  # at the supply as measured
    highest_volts: float  # at the highest the supply goes
    deviation_percent: float  # from what the machine is made for
    fits: bool


@dataclass(frozen=True, slots=True)
class Taps:
    """Every tap, and the best of those that fit; none where none does."""

    taps: tuple[Tap, ...]
    best: Tap | None


def choose_tap(
    supply_volts: float,
    tap_volts: Sequence[float],
    rated_secondary_volts: float,
    wanted_volts: float,
    *,
    most_volts: float | None = None,
    highest_supply_volts: float | None = None,
    band_percent: float = BAND_PERCENT,
) -> Taps:
    """Which tap brings the unloaded secondary into the machine's band.

    Parameters
    ----------
    supply_volts : float
        As measured, line to line.
    tap_volts : sequence of float
        What is stamped on the taps of the primary.
    rated_secondary_volts : float
        That each of them gives at its own voltage.
    wanted_volts : float
        What the machine is made for.
    most_volts : float or None
        The most its drives bear; without it the upper end of the band.
    highest_supply_volts : float or None
        The most the supply goes to, at night; without it as measured.
    band_percent : float

    Returns
    -------
    Taps

    Raises
    ------
    Unusable
        A voltage is not known, or no tap.

    References
    ----------
    Ratio of turns (by definition); band of 10 per cent, NEMA MG 1 and IEC 60204-1, 4.3.2
    (secondary source, from memory).

    Examples
    --------
    >>> found = choose_tap(240, [200, 220, 240], 200, 200)
    >>> found.best.tap_volts, round(found.taps[0].secondary_volts), found.taps[0].fits
    (240, 240, False)
    """
    highest = supply_volts if highest_supply_volts is None else highest_supply_volts
    known = (supply_volts, rated_secondary_volts, wanted_volts, highest, *tap_volts)
    if not tap_volts or not all(volts > 0 for volts in known) or highest < supply_volts:
        raise Unusable(
            say("the taps or the voltages are not known"),
            remedy=say("Read the taps on the transformer; have the supply measured, and its high."),
        )
    band = band_percent / 100.0
    ceiling = wanted_volts * (1 + band)
    if most_volts is not None:
        ceiling = min(ceiling, most_volts)
    rows = []
    for tap in tap_volts:
        given, top = (volts * rated_secondary_volts / tap for volts in (supply_volts, highest))
        fits = given >= wanted_volts * (1 - band) - 1e-9 and top <= ceiling + 1e-9
        rows.append(Tap(tap, given, top, 100.0 * (given / wanted_volts - 1.0), fits))
    fitting = [row for row in rows if row.fits]
    best = min(fitting, key=lambda row: abs(row.deviation_percent)) if fitting else None
    return Taps(tuple(rows), best)


def autotransformer_kva(load_kva: float, volts: float, other_volts: float) -> float:
    """The part of a load that an autotransformer's iron must carry.

    Parameters
    ----------
    load_kva : float
        That goes through it.
    volts, other_volts : float
        On its two sides.

    Returns
    -------
    float
        kVA of its frame; it does not part the machine from the supply.

    Raises
    ------
    Unusable
        A number is not known.

    References
    ----------
    ``S (1 - low / high)`` (by definition).

    Examples
    --------
    >>> round(autotransformer_kva(20, 400, 230), 2)
    8.5
    """
    if not (load_kva > 0 and volts > 0 and other_volts > 0):
        raise Unusable(say("the load or a voltage is not known"), remedy=say("Read both plates."))
    return load_kva * (1.0 - min(volts, other_volts) / max(volts, other_volts))


def short_circuit_kva(
    transformer_kva: float, impedance_percent: float, *, behind_kva: float = math.inf
) -> float:
    """The short-circuit power of a supply behind a transformer.

    Parameters
    ----------
    transformer_kva : float
    impedance_percent : float
        Stamped on it as uk or Z, per cent.
    behind_kva : float
        Short-circuit power of what feeds it; left out it counts as without end.

    Returns
    -------
    float
        kVA.

    Raises
    ------
    Unusable
        A number is not known.

    References
    ----------
    Impedances in a row add (by definition).

    Examples
    --------
    >>> short_circuit_kva(100, 4), short_circuit_kva(100, 4, behind_kva=2500)
    (2500.0, 1250.0)
    """
    if not (transformer_kva > 0 and impedance_percent > 0 and behind_kva > 0):
        raise Unusable(
            say("the supply's short-circuit power is not known"),
            remedy=say("Ask the grid company, or read kVA and uk on the transformer's plate."),
        )
    return 1.0 / (impedance_percent / 100.0 / transformer_kva + 1.0 / behind_kva)


def start_kva(horsepower: float, code_letter: str) -> float:
    """The most a motor takes at the moment it is switched straight on.

    Parameters
    ----------
    horsepower : float
        Mechanical, 745.7 W.
    code_letter : str
        For its locked rotor, on the plate.

    Returns
    -------
    float
        kVA, upper end of its letter.

    Raises
    ------
    Unusable
        No such letter (V has no upper end), or no power.

    References
    ----------
    NFPA 70, table 430.7(B) (from memory).

    Examples
    --------
    >>> start_kva(10, "G")
    63.0
    """
    if code_letter not in LOCKED_KVA_PER_HP or not horsepower > 0:
        raise Unusable(
            say("the motor's start cannot be told"),
            remedy=say(
                "Read power and code letter on its plate, or take 6 to 8 times its current."
            ),
        )
    return horsepower * LOCKED_KVA_PER_HP[code_letter]


def dip_percent(
    starting_kva: float,
    supply_short_circuit_kva: float,
    *,
    start_power_factor_share: float | None = None,
    supply_power_factor_share: float | None = None,
) -> float:
    """How far the voltage dips while a motor is switched on.

    Parameters
    ----------
    starting_kva : float
        At full voltage.
    supply_short_circuit_kva : float
        At the same place.
    start_power_factor_share, supply_power_factor_share : float or None
        Of the motor at rest and of the supply in short circuit; without both the angles count as
        alike, which is the careful side.

    Returns
    -------
    float
        Per cent of the voltage before.

    Raises
    ------
    Unusable
        A number is not known.

    Notes
    -----
    Two impedances in a row: ``1 - |Zm / (Zm + Zs)|``, the motor's falling with the voltage squared.

    References
    ----------
    Voltage divider (by definition).

    Examples
    --------
    >>> round(dip_percent(63, 1250), 2)
    4.8
    """
    if not (starting_kva > 0 and supply_short_circuit_kva > 0):
        raise Unusable(
            say("the dip cannot be told"),
            remedy=say("Get the motor's start and the supply's short-circuit power."),
        )
    between = 0.0
    if start_power_factor_share is not None and supply_power_factor_share is not None:
        between = math.acos(start_power_factor_share) - math.acos(supply_power_factor_share)
    ratio = starting_kva / supply_short_circuit_kva
    return 100.0 * (1.0 - 1.0 / math.sqrt(1.0 + 2.0 * ratio * math.cos(between) + ratio**2))
