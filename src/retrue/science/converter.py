"""A converter for start **and** stop: where the energy of a turning spindle goes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say

BUS_TIMES = math.sqrt(2.0)  # bus of a drive over the line's volts


@dataclass(frozen=True, slots=True)
class Turning:
    """What is stored in something that turns, and what it pushes back when it is braked evenly."""

    energy_joule: float
    back_joule: float  # that reaches the bus
    peak_watt: float  # at the first moment of braking
    mean_watt: float


def stopping(
    inertia_kg_m2: float, speed_rpm: float, stop_s: float, *, back_share: float = 1.0
) -> Turning:
    """The power that a spindle pushes back while it is braked.

    Parameters
    ----------
    inertia_kg_m2 : float
        Of spindle, chuck, work and motor, all at the spindle's speed.
    speed_rpm : float
        From which it is stopped.
    stop_s : float
        How long the stop takes, slowing down evenly.
    back_share : float
        What reaches the bus after friction and losses; 1 is the careful side.

    Returns
    -------
    Turning

    Raises
    ------
    Unusable
        A number is not known.

    Notes
    -----
    ``E = J w^2 / 2``; slowed evenly the power falls in a straight line from twice its mean.

    References
    ----------
    Mechanics (by definition).

    Examples
    --------
    >>> found = stopping(0.4, 4000, 3)
    >>> round(found.energy_joule), round(found.peak_watt), round(found.mean_watt)
    (35092, 23395, 11697)
    """
    if not (inertia_kg_m2 > 0 and speed_rpm > 0 and stop_s > 0 and 0 < back_share <= 1):
        raise Unusable(
            say("what the stop pushes back is not known"),
            remedy=say(
                "Get inertia, speed and stopping time: from its papers, or by a timed run-out."
            ),
        )
    omega = speed_rpm * math.pi / 30.0
    energy = 0.5 * inertia_kg_m2 * omega**2
    mean = back_share * energy / stop_s
    return Turning(energy, back_share * energy, 2.0 * mean, mean)


def shortest_stop_s(
    inertia_kg_m2: float, speed_rpm: float, takes_watt: float, *, back_share: float = 1.0
) -> float:
    """The shortest even stop whose first moment the source or the resistor still takes.

    Parameters
    ----------
    inertia_kg_m2 : float
    speed_rpm : float
    takes_watt : float
        The most that source, brake resistor and their drive take at one moment.
    back_share : float
        What reaches the bus after friction and losses.

    Returns
    -------
    float
        Seconds to set as deceleration time, at least.

    Raises
    ------
    Unusable
        A number is not known, or nothing takes it.

    References
    ----------
    Mechanics (by definition).

    Examples
    --------
    >>> round(shortest_stop_s(0.4, 4000, 11000), 2)
    6.38
    """
    if not takes_watt > 0:
        raise Unusable(
            say("nothing takes what the stop pushes back"),
            remedy=say(
                "A brake resistor with its chopper, a drive that returns power, or coasting."
            ),
        )
    return stopping(inertia_kg_m2, speed_rpm, 1.0, back_share=back_share).peak_watt / takes_watt


@dataclass(frozen=True, slots=True)
class Resistor:
    """A brake resistor on a drive's bus."""

    most_ohm: float  # more would not take the first moment
    least_ohm: float  # less would overload the drive's chopper
    pulse_joule: float
    mean_watt: float

    @property
    def possible(self) -> bool:
        """There is a value between the two."""
        return self.least_ohm <= self.most_ohm


def brake_resistor(
    stop: Turning, bus_volts: float, chopper_ampere: float, *, stops_per_hour: float
) -> Resistor:
    """Choose a brake resistor.

    Parameters
    ----------
    stop : Turning
        From `stopping`.
    bus_volts : float
        At which the chopper switches it on.
    chopper_ampere : float
        The most that the drive's chopper carries.
    stops_per_hour : float

    Returns
    -------
    Resistor

    Raises
    ------
    Unusable
        A number is not known.

    References
    ----------
    ``P = U^2 / R`` (by definition); the drive's own document rules.

    Examples
    --------
    >>> found = brake_resistor(stopping(0.4, 4000, 3), 760, 40, stops_per_hour=20)
    >>> round(found.most_ohm, 1), found.least_ohm, round(found.mean_watt), found.possible
    (24.7, 19.0, 195, True)
    """
    if not (bus_volts > 0 and chopper_ampere > 0 and stops_per_hour > 0):
        raise Unusable(
            say("the brake resistor cannot be chosen"),
            remedy=say("Read the chopper's volts and ampere in the drive's document."),
        )
    return Resistor(
        bus_volts**2 / stop.peak_watt,
        bus_volts / chopper_ampere,
        stop.back_joule,
        stop.back_joule * stops_per_hour / 3600.0,
    )


def bus_takes_joule(capacitance_uf: float, line_volts: float, most_volts: float) -> float:
    """What the bus capacitors alone take before the drive trips.

    Parameters
    ----------
    capacitance_uf : float
        Microfarad of the bus.
    line_volts : float
        Of the supply, line to line.
    most_volts : float
        Bus voltage at which it trips.

    Returns
    -------
    float
        Joule: a few hundred, against tens of thousands in a spindle.

    Raises
    ------
    Unusable
        It would trip at rest, or a number is not known.

    References
    ----------
    ``C (U2^2 - U1^2) / 2`` (by definition).

    Examples
    --------
    >>> round(bus_takes_joule(2000, 400, 800))
    320
    """
    rest = BUS_TIMES * line_volts
    if not (capacitance_uf > 0 and line_volts > 0 and most_volts > rest):
        raise Unusable(
            say("the bus stands as high as it trips, or is not known"),
            remedy=say("Read capacitance and trip voltage in the drive's document."),
        )
    return 0.5 * capacitance_uf * 1e-6 * (most_volts**2 - rest**2)


@dataclass(frozen=True, slots=True)
class Source:
    """A way to three phases, and whether it starts and stops the machine."""

    name: str  # grid, transformer, rotary, solid_state, drive
    takes_back: bool  # power that comes back goes into it
    starts: bool
    stops: bool
    why: str


def judge_source(
    name: str,
    *,
    rated_watt: float,
    start_watt: float,
    stop_peak_watt: float,
    resistor_watt: float = 0.0,
    returns: bool = False,
) -> Source:
    """Whether a source gives what a start asks and takes what a stop pushes back.

    Parameters
    ----------
    name : str
        grid or transformer (takes it back), rotary (its idler and the line take about what it is
        rated for), solid_state or drive (takes nothing back unless its papers say so).
    rated_watt : float
        What the source gives; for a rotary the idler's rating.
    start_watt : float
        The most the machine asks at once.
    stop_peak_watt : float
        The most it pushes back at once.
    resistor_watt : float
        What brake resistors of the machine's own drives take of it.
    returns : bool
        A solid-state source whose papers say that it returns power.

    Returns
    -------
    Source

    Raises
    ------
    Unusable
        No such source, or a number is not known.

    Notes
    -----
    A rotary is planned at half its idler's rating for start: two to three times the spindle.

    References
    ----------
    Common practice, no source (from memory); the source's own document rules.

    Examples
    --------
    >>> judge_source("solid_state", rated_watt=30000, start_watt=15000, stop_peak_watt=20000).stops
    False
    >>> judge_source("rotary", rated_watt=30000, start_watt=15000, stop_peak_watt=20000).stops
    True
    """
    powers = (rated_watt, start_watt, stop_peak_watt, resistor_watt)
    if name not in SOURCES or not rated_watt > 0 or not all(p >= 0 for p in powers):
        raise Unusable(
            say("whether this source starts and stops the machine cannot be told"),
            remedy=say("Say which source it is, its rating, and what start and stop ask."),
        )
    gives, takes = SOURCES[name]
    if returns:
        takes = 1.0
    left = max(0.0, stop_peak_watt - resistor_watt)
    starts, stops = start_watt <= gives * rated_watt, left <= takes * rated_watt
    return Source(name, takes > 0, starts, stops, _why(starts, stops, left))


# Share of its rating that a source gives at once for a start, and takes back in a stop (from
# memory, unverified; common practice, no source).
SOURCES: dict[str, tuple[float, float]] = {
    "grid": (1.0, 1.0),
    "transformer": (1.0, 1.0),
    "rotary": (0.5, 1.0),
    "solid_state": (1.0, 0.0),
    "drive": (1.0, 0.0),
}


def _why(starts: bool, stops: bool, left_watt: float) -> str:
    if starts and stops:
        return say("it starts and stops the machine")
    if starts:
        return say("it cannot take back {watt} W of a stop", watt=round(left_watt))
    return say("it cannot give what the start asks")
