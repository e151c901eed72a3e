"""What an answer is worth before it is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.choose.blocks import block_size, block_sums, relative_weights

Floats = NDArray[np.float64]
Reals = NDArray[np.float32] | NDArray[np.float64]

_ROWS = 32  # of answers multiplied at a time
SURE = 2.0  # a worth below this many standard errors cannot be told from nothing


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """Chances of answers, one table a question, all over the same worlds.

    Attributes
    ----------
    tables : tuple of ndarray, shape (answers - 1, worlds)
        P(answer | world), every answer of a question but its last, which is what is left.
    starts : ndarray of int, shape (questions + 1,)
        With all tables under one another, question ``q`` has the rows from ``starts[q]`` up to
        ``starts[q + 1]``.
    """

    tables: tuple[Reals, ...]
    starts: NDArray[np.intp]

    @property
    def questions(self) -> int:
        """How many questions there are."""
        return len(self.tables)

    @property
    def worlds(self) -> int:
        """How many worlds they cover."""
        return int(self.tables[0].shape[1])

    def only(self, questions: Sequence[int]) -> Answers:
        """The same answers for some of the questions, in the order given."""
        return _answers([self.tables[q] for q in questions])


@dataclass(frozen=True, slots=True, eq=False)
class Worths:
    """What each question is worth, one entry a question, money.

    ``worth`` is zero where it cannot be told from nothing; ``raw`` is the estimate itself and
    ``error`` its standard error; ``tie`` marks questions whose net worth cannot be told from the
    best one's.
    """

    worth: Floats
    error: Floats
    tie: NDArray[np.bool_]
    raw: Floats


def stack_answers(likelihoods: Sequence[ArrayLike]) -> Answers:
    """Take the answers of all questions together.

    Parameters
    ----------
    likelihoods : sequence of array_like
        For each question either shape (worlds,), the chance of "yes" in each world, or shape
        (outcomes, worlds), every answer's chance; columns then sum to 1. Between 0 and 1. Single
        precision is kept if all of it is single.

    Returns
    -------
    Answers
        Without the last answer of each question, which is what is left.

    Raises
    ------
    Unusable
        No question, or tables of different width.

    References
    ----------
    None: bookkeeping.

    Examples
    --------
    >>> stack_answers([[0.2, 0.9], [[0.5, 0.1], [0.3, 0.1], [0.2, 0.8]]]).starts.tolist()
    [0, 1, 3]
    """
    tables: list[Reals] = [np.asarray(each) for each in likelihoods]
    tables = [each[None] if each.ndim == 1 else each[:-1] for each in tables]
    if not tables or len({each.shape[-1] for each in tables}) != 1:
        raise Unusable(
            "the chances of the answers do not cover the same worlds",
            remedy="Give, for each question, one chance a world for every answer.",
        )
    if not all(each.dtype == np.float32 for each in tables):
        tables = [each.astype(np.float64, copy=False) for each in tables]
    return _answers(tables)


def _answers(tables: Sequence[Reals]) -> Answers:
    ends = np.cumsum([0, *(len(each) for each in tables)], dtype=np.intp)
    return Answers(tuple(tables), ends)


def worth_of_answers(
    gains: ArrayLike,
    likelihoods: Sequence[ArrayLike] | Answers,
    *,
    weights: ArrayLike | None = None,
    costs: ArrayLike = 0.0,
    split: bool = True,
) -> Worths:
    """Expected rise of the best mean gain when a question is answered before deciding.

    All questions in one matrix product. With ``split`` the decision for each answer is learnt on
    half of the worlds and valued on the other half, both ways round, so that choosing the best of
    noisy means cannot flatter a question; a worth below two standard errors is then zero.

    Parameters
    ----------
    gains : array_like of float, shape (decisions, worlds), money
        Gain of each decision less its price; walking away is a row of zeros and must be given.
    likelihoods : sequence of array_like, or Answers
        As in `stack_answers`.
    weights : array_like of float, shape (worlds,), optional
        Weight of each world; equal when left out.
    costs : array_like of float, shape (questions,), money
        What asking costs, used only to mark ties of net worth.
    split : bool
        False for worlds that are not draws but the whole truth (a decision tree): exact, error 0.

    Returns
    -------
    Worths
        One entry a question, money.

    Raises
    ------
    Unusable
        Shapes that do not belong together, or too few worlds to split.

    References
    ----------
    Raiffa and Schlaifer 1961, Applied Statistical Decision Theory, chapter 4 (expected value of
    sample information); Howard 1966, Information Value Theory, IEEE Transactions on Systems
    Science and Cybernetics 2(1).

    Examples
    --------
    >>> gains = [[0.0, 0.0, 0.0], [-70.0, 50.0, 200.0]]  # walk; drill: dry, wet, soaking
    >>> seismic = [[0.6, 0.3, 0.1], [0.3, 0.4, 0.4], [0.1, 0.3, 0.5]]  # none, open, closed
    >>> found = worth_of_answers(gains, [seismic], weights=[0.5, 0.3, 0.2], split=False)
    >>> found.worth.round(6).tolist()
    [12.5]
    """
    answers = likelihoods if isinstance(likelihoods, Answers) else stack_answers(likelihoods)
    values, share = _weighed(gains, weights, answers)
    by_answer, by_block = _outcome_sums(answers, values)
    if not split:
        raw = np.maximum(_best_sum(answers, by_answer.sum(axis=0)), by_block.sum(axis=0).max())
        raw = (raw - by_block.sum(axis=0).max()) / len(share)
        return Worths(raw, np.zeros_like(raw), _ties(raw[None], raw, costs, share[:1]), raw)
    if len(by_block) < 4:
        raise Unusable(
            "there are too few worlds to choose on half of them and value on the other half",
            remedy="Draw more worlds, or give the whole tree and do not split.",
        )
    gained = np.empty((len(by_block), answers.questions))
    for half in (0, 1):
        learn, judge = slice(half, None, 2), slice(1 - half, None, 2)
        gained[judge] = _gained(answers, by_answer, by_block, learn, judge)
    weight = block_sums(share[None], np.ones((1, len(share))))[:, 0, 0]
    raw, error = _mean_and_error(gained, weight)
    worth = np.where(raw > SURE * error, raw, 0.0)
    return Worths(worth, error, _ties(gained, worth, costs, weight), raw)


def perfect_information(gains: ArrayLike, *, weights: ArrayLike | None = None) -> float:
    """Expected rise of the gain if the truth were known before deciding.

    Parameters
    ----------
    gains : array_like of float, shape (decisions, worlds), money
        As in `worth_of_answers`.
    weights : array_like of float, shape (worlds,), optional
        Equal when left out.

    Returns
    -------
    float
        Money; no question, and no set of questions, is worth more.

    Raises
    ------
    Unusable
        Shapes that do not belong together.

    References
    ----------
    Raiffa and Schlaifer 1961, Applied Statistical Decision Theory, chapter 4 (expected value of
    perfect information).

    Examples
    --------
    >>> perfect_information([[0.0, 0.0, 0.0], [-70.0, 50.0, 200.0]], weights=[0.5, 0.3, 0.2])
    35.0
    """
    table = np.asarray(gains, dtype=np.float64)
    share = relative_weights(weights, table.shape[-1]) / table.shape[-1]
    best = float((table * share).sum(axis=1).max())
    return max(0.0, float((table.max(axis=0) * share).sum()) - best)


def _weighed(gains: ArrayLike, weights: ArrayLike | None, answers: Answers) -> tuple[Reals, Floats]:
    table = np.asarray(gains, dtype=np.float64)
    worlds = answers.worlds
    if table.ndim != 2 or not len(table) or table.shape[1] != worlds:
        raise Unusable(
            f"the gains have shape {table.shape} and the answers cover {worlds} worlds",
            remedy="Draw both on the same worlds: one row a decision, one column a world.",
        )
    share = relative_weights(weights, worlds)
    weighed = table if weights is None else table * share
    if answers.tables[0].dtype == np.float32:
        return weighed.astype(np.float32), share
    return weighed, share


def _outcome_sums(answers: Answers, values: Reals) -> tuple[Floats, Floats]:
    """Gains summed over each block: by answer (all questions' answers in a row), and in all."""
    worlds = values.shape[1]
    sums = np.empty((worlds // block_size(worlds), int(answers.starts[-1]), len(values)))
    # a few rows at a time, in one place: copying all of them would take longer than the product
    room = np.empty((max(_ROWS, int(np.diff(answers.starts).max())), worlds), values.dtype)
    first = 0
    while first < answers.questions:
        start = int(answers.starts[first])
        last = int(np.searchsorted(answers.starts, start + len(room), side="right")) - 1
        end = int(answers.starts[last])
        rows = np.concatenate(answers.tables[first:last], out=room[: end - start])
        sums[:, start:end] = block_sums(rows, values)
        first = last
    whole = block_sums(np.ones((1, worlds), dtype=values.dtype), values)[:, 0]
    left = whole[:, None] - np.add.reduceat(sums, answers.starts[:-1], axis=1)
    return np.concatenate((sums, left), axis=1), whole


def _by_question(answers: Answers, chosen: Floats) -> Floats:
    """Add up the answers of each question; the last axis runs over answers."""
    rows = answers.starts[-1]
    kept = np.add.reduceat(chosen[..., :rows], answers.starts[:-1], axis=-1)
    return np.asarray(kept + chosen[..., rows:])


def _best_sum(answers: Answers, by_answer: Floats) -> Floats:
    return _by_question(answers, by_answer.max(axis=1))


def _gained(
    answers: Answers, by_answer: Floats, by_block: Floats, learn: slice, judge: slice
) -> Floats:
    """Sums over the judging blocks of what the decisions learnt on the others bring."""
    usual = int(by_block[learn].sum(axis=0).argmax())
    known = by_answer[learn].sum(axis=0)
    pick = known.argmax(axis=1)
    pick[known[np.arange(len(known)), pick] <= known[:, usual]] = usual
    chosen = by_answer[judge][:, np.arange(len(known)), pick]
    return _by_question(answers, chosen) - by_block[judge, usual, None]


def _mean_and_error(gained: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """Weighted mean over worlds and its standard error from the scatter of the blocks."""
    blocks, whole = len(gained), weight.sum()
    mean = gained.sum(axis=0) / whole
    scatter = ((gained - mean * weight[:, None]) ** 2).sum(axis=0)
    return mean, np.sqrt(scatter * blocks / (blocks - 1)) / whole


def _ties(gained: Floats, worth: Floats, costs: ArrayLike, weight: Floats) -> NDArray[np.bool_]:
    net = worth - np.asarray(costs, dtype=np.float64)
    top = int(net.argmax())
    error = np.zeros_like(worth)
    if len(gained) > 1:
        error = _mean_and_error(gained[:, [top]] - gained, weight)[1]
    tie = (worth > 0) & (net[top] - net <= SURE * error)
    tie[top] = tie.sum() > 1
    return np.asarray(tie)
