"""What a machine draws, and what must feed it: currents, transformer, converter."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

ROOT_3 = math.sqrt(3.0)
CONTINUOUS = 1.25
DRIVE_ON_ONE_PHASE = 2.0  # times the motor's current that a drive on one phase is rated for


def line_current_ampere(kva: float, volts: float, *, phases: int = 3) -> float:
    """The current in each line at full load.

    Parameters
    ----------
    kva : float
        On the plate.
    volts : float
        Line to line.
    phases : int
        3 or 1.

    Returns
    -------
    float
        Ampere.

    Raises
    ------
    Unusable
        Volts, kVA or phases are not known.

    References
    ----------
    Three-phase power (by definition).

    Examples
    --------
    >>> round(line_current_ampere(10, 230), 3), round(line_current_ampere(75, 480), 2)
    (25.102, 90.21)
    """
    if not (kva > 0 and volts > 0 and phases in (1, 3)):
        raise Unusable(
            say("the current cannot be told without kVA, volts and phases"),
            remedy=say("Read them on the electrical plate."),
        )
    return kva * 1000.0 / (volts * (ROOT_3 if phases == 3 else 1.0))


def motor_current_ampere(
    power_watt: float, volts: float, *, efficiency_share: float, power_factor_share: float
) -> float:
    """The line current of a three-phase motor at its shaft power.

    Parameters
    ----------
    power_watt : float
        At the shaft.
    volts : float
        Line to line.
    efficiency_share, power_factor_share : float
        0 to 1, on its plate.

    Returns
    -------
    float
        Ampere.

    References
    ----------
    Three-phase power (by definition).

    Examples
    --------
    >>> round(motor_current_ampere(15 * 745.7, 230, efficiency_share=0.91,
    ...     power_factor_share=0.85), 2)
    36.3
    """
    return power_watt / (ROOT_3 * volts * efficiency_share * power_factor_share)


def transformer_kva(current_ampere: float, volts: float, *, continuous: bool = False) -> float:
    """The least a three-phase transformer is planned for.

    Parameters
    ----------
    current_ampere : float
        In each line.
    volts : float
        Line to line.
    continuous : bool
        It runs at that load for hours: a quarter more.

    Returns
    -------
    float
        kVA; the start of the largest motor comes on top.

    References
    ----------
    Three-phase power (by definition); the quarter is common practice, no source.

    Examples
    --------
    >>> round(transformer_kva(42, 480), 2)
    34.92
    """
    return ROOT_3 * volts * current_ampere / 1000.0 * (CONTINUOUS if continuous else 1.0)


@dataclass(frozen=True, slots=True)
class OnePhase:
    """What a three-phase machine asks of a one-phase line."""

    input_ampere: float
    drive_ampere: float  # rating of a solid-state drive that feeds the motor from it
    idler_kw_low: float
    idler_kw_high: float


def on_one_phase(
    current_ampere: float, largest_motor_kw: float, *, efficiency_share: float = 1.0
) -> OnePhase:
    """What a converter must take and give so that the spindle starts **and stops**.

    Parameters
    ----------
    current_ampere : float
        In each of the three lines at full load.
    largest_motor_kw : float
    efficiency_share : float
        Of the converter.

    Returns
    -------
    OnePhase
        An idler of two to three times the spindle: stopping pushes energy back.

    References
    ----------
    Three-phase power (by definition). Idler for start and stop: common practice, no source
    (from memory).

    Examples
    --------
    >>> asked = on_one_phase(26, 11)
    >>> round(asked.input_ampere, 2), asked.drive_ampere
    (45.03, 52.0)
    """
    return OnePhase(
        input_ampere=ROOT_3 * current_ampere / efficiency_share,
        drive_ampere=DRIVE_ON_ONE_PHASE * current_ampere,
        idler_kw_low=2.0 * largest_motor_kw,
        idler_kw_high=3.0 * largest_motor_kw,
    )
