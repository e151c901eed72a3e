"""What outcomes say of the shares they were guessed with: counts, and shifts of odds."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SAMPLE = 4.0  # outcomes that a judged share is worth (judgement)
NEAR = 1e-3  # no share counts as nearer to 0 or 1
WIDEST = 20.0  # log odds: no shift is larger
STEPS = 100  # bisection alone would need about 45; Newton's steps make it about 6
CLOSE = 1e-12


def learned_share(share: float, came: float, looked: float, sample: float = SAMPLE) -> float:
    """A share after some outcomes: the mean of its Beta distribution.

    Parameters
    ----------
    share : float
        Guessed before, 0 to 1.
    came, looked : float
        How often it was there, of how many looked at.
    sample : float
        How many outcomes the guess is worth.

    Returns
    -------
    float

    References
    ----------
    Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 2.4 (Beta and binomial).

    Examples
    --------
    >>> round(learned_share(0.2, came=3, looked=5, sample=10), 4)
    0.3333
    """
    return (sample * share + came) / (sample + looked)


def share_between(
    share: float, came: float, looked: float, sample: float = SAMPLE, inside: float = 0.9
) -> tuple[float, float]:
    """The range a share lies in after some outcomes, as much left out on either side.

    Parameters
    ----------
    share, came, looked, sample : float
        As for :func:`learned_share`.
    inside : float
        Chance of lying inside.

    Returns
    -------
    low, high : float

    References
    ----------
    Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 2.4 (Beta and binomial).

    Examples
    --------
    >>> low, high = share_between(0.2, came=3, looked=5, sample=10)
    >>> round(low, 4), round(high, 4)
    (0.1527, 0.54)
    """
    from scipy.special import betaincinv  # late: counting alone does not need it

    yes, no = sample * share + came, sample * (1.0 - share) + looked - came
    tail = (1.0 - inside) / 2.0
    low, high = betaincinv(yes, no, [tail, 1.0 - tail])
    return float(low), float(high)


def chance_of_all(
    share: float, came: float, looked: float, next_ones: int, sample: float = SAMPLE
) -> float:
    """Chance that the next few all have it, the share itself being unsure.

    Parameters
    ----------
    share, came, looked, sample : float
        As for :func:`learned_share`.
    next_ones : int
        How many.

    Returns
    -------
    float

    References
    ----------
    Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 2.4 (Beta and binomial).

    Examples
    --------
    >>> round(chance_of_all(0.2, came=3, looked=5, next_ones=2, sample=10), 4)
    0.125
    """
    yes, whole = sample * share + came, sample + looked
    return math.prod((yes + place) / (whole + place) for place in range(next_ones))


def offset(
    shares: ArrayLike,
    came: ArrayLike,
    centre: float,
    sample: float = SAMPLE,
    weights: ArrayLike | None = None,
) -> float:
    """By how much the log odds of guessed shares were too low, shrunk to none.

    Parameters
    ----------
    shares : array_like, shape (outcomes,)
        Guessed before each outcome, whatever had been found till then.
    came : array_like of bool, shape (outcomes,)
        Whether it was there.
    centre : float
        The share that the sample is taken to have confirmed.
    sample : float
        How many outcomes it is worth.
    weights : array_like, shape (outcomes,), optional
        What each outcome counts; one if left out.

    Returns
    -------
    float
        To be added to log odds; zero without outcomes.

    Notes
    -----
    The most likely common shift d of all log odds, with ``sample`` outcomes that came true at
    the share ``centre``: sample (centre - s(centre)) + sum of (came - s(share)) = 0, where s
    adds d to a share's log odds. Where nothing had been found and all shares are the centre this
    is exactly the mean of the Beta distribution; where findings had raised a share, the outcome
    is held against the raised one, so that looking first at what is suspected biases nothing.
    The left side falls as d rises: the root is unique. Newton's steps, kept in a bracket.

    References
    ----------
    Own definition; with equal shares that of :func:`learned_share`.

    Examples
    --------
    >>> moved = shifted(0.2, offset([0.2] * 5, [1, 1, 1, 0, 0], 0.2, sample=10))
    >>> round(moved, 4)
    0.3333
    >>> offset([], [], 0.3)
    0.0
    """
    told, true = paired(inside(shares), came)
    if told.size == 0:
        return 0.0
    at = np.append(_logit(told), log_odds(centre))
    aim = np.append(true, float(inside(centre)))
    counts = np.ones(told.size) if weights is None else np.asarray(weights, dtype=np.float64)
    weight = np.append(counts, sample)
    low, high, d = -WIDEST, WIDEST, 0.0
    for _ in range(STEPS):
        now = _logistic(at + d)
        gap = float(weight @ (aim - now))
        low, high = (d, high) if gap > 0.0 else (low, d)
        step = d + gap / float(weight @ (now * (1.0 - now)))
        moved = step if low < step < high else 0.5 * (low + high)
        if abs(moved - d) <= CLOSE:
            return moved
        d = moved
    return d


def log_odds(share: float) -> float:
    """Natural log odds of a share, taken no nearer to 0 or 1 than one in a thousand.

    Parameters
    ----------
    share : float
        0 to 1.

    Returns
    -------
    float

    References
    ----------
    By definition.

    Examples
    --------
    >>> log_odds(0.5), round(log_odds(0.0), 3)
    (0.0, -6.907)
    """
    return float(_logit(inside(share)))


def shifted(share: float, by: float) -> float:
    """A share with something added to its log odds.

    Parameters
    ----------
    share : float
        0 to 1; the ends stay where they are.
    by : float
        Natural log of what its odds are multiplied by.

    Returns
    -------
    float

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(shifted(0.2, math.log(4)), 6)
    0.5
    """
    if share <= 0.0 or share >= 1.0:
        return share
    return float(_logistic(np.float64(math.log(share) - math.log1p(-share) + by)))


def paired(shares: ArrayLike, came: ArrayLike) -> tuple[Floats, Floats]:
    """Shares and outcomes as arrays of one shape.

    Parameters
    ----------
    shares : array_like, shape (outcomes,)
    came : array_like of bool, shape (outcomes,)

    Returns
    -------
    shares, came : ndarray, shape (outcomes,)

    Raises
    ------
    ValueError
        They differ in number.

    References
    ----------
    By definition.

    Examples
    --------
    >>> [one.tolist() for one in paired(0.5, True)]
    [[0.5], [1.0]]
    """
    told = np.atleast_1d(np.asarray(shares, dtype=np.float64))
    true = np.atleast_1d(np.asarray(came, dtype=np.float64))
    if told.shape != true.shape:
        raise ValueError("each share needs its outcome")
    return told, true


def inside(shares: ArrayLike) -> Floats:
    """Shares taken no nearer to 0 or 1 than one in a thousand.

    Parameters
    ----------
    shares : array_like

    Returns
    -------
    ndarray, same shape

    References
    ----------
    Own definition.

    Examples
    --------
    >>> inside([0.0, 0.5]).tolist()
    [0.001, 0.5]
    """
    return np.clip(np.asarray(shares, dtype=np.float64), NEAR, 1.0 - NEAR)


def _logit(share: Floats) -> Floats:
    return np.asarray(np.log(share) - np.log1p(-share))


def _logistic(value: Floats | np.float64) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-value)), dtype=np.float64)
