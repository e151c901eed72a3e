"""Protective conductors and control volts; IEC 60204-1 and IEC 60028 from memory."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.earth_bond import (
    SAW_TOOTH,
    bond_ohm,
    conductor_ohm,
    deviation_percent,
    highest_limit_ohm,
    most_volts_at_ten_ampere,
    ripple_percent,
)


@given(bond=st.floats(0, 10), leads=st.floats(0, 1))
def test_leads_are_taken_off(bond: float, leads: float):
    assert bond_ohm(bond + leads, leads) == pytest.approx(bond, abs=1e-12)


def test_leads_that_have_more_than_the_whole_are_refused():
    for read, leads in ((0.05, 0.06), (0.05, -0.01)):
        with pytest.raises(Unusable, match="leads"):
            bond_ohm(read, leads)


def test_a_copper_conductor_has_what_iec_60028_says():
    """1/58 ohm mm2 a metre at 20 degrees; 0.393 per cent more for every degree (from memory)."""
    assert conductor_ohm(58, 1.0) == pytest.approx(1.0, rel=1e-3)
    assert conductor_ohm(10, 2.5) == pytest.approx(0.0690, abs=5e-5)
    warm = conductor_ohm(10, 2.5, conductor_c=21) / conductor_ohm(10, 2.5)
    assert warm == pytest.approx(1.00393, abs=1e-5)
    with pytest.raises(Unusable, match="length"):
        conductor_ohm(0, 2.5)


@pytest.mark.parametrize(
    ("area", "volts"), [(1.0, 3.3), (1.5, 2.6), (2.5, 1.9), (4.0, 1.4), (6.0, 1.0), (25, 1.0)]
)
def test_the_most_a_bond_may_drop_at_ten_ampere(area: float, volts: float):
    """IEC 60204-1:1997, table 9 (from memory, unverified)."""
    assert most_volts_at_ten_ampere(area) == volts


def test_a_conductor_too_thin_is_refused():
    with pytest.raises(Unusable, match="thin"):
        most_volts_at_ten_ampere(0.75)


def test_control_volts_have_a_sign():
    assert deviation_percent(22.8, 24) == -5
    assert deviation_percent(26.4, 24) == 10
    with pytest.raises(Unusable, match="rated"):
        deviation_percent(24, 0)


def test_a_limit_over_a_tenth_of_an_ohm_wants_a_thin_conductor():
    """IEC 60204-1:1997, table 9: 1.9 V at 10 A for 2.5 mm2, 1.0 over 4 (from memory)."""
    assert [highest_limit_ohm(area) for area in (None, 1, 2.5, 4, 10)] == pytest.approx(
        [0.1, 0.33, 0.19, 0.14, 0.1]
    )
    with pytest.raises(Unusable, match="thin"):
        highest_limit_ohm(0.5)


def test_ripple_peak_to_peak_and_effective():
    """A saw-tooth of 1 V effective is 3.464 V peak to peak (by definition)."""
    steps = [i / 1000 - 0.5 for i in range(1001)]
    effective = (sum(x * x for x in steps) / len(steps)) ** 0.5
    assert 1 / effective == pytest.approx(SAW_TOOTH, rel=2e-3)
    assert ripple_percent(1.2, 24) == pytest.approx(5.0)
    assert ripple_percent(1.2 / SAW_TOOTH, 24, effective=True) == pytest.approx(5.0)
