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
AT_ONCE = 8_000  # cells of steps, beliefs and patterns worked out at once


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
    course = _course(line, order, used, opened, opening, sets.shape[1])
    total = _totals(line, goal, course, sets, weight, rates)
    return Planned(total.min(axis=0), order, total.argmin(axis=0), used)


@dataclass(frozen=True, slots=True, eq=False)
class _Course:
    """Plans step by step, one a column; a stage stands before each step, and one after the last.

    Attributes
    ----------
    step : ndarray of int, shape (steps, columns)
        Step of the line.
    price : ndarray, shape (stages, columns)
        Of what is done then, with what has to be opened for it.
    glance : ndarray of bool, shape (stages, columns)
        Whether that is a glance.
    residual : ndarray, shape (stages, columns, items)
        What is left of each item.
    """

    step: NDArray[np.intp]
    price: Floats
    glance: Bools
    residual: Floats


def _course(
    line: Line,
    order: NDArray[np.intp],
    used: Bools,
    opened: Bools,
    opening: Floats,
    items: int,
) -> _Course:
    step, done = order.T, np.take_along_axis(used, order, axis=1).T
    asked = np.flatnonzero(line.opens.any(axis=0))
    opens = line.opens[:, asked][step] & done[:, :, None]
    before = np.concatenate([opened[None, :, asked], opens[:-1]])[: len(step)]
    shut = ~np.logical_or.accumulate(before, axis=0)
    price = line.cost[step] + (opens & shut) @ opening[asked]
    residual = np.ones((len(step) + 1, len(order), items))
    left = 1.0 - np.where(done, line.cures[step], 0.0)
    np.put_along_axis(residual[1:], line.item[step][:, :, None], left[:, :, None], axis=2)
    nothing = np.zeros((1, len(order)))
    return _Course(
        step,
        np.concatenate([np.where(done, price, 0.0), nothing]),
        np.concatenate([done & (line.look[step] >= 0), nothing > 0.0]),
        np.multiply.accumulate(residual, axis=0),
    )


def _totals(
    line: Line, goal: Goal, course: _Course, sets: Bools, weight: Floats, rates: Floats | None
) -> Floats:
    """What plans cost if help is called at a stage, as far as any plan is still worth following."""
    stages, columns = course.price.shape
    each = np.array(goal.help_each or (0.0,) * sets.shape[1])
    asks = ((weight @ sets) * course.residual) @ each
    alive, total = np.zeros((stages, columns)), np.zeros((stages, columns))
    spent, best = np.zeros((stages + 1, columns)), np.full(columns, np.inf)
    many, stop = max(1, AT_ONCE // max(1, weight.size)), 0
    for start in range(0, stages, many):
        stop = min(start + many, stages)
        part = slice(start, stop)
        alive[part], beside = _reached(line, course, part, sets, weight, rates)
        paid = course.price[part] * alive[part] + beside
        spent[start : stop + 1] = np.cumsum(np.concatenate([spent[start][None], paid]), axis=0)
        total[part] = spent[part] + _times(goal.help, alive[part]) + asks[part]
        best = np.minimum(best, total[part].min(axis=0))
        if not ((alive[stop - 1] > GONE).any() and (spent[stop - 1] < best).any()):
            break
    best = np.minimum.accumulate(total[:stop], axis=0)
    follow = (alive[:stop] > GONE).any(axis=1) & (spent[:stop] < best).any(axis=1)
    return total[: stop if follow.all() else int(np.argmin(follow)) + 1]


def _reached(
    line: Line, course: _Course, part: slice, sets: Bools, weight: Floats, rates: Floats | None
) -> tuple[Floats, Floats]:
    """Chance that the goal is not met at some stages, and what glances cost beside the look."""
    residual, glance = course.residual[part], course.glance[part]
    gone = np.full(residual.shape, SURE)
    np.log1p(-residual, out=gone, where=residual < 1.0)
    standing = np.expm1(gone @ sets.astype(np.float64).T)
    standing *= -weight
    alive = standing.sum(axis=2)
    first = 1 if part.start == 0 else 0  # before anything is done the weights are taken as given
    alive[first:] = np.where(alive[first:] > GONE, alive[first:], 0.0)
    beside = np.zeros(glance.shape)
    if rates is not None:
        at, column = np.nonzero(glance)
        treat = rates[course.step[part.start + at, column]]
        beside[at, column] = (standing[at, column] * treat).sum(axis=1)
    return alive, beside


def _times(price: float, chance: Floats) -> Floats:
    """Price times chance, nothing where there is no chance even if nobody can be paid."""
    return np.where(chance > 0.0, price, 0.0) * np.where(chance > 0.0, chance, 1.0)
