"""How far a lot's gain may be off by the luck of the draw: worked out anew in tenths of it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from retrue.cases.screen.price_seen import Sale
from retrue.cases.view import View
from retrue.choose.walkaway import down_to_step, prices

Floats = NDArray[np.float64]

TENTHS = 10
FOUR = 4  # worlds that lie together: the likelier and the rarer faults of a stand-in, two of each
NINETEEN_IN_TWENTY = 2.262  # errors either way: Student's t, 9 degrees of freedom


def tenths_of(view: View, sale: Sale) -> tuple[float, ...]:
    """Gain of going for a lot in each tenth of its worlds, as if there were no others.

    The price not to go above, and the option that carries it, are learnt anew in each: they err as
    well, and by more than the mean does.

    Parameters
    ----------
    view : View
    sale : Sale
        Of the same lot.

    Returns
    -------
    tuple of float, length TENTHS
        Money in the shop's currency, to the cent.

    Notes
    -----
    Worlds beyond ten equal parts of whole fours are left out of it. The share of its limit that a
    sealed bid is stays that of all worlds: near the best bid the gain hardly depends on it.

    References
    ----------
    Sectioning: Asmussen and Glynn 2007, Stochastic Simulation, chapter III, section 5.
    """
    settled = view.settled
    size = view.gains.shape[1] // TENTHS // FOUR * FOUR
    gains, most = np.zeros(view.gains.shape[1]), np.zeros(view.gains.shape[1])
    for part in _parts(size):
        exact = prices(view.gains[:, part], odds=settled.odds, k=settled.k)
        best = int(np.argmax(exact))
        gains[part] = view.gains[best, part]
        most[part] = down_to_step(float(exact[best]), settled.step)
    going = sale.up_to_each(most)
    each = (gains * going.wins - settled.k * going.paid) * settled.exchange
    return tuple(round(float(each[part].mean()), 2) for part in _parts(size))


def _parts(size: int) -> list[slice]:
    return [slice(at * size, (at + 1) * size) for at in range(TENTHS)]


def error_of(tenths: Sequence[float]) -> float:
    """Standard error of what all worlds say, by how its tenths differ.

    Parameters
    ----------
    tenths : sequence of float

    Returns
    -------
    float
        In their unit.

    References
    ----------
    Asmussen and Glynn 2007, Stochastic Simulation, chapter III, section 5.

    Examples
    --------
    >>> round(error_of([90.0, 110.0] * 5), 2)
    3.33
    """
    return float(np.std(tenths, ddof=1)) / math.sqrt(len(tenths))
