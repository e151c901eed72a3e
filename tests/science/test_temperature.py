from __future__ import annotations

import pytest

from retrue.science.temperature import growth_um, heat_in_deviations_um, length_at_20


def test_a_published_length_brought_to_twenty_degrees():
    """National Physical Laboratory, "How do I correct lengths to 20 °C".

    500.035 mm at 23.7 °C, 11.7e-6 per kelvin, gives 500.013 mm.
    """
    assert length_at_20(500.035, 23.7, 11.7) == pytest.approx(500.013353, abs=1e-6)
    assert round(length_at_20(500.035, 23.7, 11.7), 3) == 500.013


def test_half_a_metre_of_screw_eight_kelvin_warmer():
    """By definition: 500 mm x 12e-6 x 8 K = 48.0 µm."""
    assert growth_um(500, 12, 8) == pytest.approx(48.0)
    assert growth_um(500, 12, -8) == pytest.approx(-48.0)


def test_alike_and_equally_warm_they_cancel():
    heat = heat_in_deviations_um(
        [0, 250, 500], scale_c=26.3, gauge_c=26.3, scale_expansion=11.5, gauge_expansion=11.5
    )
    assert heat == pytest.approx([0, 0, 0])


def test_a_warm_screw_carries_too_far_and_a_warm_standard_shows_too_little():
    cold = {"scale_expansion": 12.0, "gauge_expansion": 12.0}
    assert heat_in_deviations_um([500], scale_c=28, gauge_c=20, **cold)[0] == pytest.approx(48)
    assert heat_in_deviations_um([500], scale_c=20, gauge_c=28, **cold)[0] == pytest.approx(-48)
