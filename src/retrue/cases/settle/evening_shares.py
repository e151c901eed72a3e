"""An evening's time shared out between machines and cards, to quarter hours."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import TypeVar

from retrue.cases.settle.evening_rules import Rules

T = TypeVar("T")
Owner = tuple[str | None, str | None, str]
"""Lot, machine, card."""


@dataclass(frozen=True, slots=True)
class Slice:
    """Time that belongs to one machine and card; a lead has a trace at one end only."""

    begins: datetime
    ends: datetime
    owner: Owner
    lead: bool = False

    @property
    def lasts(self) -> timedelta:
        """How long it is."""
        return self.ends - self.begins


def filled(owners: Sequence[Owner]) -> list[Owner]:
    """Give traces without a machine, and without a card, those of the next one that has.

    Parameters
    ----------
    owners : sequence of (lot, machine, card)
        In the order of time.

    Returns
    -------
    list of (lot, machine, card)
        A card only at its own machine; after the last one that has, those of the one before.

    Examples
    --------
    >>> filled([(None, None, ""), ("a", "lathe", ""), ("a", "lathe", "J05"), (None, None, "")])
    [('a', 'lathe', 'J05'), ('a', 'lathe', 'J05'), ('a', 'lathe', 'J05'), ('a', 'lathe', 'J05')]
    """
    there = [(lot, machine) for lot, machine, _ in owners]
    placed = _nearest(there, lambda one: one != (None, None))
    told: list[Owner] = [(*place, owner[2]) for place, owner in zip(placed, owners, strict=True)]
    where: dict[tuple[str | None, str | None], list[int]] = {}
    for n, place in enumerate(placed):
        where.setdefault(place, []).append(n)
    for at in where.values():
        cards = _nearest([told[n][2] for n in at], bool)
        for n, card in zip(at, cards, strict=True):
            told[n] = (*placed[n], card)
    return told


def hours_of(lasts: timedelta, rules: Rules) -> float:
    """Hours to a quarter, at least one quarter.

    Parameters
    ----------
    lasts : timedelta
    rules : Rules

    Returns
    -------
    float

    Examples
    --------
    >>> from retrue.cases.settle.evening_rules import RULES
    >>> hours_of(timedelta(minutes=149), RULES), hours_of(timedelta(minutes=3), RULES)
    (2.5, 0.25)
    """
    quarter = rules.quarter_hours
    return max(1, _round(Fraction(lasts / timedelta(hours=1)) / Fraction(quarter))) * quarter


def shares_of(slices: Sequence[Slice], total: float, rules: Rules) -> list[tuple[Owner, float]]:
    """Share hours out by the time of each owner, to quarters that sum to the total.

    Parameters
    ----------
    slices : sequence of Slice
    total : float
        Hours, a whole number of quarters.
    rules : Rules

    Returns
    -------
    list of (owner, hours)
        The longest first; nobody with nothing.

    Examples
    --------
    >>> from datetime import UTC
    >>> from retrue.cases.settle.evening_rules import RULES
    >>> at = datetime(2026, 11, 25, 20, tzinfo=UTC)
    >>> mill, lathe = ("a", "mill", ""), ("a", "lathe", "")
    >>> hour = timedelta(hours=1)
    >>> shares_of([Slice(at, at + hour, mill), Slice(at + hour, at + 1.4 * hour, lathe)], 1.5,
    ...           RULES)
    [(('a', 'mill', ''), 1.0), (('a', 'lathe', ''), 0.5)]
    """
    lasts: dict[Owner, timedelta] = {}
    for one in slices:
        lasts[one.owner] = lasts.get(one.owner, timedelta()) + one.lasts
    weights = [one.total_seconds() for one in lasts.values()]
    parts = quarters(weights, round(total / rules.quarter_hours))
    made = [
        (owner, part * rules.quarter_hours)
        for owner, part in zip(lasts, parts, strict=True)
        if part
    ]
    return sorted(made, key=lambda row: -row[1])


def quarters(weights: Sequence[float], count: int) -> list[int]:
    """Whole parts by weight that sum to a count: the largest remainders are rounded up.

    Parameters
    ----------
    weights : sequence of float
        0 or more.
    count : int

    Returns
    -------
    list of int

    References
    ----------
    Hare quota and largest remainders, by definition.

    Examples
    --------
    >>> quarters([47, 16, 15.8, 12, 6.1, 3.1], 10)  # hundreds of votes, a worked example by hand
    [5, 2, 1, 1, 1, 0]
    """
    whole = sum(weights)
    if whole <= 0:
        return [count, *([0] * (len(weights) - 1))]
    exact = [Fraction(one) / Fraction(whole) * count for one in weights]
    parts = [int(one) for one in exact]
    order = sorted(range(len(parts)), key=lambda n: (parts[n] - exact[n], n))
    for n in order[: count - sum(parts)]:
        parts[n] += 1
    return parts


def _round(value: Fraction) -> int:
    """To the nearest whole number, a half upwards."""
    return int(value + Fraction(1, 2))


def _nearest(values: Sequence[T], has: Callable[[T], bool]) -> list[T]:
    """Each value, or the next that has something, or the one before."""
    made = list(values)
    after: T | None = None
    for n in reversed(range(len(made))):
        if has(made[n]):
            after = made[n]
        elif after is not None:
            made[n] = after
    before: T | None = None
    for n, one in enumerate(made):
        if has(one):
            before = one
        elif before is not None:
            made[n] = before
    return made
