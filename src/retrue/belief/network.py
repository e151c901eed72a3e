"""The condition model as numbers: roots, faults, and what was seen, each as a small factor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Binary variables: first the roots (past lives, candour), then the faults.

    Attributes
    ----------
    names : tuple of str
        One name a variable, unique: ``A.F01``, ``lot.DS``, ``candid.seller``.
    root_prior : ndarray, shape (roots,)
        P(root = 1).
    parents : tuple of tuple of int
        For each fault, the indices of its own roots (may be empty).
    tables : tuple of ndarray, shape (2,) * len(parents)
        For each fault, P(fault = 1 | its roots), axis i is parent i.
    """

    names: tuple[str, ...]
    root_prior: Floats
    parents: tuple[tuple[int, ...], ...]
    tables: tuple[Floats, ...]

    @property
    def roots(self) -> int:
        """How many variables are roots; they come first."""
        return len(self.root_prior)


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """One finding as a signed sum of products over faults, possibly gated by one root.

    The likelihood is ``sum_s coefficient[g, s] * prod_j ratio[g, s, j] ** fault_j`` with g the
    state of the gate (index 0 only, if there is no gate). One term: a negative finding, or hard
    evidence (ratio 0). Two terms of opposite sign: a positive finding, a degree, a reading.

    Attributes
    ----------
    key : str
        The finding's id; findings are sorted by it before anything is computed.
    faults : tuple of int
        Variables of the network, the parents.
    coefficient : ndarray, shape (1 or 2, terms)
    ratio : ndarray, shape (1 or 2, terms, len(faults))
    gate : int or None
        The root (an informant's candour) that chooses the row, or None.
    """

    key: str
    faults: tuple[int, ...]
    coefficient: Floats
    ratio: Floats
    gate: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Leaning:
    """Evidence on one variable alone: likelihood for state 0 and for state 1."""

    key: str
    variable: int
    likelihood: tuple[float, float]


Evidence = Seen | Leaning


class Impossible(ValueError):
    """The evidence contradicts itself: its probability is zero."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """What is believed after looking.

    Attributes
    ----------
    marginal : ndarray, shape (variables,)
        P(variable = 1 | evidence).
    log_evidence : float
        Natural logarithm of the probability of the evidence used.
    set_aside : tuple of str
        Keys of findings that were left out because the exact sum grew past its limit.
    """

    marginal: Floats
    log_evidence: float
    set_aside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Worlds:
    """Independent draws from the posterior.

    Attributes
    ----------
    states : ndarray of bool, shape (variables, worlds)
    set_aside : tuple of str
    """

    states: NDArray[np.bool_]
    set_aside: tuple[str, ...] = ()
