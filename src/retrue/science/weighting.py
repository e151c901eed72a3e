"""Frequency weighting A and C, and the frequencies of bands, exact and as they are named."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]
Weighting = Literal["A", "C", "Z"]

# Corner frequencies in hertz, IEC 61672-1:2013, annex E.
F1, F2, F3, F4 = 20.598997, 107.65265, 737.86223, 12194.217
MIDDLE_HZ = 1000.0
LOWEST, HIGHEST = -20, 13  # third octaves from 10 Hz to 20 kHz
NAMES_HZ = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)


def exact_hz(third: int) -> float:
    """The exact middle of a third-octave band.

    Parameters
    ----------
    third : int
        How many third octaves over 1 kHz.

    Returns
    -------
    float
        Hertz.

    References
    ----------
    IEC 61260-1:2014, 5.4: base ten, ``1000 * 10 ** (n / 10)``.

    Examples
    --------
    >>> round(exact_hz(-15), 3), exact_hz(0)
    (31.623, 1000.0)
    """
    return float(MIDDLE_HZ * 10.0 ** (third / 10.0))


def nominal_hz(third: int) -> float:
    """What a third-octave band is called.

    Parameters
    ----------
    third : int
        How many third octaves over 1 kHz.

    Returns
    -------
    float
        Hertz, of the series of ten: 1, 1.25, 1.6 and so on.

    References
    ----------
    IEC 61260-1:2014, annex E; ISO 266.

    Examples
    --------
    >>> nominal_hz(-15), nominal_hz(5), nominal_hz(13)
    (31.5, 3150.0, 20000.0)
    """
    decade, place = divmod(third, 10)
    return float(round(NAMES_HZ[place] * 10.0 ** (decade + 3), 6))


def third_of(frequency_hz: float) -> int:
    """Which third-octave band a frequency lies in, or names.

    Parameters
    ----------
    frequency_hz : float
        Over zero: exact, nominal or any other.

    Returns
    -------
    int
        How many third octaves over 1 kHz.

    Raises
    ------
    Unusable
        No frequency.

    References
    ----------
    IEC 61260-1:2014, 5.4.

    Examples
    --------
    >>> third_of(63), third_of(63.0957), third_of(16000)
    (-12, -12, 12)
    """
    if not 0 < frequency_hz < np.inf:
        raise Unusable(
            say("{value} Hz is no frequency", value=short(frequency_hz)),
            remedy=say("Write the middle of the band in hertz: 31.5, 63, 1000."),
        )
    return round(10.0 * float(np.log10(frequency_hz / MIDDLE_HZ)))


def weight_db(frequency_hz: ArrayLike, weighting: Weighting) -> Floats:
    """How much a weighting adds to the level of a tone.

    Parameters
    ----------
    frequency_hz : array_like, shape (n,) or ()
        Over zero. For a band give its exact middle, not what it is called.
    weighting : str
        A, C, or Z, which adds nothing.

    Returns
    -------
    ndarray, same shape
        Decibels; nothing at 1 kHz.

    Raises
    ------
    Unusable
        A frequency of zero or below.

    Notes
    -----
    The tables of the standard are this formula at exact frequencies, rounded to a tenth. At nominal
    ones fourteen entries of A come out wrong by a tenth.

    References
    ----------
    IEC 61672-1:2013, annex E.

    Examples
    --------
    >>> weight_db([100, 1000, 10000], "A").round(1).tolist()
    [-19.1, 0.0, -2.5]
    >>> weight_db(10000, "C").round(1).item()
    -4.4
    """
    frequency = np.asarray(frequency_hz, dtype=np.float64)
    if not (frequency > 0).all():
        raise Unusable(
            say("a frequency lies over zero"),
            remedy=say("Write the middle of the band in hertz: 31.5, 63, 1000."),
        )
    gain = np.abs(response(frequency, weighting))
    return np.asarray(20.0 * np.log10(gain), dtype=np.float64)


def response(frequency_hz: ArrayLike, weighting: Weighting) -> NDArray[np.complex128]:
    """What a weighting does to size and phase.

    Parameters
    ----------
    frequency_hz : array_like, shape (n,) or ()
        From zero up.
    weighting : str
        A, C or Z.

    Returns
    -------
    ndarray, same shape
        Complex gain, of size one at 1 kHz.

    References
    ----------
    IEC 61672-1:2013, annex E: poles at the four corner frequencies, zeros at none.

    Examples
    --------
    >>> abs(response([0, 1000], "C")).round(9).tolist()
    [0.0, 1.0]
    """
    s = np.asarray(1j * np.asarray(frequency_hz, dtype=np.float64), dtype=np.complex128)
    if weighting == "Z":
        return np.asarray(np.ones_like(s))
    gain = _poles(s, weighting)
    return np.asarray(
        gain / np.abs(_poles(np.asarray(1j * MIDDLE_HZ, dtype=np.complex128), weighting))
    )


def _poles(s: NDArray[np.complex128], weighting: Weighting) -> NDArray[np.complex128]:
    """The response without its scale; ``s`` in hertz."""
    gain = s**2 / ((s + F1) ** 2 * (s + F4) ** 2)
    if weighting == "A":
        gain = gain * s**2 / ((s + F2) * (s + F3))
    return np.asarray(gain)
