"""How often the limits of several bids hold where something is won, and what would let more in.

That the limits hold in nine of ten ways a sale may turn out says little where in eight of them
nothing is won. So it is said as well of those ways alone in which something is won, and of each
lot.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import money, number, odds
from retrue.base.say import say
from retrue.cases.screen.bid_shapes import LimitName
from retrue.choose import commit
from retrue.choose.commit import Came, Candidate, Levels, came_of
from retrue.choose.commit_choice import Choice

Bools = NDArray[np.bool_]

FIELDS: tuple[LimitName, ...] = ("money", "floor", "hours")
ROUND: dict[LimitName, float] = {"money": 100.0, "floor": 1.0, "hours": 10.0}  # rounded up to


@dataclass(frozen=True, slots=True, kw_only=True)
class WhereWon:
    """How often all limits hold where something is won.

    Attributes
    ----------
    wins_some : float
        Chance that at least one bid wins.
    held : float or None
        Chance that all limits hold, of the worlds in which one does; None: there is none.
    """

    wins_some: float
    held: float | None


def where_some_won(
    candidates: Sequence[Candidate], levels: Levels, came: Came, bounds: commit.Limits
) -> WhereWon:
    """How often a bid wins, and how often all limits hold then.

    Parameters
    ----------
    candidates : sequence of Candidate
    levels : tuple of int
        Which bid of each: 0 none, else counted from 1. What is held already is no bid.
    came : Came
        What that comes to, in the same worlds.
    bounds : Limits

    Returns
    -------
    WhereWon

    References
    ----------
    By definition: the relative frequency of a conditional event.

    Examples
    --------
    >>> where_some_won((), (), came_of((), ()), commit.Limits())
    WhereWon(wins_some=0.0, held=None)
    """
    some = np.zeros(came.gain.size, dtype=np.bool_)
    for one, level in zip(candidates, levels, strict=True):
        if level and not one.held:
            some |= one.wins[level - 1]
    share = float(some.mean()) if some.size else 0.0
    return WhereWon(wins_some=share, held=held_where(some, came, bounds))


def held_where(won: Bools, came: Came, bounds: commit.Limits) -> float | None:
    """How often all limits hold in the worlds in which a lot is won.

    Parameters
    ----------
    won : ndarray of bool, shape (worlds,)
    came : Came
        What all bids come to.
    bounds : Limits

    Returns
    -------
    float or None
        None: it is won in no world.

    References
    ----------
    By definition: the relative frequency of a conditional event.

    Examples
    --------
    >>> row = np.array([10.0, 10.0, 30.0, 0.0])
    >>> came = Came(row, row, row, row)
    >>> held_where(np.array([True, False, True, False]), came, commit.Limits(hours=20.0))
    0.5
    """
    if not won.any():
        return None
    return float(1.0 - came.breaks(bounds)[won].mean())


Needed = tuple[tuple[LimitName, float], ...]


def limits_needed(came: Came, bounds: commit.Limits) -> Needed:
    """Limits that, raised so, make all hold at the odds wanted: one alone where that is enough.

    Parameters
    ----------
    came : Came
    bounds : Limits

    Returns
    -------
    tuple of (str, float)
        Name of each that must rise, and to what. Of single ones the least raise; where no single
        one is enough, all that are in the way, each to the same quantile of what is taken.

    References
    ----------
    By definition: a quantile of what is taken, where what breaks another limit lies above all.

    Examples
    --------
    >>> row = np.arange(1.0, 11.0)
    >>> limits_needed(Came(row, 0 * row, row, 0 * row), commit.Limits(hours=5.0, odds=0.8))
    (('hours', 8.0),)
    >>> limits_needed(Came(row, row, row, row), commit.Limits(money=6.0, hours=5.0, odds=0.8))
    (('money', 8.0), ('hours', 8.0))
    """
    names = [name for name in FIELDS if math.isfinite(getattr(bounds, name))]
    single = [one for name in names if (one := _alone(came, bounds, name)) is not None]
    if single:
        return (min(single, key=lambda one: one[1] / max(getattr(bounds, one[0]), 1.0)),)
    size = came.gain.size
    for at in range(math.ceil(bounds.odds * size) - 1, size):
        raised = {name: max(getattr(bounds, name), _nth(came, name, at)) for name in names}
        if 1.0 - came.breaks(commit.Limits(**raised, odds=bounds.odds)).mean() >= bounds.odds:
            return tuple((name, raised[name]) for name in names
                         if raised[name] > getattr(bounds, name))  # fmt: skip
    return ()


def _alone(came: Came, bounds: commit.Limits, name: LimitName) -> tuple[LimitName, float] | None:
    """What one limit must be where the others stay; None: it is not enough, or not in the way."""
    rest = {one: getattr(bounds, one) for one in FIELDS if one != name}
    lost = came.breaks(commit.Limits(**rest, odds=bounds.odds))
    spent = np.sort(np.where(lost, math.inf, getattr(came, name)))
    least = float(spent[math.ceil(bounds.odds * spent.size) - 1])
    return (name, least) if getattr(bounds, name) < least < math.inf else None


def _nth(came: Came, name: LimitName, at: int) -> float:
    return float(np.partition(getattr(came, name), at)[at])


def why_left_out(
    fresh: Sequence[Candidate], choice: Choice, place: int, bounds: commit.Limits, currency: str
) -> str:
    """Why a lot that could be bid on is not, and what would let it in.

    Parameters
    ----------
    fresh : sequence of Candidate
        In the worlds that had no say.
    choice : Choice
    place : int
        Of the lot.
    bounds : Limits
    currency : str
        Of the shop.

    Returns
    -------
    str
        A sentence without its full stop.
    """
    gain, came = choice.gain, None
    for level in range(1, len(fresh[place].bids) + 1):
        levels = (*choice.levels[:place], level, *choice.levels[place + 1 :])
        with_it = came_of(fresh, levels)
        if float(with_it.gain.mean()) > gain:
            gain, came = float(with_it.gain.mean()), with_it
    if came is None:
        return say("beside the others it brings nothing more")
    held = 1.0 - float(came.breaks(bounds).mean())
    if held >= bounds.odds:
        return say("with it the limits would hold only just: {held}", held=odds(held))
    needed = limits_needed(came, bounds)
    if not needed:
        return say("with it all limits would hold only {held}", held=odds(held))
    return say(
        "with it all limits would hold only {held}; with {limit} it could be bid, for {gain} more",
        held=odds(held),
        limit=", ".join(_amount(name, value, currency) for name, value in needed),
        gain=money(gain - choice.gain, currency),
    )


def _amount(name: LimitName, value: float, currency: str) -> str:
    """A limit rounded up to what a person would say."""
    up = ROUND[name] * math.ceil(value / ROUND[name])
    if name == "money":
        return money(up, currency)
    if name == "floor":
        return say("{area} m² of floor", area=number(up))
    return say("{hours} own hours", hours=number(up))
