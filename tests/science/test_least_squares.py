"""Fits: certified data sets, what cannot be determined, and how often the doubt holds."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import curve_fit

from retrue.base.chance import stream
from retrue.science.least_squares import fit

NIST = Path(__file__).resolve().parents[1] / "data" / "nist"
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class DataSet:
    certified: Floats
    deviations: Floats
    squares: float  # certified residual sum of squares
    y: Floats
    x: Floats  # shape (n, k)


def data_set(name: str) -> DataSet:
    """Read a file in the layout of the NIST Statistical Reference Datasets."""
    head, data = (NIST / f"{name}.dat").read_text(encoding="ascii").split("Data:       y")
    cells = [line.split() for line in head.splitlines()]
    rows = [c for c in cells if len(c) == 3 and c[0][0] in "Bb" and c[0][1:].isdigit()]
    sums = [c for c in cells if c[:4] == ["Residual", "sum", "of", "squares"]]
    sums += [c[1:] for c in cells if c and c[0] == "Residual" and len(c) == 4]  # an analysis table
    body = np.array([line.split() for line in data.splitlines()[1:]], dtype=np.float64)
    return DataSet(
        certified=np.array([c[1] for c in rows], dtype=np.float64),
        deviations=np.array([c[2] for c in rows], dtype=np.float64),
        squares=float(sums[0][-1] if len(sums[0]) == 5 else sums[0][1]),
        y=body[:, 0],
        x=body[:, 1:],
    )


def digits(found: Floats, certified: Floats) -> float:
    """The least number of digits that agree (the log relative error)."""
    wrong = np.abs(np.asarray(found) - certified) / np.abs(certified)
    return float(-np.log10(np.maximum(wrong, 1e-16)).min())


def with_one(x: Floats) -> Floats:
    return np.column_stack([np.ones(len(x)), x])


LINEAR = {
    # name: design, digits that parameters, their deviations and the sum of squares keep
    "Norris": (with_one, 12, 12, 12),
    "Pontius": (lambda x: with_one(np.column_stack([x, x**2])), 11, 11, 11),
    "NoInt1": (lambda x: x, 13, 13, 13),
    "NoInt2": (lambda x: x, 13, 13, 13),
    "Longley": (with_one, 9, 9, 10),
}


@pytest.mark.parametrize("name", LINEAR)
def test_certified_linear_fits_agree_to_the_digits_said(name: str):
    """NIST Statistical Reference Datasets, linear regression: certified to 15 digits."""
    design, parameters, deviations, squares = LINEAR[name]
    known = data_set(name)
    made = fit(design(known.x), known.y)
    assert len(known.certified) == len(made.parameters)
    assert digits(made.parameters, known.certified) >= parameters
    assert digits(made.standard_uncertainties, known.deviations) >= deviations
    total = made.residual_sd**2 * made.freedom
    assert digits(np.array([total]), np.array([known.squares])) >= squares
    assert made.rank == len(known.certified)
    assert made.null_space.shape == (0, made.rank)


def test_the_files_hold_as_many_readings_as_their_makers_took():
    counts = {"Norris": 36, "Pontius": 40, "NoInt1": 11, "NoInt2": 3, "Longley": 16, "ENSO": 168}
    assert {name: len(data_set(name).y) for name in counts} == counts


def seasons(x: Floats, *b: float) -> Floats:
    return harmonics(x, b[3], b[6]) @ np.array([b[0], b[1], b[2], b[4], b[5], b[7], b[8]])


def harmonics(x: Floats, *periods: float) -> Floats:
    """A mean, and a cosine and a sine for each period; the first is a year."""
    turns = [2 * math.pi * x / period for period in (12.0, *periods)]
    waves = [wave(turn) for turn in turns for wave in (np.cos, np.sin)]
    return np.column_stack([np.ones(len(x)), *waves])


def test_certified_cycles_are_found():
    """NIST StRD, nonlinear, ENSO: nine parameters from the second certified start.

    Two periods are unknown, so scipy's curve_fit searches; at the periods found, our linear fit
    must give the same waves and the certified sum of squares.
    """
    known = data_set("ENSO")
    x = known.x[:, 0]
    start = (10.0, 3.0, 0.5, 44.0, -1.5, 0.5, 26.0, -0.1, 1.5)
    found, _ = curve_fit(seasons, x, known.y, p0=start, xtol=1e-14, ftol=1e-14)
    assert digits(found, known.certified) >= 5.5
    made = fit(harmonics(x, known.certified[3], known.certified[6]), known.y)
    waves = known.certified[[0, 1, 2, 4, 5, 7, 8]]
    assert digits(made.parameters, waves) >= 9
    total = made.residual_sd**2 * made.freedom
    assert digits(np.array([total]), np.array([known.squares])) >= 10


def test_certified_deviations_need_the_periods_as_parameters():
    """NIST StRD ENSO: with the slopes by both periods in the design all nine deviations agree."""
    known = data_set("ENSO")
    x, b = known.x[:, 0], known.certified
    steps = [np.eye(9)[i] * 1e-5 for i in range(9)]
    slopes = [(seasons(x, *(b + step)) - seasons(x, *(b - step))) / 2e-5 for step in steps]
    made = fit(np.column_stack(slopes), known.y - seasons(x, *b))
    assert digits(made.standard_uncertainties, known.deviations) >= 7


def test_what_the_readings_do_not_determine_is_said():
    """Two columns that are the same: their sum is determined, each of them is not."""
    x = np.arange(6.0)
    made = fit(np.column_stack([np.ones(6), x, x]), 1 + 4 * x)
    assert (made.rank, made.freedom) == (2, 4)
    assert made.null_space.shape == (1, 3)
    direction = made.null_space[0]
    assert direction[1] == pytest.approx(-direction[2])
    assert direction[0] == pytest.approx(0, abs=1e-12)
    assert np.isinf(made.standard_uncertainties).tolist() == [False, True, True]
    assert made.parameters == pytest.approx([1, 2, 2])


def test_moving_along_the_null_space_leaves_every_reading_as_it_is():
    source = stream(21, "null space")
    free = source.standard_normal((12, 4)) * [1, 1e3, 1e-3, 10]
    design = np.column_stack([free, free @ [1, 2e-3, 5, 0.1], free @ [0, 1e-3, -3, 2]])
    made = fit(design, source.standard_normal(12))
    assert made.rank == 4
    assert made.null_space.shape == (2, 6)
    for direction in made.null_space:
        moved = design @ direction
        assert np.abs(moved).max() < 1e-9 * np.abs(design * direction).max()


def test_fewer_readings_than_parameters_determine_only_some():
    made = fit([[1.0, 0.0, 0.0], [0.0, 1.0, 1.0]], [3.0, 4.0])
    assert (made.rank, made.freedom, made.residual_sd) == (2, 0, 0.0)
    assert np.isinf(made.standard_uncertainties).tolist() == [False, True, True]
    assert made.null_space.shape == (1, 3)
    sure = fit([[1.0, 0.0], [0.0, 1.0]], [3.0, 4.0], reading_sd=0.5)
    assert sure.standard_uncertainties == pytest.approx([0.5, 0.5])


def test_a_column_of_nothing_is_a_parameter_that_is_not_determined():
    made = fit([[1.0, 0.0], [1.0, 0.0], [1.0, 0.0]], [1.0, 2.0, 3.0])
    assert made.rank == 1
    assert math.isinf(made.standard_uncertainties[1])
    assert math.isinf(made.condition)


def test_two_causes_that_look_almost_alike_have_a_condition_of_five_hundred():
    """A cosine and itself a quarter of a degree on: nearly one cause; its doubt says so."""
    angle = np.linspace(0, 2 * math.pi, 360, endpoint=False)
    shift = 2 * math.atan(1 / 500)
    made = fit(np.column_stack([np.cos(angle), np.cos(angle + shift)]), np.cos(angle), reading_sd=1)
    assert made.condition == pytest.approx(500, rel=1e-6)
    alone = fit(np.cos(angle)[:, None], np.cos(angle), reading_sd=1)
    wider = made.standard_uncertainties[0] / alone.standard_uncertainties[0]
    assert wider == pytest.approx(1 / math.sin(shift), rel=1e-6)
    assert made.parameters == pytest.approx([1, 0], abs=1e-9)


@given(st.lists(st.floats(1e-6, 1e6), min_size=3, max_size=3))
def test_units_of_the_columns_do_not_matter(scales: list[float]):
    source = stream(22, "units")
    design, readings = source.standard_normal((9, 3)), source.standard_normal(9)
    one, other = fit(design, readings), fit(design * scales, readings)
    assert other.parameters * scales == pytest.approx(one.parameters, rel=1e-8)
    assert other.standard_uncertainties * scales == pytest.approx(one.standard_uncertainties)
    assert other.condition == pytest.approx(one.condition, rel=1e-6)
    assert other.residuals == pytest.approx(one.residuals, abs=1e-9)


def test_the_general_library_gives_the_same_fit_and_doubt():
    """numpy.linalg.lstsq and scipy.optimize.curve_fit are the references."""
    source = stream(23, "reference")
    design = source.standard_normal((15, 4))
    readings = design @ [1, -2, 3, 0.5] + 0.1 * source.standard_normal(15)
    made = fit(design, readings)
    assert made.parameters == pytest.approx(np.linalg.lstsq(design, readings, rcond=None)[0])
    found, covariance = curve_fit(lambda x, *b: x @ np.array(b), design, readings, p0=np.ones(4))
    assert made.parameters == pytest.approx(found, abs=1e-6)
    assert made.covariance == pytest.approx(covariance, rel=1e-5, abs=1e-9)


def test_the_doubt_of_each_parameter_holds_as_often_as_it_says():
    """2,000 simulated sets of eight readings on a line; 93 to 97 % is asked of 95 %."""
    from retrue.science.uncertainty import coverage_factor

    x = np.arange(8.0)
    design = np.column_stack([np.ones(8), x])
    readings = design @ [5.0, -0.3] + 0.7 * stream(24, "line").standard_normal((2000, 8))
    held = np.zeros(2)
    for row in readings:
        made = fit(design, row)
        wide = coverage_factor(made.freedom) * made.standard_uncertainties
        held += np.abs(made.parameters - [5.0, -0.3]) <= wide
    assert all(0.93 <= share <= 0.97 for share in held / 2000)


def test_a_known_doubt_of_one_reading_goes_before_the_scatter():
    design, readings = np.ones((4, 1)), np.array([1.0, 1.0, 1.0, 1.0])
    assert fit(design, readings).standard_uncertainties.tolist() == [0.0]
    assert fit(design, readings, reading_sd=2.0).standard_uncertainties == pytest.approx([1.0])


@pytest.mark.parametrize(
    ("design", "readings"),
    [([1.0, 2.0], [1.0, 2.0]), (np.empty((3, 0)), [1, 2, 3]), ([[1.0], [2.0]], [1.0])],
)
def test_what_does_not_fit_together_is_refused(design, readings):
    with pytest.raises(ValueError, match="n by k"):
        fit(design, readings)
