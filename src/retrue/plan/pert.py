"""Three-point guesses on paper: mean and variance of a task, the longest way, a chance by it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import erf, exp, pi, sqrt


@dataclass(frozen=True, slots=True)
class Guess:
    """How long a task takes at best, most likely, at worst; what comes before it."""

    best: float
    likely: float
    worst: float
    after: tuple[str, ...] = ()

    @property
    def mean(self) -> float:
        """Expected length."""
        return (self.best + 4 * self.likely + self.worst) / 6

    @property
    def variance(self) -> float:
        """A sixth of the range, squared."""
        return ((self.worst - self.best) / 6) ** 2

    @property
    def spread(self) -> float:
        """Standard deviation of the beta distribution itself, not a sixth of the range."""
        return sqrt((self.mean - self.best) * (self.worst - self.mean) / 7)


@dataclass(frozen=True, slots=True)
class LongestWay:
    """The longest way by expected lengths."""

    tasks: tuple[str, ...]
    mean: float
    variance: float


def longest(guesses: Mapping[str, Guess]) -> LongestWay:
    """The longest way through a network by expected lengths, with the variance along it.

    Parameters
    ----------
    guesses : mapping of task to Guess

    Returns
    -------
    LongestWay

    References
    ----------
    Malcolm, Roseboom, Clark and Fazar, "Application of a technique for research and development
    program evaluation", Operations Research 7 (1959).

    Examples
    --------
    >>> way = longest({"a": Guess(2, 5, 14), "b": Guess(1, 1, 1), "c": Guess(3, 3, 3, ("a", "b"))})
    >>> way.tasks, way.mean, way.variance
    (('a', 'c'), 9.0, 4.0)
    """
    ends: dict[str, LongestWay] = {}

    def end(key: str) -> LongestWay:
        if key not in ends:
            one = guesses[key]
            before = max((end(each) for each in one.after), key=lambda w: w.mean, default=None)
            tasks, mean, variance = (
                (before.tasks, before.mean, before.variance) if before else ((), 0.0, 0.0)
            )
            ends[key] = LongestWay((*tasks, key), mean + one.mean, variance + one.variance)
        return ends[key]

    return max((end(key) for key in guesses), key=lambda way: way.mean)


def chance_by(way: LongestWay, limit: float) -> float:
    """Chance that the longest way is done by then, taken as normal.

    Parameters
    ----------
    way : LongestWay
    limit : float

    Returns
    -------
    float
        Too high wherever other ways are nearly as long: only runs of the whole plan know that.

    References
    ----------
    Malcolm et al. 1959; the bias where ways merge: Clark 1961.
    """
    if way.variance <= 0:
        return float(limit >= way.mean)
    return normal((limit - way.mean) / sqrt(way.variance))


def normal(z: float) -> float:
    """Share of a normal distribution below so many standard deviations.

    Parameters
    ----------
    z : float

    Returns
    -------
    float

    References
    ----------
    By definition.
    """
    return (1 + erf(z / sqrt(2))) / 2


def later_of_two(
    means: Sequence[float], spreads: Sequence[float], correlation: float = 0.0
) -> float:
    """Expected end of the later of two normal ways.

    Parameters
    ----------
    means, spreads : sequence of float
        Two each.
    correlation : float

    Returns
    -------
    float

    References
    ----------
    Clark, "The greatest of a finite set of random variables", Operations Research 9 (1961).

    Examples
    --------
    >>> round(later_of_two((10, 10), (2, 2)), 6)
    11.128379
    """
    (a, b), (s, t) = means, spreads
    apart = sqrt(s * s + t * t - 2 * correlation * s * t)
    if apart == 0:
        return max(a, b)
    z = (a - b) / apart
    density = exp(-z * z / 2) / sqrt(2 * pi)
    return a * normal(z) + b * normal(-z) + apart * density
