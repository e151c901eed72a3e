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
LIFT = {"mass_kg": "4000", "legs": "2", "angle_deg": "60", "centre": "drawing",
        "leg_rated_kg": "5000", "hook_rated_kg": "6300"}  # fmt: skip
TRUCK = {"mass_kg": "3000", "rated_kg": "5000", "rated_centre_mm": "600", "centre_mm": "900"}
SKATES = {"mass_kg": "6000", "skates": "3", "floor": "ground", "slab_mm": "200",
          "plate_width_mm": "120", "plate_length_mm": "150", "centre_height_mm": "1000",
          "half_width_mm": "400"}  # fmt: skip
RAMP = {"mass_kg": "5000", "rise_mm": "200", "run_mm": "2000", "hold_one_newton": "9 kN",
        "hold_two_newton": "9 kN", "centre_height_mm": "1000", "half_width_mm": "600",
        "pull_rated_newton": "20 kN"}  # fmt: skip
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
        rows = told("lift", LIFT).listings[0].rows
        assert rows[0] == (90.0, 2000.0)
        assert [cell for row in rows[-1:] for cell in row] == pytest.approx([30.0, 4000.0])

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

    def test_off_centre_without_a_spread_asks_for_the_spread(self) -> None:
        made = told("lift", LIFT, off_centre_mm="600")
        assert made.answer == "get_first"
        assert [one.field for one in made.missing] == ["spread_mm"]
        assert not has(made, "leg_kg")
        assert told("lift", LIFT, off_centre_mm="0").answer == "go"

    CELLS = "0,0,900; 2000,0,1400; 2000,1200,1100; 0,1200,700"  # 4100 kg

    def test_of_what_was_told_and_what_the_cells_weigh_the_heavier_counts(self) -> None:
        near = told("lift", LIFT, mass_kg="4000", centre="cells", cells=self.CELLS)
        assert near.answer == "go"
        assert value(near, "hung_kg") == 4100
        assert any("cells weigh differ" in note for note in near.notes)
        heavy = told("lift", LIFT, mass_kg="4200", centre="cells", cells=self.CELLS)
        assert value(heavy, "hung_kg") == 4200
        same = told("lift", LIFT, mass_kg="4100", centre="cells", cells=self.CELLS)
        assert not any("differ" in note for note in same.notes)

    @pytest.mark.parametrize(("mass", "lacking"), [
        ("2000", ["mass_kg"]), ("3894", ["mass_kg"]), ("3896", []), ("4315", []),
        ("4317", ["mass_kg"]),
    ])  # fmt: skip
    def test_more_than_five_per_cent_apart_is_weighed_again(self, mass: str, lacking: list[str]):
        made = told("lift", LIFT, mass_kg=mass, centre="cells", cells=self.CELLS)
        assert [one.field for one in made.missing] == lacking
        assert value(made, "hung_kg") == max(4100, float(mass))

    def test_a_basket_of_one_sling_is_refused_under_thirty_degrees(self) -> None:
        one = LIFT | {"legs": "1", "hitch": "basket", "mass_kg": "990", "leg_rated_kg": "1000"}
        assert told("lift", one, angle_deg="30").answer == "go"
        for flat in ("29", "15"):
            made = told("lift", one, angle_deg=flat)
            assert [against.field for against in made.against] == ["angle_deg"]
        sides = one | {"angle_deg": "", "spread_mm": "2000"}
        assert told("lift", sides, leg_mm="1100").answer == "no_go"  # 24.6 degrees
        steep = told("lift", sides, leg_mm="2000")
        assert value(steep, "leg_use_share") == pytest.approx(990 / (2000 * math.sin(math.pi / 3)))
        unsaid = told("lift", one, angle_deg="")
        assert value(unsaid, "leg_use_share") == pytest.approx(0.99)
        assert any("30°" in line for line in unsaid.assumed)

    @pytest.mark.parametrize("field", ["leg_rated_kg", "hook_rated_kg"])
    def test_a_rating_nobody_has_read_is_asked_for_with_what_it_must_be(self, field: str) -> None:
        made = told("lift", {**LIFT, field: ""})
        assert made.answer == "get_first"
        assert [one.field for one in made.missing] == [field]
        must = {"leg_rated_kg": "2309 kg", "hook_rated_kg": "4000 kg"}[field]
        assert must in made.missing[0].remedy.replace("\u202f", "")
        assert value(made, "leg_kg") == pytest.approx(self.LEG)


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

    def test_what_tips_under_ten_degrees_is_a_no_go_unless_somebody_says_otherwise(self) -> None:
        edge = 1000 * math.tan(math.radians(10))
        for half, answer in ((edge + 1, "go"), (edge - 1, "no_go"), (0, "no_go")):
            made = told("skates", SKATES, half_width_mm=f"{half:.0f}")
            assert made.answer == answer
            assert [one.field for one in made.against] == ["half_width_mm"] * (answer == "no_go")
        assert told("skates", SKATES, half_width_mm="170", least_tip_deg="9").answer == "go"
        assert any("judgement" in line for line in made.assumed)


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
        [("ramp_rated_kg", "5000", "4999"), ("pull_rated_newton", "9787", "9785"),
         ("hold_one_newton", "4906", "4904"), ("hold_two_newton", "4906", "4904")],
    )  # fmt: skip
    def test_each_rating_from_both_sides(self, field: str, enough: str, too_little: str) -> None:
        assert told("ramp", RAMP, **{field: enough}).answer == "go"
        bad = told("ramp", RAMP, **{field: too_little})
        assert [one.field for one in bad.against] == [field]

    def test_the_winch_must_start_it_and_is_asked_for(self) -> None:
        """5,000 kg, 5 degrees, 0.05: 6,718 N rolling, 9,161 N to start."""
        typed = RAMP | {"rise_mm": "", "run_mm": "", "slope_deg": "5"}
        weak = told("ramp", typed, pull_rated_newton="7000")
        assert [one.field for one in weak.against] == ["pull_rated_newton"]
        assert "9161 N" in weak.against[0].remedy.replace("\u202f", "")
        strong = told("ramp", typed, pull_rated_newton="9162")
        assert strong.answer == "go"
        assert "9161 N to start" in strong.headline.replace("\u202f", "")
        assert isinstance(strong.drawing, RampDrawing)
        assert strong.drawing.pull_newton == pytest.approx(value(strong, "start_newton"))
        unread = told("ramp", {**typed, "pull_rated_newton": ""})
        assert unread.answer == "get_first"
        assert [one.field for one in unread.missing] == ["pull_rated_newton"]

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

    @pytest.mark.parametrize("field", ["width_mm", "door_width_mm", "height_mm", "door_height_mm"])
    def test_each_lacking_size_is_named_and_the_other_direction_told(self, field: str) -> None:
        made = told("door", {k: v for k, v in DOOR.items() if k != field})
        assert [one.field for one in made.missing] == [field]
        assert has(made, "height_spare_mm") == ("width" in field)
        assert has(made, "width_spare_mm") == ("height" in field)

    def test_a_top_that_can_come_off_is_only_taken_off_where_that_is_enough(self) -> None:
        low = told("door", DOOR, door_height_mm="2600", stripped_height_mm="2450")
        assert low.answer == "go"
        assert value(low, "stripped_spare_mm") == 50
        none = told("door", DOOR, door_height_mm="2600", stripped_height_mm="2451")
        assert none.answer == "no_go"
        assert "1 mm too low" in none.against[0].reason

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
        light = {**self.TYPED, "mass_kg": "2000"}
        needed = value(told("tie", light), "forward_lashings")
        assert needed == 5  # 0.5 x 2000 g x 1.25 / (2 x 0.3 x 5000 sin 60) = 4.72
        assert told("tie", light, lashings="5").answer == "go"
        assert told("tie", light, lashings="4").answer == "no_go"

    def test_many_straps_are_no_plan(self) -> None:
        many = told("tie", self.TYPED)  # 9.44 forward
        assert many.answer == told("tie", self.TYPED, lashings="10").answer == "get_first"
        assert [one.field for one in many.missing] == ["direct"]
        assert "10 lashings over the top are no plan forward" in many.headline
        assert told("tie", self.TYPED, mass_kg="2500").answer == "go"  # 5.90
        assert told("tie", self.TYPED, mass_kg="2600").answer == "get_first"  # 6.14

    def test_half_of_the_load_by_the_american_rule(self) -> None:
        light = {**self.TYPED, "mass_kg": "2000"}
        assert told("tie", light, working_load_kg="1000").answer == "go"
        assert told("tie", light, working_load_kg="999").answer == "no_go"

    def test_direct_lashings_hold_or_do_not(self) -> None:
        strong = told("tie", self.TYPED, direct="2", capacity_newton="50 kN", lashings="4")
        assert strong.answer == "go"
        assert "2 direct lashings forward and 4 over the top" in strong.headline
        weak = told("tie", self.TYPED, direct="2", capacity_newton="2 kN")
        assert weak.answer == "no_go"
        assert "blocking" in weak.against[0].remedy

    def test_direct_lashings_answer_for_the_one_direction_they_are_told_for(self) -> None:
        """EN 12195-1 (from memory): 5000 g (0.8 - 0.225) less 25 kN of blocking, on two."""
        typed = {"mass_kg": "5000", "tension_newton": "5000", "direct": "2",
                 "capacity_newton": "10 kN", "blocked_newton": "25 kN"}  # fmt: skip
        made = told("tie", typed)
        assert value(made, "forward_needed_newton") < 10_000
        assert not has(made, "sideways_needed_newton")
        assert not has(made, "rearward_needed_newton")
        assert made.answer == "get_first"
        assert [one.field for one in made.missing] == ["lashings"]
        straps = value(made, "side_lashings")
        assert told("tie", typed, lashings=f"{straps:.0f}").answer == "go"
        assert told("tie", typed, lashings=f"{straps - 1:.0f}").answer == "no_go"
        side = told("tie", typed, direct_way="sideways", blocked_newton="0", aside_deg="60")
        rise, aside = math.radians(35), math.radians(60)
        hold = math.cos(rise) * math.cos(aside) + 0.225 * math.sin(rise)
        pull = (0.5 - 0.225) * 5000 * G / (2 * hold)
        assert value(side, "sideways_needed_newton") == pytest.approx(pull)
        assert not has(side, "forward_needed_newton")
        assert any("no plan forward" in one.reason for one in side.missing)

    def test_a_share_of_your_own_copy_counts_for_direct_lashing_as_well(self) -> None:
        typed = self.TYPED | {"direct": "2", "capacity_newton": "50 kN", "lashings": "4"}
        more = value(told("tie", typed, forward_share="1"), "forward_needed_newton")
        less = value(told("tie", typed), "forward_needed_newton")
        assert more / less == pytest.approx((1 - 0.225) / (0.8 - 0.225))

    @pytest.mark.parametrize(("typed", "lacking"), [
        ({"direct": "2"}, "capacity_newton"), ({"capacity_newton": "50 kN"}, "direct"),
        ({"blocked_newton": "25 kN"}, "direct"),
    ])  # fmt: skip
    def test_half_of_a_direct_lashing_is_asked_for(self, typed: dict[str, str], lacking: str):
        made = told("tie", {**self.TYPED, "mass_kg": "2000"}, **typed)
        assert made.answer == "get_first"
        assert lacking in [one.field for one in made.missing]

    @pytest.mark.parametrize(
        ("height", "half", "answer"),
        [("1200", "300", "no_go"), ("1200", "660", "no_go"), ("1000", "599", "no_go"),
         ("1000", "600", "go"), ("1100", "700", "go")],
    )  # fmt: skip
    def test_what_tips_to_the_side_at_six_tenths_is_a_no_go(
        self, height: str, half: str, answer: str
    ) -> None:
        """EN 12195-1 (from memory): 0.6 of gravity across for what is unstable."""
        light = {**self.TYPED, "mass_kg": "2000"}
        made = told("tie", light, centre_height_mm=height, half_width_mm=half)
        assert made.answer == answer
        assert value(made, "tip_share") == pytest.approx(float(half) / float(height))
        assert [one.field for one in made.against] == ["half_width_mm"] * (answer == "no_go")

    def test_a_harder_share_to_the_side_counts_for_tipping_as_well(self) -> None:
        low = {**self.TYPED, "mass_kg": "500", "centre_height_mm": "1000", "half_width_mm": "650"}
        assert told("tie", low).answer == "go"
        assert "half_width_mm" in [o.field for o in told("tie", low, side_share="0.7").against]

    def test_tie_downs_by_length(self) -> None:
        """49 CFR 393.110 (from memory): over 3 m and over 500 kg two, and one more each 3 m."""
        assert value(told("tie", self.TYPED, length_mm="2900"), "least_tie_downs") == 2
        assert value(told("tie", self.TYPED, length_mm="4000"), "least_tie_downs") == 3


class TestSupply:
    def test_volts_fit_within_a_tenth_and_not_beyond(self) -> None:
        for volts, fits in (("440", True), ("441", False), ("360", True), ("359", False)):
            assert (told("supply", FED, supply_volts=volts).needs == ()) is fits

    def test_the_drive_has_the_last_word_on_volts(self) -> None:
        assert told("supply", FED, supply_volts="430", drive_most_volts="420").needs
        assert not told("supply", FED, supply_volts="415", drive_most_volts="420").needs

    def test_a_transformer_is_told_with_its_inrush_at_your_side(self) -> None:
        made = told("supply", FED, plate_volts="200")
        current = 20000 / (math.sqrt(3) * 200)
        assert value(made, "line_ampere") == pytest.approx(current)
        assert value(made, "transformer_kva") == pytest.approx(1.25 * 20)
        assert value(made, "inrush_low_ampere") == pytest.approx(8 * current / 2)
        assert value(made, "inrush_high_ampere") == pytest.approx(12 * current / 2)
        assert value(made, "volts_off_share") == pytest.approx(1.0)

    def test_the_tap_in_fact_used_goes_before_the_plate(self) -> None:
        made = told("supply", FED, plate_volts="200", tap_volts="400")
        assert made.needs == ()
        assert not any("nobody has looked" in line for line in made.assumed)

    def test_amps_on_the_plate_go_before_kva(self) -> None:
        assert value(told("supply", FED, plate_ampere="31"), "line_ampere") == 31

    def test_the_connection_from_both_sides(self) -> None:
        assert told("supply", FED, supply_kva="20").answer == "go"
        assert told("supply", FED, supply_kva="19.9").answer == "no_go"

    def test_one_phase_feeds_a_one_phase_machine(self) -> None:
        one = {**FED, "plate_phases": "1", "supply_phases": "1"}
        made = told("supply", one)
        assert made.needs == ()
        assert not any("Unbalance is not known" in note for note in made.notes)
        assert any("Unbalance is not known" in note for note in told("supply", FED).notes)

    def test_five_per_cent_of_unbalance_is_the_most(self) -> None:
        # mean 400, largest deviation 20: 5 %
        at = {"volts_12": "420", "volts_23": "390", "volts_31": "390"}
        assert told("supply", FED, **at).answer == "go"
        over = {"volts_12": "421", "volts_23": "390", "volts_31": "390"}
        assert told("supply", FED, **over).answer == "no_go"

    def test_a_dip_of_ten_per_cent_is_the_most(self) -> None:
        start = 7 * 8 / 0.8  # kVA
        weak = told("supply", FED, largest_motor_kw="8", short_circuit_kva="600")
        assert value(weak, "start_kva") == pytest.approx(start)
        assert value(weak, "dip_percent") == pytest.approx(100 * start / (600 + start))
        assert weak.answer == "no_go"
        assert told("supply", FED, largest_motor_kw="8", short_circuit_kva="640").answer == "go"

    @pytest.mark.parametrize(
        ("typed", "answer"),
        [
            ({"converter": "rotary", "converter_kw": "22"}, "go"),
            ({"converter": "rotary", "converter_kw": "15"}, "no_go"),  # does not start 11 kW
            ({"converter": "solid_state", "converter_kw": "22"}, "no_go"),  # takes nothing back
            ({"converter": "solid_state", "converter_kw": "22", "converter_returns": "yes"}, "go"),
            ({"converter": "solid_state", "converter_kw": "22", "brake": "resistor"}, "go"),
            ({"converter": "solid_state", "brake": "resistor"}, "go"),
            ({"converter": "rotary", "converter_kw": "22", "stop_kw": "30"}, "no_go"),
        ],
    )
    def test_a_converter_starts_and_stops_or_does_not(self, typed, answer) -> None:
        made = told("supply", FED, supply_phases="1", largest_motor_kw="11", **typed)
        assert made.answer == answer
        assert made.needs[0].cost == ("E42" if typed["converter"] == "rotary" else "E43")

    def test_one_phase_current_by_hand(self) -> None:
        made = told("supply", FED, supply_phases="1", largest_motor_kw="11",
                    converter="solid_state", brake="resistor")  # fmt: skip
        current = 20000 / (math.sqrt(3) * 400)
        assert value(made, "input_ampere") == pytest.approx(math.sqrt(3) * current / 0.9)
        assert value(made, "drive_ampere") == pytest.approx(2 * current)

    def test_a_faster_grid_is_warned_of(self) -> None:
        made = told("supply", FED, supply_hz="60")
        assert made.answer == "go"
        assert any("faster" in note for note in made.notes)
        assert value(made, "pump_power_share") == pytest.approx(1.2**3)

    @pytest.mark.parametrize(("earth", "word"), [("tt", "earth-leakage"), ("it", "IT supply")])
    def test_each_earth_system_has_its_word(self, earth: str, word: str) -> None:
        made = told("supply", FED, earth=earth)
        assert made.answer == "go"
        assert any(word in note for note in made.notes)
        assert not any(word in note for note in told("supply", FED).notes)

    @pytest.mark.parametrize("field", ["plate_volts", "supply_volts", "supply_phases",
                                       "supply_kva", "plate_kva", "earth"])  # fmt: skip
    def test_each_lacking_fact_is_named(self, field: str) -> None:
        made = told("supply", {k: v for k, v in FED.items() if k != field})
        assert made.answer == "get_first"
        assert field in [one.field for one in made.missing]

    def test_a_converter_is_asked_for_before_its_motor_is_known(self) -> None:
        made = told("supply", FED, supply_phases="1")
        assert [one.cost for one in made.needs] == ["E42"]
        assert [one.field for one in made.missing] == ["largest_motor_kw"]
        assert not has(made, "input_ampere")

    def test_frequency_is_named_if_it_is_lacking(self) -> None:
        made = told("supply", {k: v for k, v in FED.items() if k != "plate_hz"})
        assert [one.field for one in made.missing] == ["plate_hz"]

    def test_the_current_is_that_of_the_tap_to_be_set(self) -> None:
        """Three-phase power: 20 kVA at 230 V is 50.2 A, whatever stands on the plate."""
        made = told("supply", FED, supply_volts="230", taps="230, 400", secondary_volts="200")
        assert value(made, "best_tap_volts") == 230
        assert value(made, "line_ampere") == pytest.approx(20000 / (math.sqrt(3) * 230))
        assert made.needs == ()
        assert "50.2 A" in made.headline

    def test_the_flux_goes_by_the_tap_to_be_set(self) -> None:
        """V/f: built for 60 Hz, 230 V at its 230 V tap; at 50 Hz 191.7 V keep the flux."""
        made = told("supply", FED, supply_volts="230", taps="230, 400", secondary_volts="200",
                    plate_hz="60")  # fmt: skip
        assert value(made, "volts_for_flux") == pytest.approx(230 * 50 / 60)

    def test_amps_of_the_plate_are_brought_to_the_tap_that_is_used(self) -> None:
        """The same power at fewer volts is more amps: 30 A at 400 V is 52.2 A at 230 V."""
        made = told("supply", FED, plate_ampere="30", tap_volts="230", supply_volts="230")
        assert value(made, "line_ampere") == pytest.approx(30 * 400 / 230)
        set_to = told("supply", FED, plate_ampere="30", supply_volts="230", taps="230, 400",
                      secondary_volts="200")  # fmt: skip
        assert value(set_to, "line_ampere") == pytest.approx(30 * 400 / 230)

    def test_amps_without_their_volts_say_nothing_of_another_tap(self) -> None:
        typed = {k: v for k, v in FED.items() if k != "plate_volts"}
        made = told("supply", typed, plate_ampere="30", tap_volts="230", supply_volts="230")
        assert [one.field for one in made.missing] == ["plate_volts"]
        assert not has(made, "line_ampere")

    def test_before_a_transformer_your_own_line_has_its_own_current(self) -> None:
        made = told("supply", FED, supply_volts="230")
        assert value(made, "line_ampere") == pytest.approx(20000 / (math.sqrt(3) * 400))
        assert value(made, "supply_line_ampere") == pytest.approx(20000 / (math.sqrt(3) * 230))
        assert "28.9 A" in made.headline
        assert "50.2 A" in made.headline
        assert not has(told("supply", FED), "supply_line_ampere")

    def test_one_phase_before_a_transformer_carries_the_power_at_its_own_volts(self) -> None:
        made = told("supply", FED, supply_volts="230", supply_phases="1", largest_motor_kw="11",
                    converter="rotary")  # fmt: skip
        assert value(made, "input_ampere") == pytest.approx(20000 / 230 / 0.9)
        assert f"{20000 / 230 / 0.9:.1f} A" in made.headline

    def test_a_transformer_for_one_phase_has_no_root_three(self) -> None:
        made = told("supply", FED, plate_phases="1", supply_phases="1", supply_volts="230")
        assert value(made, "transformer_kva") == pytest.approx(1.25 * 20)
        assert value(made, "supply_line_ampere") == pytest.approx(20000 / 230)

    def test_the_connection_is_held_against_amps_too(self) -> None:
        kva = math.sqrt(3) * 400 * 50 / 1000  # 34.6
        typed = {k: v for k, v in FED.items() if k != "plate_kva"} | {"plate_ampere": "50"}
        assert told("supply", typed, supply_kva=f"{kva + 0.1:.1f}").answer == "go"
        short = told("supply", typed, supply_kva=f"{kva - 0.1:.1f}")
        assert [one.field for one in short.against] == ["supply_kva"]
        one = typed | {"plate_phases": "1", "supply_phases": "1"}
        assert told("supply", one, supply_kva="20").answer == "go"
        assert told("supply", one, supply_kva="19.9").answer == "no_go"

    def test_the_larger_of_kva_and_amps_is_asked_of_the_connection(self) -> None:
        assert told("supply", FED, plate_ampere="10", supply_kva="19.9").answer == "no_go"
        assert told("supply", FED, plate_ampere="50", supply_kva="30").answer == "no_go"

    def test_a_converter_asks_of_the_connection_what_it_takes_itself(self) -> None:
        """10 kVA through 90 % is 48.3 A of 230 V: 11.1 kVA."""
        typed = FED | {"plate_kva": "10", "plate_volts": "230", "supply_volts": "230",
                       "supply_phases": "1", "largest_motor_kw": "5"}  # fmt: skip
        short = told("supply", typed, supply_kva="10")
        assert value(short, "input_ampere") == pytest.approx(48.3, abs=0.05)
        assert [one.field for one in short.against] == ["supply_kva"]
        assert "11.1 kVA" in short.headline
        assert told("supply", typed, supply_kva="11.2").answer == "go"

    def test_a_drives_limit_counts_behind_its_own_transformer(self) -> None:
        own = {"secondary_volts": "200", "drive_most_volts": "220"}
        assert told("supply", FED, **own).needs == ()
        over = told("supply", FED, supply_volts="415", secondary_volts="200",
                    drive_most_volts="205")  # fmt: skip
        assert [one.cost for one in over.needs] == ["E44"]  # 207.5 V at the drive
        assert any("below 410 V" in note for note in over.notes)

    def test_a_drives_limit_far_under_the_plate_asks_what_stands_between(self) -> None:
        made = told("supply", FED, drive_most_volts="220")
        assert made.needs == ()
        assert [one.field for one in made.missing] == ["secondary_volts"]


class TestConductor:
    IEC = {"line_ampere": "28", "volts": "400", "length_m": "30", "size_mm2": "6",  # noqa: RUF012
           "device_ampere": "32"}  # fmt: skip
    NEC = {"rule": "nec", "horsepower": "10", "volts": "460", "size_awg": "12"}  # noqa: RUF012

    def test_drop_by_hand(self) -> None:
        """IEC 60364-5-52 annex G: copper of class 5 at 70 degrees, 0.08 ohm a kilometre."""
        made = told("conductor", self.IEC)
        ohm = 3.30 * (1 + 0.00393 * 50)
        sine = math.sqrt(1 - 0.85**2)
        drop = math.sqrt(3) * 28 * 0.030 * (ohm * 0.85 + 0.08 * sine)
        assert value(made, "drop_volts") == pytest.approx(drop, rel=0.002)
        assert value(made, "drop_percent") == pytest.approx(100 * drop / 400, rel=0.002)

    def test_three_per_cent_is_the_most_unless_somebody_says_otherwise(self) -> None:
        percent = value(told("conductor", self.IEC), "drop_percent")
        longer = f"{30 * 3.01 / percent:.2f}"
        assert told("conductor", self.IEC, length_m=longer).answer == "no_go"
        assert told("conductor", self.IEC, length_m=longer, most_drop_percent="4").answer == "go"

    def test_load_device_and_conductor_in_that_order(self) -> None:
        assert told("conductor", self.IEC).answer == "go"
        device = told("conductor", self.IEC, device_ampere="25")
        assert device.against[0].field == "device_ampere"
        thin = told("conductor", self.IEC, size_mm2="4")
        assert thin.against[0].field == "size_mm2"
        assert value(thin, "rating_share") == pytest.approx(32 / 27)
        assert value(thin, "load_share") == pytest.approx(28 / 32)

    def test_the_fault_loop_from_both_sides(self) -> None:
        """IEC 60364-4-41: C32, two thirds of 230 / 320 ohm when measured cold."""
        most = 2 / 3 * 230 / 320
        assert told("conductor", self.IEC, loop_ohm=f"{most - 0.001:.3f}").answer == "go"
        bad = told("conductor", self.IEC, loop_ohm=f"{most + 0.001:.3f}")
        assert [one.field for one in bad.against] == ["loop_ohm"]
        assert value(bad, "loop_most_ohm") == pytest.approx(most)

    def test_the_heat_of_a_short_circuit_from_both_sides(self) -> None:
        """IEC 60364-4-43: 115 S = I root t for PVC."""
        current = 6 * 115 / math.sqrt(0.1) / 1000
        hot = {"clears_s": "0.1", "panel_rated_ka": "50"}
        assert told("conductor", self.IEC, prospective_ka=f"{current - 0.01:.3f}",
                    **hot).answer == "go"  # fmt: skip
        bad = told("conductor", self.IEC, prospective_ka=f"{current + 0.01:.3f}", **hot)
        assert [one.field for one in bad.against] == ["size_mm2"]
        assert not has(told("conductor", self.IEC, clears_s="0.1"), "heat_least_mm2")

    def test_the_cabinet_bears_what_its_plate_says_else_five(self) -> None:
        assert told("conductor", self.IEC, prospective_ka="5").answer == "go"
        assert told("conductor", self.IEC, prospective_ka="5.1").answer == "no_go"
        assert told("conductor", self.IEC, prospective_ka="9", panel_rated_ka="10").answer == "go"

    def test_a_motor_by_the_american_tables(self) -> None:
        """NFPA 70 430.22, 430.52, 430.32: 10 hp at 460 V is 14 A; 17.5; 35; 125 % of the plate."""
        made = told("conductor", self.NEC, plate_ampere="13", service_factor="1.15")
        assert value(made, "table_ampere") == 14
        assert value(made, "conductor_ampere") == 17.5
        assert value(made, "device_standard_ampere") == 35
        assert value(made, "overload_ampere") == pytest.approx(16.25)
        assert value(made, "overload_most_ampere") == pytest.approx(18.2)
        assert value(made, "carries_ampere") == 25
        assert made.answer == "go"

    def test_a_feeder_takes_a_quarter_more_of_the_largest_and_the_others(self) -> None:
        made = told("conductor", self.NEC, other_ampere="4.8, 3.4")
        assert value(made, "conductor_ampere") == pytest.approx(17.5 + 8.2)
        assert made.against[0].field == "size_awg"

    def test_a_device_over_the_exception_is_refused(self) -> None:
        assert told("conductor", self.NEC, device_ampere="56").answer == "go"
        assert told("conductor", self.NEC, device_ampere="57").answer == "no_go"

    def test_an_instantaneous_trip_has_no_standard_size(self) -> None:
        made = told("conductor", self.NEC, device="instantaneous_trip")
        assert not has(made, "device_standard_ampere")

    def test_the_overload_is_never_taken_from_the_table(self) -> None:
        made = told("conductor", self.NEC)
        assert not has(made, "overload_ampere")
        assert any("on the motor's plate" in note for note in made.notes)

    def test_warm_air_and_company_count(self) -> None:
        """NFPA 70: 0.88 at 36 to 40 degrees; 0.8 for 4 to 6 conductors."""
        made = told("conductor", self.NEC, ambient_c="38", conductors="5")
        assert value(made, "carries_ampere") == pytest.approx(25 * 0.88 * 0.8)

    @pytest.mark.parametrize(("conductors", "factor"), [("3", 1.0), ("4", 0.8), ("6", 0.8),
                                                        ("7", 0.7)])  # fmt: skip
    def test_a_circuit_that_is_begun_counts_whole(self, conductors: str, factor: float) -> None:
        """IEC 60364-5-52:2009, table B.52.17: 1, 0.8 and 0.7 for one, two and three circuits."""
        alone = value(told("conductor", self.IEC), "carries_ampere")
        made = told("conductor", self.IEC, conductors=conductors)
        assert value(made, "carries_ampere") == pytest.approx(alone * factor)


class TestAirAndRest:
    def test_air_that_is_not_made_is_told_unless_a_receiver_carries_over(self) -> None:
        short = told("air", {"used_l_min": "300", "made_l_min": "200"})
        assert [one.field for one in short.against] == ["made_l_min"]
        assert told("air", {"used_l_min": "200", "made_l_min": "200"}).answer == "go"
        carried = told("air", {"used_l_min": "300", "made_l_min": "200", "carry_minutes": "2",
                               "high_bar": "8", "low_bar": "6", "outside_bar": "1"})  # fmt: skip
        assert carried.answer == "go"
        assert value(carried, "receiver_l") == pytest.approx(2 * 100 * 1 / 2)
        assert [one.key for one in carried.needs] == ["receiver"]

    def test_use_alone_does_not_say_that_the_air_fits(self) -> None:
        alone = told("air", {"used_l_min": "500"})
        assert alone.answer == "get_first"
        assert [one.field for one in alone.missing] == ["made_l_min"]

    def test_the_receivers_lowest_pressure_is_held_against_what_is_asked(self) -> None:
        asked = {"wanted_bar": "6", "high_bar": "8", "used_l_min": "100", "made_l_min": "200"}
        assert told("air", asked, low_bar="6").answer == "go"
        low = told("air", asked, low_bar="5.9")
        assert [one.field for one in low.against] == ["low_bar"]
        assert told("air", {"wanted_bar": "6", "high_bar": "5"}).answer == "no_go"

    def test_what_the_pipe_loses_is_taken_off_before(self) -> None:
        pipe = {"used_l_min": "1000", "made_l_min": "1200", "pipe_m": "30", "bore_mm": "21.6",
                "wanted_bar": "6"}  # fmt: skip
        lost = value(told("air", pipe), "pipe_drop_bar")
        assert told("air", pipe, low_bar=f"{6 + lost + 0.001:.4f}").answer == "go"
        low = told("air", pipe, low_bar=f"{6 + lost - 0.001:.4f}")
        assert [one.field for one in low.against] == ["low_bar"]

    def test_a_leak_is_told_as_a_share(self) -> None:
        made = told("air", {"volume_l": "300", "fell_bar": "1", "fell_minutes": "10",
                            "made_l_min": "296"})  # fmt: skip
        assert value(made, "leak_share") == pytest.approx(0.1, abs=0.001)

    def test_a_narrow_pipe_is_refused(self) -> None:
        pipe = {"used_l_min": "1000", "pipe_m": "30", "wanted_bar": "7"}
        assert told("air", pipe, bore_mm="21.6").answer == "go"
        assert told("air", pipe, bore_mm="12").answer == "no_go"

    def test_a_dryer_is_held_against_the_class_that_is_asked(self) -> None:
        """ISO 8573-1, water: +3 degrees is class 4."""
        dry = {"dryer_dew_c": "3", "wanted_bar": "7"}
        assert value(told("air", dry), "water_class") == 4
        assert told("air", dry, wanted_class="4").answer == "go"
        assert told("air", dry, wanted_class="3").answer == "no_go"
        assert value(told("air", dry), "frost_point_c") == pytest.approx(-20.5, abs=0.2)

    def test_a_surface_under_three_kelvin_is_a_no_go(self) -> None:
        room = {"air_c": "20", "humidity_percent": "50"}  # dew point 9.26
        assert told("layup", room, surface_c="12.3").answer == "go"
        assert told("layup", room, surface_c="12.2").answer == "no_go"
        assert told("layup", room).missing[0].field == "surface_c"

    def test_over_forty_five_per_cent_iron_rusts_slowly(self) -> None:
        room = {"air_c": "20", "surface_c": "20"}
        for damp, warned in (("45", False), ("46", True)):
            notes = told("layup", room, humidity_percent=damp).notes
            assert any("rusts slowly" in note for note in notes) is warned

    def test_a_wrapping_names_what_is_lacking_and_ends_after_three_years(self) -> None:
        made = told("layup", {"volume_m3": "12", "area_m2": "30"})
        assert [one.field for one in made.missing] == ["days"]
        wrap = {"volume_m3": "12", "area_m2": "30"}
        assert told("layup", wrap, days="1095").answer == "go"
        assert told("layup", wrap, days="1097").answer == "no_go"
        damp = told("layup", wrap, days="100", inside_percent="45")
        assert damp.against[0].field == "inside_percent"


def test_a_choker_leg_over_three_quarters_of_its_rating_is_refused():
    assert told("lift", LIFT, leg_rated_kg="3000").answer == "go"
    assert told("lift", LIFT, leg_rated_kg="3000", hitch="choker").answer == "no_go"
    assert told("lift", LIFT, leg_rated_kg="3100", hitch="choker").answer == "go"


def test_friction_alone_is_no_plan_and_an_unsaid_origin_of_the_mass_is_told():
    light = told("tie", {"mass_kg": "5000", "tension_newton": "4 kN", "friction_share": "0.9"})
    assert any("two lashings at least" in note for note in light.notes)
    assert any("nobody has said where" in line for line in told("lift", LIFT).assumed)
    weighed = told("lift", LIFT, mass_from="weighed")
    assert not any("nobody has said where" in line for line in weighed.assumed)


@pytest.mark.parametrize("typed", [{"air_c": "9"}, {"humidity_percent": "60"}])
def test_half_of_a_room_says_nothing_and_breaks_nothing(typed: dict[str, str]) -> None:
    assert not has(told("layup", typed), "dew_point_c")
    assert not has(told("air", typed), "dew_point_c")
    assert not has(told("air", {"volume_l": "300", "fell_bar": "1"}), "leak_l_min")


def test_the_headline_of_rest_tells_the_number_to_act_on():
    assert "1.5" not in told("layup", {"cell_mah": "1200", "cell_ua": "15"}).headline
    years = told("layup", {"cell_mah": "1200", "cell_ua": "15"})
    assert f"{value(years, 'cell_years'):.2f} years" in years.headline
    room = told("layup", {"air_c": "20", "humidity_percent": "50", "surface_c": "20"})
    assert "10.7 K" in room.headline
    rows = "\n".join(f"{hour},20,50" for hour in range(5)).encode()
    logged = answered(
        method("layup"), {"log": b"time,air_c,humidity_percent\n" + rows, "air_c": "9"}, CAUTIONS
    )
    assert "10.7 K over the dew point at worst" in logged.headline
