"""Does a part fit: rules by definition, classes, contacts, coils, hoses, cells, motors."""

from __future__ import annotations

import math

import pytest

from retrue.base.refusals import Unusable
from retrue.science.bearing_choice import PRECISION, arrangement, speed_number
from retrue.science.cell_sort import SORTS, stands_in
from retrue.science.control_contact import CONTROL_LOADS, coil, contact, control_load
from retrue.science.enclosure import covers, digits
from retrue.science.fitting import at_most, between, like_words, near, provided, ranked
from retrue.science.hose import burst_bar, flow_m_s, long_enough, young_enough
from retrue.science.motor_swap import duty_covers, flux_times, on_mains, rated_torque_nm


def test_no_more_near_and_between_at_their_very_edges():
    assert [at_most(v, 100) for v in (100, 100.1)] == ["yes", "no"]
    assert [near(v, 100, yes_share=0.05, ask_share=0.1) for v in (95, 94, 90, 89, 105, 111)] == [
        "yes", "ask", "ask", "no", "yes", "no"]  # fmt: skip
    assert [between(6, 9, v) for v in (5.9, 6, 9, 9.1)] == ["no", "yes", "yes", "no"]
    assert between(6, None, 7) == between(None, None, None) == "ask"
    assert between(6, None, 5) == between(None, 9, 10) == "no"
    for unknown in (at_most(None, 1), at_most(1, None), near(None, 1, yes_share=1),
                    provided(None, True), provided(None, None), like_words(None, "x"),
                    ranked(PRECISION, None, "P4")):  # fmt: skip
        assert unknown == "ask"


def test_a_ladder_of_classes_rises():
    """ISO 492: P2 is finer than P4 (by definition of the classes)."""
    assert [ranked(PRECISION, has, "P4") for has in PRECISION] == ["no", "no", "no", "yes", "yes"]


@pytest.mark.parametrize(
    ("has", "needs", "fits"),
    [("IP65", "IP54", "yes"), ("IP54", "IP65", "no"), ("IP67", "IP65", "ask"),
     ("IP65", "IP67", "no"), ("IP69", "IP67", "ask"), ("IP45", "IP54", "no"),
     ("IPX5", "IP54", "ask"), ("IP65", "IPX4", "yes"), ("ip 68", "67", "yes"), ("", "IP54", "ask"),
     ("IP67", "IP64", "yes")],
)  # fmt: skip
def test_the_digits_of_an_enclosure(has: str, needs: str, fits: str):
    """IEC 60529, clauses 5 and 6 (from memory): jets and sinking are proved apart."""
    assert covers(has, needs) == fits


def test_a_code_that_is_none_is_refused():
    assert digits("IP54W") == (5, 4)
    for wrong in ("IP7", "IP74", "54X9", "water"):
        with pytest.raises(Unusable, match="protection class"):
            covers(wrong, "IP54")


def test_a_control_contact_covers_what_is_milder_and_nothing_else():
    """IEC 60947-5-1, table of making (secondary source: AC-12 1, AC-13 2, AC-14 6, AC-15 10)."""
    assert [CONTROL_LOADS[f"AC-1{n}"].make_times for n in (2, 3, 4, 5)] == [1, 2, 6, 10]
    assert {one.break_times for one in CONTROL_LOADS.values()} == {1}
    for one in CONTROL_LOADS.values():
        assert all(control_load(id).make_times <= one.make_times for id in one.covers)
        assert all(id[:2] == one.id[:2] for id in one.covers), "never from one current to the other"
    assert contact("AC-15", 3, {"AC-12": 10}) == "ask"
    assert contact("DC-13", 2, {"AC-15": 6}) == "ask"
    assert contact("DC-12", 2, {"DC-13": 2}) == "yes"
    assert contact("DC-12", 3, {"DC-13": 2}) == "ask"
    assert contact("DC-13", 2, {"DC-12": 2}) == "ask"
    assert contact("DC-13", 2, {"DC-13": 1.9, "DC-14": 2}) == "yes"
    with pytest.raises(Unusable, match="category"):
        contact("AC-3", 1, {})


@pytest.mark.parametrize(
    ("supply", "rated", "fits"),
    [(24, 24, "yes"), (22.8, 24, "yes"), (20.4, 24, "ask"), (20.3, 24, "no"), (26.4, 24, "ask"),
     (26.5, 24, "no"), (230, 220, "yes"), (24, None, "ask")],
)  # fmt: skip
def test_the_band_of_a_coil(supply: float, rated: float | None, fits: str):
    """IEC 60947-4-1: 85 to 110 per cent (from memory); the easy twentieth is judgement."""
    assert coil(supply, rated) == fits


def test_bearings_stand_as_they_are_matched():
    """Common practice, no source."""
    assert arrangement("back_to_back", "back_to_back") == "yes"
    assert arrangement("single", "face_to_face") == arrangement("back_to_back", "set") == "no"
    assert arrangement(None, "set") == arrangement("set", None) == "ask"
    for pair in ("back_to_back", "face_to_face", "tandem", "single"):
        assert arrangement("universal", pair) == "yes"
        assert arrangement("set", pair) == arrangement("single", "universal") == "no"
    assert speed_number(70, 110, 8000) == 720_000  # worked out
    with pytest.raises(Unusable, match="bore"):
        speed_number(110, 70, 8000)


def test_a_hose_bursts_late_reaches_and_is_young():
    """SAE J517: four (secondary); 4 per cent shorter and DIN 20066 two and six (from memory)."""
    assert burst_bar(345) == 1380
    assert burst_bar(10, times=3) == 30
    assert [long_enough(v, 960) for v in (1000, 999, 960, 959)] == ["yes", "ask", "ask", "no"]
    assert long_enough(None, 960) == long_enough(960, None) == "ask"
    assert [young_enough(v) for v in (0, 2, 2.1, 6, 6.1)] == ["yes", "yes", "ask", "ask", "no"]
    assert flow_m_s(60, 20) == pytest.approx(0.001 / (math.pi * 0.01**2))
    with pytest.raises(Unusable, match="bore"):
        flow_m_s(30, 0)


def test_no_cell_that_is_charged_stands_in_for_one_that_is_not():
    """IEC 60086-1 nominal volts (from memory); -4 and -5: primary cells are not charged."""
    assert (SORTS["thionyl"].volts, SORTS["manganese"].volts, SORTS["alkaline"].volts) == (
        3.6, 3.0, 1.5)  # fmt: skip
    for has in SORTS.values():
        for needs in SORTS.values():
            fits = stands_in(has.id, needs.id)
            assert (fits == "yes") == (has is needs)
            if has.charged != needs.charged or has.volts != needs.volts:
                assert fits == "no"
            elif has is not needs:
                assert fits == "ask"
    assert {stands_in(None, "lead"), stands_in("lead", None)} == {"ask"}
    with pytest.raises(Unusable, match="sort of cell"):
        stands_in("mercury", "alkaline")


def test_the_torque_of_a_plate():
    """Handbooks print T = 9549 kW / rpm; NEMA MG 1: 5252 hp / rpm in pound-feet."""
    assert rated_torque_nm(1, 1) == pytest.approx(9549, abs=0.5)
    assert rated_torque_nm(30, 1500) == pytest.approx(9549 * 30 / 1500, rel=1e-4)
    horsepower, foot_pound = 745.7, 1.355818
    assert rated_torque_nm(horsepower / 1000, 1) / foot_pound == pytest.approx(5252, abs=0.5)
    with pytest.raises(Unusable, match="stands"):
        rated_torque_nm(1, 0)


def test_a_supply_and_a_plate():
    """IEC 60034-1, zones of 5 and 10 per cent (from memory); flux is volts over hertz."""
    assert [on_mains(v, 400) for v in (380, 379, 360, 359, 420, 440, 441)] == [
        "yes", "ask", "ask", "no", "yes", "ask", "no"]  # fmt: skip
    assert on_mains(None, 400) == on_mains(400, None) == "ask"
    assert flux_times(400, 50, 480, 60) == pytest.approx(1)
    assert flux_times(400, 60, 400, 50) == pytest.approx(50 / 60)
    with pytest.raises(Unusable, match="hertz"):
        flux_times(400, 0, 400, 50)


def test_a_duty():
    """IEC 60034-1, clause 4 (from memory)."""
    assert duty_covers("S1", "S3") == duty_covers("S6", "S6") == "yes"
    assert duty_covers("S6", "S1") == "no"
    assert duty_covers("S1", "S9") == duty_covers("S3", "S6") == duty_covers(None, "S1") == "ask"
