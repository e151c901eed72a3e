"""Two files of sound side by side: background taken off, before and after, which source first."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.sensed_pairs import AGAIN_DB, AGAIN_INDICATIVE_DB
from retrue.cases.prove.sound_levels import Levels
from retrue.science.sound_level import (
    Correction,
    background_correction,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bare:
    """Levels without the background: those of the machine alone."""

    level_a_db: float | None
    correction: Correction | None  # of the A level
    bands: Mapping[int, tuple[float, Correction]]  # by third octaves over 1 kHz


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """After less before, with its give or take (k = 2)."""

    before_db: float
    after_db: float
    change_db: float
    give_or_take_db: float
    bands: Mapping[int, tuple[float, float, float]]  # before, change, give or take

    @property
    def told(self) -> str:
        """quieter, louder, or the same as far as these readings can tell."""
        if abs(self.change_db) <= self.give_or_take_db:
            return "same"
        return "quieter" if self.change_db < 0 else "louder"


def bare(one: Levels, background: Levels | None) -> Bare:
    """Take the background off, by the rule of the standards, level by level and band by band.

    Parameters
    ----------
    one : Levels
        With the machine on.
    background : Levels, optional
        At the same place with the machine off; left out, nothing is taken off.

    Returns
    -------
    Bare

    Raises
    ------
    Unusable
        One has bands of an octave, the other of a third.

    References
    ----------
    ISO 3744:2010, 8.2.3 (6 to 15 dB).

    Examples
    --------
    >>> loud = Levels(name="a", level_a_db=70.0, give_or_take_db=2.0)
    >>> quiet = Levels(name="b", level_a_db=63.0, give_or_take_db=2.0)
    >>> round(bare(loud, quiet).level_a_db, 1), bare(loud, None).level_a_db
    (69.0, 70.0)
    """
    _same_width(one, background)
    known = {band.third: band.level_db for band in background.bands} if background else {}
    bands = {}
    for band in one.bands:
        off = Correction(0.0, "nothing")
        if band.third in known:
            off = background_correction(band.level_db - known[band.third])
        bands[band.third] = (band.level_db - off.k1_db, off)
    correction = None
    level = one.level_a_db
    if level is not None and background is not None and background.level_a_db is not None:
        correction = background_correction(level - background.level_a_db)
        level -= correction.k1_db
    return Bare(level_a_db=level, correction=correction, bands=bands)


def change(before: Levels, after: Levels, background: Levels | None = None) -> Change | None:
    """What became of a sound, in A and band by band.

    Parameters
    ----------
    before, after : Levels
        At the same place, in the same state.
    background : Levels, optional
        Taken off both.

    Returns
    -------
    Change or None
        None where one of them has no A level.

    Raises
    ------
    Unusable
        One has bands of an octave, the other of a third.

    Notes
    -----
    The doubt of the calibration falls out where the same recorder was used in the same way; what is
    left is the doubt of doing it again, and that of the time alone. A table beside a recording was
    read with another instrument: then the doubts of both count in full.

    References
    ----------
    Differences of levels (by definition); one decibel for doing it again is our own judgement.

    Examples
    --------
    >>> one = Levels(name="a", level_a_db=93.0, give_or_take_db=2.0, calibrated=True)
    >>> two = Levels(name="b", level_a_db=83.0, give_or_take_db=2.0, calibrated=True)
    >>> made = change(one, two)
    >>> made.change_db, made.give_or_take_db, made.told
    (-10.0, 1.0, 'quieter')
    """
    _same_width(before, after)
    first, second = bare(before, background), bare(after, background)
    if first.level_a_db is None or second.level_a_db is None:
        return None
    again = again_db(before, after)
    if (before.rate_hz is None) != (after.rate_hz is None):  # a meter here, a recorder there
        again = math.hypot(before.give_or_take_db, after.give_or_take_db)
    bands = {}
    scatter = {band.third: band.scatter_db for band in before.bands}
    for band in after.bands:
        if band.third in first.bands:
            was, now = first.bands[band.third][0], second.bands[band.third][0]
            doubt = math.hypot(again, band.scatter_db, scatter[band.third])
            bands[band.third] = (was, now - was, doubt)
    return Change(
        before_db=first.level_a_db,
        after_db=second.level_a_db,
        change_db=second.level_a_db - first.level_a_db,
        give_or_take_db=math.hypot(again, before.scatter_db, after.scatter_db),
        bands=bands,
    )


def again_db(*levels: Levels) -> float:
    """How far a level may be off when it is read again at the same place, k = 2.

    Parameters
    ----------
    *levels : Levels
        All that stand side by side.

    Returns
    -------
    float

    Examples
    --------
    >>> again_db(Levels(name="a", give_or_take_db=2.0, calibrated=True))
    1.0
    """
    return AGAIN_DB if all(one.calibrated for one in levels) else AGAIN_INDICATIVE_DB


def _same_width(one: Levels, other: Levels | None) -> None:
    if other is not None and one.bands and other.bands and one.thirds != other.thirds:
        raise Unusable(
            say("{one} has third octaves and {other} octaves, or the other way round",
                one=one.name, other=other.name),
            remedy=say("Read both in the same bands."),
        )  # fmt: skip
