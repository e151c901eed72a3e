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


def spread(evidence: Evidence) -> float:
    """How far a finding's likelihood can fall: with no fault, or with all, against the other.

    Parameters
    ----------
    evidence : Seen or Leaning

    Returns
    -------
    float
        Between 0 (one of the two is impossible) and 1 (it tells nothing).

    References
    ----------
    Own definition: the largest importance weight is at most its inverse.

    Examples
    --------
    >>> spread(Leaning("x", 0, (0.0, 1.0))), spread(Leaning("x", 0, (1.0, 2.0)))
    (0.0, 0.5)
    """
    if isinstance(evidence, Leaning):
        ends = list(evidence.likelihood)
    else:
        none = evidence.coefficient.sum(axis=1)
        every = (evidence.coefficient * evidence.ratio.prod(axis=2)).sum(axis=1)
        ends = [max(0.0, float(end)) for end in (*none, *every)]
    return float(min(ends) / max(ends)) if max(ends) > 0 else 0.0
