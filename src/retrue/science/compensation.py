"""Tables for a control: pitch error and reversal, and what the axis then does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Side = Literal["backward", "forward"]


@dataclass(frozen=True, slots=True, eq=False)
class Compensation:
    """What to enter, and the mean deviations that are left; micrometres.

    Attributes
    ----------
    absolute : ndarray, shape (targets,)
        Added to the position at each target; zero at the reference.
    incremental : ndarray, shape (targets,)
        Step from the target before; the first is counted from zero.
    reversal : float
        Lost motion that the control makes good, plus for lost motion; 0 if none is entered.
    forward, backward : ndarray, shape (targets,)
        Mean deviations after.
    """

    absolute: Floats
    incremental: Floats
    reversal: float
    forward: Floats
    backward: Floats

    @property
    def systematic(self) -> float:
        """E after: the range of all means."""
        every = np.concatenate([self.forward, self.backward])
        return float(every.max() - every.min())


def uniform_reversal(reversals: ArrayLike, *, spread_um: float) -> tuple[float, bool]:
    """The part of the lost motion that is the same everywhere.

    Parameters
    ----------
    reversals : array_like, shape (targets,)
        Forward less backward, micrometres.
    spread_um : float
        Reversals that differ by no more count as uniform.

    Returns
    -------
    tuple of (float, bool)
        Lost motion to enter (plus for lost motion), and whether the reversals are uniform. The
        mean where they are; else the least, as more would push the axis over where it is good;
        0 where their signs differ.

    References
    ----------
    Common practice, no source: only what is uniform is compensated, the rest is wear.

    Examples
    --------
    >>> uniform_reversal([-6.0, -6.5, -5.5], spread_um=5.0)
    (6.0, True)
    >>> uniform_reversal([-6.0, -20.0, -5.0], spread_um=5.0)
    (5.0, False)
    """
    values = np.asarray(reversals, dtype=np.float64)
    if np.ptp(values) <= spread_um:
        return float(-values.mean()), True
    if (values < 0).all() or (values > 0).all():
        return float(-values[np.argmin(np.abs(values))]), False
    return 0.0, False


def compensate(
    forward: ArrayLike,
    backward: ArrayLike,
    *,
    increment_um: float,
    lost_motion_um: float = 0.0,
    side: Side = "backward",
    reference: int = 0,
    enter_reversal: bool = True,
) -> Compensation:
    """Work out a pitch table and a reversal value, and run the axis through them.

    Parameters
    ----------
    forward, backward : array_like, shape (targets,)
        Mean deviations, micrometres.
    increment_um : float
        Least step of the control, for table and reversal alike.
    lost_motion_um : float
        To be made good, plus for lost motion; rounded to the increment here.
    side : "backward" or "forward"
        In which approach the control adds the lost motion.
    reference : int
        Index of the target at which the table stays zero.
    enter_reversal : bool
        False, or nothing is lost: the table is laid through the mean of both directions.

    Returns
    -------
    Compensation

    Raises
    ------
    ValueError
        The increment is not over zero, or the shapes differ.

    References
    ----------
    By definition; our own rule. What is left: E is at most the range of the reversals about
    the value entered plus one and a half increments.

    Examples
    --------
    >>> made = compensate([0, 2, 5], [6, 8.5, 10.5], increment_um=1.0, lost_motion_um=6.0)
    >>> made.absolute.tolist(), made.backward.tolist(), made.systematic
    ([0.0, -2.0, -5.0], [0.0, 0.5, -0.5], 1.0)
    """
    ahead = np.asarray(forward, dtype=np.float64)
    back = np.asarray(backward, dtype=np.float64)
    if increment_um <= 0 or ahead.shape != back.shape or ahead.ndim != 1:
        raise ValueError("an increment over zero and two rows of one length")
    lost = _rounded(np.asarray(lost_motion_um), increment_um) if enter_reversal else 0.0
    base = (ahead + back) / 2
    if lost:
        base = ahead if side == "backward" else back
    table = -_rounded(base - base[reference], increment_um) + 0.0
    after_forward, after_backward = ahead + table, back + table
    if side == "backward":
        after_backward = after_backward - lost
    else:
        after_forward = after_forward + lost
    return Compensation(
        absolute=table,
        incremental=np.diff(table, prepend=0.0),
        reversal=float(lost),
        forward=after_forward,
        backward=after_backward,
    )


def entries(made: Compensation, *, incremental: bool, sign: int) -> Floats:
    """The table as this control wants it typed.

    Parameters
    ----------
    made : Compensation
        What to make good.
    incremental : bool
        Steps from target to target instead of values counted from the reference.
    sign : 1 or -1
        1: the control adds an entry to the commanded position; -1: it takes it off.

    Returns
    -------
    ndarray, shape (targets,)
        Micrometres.

    References
    ----------
    By definition.

    Examples
    --------
    >>> made = compensate([0, 2, 5], [6, 8.5, 10.5], increment_um=1.0, lost_motion_um=6.0)
    >>> entries(made, incremental=True, sign=-1).tolist()
    [0.0, 2.0, 3.0]
    """
    return sign * (made.incremental if incremental else made.absolute) + 0.0


def played_back(
    forward: ArrayLike,
    backward: ArrayLike,
    typed: ArrayLike,
    *,
    incremental: bool,
    sign: int,
    reversal_um: float,
    side: Side,
) -> tuple[Floats, Floats]:
    """Run an axis through typed entries, as the control would.

    Parameters
    ----------
    forward, backward : array_like, shape (targets,)
        Mean deviations before, micrometres.
    typed : array_like, shape (targets,)
        The table as entered.
    incremental : bool
        The control sums the entries up.
    sign : 1 or -1
        1: it adds them; -1: it takes them off.
    reversal_um : float
        Lost motion it makes good.
    side : "backward" or "forward"
        In which approach.

    Returns
    -------
    tuple of (ndarray, ndarray)
        Mean deviations after, forward and backward.

    References
    ----------
    By definition.

    Examples
    --------
    >>> ahead, back = played_back([0, 2], [6, 8], [0, -2], incremental=False, sign=1,
    ...                           reversal_um=6.0, side="backward")
    >>> ahead.tolist(), back.tolist()
    ([0.0, 0.0], [0.0, 0.0])
    """
    table = np.asarray(typed, dtype=np.float64) * sign
    table = np.cumsum(table) if incremental else table
    ahead = np.asarray(forward, dtype=np.float64) + table
    back = np.asarray(backward, dtype=np.float64) + table
    if side == "backward":
        return ahead, back - reversal_um
    return ahead + reversal_um, back


def _rounded(values: Floats, step: float) -> Floats:
    """To the nearest step, halves away from zero as a person rounds."""
    return np.asarray(np.sign(values) * np.floor(np.abs(values) / step + 0.5) * step)


def slope_um_per_m(targets_mm: ArrayLike, deviations_um: ArrayLike) -> float:
    """How the deviations grow over the travel.

    Parameters
    ----------
    targets_mm, deviations_um : array_like, shape (targets,)
        Two targets at least.

    Returns
    -------
    float
        Micrometres a metre, least squares: heat or a wrong scale, if it is all there is.

    Raises
    ------
    ValueError
        All targets are the same.

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(slope_um_per_m([0, 100, 200], [0, 3, 6]), 6)
    30.0
    """
    places = np.asarray(targets_mm, dtype=np.float64)
    values = np.asarray(deviations_um, dtype=np.float64)
    arms = places - places.mean()
    if not arms.any():
        raise ValueError("targets at one place have no slope")
    return float(arms @ (values - values.mean()) / (arms @ arms) * 1000)
