"""One bid looked at only in the worlds in which it wins: what a search adds up again and again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.choose.commit import Candidate, met_by

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Play:
    """One bid of one candidate.

    Attributes
    ----------
    where : ndarray of int, shape (won,)
        The worlds in which it wins.
    net : ndarray, shape (options, won), money
        What each option brings, the price paid.
    takes : ndarray, shape (limits, options, won)
        What each option takes of each limit.
    bits : tuple of int
        Of the needs it might meet, among all needs.
    option_of : ndarray of int
        Which option is taken, by which of those needs are met.
    meets : ndarray of int, shape (options,)
        Which needs an option meets, as bits of all needs.
    """

    where: Whole
    net: Floats
    takes: Floats
    bits: tuple[int, ...]
    option_of: Whole
    meets: Whole

    def add(self, met: Whole, spent: Floats) -> float:
        """Add it to what was bid before it; both arrays are changed.

        Parameters
        ----------
        met : ndarray of int, shape (worlds,)
            Needs that are met, as bits.
        spent : ndarray, shape (limits, worlds)
            What is taken of each limit.

        Returns
        -------
        float
            What it brings, summed over the worlds.

        Examples
        --------
        >>> import numpy as np
        >>> row = np.array([[90.0, 70.0]])
        >>> lot = Candidate(np.array([60.0]), row > 80, row * 0 + 60, row, row * 0, row * 0, row[0])
        >>> play, spent = play_of(lot, 1, ("money",), {}), np.zeros((1, 2))
        >>> play.add(np.zeros(2, dtype=np.int64), spent), spent.tolist()
        (30.0, [[60.0, 0.0]])
        """
        if not self.bits:
            spent[:, self.where] += self.takes[:, 0]
            return float(self.net[0].sum())
        had = met[self.where]
        known = np.zeros(len(had), dtype=np.int64)
        for place, bit in enumerate(self.bits):
            known |= ((had & bit) != 0).astype(np.int64) << place
        option, each = self.option_of[known], np.arange(len(had))
        met[self.where] = had | self.meets[option]
        spent[:, self.where] += self.takes[:, option, each]
        return float(self.net[option, each].sum())


def play_of(one: Candidate, level: int, counted: Sequence[str], bit: Mapping[str, int]) -> Play:
    """One bid, ready to be added.

    Parameters
    ----------
    one : Candidate
    level : int
        Which of its bids, counted from 1.
    counted : sequence of str
        Which limits count: money, hours, floor.
    bit : mapping of str to int
        Of every need.

    Returns
    -------
    Play

    References
    ----------
    By definition.
    """
    where = np.flatnonzero(one.wins[level - 1])
    paid = one.pays[level - 1][where]
    options = len(one.meets)
    tables = {
        "money": one.money[:, where] + paid,
        "hours": one.hours[:, where],
        "floor": np.broadcast_to(one.floor[where], (options, len(where))),
    }
    return Play(
        where=where,
        net=one.gain[:, where] - paid,
        takes=np.array([tables[name] for name in counted]).reshape(
            len(counted), options, len(where)
        ),
        bits=tuple(bit[need] for need in one.needs),
        option_of=np.asarray(one.option_of, dtype=np.int64),
        meets=met_by(one, bit),
    )
