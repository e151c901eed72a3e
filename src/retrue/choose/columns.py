"""Many beliefs at once about one goal: what its plain plan costs under each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.choose.line import Line, Rule, keys_by
from retrue.choose.seeking import Goal

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

GONE = 1e-12  # chance under which a goal is taken as met
SURE = -745.0  # logarithm of the least float: of nothing left


@dataclass(frozen=True, slots=True, eq=False)
class Patterns:
    """The sets of active items that occur in one goal.

    Attributes
    ----------
    sets : ndarray of bool, shape (patterns, items)
    of : ndarray of int, shape (hypotheses,)
        The pattern of each hypothesis.
    """

    sets: Bools
    of: NDArray[np.intp]

    def gather(self, weight: Floats) -> Floats:
        """Sum weights of hypotheses, shape (columns, hypotheses), by pattern."""
        total = np.zeros((len(weight), len(self.sets)))
        for row, values in enumerate(weight):
            total[row] = np.bincount(self.of, weights=values, minlength=len(self.sets))
        return total


def patterns(active: Bools) -> Patterns:
    """Find the sets of active items.

    Parameters
    ----------
    active : ndarray of bool, shape (items, hypotheses)
        Of one goal.

    Returns
    -------
    Patterns

    Examples
    --------
    >>> patterns(np.array([[True, False, True]])).of.tolist()
    [1, 0, 1]
    """
    sets, of = np.unique(active.T, axis=0, return_inverse=True)
    return Patterns(sets, np.asarray(of).reshape(-1).astype(np.intp))


@dataclass(frozen=True, slots=True, eq=False)
class Planned:
    """Plain plans, one a column.

    Attributes
    ----------
    value : ndarray, shape (columns,)
        Expected cost; weights need not sum to one.
    order : ndarray of int, shape (columns, steps)
        Steps of the line in the order they are done.
    cut : ndarray of int, shape (columns,)
        After how many of them help is called, or all are done.
    used : ndarray of bool, shape (columns, steps)
        Which steps are done at all.
    """

    value: Floats
    order: NDArray[np.intp]
    cut: NDArray[np.intp]
    used: Bools


def plain_plans(
    line: Line,
    goal: Goal,
    sets: Bools,
    weight: Floats,
    opened: Bools,
    opening: Floats,
    *,
    rule: Rule = "ratio",
    without: NDArray[np.intp] | None = None,
    rates: Floats | None = None,
) -> Planned:
    """Work out the plan without tests under each belief.

    Parameters
    ----------
    line : Line
        Treatments of the goal.
    goal : Goal
    sets : ndarray of bool, shape (patterns, items)
    weight : ndarray, shape (columns, patterns)
        Not negative; a column need not sum to one.
    opened : ndarray of bool, shape (columns, places)
        What is open already.
    opening : ndarray, shape (places,)
    rule : {"ratio", "likely", "cheap"}
    without : ndarray of int, shape (columns, tests), optional
        Tests that each belief has used up; -1: none.
    rates : ndarray, shape (steps, patterns), optional
        What each glance costs beside the look itself, pattern by pattern; needed where the line
        has glances.

    Returns
    -------
    Planned

    Notes
    -----
    A step is paid with the chance that the goal is not met before it; each active item stays
    with the product of what its treatments so far left of it. Help is called where that is
    cheapest on average. That is exact for a line without glances; with them it is what one plan
    is chosen by, as if what a glance shows hung on the pattern alone.

    References
    ----------
    Heckerman, Breese and Rommelse, Communications of the ACM 38(3) (1995) 49-57 (from memory).

    Examples
    --------
    >>> from retrue.choose.line import line_of
    >>> from retrue.choose.seeking import Search, Treatment
    >>> four = np.eye(4, dtype=bool)
    >>> chains = tuple((Treatment(k, c, 1.0),) for k, c in zip("ABCD", (5.0, 15.0, 1.0, 8.0)))
    >>> search = Search(np.array([0.4, 0.3, 0.2, 0.1]), four, (Goal((0, 1, 2, 3)),), chains, (),
    ...     np.zeros(0))
    >>> plan = plain_plans(line_of(search, 0), search.goals[0], four, search.weight[None],
    ...     np.zeros((1, 0), bool), search.opening)
    >>> round(float(plan.value[0]), 6), [int(i) for i in plan.order[0]]
    (11.8, [2, 0, 1, 3])
    """
    marginal = weight @ sets
    total_weight = np.maximum(weight.sum(axis=1), GONE)[:, None]
    keys, used = keys_by(line, marginal / total_weight, rule, without, opening)
    order = np.argsort(-keys, axis=1, kind="stable")
    columns, steps = order.shape
    rows = np.arange(columns)
    left = np.zeros((columns, sets.shape[1]))  # logarithm of 1 - residual; SURE: untouched
    left[:] = SURE
    residual = np.ones_like(left)
    open_now = opened.copy()
    counted = sets.astype(np.float64).T
    standing = weight * sets.any(axis=1)
    alive = standing.sum(axis=1)
    spent = np.zeros(columns)
    each = np.array(goal.help_each or (0.0,) * sets.shape[1])
    best = _times(goal.help, alive) + marginal @ each
    cut = np.zeros(columns, dtype=np.intp)
    for at in range(steps):
        if not (alive > GONE).any() or (spent >= best).all():
            break
        step = order[:, at]
        done = used[rows, step]
        opens, item = line.opens[step] & done[:, None], line.item[step]
        need = opens & ~open_now
        paid = (line.cost[step] + need @ opening) * alive
        if rates is not None and (done & (line.look[step] >= 0)).any():
            paid += (standing * rates[step]).sum(axis=1)
        spent = spent + np.where(done, paid, 0.0)
        open_now |= opens
        residual[rows, item] *= 1.0 - np.where(done, line.cures[step], 0.0)
        with np.errstate(divide="ignore"):
            left[rows, item] = np.maximum(np.log1p(-residual[rows, item]), SURE)
        standing = weight * -np.expm1(left @ counted)
        alive = standing.sum(axis=1)
        alive = np.where(alive > GONE, alive, 0.0)
        total = spent + _times(goal.help, alive) + (marginal * residual) @ each
        better = total < best
        best, cut = np.where(better, total, best), np.where(better, at + 1, cut)
    return Planned(best, order, cut, used)


def _times(price: float, chance: Floats) -> Floats:
    """Price times chance, nothing where there is no chance even if nobody can be paid."""
    return np.where(chance > 0.0, price, 0.0) * np.where(chance > 0.0, chance, 1.0)
