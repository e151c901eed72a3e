"""Answers to a guessed evening: what is kept for yes, less, more, not mine, another figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.evening import Evening
from retrue.cases.settle.evening_rules import RULES, STEP_HOURS
from retrue.cases.settle.hours import stepped
from retrue.records.settling import HoursTold
from retrue.records.shop import Record

How = Literal["yes", "less", "more", "not_mine"]
HOWS: tuple[How, ...] = ("yes", "less", "more", "not_mine")


def answers(
    evening: Evening, how: How, *, by: str, hours: float | None = None, text: str = ""
) -> tuple[HoursTold, ...]:
    """What is kept of an answered evening: one fact for each machine and card.

    Parameters
    ----------
    evening : Evening
    how : str
        yes, less, more, not_mine.
    by : str
        Whose hand answers.
    hours : float, optional
        Another figure; None: the guess, half an hour less, half an hour more.
    text : str

    Returns
    -------
    tuple of HoursTold
        Their hours sum to the figure; of what is not mine to nothing.

    Raises
    ------
    Unusable
        The figure is none: below zero, or more than a day has.

    Examples
    --------
    >>> from retrue.cases.settle.evening_shown import EXAMPLE
    >>> [(one.machine, one.hours, one.answer) for one in answers(EXAMPLE, "less", by="me")]
    [('m', 1.5, 'less'), ('n', 0.5, 'less')]
    """
    total, told = _figure(evening.hours, evening.hours, how, hours)
    parts = stepped([one.hours for one in evening.shares], total)
    return tuple(
        HoursTold(
            lot=share.lot, machine=share.machine, worked_on=evening.worked_on,
            begin=evening.begin, end=evening.end, hours=part,
            worker="" if evening.worker == by else evening.worker, answer=told,
            guessed=share.hours, evening=evening.key, line=share.line, text=text,
        )
        for share, part in zip(evening.shares, parts, strict=True)
    )  # fmt: skip


def answered_again(
    told: Sequence[Record[HoursTold]], how: How, *, hours: float | None = None
) -> tuple[HoursTold, ...]:
    """The same evening answered otherwise: a step from what stands now, or another figure.

    Parameters
    ----------
    told : sequence of Record of HoursTold
        As it was answered.
    how : str
    hours : float, optional

    Returns
    -------
    tuple of HoursTold
        One in the place of each.

    Raises
    ------
    Unusable
        The figure is none.
    """
    guess = sum(one.fact.guessed or 0.0 for one in told)
    stands = sum(one.fact.hours for one in told)
    total, answer = _figure(guess, stands or guess, how, hours)
    facts = [one.fact for one in told]
    parts = stepped([one.guessed or one.hours or 1.0 for one in facts], total)
    return tuple(
        replace(fact, hours=part, answer=answer) for fact, part in zip(facts, parts, strict=True)
    )


def _figure(guess: float, stands: float, how: How, hours: float | None) -> tuple[float, How]:
    if how == "not_mine":
        return 0.0, how
    if hours is None:
        step = {"yes": guess - stands, "less": -STEP_HOURS, "more": STEP_HOURS}[how]
        return min(max(RULES.quarter_hours, stands + step), 24.0), how
    if not 0 < hours <= 24:
        what = say("is no length of an evening")
        remedy = say("Type hours above 0 and up to 24; not mine is a key of its own.")
        raise Unusable(what, remedy=remedy, problems=(Problem("hours", what, remedy),))
    return hours, "less" if hours < guess else "more" if hours > guess else "yes"
