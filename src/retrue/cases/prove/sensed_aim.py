"""What a level, a vibration or a light is held against, and the hours that a level allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from retrue.base.say import say
from retrue.cases.prove.noise_day import RULES, finds
from retrue.cases.prove.proof import Verdict
from retrue.cases.prove.sensed import SensedLine, plain, sense
from retrue.cases.prove.sensed_finding import as_defined
from retrue.cases.prove.sensed_pairs import Pair
from retrue.kinds.library import Kind
from retrue.science.conformity import ruling_of
from retrue.science.exposure import DAY_HOURS, Day, Rule, Stay, allowed_hours, day


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """How long one level fills the day of one rule."""

    rule: Rule
    words: str  # with its source
    hours: float  # as read
    hours_with_doubt: float | None  # if it is as loud as the doubt allows


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One level at the ear: what it allows, and what the person's own hours make of it."""

    line: SensedLine
    words: str  # before, after, now
    allowed: tuple[Allowed, ...]
    day: Day | None  # None: no hours were said
    finds: tuple[str, ...] = ()  # what each rule makes of that day, doubt counted


def aim(line: SensedLine, kind: Kind | None) -> Verdict | None:
    """A reading against what a restored machine should have.

    Parameters
    ----------
    line : SensedLine
        As measured.
    kind : Kind or None
        Of the machine.

    Returns
    -------
    Verdict or None
        None where it is not read as the measure is defined, or the table has no such limit.

    Notes
    -----
    The guarded rule of ISO 14253-1; light must be at least the limit, all else at most.

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> from retrue.kinds.load import load
    >>> mill = load(only=("vertical_machining_centre",))["vertical_machining_centre"]
    >>> mill.measures["M28"].limits["accept"]
    ('<=', 75.0)
    """
    measure = kind.measures.get(line.sense.measure) if kind else None
    if measure is None or line.value is None or "accept" not in measure.limits:
        return None
    if as_defined(line.sense, line.said):
        return None
    sign, limit = measure.limits["accept"]
    standard = None if line.give_or_take is None else line.give_or_take / 2
    size, most = (limit, line.value) if sign.startswith(">") else (line.value, limit)
    return Verdict(
        key=line.sense.key,
        value=line.value,
        unit=line.sense.unit,
        ruling=ruling_of(size, most, standard, rule="guarded"),
        limit=limit,
        uncertainty=line.give_or_take,
        rule="guarded",
        standard="",
        edition="",
        limit_mark=_mark(measure.limit_marks.get("accept", "")),
        conformance=None,
    )


def _mark(mark: str) -> str:
    return say("from memory, unverified") if mark == "MEMORY" else mark


def heard(
    lines: Sequence[SensedLine], found: Sequence[Pair], hours: float | None = None
) -> tuple[Heard, ...]:
    """What the levels at the operator's ear allow, before and after, and what a day of them is.

    Parameters
    ----------
    lines : sequence of SensedLine
        Of one machine, oldest first.
    found : sequence of Pair
        Of the same.
    hours : float or None
        The person's own beside this machine, in one day.

    Returns
    -------
    tuple of Heard
        Before and after where there are both, else the newest level; none where nothing was read
        there.

    Raises
    ------
    Unusable
        More hours than a day has.

    Examples
    --------
    >>> heard([], [])
    ()
    """
    both = [one for one in found if _at_the_ear(one.after)]
    if both:
        last = both[-1]
        return (
            _heard(last.before, say("before"), hours),
            _heard(last.after, say("after"), hours),
        )
    ear = [one for one in lines if _at_the_ear(one) and not one.without]
    return (_heard(ear[-1], say("as read"), hours),) if ear else ()


def _at_the_ear(line: SensedLine) -> bool:
    ear = plain(sense("sound").point)
    return line.sense.sort == "sound" and line.value is not None and plain(line.said.point) == ear


def _heard(line: SensedLine, words: str, hours: float | None) -> Heard:
    level, doubt = float(line.value or 0.0), line.give_or_take
    allowed = tuple(
        Allowed(
            rule=rule,
            words=name,
            hours=allowed_hours(level, rule),
            hours_with_doubt=None if doubt is None else allowed_hours(level + doubt, rule),
        )
        for rule, name in RULES
    )
    stays = [Stay(level, hours)] if hours else []
    return Heard(
        line=line,
        words=words,
        allowed=allowed,
        day=day(stays) if stays else None,
        finds=finds(stays, doubt or 0.0, line.answer.get("peak_c_db")) if stays else (),
    )


def hours_words(hours: float) -> tuple[float, str]:
    """Hours as a person says them.

    Parameters
    ----------
    hours : float
        Over zero.

    Returns
    -------
    tuple of (float, str)
        Number and unit; the whole day where it is longer than one.

    Examples
    --------
    >>> hours_words(5.278), hours_words(0.25), hours_words(40.3)
    ((5.278, 'h'), (15.0, 'min'), (24.0, 'h'))
    """
    if hours >= DAY_HOURS:
        return DAY_HOURS, "h"
    return (hours, "h") if hours >= 1 else (60 * hours, "min")
