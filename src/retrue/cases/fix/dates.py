"""When one machine makes its first good part: a range, and what to order at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.find.costs import mean
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.plan_lines import OrderNow
from retrue.cases.fix.schedule import Bundle, Laid
from retrue.cases.fix.wall_clock import by_the_wall
from retrue.plan.freeze import LONGEST_DAYS
from retrue.plan.jobs import Draws, Promise
from retrue.plan.player import Player
from retrue.plan.promise import by_share

Floats = NDArray[np.float64]
Marks = NDArray[np.bool_]
K = TypeVar("K")
MOST_TRIED = 6  # parts whose early order is worked out
MOST_TOLD = 3
LEAST_DAYS = 1.0
LOST_SHARE = 0.5  # of the money of a part that was not needed (judgement)
FEW = 500  # runs are enough to see what an early order brings
EARLY, EVEN, PROMISE = 0.1, 0.5, 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Days of a machine as dates."""

    early_on: str | None
    even_on: str | None
    promise_on: str | None
    expected_on: str | None


NO_DATES = Range(early_on=None, even_on=None, promise_on=None, expected_on=None)


def range_of(promise: Promise, start: datetime, lost: Marks | None = None) -> Range:
    """One in ten, half and nine in ten of the runs.

    Parameters
    ----------
    promise : Promise
    start : datetime
        Of the plan.
    lost : ndarray of bool, shape (worlds,), or None
        Runs that need what cannot be planned: they are never done.

    Returns
    -------
    Range
        None where so many of the runs are never done.
    """
    days = promise.days if lost is None else np.where(lost, np.inf, promise.days)
    early, even, late = (_day(start, by_share(days, share)) for share in (EARLY, EVEN, PROMISE))
    return Range(
        early_on=early,
        even_on=even,
        promise_on=late,
        expected_on=promise.expected.date().isoformat() if even is not None else None,
    )


def order_now(
    bundle: Bundle, laid: Laid, player: Player, *, lead_times: float = 1.0
) -> tuple[OrderNow, ...]:
    """What ordering a part today is worth, before anybody knows that it is needed.

    Parameters
    ----------
    bundle : Bundle
    laid : Laid
    player : Player
        Of the plan.
    lead_times : float
        Every delivery takes so many times as long, in the runs as well.

    Returns
    -------
    tuple of OrderNow
        Those that bring a day or more, and more than is lost where they are not needed.
    """
    draws = first_runs(laid.draws, FEW)
    tried = [
        (card, _ordered_today(card, bundle, laid, draws, lead_times))
        for card in _candidates(bundle.cards)
    ]
    known = [(card, earlier) for card, earlier in tried if earlier is not None]
    found = []
    for (card, _), gained in zip(known, player.gained(draws, [one for _, one in known]),
                                 strict=True):  # fmt: skip
        if card.machine not in gained:
            continue
        days = float(gained[card.machine].mean())
        lost = (1.0 - card.chance) * LOST_SHARE * mean(card.parts[0].money)
        worth = days * bundle.day_worth - lost
        if days >= LEAST_DAYS and worth > 0:
            found.append(_told(card, days, worth))
    found.sort(key=lambda one: (-one.worth, one.line))
    return tuple(found[:MOST_TOLD])


def _candidates(cards: Cards) -> Iterator[Card]:
    open_still = [card for card in cards.cards
                  if card.parts and card.chance < 1.0 and card.state != "done"
                  and card.parts[0].state in ("to_buy", "asked") and card.way != "local"
                  and card.way != "outside"]  # fmt: skip
    open_still.sort(key=lambda card: (-card.chance * card.parts[0].days, card.key))
    yield from open_still[:MOST_TRIED]


def _ordered_today(
    card: Card, bundle: Bundle, laid: Laid, draws: Draws, lead_times: float
) -> Draws | None:
    """The same runs with one part ordered today instead of when its place stands open."""
    task = laid.task_of.get((card.machine, card.key))
    wait = next((one for one in card.waits if one.part), None)
    if task is None or wait is None:
        return None
    before = laid.task_of.get((card.machine, wait.card))
    drawn = bundle.draws.days.get((card.key, wait.card))  # none: it does not wait to be ordered
    if before is None or drawn is None or (task, before) not in draws.days:
        return None
    mine = lead_times * drawn[: draws.worlds]
    others = [np.zeros(draws.worlds)]
    for other in laid.cards_of[task]:
        if other.key != card.key:
            others += [
                lead_times * bundle.draws.days[other.key, one.card][: draws.worlds]
                for one in other.waits
                if (other.key, one.card) in bundle.draws.days
                and laid.task_of.get((card.machine, one.card)) == before
            ]
    days = dict(draws.days) | {(task, before): np.maximum.reduce(others)}
    gate = draws.not_before.get(task, np.zeros(draws.worlds))
    return replace(draws, days=days,
                   not_before=dict(draws.not_before) | {task: np.maximum(gate, mine)})  # fmt: skip


def _told(card: Card, days: float, worth: float) -> OrderNow:
    part = card.parts[0]
    words = say("Ordered today it brings the date about {days} days nearer; if it is not needed, "
                "about half its price is lost.", days=number(days))  # fmt: skip
    return OrderNow(
        line=part.line,
        what=card.title,
        machine_name=card.machine_name,
        chance=card.chance,
        days_earlier=round(days, 1),
        worth=round(worth),
        words=words,
    )


def first_runs(draws: Draws, count: int) -> Draws:
    """The first runs of many.

    Parameters
    ----------
    draws : Draws
    count : int

    Returns
    -------
    Draws

    Examples
    --------
    >>> first_runs(Draws(worlds=3, hours={"a": np.array([1.0, 2.0, 3.0])}), 2).hours["a"]
    array([1., 2.])
    """
    if draws.worlds <= count:
        return draws

    return Draws(
        worlds=count,
        hours=_cut(draws.hours, count),
        days=_cut(draws.days, count),
        not_before=_cut(draws.not_before, count),
        run_in_days=_cut(draws.run_in_days, count),
    )


def _cut(rows: Mapping[K, Floats], count: int) -> dict[K, Floats]:
    return {key: row[:count] for key, row in rows.items()}


def late_moment(start: datetime, days: Floats, there: Marks, expected: datetime) -> str:
    """The moment by which nine in ten of the runs in which something is there have come to it.

    Parameters
    ----------
    start : datetime
    days : ndarray, shape (worlds,)
        In a run in which it is there a moment at which somebody works.
    there : ndarray of bool, shape (worlds,)
    expected : datetime
        As planned; it is never told as sooner than that.

    Returns
    -------
    str
        Empty where they never come to it.

    Examples
    --------
    >>> at = datetime(2026, 11, 26, 20)
    >>> late_moment(at, np.array([1.0, 2.5, 0.0]), np.array([True, True, False]), at)
    '2026-11-29T08:00'
    >>> late_moment(at, np.zeros(2), np.zeros(2, dtype=bool), at)
    '2026-11-26T20:00'
    """
    mine = days[there]
    late = by_share(mine, PROMISE) if mine.size else 0.0
    if late >= LONGEST_DAYS:
        return ""
    return by_the_wall(max(start + timedelta(minutes=round(late * 1440)), expected))


def _day(start: datetime, days: float) -> str | None:
    if days >= LONGEST_DAYS:
        return None
    return (start + timedelta(days=days)).date().isoformat()
