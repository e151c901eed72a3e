"""The height of a spike against the path that makes it."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.science.signatures import standstill_ms


@pytest.mark.parametrize("feed", [500.0, 1000.0, 2000.0])
def test_a_standstill_is_found_again_from_the_exact_path(feed):
    """Exact: one axis stands 20 ms at its turn while the other goes on along the tangent."""
    radius, stands_s = 150.0, 0.020
    along = feed / 60 * stands_s
    height_um = (np.hypot(radius, along) - radius) * 1000
    assert standstill_ms(height_um, radius, feed) == pytest.approx(20.0, rel=1e-5)
    expected = {500.0: 0.093, 1000.0: 0.370, 2000.0: 1.481}[feed]
    assert height_um == pytest.approx(expected, abs=5e-4)


def test_twice_the_feed_makes_four_times_the_spike():
    assert standstill_ms(4.0, 100, 2000) == pytest.approx(standstill_ms(1.0, 100, 1000))
