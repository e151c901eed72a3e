"""Vibration: velocity in a band, a spectrum, and one line of it read well."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.signal import detrend, welch

Floats = NDArray[np.float64]
STANDARD_G_M_S2 = 9.80665
SEGMENT_S = 4.0  # seconds of one part: lines a quarter of a hertz apart
PERIODS = 10.0  # a band wants that many turns of its lowest frequency
GUARD = 2.56  # rate over the highest frequency that is still true


@dataclass(frozen=True, slots=True)
class Spectrum:
    """Lines of one recording: root-mean-square of each, beside its frequency."""

    frequency_hz: Floats
    rms: Floats
    step_hz: float


def velocity_mm_s(acceleration_m_s2: float, frequency_hz: float) -> float:
    """The velocity of a pure tone from its acceleration.

    Parameters
    ----------
    acceleration_m_s2 : float
        Root-mean-square, or peak: the velocity is then of the same sort.
    frequency_hz : float
        Over zero.

    Returns
    -------
    float
        Millimetres a second.

    Raises
    ------
    ValueError
        Zero hertz.

    References
    ----------
    Kinematics (by definition): v = a / (2 π f).

    Examples
    --------
    >>> round(velocity_mm_s(9.80665, 100), 3), round(velocity_mm_s(9.80665 / 2**0.5, 30), 3)
    (15.608, 36.788)
    """
    if frequency_hz <= 0:
        raise ValueError("a tone has a frequency over zero")
    return 1000 * acceleration_m_s2 / (2 * math.pi * frequency_hz)


def reach_hz(rate_hz: float, seconds: float) -> tuple[float, float]:
    """Between which frequencies a recording can tell a velocity at all.

    Parameters
    ----------
    rate_hz : float
        Readings a second.
    seconds : float
        How long it is.

    Returns
    -------
    tuple of float
        Lowest and highest hertz.

    References
    ----------
    Common practice: ten turns of the lowest frequency, and 2.56 readings in a turn of the highest,
    as the filter of a recorder leaves it.

    Examples
    --------
    >>> reach_hz(2560.0, 4.0)
    (2.5, 1000.0)
    """
    return PERIODS / seconds, rate_hz / GUARD


def _density(
    signal: ArrayLike,
    rate_hz: float,
    window: str,
    scaling: Literal["density", "spectrum"],
) -> tuple[Floats, Floats]:
    """Parts of four seconds, each freed of its slope, half overlapping, their powers averaged."""
    seen = np.asarray(signal, dtype=np.float64)
    if len(seen) < 8 or rate_hz <= 0 or not np.isfinite(seen).all():
        raise ValueError("a recording has a rate and at least eight readings")
    size = min(len(seen), round(rate_hz * SEGMENT_S))
    frequency, power = welch(
        seen, rate_hz, window=window, nperseg=size, detrend=detrend, scaling=scaling
    )
    return np.asarray(frequency, dtype=np.float64), np.asarray(power, dtype=np.float64)


def rms_in_band(
    signal: ArrayLike, rate_hz: float, *, low_hz: float = 10.0, high_hz: float = 1000.0
) -> float:
    """Root-mean-square of what lies between two frequencies.

    Parameters
    ----------
    signal : array_like, shape (frames,)
        Any unit.
    rate_hz : float
        Readings a second.
    low_hz, high_hz : float
        Both ends belong to the band.

    Returns
    -------
    float
        In the unit of the signal.

    Raises
    ------
    ValueError
        Too few readings, or one is missing.

    References
    ----------
    Welch, IEEE Trans. Audio Electroacoust. AU-15 (1967): mean of the powers of windowed parts.

    Examples
    --------
    >>> t = np.arange(8000) / 2000
    >>> round(rms_in_band(2**0.5 * np.sin(2 * np.pi * 50 * t) + np.sin(10 * t), 2000), 4)
    1.0
    """
    frequency, power = _density(signal, rate_hz, "hann", "density")
    inside = (frequency >= low_hz) & (frequency <= high_hz)
    return math.sqrt(float(power[inside].sum()) * float(frequency[1]))


def velocity_rms_mm_s(
    acceleration_m_s2: ArrayLike, rate_hz: float, low_hz: float = 10.0, high_hz: float = 1000.0
) -> float:
    """Vibration velocity in a band, from acceleration.

    Parameters
    ----------
    acceleration_m_s2 : array_like, shape (frames,)
        Metres a second squared.
    rate_hz : float
        Readings a second.
    low_hz, high_hz : float
        Both ends belong to the band.

    Returns
    -------
    float
        Millimetres a second, root-mean-square.

    Raises
    ------
    ValueError
        Too few readings, one is missing, or the band begins at zero.

    Notes
    -----
    Each line is divided by 2 π f; nothing is summed up in time, where the smallest offset runs
    away. What an instrument's own noise adds grows as the band begins lower.

    References
    ----------
    ISO 20816-1:2016, broad-band velocity from 10 Hz to 1 kHz; ISO 2954 (both from memory).

    Examples
    --------
    >>> t = np.arange(25600) / 6400
    >>> tone = 4.5e-3 * 2**0.5 * 2 * np.pi * 300 * np.cos(2 * np.pi * 300 * t)
    >>> round(velocity_rms_mm_s(tone, 6400), 3)
    4.5
    """
    if low_hz <= 0:
        raise ValueError("velocity from acceleration needs a band that begins over zero")
    frequency, power = _density(acceleration_m_s2, rate_hz, "hann", "density")
    inside = (frequency >= low_hz) & (frequency <= high_hz)
    slow = power[inside] / (2 * np.pi * frequency[inside]) ** 2
    return 1000 * math.sqrt(float(slow.sum()) * float(frequency[1]))


def noise_floor_mm_s(
    noise_m_s2: float, rate_hz: float, low_hz: float = 10.0, high_hz: float = 1000.0
) -> float:
    """The velocity that the even noise of an instrument looks like.

    Parameters
    ----------
    noise_m_s2 : float
        Root-mean-square of the sensor lying still, over all frequencies up to half the rate.
    rate_hz : float
        Readings a second.
    low_hz, high_hz : float
        Of the band.

    Returns
    -------
    float
        Millimetres a second; less than about three times this is not a measurement.

    References
    ----------
    White noise through 1 / (2 π f) (by definition).

    Examples
    --------
    >>> round(noise_floor_mm_s(0.02, 6400), 4), round(noise_floor_mm_s(0.02, 6400, low_hz=1.0), 4)
    (0.0177, 0.0562)
    """
    density = noise_m_s2**2 / (rate_hz / 2)
    return 1000 * math.sqrt(density / (4 * math.pi**2) * (1 / low_hz - 1 / high_hz))


def spectrum(signal: ArrayLike, rate_hz: float, *, integrate: bool = False) -> Spectrum:
    """The lines of a recording.

    Parameters
    ----------
    signal : array_like, shape (frames,)
        Any unit; acceleration in m/s² where it is integrated.
    rate_hz : float
        Readings a second.
    integrate : bool
        True: lines of velocity in mm/s, from acceleration.

    Returns
    -------
    Spectrum
        From the second line on; root-mean-square of a tone that stands on a line.

    Raises
    ------
    ValueError
        Too few readings, or one is missing.

    References
    ----------
    Welch (1967) with a Hann window; up to 1.4 dB low between two lines.

    Examples
    --------
    >>> t = np.arange(4000) / 1000
    >>> found = spectrum(3.0 * np.sin(2 * np.pi * 50 * t), 1000)
    >>> at = int(found.rms.argmax())
    >>> float(found.frequency_hz[at]), round(float(found.rms[at]), 3)
    (50.0, 2.121)
    """
    frequency, power = _density(signal, rate_hz, "hann", "spectrum")
    rms = np.sqrt(power[1:])
    if integrate:
        rms = 1000 * rms / (2 * np.pi * frequency[1:])
    return Spectrum(frequency_hz=frequency[1:], rms=rms, step_hz=float(frequency[1]))


def line_reading(
    signal: ArrayLike, rate_hz: float, near_hz: float, *, share: float = 0.03
) -> tuple[float, float]:
    """The strongest line near a frequency, read without loss between the steps.

    Parameters
    ----------
    signal : array_like, shape (frames,)
        Any unit.
    rate_hz : float
        Readings a second.
    near_hz : float
        Where it is expected.
    share : float
        How far off it may lie, as a share of that frequency; two steps at least are searched.

    Returns
    -------
    tuple of float
        Hertz, and root-mean-square in the unit of the signal.

    Raises
    ------
    ValueError
        Too few readings, or it lies past half the rate.

    References
    ----------
    Flat-top window for the height, ISO 18431-2 (from memory); the frequency by a parabola through
    the logarithms of three lines of a Hann window.

    Examples
    --------
    >>> t = np.arange(10000) / 2500
    >>> hz, rms = line_reading(np.sin(2 * np.pi * 49.9 * t), 2500, 50.0)
    >>> round(hz, 2), round(rms, 4)
    (49.9, 0.7071)
    """
    (read,) = line_readings(signal, rate_hz, (near_hz,), share=share)
    if read is None:
        raise ValueError("there are no lines so high in this recording")
    return read


def line_readings(
    signal: ArrayLike, rate_hz: float, near_hz: Sequence[float], *, share: float = 0.03
) -> list[tuple[float, float] | None]:
    """The strongest line near each of several frequencies, as :func:`line_reading` reads one.

    Parameters
    ----------
    signal : array_like, shape (frames,)
        Any unit.
    rate_hz : float
        Readings a second.
    near_hz : sequence of float
        Where they are expected.
    share : float
        How far off each may lie.

    Returns
    -------
    list of tuple of float or None
        Hertz and root-mean-square; None past half the rate.

    Raises
    ------
    ValueError
        Too few readings, or one is missing.

    References
    ----------
    As :func:`line_reading`.

    Examples
    --------
    >>> t = np.arange(10000) / 2500
    >>> line_readings(np.sin(2 * np.pi * 49.9 * t), 2500, [4000.0])
    [None]
    """
    frequency, power = _density(signal, rate_hz, "hann", "spectrum")
    _, flat = _density(signal, rate_hz, "flattop", "spectrum")
    return [_line(frequency, power, flat, near, share) for near in near_hz]


def _line(
    frequency: Floats, power: Floats, flat: Floats, near_hz: float, share: float
) -> tuple[float, float] | None:
    step = float(frequency[1])
    reach = max(share * near_hz, 2 * step)
    near = np.flatnonzero(np.abs(frequency - near_hz) <= reach)
    near = near[(near > 0) & (near < len(frequency) - 1)]
    if not len(near):
        return None
    at = int(near[power[near].argmax()])
    low, mid, high = np.log(np.maximum(power[at - 1 : at + 2], 1e-300))
    bend = low - 2 * mid + high
    shift = 0.5 * float(low - high) / float(bend) if bend < 0 else 0.0
    height = float(flat[at - 1 : at + 2].max())
    return float(frequency[at]) + step * max(-0.5, min(0.5, shift)), math.sqrt(height)
