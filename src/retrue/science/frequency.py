"""A machine made for 60 Hz on 50 Hz, or the other way: speed, flow, power and flux."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

BAND_PERCENT = 5.0  # within which a frequency counts as the same
FULL_FLUX_SHARE = 1.05  # over this iron saturates and a motor or a transformer runs hot


@dataclass(frozen=True, slots=True)
class Changed:
    """What becomes of motors and coils on another frequency, each over what it was."""

    speed_share: float  # motor, fan, pump
    flow_share: float  # of a fan or a pump
    pressure_share: float  # of a fan or a centrifugal pump
    power_share: float  # that it takes
    flux_share: float  # in iron of motors, transformers, contactor coils
    volts_for_same_flux: float
    saturates: bool


def changed_frequency(
    made_for_hz: float,
    supply_hz: float,
    *,
    made_for_volts: float,
    supply_volts: float | None = None,
) -> Changed:
    """What another frequency makes of a machine's motors, fans, pumps and coils.

    Parameters
    ----------
    made_for_hz, supply_hz : float
    made_for_volts : float
        On its plate.
    supply_volts : float or None
        That it gets; without it the same.

    Returns
    -------
    Changed
        Whatever hangs on the line directly; a drive makes its own frequency.

    Raises
    ------
    Unusable
        A number is not known.

    Notes
    -----
    Speed goes with frequency; flow with speed, pressure with its square, power with its cube; flux
    with volts over frequency. A gear pump keeps its pressure: see `gear_pump_power_share`.

    References
    ----------
    Affinity laws, pump and fan handbooks (by definition); transformer equation
    ``U = 4.44 f N B A`` (by definition). 60 to 50 Hz: 17 per cent less flow, 20 per cent more flux
    at the same volts. The 5 per cent of flux are common practice, no source.

    Examples
    --------
    >>> found = changed_frequency(60, 50, made_for_volts=460)
    >>> round(found.flow_share, 3), round(found.flux_share, 3), round(found.volts_for_same_flux, 1)
    (0.833, 1.2, 383.3)
    """
    volts = made_for_volts if supply_volts is None else supply_volts
    if not all(number > 0 for number in (made_for_hz, supply_hz, made_for_volts, volts)):
        raise Unusable(
            say("frequency and volts are not known"),
            remedy=say("Read both on the electrical plate, and ask what your supply gives."),
        )
    speed = supply_hz / made_for_hz
    flux = volts / made_for_volts / speed
    return Changed(
        speed_share=speed,
        flow_share=speed,
        pressure_share=speed**2,
        power_share=speed**3,
        flux_share=flux,
        volts_for_same_flux=made_for_volts * speed,
        saturates=flux > FULL_FLUX_SHARE,
    )


def same_frequency(made_for_hz: float, supply_hz: float) -> bool:
    """Whether a supply is within the band of a machine's frequency.

    Parameters
    ----------
    made_for_hz, supply_hz : float

    Returns
    -------
    bool

    Raises
    ------
    Unusable
        A frequency is not known.

    References
    ----------
    NEMA MG 1-2011, running band of 5 per cent (secondary source).

    Examples
    --------
    >>> same_frequency(60, 50), same_frequency(50, 50.2)
    (False, True)
    """
    if not (made_for_hz > 0 and supply_hz > 0):
        raise Unusable(
            say("the frequency is not known"), remedy=say("Read it on the electrical plate.")
        )
    return abs(supply_hz / made_for_hz - 1.0) * 100.0 <= BAND_PERCENT + 1e-9


def gear_pump_power_share(made_for_hz: float, supply_hz: float) -> float:
    """The power of a pump that keeps its pressure, as hydraulic and way oil pumps do.

    Parameters
    ----------
    made_for_hz, supply_hz : float

    Returns
    -------
    float
        Over what it took: flow falls with speed, pressure stays at its valve.

    Raises
    ------
    Unusable
        A frequency is not known.

    References
    ----------
    Power is flow times pressure (by definition).

    Examples
    --------
    >>> round(gear_pump_power_share(60, 50), 3)
    0.833
    """
    if not (made_for_hz > 0 and supply_hz > 0):
        raise Unusable(
            say("the frequency is not known"), remedy=say("Read it on the electrical plate.")
        )
    return supply_hz / made_for_hz


def motor_rpm(hz: float, poles: int, *, slip_share: float = 0.0) -> float:
    """The speed of an induction motor on a line.

    Parameters
    ----------
    hz : float
    poles : int
        2, 4, 6 ...
    slip_share : float
        Under load, 0 to 1.

    Returns
    -------
    float
        Revolutions a minute.

    Raises
    ------
    Unusable
        A frequency that is not known, poles that are not in pairs, or a slip that cannot be.

    References
    ----------
    ``120 f / p`` (by definition).

    Examples
    --------
    >>> motor_rpm(50, 4), motor_rpm(60, 4, slip_share=0.03)
    (1500.0, 1746.0)
    """
    if not (hz > 0 and poles > 0 and poles % 2 == 0 and 0 <= slip_share < 1):
        raise Unusable(
            say("the motor's speed cannot be told"), remedy=say("Read its speed on its plate.")
        )
    return 120.0 * hz / poles * (1.0 - slip_share)
