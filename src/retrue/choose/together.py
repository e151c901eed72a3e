"""Which parts to renew while a place is open: now, or when each fails and it opens again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SAME = 1e-9  # of all that is at stake: costs nearer than that are one cost
BATCH = 256  # choices weighed at once
EVERY_TO = 12  # parts up to which every choice is weighed where the rule does not hold
PAIRS_TO = 64  # parts up to which two at a time are turned over


@dataclass(frozen=True, slots=True, eq=False)
class Parts:
    """Parts that lie open together, in every way it could be.

    Attributes
    ----------
    money : ndarray, shape (parts,)
        What renewing each costs now, all in.
    failing : ndarray, shape (parts,)
        What its failing costs, without the opening: renewing it then, and what breaks beside.
    kept : ndarray, shape (parts, worlds)
        Chance that it fails if it is kept.
    new : ndarray, shape (parts, worlds)
        Likewise if it is renewed.
    weight : ndarray, shape (worlds,)
        Share of each world; they sum to one.
    """

    money: Floats
    failing: Floats
    kept: Floats
    new: Floats
    weight: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Opening:
    """One set-up that is paid once if any of its parts fails.

    Attributes
    ----------
    cost : ndarray, shape (worlds,)
    parts : ndarray of bool, shape (parts,)
        Those behind it.
    """

    cost: Floats
    parts: Bools


@dataclass(frozen=True, slots=True, eq=False)
class Renewed:
    """The cheapest choice, and what it is held against.

    Attributes
    ----------
    renew : ndarray of bool, shape (parts,)
    cost, cost_none, cost_all : float
        Expected: of this choice, of renewing none, of renewing all; what is fixed stays fixed in
        the first alone.
    if_kept, if_renewed : ndarray, shape (parts,)
        What each part costs either way, with all others as chosen: itself, what its failing costs,
        and the openings that are owed to it.
    exact : bool
        By the sorted rule; False: over the worlds.
    sure : bool
        No choice is cheaper: by the rule, or every one was weighed; False: the best a search found.
    """

    renew: Bools
    cost: float
    cost_none: float
    cost_all: float
    if_kept: Floats
    if_renewed: Floats
    exact: bool
    sure: bool


def parts_of(
    money: ArrayLike,
    kept: ArrayLike,
    *,
    failing: ArrayLike | None = None,
    new: ArrayLike = 0.0,
) -> Parts:
    """Parts from plain numbers.

    Parameters
    ----------
    money : array_like, shape (parts,)
    kept : array_like, shape (parts,) or (parts, worlds)
        Chance that each fails if it is kept.
    failing : array_like, shape (parts,), optional
        As much as ``money`` if it is not said.
    new : array_like, optional
        Chance that each fails if it is renewed; like ``kept``, or one for all.

    Returns
    -------
    Parts
        Of worlds that are equally likely.

    Raises
    ------
    Unusable
        Money below zero, or a chance that is none.

    Examples
    --------
    >>> parts_of([9.0, 9.0], [0.03, 0.5]).kept.tolist()
    [[0.03], [0.5]]
    """
    cost = np.asarray(money, dtype=np.float64)
    old = np.asarray(kept, dtype=np.float64)
    old = old[:, None] if old.ndim == 1 else old
    fresh = np.asarray(new, dtype=np.float64)
    fresh = np.broadcast_to(fresh[:, None] if fresh.ndim == 1 else fresh, old.shape)
    broken = cost if failing is None else np.asarray(failing, dtype=np.float64)
    _check(cost, broken, old, fresh)
    worlds = old.shape[1]
    return Parts(cost, broken, old, fresh, np.full(worlds, 1.0 / worlds))


def cheapest(
    parts: Parts, openings: Sequence[Opening], *, fixed: Sequence[bool | None] = ()
) -> Renewed:
    """Choose what to renew at the least expected cost.

    Parameters
    ----------
    parts : Parts
    openings : sequence of Opening
        Set-ups that a failure makes necessary again.
    fixed : sequence of bool or None, optional
        Of each part True: it is renewed, False: it is kept, whatever it costs.

    Returns
    -------
    Renewed
        Of equal costs that with the most parts kept.

    Notes
    -----
    With one opening behind all parts and one world, keeping a set U costs
    ``sum of renewed + sum of kept p c + K (1 - product over U of (1 - p))``. The last is concave in
    the sum of ``lambda = -ln(1 - p)``, so some best U holds the first parts in the order of
    ``g / lambda``, g being what keeping a part saves without the opening: all prefixes are weighed.
    What is fixed, and what may fail though it is new, shifts the sum by a constant. With several
    worlds or openings every choice is weighed up to twelve parts; beyond, the best prefix, all and
    none are where searches begin that turn one and two parts over.

    References
    ----------
    Joint replacement with one shared set-up: Dekker, Wildeman and van der Duyn Schouten 1997,
    Mathematical Methods of Operations Research 45 (from memory).

    Examples
    --------
    >>> relays = parts_of(np.full(24, 9.0), np.full(24, 0.03))
    >>> def all_behind(cost): return [Opening(np.array([cost]), np.full(24, True))]
    >>> kept, renewed = cheapest(relays, all_behind(300.0)), cheapest(relays, all_behind(600.0))
    >>> int(kept.renew.sum()), round(kept.cost), round(kept.cost_all)
    (0, 162, 216)
    >>> int(renewed.renew.sum()), round(renewed.cost), round(renewed.cost_none)
    (24, 216, 318)
    """
    count = len(parts.money)
    held = [fixed[i] if i < len(fixed) else None for i in range(count)]
    parts, openings = _alike_once(parts, openings)
    free = [i for i in range(count) if held[i] is None]
    base = np.array([one is True for one in held], dtype=np.bool_)
    exact = len(parts.weight) == 1 and _one_for_all(openings, count)
    renew = _best_prefix(parts, openings, base, _order(parts, free))
    sure = exact or len(free) <= EVERY_TO
    if not exact:
        renew = (_of_every if sure else searched)(parts, openings, renew, free)
    none, everything = np.zeros(count, dtype=np.bool_), np.ones(count, dtype=np.bool_)
    cost, cost_none, cost_all = costs(parts, openings, np.array([renew, none, everything]))
    if_kept, if_renewed = _each(parts, openings, renew)
    told = (float(cost), float(cost_none), float(cost_all))
    return Renewed(renew, *told, if_kept, if_renewed, exact, sure)


def costs(parts: Parts, openings: Sequence[Opening], renew: Bools) -> Floats:
    """What choices cost, as expected.

    Parameters
    ----------
    parts : Parts
    openings : sequence of Opening
    renew : ndarray of bool, shape (choices, parts)

    Returns
    -------
    ndarray, shape (choices,)

    Examples
    --------
    >>> two = parts_of([10.0, 20.0], [0.5, 0.1])
    >>> shared = [Opening(np.array([100.0]), np.array([True, True]))]
    >>> costs(two, shared, np.array([[False, False], [True, False]])).round(6).tolist()
    [62.0, 22.0]
    """
    found = [_costs(parts, openings, renew[at : at + BATCH]) for at in range(0, len(renew), BATCH)]
    return np.concatenate(found) if found else np.zeros(0)


def _costs(parts: Parts, openings: Sequence[Opening], renew: Bools) -> Floats:
    total = np.where(renew, *_alone(parts)).sum(axis=1)
    lives = np.where(renew[:, :, None], 1.0 - parts.new, 1.0 - parts.kept)
    for opening in openings:
        shut = lives[:, opening.parts].prod(axis=1)
        total = total + (1.0 - shut) @ (opening.cost * parts.weight)
    return np.asarray(total)


def _alone(parts: Parts) -> tuple[Floats, Floats]:
    """What each part costs renewed and kept, without any opening."""
    renewed = parts.money + (parts.new @ parts.weight) * parts.failing
    return renewed, (parts.kept @ parts.weight) * parts.failing


def _each(parts: Parts, openings: Sequence[Opening], renew: Bools) -> tuple[Floats, Floats]:
    """What each part costs kept and renewed, the others as chosen; their own share taken off."""
    count = len(renew)
    sets = np.repeat(renew[None, :], 2 * count, axis=0)
    at = np.arange(count)
    sets[at, at], sets[count + at, at] = False, True
    whole = costs(parts, openings, sets)
    without = np.array([_without(parts, openings, renew, i) for i in range(count)])
    return whole[:count] - without, whole[count:] - without


def _without(parts: Parts, openings: Sequence[Opening], renew: Bools, at: int) -> float:
    """What all others cost, as if this part could not fail and cost nothing."""
    money, kept, new = parts.money.copy(), parts.kept.copy(), parts.new.copy()
    money[at], kept[at], new[at] = 0.0, 0.0, 0.0
    gone = Parts(money, parts.failing, kept, new, parts.weight)
    return float(costs(gone, openings, renew[None, :])[0])


def _order(parts: Parts, free: Sequence[int]) -> list[int]:
    """The free parts, those that are best kept first."""
    renewed, kept = _alone(parts)
    saves = renewed - kept
    with np.errstate(divide="ignore", invalid="ignore"):
        worse = (np.log1p(-parts.new) - np.log1p(-parts.kept)) @ parts.weight
    worse = np.where(np.isnan(worse), 0.0, worse)  # fails for sure, kept or new
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = saves / worse
    ratio = np.where((worse <= 0) & (saves >= 0), np.inf, ratio)
    ratio = np.where((worse > 0) & (saves <= 0), -np.inf, ratio)
    return sorted(free, key=lambda i: (-ratio[i], i))


def _best_prefix(
    parts: Parts, openings: Sequence[Opening], base: Bools, order: Sequence[int]
) -> Bools:
    """The best of keeping the first, the first two ..., of an order; the most kept of equals."""
    sets = np.repeat(base[None, :], len(order) + 1, axis=0)
    for place, part in enumerate(order):
        sets[: place + 1, part] = True
    return np.array(sets[_least(costs(parts, openings, sets))], dtype=np.bool_)


def _least(found: Floats) -> int:
    """The last of those that cost least."""
    near = SAME * max(1.0, float(np.abs(found).max()))
    return int(np.flatnonzero(found <= found.min() + near)[-1])


def _of_every(
    parts: Parts, openings: Sequence[Opening], renew: Bools, free: Sequence[int]
) -> Bools:
    """The best of every choice there is for the free parts; the most kept of equals."""
    sets = np.repeat(renew[None, :], 2 ** len(free), axis=0)
    rows = np.arange(len(sets))
    for place, part in enumerate(free):
        sets[:, part] = (rows >> place) & 1 == 0
    sets = sets[np.argsort(-sets.sum(axis=1), kind="stable")]
    return np.array(sets[_least(costs(parts, openings, sets))], dtype=np.bool_)


def searched(parts: Parts, openings: Sequence[Opening], renew: Bools, free: Sequence[int]) -> Bools:
    """Turn one part over, or two, as long as it gets cheaper; from a choice, from all and none.

    Parameters
    ----------
    parts : Parts
    openings : sequence of Opening
    renew : ndarray of bool, shape (parts,)
        Where one search begins; what is not free stays as it is there.
    free : sequence of int
        Parts that may be turned.

    Returns
    -------
    ndarray of bool, shape (parts,)

    Examples
    --------
    >>> two = parts_of([10.0, 20.0], [0.5, 0.1])
    >>> shared = [Opening(np.array([100.0]), np.array([True, True]))]
    >>> searched(two, shared, np.array([False, False]), [0, 1]).tolist()
    [True, False]
    """
    starts = np.repeat(renew[None, :], 3, axis=0)
    starts[1, list(free)], starts[2, list(free)] = False, True
    ends = np.array([_turned(parts, openings, start, free) for start in starts])
    return np.array(ends[int(costs(parts, openings, ends).argmin())], dtype=np.bool_)


def _turned(parts: Parts, openings: Sequence[Opening], renew: Bools, free: Sequence[int]) -> Bools:
    pairs = list(combinations(free, 2)) if len(free) <= PAIRS_TO else []
    turns = [*((i,) for i in free), *pairs]
    cost = float(costs(parts, openings, renew[None, :])[0])
    while turns:
        sets = np.repeat(renew[None, :], len(turns), axis=0)
        for row, turn in enumerate(turns):
            sets[row, list(turn)] ^= True
        found = costs(parts, openings, sets)
        best = int(found.argmin())
        if found[best] >= cost - SAME * max(1.0, abs(cost)):
            break
        renew, cost = sets[best], float(found[best])
    return renew


def _alike_once(parts: Parts, openings: Sequence[Opening]) -> tuple[Parts, tuple[Opening, ...]]:
    """Worlds that say the same, taken once with their common weight."""
    worlds = len(parts.weight)
    rows = [parts.kept, parts.new, *(np.broadcast_to(o.cost, (1, worlds)) for o in openings)]
    table, where = np.unique(np.concatenate(rows), axis=1, return_inverse=True)
    count = len(parts.money)
    weight = np.zeros(table.shape[1])
    np.add.at(weight, where.ravel(), parts.weight)
    once = Parts(parts.money, parts.failing, table[:count], table[count : 2 * count], weight)
    costs_left = table[2 * count :]
    return once, tuple(
        Opening(cost, one.parts) for cost, one in zip(costs_left, openings, strict=True)
    )


def _one_for_all(openings: Sequence[Opening], count: int) -> bool:
    return len(openings) <= 1 and all(int(one.parts.sum()) == count for one in openings)


def _check(money: Floats, failing: Floats, kept: Floats, new: Floats) -> None:
    good = all(np.isfinite(one).all() and (one >= 0).all() for one in (money, failing))
    if not good or not all(((one >= 0) & (one <= 1)).all() for one in (kept, new)):
        raise Unusable(
            say("these parts cannot be weighed"),
            remedy=say("Money starts at 0; a chance lies between 0 and 1."),
        )
