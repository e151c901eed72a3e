"""Running in a spindle: when a step has levelled, when the next may come, where to begin again."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.give_or_take import expanded

Floats = NDArray[np.float64]
State = Literal["levelled", "changing", "cannot_tell"]

CHANGE_K, WITHIN_MINUTES = 0.5, 5.0  # levelled: less than that in that long
WINDOWS_MINUTES = (5.0, 10.0, 15.0, 20.0)
SHORT = 0.9  # of a window must be read
FEWEST = 3
STEPS_BACK = 2
COOLED_K = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Whether a temperature has levelled.

    Attributes
    ----------
    state : str
        ``levelled``, ``changing``, ``cannot_tell``.
    change_k : float
        In five minutes, signed; NaN where nothing can be said.
    give_or_take_k : float
        Of the change; infinite where nothing can be said.
    over_minutes : float
        How long a time it was read from.
    """

    state: State
    change_k: float
    give_or_take_k: float
    over_minutes: float


NOTHING = Held(state="cannot_tell", change_k=math.nan, give_or_take_k=math.inf, over_minutes=0.0)


def held(minutes: ArrayLike, temperature_c: ArrayLike, *, reading_sd: float = 0.0) -> Held:
    """Tell whether a temperature has levelled: less than 0.5 K in 5 minutes, doubt counted.

    Parameters
    ----------
    minutes : array_like, shape (n,)
        Rising, any zero; the last one is now.
    temperature_c : array_like, shape (n,)
        Degrees Celsius.
    reading_sd : float
        Standard uncertainty of one reading, kelvin; the scatter counts where it is larger.

    Returns
    -------
    Held

    Raises
    ------
    Unusable
        Unlike columns, or times that do not rise.

    Notes
    -----
    A line through the last five minutes; where its doubt is too large, through ten, fifteen and
    twenty, as long as the last five do not say otherwise. It has levelled when even the far end
    of the doubt is below the limit. Levelled is no proof that it stays so.

    References
    ----------
    The rule is common practice, no source; the doubt after JCGM 100:2008, annex G.

    Examples
    --------
    >>> held([0, 1, 2, 3, 4, 5], [30.0, 30.1, 30.0, 30.1, 30.1, 30.1]).state
    'levelled'
    >>> held([0, 1, 2, 3, 4, 5], [30.0, 30.3, 30.6, 30.8, 31.1, 31.4]).state
    'changing'
    >>> held([0, 2, 4], [30, 30, 31], reading_sd=0.3).state
    'cannot_tell'
    """
    at, seen = np.asarray(minutes, dtype=np.float64), np.asarray(temperature_c, dtype=np.float64)
    if at.ndim != 1 or at.shape != seen.shape or not (np.diff(at) > 0).all():
        raise Unusable(
            say("the times of a step do not rise, or a temperature is missing"),
            remedy=say("Sort the readings by time and give one temperature for each."),
        )
    best, last = NOTHING, math.nan
    for window in WINDOWS_MINUTES:
        one = _window(at, seen, window, reading_sd)
        if one is None:
            continue
        if math.isnan(last):
            last = one.change_k
            if one.state == "changing":
                return one
        if one.state == "levelled" and abs(last) < CHANGE_K:
            return one
        if one.give_or_take_k < best.give_or_take_k and one.state == "cannot_tell":
            best = one
    return best


def _window(at: Floats, seen: Floats, window: float, reading_sd: float) -> Held | None:
    """A line through the last while, or None where too little of it was read."""
    inside = at >= at[-1] - window - 1e-9 if len(at) else np.zeros(0, dtype=bool)
    near, there = at[inside], seen[inside]
    if len(near) < FEWEST or near[-1] - near[0] < SHORT * min(window, WITHIN_MINUTES):
        return None
    off = near - near.mean()
    spread = float(off @ off)
    slope = float(off @ there) / spread
    left = there - there.mean() - slope * off
    freedom = len(near) - 2
    scatter = expanded(math.sqrt(float(left @ left) / freedom), freedom)
    doubt = WITHIN_MINUTES * max(scatter, 2 * reading_sd) / math.sqrt(spread)
    change = WITHIN_MINUTES * slope
    state: State = "cannot_tell"
    if abs(change) + doubt < CHANGE_K:
        state = "levelled"
    elif abs(change) - doubt > CHANGE_K:
        state = "changing"
    return Held(
        state=state, change_k=change, give_or_take_k=doubt, over_minutes=float(near[-1] - near[0])
    )


def step_after_abort(step: int) -> int:
    """The step at which a run-in is taken up after an abort: two steps back.

    Parameters
    ----------
    step : int
        That was aborted, from 1.

    Returns
    -------
    int
        Never below 1.

    Raises
    ------
    ValueError
        There is no such step.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> step_after_abort(7), step_after_abort(2)
    (5, 1)
    """
    if step < 1:
        raise ValueError("steps are counted from 1")
    return max(1, step - STEPS_BACK)


def cooled(part_c: float, room_c: float) -> bool:
    """Tell whether a part has cooled enough for a second try: to within 5 K of the room.

    Parameters
    ----------
    part_c, room_c : float
        Degrees Celsius.

    Returns
    -------
    bool

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> cooled(26.0, 21.0), cooled(26.1, 21.0)
    (True, False)
    """
    return part_c - room_c <= COOLED_K


def ready(step_minutes: float, run_minutes: float, found: Held, *, sounds_clean: bool) -> bool:
    """Tell whether the next step of a run-in may be taken.

    Parameters
    ----------
    step_minutes : float
        The least this step lasts.
    run_minutes : float
        How long it has run.
    found : Held
        Of its temperature.
    sounds_clean : bool
        Nobody heard a growl, and nothing measured says so.

    Returns
    -------
    bool
        By time, by temperature and by sound; never by time alone.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> still = held([0, 1, 2, 3, 4, 5], [30.0] * 6, reading_sd=0.05)
    >>> ready(20, 25, still, sounds_clean=True), ready(20, 15, still, sounds_clean=True)
    (True, False)
    """
    return run_minutes >= step_minutes and found.state == "levelled" and sounds_clean
