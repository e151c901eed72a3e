"""A working day in noise: dose and time allowed under three rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from retrue.base.formatter import short
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.sound_level import PER_NEPER

SHIFT_HOURS = 8.0
DAY_HOURS = 24.0
OSHA_DB, OSHA_EXCHANGE_DB = 90.0, 5.0
OSHA_COUNTS_FROM_DB = 80.0  # for the action level
OSHA_LIMIT_COUNTS_FROM_DB = 90.0  # for the permissible level
OSHA_CEILING_DB = 115.0
OSHA_ACTION_PERCENT = 50.0
NIOSH_DB, NIOSH_EXCHANGE_DB = 85.0, 3.0
NIOSH_COUNTS_FROM_DB = 80.0
EU_LOWER_DB, EU_UPPER_DB, EU_LIMIT_DB = 80.0, 85.0, 87.0
EU_LOWER_PEAK_DB, EU_UPPER_PEAK_DB, EU_LIMIT_PEAK_DB = 135.0, 137.0, 140.0

Rule = Literal["osha", "niosh", "eu_lower", "eu_upper", "eu_limit"]


@dataclass(frozen=True, slots=True)
class Stay:
    """So many hours at one level."""

    level_db: float  # A-weighted
    hours: float


@dataclass(frozen=True, slots=True)
class Day:
    """A day under all rules."""

    hours: float
    osha_percent: float  # all from 80 dBA counted: 50 per cent is the action level
    osha_limit_percent: float  # all from 90 dBA counted: 100 per cent is the limit
    osha_twa_db: float
    niosh_percent: float
    niosh_twa_db: float
    lex_8h_db: float  # what the European rule is held against
    over_ceiling: bool  # some of it is over 115 dBA


def allowed_hours(level_db: float, rule: Rule) -> float:
    """How long a level fills a rule's day.

    Parameters
    ----------
    level_db : float
        A-weighted, at the ear.
    rule : str
        ``osha`` (90 dBA, 5 dB), ``niosh`` (85 dBA, 3 dB); ``eu_lower`` 80, ``eu_upper`` 85 and
        ``eu_limit`` 87 dB(A), where ten decibels are ten times less.

    Returns
    -------
    float
        Hours; may be more than a day has.

    Raises
    ------
    Unusable
        No level.

    References
    ----------
    29 CFR 1910.95, appendix A, table G-16A: ``8 / 2 ** ((L - 90) / 5)``. NIOSH 98-126, 1.1:
    ``8 / 2 ** ((L - 85) / 3)``. 2003/10/EC, articles 2 and 3, by ISO 1999 (from memory).

    Examples
    --------
    >>> round(allowed_hours(93, "osha"), 2), round(allowed_hours(93, "niosh"), 2)
    (5.28, 1.26)
    >>> round(allowed_hours(93, "eu_limit"), 2), allowed_hours(85, "niosh")
    (2.01, 8.0)
    """
    if not np.isfinite(level_db):
        raise Unusable(
            say("a level is missing"),
            remedy=say("Write the level at the ear in dB(A)."),
        )
    if rule == "osha":
        return float(SHIFT_HOURS / 2.0 ** ((level_db - OSHA_DB) / OSHA_EXCHANGE_DB))
    if rule == "niosh":
        return float(SHIFT_HOURS / 2.0 ** ((level_db - NIOSH_DB) / NIOSH_EXCHANGE_DB))
    limit = {"eu_lower": EU_LOWER_DB, "eu_upper": EU_UPPER_DB, "eu_limit": EU_LIMIT_DB}[rule]
    return float(SHIFT_HOURS * np.exp((limit - level_db) / PER_NEPER))


def day(stays: Sequence[Stay]) -> Day:
    """Dose and day's level of a mixed day.

    Parameters
    ----------
    stays : sequence of Stay
        All noisy parts of a day; what is quiet may be left out.

    Returns
    -------
    Day

    Raises
    ------
    Unusable
        No stay, hours that are none, or more hours than a day has.

    References
    ----------
    29 CFR 1910.95, appendix A: ``D = 100 sum(C / T)``, ``TWA = 16.61 lg(D / 100) + 90``; dose for
    the action level counts 80 to 130 dBA, that for the limit 90 dBA and more. NIOSH 98-126, 1.1:
    ``TWA = 10 lg(D / 100) + 85``. ISO 9612:2009: ``LEX,8h`` (from memory).

    Examples
    --------
    >>> made = day([Stay(95, 2), Stay(90, 4), Stay(85, 2)])
    >>> made.osha_percent, round(made.osha_twa_db, 2), round(made.niosh_percent, 1)
    (112.5, 90.85, 435.7)
    >>> round(made.lex_8h_db, 2), made.osha_limit_percent
    (91.37, 100.0)
    """
    hours = sum(stay.hours for stay in stays)
    if not stays or not all(0 < stay.hours < np.inf for stay in stays):
        raise Unusable(
            say("a stay has no hours"), remedy=say("Write hours over zero beside each level.")
        )
    if hours > DAY_HOURS:
        raise Unusable(
            say("the stays last {hours} hours, and a day has 24", hours=short(hours)),
            remedy=say("Write the hours of one day."),
        )
    osha, osha_limit = (
        _dose(stays, "osha", counts) for counts in (OSHA_COUNTS_FROM_DB, OSHA_LIMIT_COUNTS_FROM_DB)
    )
    niosh = _dose(stays, "niosh", NIOSH_COUNTS_FROM_DB)
    return Day(
        hours=hours,
        osha_percent=osha,
        osha_limit_percent=osha_limit,
        osha_twa_db=osha_twa_db(osha),
        niosh_percent=niosh,
        niosh_twa_db=NIOSH_DB + 10.0 * _lg(niosh / 100.0),
        lex_8h_db=lex_8h_db(stays),
        over_ceiling=any(stay.level_db > OSHA_CEILING_DB for stay in stays),
    )


def osha_twa_db(dose_percent: float) -> float:
    """The steady level of eight hours with the same dose.

    Parameters
    ----------
    dose_percent : float
        From zero up.

    Returns
    -------
    float
        dBA; minus infinity where there is no dose.

    References
    ----------
    29 CFR 1910.95, appendix A, II; 16.61 is ``5 / lg 2``.

    Examples
    --------
    >>> osha_twa_db(100), round(osha_twa_db(50), 1)
    (90.0, 85.0)
    """
    return OSHA_DB + OSHA_EXCHANGE_DB / float(np.log10(2.0)) * _lg(dose_percent / 100.0)


def lex_8h_db(stays: Sequence[Stay]) -> float:
    """The daily level of the European rule.

    Parameters
    ----------
    stays : sequence of Stay
        All noisy parts of a day.

    Returns
    -------
    float
        dB(A): all energy of the day, spread over eight hours.

    References
    ----------
    ISO 1999:2013, 3.6; 2003/10/EC, article 2 (from memory).

    Examples
    --------
    >>> round(lex_8h_db([Stay(88.0, 8.0)]), 2), round(lex_8h_db([Stay(88.0, 4.0)]), 2)
    (88.0, 84.99)
    """
    energy = sum(stay.hours * 10.0 ** (stay.level_db / 10.0) for stay in stays)
    return 10.0 * _lg(energy / SHIFT_HOURS)


def _dose(stays: Sequence[Stay], rule: Rule, counts_from_db: float) -> float:
    return 100.0 * sum(
        stay.hours / allowed_hours(stay.level_db, rule)
        for stay in stays
        if stay.level_db >= counts_from_db
    )


def _lg(value: float) -> float:
    return float(np.log10(value)) if value > 0 else -np.inf
