"""Lines in an envelope spectrum: how far one stands out, and how well a comb of them fits."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.ndimage import maximum_filter1d
from scipy.stats import gamma

Floats = NDArray[np.float64]
HALF = math.log(2)  # the middle of an exponential distribution of mean one
NARROWEST_HZ = 800.0
LOWEST_HZ = 300.0
TURNS = 4.0  # a band is at least that many times as wide as the fastest defect
EDGE = 2.3  # rate over the upper end of the highest band
AT_MOST = 4.0  # a line of a comb counts for no more than that many times its first
POINTS = 40
BESIDE = 15  # lines to each side at least
NEIGHBOURS = 2.5  # each line is the largest of three


@dataclass(frozen=True, slots=True)
class Comb:
    """Lines that belong together: multiples of one frequency, and what stands beside them.

    Attributes
    ----------
    name : str
        outer_race, shaft ...
    base_hz : float
        Expected frequency of the first line.
    lines : tuple of tuple of int
        Order and sideband of each line; the first one is (1, 0) and must be there.
    side_hz : float
        Distance of the sidebands; 0: there are none.
    slip : float
        How far the base may lie off, as a share of it.
    reach : tuple of int
        Highest order and sideband that belong to it when its lines are taken out.
    """

    name: str
    base_hz: float
    lines: tuple[tuple[int, int], ...]
    side_hz: float
    slip: float
    reach: tuple[int, int]


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """Envelope spectrum of one band.

    ``strength`` is power over its neighbourhood: 1 on average where there is nothing but noise.
    """

    band_hz: tuple[float, float]
    step_hz: float
    power: Floats
    strength: Floats


@dataclass(frozen=True, slots=True)
class Fit:
    """Where a comb fits best: its true base over the expected one, and how strong it is."""

    ratio: float
    heights: tuple[float, ...]  # strength of each line, the first one first
    evidence: float  # their sum, each counted for at most four times the first
    trials: int  # places that were tried


def bands(rate_hz: float, fastest_hz: float) -> tuple[tuple[float, float], ...]:
    """The bands in which a resonance may carry the impacts.

    Parameters
    ----------
    rate_hz : float
        Readings a second.
    fastest_hz : float
        Highest frequency of a defect.

    Returns
    -------
    tuple of tuple of float
        Lower and upper end, each overlapping its neighbour by half; none where the rate is too low.

    References
    ----------
    Our own choice, in the manner of a spectral kurtosis in two widths (Antoni, Mech. Syst. Signal
    Process. 20, 2006).

    Examples
    --------
    >>> bands(4000.0, 100.0), bands(1000.0, 200.0)
    (((300.0, 1100.0), (700.0, 1500.0)), ())
    """
    narrow = max(NARROWEST_HZ, TURNS * fastest_hz)
    made = []
    for wide in (narrow, 2 * narrow):
        low = max(LOWEST_HZ, fastest_hz)
        while low + wide <= rate_hz / EDGE:
            made.append((low, low + wide))
            low += wide / 2
    return tuple(made)


def transform(acceleration: ArrayLike, rate_hz: float) -> tuple[NDArray[np.complex128], float]:
    """The Fourier transform from which every band is cut.

    Parameters
    ----------
    acceleration : array_like, shape (frames,)
    rate_hz : float
        Readings a second.

    Returns
    -------
    tuple
        Complex lines, shape (frames // 2 + 1,), and seconds of the recording.

    References
    ----------
    By definition.

    Examples
    --------
    >>> lines, seconds = transform([0.0, 1.0, 0.0, -1.0], 4.0)
    >>> len(lines), seconds
    (3, 1.0)
    """
    seen = np.asarray(acceleration, dtype=np.float64)
    return np.fft.rfft(seen - seen.mean()), len(seen) / rate_hz


def envelope_of(
    lines: NDArray[np.complex128], seconds: float, band_hz: tuple[float, float], most_hz: float
) -> Envelope:
    """The envelope spectrum of one band.

    Parameters
    ----------
    lines : ndarray, shape (frames // 2 + 1,)
        Of :func:`transform`.
    seconds : float
        Of the recording.
    band_hz : tuple of float
        Lower and upper end.
    most_hz : float
        Up to where the spectrum is wanted.

    Returns
    -------
    Envelope

    References
    ----------
    McFadden and Smith, Tribology International 17 (1984); ISO 13373-3 (from memory): band, size of
    the analytic signal, mean taken off, Hann window, power.

    Examples
    --------
    >>> t = np.arange(8000) / 4000
    >>> rung = (1 + np.cos(2 * np.pi * 30 * t)) * np.sin(2 * np.pi * 900 * t)
    >>> found = envelope_of(*transform(rung, 4000.0), (500.0, 1300.0), 200.0)
    >>> float(found.power.argmax() * found.step_hz)
    30.0
    """
    first, last = round(band_hz[0] * seconds), round(band_hz[1] * seconds)
    count = last - first
    cut = np.zeros(2 * count, dtype=np.complex128)
    cut[:count] = lines[first:last] * np.sin(np.pi * (np.arange(count) + 0.5) / count)
    size = np.abs(np.fft.ifft(cut)) * 2
    size = (size - size.mean()) * np.hanning(len(size))
    upto = min(int(most_hz * seconds) + 2, count)
    power = np.abs(np.fft.rfft(size)[:upto]) ** 2
    return Envelope(band_hz, 1 / seconds, power, power / floor_of(power))


def floor_of(power: Floats) -> Floats:
    """What stands around each line: the middle of its neighbours.

    Parameters
    ----------
    power : ndarray, shape (lines,)

    Returns
    -------
    ndarray, shape (lines,)
        Mean power of noise, taken from its median so that lines do not lift it.

    References
    ----------
    The power of a line of noise is exponential: mean = median / ln 2 (by definition).

    Examples
    --------
    >>> noise = np.random.Generator(np.random.Philox(1)).exponential(3.0, 4000)
    >>> bool(abs(floor_of(noise)[2000] - 3.0) < 0.3)
    True
    """
    last = len(power) - 1
    centres = np.unique(np.geomspace(4, max(last, 5), POINTS).astype(int))
    half = np.maximum(BESIDE, centres // 6)
    middles = [
        _middle_of(power[max(2, at - wide) : at + wide + 1])
        for at, wide in zip(centres.tolist(), half.tolist(), strict=True)
    ]
    where = np.log(np.maximum(np.arange(len(power)), 1))
    logs = np.interp(where, np.log(centres), np.log(np.maximum(middles, 1e-300)))
    return np.asarray(np.exp(logs) / HALF, dtype=np.float64)


def _middle_of(values: Floats) -> float:
    """The median; of an even count the upper one of both."""
    half = len(values) // 2
    return float(np.partition(values, half)[half])


def decibels(strength: float) -> float:
    """A line's strength as decibels over the median around it.

    Parameters
    ----------
    strength : float
        Power over the mean of noise.

    Returns
    -------
    float

    References
    ----------
    By definition: 20 lg of the ratio of amplitudes.

    Examples
    --------
    >>> round(decibels(1.0), 2)
    1.59
    """
    return 10 * math.log10(max(strength, 1e-12) / HALF)


def fit(comb: Comb, step_hz: float, strength: Floats) -> Fit:
    """Where, within its slip, a comb fits best.

    Parameters
    ----------
    comb : Comb
    step_hz : float
        Between two lines of the spectrum.
    strength : ndarray, shape (lines,)

    Returns
    -------
    Fit

    References
    ----------
    Our own: the sum of the strengths of the lines that belong together.

    Examples
    --------
    >>> seen = np.ones(400)
    >>> seen[[102, 204]] = 50.0
    >>> found = fit(Comb("a", 100.0, ((1, 0), (2, 0)), 0.0, 0.03, (4, 0)), 1.0, seen)
    >>> round(found.ratio, 3), found.heights
    (1.02, (50.0, 50.0))
    """
    wide = maximum_filter1d(strength, 3)
    most = max(order for order, _ in comb.lines)
    step = step_hz / (2 * comb.base_hz * most)
    tried = int(comb.slip / step)
    ratios = 1 + step * np.arange(-tried, tried + 1)
    heights = np.zeros((len(comb.lines), len(ratios)))
    for row, (order, side) in enumerate(comb.lines):
        at = np.rint((order * comb.base_hz * ratios + side * comb.side_hz) / step_hz).astype(int)
        inside = (at > 1) & (at < len(wide))
        heights[row, inside] = wide[at[inside]]
    evidence = np.minimum(heights, AT_MOST * heights[0]).sum(axis=0)
    best = _middle(evidence)
    return Fit(
        ratio=float(ratios[best]),
        heights=tuple(heights[:, best].tolist()),
        evidence=float(evidence[best]),
        trials=round(len(ratios) * NEIGHBOURS ** len(comb.lines)),
    )


def _middle(evidence: Floats) -> int:
    """The largest one; where several stand alike, the middle of the first stretch of them."""
    first = int(evidence.argmax())
    last = first
    while last + 1 < len(evidence) and evidence[last + 1] >= evidence[first]:
        last += 1
    return (first + last) // 2


def surprise(evidence: float, lines: int, trials: int) -> float:
    """How likely noise alone would show so much somewhere.

    Parameters
    ----------
    evidence : float
        Of a fit.
    lines : int
        Of its comb.
    trials : int
        Places in all spectra that were tried.

    Returns
    -------
    float
        At most 1.

    References
    ----------
    The sum of exponentials is a gamma variable; trials counted after Bonferroni (by definition).

    Examples
    --------
    >>> surprise(3.0, 3, 100), surprise(60.0, 3, 100) < 1e-15
    (1.0, True)
    """
    return min(1.0, trials * float(gamma.sf(evidence, lines)))


def without(strength: Floats, step_hz: float, comb: Comb, ratio: float) -> Floats:
    """A spectrum with the lines of a comb taken out.

    Parameters
    ----------
    strength : ndarray, shape (lines,)
    step_hz : float
    comb : Comb
    ratio : float
        Where it fits.

    Returns
    -------
    ndarray, shape (lines,)
        Zero at its lines and two steps beside them, as wide as the window's own line.

    References
    ----------
    By definition.

    Examples
    --------
    >>> comb = Comb("a", 10.0, ((1, 0),), 0.0, 0.0, (1, 0))
    >>> without(np.ones(14), 1.0, comb, 1.0).tolist()[7:14]
    [1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0]
    """
    left = strength.copy()
    orders, sides = comb.reach
    for order in range(1, orders + 1):
        for side in range(-sides, sides + 1):
            at = (order * comb.base_hz * ratio + side * comb.side_hz) / step_hz
            wide = 2 + 0.002 * at  # jitter of the interval broadens a line as it rises
            low, high = math.ceil(at - wide), math.floor(at + wide) + 1
            left[max(low, 0) : max(high, 0)] = 0.0
    return left
