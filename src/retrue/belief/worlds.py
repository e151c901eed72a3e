"""Exact, independent worlds from the posterior: the sum's own tables, read backwards."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from retrue.belief.descent import descend
from retrue.belief.drawing import Drawing, Index, Singles, chances, index_of
from retrue.belief.elimination import sum_product
from retrue.belief.frame import Factor, bits, frame
from retrue.belief.gather import Gathered, Lone, gather
from retrue.belief.narrow import left_out, narrowed
from retrue.belief.network import Evidence, Impossible, Network, Worlds
from retrue.belief.ordering import order
from retrue.belief.tables import Parts, parts, whole_masks

SIGNED_CELLS = 1 << 24
LEAF_CELLS = 1 << 23


def draw(
    network: Network,
    evidence: Sequence[Evidence],
    uniforms: Singles,
    *,
    leaf_cells: int = LEAF_CELLS,
    signed_cells: int = SIGNED_CELLS,
) -> Worlds:
    """Draw worlds: whole truths, each with the chance it has given the evidence.

    Parameters
    ----------
    network : Network
    evidence : sequence of Evidence
        In any order.
    uniforms : ndarray of float32, shape (variables, worlds)
        Uniform numbers in [0, 1); a world depends on its own column alone.
    leaf_cells : int
        Cells of the whole sum beyond which worlds are drawn from the signed one.
    signed_cells : int
        Cells of that one beyond which findings are set aside.

    Returns
    -------
    Worlds
        States of shape (variables, worlds).

    Raises
    ------
    Impossible
        The evidence contradicts itself.
    ValueError
        Two findings have one key, or the uniforms do not have one row a variable.

    Notes
    -----
    Every table of a whole sum is a probability, so its bucket, read at what was already drawn,
    gives the next variable's chance: independent exact draws, no weights. Where such tables
    would be wide, findings are summed through signed auxiliaries, which are never drawn.
    Findings are set aside only where that sum does not fit either.

    References
    ----------
    Koller and Friedman, Probabilistic Graphical Models, 2009, section 10.3.3.3 and exercise 12.1
    (sampling from a calibrated tree; from memory).

    Examples
    --------
    >>> net = Network(("h", "f"), np.array([0.5]), ((0,),), (np.array([0.1, 0.6]),))
    >>> draw(net, [], np.array([[0.2, 0.9], [0.5, 0.5]], dtype=np.float32)).states.tolist()
    [[True, False], [True, False]]
    """
    if len(uniforms) != len(network.names):
        raise ValueError("one row of uniform numbers is needed for every variable")
    full = gather(network, evidence)
    if full.log_level[0] == -np.inf or not full.plain.any(axis=1).all():
        raise Impossible("the evidence contradicts itself")
    drawing = Drawing(
        np.zeros(uniforms.shape, dtype=np.bool_), np.zeros(uniforms.shape, dtype=np.int32), uniforms
    )
    signs = parts(full, whole=False, all_scopes=False)
    turn = order(whole_masks(full, signs))
    if turn.cells <= leaf_cells:
        plain = parts(full, whole=True, all_scopes=False)
        drawing.draw(chances(plain.tables, turn))
        state, groups = full, plain.groups
    else:
        state, groups = _down(full, drawing, signed_cells)
    for group in groups:
        _draw_lone(state, group, drawing)
    return Worlds(drawing.states, left_out(full, state))


def _down(full: Gathered, drawing: Drawing, most: int) -> tuple[Gathered, list[Lone]]:
    """Draw from the signed sum, and say what of the evidence fits it."""
    made: list[Parts] = []

    def tables(state: Gathered) -> list[Factor]:
        made.append(parts(state, whole=False, all_scopes=False))
        return made[-1].tables

    state, factors, turn = narrowed(full, tables, most, signed=True)
    roots, shift = state.network.roots, made[-1].shift
    summed = sum_product(factors, turn, scaled=True)
    if not summed.total > 0.0:
        raise Impossible("the evidence contradicts itself")
    auxiliaries = (1 << shift) - 1 << roots
    rows = {
        number: number if number < roots else number - shift
        for number in turn.variables
        if not auxiliaries >> number & 1
    }
    drawn = descend(summed, auxiliaries, {n: drawing.uniforms[row] for n, row in rows.items()})
    for number, states in drawn.items():
        drawing.keep(rows[number], states.astype(np.bool_))
    return state, made[-1].groups


def _draw_lone(state: Gathered, group: Lone, drawing: Drawing) -> None:
    """Faults that stand alone, given their roots and informants."""
    base = frame(state.network)
    present = base.entry_chance * group.weight[:, base.entry_fault, 1]
    chance = np.divide(
        present, group.joined, out=np.zeros(present.shape), where=group.joined > 0.0
    ).astype(np.float32)
    by_fault = np.argsort(base.entry_fault, kind="stable")
    chance = chance[:, by_fault]
    size = np.bincount(base.entry_fault, minlength=len(base.own))
    start = np.concatenate([[0], np.cumsum(size)])
    indices: dict[int, Index] = {}
    for place in np.flatnonzero(group.faults).tolist():
        scope = int(base.home[place])
        if scope not in indices:
            indices[scope] = index_of([*group.gates, *bits(base.scopes[scope])], drawing.whole)
        flat = np.ascontiguousarray(chance[:, start[place] : start[place + 1]]).reshape(-1)
        row = state.network.roots + place
        limit = flat.take(indices[scope])
        np.less(drawing.uniforms[row], limit, out=drawing.states[row])
