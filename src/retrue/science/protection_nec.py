"""Protection of a motor, a feeder and a transformer by the National Electrical Code's way.

Every number here is an estimate for planning: a licensed electrician must verify it against the
edition in force where the machine stands.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.conductor import SHORT_CIRCUIT_PERCENT

# NFPA 70, 240.6(A), standard ratings; fuses have five more (from memory).
STANDARD_AMPERE = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
    350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
)  # fmt: skip
FUSES_TOO = (1, 3, 6, 10, 601)
# NFPA 70, 430.52(C), how far the exceptions go when the motor will not start (from memory);
# the breaker's 400 per cent holds up to 100 A of the table's current, above it 300.
EXCEPTION_PERCENT = {
    "non_time_delay_fuse": 400.0,
    "dual_element_fuse": 225.0,
    "instantaneous_trip": 1300.0,
    "inverse_time_breaker": 400.0,
}
# The same table for other motors than a cage: wound rotor, direct current at constant voltage
# (secondary source); and a cage of design B with high efficiency, tripped at once.
OTHER_PERCENT = {
    "wound_rotor": {"non_time_delay_fuse": 150.0, "dual_element_fuse": 150.0,
                    "instantaneous_trip": 800.0, "inverse_time_breaker": 150.0},
    "direct_current": {"non_time_delay_fuse": 150.0, "dual_element_fuse": 150.0,
                       "instantaneous_trip": 250.0, "inverse_time_breaker": 150.0},
    "design_b": {**SHORT_CIRCUIT_PERCENT, "instantaneous_trip": 1100.0},
}  # fmt: skip
DESIGN_B_TRIP_PERCENT = 1700.0  # by the exception (from memory)
LARGE_MOTOR_AMPERE = 100.0
LARGE_MOTOR_PERCENT = 300.0


def next_standard_ampere(ampere: float, *, fuse: bool = False) -> int:
    """The standard rating at or over a current.

    Parameters
    ----------
    ampere : float
    fuse : bool
        Fuses have some ratings more.

    Returns
    -------
    int

    Raises
    ------
    Unusable
        No current, or more than the largest.

    References
    ----------
    NFPA 70, 240.6(A) (from memory).

    Examples
    --------
    >>> next_standard_ampere(59.5), next_standard_ampere(85), next_standard_ampere(2, fuse=True)
    (60, 90, 3)
    """
    sizes = _ratings(fuse)
    if not 0 < ampere <= sizes[-1]:
        raise Unusable(
            say("there is no standard rating for this current"),
            remedy=say("Read the current on the plate again, or ask an electrician."),
        )
    return sizes[bisect_left(sizes, ampere - 1e-9)]


def standard_below_ampere(ampere: float, *, fuse: bool = False) -> int:
    """The standard rating at or under a current, where no step up is allowed.

    Parameters
    ----------
    ampere : float
    fuse : bool
        Fuses have some ratings more.

    Returns
    -------
    int

    Raises
    ------
    Unusable
        Less than the smallest rating.

    References
    ----------
    NFPA 70, 240.6(A) (from memory).

    Examples
    --------
    >>> standard_below_ampere(59.5), standard_below_ampere(60)
    (50, 60)
    """
    sizes = _ratings(fuse)
    under = [size for size in sizes if size <= ampere + 1e-9]
    if not under:
        raise Unusable(
            say("there is no standard rating for this current"),
            remedy=say("Read the current on the plate again, or ask an electrician."),
        )
    return under[-1]


@dataclass(frozen=True, slots=True)
class Overload:
    """Where a motor's overload is set, and how far it may go if the motor will not start."""

    setting_ampere: float
    most_ampere: float


def overload(
    plate_ampere: float, *, service_factor: float = 1.0, rise_kelvin: float | None = None
) -> Overload:
    """Set a motor's overload by its own plate.

    Parameters
    ----------
    plate_ampere : float
        On the motor's plate, never the code's table.
    service_factor : float
        On the plate; 1 where none stands there.
    rise_kelvin : float or None
        Temperature rise on the plate.

    Returns
    -------
    Overload
        125 per cent (most 140) with a service factor of 1.15 or a rise of 40 K, else 115 (130).

    Raises
    ------
    Unusable
        The plate was not read.

    References
    ----------
    NFPA 70, 430.6(A)(2) (secondary source) and 430.32(A)(1), (C) (from memory).

    Examples
    --------
    >>> found = overload(12.4, service_factor=1.15)
    >>> round(found.setting_ampere, 2), round(found.most_ampere, 2)
    (15.5, 17.36)
    """
    if not (plate_ampere > 0 and service_factor >= 1):
        raise Unusable(
            say("the overload is set by the motor's own plate"),
            remedy=say("Read ampere, service factor and temperature rise on the motor."),
        )
    generous = service_factor >= 1.15 or (rise_kelvin is not None and rise_kelvin <= 40)
    setting, most = (1.25, 1.40) if generous else (1.15, 1.30)
    return Overload(setting * plate_ampere, most * plate_ampere)


@dataclass(frozen=True, slots=True)
class ShortCircuit:
    """A motor's short-circuit device by the code's table."""

    reckoned_ampere: float
    standard_ampere: int | None  # next size up; None for a trip that is set, not chosen
    most_ampere: float  # by the exception, only if it will not start


def short_circuit(table_ampere: float, device: str, *, motor: str = "cage") -> ShortCircuit:
    """Choose a motor's short-circuit and ground-fault device.

    Parameters
    ----------
    table_ampere : float
        The motor's current from the code's table.
    device : str
        non_time_delay_fuse, dual_element_fuse, instantaneous_trip or inverse_time_breaker.
    motor : str
        cage, design_b (a cage of high efficiency), wound_rotor or direct_current.

    Returns
    -------
    ShortCircuit

    Raises
    ------
    Unusable
        No such device, or no current.

    References
    ----------
    NFPA 70, table 430.52 and 430.52(C)(1) exception 1, next standard size (secondary source);
    exception 2 (from memory).

    Examples
    --------
    >>> found = short_circuit(34, "inverse_time_breaker")
    >>> found.reckoned_ampere, found.standard_ampere, found.most_ampere
    (85.0, 90, 136.0)
    """
    shares = SHORT_CIRCUIT_PERCENT if motor == "cage" else OTHER_PERCENT.get(motor, {})
    if device not in shares or not table_ampere > 0:
        raise Unusable(
            say("this short-circuit device cannot be chosen"),
            remedy=say("Say fuse or breaker of which sort, and the motor's current by the table."),
        )
    reckoned = table_ampere * shares[device] / 100.0
    most = EXCEPTION_PERCENT[device]
    if device == "inverse_time_breaker" and table_ampere > LARGE_MOTOR_AMPERE:
        most = LARGE_MOTOR_PERCENT
    if device == "instantaneous_trip" and motor == "design_b":
        most = DESIGN_B_TRIP_PERCENT
    step = None
    if device != "instantaneous_trip":
        step = next_standard_ampere(reckoned, fuse=device.endswith("fuse"))
    return ShortCircuit(reckoned, step, table_ampere * most / 100.0)


def feeder_ampere(currents: Sequence[float]) -> float:
    """What a feeder of several motors must carry.

    Parameters
    ----------
    currents : sequence of float
        Of each motor by the code's table, ampere.

    Returns
    -------
    float
        Ampere: a quarter more of the largest, and the others.

    Raises
    ------
    Unusable
        No motor.

    References
    ----------
    NFPA 70, 430.24 (secondary source).

    Examples
    --------
    >>> feeder_ampere([34, 14, 4.8])
    61.3
    """
    return sum(currents) + 0.25 * _largest(currents)


def feeder_device_ampere(largest_device_ampere: float, currents: Sequence[float]) -> int:
    """The most that protects a feeder of several motors.

    Parameters
    ----------
    largest_device_ampere : float
        Rating of the largest device of a single motor.
    currents : sequence of float
        Of every motor by the code's table, ampere.

    Returns
    -------
    int
        Ampere, a standard size: no step up is allowed here.

    Raises
    ------
    Unusable
        No motor.

    References
    ----------
    NFPA 70, 430.62(A) (from memory).

    Examples
    --------
    >>> feeder_device_ampere(90, [34, 14, 4.8])
    100
    """
    return standard_below_ampere(largest_device_ampere + sum(currents) - _largest(currents))


@dataclass(frozen=True, slots=True)
class TransformerFuses:
    """The most that protects a transformer on each side, and the standard sizes for it."""

    primary_ampere: float
    primary_standard_ampere: int
    secondary_ampere: float | None  # None: not asked, the primary protects alone
    secondary_standard_ampere: int | None


def transformer_fuses(
    primary_ampere: float, secondary_ampere: float, *, secondary_too: bool
) -> TransformerFuses:
    """Protect a transformer of up to 1,000 V.

    Parameters
    ----------
    primary_ampere, secondary_ampere : float
        At full load.
    secondary_too : bool
        There is a device on the secondary as well.

    Returns
    -------
    TransformerFuses

    Raises
    ------
    Unusable
        A current is not known.

    Notes
    -----
    Primary alone 125 per cent and the next size up, 167 under 9 A, 300 under 2 A. With a device on
    the secondary the primary goes to 250, the secondary 125 and the next size up, 167 under 9 A.

    References
    ----------
    NFPA 70, table 450.3(B) (secondary source), its notes (from memory).

    Examples
    --------
    >>> found = transformer_fuses(1500 / 480, 12.5, secondary_too=True)
    >>> found.primary_ampere, found.primary_standard_ampere, found.secondary_standard_ampere
    (7.8125, 6, 20)
    """
    if not (primary_ampere > 0 and secondary_ampere > 0):
        raise Unusable(
            say("the transformer's currents are not known"),
            remedy=say("Read its kVA and both voltages on its plate."),
        )
    if not secondary_too:
        most = primary_ampere * _share(primary_ampere)
        return TransformerFuses(most, _sized(most, primary_ampere), None, None)
    primary = 2.5 * primary_ampere
    secondary = secondary_ampere * (1.25 if secondary_ampere >= 9 else 1.67)
    return TransformerFuses(
        primary,
        standard_below_ampere(primary, fuse=True),
        secondary,
        _sized(secondary, secondary_ampere),
    )


def _ratings(fuse: bool) -> list[int]:
    return sorted((*STANDARD_AMPERE, *(FUSES_TOO if fuse else ())))


def _largest(currents: Sequence[float]) -> float:
    if not currents or not all(current > 0 for current in currents):
        raise Unusable(
            say("a feeder without a motor's current cannot be planned"),
            remedy=say("List every motor's current by the code's table."),
        )
    return max(currents)


def _share(primary_ampere: float) -> float:
    if primary_ampere >= 9:
        return 1.25
    return 1.67 if primary_ampere >= 2 else 3.0


def _sized(most_ampere: float, full_ampere: float) -> int:
    """Next size up where the code allows it (9 A and more), else the size below."""
    if full_ampere >= 9:
        return next_standard_ampere(most_ampere, fuse=True)
    return standard_below_ampere(most_ampere, fuse=True)
