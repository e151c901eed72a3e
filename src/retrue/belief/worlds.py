"""Exact, independent worlds from the posterior: the sum's own tables, read backwards."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from retrue.belief.branches import LEAF_CELLS, Drawing, Index, Signs, Singles, index_of
from retrue.belief.frame import Factor, bits, frame
from retrue.belief.gather import Gathered, Lone, gather
from retrue.belief.narrow import left_out, narrowed
from retrue.belief.network import Evidence, Impossible, Network, Worlds
from retrue.belief.tables import parts

MOST_CELLS = 1 << 27
SIGNED_CELLS = 1 << 24


def draw(
    network: Network,
    evidence: Sequence[Evidence],
    uniforms: Singles,
    *,
    most_cells: int = MOST_CELLS,
    leaf_cells: int = LEAF_CELLS,
) -> Worlds:
    """Draw worlds: whole truths, each with the chance it has given the evidence.

    Parameters
    ----------
    network : Network
    evidence : sequence of Evidence
        In any order.
    uniforms : ndarray of float32, shape (variables, worlds)
        Uniform numbers in [0, 1); a world depends on its own column alone.
    most_cells : int
        Cells of the whole sum beyond which findings are set aside.
    leaf_cells : int
        Cells beyond which worlds are first parted by the state of one variable.

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
    Every table of the sum is a probability here, so its bucket, read at what was already drawn,
    gives the next variable's chance: independent exact draws, no weights. Where such tables
    would be wide, the variable that most of them hold is drawn first, from the signed sum, and
    the worlds go on apart.

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
    state, wide = _fitting(full, most_cells, leaf_cells)
    if state.log_level[0] == -np.inf or not state.plain.any(axis=1).all():
        raise Impossible("the evidence contradicts itself")
    drawing = Drawing(
        np.zeros(uniforms.shape, dtype=np.bool_),
        np.zeros(uniforms.shape, dtype=np.int32),
        uniforms,
        leaf_cells,
    )
    plain = parts(state, whole=True, all_scopes=False)
    signs = parts(state, whole=False, all_scopes=False) if wide else plain
    drawing.draw(plain.tables, Signs(signs.tables, network.roots, signs.shift))
    for group in plain.groups:
        _draw_lone(state, group, drawing)
    return Worlds(drawing.states, left_out(full, state))


def _fitting(full: Gathered, most_cells: int, leaf_cells: int) -> tuple[Gathered, bool]:
    """What of the evidence fits, and whether worlds will be parted (by signed sums)."""

    def whole(state: Gathered) -> list[Factor]:
        return parts(state, whole=True, all_scopes=False).tables

    def with_signs(state: Gathered) -> list[Factor]:
        return parts(state, whole=False, all_scopes=False).tables

    state, _, turn = narrowed(full, whole, most_cells, signed=False)
    if turn.cells <= leaf_cells:
        return state, False
    return narrowed(state, with_signs, SIGNED_CELLS, signed=True)[0], True


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
