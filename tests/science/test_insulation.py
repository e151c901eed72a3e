"""IEEE Std 43-2013, clause 6.3: halving for every 10 K (from memory)."""

import pytest

from retrue.science.insulation import at_40_c


@pytest.mark.parametrize(
    ("read", "winding_c", "at_40"),
    [(100.0, 40.0, 100.0), (100.0, 30.0, 50.0), (100.0, 50.0, 200.0), (100.0, 10.0, 12.5)],
)
def test_ten_kelvin_warmer_halves_the_resistance(read: float, winding_c: float, at_40: float):
    assert at_40_c(read, winding_c) == pytest.approx(at_40, rel=1e-12)


def test_a_resistance_of_nothing_is_refused():
    with pytest.raises(ValueError, match="positive"):
        at_40_c(0.0, 20.0)
