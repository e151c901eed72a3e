"""How likely one finding is in given worlds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retrue.belief.network import Evidence, Leaning

Floats = NDArray[np.float64]


def likelihood(evidence: Evidence, states: NDArray[np.bool_]) -> Floats:
    """P(this finding | world), for every world.

    Parameters
    ----------
    evidence : Seen or Leaning
    states : ndarray of bool, shape (variables, worlds)

    Returns
    -------
    ndarray, shape (worlds,)
        Never below 0: cancelled terms are cut there.

    Notes
    -----
    For a ``Leaning`` only ratios matter: its two numbers are returned as they are.

    References
    ----------
    Noisy-OR: Pearl 1988, Probabilistic Reasoning in Intelligent Systems, section 4.3.2.

    Examples
    --------
    >>> from retrue.belief.looks import look
    >>> seen = look("x", "seen", [0], [0.6], 0.1)
    >>> likelihood(seen, np.array([[False, True]])).round(3).tolist()
    [0.1, 0.64]
    """
    if isinstance(evidence, Leaning):
        no, yes = evidence.likelihood
        return np.where(states[evidence.variable], yes, no).astype(np.float64)
    present = states[list(evidence.faults)]
    rows = [
        sum(
            (
                coefficient * np.prod(np.where(present, ratio[:, None], 1.0), axis=0)
                for coefficient, ratio in zip(coefficients, ratios, strict=True)
            ),
            start=np.zeros(states.shape[1]),
        )
        for coefficients, ratios in zip(evidence.coefficient, evidence.ratio, strict=True)
    ]
    value = rows[0] if evidence.gate is None else np.where(states[evidence.gate], rows[1], rows[0])
    return np.asarray(np.maximum(value, 0.0))
