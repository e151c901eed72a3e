"""Central lubrication: a handbook's own examples, and the physics of a full line."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.lubrication import (
    film_cm3,
    interval_share,
    lost_cm3,
    outlet,
    plain_bearing_area_mm2,
    pump_cm3,
    regrease_g,
    rolling_bearing_area_mm2,
)

INCH3 = 16.387064


def test_a_journal_of_six_inches():
    """Lubrication handbook (secondary source): 6 by 6 in is 0.113 in3 or 1.853 cm3 an hour."""
    found = film_cm3(plain_bearing_area_mm2(6 * 25.4, 6 * 25.4))
    assert found == pytest.approx(1.853, abs=5e-4)
    assert found / INCH3 == pytest.approx(0.113, abs=5e-4)


def test_a_way_and_a_rolling_bearing():
    """25 um a cycle (secondary source): 400 by 300 mm is 3.0 cm3."""
    assert film_cm3(400 * 300, 25) == pytest.approx(3.0)
    assert rolling_bearing_area_mm2(50, 2) == 5000


def test_the_pump_of_all_outlets():
    """A pump maker's rule (secondary source): 1.25 times the doses, 1 cm3 a metre of main hose."""
    assert pump_cm3([1, 1, 2], 4) == pytest.approx(9)
    for wrong in (([], 4), ([1, 0], 4), ([1], -1), ([1], math.nan)):
        with pytest.raises(Unusable):
            pump_cm3(*wrong)


@pytest.mark.parametrize(
    ("weighed", "share", "fits"),
    [(1.76, 1.0, True), (0.88, 0.5, True), (0.87, 0.494, False), (2.64, 1.5, True),
     (2.66, 1.511, False), (0.0, 0.0, False)],
)  # fmt: skip
def test_an_outlet_is_weighed(weighed: float, share: float, fits: bool):
    """Half to one and a half times the stamp (common practice, no source)."""
    found = outlet(weighed, 10, 0.2)
    assert found.share == pytest.approx(share, abs=5e-4)
    assert found.fits is fits


def test_an_outlet_nobody_weighed():
    for wrong in ((-1, 10, 0.2), (1, 0, 0.2), (1, 10, 0), (math.nan, 10, 0.2)):
        with pytest.raises(Unusable):
            outlet(*wrong)


def test_a_full_line_hides_little():
    """Bulk modulus 1.5 GPa: 200 cm3 and 20 bar are 0.267 cm3 (computed twice)."""
    assert lost_cm3(200, 20) == pytest.approx(0.267, abs=5e-4)
    assert lost_cm3(200, 0) == 0
    for wrong in ((0, 20), (200, -1), (200, math.nan)):
        with pytest.raises(Unusable):
            lost_cm3(*wrong)


def test_grease_again():
    """Bearing handbook (secondary source): 130 by 31 mm is 20.15 g; half for each 15 over 70."""
    assert regrease_g(130, 31) == pytest.approx(20.15)
    assert [interval_share(t) for t in (20, 70, 85, 100)] == [1, 1, 0.5, 0.25]
    with pytest.raises(Unusable, match="temperature"):
        interval_share(math.nan)


@given(area=st.floats(1, 1e6), film=st.floats(1, 100))
def test_a_film_is_area_times_thickness(area: float, film: float):
    assert film_cm3(area, film) * 1000 == pytest.approx(area * film / 1000)  # cubic millimetres
    with pytest.raises(Unusable):
        film_cm3(area, -film)
