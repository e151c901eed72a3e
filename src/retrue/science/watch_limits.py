"""What a run-in watch holds its readings against: bands, caps, rates, class of insulation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.science.winding import RISE_KELVIN

Sort = Literal["temperature", "current", "pressure", "sound", "vibration", "other"]

SILENCE_S = 360.0  # no reading for that long means stop (common practice, no source)
RATE_STOP_K_PER_MIN, RATE_HOLD_K_PER_MIN = 1.0, 0.5
UP_POINTS = 10.0  # of the rated current
LOUDER_HOLD_DB, LOUDER_STOP_DB = 3.0, 6.0
ROUGHER_HOLD, ROUGHER_STOP = 1.4, 2.0  # times the own baseline, the same as 3 and 6 dB
FALL_SHARE = 0.10  # of a pressure's own baseline
AMBIENT_C = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """A sort of reading: what can be, and what cannot happen from one reading to the next."""

    name: str
    sort: Sort
    unit: str
    low: float  # below it the sensor, not the machine, is read
    high: float
    jump: float  # more than that off where it was heading is read again first
    jump_per_min: float = 0.0  # and that for every minute since the reading before
    sd: float = 0.0  # least standard uncertainty of one reading


def _temperature(name: str, jump_per_min: float) -> Channel:
    return Channel(name=name, sort="temperature", unit="°C", low=-30.0, high=400.0, jump=3.0,
                   jump_per_min=jump_per_min, sd=0.1)  # fmt: skip


CHANNELS: Mapping[str, Channel] = MappingProxyType(
    {
        one.name: one
        for one in (
            _temperature("nose", 1.0),
            _temperature("housing", 1.0),
            _temperature("winding", 2.0),
            _temperature("motor_case", 1.0),
            _temperature("cabinet", 1.0),
            _temperature("drive", 2.0),
            _temperature("room", 1.0),
            Channel(name="amps", sort="current", unit="A", low=-1.0, high=2000.0, jump=0.0),
            Channel(name="load_percent", sort="current", unit="%", low=-1.0, high=500.0, jump=0.0),
            Channel(name="sound_db", sort="sound", unit="dB", low=10.0, high=150.0, jump=6.0,
                    sd=0.5),
            Channel(name="pressure_bar", sort="pressure", unit="bar", low=-2.0, high=1000.0,
                    jump=1e9),
            Channel(name="vibration_mm_s", sort="vibration", unit="mm/s", low=0.0, high=500.0,
                    jump=2.0),
        )
    }
)  # fmt: skip


def channel(name: str) -> Channel:
    """A sort of reading by the name of its channel.

    Parameters
    ----------
    name : str
        ``nose``, or with its place behind a colon: ``amps:coolant pump``.

    Returns
    -------
    Channel

    Raises
    ------
    Unknown
        There is no such channel.

    Examples
    --------
    >>> channel("amps:coolant pump").unit
    'A'
    """
    found = CHANNELS.get(name.partition(":")[0])
    if found is None:
        raise Unknown(
            say("there is no channel {name}", name=name),
            remedy=say("Choose one of: {named}.", named=", ".join(CHANNELS)),
        )
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What one channel is held against; None where nobody has said.

    Attributes
    ----------
    expected_low, expected_high : float or None
        Outside of it: hold, no next step.
    abort_low, abort_high : float or None
        Outside of it: stop.
    expected_rise_kelvin, abort_rise_kelvin : float or None
        Over the room, of a temperature; over its own level at the start where that is said.
    over_start : bool
        The rise is over the level at the start of the step, not over the room.
    rate_hold, rate_stop : float or None
        Rise a minute, of a temperature.
    ceiling_c : float or None
        A temperature that must never be reached, as that of an insulation class: here what is
        predicted counts too.
    rated : float or None
        Of a current, so that it can be told in points of a hundred.
    up_points : float
        So much over its own lowest level: stop.
    baseline : float or None
        Own level of an earlier run; None takes it from the first minutes.
    must : bool
        No reading of it for the set time means stop.
    """

    expected_low: float | None = None
    expected_high: float | None = None
    abort_low: float | None = None
    abort_high: float | None = None
    expected_rise_kelvin: float | None = None
    abort_rise_kelvin: float | None = None
    over_start: bool = False
    rate_hold: float | None = None
    rate_stop: float | None = None
    ceiling_c: float | None = None
    rated: float | None = None
    up_points: float = UP_POINTS
    baseline: float | None = None
    must: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a watch holds its readings against.

    Attributes
    ----------
    channels : mapping of str to Bounds
        By channel; readings of other channels are kept and judged only by what they cannot be.
    begun_s : float
        When this step began, in the seconds of the readings.
    silence_s : float
        No reading for that long means stop.
    step_minutes : float or None
        The least this step lasts; None: there is no next step.
    room_c : float or None
        Where the room is not read itself.
    main : bool
        Where no channel is named that must be read, a temperature of the machine must be.
    """

    channels: Mapping[str, Bounds] = field(default_factory=dict)
    begun_s: float = 0.0
    silence_s: float = SILENCE_S
    step_minutes: float | None = None
    room_c: float | None = None
    main: bool = False


def class_ceiling_c(letter: str) -> float:
    """The temperature by resistance that a winding of an insulation class must not reach.

    Parameters
    ----------
    letter : str
        As on the motor's plate: A, E, B, F, H.

    Returns
    -------
    float
        Degrees Celsius: the rise of the class over a room of 40 °C. Its hottest spot is warmer.

    Raises
    ------
    Unknown
        No such class.

    References
    ----------
    IEC 60034-1, limits of temperature rise by resistance, machines under 200 kW cooled by air
    (from memory, unverified).

    Examples
    --------
    >>> class_ceiling_c("F"), class_ceiling_c("b")
    (145.0, 120.0)
    """
    rise = RISE_KELVIN.get(letter.strip().upper())
    if rise is None:
        raise Unknown(
            say("there is no insulation class {letter}", letter=letter),
            remedy=say("Choose one of: {named}.", named=", ".join(RISE_KELVIN)),
        )
    return AMBIENT_C + rise
