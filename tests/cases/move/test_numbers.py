"""Every number of an answer, worked out a second time by hand, and every limit from both sides."""

from __future__ import annotations

import math

import pytest
from tests.library import load

from retrue.cases.move.drawings import LiftDrawing, RampDrawing, TipDrawing
from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

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
