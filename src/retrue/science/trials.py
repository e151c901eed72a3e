"""How far a result may be off, by trial: draw the inputs many times, look at the results."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream

Floats = NDArray[np.float64]


class Distribution(Protocol):
    """What is known of one input."""

    def draw(self, source: np.random.Generator, count: int) -> Floats:
        """Give ``count`` values, shape (count,)."""


@dataclass(frozen=True, slots=True)
class Normal:
    """A best value with its standard uncertainty."""

    mean: float
    standard_uncertainty: float

    def draw(self, source: np.random.Generator, count: int) -> Floats:
        """Give ``count`` values, shape (count,)."""
        return self.mean + self.standard_uncertainty * source.standard_normal(count)


@dataclass(frozen=True, slots=True)
class Student:
    """A best value from few readings: shifted and scaled t."""

    mean: float
    scale: float
    freedom: float

    def draw(self, source: np.random.Generator, count: int) -> Floats:
        """Give ``count`` values, shape (count,)."""
        return self.mean + self.scale * source.standard_t(self.freedom, count)


@dataclass(frozen=True, slots=True)
class Rectangular:
    """Two ends, and nothing else known."""

    low: float
    high: float

    def draw(self, source: np.random.Generator, count: int) -> Floats:
        """Give ``count`` values, shape (count,)."""
        return self.low + (self.high - self.low) * source.random(count)


@dataclass(frozen=True, slots=True)
class Arcsine:
    """Something that swings between two ends, met at any time: a room's temperature."""

    low: float
    high: float

    def draw(self, source: np.random.Generator, count: int) -> Floats:
        """Give ``count`` values, shape (count,)."""
        middle, half = (self.low + self.high) / 2, (self.high - self.low) / 2
        return middle + half * np.sin(2 * math.pi * source.random(count))


@dataclass(frozen=True, slots=True)
class BlurredRectangular:
    """Two ends that are themselves uncertain, by ``blur`` either way (curvilinear trapezoid)."""

    low: float
    high: float
    blur: float

    def draw(self, source: np.random.Generator, count: int) -> Floats:
        """Give ``count`` values, shape (count,)."""
        low = self.low - self.blur + 2 * self.blur * source.random(count)
        high = self.low + self.high - low
        return low + (high - low) * source.random(count)


@dataclass(frozen=True, slots=True, eq=False)
class Trials:
    """Results of the trials.

    Attributes
    ----------
    values : ndarray, shape (trials,)
        In rising order.
    mean, standard_uncertainty : float
        Of the result.
    """

    values: Floats
    mean: float
    standard_uncertainty: float

    def shortest(self, coverage: float = 0.95) -> tuple[float, float]:
        """The shortest interval that holds this share of the results."""
        inside = _inside(coverage, len(self.values))
        spans = self.values[inside:] - self.values[:-inside]
        first = int(spans.argmin())
        return float(self.values[first]), float(self.values[first + inside])

    def symmetric(self, coverage: float = 0.95) -> tuple[float, float]:
        """The interval that leaves as many results below as above it."""
        inside = _inside(coverage, len(self.values))
        first = (len(self.values) - inside) // 2
        last = min(first + inside, len(self.values) - 1)
        return float(self.values[first]), float(self.values[last])


def propagate(
    model: Callable[..., Floats],
    inputs: Mapping[str, Distribution],
    *,
    trials: int = 200_000,
    seed: int = 7,
) -> Trials:
    """Draw all inputs, work out the result, again and again.

    Parameters
    ----------
    model : callable
        Takes every input by its name, shape (trials,), and returns as many results.
    inputs : mapping of str to Distribution
        Independent of one another.
    trials : int
        At least 100; a share of 1/(1 - coverage) of them lies outside an interval.
    seed : int
        The seed printed on the sheet; each input has a stream of its own name.

    Returns
    -------
    Trials

    Raises
    ------
    ValueError
        No input, or too few trials.

    References
    ----------
    JCGM 101:2008, 5.9, 6.4, 7; shortest interval 5.3.4 and 7.7.

    Examples
    --------
    >>> both = propagate(lambda a, b: a + b, {"a": Normal(1, 3), "b": Normal(2, 4)})
    >>> round(both.mean, 1), round(both.standard_uncertainty, 1)
    (3.0, 5.0)
    """
    if not inputs or trials < 100:
        raise ValueError("an input, and 100 trials at least")
    drawn = {
        name: one.draw(stream(seed, "trials", name), trials) for name, one in sorted(inputs.items())
    }
    values = np.sort(np.asarray(model(**drawn), dtype=np.float64))
    return Trials(values, float(values.mean()), float(values.std(ddof=1)))


def _inside(coverage: float, count: int) -> int:
    if not 0 < coverage < 1:
        raise ValueError("a chance lies between 0 and 1")
    return min(max(round(coverage * count), 1), count - 1)
