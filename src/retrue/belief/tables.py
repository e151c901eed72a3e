"""Evidence that couples faults, as tables: signed through an auxiliary, or whole."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor, frame
from retrue.belief.gather import Gathered
from retrue.belief.network import Seen

Floats = NDArray[np.float64]


def coupled_fault(state: Gathered, fault: int, shift: int = 0) -> list[Factor]:
    """A fault as a variable: its own table with what is known of it, and its informants' words.

    Parameters
    ----------
    state : Gathered
    fault : int
        Variable of the network.
    shift : int
        How many auxiliaries are numbered below the faults.

    Returns
    -------
    list of Factor
    """
    place = fault - state.network.roots
    base = frame(state.network)
    table = base.both[place]
    absent, present = state.plain[place].tolist()
    if absent != 1.0 or present != 1.0:
        table = table * np.array([absent, present]).reshape((2,) + (1,) * (table.ndim - 1))
    bit = 1 << fault + shift
    tables = [Factor(base.own[place].mask | bit, table)]
    for gate, weight in state.gated.items():
        pair = weight[:, place]
        if pair.min() != 1.0 or pair.max() != 1.0:
            tables.append(Factor(bit | 1 << gate, np.ascontiguousarray(pair.T)))
    return tables


def signed(seen: Seen, auxiliary: int, shift: int) -> list[Factor]:
    """A coupling finding as one signed auxiliary tied to each of its faults.

    Parameters
    ----------
    seen : Seen
        Two terms.
    auxiliary : int
        Number of the auxiliary in the sum.
    shift : int
        How many auxiliaries are numbered below the faults.

    Returns
    -------
    list of Factor
        The coefficients, then one small table a fault.

    References
    ----------
    Takikawa and D'Ambrosio, UAI 1999 (multiplicative factorization of noisy-max);
    Diez and Galan, Int. J. Intelligent Systems 18 (2003) 165-177; both from memory.
    """
    own = 1 << auxiliary | (0 if seen.gate is None else 1 << seen.gate)
    tables = [Factor(own, np.ascontiguousarray(seen.coefficient.T))]
    pairs = np.ones((len(seen.faults), 2, *seen.coefficient.T.shape))
    pairs[:, 1] = seen.ratio.transpose(2, 1, 0)
    tables.extend(
        Factor(own | 1 << fault + shift, pair)
        for fault, pair in zip(seen.faults, pairs, strict=True)
    )
    return tables


def unsigned(seen: Seen) -> Factor:
    """A coupling finding as one whole table over its faults and its informant's candour.

    Parameters
    ----------
    seen : Seen

    Returns
    -------
    Factor
        Without signs: every cell is a chance.

    Examples
    --------
    >>> from retrue.belief.looks import look
    >>> unsigned(look("a", "seen", [0, 1], [0.5, 0.5], 0.0)).table.tolist()
    [[0.0, 0.5], [0.5, 0.75]]
    """
    order = sorted(range(len(seen.faults)), key=lambda i: -seen.faults[i])
    rows = []
    for coefficient, ratio in zip(seen.coefficient, seen.ratio, strict=True):
        total = np.zeros(1 << len(order))
        for level, term in zip(coefficient, ratio, strict=True):
            part = np.array([level])
            for i in order:
                part = np.multiply.outer(part, (1.0, term[i])).reshape(-1)
            total += part
        rows.append(total)
    mask = sum(1 << f for f in seen.faults)
    shape = (2,) * len(order)
    if seen.gate is None:
        return Factor(mask, rows[0].reshape(shape))
    return Factor(mask | 1 << seen.gate, np.stack(rows, axis=-1).reshape((*shape, 2)))
