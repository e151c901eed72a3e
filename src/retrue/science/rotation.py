"""How truly a spindle turns: what repeats, what does not, and what is the ball's own form."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.bound import Bound, upper_bound
from retrue.science.least_squares import fit

Floats = NDArray[np.float64]
MOST_REDRAWN = 40_000  # readings
MOST_WAVES = 30  # a turn: finer form is roughness
FEWEST = 6  # places of one turn: a circle takes three, and something must be left to look at


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ErrorMotion:
    """Readings against a ball, ``r`` turns at the same ``n`` places; all in the readings' unit.

    Attributes
    ----------
    profile, low, high : ndarray, shape (n,)
        At each place: mean, lowest and highest over the turns, less the least-squares circle.
    synchronous : float
        Range of the profile: what repeats with every turn.
    asynchronous : float or None
        Largest range of one place over the turns; None from one turn.
    total : float
        Range of all readings, less the circle.
    across, up : float
        Centre of the ball: cosine and sine part of once a turn.
    eccentricity, direction_deg : float
        Its distance from the axis, and the place where the reading is highest by it.
    centre_uncertainty : float or None
        Of ``across`` and ``up`` alike, k = 1; None where nothing is known of a reading's doubt.
    scatter : float or None
        Spread of one reading from turn to turn; None from one turn.
    freedom : int
        Degrees of freedom of the scatter.
    """

    profile: Floats
    low: Floats
    high: Floats
    synchronous: float
    asynchronous: float | None
    total: float
    across: float
    up: float
    eccentricity: float
    direction_deg: float
    centre_uncertainty: float | None
    scatter: float | None
    freedom: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Separated:
    """What belongs to the ball and what to the spindle, shape (n,) each, less their circles."""

    part: Floats
    spindle: Floats


def error_motion(
    angles_deg: ArrayLike, readings: ArrayLike, *, reading_sd: float | None = None
) -> ErrorMotion:
    """Error motion of a spindle from readings against a ball, turn after turn.

    Parameters
    ----------
    angles_deg : array_like, shape (n,)
        Places of one turn, all round.
    readings : array_like, shape (r, n)
        One row a turn; positive: the ball stands nearer to the indicator.
    reading_sd : float or None
        Standard uncertainty of one reading where it is known.

    Returns
    -------
    ErrorMotion

    Raises
    ------
    ValueError
        Fewer than six places, or shapes that do not fit together.

    Notes
    -----
    The doubt of the centre is taken from the larger of the scatter and ``reading_sd``: what
    wanders from turn to turn moves the centre as a bad reading does.

    References
    ----------
    ISO 230-7:2015, terms synchronous, asynchronous and total error motion (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> places = np.arange(0, 360, 30)
    >>> turn = np.radians(places)
    >>> made = error_motion(places, [3 * np.cos(turn) + np.cos(2 * turn)])
    >>> round(made.eccentricity, 9), round(made.synchronous, 9), made.asynchronous
    (3.0, 2.0, None)
    """
    values = np.asarray(readings, dtype=np.float64)
    design = circle_design(angles_deg)
    if values.ndim != 2 or values.shape[1] != len(design) or not len(values):
        raise ValueError("one row a turn, one column a place")
    mean = values.mean(axis=0)
    made = fit(design, mean)
    freedom = (len(values) - 1) * len(design)
    scatter = float(np.sqrt(((values - mean) ** 2).sum() / freedom)) if freedom else None
    known = [one for one in (scatter, reading_sd) if one is not None]
    left = values - design @ made.parameters
    spans = np.ptp(left, axis=0)
    _, across, up = (float(one) for one in made.parameters)
    unit = fit(design, mean, reading_sd=1.0).standard_uncertainties[1:].max()
    return ErrorMotion(
        profile=made.residuals,
        low=left.min(axis=0),
        high=left.max(axis=0),
        synchronous=float(np.ptp(made.residuals)),
        asynchronous=float(spans.max()) if freedom else None,
        total=float(np.ptp(left)),
        across=across,
        up=up,
        eccentricity=math.hypot(across, up),
        direction_deg=math.degrees(math.atan2(up, across)) % 360,
        centre_uncertainty=float(unit) * max(known) / math.sqrt(len(values)) if known else None,
        scatter=scatter,
        freedom=freedom,
    )


def circle_design(angles_deg: ArrayLike) -> Floats:
    """The columns of a least-squares circle seen by an indicator: mean, cosine, sine.

    Parameters
    ----------
    angles_deg : array_like, shape (n,)
        Six places or more.

    Returns
    -------
    ndarray, shape (n, 3)

    Raises
    ------
    ValueError
        Fewer than six places.

    References
    ----------
    By definition: a small eccentricity reads as one wave a turn.

    Examples
    --------
    >>> circle_design([0, 60, 120, 180, 240, 300])[0].tolist()
    [1.0, 1.0, 0.0]
    """
    turned = np.radians(np.asarray(angles_deg, dtype=np.float64))
    if turned.ndim != 1 or len(turned) < FEWEST:
        raise ValueError("six places of one turn at least")
    return np.column_stack([np.ones(len(turned)), np.cos(turned), np.sin(turned)])


def reversal(angles_deg: ArrayLike, first: ArrayLike, reversed_: ArrayLike) -> Separated:
    """Part the ball's own form from the spindle's motion by turning ball and indicator half round.

    Parameters
    ----------
    angles_deg : array_like, shape (n,)
        Places of the spindle.
    first, reversed_ : array_like, shape (n,)
        Mean readings before and after ball and indicator were both turned by half a turn.

    Returns
    -------
    Separated

    Raises
    ------
    ValueError
        Fewer than six places, or shapes that do not fit together.

    Notes
    -----
    First = part + spindle, reversed = part - spindle. Each loses its own circle first: the ball is
    never put back on the same centre.

    References
    ----------
    Donaldson, A simple method for separating spindle error from test ball roundness error, CIRP
    Annals 21 (1972) 125 (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> places = np.arange(0, 360, 30)
    >>> part = np.cos(np.radians(2 * places))
    >>> made = reversal(places, part + 1, part - 1)
    >>> bool(np.allclose(made.part, part)), bool(np.allclose(made.spindle, 0))
    (True, True)
    """
    one, other = (_left(angles_deg, trace) for trace in (first, reversed_))
    return Separated(part=(one + other) / 2, spindle=(one - other) / 2)


def positions(angles_deg: ArrayLike, traces: ArrayLike, turned_deg: ArrayLike) -> Separated:
    """Part the ball from the spindle by setting the ball to several positions on the spindle.

    Parameters
    ----------
    angles_deg : array_like, shape (n,)
        Places of the spindle, evenly spaced over a whole turn, rising.
    traces : array_like, shape (m, n)
        Mean readings, one row a position of the ball.
    turned_deg : array_like, shape (m,)
        How far the ball was turned on the spindle: evenly round, in whole steps between places.

    Returns
    -------
    Separated

    Raises
    ------
    ValueError
        Uneven places or positions, positions between places, fewer than two, or shapes that do
        not fit.

    Notes
    -----
    For m positions the ball's own form falls out of the mean but for waves that
    repeat m, 2 m ... times a turn: those stay with the spindle.

    References
    ----------
    Estler, Evans, Shao, on multi-position averaging (NIST manuscript 820842, from memory).

    Examples
    --------
    >>> import numpy as np
    >>> places, turns = np.arange(0, 360, 30), [0, 90, 180, 270]
    >>> ball = [np.cos(np.radians(2 * (places - turn))) for turn in turns]
    >>> made = positions(places, ball, turns)
    >>> bool(np.allclose(made.spindle, 0)), bool(np.allclose(made.part, ball[0]))
    (True, True)
    """
    places = np.asarray(angles_deg, dtype=np.float64)
    rows = np.asarray(traces, dtype=np.float64)
    turned = np.asarray(turned_deg, dtype=np.float64)
    if rows.ndim != 2 or len(rows) < 2 or len(turned) != len(rows):
        raise ValueError("two positions at least, one row each")
    step = 360 / len(places)
    if not np.allclose(np.diff(places), step, atol=1e-6):
        raise ValueError("places evenly spaced over a whole turn")
    shifts = turned / step
    if not np.allclose(shifts, np.round(shifts), atol=1e-6):
        raise ValueError("positions in whole steps between places")
    round_ = np.sort(turned % 360)
    if not np.allclose(np.diff(np.append(round_, round_[0] + 360)), 360 / len(rows), atol=1e-6):
        raise ValueError("positions evenly round the spindle")
    left = np.array([_left(places, row) for row in rows])
    spindle = left.mean(axis=0)
    back = [np.roll(row - spindle, -round(shift)) for row, shift in zip(left, shifts, strict=True)]
    return Separated(part=np.mean(back, axis=0), spindle=spindle)


def range_bound(angles_deg: ArrayLike, profile: ArrayLike, sd: float, *, seed: int) -> Bound:
    """How far the range of a profile may be off, circle removed.

    Parameters
    ----------
    angles_deg, profile : array_like, shape (n,)
        Places and values.
    sd : float
        Standard uncertainty of one value of the profile.
    seed : int
        Of the draws.

    Returns
    -------
    Bound
        A largest value: noise lifts it.

    References
    ----------
    Our own: parametric bootstrap of the range about the least-squares circle.

    Examples
    --------
    >>> import numpy as np
    >>> places = np.arange(0, 360, 30)
    >>> made = range_bound(places, np.cos(np.radians(2 * places)), 0.05, seed=7)
    >>> round(made.value, 6), made.bias > 0, made.upper > 2
    (2.0, True, True)
    """
    design = circle_design(angles_deg)
    circle = np.linalg.pinv(design).T
    return upper_bound(
        lambda sets: np.ptp(sets - (sets @ circle) @ design.T, axis=-1),
        profile,
        lambda source, count: sd * source.standard_normal((count, len(design))),
        seed=seed,
    )


def spread_bound(readings: ArrayLike, sd: float, *, seed: int) -> Bound:
    """How far the largest spread of one place over the turns may be off.

    Parameters
    ----------
    readings : array_like, shape (r, n)
        One row a turn.
    sd : float
        Standard uncertainty of one reading of the instrument.
    seed : int
        Of the draws.

    Returns
    -------
    Bound
        A largest value: noise lifts it.

    Notes
    -----
    Of very many readings only the places with the largest spreads are drawn again.

    References
    ----------
    Our own: parametric bootstrap of the largest range.

    Examples
    --------
    >>> made = spread_bound([[0, 0, 0], [0, 2, 0]], 0.05, seed=7)
    >>> made.value, made.upper >= 2
    (2.0, True)
    """
    values = np.asarray(readings, dtype=np.float64)
    widest = np.argsort(-np.ptp(values, axis=0), kind="stable")
    values = values[:, widest[: max(1, MOST_REDRAWN // len(values))]]
    return upper_bound(
        lambda sets: np.ptp(sets.reshape(-1, *values.shape), axis=1).max(axis=-1),
        values.ravel(),
        lambda source, count: sd * source.standard_normal((count, values.size)),
        seed=seed,
    )


def lobes(angles_deg: ArrayLike, profile: ArrayLike) -> tuple[int, float]:
    """The strongest wave of a profile.

    Parameters
    ----------
    angles_deg, profile : array_like, shape (n,)
        Places and values, circle removed.

    Returns
    -------
    int
        Times a turn, 2 to 30, and no more than the places can show.
    float
        Half its height, in the unit of the profile.

    References
    ----------
    By definition: harmonics by least squares.

    Examples
    --------
    >>> import numpy as np
    >>> places = np.arange(0, 360, 30)
    >>> times, size = lobes(places, 0.5 * np.cos(np.radians(3 * places)))
    >>> times, round(size, 6)
    (3, 0.5)
    """
    turned = np.radians(np.asarray(angles_deg, dtype=np.float64))
    orders = np.arange(2, min((len(turned) - 1) // 2, MOST_WAVES) + 1)
    waves = turned[:, None] * orders
    made = fit(np.hstack([np.cos(waves), np.sin(waves)]), profile).parameters
    sizes = np.hypot(made[: len(orders)], made[len(orders) :])
    best = int(sizes.argmax())
    return int(orders[best]), float(sizes[best])


def _left(angles_deg: ArrayLike, trace: ArrayLike) -> Floats:
    return fit(circle_design(angles_deg), trace).residuals
