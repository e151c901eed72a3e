"""Wire: American gauge against its own law, metric against a printed table, both against copper."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.conductor import (
    ALUMINIUM_OHM_CMIL_PER_FOOT,
    COPPER_75_C,
    drop_by_area_volts,
    drop_volts,
)
from retrue.science.wire_awg import (
    AMBIENT_75_C,
    AREA_CMIL,
    SMALL_60_C,
    STRANDED_OHM_PER_KFT,
    awg_carries,
    awg_for,
    awg_ohm_per_km,
)
from retrue.science.wire_metric import (
    COPPER_AMPERE,
    OHM_PER_KM_20_C,
    SIZES_MM2,
    metric_carries,
    metric_for,
    metric_ohm_per_km,
)

GAUGES = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}
SOLID_OHM_PER_KFT = {"14": 3.07, "12": 1.93, "10": 1.21, "8": 0.764}


def test_gauges_have_the_area_of_their_law():
    """ASTM B258: diameter 0.005 in times 92 to the (36 - n) / 39."""
    assert list(AREA_CMIL) == list(COPPER_75_C) == list(STRANDED_OHM_PER_KFT)
    for size, area in AREA_CMIL.items():
        number = GAUGES.get(size, int(size) if "/" not in size else None)
        assert area == pytest.approx((5 * 92 ** ((36 - number) / 39)) ** 2, rel=0.003)


def test_stranded_is_stranded_and_not_the_solid_values():
    """NFPA 70, chapter 9, table 8 (from memory); a page prints the solid values as stranded."""
    for size, solid in SOLID_OHM_PER_KFT.items():
        assert STRANDED_OHM_PER_KFT[size] != pytest.approx(solid, rel=0.01)
        assert STRANDED_OHM_PER_KFT[size] / solid == pytest.approx(1.02, abs=0.01)


@pytest.mark.parametrize("size", list(AREA_CMIL))
def test_resistance_times_area_is_copper_at_75_degrees(size: str):
    """Copper of 100 % IACS: 10.371 ohm cmil/ft at 20 degrees C, 0.00393 a kelvin, 2 % of lay."""
    copper = 10.371 * (1 + 0.00393 * 55) * 1.02
    assert STRANDED_OHM_PER_KFT[size] * AREA_CMIL[size] / 1000 == pytest.approx(copper, rel=0.008)


def test_a_volt_drop_with_the_stranded_value():
    """42 A, 100 ft, 8 AWG: 5.659 V with 0.778 (computed twice); 5.558 with the solid 0.764."""
    found = drop_volts(42, 30.48, ohm_per_km=awg_ohm_per_km("8"))
    assert found == pytest.approx(5.659, abs=0.002)
    with pytest.raises(Unusable, match="conductor"):
        awg_ohm_per_km("7")


def test_warm_copper_resists_more():
    """NFPA 70, chapter 9, table 8, note 2: R75 (1 + 0.00323 (T - 75)); 0.00393 from 20 degrees."""
    warm = awg_ohm_per_km("8", copper_c=90) / awg_ohm_per_km("8")
    assert warm == pytest.approx(1 + 0.00323 * 15)
    assert awg_ohm_per_km("8", copper_c=20) / awg_ohm_per_km("8") == pytest.approx(
        1 / (1 + 0.00393 * 55), rel=2e-3
    )


def test_aluminium_drops_more():
    """K = 21.2 against 12.9 ohm cmil/ft (secondary source)."""
    copper = drop_by_area_volts(42, 100, 16510)
    aluminium = drop_by_area_volts(42, 100, 16510, ohm_cmil_per_foot=ALUMINIUM_OHM_CMIL_PER_FOOT)
    assert aluminium / copper == pytest.approx(21.2 / 12.9)


def test_twelve_gauge_in_warm_air():
    """NFPA 70 (secondary source): 25 A times 0.88 is 22 A; one example prints 20 A for 25."""
    assert awg_carries("12").ampere == 25
    assert awg_carries("12", ambient_c=40).ampere == pytest.approx(22)
    assert awg_carries("12", ambient_c=36).ampere == pytest.approx(22)
    assert awg_carries("12", conductors=4).ampere == pytest.approx(20)
    assert awg_carries("12", conductors=6).ampere == pytest.approx(20)
    assert awg_carries("12", conductors=7).ampere == pytest.approx(17.5)
    assert awg_carries("12", conductors=41).ampere == pytest.approx(8.75)


def test_ambient_factors_are_the_square_root_that_the_code_rounds():
    """NFPA 70, 310.15(B): sqrt((75 - ambient) / 45), to two digits."""
    for most, factor in AMBIENT_75_C:
        assert factor == pytest.approx(math.sqrt((75 - most) / 45), abs=0.006)


def test_at_60_degrees_editions_differ_and_both_are_kept():
    """NFPA 70, table 310.16 (secondary sources): 20/25 A in older print, 15/20 A in 2023."""
    assert SMALL_60_C == {"older": {"14": 20, "12": 25}, "2023": {"14": 15, "12": 20}}


@pytest.mark.parametrize("wrong", [("7", 30, 3), ("12", 70.1, 3), ("12", math.nan, 3),
                                   ("12", 30, 0)])  # fmt: skip
def test_no_such_conductor(wrong: tuple[str, float, int]):
    with pytest.raises(Unusable, match="conductor"):
        awg_carries(wrong[0], ambient_c=wrong[1], conductors=wrong[2])


@given(ampere=st.floats(0.1, 200), ambient=st.floats(-20, 55), conductors=st.integers(1, 9))
def test_the_smallest_gauge_that_carries_it(ampere: float, ambient: float, conductors: int):
    try:
        size = awg_for(ampere, ambient_c=ambient, conductors=conductors)
    except Unusable:
        assert awg_carries("4/0", ambient_c=ambient, conductors=conductors).ampere < ampere
        return
    sizes = list(COPPER_75_C)
    carried = awg_carries(size, ambient_c=ambient, conductors=conductors).ampere
    assert carried >= ampere - 1e-9
    if size != "14":
        below = sizes[sizes.index(size) - 1]
        assert awg_carries(below, ambient_c=ambient, conductors=conductors).ampere < ampere


# Metric.

PRINTED = {  # a compressor's manual after IEC 60364-5-52, PVC, method B2 (secondary source)
    4: (27, 23, 21, 19, 16), 6: (34, 30, 27, 24, 21), 10: (46, 40, 36, 33, 28),
    16: (62, 54, 49, 44, 38), 25: (80, 70, 63, 57, 49), 35: (99, 86, 78, 70, 60),
    50: (118, 103, 93, 84, 72), 70: (149, 130, 118, 106, 91), 95: (179, 156, 141, 127, 109),
    120: (206, 179, 163, 146, 126),
}  # fmt: skip


@pytest.mark.parametrize("size", list(PRINTED))
def test_pvc_in_conduit_is_what_a_manual_prints(size: int):
    for ambient, printed in zip((30, 40, 45, 50, 55), PRINTED[size], strict=True):
        found = metric_carries(float(size), ambient_c=ambient).ampere
        assert found == pytest.approx(printed, abs=1.01)


@pytest.mark.parametrize(
    ("row", "low", "high"),
    [(("pvc", "C"), (13.5, 0.625), (12.4, 0.635)), (("xlpe", "C"), (17.0, 0.623), (15.4, 0.635))],
)
def test_clipped_cables_follow_the_standards_own_formula(
    row: tuple[str, str], low: tuple[float, float], high: tuple[float, float]
):
    """IEC 60364-5-52, annex D (from memory): A times the area to the power m."""
    for size, ampere in zip(SIZES_MM2, COPPER_AMPERE[row], strict=True):
        factor, power = low if size <= 16 else high
        area = 47.5 if size == 50 else size  # the annex's own note on 50 mm2
        assert ampere == pytest.approx(factor * area**power, rel=0.01)


def test_every_row_rises_and_better_insulation_carries_more():
    for row in COPPER_AMPERE.values():
        assert len(row) == len(SIZES_MM2)
        assert list(row) == sorted(row)
    for method in ("B2", "C"):
        for pvc, xlpe in zip(
            COPPER_AMPERE["pvc", method], COPPER_AMPERE["xlpe", method], strict=True
        ):
            assert 1.15 < xlpe / pvc < 1.35
    for kind in ("pvc", "xlpe"):
        for tight, free in zip(COPPER_AMPERE[kind, "B2"], COPPER_AMPERE[kind, "C"], strict=True):
            assert tight < free


def test_ambient_and_bunching():
    """IEC 60364-5-52, B.52.14: PVC 0.87 at 40, XLPE 0.91; B.52.17: 0.80, 0.70 (from memory)."""
    assert metric_carries(10).ambient_factor == 1
    assert metric_carries(10, ambient_c=40).ambient_factor == pytest.approx(0.87, abs=0.005)
    assert metric_carries(10, ambient_c=20).ambient_factor == pytest.approx(1.12, abs=0.005)
    assert metric_carries(10, insulation="xlpe", ambient_c=40).ambient_factor == pytest.approx(
        0.91, abs=0.005
    )
    assert [metric_carries(10, circuits=n).grouped_factor for n in (1, 2, 3, 9, 10, 20)] == [
        1, 0.8, 0.7, 0.5, 0.45, 0.38
    ]  # fmt: skip


@pytest.mark.parametrize(
    "wrong", [{"size_mm2": 3}, {"insulation": "paper"}, {"method": "G"}, {"circuits": 0},
              {"circuits": 21}, {"ambient_c": 70}, {"ambient_c": math.nan}],
)  # fmt: skip
def test_what_the_table_does_not_know_is_refused(wrong: dict[str, object]):
    with pytest.raises(Unusable):
        metric_carries(**{"size_mm2": 10.0} | wrong)


def test_a_verified_table_can_take_the_place_of_ours():
    mine = {("pvc", "B2"): tuple(range(1, 13))}
    assert metric_carries(2.5, table=mine).ampere == 2
    with pytest.raises(Unusable, match="conductor"):
        metric_carries(2.5, method="C", table=mine)


@given(ampere=st.floats(1, 200), ambient=st.floats(10, 50), circuits=st.integers(1, 4))
def test_the_smallest_size_that_carries_it(ampere: float, ambient: float, circuits: int):
    try:
        size = metric_for(ampere, ambient_c=ambient, circuits=circuits)
    except Unusable:
        assert metric_carries(120.0, ambient_c=ambient, circuits=circuits).ampere < ampere
        return
    assert metric_carries(size, ambient_c=ambient, circuits=circuits).ampere >= ampere - 1e-9
    if size != SIZES_MM2[0]:
        below = SIZES_MM2[SIZES_MM2.index(size) - 1]
        assert metric_carries(below, ambient_c=ambient, circuits=circuits).ampere < ampere


@pytest.mark.parametrize("strands", [2, 5])
def test_metric_resistance_times_area_is_copper(strands: int):
    """IEC 60228: at most, so a little over 17.241 ohm mm2/km at 20 degrees C (IEC 60028)."""
    for size, ohm in zip(SIZES_MM2, OHM_PER_KM_20_C[strands], strict=True):
        assert 1.0 < ohm * size / 17.241 < 1.18
    hot = metric_ohm_per_km(10.0, strands=strands, copper_c=70)
    assert hot / metric_ohm_per_km(10.0, strands=strands, copper_c=20) == pytest.approx(1.1965)
    with pytest.raises(Unusable, match="conductor"):
        metric_ohm_per_km(3.0)
