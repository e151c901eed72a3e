"""Weighting against the printed table of the standard; bands by their names."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.weighting import exact_hz, nominal_hz, response, third_of, weight_db

# IEC 61672-1:2013, table 3 (read in two secondary sources that agree): Hz, A, C.
TABLE = (
    (10, -70.4, -14.3), (12.5, -63.4, -11.2), (16, -56.7, -8.5), (20, -50.5, -6.2),
    (25, -44.7, -4.4), (31.5, -39.4, -3.0), (40, -34.6, -2.0), (50, -30.2, -1.3),
    (63, -26.2, -0.8), (80, -22.5, -0.5), (100, -19.1, -0.3), (125, -16.1, -0.2),
    (160, -13.4, -0.1), (200, -10.9, 0.0), (250, -8.6, 0.0), (315, -6.6, 0.0), (400, -4.8, 0.0),
    (500, -3.2, 0.0), (630, -1.9, 0.0), (800, -0.8, 0.0), (1000, 0.0, 0.0), (1250, 0.6, 0.0),
    (1600, 1.0, -0.1), (2000, 1.2, -0.2), (2500, 1.3, -0.3), (3150, 1.2, -0.5), (4000, 1.0, -0.8),
    (5000, 0.5, -1.3), (6300, -0.1, -2.0), (8000, -1.1, -3.0), (10000, -2.5, -4.4),
    (12500, -4.3, -6.2), (16000, -6.6, -8.5), (20000, -9.3, -11.2),
)  # fmt: skip
THIRDS = range(-20, 14)


def test_all_entries_of_the_table_at_exact_frequencies():
    """34 of A and 34 of C; the formula rounds to every one."""
    exact = [exact_hz(n) for n in THIRDS]
    assert len(TABLE) == len(exact) == 34
    for place, name in ((1, "A"), (2, "C")):
        printed = np.array([row[place] for row in TABLE])
        assert np.abs(weight_db(exact, name) - printed).max() < 0.05


def test_nominal_frequencies_do_not_give_the_table():
    """Fourteen entries of A are missed by a tenth: why exact ones are taken."""
    nominal = np.array([row[0] for row in TABLE], dtype=float)
    missed = np.abs(weight_db(nominal, "A") - [row[1] for row in TABLE]) >= 0.05
    assert int(missed.sum()) == 14


def test_a_print_that_circulates_is_refused_by_the_formula():
    """A secondary source prints C at 10 kHz as -4.3; the standard's is -4.4."""
    at = weight_db(exact_hz(10), "C").item()
    assert round(at, 1) == -4.4
    assert abs(at + 4.3) > 0.05


@pytest.mark.parametrize("place", range(34))
def test_a_band_is_called_as_the_standard_calls_it(place: int):
    """IEC 61260-1:2014, annex E."""
    third = THIRDS[place]
    assert nominal_hz(third) == TABLE[place][0]
    assert third_of(nominal_hz(third)) == third_of(exact_hz(third)) == third


@given(frequency=st.floats(5, 40000))
def test_size_and_phase_belong_together(frequency: float):
    for name in ("A", "C"):
        size = abs(response(frequency, name).item())
        assert 20 * np.log10(size) == pytest.approx(weight_db(frequency, name).item())
    assert weight_db(frequency, "Z") == 0


@pytest.mark.parametrize(("name", "poles"), [("A", 6), ("C", 4)])
def test_phase_falls_by_a_quarter_turn_for_each_pole(name: str, poles: int):
    """IEC 61672-1:2013, annex E: all poles damp; zeros lie at none and only lead."""
    made = response(np.geomspace(0.001, 1e8, 2000), name)
    phase = np.unwrap(np.arctan2(made.imag, made.real))
    assert np.degrees(phase[-1] - phase[0]) == pytest.approx(-90 * poles, abs=1)


def test_no_frequency_is_refused():
    for wrong in (0, -1, float("nan")):
        with pytest.raises(Unusable):
            weight_db(wrong, "A")
        with pytest.raises(Unusable):
            third_of(wrong)
