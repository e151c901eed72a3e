"""Chance comes from named streams: same names, same numbers, whatever else is drawn."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

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


@pytest.mark.parametrize("worlds", [1, 2, 3, 4, 5, 7, 1001, 20_000])
def test_numbers_are_those_that_numpys_generator_draws_from_the_stream(worlds: int):
    wide = chance.stream(7, "x").integers(0, 65536, dtype=np.uint16, size=2 * worlds)
    assert np.array_equal(chance.sixteen_bits(7, "x", worlds=worlds), wide[:worlds])
    assert np.array_equal(chance.two_sixteens(7, "x", worlds=worlds).ravel(), wide)
    for column, drawn in enumerate(chance.uniforms(7, "x", worlds=worlds, columns=2)):
        alike = chance.stream(7, "x", str(column)).random(worlds, dtype=np.float32)
        assert drawn.dtype == np.float32
        assert np.array_equal(drawn, alike)


def test_threads_do_not_take_numbers_from_each_other():
    names = [str(number) for number in range(200)]
    alone = [chance.two_sixteens(7, name, worlds=5000) for name in names]
    with ThreadPoolExecutor(4) as crew:
        together = crew.map(lambda name: chance.two_sixteens(7, name, worlds=5000), names)
        assert all(np.array_equal(one, two) for one, two in zip(alone, together, strict=True))
