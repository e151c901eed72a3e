"""Evidence that couples faults, as tables: signed through an auxiliary, or whole."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor, frame
from retrue.belief.gather import Gathered
from retrue.belief.network import Seen

Floats = NDArray[np.float64]


def coupled_fault(state: Gathered, fault: int) -> list[Factor]:
    """A fault as a variable: its own table with what is known of it, and its informants' words."""
    place = fault - state.network.roots
    own = frame(state.network).own[place]
    absent, present = state.plain[place]
    table = np.stack([(1.0 - own.table) * absent, own.table * present])
    tables = [Factor(own.mask | 1 << fault, table)]
    for gate, weight in state.gated.items():
        pair = weight[:, place].T
        if (pair != 1.0).any():
            tables.append(Factor(1 << fault | 1 << gate, np.ascontiguousarray(pair)))
    return tables


def signed(seen: Seen, auxiliary: int) -> list[Factor]:
    """A coupling finding as one signed auxiliary tied to each of its faults.

    References
    ----------
    Takikawa and D'Ambrosio, UAI 1999 (multiplicative factorization of noisy-max);
    Diez and Galan, Int. J. Intelligent Systems 18 (2003) 165-177; both from memory.
    """
    gate = seen.gate
    also = 0 if gate is None else 1 << gate
    coefficient = seen.coefficient[0] if gate is None else seen.coefficient.T
    tables = [Factor(1 << auxiliary | also, np.ascontiguousarray(coefficient))]
    pair = np.ones((len(seen.faults), seen.ratio.shape[1], 2, len(seen.ratio)))
    pair[:, :, 1, :] = seen.ratio.transpose(2, 1, 0)
    for i, fault in enumerate(seen.faults):
        table = pair[i, :, :, 0] if gate is None else pair[i]
        tables.append(Factor(1 << auxiliary | 1 << fault | also, np.ascontiguousarray(table)))
    return tables


def unsigned(seen: Seen) -> Factor:
    """A coupling finding as one whole table over its faults and its informant's candour."""
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
