"""The lines of frequency of a recording: how strong each is, and the highest peak."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.weighting import response

Floats = NDArray[np.float64]
Samples = NDArray[np.float32] | Floats

LEAD_S = 0.25  # in which the weighting's own start dies away: e to the minus 32
GUARD = 64  # frames at the end of a block, which ring with its beginning
FADE_S = 0.25  # over which one block fades into the next
SLOWEST_HZ = 2000.0
BLOCK_S = 4.0  # at least so long is transformed at once: lines a quarter of a hertz apart


def block_frames(rate_hz: float) -> int:
    """How many samples are transformed at once.

    Parameters
    ----------
    rate_hz : float
        Samples a second.

    Returns
    -------
    int
        A power of two, of four seconds or more.

    References
    ----------
    Our own choice: the narrowest band, of 2.3 Hz, holds nine lines.

    Examples
    --------
    >>> block_frames(48000), block_frames(8000)
    (262144, 32768)
    """
    return 1 << int(np.ceil(np.log2(BLOCK_S * rate_hz)))


def checked(pressure: Samples, rate_hz: float) -> Samples:
    """Samples that can be analysed.

    Parameters
    ----------
    pressure : ndarray, shape (frames,)
        One channel.
    rate_hz : float
        Samples a second.

    Returns
    -------
    ndarray, shape (frames,)
        The same.

    Raises
    ------
    Unusable
        A rate that no sound is recorded at, under a tenth of a second, several channels, or a
        sample that is no number.
    """
    samples = pressure
    if not SLOWEST_HZ <= rate_hz < np.inf:
        raise Unusable(
            say("{rate} samples a second carry no sound to judge", rate=short(rate_hz)),
            remedy=say("Record with 44 100 or 48 000 samples a second."),
        )
    if samples.ndim != 1 or samples.size < 0.1 * rate_hz:
        raise Unusable(
            say("the recording is too short, or more than one channel was given"),
            remedy=say("Record for half a minute and name one channel."),
        )
    if not np.isfinite(samples).all():
        raise Unusable(
            say("the recording has samples that are no numbers"),
            remedy=say("Save it again as WAV with 16 or 24 bits."),
        )
    return samples


def line_power(samples: Samples, rate_hz: float, size: int) -> Floats:
    """Mean square of every line of frequency, both sides in one.

    Parameters
    ----------
    samples : ndarray, shape (frames,)
        As :func:`checked` gives them.
    rate_hz : float
        Samples a second.
    size : int
        Of a block.

    Returns
    -------
    ndarray, shape (size // 2 + 1,)
        Their sum is the mean square of the samples without their constant part.

    Notes
    -----
    Blocks overlap a little and fade into each other, so that no cut end sounds through all bands;
    the squares of the fades add up to one, so every moment counts the same but the ends' own fade.

    References
    ----------
    Parseval's theorem (by definition).

    Examples
    --------
    >>> tone = np.sin(2 * np.pi * 100 * np.arange(8000) / 8000)
    >>> round(float(line_power(tone, 8000, 8000).sum()), 4)
    0.5
    """
    from scipy import fft

    mean = samples.mean(dtype=np.float64)
    fade = max(min(round(FADE_S * rate_hz), size // 20), 1)
    power = np.zeros(size // 2 + 1)
    counted = 0.0
    rise = np.sin(0.5 * np.pi * (np.arange(fade) + 0.5) / fade)
    for begin in range(0, max(samples.size - fade, 1), size - fade):
        block = samples[begin : begin + size] - mean
        edge = min(fade, block.size // 2)
        if edge < fade:  # a last piece too short to fade in and out keeps what is over
            rise = np.sin(0.5 * np.pi * (np.arange(edge) + 0.5) / max(edge, 1))
        block[:edge] *= rise
        block[block.size - edge :] *= rise[::-1]
        lines = fft.rfft(block, size)
        power += lines.real**2 + lines.imag**2
        counted += block.size - edge
    return power * sides(size) / (size * counted)


def c_peak(samples: Samples, rate_hz: float, size: int) -> float:
    """The highest C-weighted sample; every block is begun early enough to have settled.

    Parameters
    ----------
    samples : ndarray, shape (frames,)
        As :func:`checked` gives them.
    rate_hz : float
        Samples a second.
    size : int
        Of a block, at least.

    Returns
    -------
    float
        Full scale being one.

    References
    ----------
    IEC 61672-1:2013, 5.13 (C-weighted peak).

    Examples
    --------
    >>> tone = np.sin(2 * np.pi * 1000 * np.arange(8000) / 8000)
    >>> round(c_peak(tone, 8000, 8000), 2)
    1.0
    """
    from scipy import fft

    mean = np.float32(samples.mean(dtype=np.float64))
    lead = min(round(LEAD_S * rate_hz), samples.size - 1)
    size = max(size, fft.next_fast_len(4 * lead, real=True))
    weight = response(fft.rfftfreq(size, 1.0 / rate_hz), "C").astype(np.complex64)
    before = 2.0 * samples[0] - samples[lead:0:-1]  # as if it had gone on before it began
    highest = 0.0
    for begin in range(0, samples.size, size - lead - GUARD):
        part = samples[max(begin - lead, 0) : begin + size - lead]
        block = part if begin else np.concatenate([before, part])
        lines = fft.rfft(block.astype(np.float32, copy=False) - mean, size)
        heard = fft.irfft(lines * weight, size)[lead : block.size]
        kept = heard[: size - lead - GUARD]
        highest = max(highest, float(np.abs(kept).max()))
    return highest


def sides(size: int) -> Floats:
    """How often each line of the one-sided transform stands in the whole one.

    Parameters
    ----------
    size : int
        Of the transform.

    Returns
    -------
    ndarray, shape (size // 2 + 1,)

    Examples
    --------
    >>> sides(6).tolist(), sides(5).tolist()
    ([1.0, 2.0, 2.0, 1.0], [1.0, 2.0, 2.0])
    """
    counts = np.full(size // 2 + 1, 2.0)
    counts[0] = 1.0
    if size % 2 == 0:
        counts[-1] = 1.0
    return counts
