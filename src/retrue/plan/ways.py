"""In which order to try the ways of putting one fault right: settled before anything is tried."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
MOST_STEPS = 4


@dataclass(frozen=True, slots=True)
class Trial:
    """One way as its expected figures: what it costs, and how often it cures.

    Attributes
    ----------
    name : str
    money, hours : float
        Means of the work itself, in money and own hours.
    cures : float
        Chance that it cures, 0 to 1.
    paid_if_it_fails : float
        Share of the money paid when it does not cure.
    penalty : float
        Money-worth lost when it holds: the resale given up by living with the fault.
    """

    name: str
    money: float
    hours: float
    cures: float
    paid_if_it_fails: float = 1.0
    penalty: float = 0.0


@dataclass(frozen=True, slots=True)
class Order:
    """The order of least expected cost, and what it costs on average."""

    steps: tuple[str, ...]
    surest: str  # paid, and cures, when every step failed
    money: float
    hours: float
    penalty: float
    attempted: tuple[float, ...]  # chance that each step is reached; last: the surest after all


def cheapest_order(ways: tuple[Trial, ...], rate: float, first: str = "") -> Order | None:
    """The order of up to four ways with the least expected money and own hours.

    Each way is tried once. If all steps fail, the surest of *all* ways is paid in full and
    cures; taking the surest of the chosen steps instead would make one cheap long shot look
    certain.

    Parameters
    ----------
    ways : tuple of Trial
        All ways allowed.
    rate : float
        What an own hour is worth, money an hour.
    first : str
        The way that is tried before all others, by name; empty, or none of them: any.

    Returns
    -------
    Order or None
        None if there is no way.

    References
    ----------
    Own enumeration; the rule it reduces to for sure independent acts, chance over cost, is that
    of Kadane and Simon 1977, Management Science 23(12) (from memory).

    Examples
    --------
    >>> wipe = Trial("wipe", money=5, hours=1, cures=0.5)
    >>> renew = Trial("renew", money=100, hours=2, cures=0.95)
    >>> order = cheapest_order((wipe, renew), rate=20)
    >>> order.steps, order.surest, round(order.money, 2)
    (('wipe',), 'renew', 55.0)
    >>> cheapest_order((wipe, renew), rate=20, first="renew").steps
    ('renew', 'wipe')
    """
    if not ways:
        return None
    surest = max(range(len(ways)), key=lambda i: (_certain(ways[i]), ways[i].cures, -ways[i].money))
    paid = np.array([_mean_paid(way) for way in ways])
    hours = np.array([way.hours for way in ways])
    penalty = np.array([way.cures * way.penalty for way in ways])
    fails = np.array([1.0 - way.cures for way in ways])
    last = ways[surest].money + rate * ways[surest].hours + ways[surest].penalty
    cost = paid + rate * hours + penalty
    best: tuple[float, tuple[int, ...]] | None = None
    begins = next((i for i, way in enumerate(ways) if way.name == first), None)
    for every in _orders(len(ways)):
        orders = every if begins is None else every[every[:, 0] == begins]
        reached = np.cumprod(fails[orders], axis=1)
        before = np.hstack((np.ones((len(orders), 1)), reached[:, :-1]))
        totals = (before * cost[orders]).sum(axis=1) + reached[:, -1] * last
        index = int(np.argmin(totals))
        if best is None or totals[index] < best[0] - 1e-9:
            best = (float(totals[index]), tuple(int(i) for i in orders[index]))
    assert best is not None
    return _summary(ways, best[1], surest)


def _certain(way: Trial) -> float:
    """Living with a fault is never the sure way out when there is another."""
    return 0.0 if way.penalty > 0 or way.name == "live_with" else 1.0


def _mean_paid(way: Trial) -> float:
    return way.money * (way.cures + (1 - way.cures) * way.paid_if_it_fails)


def _summary(ways: tuple[Trial, ...], chosen: tuple[int, ...], surest: int) -> Order:
    reached, money, hours, penalty = 1.0, 0.0, 0.0, 0.0
    attempted = []
    for i in chosen:
        attempted.append(reached)
        money += reached * _mean_paid(ways[i])
        hours += reached * ways[i].hours
        penalty += reached * ways[i].cures * ways[i].penalty
        reached *= 1 - ways[i].cures
    attempted.append(reached)
    return Order(
        steps=tuple(ways[i].name for i in chosen),
        surest=ways[surest].name,
        money=money + reached * ways[surest].money,
        hours=hours + reached * ways[surest].hours,
        penalty=penalty + reached * ways[surest].penalty,
        attempted=tuple(attempted),
    )


@cache
def _orders(count: int) -> tuple[NDArray[np.intp], ...]:
    """All orders of one to four of ``count`` ways, an array for each length."""
    longest = min(count, MOST_STEPS)
    return tuple(
        np.array(list(permutations(range(count), length)), dtype=np.intp)
        for length in range(1, longest + 1)
    )
