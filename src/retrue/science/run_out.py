"""Run-out as vectors: the spindle's own and the bar's, told apart by putting the bar in turned.

A vector is a complex number in micrometres, its angle that of the mark on the nose which faces the
indicator when it reads most. The run-out a person reads, largest less smallest, is twice its size.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import fit

Floats = NDArray[np.float64]
Vectors = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, eq=False)
class Separated:
    """Spindle and bar at one distance from the nose.

    Attributes
    ----------
    spindle, bar : complex
        Vectors, micrometres; the bar's as it points when it is put in at 0 degrees.
    unit_uncertainty : float
        Standard uncertainty of a component of the spindle's vector where a component of one
        reading vector has one of 1.
    scatter : float
        Residual standard deviation of one component, micrometres.
    freedom : int
        Its degrees of freedom.
    """

    spindle: complex
    bar: complex
    unit_uncertainty: float
    scatter: float
    freedom: int


def vector_of_readings(angles_deg: ArrayLike, readings_um: ArrayLike) -> complex:
    """Fit the once-a-turn part of readings.

    Parameters
    ----------
    angles_deg : array_like, shape (n,), degrees
        Mark on the nose that faces the indicator; at least three different places.
    readings_um : array_like, shape (n,), micrometres
        Plunger in is positive.

    Returns
    -------
    complex
        Half of the run-out, towards the high spot.

    Raises
    ------
    ValueError
        The places do not determine it.

    References
    ----------
    By definition: least squares of c + x cos + y sin.

    Examples
    --------
    >>> made = vector_of_readings([0, 90, 180, 270], [12.0, 11.0, 8.0, 9.0])
    >>> round(made.real, 6), round(made.imag, 6)
    (2.0, 1.0)
    """
    angles = np.radians(np.asarray(angles_deg, dtype=np.float64))
    turn = np.exp(1j * angles)
    design = np.column_stack([np.ones(len(angles)), turn.real.round(12), turn.imag.round(12)])
    found = fit(design, readings_um)
    if found.rank < 3:
        raise ValueError("fewer than three different places")
    return complex(found.parameters[1], found.parameters[2])


def vector_of_run_out(run_out_um: float, high_spot_deg: float) -> complex:
    """A run-out and the place of its high spot as a vector.

    Parameters
    ----------
    run_out_um : float
        Largest less smallest reading.
    high_spot_deg : float
        Mark on the nose that faces the indicator when it reads most.

    Returns
    -------
    complex
        Half of the run-out, towards the high spot.

    References
    ----------
    By definition.

    Examples
    --------
    >>> vector_of_run_out(4.0, 0.0)
    (2+0j)
    """
    return complex(run_out_um / 2 * np.exp(1j * np.radians(high_spot_deg)))


def separate(insertions_deg: ArrayLike, vectors: ArrayLike) -> Separated:
    """Tell the spindle's run-out from the bar's.

    Parameters
    ----------
    insertions_deg : array_like, shape (n,), degrees
        How far the bar was turned in the taper; at least two different angles.
    vectors : array_like, shape (n,), complex, micrometres
        What was read at each.

    Returns
    -------
    Separated
        Where the insertions are spread evenly, the spindle is the mean of the vectors.

    Raises
    ------
    ValueError
        The bar was put in one way only.

    References
    ----------
    By definition, e(k) = spindle + bar turned by insertion k; averaging over equal insertions
    after Estler, Evans and Shao, NIST manuscript on multiposition error separation.

    Examples
    --------
    >>> made = separate([0, 90, 180, 270], [5 - 0.5j, 3.5 + 4j, -1 + 2.5j, 0.5 - 2j])
    >>> np.round(made.spindle, 9), np.round(made.bar, 9)
    (np.complex128(2+1j), np.complex128(3-1.5j))
    """
    turned = np.exp(1j * np.radians(np.asarray(insertions_deg, dtype=np.float64)))
    read = np.asarray(vectors, dtype=np.complex128)
    design = _design(turned)
    found = fit(design, np.concatenate([read.real, read.imag]))
    if found.rank < 4:
        raise ValueError("the bar was put in one way only")
    inverse = np.linalg.inv(design.T @ design)
    x, y, u, v = found.parameters
    return Separated(
        spindle=complex(x, y),
        bar=complex(u, v),
        unit_uncertainty=float(np.sqrt(inverse[0, 0])),
        scatter=found.residual_sd,
        freedom=found.freedom,
    )


def _design(turned: Vectors) -> Floats:
    """Components of the readings from those of spindle and bar."""
    one, none = np.ones(len(turned)), np.zeros(len(turned))
    cosine, sine = turned.real.round(12), turned.imag.round(12)
    upper = np.column_stack([one, none, cosine, -sine])
    return np.vstack([upper, np.column_stack([none, one, sine, cosine])])


def run_out_um(vector: complex) -> float:
    """The run-out a vector is read as.

    Parameters
    ----------
    vector : complex
        Micrometres.

    Returns
    -------
    float
        Largest less smallest reading, micrometres.

    Examples
    --------
    >>> round(run_out_um(2 + 1j), 3)
    4.472
    """
    return 2 * abs(vector)


def high_spot_deg(vector: complex) -> float:
    """Where a vector points.

    Parameters
    ----------
    vector : complex
        Micrometres.

    Returns
    -------
    float
        Degrees, 0 to below 360.

    Examples
    --------
    >>> round(high_spot_deg(1 - 1j), 6)
    315.0
    """
    return float(np.degrees(np.angle(vector)) % 360.0)


def together_um(one: Separated, insertion_deg: float) -> float:
    """What is read when the bar is put in turned by an angle.

    Parameters
    ----------
    one : Separated
        Spindle and bar.
    insertion_deg : float
        How far the bar is turned.

    Returns
    -------
    float
        Run-out, micrometres.

    Examples
    --------
    >>> made = separate([0, 90, 180, 270], [5 - 0.5j, 3.5 + 4j, -1 + 2.5j, 0.5 - 2j])
    >>> round(together_um(made, 270.0), 3)
    4.123
    """
    turned = np.exp(1j * np.radians(insertion_deg))
    return run_out_um(complex(one.spindle + one.bar * turned))


def lean_um_per_m(nose: complex, end: complex, length_mm: float) -> float:
    """How far the axis of the bore leans from the axis the spindle turns about.

    Parameters
    ----------
    nose, end : complex
        Vectors of the spindle at both places.
    length_mm : float
        From one place to the other.

    Returns
    -------
    float
        Micrometres per metre, never below zero.

    References
    ----------
    By definition.

    Examples
    --------
    >>> round(lean_um_per_m(2 + 1j, 5 + 5j, 250.0), 6)
    20.0
    """
    return abs(end - nose) / length_mm * 1000
