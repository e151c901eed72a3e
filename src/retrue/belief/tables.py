"""The tables of the sum; findings that couple faults are signed through an auxiliary, or whole."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor, frame
from retrue.belief.gather import Gathered, Lone, lone_factors, lone_groups
from retrue.belief.network import Seen

Floats = NDArray[np.float64]
Scope = tuple[int, int]  # number of the group of lone faults, index of the frame's scope


@dataclass(frozen=True, slots=True, eq=False)
class Parts:
    """All that is to be summed.

    Attributes
    ----------
    tables : list of Factor
    log_level : float
        Natural logarithm of what multiplies the sum; minus infinity if nothing is possible.
    shift : int
        How many auxiliaries are numbered between the roots and the faults.
    groups : list of Lone
        The faults that no coupling finding touches.
    masks : dict of Scope to int
        Over which variables the factor of each scope of lone faults is.
    """

    tables: list[Factor]
    log_level: float
    shift: int
    groups: list[Lone]
    masks: dict[Scope, int]


def parts(state: Gathered, *, whole: bool, all_scopes: bool) -> Parts:
    """Make the tables of the sum.

    Parameters
    ----------
    state : Gathered
    whole : bool
        Coupling findings as whole tables without signs, else through signed auxiliaries.
    all_scopes : bool
        Also scopes whose faults nothing was said of.

    Returns
    -------
    Parts
    """
    roots = state.network.roots
    tables = [Factor(1 << r, state.root_weight[r]) for r in range(roots)]
    groups = lone_groups(state)
    masks: dict[Scope, int] = {}
    for number, group in enumerate(groups):
        for scope, factor in lone_factors(state, group, all_scopes=all_scopes):
            masks[number, scope] = factor.mask
            tables.append(factor)
    shift = 0 if whole else len(state.coupling)
    for fault in sorted({f for seen in state.coupling for f in seen.faults}):
        tables.extend(coupled_fault(state, fault, shift))
    for place, seen in enumerate(state.coupling):
        tables.extend([unsigned(seen)] if whole else signed(seen, roots + place, shift))
    level = math.prod(t.table.item() for t in tables if not t.mask)
    log_level = float(state.log_level[0]) + (math.log(level) if level > 0.0 else -math.inf)
    return Parts([t for t in tables if t.mask], log_level, shift, groups, masks)


def whole_masks(state: Gathered, signs: Parts) -> list[int]:
    """Over what the tables of a sum without signs would be, in their order; none is made.

    Parameters
    ----------
    state : Gathered
    signs : Parts
        Of the same state, through signed auxiliaries.

    Returns
    -------
    list of int
        Bit masks. A table over very many faults could not even be made.
    """
    roots, shift = state.network.roots, signs.shift
    auxiliaries = (1 << shift) - 1 << roots
    own = [table.mask for table in signs.tables if not table.mask & auxiliaries]
    masks = [m & (1 << roots) - 1 | m >> roots + shift << roots for m in own]
    return masks + [
        sum(1 << fault for fault in seen.faults) | (0 if seen.gate is None else 1 << seen.gate)
        for seen in state.coupling
    ]


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
