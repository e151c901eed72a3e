"""End float: the difference of two means, and how often its doubt covers the truth."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.science.end_float import end_float
from retrue.science.give_or_take import doubt_of


def test_the_doubt_of_two_means_is_the_textbook_one():
    """JCGM 100:2008, 4.2.3: standard deviation of a mean; two of them in quadrature."""
    pushed, pulled = [6.5, 7.0, 6.5, 7.0], [0.5, 0.0, 0.5]
    found = end_float(pushed, pulled)
    pooled = np.sqrt((3 * np.var(pushed, ddof=1) + 2 * np.var(pulled, ddof=1)) / 5)
    assert found.scatter_um == pytest.approx(pooled)
    assert found.unit_uncertainty == pytest.approx(np.sqrt(1 / 4 + 1 / 3))
    assert found.freedom == 5


def test_a_push_read_as_a_pull_turns_the_sign():
    assert end_float([5, 6], [1, 2]).float_um == 4
    assert end_float([1, 2], [5, 6]).float_um == -4
    with pytest.raises(ValueError, match="both"):
        end_float([1, 2], [])


def test_the_doubt_covers_as_often_as_it_says():
    """2,000 simulated measurements; the promise is 95 in 100."""
    draw = np.random.Generator(np.random.Philox(43))
    inside = 0
    for _ in range(2000):
        found = end_float(draw.normal(6, 1, 5), draw.normal(0, 1, 5))
        near = doubt_of(found.unit_uncertainty, found.scatter_um, found.freedom, None)
        inside += abs(found.float_um - 6) <= near
    assert 0.93 <= inside / 2000 <= 0.97
