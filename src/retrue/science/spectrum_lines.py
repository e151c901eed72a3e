"""Lines of a plain spectrum: what turns, where it should show, and how strongly it does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.signal import find_peaks

from retrue.science.envelope_lines import decibels, floor_of
from retrue.science.vibration import line_readings, spectrum

FOUND_DB = 12.0  # a line is told as found from here on
APART = 3  # steps between two lines that are told apart


@dataclass(frozen=True, slots=True)
class SpectrumLine:
    """One line: expected, found, how far over its neighbourhood, and how strong.

    ``rms`` is in the unit of the signal; None where no line stands out.
    """

    name: str
    expected_hz: float
    found_hz: float | None
    score_db: float
    rms: float | None


def lines_at(
    signal: ArrayLike, rate_hz: float, expected_hz: Mapping[str, float], *, share: float = 0.02
) -> tuple[SpectrumLine, ...]:
    """The strongest line near each expected frequency.

    Parameters
    ----------
    signal : array_like, shape (frames,)
        Any unit.
    rate_hz : float
        Readings a second.
    expected_hz : mapping of str to float
        By name; what lies past half the rate is left out.
    share : float
        How far off a line may lie.

    Returns
    -------
    tuple of SpectrumLine

    Raises
    ------
    ValueError
        Too few readings, or one is missing.

    References
    ----------
    Height by a flat-top window, ISO 18431-2 (from memory); the score is our own.

    Examples
    --------
    >>> t = np.arange(8000) / 2000
    >>> noise = 0.1 * np.random.Generator(np.random.Philox(1)).standard_normal(8000)
    >>> (one,) = lines_at(np.sin(2 * np.pi * 25 * t) + noise, 2000, {"shaft": 25.0})
    >>> round(one.found_hz, 1), round(one.rms, 2), one.score_db > 20
    (25.0, 0.71, True)
    """
    seen = spectrum(signal, rate_hz)
    power = np.concatenate([[0.0], seen.rms**2])
    strength = power / floor_of(power)
    reached = {
        name: hertz
        for name, hertz in expected_hz.items()
        if 2 * seen.step_hz < hertz < rate_hz / 2 - 2 * seen.step_hz
    }
    read = line_readings(signal, rate_hz, tuple(reached.values()), share=share)
    made = []
    for (name, hertz), line in zip(reached.items(), read, strict=True):
        if line is None:
            continue
        at = round(line[0] / seen.step_hz)
        score = decibels(float(strength[max(at - 1, 0) : at + 2].max()))
        found, rms = line if score >= FOUND_DB else (None, None)
        made.append(SpectrumLine(name, hertz, found, score, rms))
    return tuple(made)


def strongest(
    signal: ArrayLike,
    rate_hz: float,
    *,
    low_hz: float,
    high_hz: float,
    most: int = 5,
    integrate: bool = False,
) -> tuple[tuple[float, float], ...]:
    """The strongest lines of a recording, whatever they come from.

    Parameters
    ----------
    signal : array_like, shape (frames,)
        Any unit; acceleration in m/s² where it is integrated.
    rate_hz : float
        Readings a second.
    low_hz, high_hz : float
        Between these.
    most : int
        How many at most.
    integrate : bool
        True: lines of velocity in mm/s, from acceleration.

    Returns
    -------
    tuple of (float, float)
        Hertz and root-mean-square, the strongest first; only what stands out from its neighbours.

    Raises
    ------
    ValueError
        Too few readings, or one is missing.

    References
    ----------
    By definition: largest values of the spectrum; what stands out is our own.

    Examples
    --------
    >>> t = np.arange(8000) / 2000
    >>> noise = 0.01 * np.random.Generator(np.random.Philox(1)).standard_normal(8000)
    >>> tones = np.sin(2 * np.pi * 25 * t) + 3 * np.sin(2 * np.pi * 80 * t)
    >>> [round(hz) for hz, _ in strongest(tones + noise, 2000, low_hz=10, high_hz=900)]
    [80, 25]
    """
    seen = spectrum(signal, rate_hz, integrate=integrate)
    power = np.concatenate([[0.0], seen.rms**2])
    strength = power / floor_of(power)
    at, _ = find_peaks(power, distance=APART)
    hertz = at * seen.step_hz
    least = 10 ** (FOUND_DB / 10) * np.log(2)
    kept = at[(hertz >= low_hz) & (hertz <= high_hz) & (strength[at] >= least)]
    kept = kept[np.argsort(-power[kept])][:most]
    return tuple((float(one * seen.step_hz), float(np.sqrt(power[one]))) for one in kept)
