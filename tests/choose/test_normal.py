"""The normal distribution against a general-purpose library, and sums at one level of prices."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy import special

from retrue.base.chance import uniforms
from retrue.choose.normal import (
    inverse_normal,
    lognormal_factor,
    normal_chance,
    normal_density,
    sum_at_one_level,
)


def test_the_inverse_normal_agrees_with_a_reference_library_to_the_last_digits():
    """Wichura 1988, AS 241, against SciPy's ndtri over all numbers a 24-bit generator can give."""
    share = np.concatenate((np.arange(1, 2**24, 4_099) / 2**24, [2.0**-25, 1 - 2.0**-25]))
    assert inverse_normal(share) == pytest.approx(special.ndtri(share), abs=1e-12)


def test_one_number_and_a_table_of_numbers_keep_their_shape():
    assert float(inverse_normal(0.99)) == pytest.approx(2.3263479)
    assert inverse_normal(np.full((2, 3), 0.99)).shape == (2, 3)


def test_the_ends_of_the_uniform_numbers_stay_finite():
    assert np.isfinite(inverse_normal([0.0, 1.0])).all()


def test_the_normal_chance_agrees_with_a_reference_library():
    """Hart 1968, as arranged by West 2005, against SciPy's ndtr."""
    z = np.linspace(-38, 38, 20_001)
    assert normal_chance(z) == pytest.approx(special.ndtr(z), abs=1e-14)


def test_the_density_is_the_slope_of_the_chance():
    z = np.linspace(-4, 4, 81)
    slope = (normal_chance(z + 1e-5) - normal_chance(z - 1e-5)) / 2e-5
    assert normal_density(z) == pytest.approx(slope, abs=1e-9)


def test_a_price_level_has_mean_one_and_the_scatter_asked_for():
    """Aitchison and Brown 1957: mean 1, coefficient of variation sqrt(exp(s**2) - 1)."""
    level = lognormal_factor(uniforms(5, "level", worlds=200_000)[0], 0.15)
    assert level.mean() == pytest.approx(1, abs=4 * 0.151 / np.sqrt(200_000))
    assert np.log(level).std() == pytest.approx(0.15, rel=0.01)


@pytest.mark.parametrize(
    ("correlation", "wanted"), [(0.0, 316.228), (0.2, 529.150), (0.5, 741.620), (1.0, 1000.0)]
)
def test_ten_lines_of_deviation_100_at_one_level_scatter_as_correlated_sums_do(correlation, wanted):
    """Sum of ten lines, sd 100 each, equally correlated: 100 sqrt(10 (1 + 9 rho)), textbook.

    Correlation comes from one level shared by all lines, as everywhere here. Every line takes one
    of two values and every combination meets every level, so nothing is left to chance.
    """
    level = lognormal_factor((np.arange(400) + 0.5) / 400, 0.25)
    level /= level.mean()
    common = level.var()
    mean = 100 * np.sqrt(correlation / common)
    own = np.sqrt(max(100**2 * (1 - correlation) / (1 + common), 0.0))
    signs = np.array(list(itertools.product((-1.0, 1.0), repeat=10))).T
    lines = np.repeat(mean + own * signs, len(level), axis=1)
    totals = sum_at_one_level(lines, np.tile(level, signs.shape[1]))
    assert totals.std() == pytest.approx(wanted, abs=0.0005)
