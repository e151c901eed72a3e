"""How sure the order of a catalogue is: which places each lot may have by the luck of the draw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.cases.screen.rank import By
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.tenths import NINETEEN_IN_TWENTY, TENTHS
from retrue.cases.screen.worthy import is_worthy

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """The places a lot may have among those worth a call, counted from 1.

    Attributes
    ----------
    first, last : int
        Lots that are surely better stand before it, those that are surely poorer after it.
    """

    first: int
    last: int

    @property
    def sure(self) -> bool:
        """Whether it can be told apart from every other."""
        return self.first == self.last


def places(rows: Sequence[ScreenedLot], by: By = "risk") -> tuple[Places | None, ...]:
    """Which places each lot may have.

    Parameters
    ----------
    rows : sequence of ScreenedLot
        Best first, by the same.
    by : str
        risk or hour, as in `cases.screen.rank.ranked`.

    Returns
    -------
    tuple of Places or None
        In the same order; None where a lot is not worth a call.

    Notes
    -----
    Two lots are told apart where what a unit brings differs by more than it errs, in 19 draws of 20
    for each pair by itself. All lots are drawn alike, so what moves both moves no difference. Money
    at risk and own hours are taken as known: they err less than the gain.

    References
    ----------
    Goldstein and Spiegelhalter 1996, League tables and their limitations, Journal of the Royal
    Statistical Society A 159(3). Differences by batches: Law 2015, Simulation Modeling and
    Analysis, section 10.2 (paired-t).

    Examples
    --------
    >>> places(())
    ()
    """
    worthy = [row for row in rows if is_worthy(row)]
    told = iter(_places(worthy, by))
    return tuple(next(told) if is_worthy(row) else None for row in rows)


def _places(worthy: Sequence[ScreenedLot], by: By) -> list[Places]:
    free = [by == "hour" and row.gain_per_hour is None for row in worthy]  # of own hours: first
    value = np.array([_each(row, row.gain, by) for row in worthy])
    tenths = np.array([[_each(row, one, by) for one in _tenths(row)] for row in worthy])
    found = []
    for at, mine in enumerate(free):
        if mine:
            found.append(Places(first=1, last=sum(free)))
            continue
        error = (tenths[at] - tenths).std(axis=1, ddof=1) / TENTHS**0.5
        ahead = value - value[at]
        other = np.array(free)
        better = int((other | (ahead > NINETEEN_IN_TWENTY * error)).sum())
        poorer = int((~other & (-ahead > NINETEEN_IN_TWENTY * error)).sum())
        found.append(Places(first=1 + better, last=len(worthy) - poorer))
    return found


def _tenths(row: ScreenedLot) -> Sequence[float]:
    """Those of a row that was worked out by an older program are all the same."""
    return row.tenths or (row.gain,) * TENTHS


def _each(row: ScreenedLot, gain: float, by: By) -> float:
    """What a unit of money at risk, or an own hour, brings."""
    units = row.at_risk if by == "risk" else row.hours
    return gain / units if units > 0 else 0.0


def tied_first(rows: Sequence[Places | None]) -> int:
    """How many lots may have the first place.

    Parameters
    ----------
    rows : sequence of Places or None

    Returns
    -------
    int

    Examples
    --------
    >>> tied_first([Places(first=1, last=2), Places(first=1, last=2), None])
    2
    """
    return sum(row is not None and row.first == 1 for row in rows)
