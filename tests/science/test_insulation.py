"""IEEE Std 43-2013, clause 6.3: halving for every 10 K (from memory)."""

import pytest

from retrue.science.insulation import at_40_c


@pytest.mark.parametrize(
    ("read", "winding_c", "at_40"),
    [(100.0, 40.0, 100.0), (100.0, 30.0, 50.0), (100.0, 50.0, 200.0), (100.0, 10.0, 12.5)],
)
def test_ten_kelvin_warmer_halves_the_resistance(read: float, winding_c: float, at_40: float):
    assert at_40_c(read, winding_c) == pytest.approx(at_40, rel=1e-12)


def test_a_factor_read_off_a_graph_does_not_come_out():
    """3 megohm at 70 degrees is 24 by halving and by logarithm; a page reads 7, prints 21."""
    assert at_40_c(3.0, 70.0) == pytest.approx(24.0)
    assert at_40_c(3.0, 70.0) == pytest.approx(3 * 10 ** (0.0301 * 70 - 1.2041), rel=1e-3)
    assert at_40_c(3.0, 70.0) != pytest.approx(21.0, rel=0.1)


def test_a_resistance_of_nothing_is_refused():
    with pytest.raises(ValueError, match="positive"):
        at_40_c(0.0, 20.0)
