"""Inverse tables of judged ranges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from retrue.plan.inverse import lookup, pert_table


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100))
def test_the_mean_has_weight_four_on_the_mode(first: float, second: float, third: float) -> None:
    """Malcolm et al. 1959, Operations Research 7(5): mean = (a + 4 m + b) / 6."""
    low, likely, high = sorted((first, second, third))
    row = pert_table([low], [likely], [high])[0].astype(float)
    assert row.mean() == pytest.approx(
        (low + 4 * likely + high) / 6, abs=2e-3 * (high - low) + 1e-5
    )
    assert (np.diff(row) >= 0).all()
    assert low - 1e-4 <= row[0] <= row[-1] <= high + 1e-4


@pytest.mark.parametrize("mode", [0.0, 0.1, 0.5, 0.93, 1.0])
def test_quantiles_are_those_of_the_beta_distribution(mode: float) -> None:
    """Reference library: scipy.stats.beta with shapes 1 + 4 m and 5 - 4 m."""
    shares = (np.arange(1024) + 0.5) / 1024
    expected = beta(1 + 4 * mode, 5 - 4 * mode).ppf(shares)
    assert np.abs(pert_table([0.0], [mode], [1.0])[0] - expected).max() < 1e-3


def test_the_published_example_of_a_skewed_range() -> None:
    """Beta-PERT of 2, 5, 14: mean 6, exact sd sqrt((mu - a)(b - mu) / 7) = 2.1381 (by hand)."""
    row = pert_table([2.0], [5.0], [14.0])[0]
    assert float(row.mean()) == pytest.approx(6.0, abs=5e-3)
    assert float(row.std()) == pytest.approx(2.1381, abs=5e-3)


def test_a_lookup_takes_the_slice_its_number_falls_into() -> None:
    table = np.arange(1024, dtype=np.float32)
    chance = np.array([0, 63, 64, 65535], dtype=np.uint16)
    assert lookup(table, chance).tolist() == [0.0, 0.0, 1.0, 1023.0]
