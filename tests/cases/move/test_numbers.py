"""Every number of an answer, worked out a second time by hand, and every limit from both sides."""

from __future__ import annotations

import math

import pytest

from retrue.cases.move.drawings import LiftDrawing, RampDrawing, TipDrawing
from retrue.cases.move.method import answered, method
from retrue.cases.move.reckoning import Reckoning
from retrue.kinds.load import load

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
G = 9.81
LIFT = {"mass_kg": "4000", "legs": "2", "angle_deg": "60", "centre": "drawing"}
TRUCK = {"mass_kg": "3000", "rated_kg": "5000", "rated_centre_mm": "600", "centre_mm": "900"}
SKATES = {"mass_kg": "6000", "skates": "3", "floor": "ground", "slab_mm": "200",
          "plate_width_mm": "120", "plate_length_mm": "150", "centre_height_mm": "1000",
          "half_width_mm": "400"}  # fmt: skip
RAMP = {"mass_kg": "5000", "rise_mm": "200", "run_mm": "2000", "hold_one_newton": "9 kN",
        "hold_two_newton": "9 kN", "centre_height_mm": "1000", "half_width_mm": "600"}  # fmt: skip
DOOR = {"width_mm": "2000", "height_mm": "2500", "door_width_mm": "2100", "door_height_mm": "2700",
        "under_mm": "100"}  # fmt: skip
FED = {"plate_volts": "400", "plate_kva": "20", "plate_hz": "50", "supply_volts": "400",
       "supply_phases": "3", "supply_kva": "40", "earth": "tn_s"}  # fmt: skip


def told(id: str, typed: dict[str, str], **more: str) -> Reckoning:
    return answered(method(id), typed | more, CAUTIONS)


def value(made: Reckoning, key: str) -> float:
    found = next(one.value for one in made.figures if one.key == key)
    assert found is not None
    return found


def has(made: Reckoning, key: str) -> bool:
    return any(one.key == key for one in made.figures)


class TestLift:
    LEG = 2000 / math.sin(math.radians(60))

    def test_a_leg_may_pull_its_rating_and_not_more(self) -> None:
        assert told("lift", LIFT, leg_rated_kg=f"{self.LEG + 1:.0f}").answer == "go"
        assert told("lift", LIFT, leg_rated_kg=f"{self.LEG - 1:.0f}").answer == "no_go"
        over = told("lift", LIFT, leg_rated_kg="2000")
        assert value(over, "leg_use_share") == pytest.approx(self.LEG / 2000)
        assert f"{self.LEG:.0f}" in over.against[0].remedy.replace("\u202f", "")

    def test_what_hangs_with_it_is_counted(self) -> None:
        made = told("lift", LIFT, extras_kg="200")
        assert value(made, "hung_kg") == 4200
        assert value(made, "leg_kg") == pytest.approx(self.LEG * 1.05)

    def test_the_hook_carries_all_of_it(self) -> None:
        assert told("lift", LIFT, hook_rated_kg="4000").answer == "go"
        assert told("lift", LIFT, hook_rated_kg="4000", extras_kg="10").answer == "no_go"

    def test_the_angle_follows_from_leg_and_spread(self) -> None:
        typed = {**LIFT, "angle_deg": "", "leg_mm": "2000", "spread_mm": "2000"}
        made = told("lift", typed)
        assert value(made, "angle_deg") == pytest.approx(60)
        assert made.answer == "go"
        assert told("lift", typed, leg_mm="900").answer == "no_go"

    def test_flat_legs_are_warned_of_under_sixty_degrees(self) -> None:
        assert not any("60°" in note for note in told("lift", LIFT).notes)
        assert any("60°" in note for note in told("lift", LIFT, angle_deg="59").notes)

    def test_the_other_angles_stand_in_a_table(self) -> None:
        rows = dict(told("lift", LIFT).listings[0].rows)
        assert rows[90.0] == 2000
        assert rows[30.0] == pytest.approx(4000)

    def test_a_single_leg_needs_no_angle(self) -> None:
        made = told("lift", {"mass_kg": "500", "legs": "1", "centre": "drawing"})
        assert value(made, "leg_kg") == 500

    def test_the_picture_shows_what_is_known(self) -> None:
        drawn = told("lift", LIFT, spread_mm="1500").drawing
        assert isinstance(drawn, LiftDrawing)
        assert (drawn.mass_kg, drawn.legs, drawn.span_mm) == (4000, 2, 1500)
        assert told("lift", {**LIFT, "angle_deg": ""}).drawing is None

    def test_the_tip_angle_is_told_once_height_and_edge_are_known(self) -> None:
        made = told("lift", LIFT, centre_height_mm="1000", half_width_mm="1000")
        assert value(made, "tip_angle_deg") == pytest.approx(45)
        assert not has(told("lift", LIFT, centre_height_mm="1000"), "tip_angle_deg")

    def test_off_centre_is_told_to_turn_beyond_fifty_millimetres(self) -> None:
        near = told("lift", LIFT, spread_mm="2000", off_centre_mm="40")
        far = told("lift", LIFT, spread_mm="2000", off_centre_mm="60")
        assert not any("turn until" in note for note in near.notes)
        assert any("turn until" in note for note in far.notes)


class TestForklift:
    def test_the_truck_that_is_needed_is_told(self) -> None:
        made = told("forklift", TRUCK, mass_kg="4000")
        assert value(made, "allowed_kg") == pytest.approx(5000 * 600 / 900)
        assert value(made, "use_share") == pytest.approx(4000 / (5000 * 600 / 900))
        assert "6000 kg" in made.against[0].remedy.replace("\u202f", "")  # 4000 x 900 / 600
        assert [one.key for one in made.needs] == ["larger_truck"]

    def test_exactly_what_it_may_is_a_go(self) -> None:
        assert told("forklift", TRUCK, mass_kg="3333").answer == "go"
        assert told("forklift", TRUCK, mass_kg="3334").answer == "no_go"

    def test_without_a_mass_the_truck_is_told_all_the_same(self) -> None:
        made = told("forklift", {k: v for k, v in TRUCK.items() if k != "mass_kg"})
        assert made.answer == "get_first"
        assert value(made, "allowed_kg") == pytest.approx(3333.3, abs=0.1)
        assert not has(made, "use_share")


class TestSkates:
    def test_three_skates_take_a_third_and_a_quarter_more(self) -> None:
        made = told("skates", SKATES)
        assert value(made, "skate_kg") == pytest.approx(1.25 * 6000 / 3)
        assert value(made, "pull_newton") == pytest.approx(0.05 * 6000 * G)
        assert value(made, "start_newton") == pytest.approx(2 * 0.05 * 6000 * G)
        assert value(made, "most_side_newton") == pytest.approx(0.1 * 6000 * G)
        assert isinstance(made.drawing, TipDrawing)

    def test_a_skate_may_take_its_rating_and_not_more(self) -> None:
        assert told("skates", SKATES, skate_rated_kg="2500").answer == "go"
        assert told("skates", SKATES, skate_rated_kg="2499").answer == "no_go"

    def test_an_edge_counts_three_times(self) -> None:
        plain, edge = told("skates", SKATES), told("skates", SKATES, near_edge="yes")
        assert value(edge, "slab_worst_mpa") == pytest.approx(3 * value(plain, "slab_worst_mpa"))
        assert value(edge, "slab_use_share") == pytest.approx(3 * value(plain, "slab_use_share"))
        assert value(plain, "rupture_mpa") == pytest.approx(0.62 * 5)  # root of 25 MPa
        share = value(plain, "slab_worst_mpa") / value(plain, "rupture_mpa")
        assert value(plain, "slab_use_share") == pytest.approx(share)

    def test_half_of_its_strength_is_the_most_unless_somebody_says_otherwise(self) -> None:
        share = value(told("skates", SKATES), "slab_use_share")
        assert told("skates", SKATES, most_share=f"{share + 0.01:.3f}").answer == "go"
        assert told("skates", SKATES, most_share=f"{share - 0.01:.3f}").answer == "no_go"

    @pytest.mark.parametrize("field", ["plate_width_mm", "plate_length_mm", "slab_mm",
                                       "centre_height_mm", "half_width_mm", "mass_kg"])  # fmt: skip
    def test_each_lacking_number_is_named_and_the_rest_is_told(self, field: str) -> None:
        made = told("skates", {k: v for k, v in SKATES.items() if k != field})
        assert made.answer == "get_first"
        assert [one.field for one in made.missing] == [field]
        assert has(made, "skate_kg") == (field != "mass_kg")
        assert has(made, "pressure_kpa") == (field in ("slab_mm", "centre_height_mm",
                                                       "half_width_mm"))  # fmt: skip


class TestRamp:
    SLOPE = math.degrees(math.asin(0.1))

    def test_the_slope_follows_from_rise_and_length(self) -> None:
        made = told("ramp", RAMP)
        assert value(made, "slope_deg") == pytest.approx(self.SLOPE)
        sine, cosine = 0.1, math.sqrt(0.99)
        assert value(made, "pull_newton") == pytest.approx(5000 * G * (sine + 0.05 * cosine))
        assert value(made, "start_newton") == pytest.approx(5000 * G * (sine + 0.1 * cosine))
        assert value(made, "hold_newton") == pytest.approx(5000 * G * sine)
        assert isinstance(made.drawing, RampDrawing)
        assert made.answer == "go"

    def test_a_slope_that_was_typed_goes_before(self) -> None:
        assert not has(told("ramp", RAMP, slope_deg="3"), "slope_deg")

    def test_a_ramp_that_rises_more_than_it_is_long_is_refused(self) -> None:
        assert told("ramp", RAMP, rise_mm="2000").answer == "no_go"

    @pytest.mark.parametrize(
        ("field", "enough", "too_little"),
        [("ramp_rated_kg", "5000", "4999"), ("pull_rated_newton", "7346", "7344"),
         ("hold_one_newton", "4906", "4904"), ("hold_two_newton", "4906", "4904")],
    )  # fmt: skip
    def test_each_rating_from_both_sides(self, field: str, enough: str, too_little: str) -> None:
        assert told("ramp", RAMP, **{field: enough}).answer == "go"
        bad = told("ramp", RAMP, **{field: too_little})
        assert [one.field for one in bad.against] == [field]

    def test_the_frame_needs_room_where_the_ramp_ends(self) -> None:
        needed = 2000 / 2 * math.tan(math.radians(self.SLOPE) / 2)
        made = told("ramp", RAMP, base_mm="2000", under_mm=f"{needed + 1:.0f}")
        assert value(made, "crest_mm") == pytest.approx(needed)
        assert made.answer == "go"
        assert told("ramp", RAMP, base_mm="2000", under_mm=f"{needed - 1:.0f}").answer == "no_go"
        assert not has(told("ramp", {**RAMP, "slope_deg": "0"}, base_mm="2000"), "crest_mm")

    def test_it_tips_no_earlier_than_at_twice_the_slope(self) -> None:
        edge = 1000 * math.tan(math.radians(2 * self.SLOPE))
        assert told("ramp", RAMP, half_width_mm=f"{edge + 1:.0f}").answer == "go"
        assert told("ramp", RAMP, half_width_mm=f"{edge - 1:.0f}").answer == "no_go"

    def test_ten_degrees_are_the_most(self) -> None:
        level = {**RAMP, "half_width_mm": "900"}
        assert told("ramp", level, slope_deg="10", hold_one_newton="20 kN",
                    hold_two_newton="20 kN").answer == "go"  # fmt: skip
        assert told("ramp", level, slope_deg="10.1").answer == "no_go"


class TestDoor:
    def test_what_is_spare_above_and_at_each_side(self) -> None:
        made = told("door", DOOR)
        assert value(made, "height_spare_mm") == 2700 - 2500 - 100
        assert value(made, "width_spare_mm") == 50
        assert made.answer == "go"
        assert "50 mm to spare" in made.headline

    def test_what_is_lacking_is_told_in_millimetres(self) -> None:
        low = told("door", DOOR, door_height_mm="2640")
        assert "10 mm too low" in low.against[0].reason
        off = told("door", DOOR, door_height_mm="2400", stripped_height_mm="2290")
        assert "40 mm too low" in off.against[0].reason
        narrow = told("door", DOOR, door_width_mm="2090")
        assert "10 mm too narrow" in narrow.against[0].reason

    def test_a_corner_is_turned_or_not(self) -> None:
        corner = {"length_mm": "3000", "width_mm": "1500", "corner_in_mm": "3000"}
        wide = told("door", DOOR | corner, corner_out_mm="3000", door_width_mm="2600")
        assert wide.answer == "go"
        tight = told("door", DOOR | corner, corner_out_mm="1600", door_width_mm="2600")
        assert [one.field for one in tight.against] == ["corner_in_mm"]
        # The margin stands on both sides of the machine.
        loose = told("door", DOOR | corner, corner_out_mm="3000", door_width_mm="2600",
                     margin_mm="0")  # fmt: skip
        spare = value(loose, "corner_spare_mm") - value(wide, "corner_spare_mm")
        assert spare == pytest.approx(100, abs=1)

    def test_a_corner_asks_for_what_it_needs(self) -> None:
        made = told("door", DOOR, corner_in_mm="3000")
        assert {one.field for one in made.missing} == {"corner_out_mm", "length_mm"}

    def test_a_step_is_told(self) -> None:
        assert any("step of 30" in note for note in told("door", DOOR, step_mm="30").notes)
        assert not any("step of" in note for note in told("door", DOOR).notes)


class TestTie:
    TYPED = {"mass_kg": "4000", "tension_newton": "5000", "angle_deg": "60"}  # noqa: RUF012

    def test_each_direction_by_hand(self) -> None:
        made = told("tie", self.TYPED)
        each = 2 * 0.3 * 5000 * math.sin(math.radians(60))
        assert value(made, "forward_exact") == pytest.approx(0.5 * 4000 * G * 1.25 / each)
        assert value(made, "rear_exact") == pytest.approx(0.2 * 4000 * G * 1.1 / each)
        assert made.listings[0].rows[0][1] == 0.8

    def test_the_straps_that_are_planned_are_held_against_it(self) -> None:
        needed = value(told("tie", self.TYPED), "forward_lashings")
        assert told("tie", self.TYPED, lashings=f"{needed:.0f}").answer == "go"
        assert told("tie", self.TYPED, lashings=f"{needed - 1:.0f}").answer == "no_go"

    def test_many_straps_are_no_plan(self) -> None:
        assert any("no plan" in note for note in told("tie", self.TYPED).notes)
        few = told("tie", self.TYPED, mass_kg="500")
        assert not any("no plan" in note for note in few.notes)

    def test_half_of_the_load_by_the_american_rule(self) -> None:
        assert told("tie", self.TYPED, working_load_kg="2000").answer == "go"
        assert told("tie", self.TYPED, working_load_kg="1999").answer == "no_go"

    def test_direct_lashings_hold_or_do_not(self) -> None:
        strong = told("tie", self.TYPED, direct="2", capacity_newton="50 kN")
        assert strong.answer == "go"
        weak = told("tie", self.TYPED, direct="2", capacity_newton="2 kN")
        assert weak.answer == "no_go"
        assert "blocking" in weak.against[0].remedy

    def test_it_tips_before_it_slides_where_it_is_high(self) -> None:
        high = told("tie", self.TYPED, centre_height_mm="1300", half_width_mm="600")
        low = told("tie", self.TYPED, centre_height_mm="1100", half_width_mm="600")
        assert value(high, "tip_share") == pytest.approx(600 / 1300)
        assert any("tip before it slides" in note for note in high.notes)
        assert not any("tip before it slides" in note for note in low.notes)

    def test_tie_downs_by_length(self) -> None:
        """49 CFR 393.110 (from memory): over 3 m and over 500 kg two, and one more each 3 m."""
        assert value(told("tie", self.TYPED, length_mm="2900"), "least_tie_downs") == 2
        assert value(told("tie", self.TYPED, length_mm="4000"), "least_tie_downs") == 3
