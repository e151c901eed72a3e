"""The lots of a catalogue, those most worth a call first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, get_args

from retrue.cases.screen.screened import ScreenedLot

By = Literal["risk", "hour"]
WAYS: tuple[By, ...] = get_args(By)


def ranked(rows: Sequence[ScreenedLot], by: By = "risk") -> tuple[ScreenedLot, ...]:
    """Put the lots most worth a call first.

    Parameters
    ----------
    rows : sequence of ScreenedLot
    by : str
        risk: expected gain for each unit of money at risk; hour: for each own hour, and what
        needs none stands first.

    Returns
    -------
    tuple of ScreenedLot
        Those that may bring something; those that may bring nothing but a price; those worth no
        bid as they are known now, the least doubtful first, for an answer may change that; those
        without a price, as the catalogue has them.

    References
    ----------
    Dantzig 1957, Discrete-variable extremum problems, Operations Research 5(2): what is limited
    goes first to where a unit of it brings most.

    Examples
    --------
    >>> ranked(())
    ()
    """
    return tuple(sorted(rows, key=lambda row: _place(row, by)))


def _place(row: ScreenedLot, by: By) -> tuple[int, float, float, int, str]:
    group, value = 3, 0.0
    if row.walk_away is not None and row.walk_away <= 0:
        group, value = 2, -row.sorry
    elif row.walk_away is not None:
        group, value = (0 if row.gain > 0 else 1), _a_unit(row, by)
    return group, -value, -row.gain, row.line, row.number


def _a_unit(row: ScreenedLot, by: By) -> float:
    if by == "risk":
        return row.gain_per_risk
    return row.gain_per_hour if row.gain_per_hour is not None else math.inf
