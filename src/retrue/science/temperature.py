"""Lengths and positions brought to 20 degrees Celsius."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
REFERENCE_C = 20.0


def length_at_20(length_mm: float, temperature_c: float, expansion: float) -> float:
    """The length a body has at 20 degrees.

    Parameters
    ----------
    length_mm : float
        As it is at its temperature.
    temperature_c : float
        Of the body, degrees Celsius.
    expansion : float
        In 1e-6 per kelvin: steel 11.5.

    Returns
    -------
    float
        Millimetres.

    References
    ----------
    ISO 1:2016, reference temperature (from memory). National Physical Laboratory, frequently
    asked questions, "How do I correct lengths to 20 °C": 500.035 mm at 23.7 °C with 11.7 gives
    500.013 mm.

    Examples
    --------
    >>> round(length_at_20(500.035, 23.7, 11.7), 3)
    500.013
    """
    return length_mm * (1 - expansion * 1e-6 * (temperature_c - REFERENCE_C))


def growth_um(length_mm: float, expansion: float, warmer_k: float) -> float:
    """By how much a body grows.

    Parameters
    ----------
    length_mm : float
        Its length.
    expansion : float
        In 1e-6 per kelvin.
    warmer_k : float
        Rise of its temperature, kelvin; signed.

    Returns
    -------
    float
        Micrometres.

    References
    ----------
    By definition.

    Examples
    --------
    >>> growth_um(500.0, 12.0, 8.0)
    48.0
    """
    return length_mm * expansion * warmer_k / 1000


def heat_in_deviations_um(
    targets_mm: ArrayLike,
    *,
    scale_c: float,
    gauge_c: float,
    scale_expansion: float,
    gauge_expansion: float,
) -> Floats:
    """What the temperatures of scale and length standard add to measured deviations.

    Parameters
    ----------
    targets_mm : array_like, shape (targets,)
        Distances from the zero of the axis.
    scale_c, gauge_c : float
        Temperatures of the machine's scale or screw and of the length standard, Celsius.
    scale_expansion, gauge_expansion : float
        In 1e-6 per kelvin.

    Returns
    -------
    ndarray, shape (targets,)
        Micrometres; take them from the deviations to have them at 20 degrees. A warm screw
        carries the table too far (plus), a warm standard shows too little (minus).

    References
    ----------
    By definition; zero where both are alike and equally warm.

    Examples
    --------
    >>> heat_in_deviations_um([0, 500], scale_c=28, gauge_c=20,
    ...                       scale_expansion=12, gauge_expansion=11.5).tolist()
    [0.0, 48.0]
    """
    per_mm = growth_um(1.0, scale_expansion, scale_c - REFERENCE_C)
    per_mm -= growth_um(1.0, gauge_expansion, gauge_c - REFERENCE_C)
    return np.asarray(targets_mm, dtype=np.float64) * per_mm
