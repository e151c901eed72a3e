"""A visit as one joint answer: travel once, look at many things, then decide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.choose.blocks import block_sums, relative_weights
from retrue.choose.looking import SURE, Answers, stack_answers

Floats = NDArray[np.float64]

_DOUBT = 5.0  # worlds' worth of shrinkage: an answer seen in three worlds teaches little


@dataclass(frozen=True, slots=True, eq=False)
class Visit:
    """What a set of looks, taken together, is worth. Money in the shop's currency.

    ``worth`` is zero where it cannot be told from nothing; ``raw`` is the estimate and ``error``
    its standard error. ``order`` lists the looks taken, the most telling first, and ``share`` how
    much each adds to what the earlier ones tell (shares of all that is told, sum 1).
    """

    worth: float
    error: float
    raw: float
    order: tuple[int, ...]
    share: tuple[float, ...]


def worth_of_visit(
    gains: ArrayLike,
    likelihoods: Sequence[ArrayLike] | Answers,
    uniforms: ArrayLike,
    *,
    weights: ArrayLike | None = None,
    minutes: ArrayLike | None = None,
    limit_minutes: float = np.inf,
) -> Visit:
    """Expected rise of the best mean gain when many looks are answered before deciding.

    One set of answers is drawn in each world. How they tell the gains is learnt on half of the
    worlds (a shrunken linear regression on the answers) and the decisions it leads to are valued
    on the other half by what those worlds really hold, both ways round. Whatever the regression
    misses only lowers the worth: it is what this way of deciding earns, so never flattered.

    Parameters
    ----------
    gains : array_like of float, shape (decisions, worlds), money
        Gain of each decision less its price; walking away is a row of zeros and must be given.
    likelihoods : sequence of array_like, or Answers
        As in `retrue.choose.looking.stack_answers`.
    uniforms : array_like of float, shape (looks, worlds)
        Uniform numbers between 0 and 1, one for each look in each world.
    weights : array_like of float, shape (worlds,), optional
        Weight of each world; equal when left out.
    minutes : array_like of float, shape (looks,), optional
        What each look takes; with it, the most telling for their minutes are taken first.
    limit_minutes : float
        Looks are taken while their minutes fit.

    Returns
    -------
    Visit
        Worth, error, and the order of the looks.

    Raises
    ------
    Unusable
        Shapes that do not belong together, or too few worlds to split.

    References
    ----------
    Strong, Oakley and Brennan 2014, Estimating multiparameter partial expected value of perfect
    information from a probabilistic sensitivity analysis sample: a nonparametric regression
    approach, Medical Decision Making 34(3). Selection by explained variance and the sweep
    operator: Goodnight 1979, A tutorial on the sweep operator, The American Statistician 33(3).

    Examples
    --------
    >>> import numpy as np
    >>> bad = np.arange(6000) % 3 == 1
    >>> gains = np.array([np.zeros(6000), np.where(bad, -300.0, 500.0)])
    >>> visit = worth_of_visit(gains, [bad.astype(float)], np.full((1, 6000), 0.5))
    >>> round(visit.worth), visit.order
    (100, (0,))
    """
    answers = likelihoods if isinstance(likelihoods, Answers) else stack_answers(likelihoods)
    table = np.asarray(gains, dtype=np.float64)
    worlds = answers.worlds
    if table.ndim != 2 or table.shape[1] != worlds or worlds < 4:
        raise Unusable(
            f"the gains have shape {table.shape} and the looks cover {worlds} worlds",
            remedy="Draw both on the same worlds, at least four of them.",
        )
    weight = relative_weights(weights, worlds)
    seen = _drawn(answers, np.asarray(uniforms))
    half = np.arange(worlds) % 2
    moments = [_moments(seen, table, weight, half == each) for each in (0, 1)]
    spent = np.ones(answers.questions) if minutes is None else np.asarray(minutes, dtype=np.float64)
    order, share = _most_telling(answers, moments[0] + moments[1], table, spent, limit_minutes)
    chosen = [row for look in order for row in _rows(answers, look)]
    gained = np.empty(worlds)
    for each in (0, 1):
        judge = half != each
        pick, usual = _decide(moments[each], seen[:, judge], chosen)
        gained[judge] = _at(table[:, judge], pick) - table[usual, judge]
    raw = float((weight * gained).mean())
    error = float(np.sqrt((weight**2 * (gained - raw) ** 2).sum()) / worlds)
    return Visit(raw if raw > SURE * error else 0.0, error, raw, tuple(order), tuple(share))


def _rows(answers: Answers, look: int) -> range:
    return range(1 + int(answers.starts[look]), 1 + int(answers.starts[look + 1]))


def _drawn(answers: Answers, uniforms: NDArray[np.floating]) -> Floats:
    """A row of ones, then for each answer but a look's last: was it the one given."""
    seen = np.zeros((1 + int(answers.starts[-1]), answers.worlds))
    seen[0] = 1
    for look, chances in enumerate(answers.tables):
        below = np.zeros(answers.worlds)
        for row, chance in zip(_rows(answers, look), chances, strict=True):
            upto = below + chance
            seen[row] = (below <= uniforms[look]) & (uniforms[look] < upto)
            below = upto
    return seen


def _moments(seen: Floats, table: Floats, weight: Floats, part: NDArray[np.bool_]) -> Floats:
    """Sums of products of everything with everything over part of the worlds."""
    rows = np.concatenate((seen, table))[:, part]
    return np.asarray(block_sums(rows * weight[part], rows).sum(axis=0))


def _sweep(moments: Floats, row: int) -> None:
    """Explain every other row by this one, in place."""
    pivot = moments[row, row]
    line = moments[row] / pivot
    column = moments[:, row].copy()
    moments -= np.multiply.outer(column, line)
    moments[row], moments[:, row] = line, -column / pivot
    moments[row, row] = 1 / pivot


def _shrunk(moments: Floats, decisions: int) -> Floats:
    """Moments about the means, with a little doubt added to every answer."""
    swept = moments.copy()
    _sweep(swept, 0)
    answers = np.arange(1, len(swept) - decisions)
    swept[answers, answers] += _DOUBT
    return swept


def _most_telling(
    answers: Answers, moments: Floats, table: Floats, minutes: Floats, limit: float
) -> tuple[list[int], list[float]]:
    """Take looks one by one, each time the one that explains most of the gains in doubt."""
    swept = _shrunk(moments, len(table))
    groups = _by_size(answers)
    left, order, told = np.ones(answers.questions, dtype=bool), list[int](), list[float]()
    time = 0.0
    while (fits := left & (time + minutes <= limit)).any():
        gain = _explained(swept, groups, len(table), fits)
        best = int(np.argmax(np.where(fits, gain / minutes, -1.0)))
        for row in _rows(answers, best):
            _sweep(swept, row)
        order.append(best)
        told.append(float(gain[best]))
        time += float(minutes[best])
        left[best] = False
    whole = sum(told)
    return order, [each / whole if whole > 0 else 1 / len(told) for each in told]


def _by_size(answers: Answers) -> list[tuple[NDArray[np.intp], NDArray[np.intp]]]:
    """Looks with equally many answers together, and the rows of each."""
    sizes = np.diff(answers.starts)
    groups = []
    for size in np.unique(sizes):
        looks = np.flatnonzero(sizes == size)
        groups.append((looks, 1 + answers.starts[looks][:, None] + np.arange(size)))
    return groups


def _explained(
    swept: Floats,
    groups: list[tuple[NDArray[np.intp], NDArray[np.intp]]],
    decisions: int,
    fits: NDArray[np.bool_],
) -> Floats:
    """How much of the spread of all decisions' gains each look explains beyond those taken."""
    gain = np.zeros(len(fits))
    for looks, rows in groups:
        asked = fits[looks]
        these = rows[asked]
        cross = swept[these, len(swept) - decisions :]
        within = swept[these[:, :, None], these[:, None, :]]
        if rows.shape[1] == 1:
            gain[looks[asked]] = (cross[:, 0] ** 2).sum(axis=1) / within[:, 0, 0]
        else:
            gain[looks[asked]] = (cross * np.linalg.solve(within, cross)).sum(axis=(1, 2))
    return gain


def _decide(moments: Floats, seen: Floats, rows: list[int]) -> tuple[NDArray[np.intp], int]:
    """The decision for each world's answers, and the one taken without looking."""
    decisions = len(moments) - len(seen)
    swept = _shrunk(moments, decisions)
    usual = int(swept[0, len(seen) :].argmax())
    for row in rows:
        _sweep(swept, row)
    kept = [0, *rows]
    expected = swept[kept, len(seen) :].T @ seen[kept]
    pick = expected.argmax(axis=0)
    pick[_at(expected, pick) <= expected[usual]] = usual
    return pick, usual


def _at(table: Floats, pick: NDArray[np.intp]) -> Floats:
    return np.asarray(np.take_along_axis(table, pick[None], axis=0)[0])
