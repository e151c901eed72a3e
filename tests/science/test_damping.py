"""What damping a panel gains, by published formulas and by the trade's own experience."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.damping import (
    after_db,
    free_layer_share,
    least_share,
    loss_drop_db,
    mass_law_db,
    part_from_drop_db,
)
from retrue.science.sound_level import total_db


def test_damping_one_panel_gains_little_where_the_rest_is_as_loud():
    """Two equal parts of 79 dB, 82 together; ten times the loss factor on one: 79.41 dB."""
    both = total_db([79, 79])
    assert both == pytest.approx(82, abs=0.02)
    found = after_db(both, 79, loss_drop_db(0.01, 0.1))
    assert found == pytest.approx(79.41, abs=0.005)
    assert both - found == pytest.approx(2.6, abs=0.01)


def test_four_times_the_loss_is_six_decibels():
    """``10 lg(after / before)`` (by definition)."""
    assert loss_drop_db(0.01, 0.04) == pytest.approx(6.02, abs=0.005)
    assert loss_drop_db(0.04, 0.01) == pytest.approx(-6.02, abs=0.005)


def test_a_glued_sheet_gives_the_share_of_the_formula():
    """Oberst (Acustica 2, 1952; from memory): e = 5e8 / 2.1e11, h = 2, 0.1276; 0.5 makes 0.064."""
    share = free_layer_share(5e8 / 2.1e11, 2)
    assert share == pytest.approx(0.1276, abs=5e-5)
    assert 0.5 * share == pytest.approx(0.064, abs=5e-4)


@given(e=st.floats(1e-4, 0.9), h=st.floats(0.05, 5))
def test_the_sheet_is_a_composite_beam(e: float, h: float):
    """Loss by the imaginary part of the bending stiffness of two layers (engineering mechanics)."""
    loss = 1e-6
    soft = e * (1 + 1j * loss)
    area = np.array([1, soft * h])
    middle = np.array([0.5, 1 + h / 2])
    neutral = (area * middle).sum() / area.sum()
    own = np.array([1, soft * h**3]) / 12
    bending = (own + area * (middle - neutral) ** 2).sum()
    assert bending.imag / bending.real / loss == pytest.approx(free_layer_share(e, h), rel=1e-5)


def test_a_steel_sheet_keeps_back_what_its_mass_does():
    """1.5 mm of steel at 1 kHz: 34.4 dB; six more for twice the mass or the frequency."""
    assert mass_law_db(11.7, 1000) == pytest.approx(34.4, abs=0.05)
    assert mass_law_db(23.4, 1000) - mass_law_db(11.7, 1000) == pytest.approx(6.02, abs=0.01)
    assert mass_law_db(11.7, 2000) - mass_law_db(11.7, 1000) == pytest.approx(6.02, abs=0.01)


def test_covers_that_were_worth_ten_decibels_gave_nine_tenths():
    """Belt-driven spindle, about 93 dB at 7,500 rpm; sheets on the covers took off 10 dB.

    Common practice, no source. Whatever the sheets did, the covers gave at least 90 % of the power.
    """
    assert least_share(10) == 0.9
    for drop in (10.5, 13, 20, math.inf):
        covers = part_from_drop_db(93, 83, drop)
        assert 10 ** ((covers - 93) / 10) >= 0.9
        assert after_db(93, covers, drop) == pytest.approx(83)
    with pytest.raises(Unusable, match="alone cannot"):
        part_from_drop_db(93, 83, 9)


@given(rest=st.floats(50, 95), part=st.floats(50, 95), drop=st.floats(0, 30))
def test_a_treatment_gains_no_more_than_taking_the_part_away(rest: float, part: float, drop: float):
    everything = total_db([rest, part])
    found = after_db(everything, part, drop)
    assert rest - 1e-6 <= found <= everything + 1e-6
    assert after_db(everything, part, math.inf) == pytest.approx(rest, abs=1e-3)
    assert everything - found <= drop + 1e-6
    if part <= rest - 10:
        assert everything - found <= 10 * math.log10(1.1) + 1e-9


def test_nonsense_is_refused():
    for call in (
        lambda: after_db(80, 81, 3),
        lambda: after_db(80, 70, -1),
        lambda: loss_drop_db(0, 0.1),
        lambda: free_layer_share(-1, 1),
        lambda: mass_law_db(10, 0),
        lambda: least_share(-1),
        lambda: part_from_drop_db(80, 80, 3),
    ):
        with pytest.raises(Unusable):
            call()
    assert after_db(80, 80, 4) == 76
