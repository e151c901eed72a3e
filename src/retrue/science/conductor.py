"""Conductors and their protection, two ways: by code tables, and by drop along the line."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

# NFPA 70 table 430.250, three-phase motors, full-load current by horsepower (edition 2008);
# 575 V from memory, but for 2.4 and 0.9 A (secondary source).
MOTOR_VOLTS = (200, 208, 230, 460, 575)
MOTOR_AMPERE: dict[float, tuple[float, float, float, float, float]] = {
    0.5: (2.5, 2.4, 2.2, 1.1, 0.9), 0.75: (3.7, 3.5, 3.2, 1.6, 1.3),
    1.0: (4.8, 4.6, 4.2, 2.1, 1.7), 1.5: (6.9, 6.6, 6.0, 3.0, 2.4),
    2.0: (7.8, 7.5, 6.8, 3.4, 2.7), 3.0: (11, 10.6, 9.6, 4.8, 3.9),
    5.0: (17.5, 16.7, 15.2, 7.6, 6.1), 7.5: (25.3, 24.2, 22, 11, 9),
    10.0: (32.2, 30.8, 28, 14, 11), 15.0: (48.3, 46.2, 42, 21, 17),
    20.0: (62.1, 59.4, 54, 27, 22), 25.0: (78.2, 74.8, 68, 34, 27), 30.0: (92, 88, 80, 40, 32),
    40.0: (120, 114, 104, 52, 41), 50.0: (150, 143, 130, 65, 52), 60.0: (177, 169, 154, 77, 62),
    75.0: (221, 211, 192, 96, 77), 100.0: (285, 273, 248, 124, 99),
}  # fmt: skip
# NFPA 70 table 430.248, one-phase motors at 230 V (secondary source).
ONE_PHASE_230_V = {1.0: 8, 1.5: 10, 2.0: 12, 3.0: 17, 5.0: 28, 7.5: 40, 10.0: 50}
# NFPA 70 table 430.52, most that a short-circuit device may be, per cent of the table's current.
SHORT_CIRCUIT_PERCENT = {
    "non_time_delay_fuse": 300.0,
    "dual_element_fuse": 175.0,
    "instantaneous_trip": 800.0,
    "inverse_time_breaker": 250.0,
}
# NFPA 70 table 310.16, copper at 75 degrees C, three conductors, 30 degrees C around.
COPPER_75_C = {
    "14": 20, "12": 25, "10": 35, "8": 50, "6": 65, "4": 85, "3": 100, "2": 115, "1": 130,
    "1/0": 150, "2/0": 175, "3/0": 200, "4/0": 230,
}  # fmt: skip
COPPER_OHM_CMIL_PER_FOOT = 12.9  # at 75 degrees C
ALUMINIUM_OHM_CMIL_PER_FOOT = 21.2
ROOT_3 = math.sqrt(3.0)


def table_current_ampere(horsepower: float, volts: int) -> float:
    """The full-load current that conductors and short-circuit devices are chosen by.

    Parameters
    ----------
    horsepower : float
        A rating of the table.
    volts : int
        200, 208, 230, 460 or 575.

    Returns
    -------
    float
        Ampere. The overload is chosen by the motor's own plate, never by this.

    Raises
    ------
    Unusable
        No such rating or voltage in the table.

    References
    ----------
    NFPA 70:2008, table 430.250 (secondary source). A licensed electrician must verify against the
    edition in force where the machine stands.

    Examples
    --------
    >>> table_current_ampere(10, 460), table_current_ampere(1.5, 208)
    (14, 6.6)
    """
    if horsepower not in MOTOR_AMPERE or volts not in MOTOR_VOLTS:
        raise Unusable(
            say("the table has no such motor"),
            remedy=say("Take the next rating up, and the voltage the motor is built for."),
        )
    return MOTOR_AMPERE[horsepower][MOTOR_VOLTS.index(volts)]


def one_phase_table_ampere(horsepower: float) -> float:
    """The full-load current of a one-phase motor at 230 V, by the code's table.

    Parameters
    ----------
    horsepower : float
        A rating of the table, 1 to 10.

    Returns
    -------
    float
        Ampere. The overload is chosen by the motor's own plate, never by this.

    Raises
    ------
    Unusable
        No such rating in the table.

    References
    ----------
    NFPA 70, table 430.248 (secondary source). A licensed electrician must verify against the
    edition in force where the machine stands.

    Examples
    --------
    >>> one_phase_table_ampere(5)
    28.0
    """
    if horsepower not in ONE_PHASE_230_V:
        raise Unusable(
            say("the table has no such motor"),
            remedy=say("Take the next rating up, and the voltage the motor is built for."),
        )
    return float(ONE_PHASE_230_V[horsepower])


@dataclass(frozen=True, slots=True)
class Branch:
    """What one motor's line is planned with."""

    conductor_ampere: float
    most_short_circuit_ampere: dict[str, float]


def motor_branch(table_ampere: float) -> Branch:
    """What a motor's line must carry, and the most its short-circuit device may be.

    Parameters
    ----------
    table_ampere : float
        From the code's table.

    Returns
    -------
    Branch
        The next standard size up is allowed.

    References
    ----------
    NFPA 70, 430.22 and table 430.52 (secondary source).

    Examples
    --------
    >>> line = motor_branch(34)
    >>> line.conductor_ampere, line.most_short_circuit_ampere["inverse_time_breaker"]
    (42.5, 85.0)
    """
    most = {name: table_ampere * percent / 100.0 for name, percent in SHORT_CIRCUIT_PERCENT.items()}
    return Branch(1.25 * table_ampere, most)


def drop_volts(
    current_ampere: float,
    length_m: float,
    *,
    ohm_per_km: float,
    reactance_ohm_per_km: float = 0.0,
    power_factor_share: float = 1.0,
    phases: int = 3,
) -> float:
    """The voltage lost along a line, one way long.

    Parameters
    ----------
    current_ampere : float
    length_m : float
        One way, metres.
    ohm_per_km, reactance_ohm_per_km : float
        Of one conductor, at its temperature.
    power_factor_share : float
        0 to 1.
    phases : int
        3, or 1 (there and back).

    Returns
    -------
    float
        Volts line to line.

    References
    ----------
    IEC 60364-5-52, annex G (from memory); NFPA 70 chapter 9, table 9, note 2.

    Examples
    --------
    >>> round(drop_volts(42, 30.48, ohm_per_km=0.778 / 0.3048), 3)
    5.66
    """
    sine = math.sqrt(1.0 - power_factor_share**2)
    each = ohm_per_km * power_factor_share + reactance_ohm_per_km * sine
    return (ROOT_3 if phases == 3 else 2.0) * current_ampere * length_m / 1000.0 * each


def drop_by_area_volts(
    current_ampere: float,
    length_foot: float,
    area_cmil: float,
    *,
    phases: int = 3,
    ohm_cmil_per_foot: float = COPPER_OHM_CMIL_PER_FOOT,
) -> float:
    """The same by circular mils: copper at 75 degrees C.

    Parameters
    ----------
    current_ampere, length_foot, area_cmil : float
    phases : int
    ohm_cmil_per_foot : float
        Of the metal; aluminium is 21.2.

    Returns
    -------
    float
        Volts.

    References
    ----------
    Handbook rule with K = 12.9 ohm circular mil a foot (secondary source).

    Examples
    --------
    >>> round(drop_by_area_volts(42, 100, 16510), 3)
    5.684
    """
    times = ROOT_3 if phases == 3 else 2.0
    return times * ohm_cmil_per_foot * current_ampere * length_foot / area_cmil
