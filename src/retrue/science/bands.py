"""Octave and third-octave bands, weighted levels and the peak of a recording of sound."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.sound_level import PER_NEPER
from retrue.science.sound_lines import (
    Samples,
    block_frames,
    c_peak,
    checked,
    line_power,
    sides,
)
from retrue.science.weighting import HIGHEST, LOWEST, exact_hz, nominal_hz, response, weight_db

Floats = NDArray[np.float64]

OCTAVE = 10.0**0.3  # ratio of an octave of base ten
ORDER = 6  # of the low-pass that each band is made from: x to the twelfth
NEGLIGIBLE = 1e-10  # power that a band lets through is left out below that
LEAST_PRODUCT = 10.0  # bandwidth times time, under which a band says too little (our own rule)


@dataclass(frozen=True, slots=True)
class Band:
    """One band: its exact middle, what it is called, its level."""

    exact_hz: float
    nominal_hz: float
    level_db: float
    give_or_take_db: float  # of the time alone, k = 2, as if the sound were noise


@dataclass(frozen=True, slots=True)
class Spectrum:
    """The levels of one recording; not calibrated, they are relative to full scale."""

    third: tuple[Band, ...]
    octave: tuple[Band, ...]
    level_a_db: float
    level_c_db: float
    level_z_db: float
    peak_c_db: float
    seconds: float
    calibrated: bool
    give_or_take_a_db: float  # of the time alone, k = 2, as if the sound were noise
    highest_hz: float  # up to which frequencies were recorded


def gains(frequency_hz: ArrayLike, middle_hz: float, per_octave: int) -> Floats:
    """The share of power that a band lets through.

    Parameters
    ----------
    frequency_hz : array_like, shape (n,)
        From zero up.
    middle_hz : float
        Exact middle of the band.
    per_octave : int
        1 for octaves, 3 for third octaves.

    Returns
    -------
    ndarray, shape (n,)
        One in the middle, a half at both edges.

    Notes
    -----
    A Butterworth band-pass: ``1 / (1 + x ** 12)``, where ``x = (f/m - m/f) / (w - 1/w)`` and w is
    the ratio from the middle to the edge. Neighbours add up to one within a hundredth.

    References
    ----------
    IEC 61260-1:2014, 5.10: inside the limits of class 1 (checked in the tests).

    Examples
    --------
    >>> edge = 1000 * 10 ** 0.05
    >>> gains([1000, edge, 4000], 1000, 3).round(6).tolist()
    [1.0, 0.5, 0.0]
    """
    ratio = np.maximum(np.asarray(frequency_hz, dtype=np.float64), 1e-9) / middle_hz
    edge = OCTAVE ** (0.5 / per_octave)
    x = (ratio - 1.0 / ratio) / (edge - 1.0 / edge)
    square = x * x
    fourth = square * square
    return np.asarray(1.0 / (1.0 + fourth * fourth * fourth))


def analyse(pressure: Samples, rate_hz: float, offset_db: float | None = None) -> Spectrum:
    """Bands, weighted levels and peak of one channel.

    Parameters
    ----------
    pressure : ndarray, shape (frames,)
        Samples, full scale being one.
    rate_hz : float
        Samples a second.
    offset_db : float, optional
        What must be added to the level relative to full scale (a mean square of one is zero) to
        have decibels re 20 micropascal. Left out, nothing is added and nothing is calibrated.

    Returns
    -------
    Spectrum
        Bands from 10 Hz to 20 kHz; those that end over half the rate, or that are too narrow for so
        short a recording, are left out.

    Raises
    ------
    Unusable
        Fewer samples than a tenth of a second, a sample that is no number, silence, or a rate that
        no sound is recorded at.

    Notes
    -----
    All in the domain of frequency: mean square by Parseval's theorem, weightings exact at every
    line. A constant part is taken off first. Z and the bands begin at 8.9 Hz.

    References
    ----------
    IEC 61260-1:2014 (bands), IEC 61672-1:2013 (weightings, level, peak).

    Examples
    --------
    >>> tone = np.sqrt(2) * np.sin(2 * np.pi * 1000 * np.arange(48000) / 48000)
    >>> found = analyse(tone, 48000, offset_db=94)
    >>> round(found.level_a_db, 2), round(found.level_z_db, 2), round(found.peak_c_db, 2)
    (94.0, 94.0, 97.01)
    >>> max(found.third, key=lambda band: band.level_db).nominal_hz
    1000.0
    """
    from scipy import fft

    samples = checked(pressure, rate_hz)
    seconds = samples.size / rate_hz
    size = min(block_frames(rate_hz), fft.next_fast_len(samples.size, real=True))
    power = line_power(samples, rate_hz, size)
    if not power.any():
        raise Unusable(
            say("the recording is silent"),
            remedy=say("Look at the plug and the gain of the recorder, then record again."),
        )
    plan = _plan(size, float(rate_hz))
    offset = 0.0 if offset_db is None else float(offset_db)
    third, octave = (
        tuple(_bands(power, rows, seconds, offset, per)) for rows, per in plan.rows_by_width
    )
    levels = 10.0 * np.log10(plan.weights @ power) + offset
    return Spectrum(
        third=third,
        octave=octave,
        level_a_db=float(levels[0]),
        level_c_db=float(levels[1]),
        level_z_db=float(levels[2]),
        peak_c_db=20.0 * float(np.log10(max(c_peak(samples, rate_hz, size), 1e-12))) + offset,
        seconds=seconds,
        calibrated=offset_db is not None,
        give_or_take_a_db=a_give_or_take_db(third, seconds),
        highest_hz=rate_hz / 2.0,
    )


def a_give_or_take_db(third: tuple[Band, ...], seconds: float) -> float:
    """How far the A level may be off for its time alone, as if every band were noise.

    Parameters
    ----------
    third : tuple of Band
    seconds : float
        How long was recorded.

    Returns
    -------
    float
        Decibels, k = 2.

    Notes
    -----
    A mean square over bandwidth B and time T has a relative variance of ``1 / (B T)``.

    References
    ----------
    Bendat and Piersol, Random Data, 8.2 (mean square of bandlimited noise; from memory).

    Examples
    --------
    >>> one = (Band(1000.0, 1000.0, 80.0, 0.0),)
    >>> round(a_give_or_take_db(one, 10.0), 3)
    0.181
    """
    if not third:
        return float("inf")
    exact = np.array([band.exact_hz for band in third])
    levels = np.array([band.level_db for band in third]) + weight_db(exact, "A")
    energy = 10.0 ** ((levels - levels.max()) / 10.0)
    product = exact * _relative_width(3) * seconds
    return float(2.0 * PER_NEPER * np.sqrt(np.sum(energy**2 / product)) / energy.sum())


def by_time(
    pressure: Samples, rate_hz: float, *, every_s: float = 1.0, offset_db: float = 0.0
) -> Floats:
    """The A level of one stretch of time after another.

    Parameters
    ----------
    pressure : ndarray, shape (frames,)
        Samples, full scale being one.
    rate_hz : float
        Samples a second.
    every_s : float
        How long a stretch is; an unfinished last one is left out.
    offset_db : float
        Added to levels relative to full scale.

    Returns
    -------
    ndarray, shape (stretches,)
        Decibels.

    Raises
    ------
    Unusable
        As for :func:`analyse`, or shorter than one stretch.

    References
    ----------
    IEC 61672-1:2013, 3.9 (time-averaged level).

    Examples
    --------
    >>> tone = np.sin(2 * np.pi * 1000 * np.arange(96000) / 48000)
    >>> by_time(np.where(np.arange(96000) < 48000, tone, tone / 10), 48000).round(1).tolist()
    [-3.0, -23.0]
    """
    from scipy import fft

    samples = checked(pressure, rate_hz)
    size = round(every_s * rate_hz)
    count = samples.size // size if size else 0
    if not count:
        raise Unusable(
            say("the recording is shorter than one stretch of it"),
            remedy=say("Record for longer, half a minute is good."),
        )
    weight = np.abs(response(fft.rfftfreq(size, 1.0 / rate_hz), "A")) ** 2 * sides(size)
    levels = np.empty(count)
    for place in range(count):
        part = samples[place * size : (place + 1) * size]
        lines = fft.rfft(part - part.mean(dtype=np.float64))
        level = float(weight @ (lines.real**2 + lines.imag**2)) / size**2
        levels[place] = 10.0 * np.log10(max(level, 1e-20)) + offset_db
    return levels


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """One band's gains, where they count."""

    third: int
    begin: int
    weights: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Plan:
    """What is the same for all blocks of one length at one rate."""

    rows_by_width: tuple[tuple[tuple[_Row, ...], int], ...]
    weights: Floats  # shape (3, lines): A, C, Z


@functools.lru_cache(maxsize=4)
def _plan(size: int, rate_hz: float) -> _Plan:
    from scipy import fft

    frequency = fft.rfftfreq(size, 1.0 / rate_hz)
    heard = frequency >= exact_hz(LOWEST) * OCTAVE ** (-1 / 6)
    weights = np.stack([np.abs(response(frequency, name)) ** 2 for name in ("A", "C", "Z")])
    rows = tuple((tuple(_rows(frequency, rate_hz, per)), per) for per in (3, 1))
    return _Plan(rows, weights * heard)


def _rows(frequency: Floats, rate_hz: float, per_octave: int) -> Iterator[_Row]:
    """Every band that ends below half the rate; octaves from 16 Hz, three thirds each."""
    step = 3 // per_octave
    first = LOWEST if per_octave == 3 else -18
    for third in range(first, HIGHEST + 1, step):
        middle = exact_hz(third)
        if middle * OCTAVE ** (0.5 / per_octave) > rate_hz / 2.0 or third > HIGHEST - step // 2:
            return
        begin, end = np.searchsorted(frequency, _reach(middle, per_octave)).tolist()
        yield _Row(third, begin, gains(frequency[begin:end], middle, per_octave))


def _reach(middle: float, per_octave: int) -> tuple[float, float]:
    """Between which frequencies a band lets more through than is negligible."""
    steep = NEGLIGIBLE ** (-0.5 / ORDER) * _relative_width(per_octave) / 2.0
    ratio = steep + float(np.hypot(steep, 1.0))
    return middle / ratio, middle * ratio


def _bands(
    power: Floats, rows: tuple[_Row, ...], seconds: float, offset: float, per_octave: int
) -> Iterator[Band]:
    for row in rows:
        middle = exact_hz(row.third)
        product = middle * _relative_width(per_octave) * seconds
        if product < LEAST_PRODUCT:
            continue
        energy = float(row.weights @ power[row.begin : row.begin + row.weights.size])
        yield Band(
            exact_hz=middle,
            nominal_hz=nominal_hz(row.third),
            level_db=10.0 * float(np.log10(max(energy, 1e-20))) + offset,
            give_or_take_db=2.0 * PER_NEPER / float(np.sqrt(product)),
        )


def _relative_width(per_octave: int) -> float:
    edge = float(OCTAVE ** (0.5 / per_octave))
    return edge - 1.0 / edge
