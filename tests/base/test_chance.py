"""Chance comes from named streams: same names, same numbers, whatever else is drawn."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from retrue.base import chance


def test_names_make_the_stream():
    first = chance.uniforms(7, "lot", "A", worlds=50)
    assert np.array_equal(first, chance.uniforms(7, "lot", "A", worlds=50))
    for other in (
        chance.uniforms(8, "lot", "A", worlds=50),
        chance.uniforms(7, "lot", "B", worlds=50),
        chance.uniforms(7, "lotA", worlds=50),
        chance.uniforms(7, "lot", "", "A", worlds=50),
    ):
        assert not np.array_equal(first, other)


@pytest.mark.parametrize("worlds", [1, 999, 1000, 1001, 2500])
def test_more_worlds_and_more_columns_leave_the_first_as_they_were(worlds: int):
    many = chance.uniforms(7, "x", worlds=4000, columns=3)
    few = chance.uniforms(7, "x", worlds=worlds, columns=2)
    assert few.shape == (2, worlds)
    assert np.array_equal(few, many[:2, :worlds])


def test_they_are_uniform_and_the_columns_are_independent():
    """Kolmogorov-Smirnov and Pearson, from scipy.stats; the seed is fixed, so is the outcome."""
    draws = chance.uniforms(1, "ks", worlds=20000, columns=2).astype(np.float64)
    assert draws.min() >= 0
    assert draws.max() < 1
    for column in draws:
        assert stats.kstest(column, "uniform").pvalue > 0.001
    assert stats.pearsonr(*draws).pvalue > 0.001


def test_the_generator_is_philox():
    """Salmon et al., Parallel random numbers: as easy as 1, 2, 3 (2011): counter-based."""
    assert isinstance(chance.stream(1, "x").bit_generator, np.random.Philox)
