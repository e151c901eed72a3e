"""Arithmetic of levels: sums, means, differences, and the background taken off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]
Grade = Literal["engineering", "survey"]

PER_NEPER = 10.0 / float(np.log(10.0))  # 4.34 dB for a relative change of one in power
OFF_FROM_DB = 15.0  # over it a background is not taken off
LEAST_DB: dict[Grade, float] = {"engineering": 6.0, "survey": 3.0}
NOT_WORTH_DB = 10.0  # a source so far under the rest (common practice, no source)


@dataclass(frozen=True, slots=True)
class Correction:
    """What a background adds to a level, and what may be said without it."""

    k1_db: float
    ruling: Literal["nothing", "taken", "upper_bound"]


def total_db(levels_db: ArrayLike) -> float:
    """The level of several sounds at once.

    Parameters
    ----------
    levels_db : array_like, shape (n,)
        Levels of sounds that know nothing of each other; minus infinity is silence.

    Returns
    -------
    float
        ``10 lg(sum(10 ** (L / 10)))``, decibels.

    Raises
    ------
    Unusable
        No level, or one that is no number.

    References
    ----------
    Sum of squared pressures (by definition); ISO 3744:2010, 3.

    Examples
    --------
    >>> round(total_db([85, 87, 89]), 2), round(total_db([80, 80]), 2)
    (92.07, 83.01)
    """
    levels = _levels(levels_db)
    return float(10.0 * np.log10(np.sum(10.0 ** (levels / 10.0)))) if levels.size else -np.inf


def mean_db(levels_db: ArrayLike, weights: ArrayLike | None = None) -> float:
    """The level that carries the same energy as several levels one after another.

    Parameters
    ----------
    levels_db : array_like, shape (n,)
        Levels, at several places or times.
    weights : array_like, shape (n,), optional
        How long each lasted, or its area; else all the same.

    Returns
    -------
    float
        Decibels.

    Raises
    ------
    Unusable
        No level, or weights that do not fit.

    References
    ----------
    ISO 3744:2010, 8.2.2 (energy mean over places); ISO 1996-1 (equivalent level).

    Examples
    --------
    >>> round(mean_db([85, 87, 89]), 2), round(mean_db([90, 80], [1, 9]), 2)
    (87.3, 82.79)
    """
    levels = _levels(levels_db)
    given = np.ones_like(levels) if weights is None else np.asarray(weights, dtype=np.float64)
    if given.shape != levels.shape or not (given >= 0).all() or not 0 < given.sum() < np.inf:
        raise Unusable(
            say("the levels cannot be weighed"),
            remedy=say("Give one time or area from zero up for every level."),
        )
    return float(10.0 * np.log10(given @ 10.0 ** (levels / 10.0) / given.sum()))


def without_db(both_db: float, part_db: float) -> float:
    """What is left of a level when one of its sounds is taken away.

    Parameters
    ----------
    both_db, part_db : float
        The level of all, and of the one that is taken away.

    Returns
    -------
    float
        Decibels.

    Raises
    ------
    Unusable
        The part is as loud as all, or louder: the readings say nothing of the rest.

    References
    ----------
    Difference of squared pressures (by definition).

    Examples
    --------
    >>> round(without_db(93, 89), 3), round(without_db(55, 50), 2)
    (90.795, 53.35)
    """
    both, part = _levels([both_db, part_db]).tolist()
    if not part < both:
        raise Unusable(
            say("a part is as loud as the whole: nothing is left over"),
            remedy=say("Read both again at the same place, or take the part as all there is."),
        )
    return float(both - background_db(both - part))


def background_db(over_db: float) -> float:
    """How much a background adds, exactly and without any rule.

    Parameters
    ----------
    over_db : float
        By how much the reading lies over the background alone, over zero.

    Returns
    -------
    float
        ``-10 lg(1 - 10 ** (-0.1 * over_db))``, decibels.

    Raises
    ------
    Unusable
        The reading does not lie over the background.

    References
    ----------
    ISO 3744:2010, 8.2.3, formula of K1 (by definition).

    Examples
    --------
    >>> round(background_db(3), 2), round(background_db(10), 2)
    (3.02, 0.46)
    """
    if not over_db > 0:
        raise Unusable(
            say("the reading does not lie over the background"),
            remedy=say("Read at a quieter hour, or nearer to the machine."),
        )
    return float(-10.0 * np.log10(-np.expm1(-over_db / PER_NEPER)))


def background_correction(over_db: float, grade: Grade = "engineering") -> Correction:
    """How much a background adds, by the rule of the standards.

    Parameters
    ----------
    over_db : float
        By how much the reading lies over the background alone; may be below zero.
    grade : str
        ``engineering`` (ISO 3744) takes off 6 to 15 dB, ``survey`` (ISO 3746) 3 to 15 dB.

    Returns
    -------
    Correction
        Over 15 dB nothing is taken off. Under 6 dB (survey: 3 dB) no more than what belongs to
        that is taken off, and what is left is an upper bound.

    Raises
    ------
    Unusable
        The difference is no number.

    References
    ----------
    ISO 3744:2010, 8.2.3 and ISO 3746:2010, 8.2.3 (limits 6 and 15 dB seen in secondary sources;
    3 dB from memory).

    Examples
    --------
    >>> [round(background_correction(over).k1_db, 2) for over in (15.1, 15, 10, 6, 4)]
    [0.0, 0.14, 0.46, 1.26, 1.26]
    >>> background_correction(4).ruling, background_correction(4, "survey").ruling
    ('upper_bound', 'taken')
    """
    if not np.isfinite(over_db):
        raise Unusable(
            say("the background is no level"),
            remedy=say("Read it again with the machine off."),
        )
    if over_db > OFF_FROM_DB:
        return Correction(0.0, "nothing")
    least = LEAST_DB[grade]
    if over_db < least:
        return Correction(background_db(least), "upper_bound")
    return Correction(background_db(over_db), "taken")


@dataclass(frozen=True, slots=True)
class Source:
    """One sound among others, told by switching it off."""

    name: str
    level_db: float | None  # its own; None where switching it off changed too little
    at_most_db: float  # its own level is no more than this
    gain_db: float  # what silencing it altogether takes off the sum, as read
    gain_at_most_db: float  # the same with the doubt of both readings on its side
    worth_treating: bool | None  # None where the readings cannot tell


def sources(
    all_db: float, without: dict[str, float], give_or_take_db: float = 0.0
) -> tuple[Source, ...]:
    """Which source is loudest, from the level with all of them and with one switched off at a time.

    Parameters
    ----------
    all_db : float
        Everything runs.
    without : dict of str to float
        Level with that one source off, all others on.
    give_or_take_db : float
        Of the difference of two readings at the same place, minutes apart, k = 2.

    Returns
    -------
    tuple of Source
        Loudest first; those that cannot be told come last.

    Raises
    ------
    Unusable
        It got much louder when something was switched off: not the same state twice.

    Notes
    -----
    The most that treating a source can gain, given the others, is what switching it off gains. A
    source ten decibels under the rest gains 0.4 dB and is not worth treating.

    References
    ----------
    Difference of squared pressures (by definition); ten decibels are common practice, no source.

    Examples
    --------
    >>> first, second = sources(84.0, {"pump": 82.0, "fan": 83.9})
    >>> first.name, round(first.level_db, 2), round(first.gain_db, 2), first.worth_treating
    ('pump', 79.67, 2.0, True)
    >>> second.name, second.worth_treating
    ('fan', False)
    """
    doubt = float(give_or_take_db)
    made = [_source(name, all_db, level, doubt) for name, level in without.items()]
    return tuple(sorted(made, key=lambda one: (one.level_db is None, -one.gain_db, one.name)))


def _source(name: str, all_db: float, off_db: float, doubt: float) -> Source:
    _levels([all_db, off_db])
    gain = all_db - off_db
    if gain < -max(doubt, 1.0):
        raise Unusable(
            say("with {name} off it is {more} dB louder", name=name, more=short(-gain, ".1f")),
            remedy=say("Read both again: same place, same speed, everything else on."),
        )
    most = max(gain + doubt, 0.0)
    least = gain - doubt
    told = gain > 0 and least > 0
    threshold = total_db([0.0, -NOT_WORTH_DB])  # 0.41 dB: what one ten under the rest adds to it
    worth = True if least >= threshold else False if most < threshold else None
    return Source(
        name=name,
        level_db=without_db(all_db, off_db) if told else None,
        at_most_db=all_db + 10.0 * float(np.log10(max(1.0 - 10.0 ** (-most / 10.0), 1e-12))),
        gain_db=max(gain, 0.0),
        gain_at_most_db=most,
        worth_treating=worth,
    )


def _levels(levels_db: ArrayLike) -> Floats:
    levels = np.atleast_1d(np.asarray(levels_db, dtype=np.float64))
    if levels.ndim != 1 or levels.size == 0 or not (levels < np.inf).all():
        raise Unusable(
            say("a level is missing"),
            remedy=say("Write each level in decibels; leave out what was not read."),
        )
    return levels
