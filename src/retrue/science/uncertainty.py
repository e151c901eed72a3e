"""How far a result may be off: components put together, degrees of freedom, expanded doubt."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One thing that makes a result uncertain.

    Attributes
    ----------
    name : str
        What it is.
    standard_uncertainty : float
        k = 1, in the unit of the input.
    sensitivity : float
        Change of the result for a change of the input by one unit.
    freedom : float
        Degrees of freedom; infinite where the uncertainty itself is well known.
    """

    name: str
    standard_uncertainty: float
    sensitivity: float = 1.0
    freedom: float = math.inf


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Budget:
    """Components put together.

    Attributes
    ----------
    components : tuple of Component
        As given.
    contributions : ndarray, shape (n,)
        Sensitivity times standard uncertainty, with its sign, in the unit of the result.
    combined : float
        Standard uncertainty of the result, k = 1.
    freedom : float
        Effective degrees of freedom.
    """

    components: tuple[Component, ...]
    contributions: Floats
    combined: float
    freedom: float

    def expanded(self, coverage: float = 0.95, *, whole: bool = False) -> float:
        """Half the width of the interval that holds the true value with this chance."""
        if self.combined == 0:
            return 0.0
        return coverage_factor(self.freedom, coverage, whole=whole) * self.combined


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeated:
    """Readings of one and the same thing (a type A evaluation).

    ``spread`` is that of one reading, ``standard_uncertainty`` that of their mean, k = 1.
    """

    mean: float
    spread: float
    standard_uncertainty: float
    freedom: int


def budget(components: Sequence[Component], *, correlation: ArrayLike | None = None) -> Budget:
    """Put components together.

    Parameters
    ----------
    components : sequence of Component
        At least one.
    correlation : array_like, shape (n, n), or None
        Correlation coefficients of the inputs; None: independent.

    Returns
    -------
    Budget

    Raises
    ------
    ValueError
        Nothing to put together, a negative uncertainty, no freedom, or a matrix that is no
        correlation.

    Notes
    -----
    Welch and Satterthwaite suppose independent components. Components that are correlated with
    one another therefore count as one, with the smallest of their degrees of freedom; where all
    were read together, in sets, that is the number of sets less one.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2, 5.2.2, G.4.1; correlated groups after Willink, Metrologia 44 (2007)
    340 (from memory).

    Examples
    --------
    >>> both = budget([Component(name="a", standard_uncertainty=3.0, freedom=4),
    ...                Component(name="b", standard_uncertainty=4.0)])
    >>> both.combined, round(both.freedom, 2)
    (5.0, 30.86)
    """
    if not components:
        raise ValueError("a budget needs a component")
    if any(one.standard_uncertainty < 0 or one.freedom <= 0 for one in components):
        raise ValueError("an uncertainty is not negative, and freedom is above 0")
    parts = np.array([one.sensitivity * one.standard_uncertainty for one in components])
    matrix = _correlation(correlation, len(parts))
    freedoms = np.array([one.freedom for one in components])
    groups = [np.flatnonzero(row) for row in _groups(matrix)]
    variances = [float(parts[g] @ matrix[np.ix_(g, g)] @ parts[g]) for g in groups]
    sizes = np.sqrt(np.maximum(variances, 0.0))
    return Budget(
        components=tuple(components),
        contributions=parts,
        combined=float(math.sqrt(max(float(parts @ matrix @ parts), 0.0))),
        freedom=effective_freedom(sizes, [float(freedoms[g].min()) for g in groups]),
    )


def effective_freedom(contributions: ArrayLike, freedoms: ArrayLike) -> float:
    """Effective degrees of freedom of a sum of independent contributions.

    Parameters
    ----------
    contributions : array_like, shape (n,)
        Standard uncertainties in the unit of the result.
    freedoms : array_like, shape (n,)
        Degrees of freedom, infinite allowed.

    Returns
    -------
    float
        Infinite where no uncertain contribution has finite freedom.

    References
    ----------
    JCGM 100:2008 (GUM), formula G.2b (Welch, Satterthwaite).

    Examples
    --------
    >>> round(effective_freedom([3.0, 4.0], [4, 4]), 2)
    7.42
    """
    variances = np.asarray(contributions, dtype=np.float64) ** 2
    below = float((variances**2 / np.asarray(freedoms, dtype=np.float64)).sum())
    return float(variances.sum()) ** 2 / below if below > 0 else math.inf


def coverage_factor(freedom: float, coverage: float = 0.95, *, whole: bool = False) -> float:
    """The factor from a standard to an expanded uncertainty.

    Parameters
    ----------
    freedom : float
        Degrees of freedom, above 0; infinite gives the normal distribution.
    coverage : float
        Chance that the interval holds the true value, between 0 and 1.
    whole : bool
        Drop the decimals of the freedom first, as tables do.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        No freedom, or a chance that is none.

    References
    ----------
    JCGM 100:2008 (GUM), G.3, G.4.1 note 1; NIST Technical Note 1297, table B.1.

    Examples
    --------
    >>> round(coverage_factor(16.7, 0.99, whole=True), 2), round(coverage_factor(math.inf), 3)
    (2.92, 1.96)
    """
    from scipy.special import stdtrit

    used = float(math.floor(freedom)) if whole and math.isfinite(freedom) else freedom
    if not used > 0 or not 0 < coverage < 1:
        raise ValueError("freedom is above 0, and a chance lies between 0 and 1")
    return float(stdtrit(used, (1 + coverage) / 2))


def repeated(readings: ArrayLike) -> Repeated:
    """What readings of one and the same thing say about it.

    Parameters
    ----------
    readings : array_like, shape (n,)
        Two or more, in one unit.

    Returns
    -------
    Repeated

    Raises
    ------
    ValueError
        Fewer than two readings.

    References
    ----------
    JCGM 100:2008 (GUM), 4.2.1 to 4.2.3.

    Examples
    --------
    >>> repeated([1.0, 2.0, 3.0])
    Repeated(mean=2.0, spread=1.0, standard_uncertainty=0.5773502691896258, freedom=2)
    """
    values = np.asarray(readings, dtype=np.float64)
    if values.ndim != 1 or len(values) < 2:
        raise ValueError("two readings at least")
    spread = float(values.std(ddof=1))
    return Repeated(
        mean=float(values.mean()),
        spread=spread,
        standard_uncertainty=spread / math.sqrt(len(values)),
        freedom=len(values) - 1,
    )


def difference(before: ArrayLike, after: ArrayLike) -> tuple[float, Budget]:
    """How much a reading has changed, and how far that may be off.

    Parameters
    ----------
    before, after : array_like, shape (n,) and (m,)
        Two or more readings each, in one unit; each set has a spread of its own.

    Returns
    -------
    float
        Mean after less mean before.
    Budget
        Of that difference; ``expanded()`` is half the width of its interval.

    Raises
    ------
    ValueError
        Fewer than two readings in a set.

    References
    ----------
    Welch, Biometrika 34 (1947) 28 (from memory); JCGM 100:2008 (GUM), G.4.

    Examples
    --------
    >>> change, doubt = difference([1.0, 2.0, 3.0], [5.0, 6.0, 7.0])
    >>> change, round(doubt.freedom, 6)
    (4.0, 4.0)
    """
    first, second = repeated(before), repeated(after)
    made = budget(
        [
            Component(
                name="before",
                standard_uncertainty=first.standard_uncertainty,
                sensitivity=-1.0,
                freedom=first.freedom,
            ),
            Component(
                name="after",
                standard_uncertainty=second.standard_uncertainty,
                freedom=second.freedom,
            ),
        ]
    )
    return second.mean - first.mean, made


def sensitivities(
    model: Callable[[Floats], float], values: ArrayLike, uncertainties: ArrayLike
) -> Floats:
    """How much a result changes with each of its inputs.

    Parameters
    ----------
    model : callable
        From inputs, shape (n,), to the result.
    values, uncertainties : array_like, shape (n,)
        The inputs and their standard uncertainties, k = 1, which are also the steps taken.

    Returns
    -------
    ndarray, shape (n,)
        Unit of the result for one unit of the input; 0 where an input is certain.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.3 note 2.

    Examples
    --------
    >>> sensitivities(lambda x: float(x[0] * x[1]), [2.0, 5.0], [0.1, 0.1]).round(9).tolist()
    [5.0, 2.0]
    """
    centre = np.asarray(values, dtype=np.float64)
    steps = np.diag(np.asarray(uncertainties, dtype=np.float64))
    rises = np.array([model(centre + step) - model(centre - step) for step in steps])
    sizes = 2 * np.diag(steps)
    slopes: Floats = np.divide(rises, sizes, out=np.zeros(len(centre)), where=sizes > 0)
    return slopes


def second_order(
    gradient: ArrayLike,
    uncertainties: ArrayLike,
    hessian: ArrayLike,
    third: ArrayLike | None = None,
) -> float:
    """Combined standard uncertainty where the model bends within the doubt of its inputs.

    Parameters
    ----------
    gradient, uncertainties : array_like, shape (n,)
        First derivatives; standard uncertainties of independent, symmetric inputs.
    hessian : array_like, shape (n, n)
        Second derivatives.
    third : array_like, shape (n, n), or None
        Entry (i, j) is the derivative once by i and twice by j; None: all are zero.

    Returns
    -------
    float
        k = 1, unit of the result.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2 note; H.1.7 is its example.

    Examples
    --------
    >>> round(second_order([0.0, 0.0], [0.1, 0.2], [[0.0, 1.0], [1.0, 0.0]]), 6)
    0.02
    """
    slope = np.asarray(gradient, dtype=np.float64)
    variances = np.asarray(uncertainties, dtype=np.float64) ** 2
    bend = np.asarray(hessian, dtype=np.float64) ** 2 / 2
    if third is not None:
        bend = bend + slope[:, None] * np.asarray(third, dtype=np.float64)
    return float(math.sqrt(slope**2 @ variances + variances @ bend @ variances))


def _correlation(given: ArrayLike | None, count: int) -> Floats:
    if given is None:
        return np.eye(count)
    matrix = np.asarray(given, dtype=np.float64)
    if matrix.shape != (count, count):
        raise ValueError("the correlation matrix has one row and one column a component")
    sound = np.allclose(matrix, matrix.T) and np.allclose(np.diag(matrix), 1.0)
    if not sound or float(np.linalg.eigvalsh(matrix)[0]) < -1e-9:
        raise ValueError("no correlation matrix: symmetric, ones across, nothing below zero")
    return matrix


def _groups(matrix: Floats) -> NDArray[np.bool_]:
    """One row a group of components that hang together, directly or through others."""
    linked = matrix != 0
    for _ in range(len(matrix)):
        linked = (linked.astype(np.int64) @ linked) > 0
    return np.asarray(np.unique(linked, axis=0), dtype=np.bool_)
