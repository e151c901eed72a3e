"""Several bids at once, under limits: what each choice of bids brings and spends, world by world.

A bid may win or not, and what is won spends money, hours and floor that the next one would need.
Here stands what a choice of bids comes to; ``commit_search`` looks for the best choice,
``commit_bound`` says how far from the best it can be, ``commit_choice`` puts both together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Unusable
from retrue.choose.commit_limits import CLOSE, Came, Limits, no_more_than, nothing

__all__ = [
    "CLOSE", "Came", "Candidate", "Levels", "Limits", "add", "came_of", "each_of", "in_order",
    "met_by", "needs_as_bits", "no_more_than", "nothing",
]  # fmt: skip

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Whole = NDArray[np.int64]
Levels = tuple[int, ...]  # of each candidate: 0 no bid, else which of its bids, counted from 1


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """One lot that may be bid on. Money in one currency; worlds are the same for all candidates.

    Attributes
    ----------
    bids : ndarray, shape (bids,), money
        What may be bid, rising.
    wins : ndarray of bool, shape (bids, worlds)
        Where each bid wins.
    pays : ndarray, shape (bids, worlds), money
        What is then paid, with all that goes up with the hammer.
    gain : ndarray, shape (options, worlds), money
        What each thing that could be done with it brings at price 0 against the alternative.
    money : ndarray, shape (options, worlds)
        Money each takes beside the price.
    hours : ndarray, shape (options, worlds)
        Own hours each takes.
    floor : ndarray, shape (worlds,), m2
        Floor it takes.
    needs : tuple of str
        Needs that it might meet.
    option_of : tuple of int, one entry for each set of needs that are met already
        Which option is taken then; bit i of the place stands for ``needs[i]``.
    meets : tuple of int, one entry an option
        Which of ``needs`` it meets, as bits.
    held : bool
        Whether it is won already: there is one bid, which wins everywhere.
    """

    bids: Floats
    wins: Bools
    pays: Floats
    gain: Floats
    money: Floats
    hours: Floats
    floor: Floats
    needs: tuple[str, ...] = ()
    option_of: tuple[int, ...] = (0,)
    meets: tuple[int, ...] = (0,)
    held: bool = False

    def __post_init__(self) -> None:
        """Refuse tables that do not belong together."""
        worlds, options = self.floor.size, len(self.meets)
        shapes = (
            self.wins.shape == self.pays.shape == (len(self.bids), worlds)
            and self.gain.shape == self.money.shape == self.hours.shape == (options, worlds)
            and len(self.option_of) == 1 << len(self.needs)
            and all(0 <= option < options for option in self.option_of)
        )
        if not shapes or (self.held and len(self.bids) != 1):
            raise Unusable(
                "bids, options and needs of a candidate do not belong together",
                remedy="Give each bid and each option a row, and each set of needs an option.",
            )

    @property
    def worlds(self) -> int:
        """How many worlds it was drawn in."""
        return int(self.floor.size)

    @property
    def extra(self) -> float:
        """What it brings more where nobody else has met its needs, on average."""
        first, last = self.gain[self.option_of[0]], self.gain[self.option_of[-1]]
        return float(first.mean() - last.mean())

    def within(self, worlds: slice) -> Candidate:
        """The same in some of the worlds.

        Parameters
        ----------
        worlds : slice

        Returns
        -------
        Candidate
        """
        return replace(
            self,
            wins=self.wins[:, worlds],
            pays=self.pays[:, worlds],
            gain=self.gain[:, worlds],
            money=self.money[:, worlds],
            hours=self.hours[:, worlds],
            floor=self.floor[worlds],
        )


def in_order(candidates: Sequence[Candidate]) -> tuple[int, ...]:
    """Who meets a need first where several are won: the one to which it is worth most.

    Parameters
    ----------
    candidates : sequence of Candidate

    Returns
    -------
    tuple of int
        Places of the candidates. The order is fixed by averages before anything is won: a choice
        never reads what was drawn.

    References
    ----------
    By definition.

    Examples
    --------
    >>> in_order([])
    ()
    """
    return tuple(sorted(range(len(candidates)), key=lambda i: (-candidates[i].extra, i)))


def came_of(candidates: Sequence[Candidate], levels: Sequence[int]) -> Came:
    """What a choice of bids comes to in every world.

    Each need is met once: of what is won, the first in ``in_order`` takes the option that meets
    it, the others take what they would if it were met already.

    Parameters
    ----------
    candidates : sequence of Candidate
        In any order, drawn in the same worlds.
    levels : sequence of int
        Which bid of each: 0 none, else counted from 1.

    Returns
    -------
    Came

    References
    ----------
    By definition.

    Examples
    --------
    Two lathes for one need, both surely won: the second is sold on.

    >>> def lathe(kept, sold):
    ...     two = np.array([[kept], [sold]])
    ...     return Candidate(np.array([50.0]), np.array([[True]]), np.array([[50.0]]), two,
    ...         two * 0 + 10, two * 0 + 30, np.array([8.0]), ("turning",), (0, 1), (1, 0))
    >>> came = came_of([lathe(200.0, 60.0), lathe(300.0, 70.0)], (1, 1))
    >>> came.gain.tolist(), came.money.tolist(), came.floor.tolist()
    ([260.0], [120.0], [16.0])
    """
    worlds = candidates[0].worlds if candidates else 0
    total = nothing(worlds)
    for came in each_of(candidates, levels):
        total = total + came
    return total


def each_of(candidates: Sequence[Candidate], levels: Sequence[int]) -> tuple[Came, ...]:
    """The same, for each candidate apart.

    Parameters
    ----------
    candidates : sequence of Candidate
    levels : sequence of int

    Returns
    -------
    tuple of Came
        In the order of the candidates; where one is lost it brings and takes nothing.

    References
    ----------
    By definition.
    """
    worlds = candidates[0].worlds if candidates else 0
    bit = needs_as_bits(candidates)
    came, met = [nothing(worlds)] * len(candidates), np.zeros(worlds, dtype=np.int64)
    for place in in_order(candidates):
        if levels[place]:
            came[place], met = add(candidates[place], levels[place], met, bit)
    return tuple(came)


def needs_as_bits(candidates: Sequence[Candidate]) -> dict[str, int]:
    """A bit for every need that any candidate might meet.

    Parameters
    ----------
    candidates : sequence of Candidate

    Returns
    -------
    dict of str to int

    References
    ----------
    By definition.

    Examples
    --------
    >>> needs_as_bits([])
    {}
    """
    names = dict.fromkeys(need for one in candidates for need in one.needs)
    return {need: 1 << place for place, need in enumerate(names)}


def add(one: Candidate, level: int, met: Whole, bit: Mapping[str, int]) -> tuple[Came, Whole]:
    """What one more bid adds, given which needs are met already.

    Parameters
    ----------
    one : Candidate
    level : int
        Which of its bids, counted from 1.
    met : ndarray of int, shape (worlds,)
        Needs met before it, as bits.
    bit : mapping of str to int
        Of every need.

    Returns
    -------
    tuple of Came and ndarray of int
        What it adds in each world, nothing where it is lost; and the needs met then.

    References
    ----------
    By definition.
    """
    won, pays = one.wins[level - 1], one.pays[level - 1]
    if not one.needs:
        gain, money, hours = one.gain[0], one.money[0], one.hours[0]
    else:
        rows, index = _options(one, met, bit), np.arange(one.worlds)
        gain, money, hours = one.gain[rows, index], one.money[rows, index], one.hours[rows, index]
        met = np.where(won, met | met_by(one, bit)[rows], met)
    added = Came(
        gain=np.where(won, gain - pays, 0.0),
        money=np.where(won, pays + money, 0.0),
        hours=np.where(won, hours, 0.0),
        floor=np.where(won, one.floor, 0.0),
    )
    return added, met


def _options(one: Candidate, met: Whole, bit: Mapping[str, int]) -> Whole:
    """Which option is taken in each world."""
    known = np.zeros(one.worlds, dtype=np.int64)
    for place, need in enumerate(one.needs):
        known |= ((met & bit[need]) != 0).astype(np.int64) << place
    return np.asarray(np.asarray(one.option_of)[known])


def met_by(one: Candidate, bit: Mapping[str, int]) -> Whole:
    """Of each option, the needs it meets, as bits of all needs.

    Parameters
    ----------
    one : Candidate
    bit : mapping of str to int
        Of every need.

    Returns
    -------
    ndarray of int, shape (options,)

    References
    ----------
    By definition.
    """
    rows = [
        sum(bit[need] for place, need in enumerate(one.needs) if meets >> place & 1)
        for meets in one.meets
    ]
    return np.asarray(rows, dtype=np.int64)
