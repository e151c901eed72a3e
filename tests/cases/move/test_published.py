"""Each calculator on its published example gives the printed value, from field to figure."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.cases.reckon.method import answered, method, methods, values_of
from retrue.cases.reckon.reckoning import Reckoning, flat

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
POUND, FOOT3, INCH = 0.45359237, 28.316846592, 25.4


def told(id: str, **typed: str) -> Reckoning:
    return answered(method(id), typed, CAUTIONS)


def figure(made: Reckoning, key: str) -> float:
    value = next(one.value for one in made.figures if one.key == key)
    assert value is not None
    return value


@pytest.mark.parametrize(("angle", "leg"), [("90", 2000), ("60", 2309), ("45", 2828), ("30", 4000)])
def test_a_sling_leg_pulls_what_the_table_of_angles_prints(angle, leg):
    """ASME B30.9 factors 1.000, 1.155, 1.414, 2.000 on 4,000 kg and two legs (from memory)."""
    made = told("lift", mass_kg="4000", legs="2", angle_deg=angle, centre="drawing",
                leg_rated_kg="5000", hook_rated_kg="4000")  # fmt: skip
    assert made.answer == "go"
    assert round(figure(made, "leg_kg")) == leg


def test_a_rigid_load_on_four_legs_hangs_on_two():
    """ASME B30.9 (from memory)."""
    four = told("lift", mass_kg="4000", legs="4", angle_deg="45", centre="drawing")
    assert round(figure(four, "leg_kg")) == 2828


def test_load_cells_tell_where_the_centre_of_gravity_is_and_what_it_weighs():
    """Moments about two axes: 900, 1400, 1100, 700 kg on 2 m by 1.2 m."""
    made = told(
        "lift",
        cells="0,0,900; 2000,0,1400; 2000,1200,1100; 0,1200,700",
        legs="2",
        angle_deg="60",
        leg_rated_kg="3000",
        hook_rated_kg="5000",
    )
    assert made.answer == "go"
    assert figure(made, "centre_x_mm") == pytest.approx(1219.5, abs=0.05)
    assert figure(made, "centre_y_mm") == pytest.approx(526.8, abs=0.05)
    assert figure(made, "weighed_kg") == 4100
    assert figure(made, "leg_kg") == pytest.approx(4100 / 2 / 0.8660254, abs=0.1)


def test_a_tilt_on_load_cells_tells_the_height():
    """Moments about the lower support: 200 kg over 2 m at 8 degrees of 4,100 kg is 0.694 m."""
    made = told("lift", mass_kg="4100", legs="1", centre="drawing", span_mm="2000",
                moved_kg="200", tilt_deg="8")  # fmt: skip
    assert figure(made, "centre_height_mm") == pytest.approx(694, abs=0.5)


@pytest.mark.parametrize(
    ("rated", "rated_at", "at", "printed"),
    [("4000 lb", "24 in", "36 in", 2666), ("5000 lb", "24 in", "28 in", 4285),
     ("6000 lb", "24 in", "30 in", 4800)],
)  # fmt: skip
def test_a_fork_lift_loses_with_its_load_centre_as_osha_prints(rated, rated_at, at, printed):
    """OSHA eTool, Powered Industrial Trucks, load composition (printed rounded down)."""
    made = told("forklift", mass_kg="100 kg", rated_kg=rated, rated_centre_mm=rated_at,
                centre_mm=at)  # fmt: skip
    assert made.answer == "go"
    assert figure(made, "allowed_kg") / POUND == pytest.approx(printed, abs=1)


def test_skates_slab_and_tip_give_the_handbook_numbers():
    """Westergaard 1926 (from memory): 15.33 kN on 150 mm, 1.03 MPa; 100 x 150 mm, 1,022 kPa."""
    made = told("skates", mass_kg="5000", skates="4", floor="ground", slab_mm="150",
                plate_width_mm="100", plate_length_mm="150", centre_height_mm="1100",
                half_width_mm="350", concrete_mpa="28")  # fmt: skip
    assert made.answer == "go"
    assert figure(made, "skate_newton") == pytest.approx(15330, abs=5)
    assert figure(made, "pressure_kpa") == pytest.approx(1022, abs=0.5)
    assert figure(made, "slab_stress_mpa") == pytest.approx(1.03, abs=0.005)
    assert figure(made, "rupture_mpa") == pytest.approx(3.28, abs=0.01)
    assert figure(made, "tip_angle_deg") == pytest.approx(17.7, abs=0.06)


def test_a_ramp_pulls_and_holds_as_statics_says():
    """5,000 kg, 5 degrees, 0.05: 6,718 N; level 2,453 N."""
    made = told("ramp", mass_kg="5000", slope_deg="5")
    assert figure(made, "pull_newton") == pytest.approx(6718, abs=1)
    level = told("ramp", mass_kg="5000", slope_deg="0")
    assert figure(level, "pull_newton") == pytest.approx(2453, abs=1)
    assert figure(made, "hold_newton") < figure(made, "pull_newton")


def test_straps_over_the_top_are_counted_as_the_european_standard_counts_them():
    """EN 12195-1:2010 (from memory): 12.97 forward, 4.57 to the side; 49 CFR 393.106: 2,500 kg."""
    made = told("tie", mass_kg="5000", tension_newton="400 daN")
    assert figure(made, "forward_exact") == pytest.approx(12.97, abs=0.005)
    assert figure(made, "forward_lashings") == 13
    assert figure(made, "side_exact") == pytest.approx(4.57, abs=0.005)
    assert figure(made, "side_lashings") == 5
    assert figure(made, "working_load_needed_kg") == 2500


FED = {"supply_volts": "230", "supply_phases": "3", "supply_kva": "40", "earth": "tn_s",
       "plate_hz": "50", "supply_hz": "50"}  # fmt: skip


def test_full_load_current_and_unbalance_are_the_printed_ones():
    """10 kVA at 230 V is 25.102 A; NEMA MG 1 unbalance of 462, 463, 455 V is 1.087 %."""
    made = told("supply", plate_kva="10", plate_volts="230", volts_12="462", volts_23="463",
                volts_31="455", **FED)  # fmt: skip
    assert made.answer == "go"
    assert figure(made, "line_ampere") == pytest.approx(25.102, abs=0.0005)
    assert figure(made, "unbalance_percent") == pytest.approx(1.087, abs=0.0005)
    assert figure(made, "negative_sequence_percent") == pytest.approx(1.091, abs=0.0005)
    assert figure(made, "derating_share") == pytest.approx(0.98, abs=0.01)
    assert made.needs == ()


def test_other_volts_ask_a_transformer_and_one_phase_a_converter_for_start_and_stop():
    """42 A at 480 V is 34.92 kVA before the quarter; 26 A asks 45.03 A of one phase."""
    made = told("supply", plate_ampere="42", plate_volts="480", **FED)
    assert [one.key for one in made.needs] == ["transformer"]
    assert figure(made, "transformer_kva") == pytest.approx(1.25 * 34.92, abs=0.01)
    single = told("supply", plate_ampere="26", plate_volts="230", largest_motor_kw="11",
                  converter_efficiency_share="1", **FED | {"supply_phases": "1"})  # fmt: skip
    assert figure(single, "input_ampere") == pytest.approx(45.03, abs=0.005)
    assert (figure(single, "idler_low_kw"), figure(single, "idler_high_kw")) == (22.0, 33.0)
    assert [one.cost for one in single.needs] == ["E42"]


def test_a_tap_of_its_own_transformer_spares_another_one():
    """Ratio of turns: 400 V on the 415 V tap gives 192.8 V of 200."""
    typed = FED | {"supply_volts": "400", "plate_kva": "20", "plate_volts": "200"}
    assert [one.key for one in told("supply", **typed).needs] == ["transformer"]
    own = told("supply", **typed, taps="200, 220, 380, 415", secondary_volts="200")
    assert own.needs == ()
    assert figure(own, "best_tap_volts") == 415
    assert figure(own, "secondary_no_load_volts") == pytest.approx(192.8, abs=0.05)
    none = told("supply", **typed, taps="200, 220", secondary_volts="200")
    assert [one.key for one in none.needs] == ["transformer"]


def test_a_machine_for_60_hertz_at_50_moves_less_and_is_driven_harder():
    """Affinity laws and V/f: 17 % less flow; at its own volts 20 % more flux."""
    made = told("supply", plate_kva="10", plate_volts="230", **FED | {"plate_hz": "60"})
    assert figure(made, "flow_share") == pytest.approx(0.833, abs=0.001)
    assert figure(made, "flux_share") == pytest.approx(1.2)
    assert made.answer == "no_go"
    easy = told("supply", plate_kva="10", plate_volts="276", **FED | {"plate_hz": "60"})
    assert figure(easy, "flux_share") == pytest.approx(1.2)  # behind a transformer: its own volts
    low = told("supply", plate_kva="10", plate_volts="250", **FED | {"plate_hz": "60"})
    assert figure(low, "flux_share") == pytest.approx(230 / 250 * 1.2)


def test_a_receiver_carries_over_as_the_handbook_prints():
    """Compressed Air and Gas Handbook: 183.75 ft3; leak 29.6 l/min; drop 0.0653 bar."""
    made = told("air", carry_minutes="5", used_l_min="350 ft3/min", made_l_min="250 ft3/min",
                high_bar="100 psi", low_bar="60 psi", outside_bar="14.7 psi")  # fmt: skip
    assert figure(made, "receiver_l") / FOOT3 == pytest.approx(183.75, abs=0.001)
    leak = told("air", volume_l="300", fell_bar="1", fell_minutes="10")
    assert figure(leak, "leak_l_min") == pytest.approx(29.6, abs=0.02)
    drop = told("air", used_l_min="1000", pipe_m="30", bore_mm="21.6", wanted_bar="7",
                outside_bar="1.013")  # fmt: skip
    assert figure(drop, "pipe_drop_bar") == pytest.approx(0.0570, abs=0.0002)  # Darcy, isothermal
    assert figure(drop, "pipe_rule_bar") == pytest.approx(0.0653, abs=0.0001)
    assert figure(drop, "speed_m_s") == pytest.approx(5.73, abs=0.03)
    damp = told("air", air_c="20", humidity_percent="50")
    assert figure(damp, "dew_point_c") == pytest.approx(9.27, abs=0.02)


@pytest.mark.parametrize("one", methods("move"), ids=lambda one: one.id)
def test_every_calculator_says_its_caution_and_code_before_any_number(one):
    made = answered(one, {}, CAUTIONS)
    assert made.cautions
    assert all(caution.defers_to for caution in made.cautions)
    keys = list(flat(made))
    assert keys.index("cautions") < keys.index("units")


@pytest.mark.parametrize("one", methods("move"), ids=lambda one: one.id)
def test_every_calculator_runs_its_own_example(one):
    flags = {field.id: field for field in one.fields}
    words = list(one.example)
    typed = {}
    while words:
        id = words.pop(0).removeprefix("--").replace("-", "_")
        typed[id] = "yes" if flags[id].sort == "flag" else words.pop(0)
    typed = {id: text for id, text in typed.items() if flags[id].sort != "file"}
    made = answered(one, typed, CAUTIONS)
    assert len(made.figures) >= 1 or any(field.sort == "file" for field in one.fields)


def test_units_are_taken_as_written_and_never_guessed():
    lb = told("lift", mass_kg="8818.49 lb", legs="2", angle_deg="45", centre="drawing")
    assert figure(lb, "leg_kg") == pytest.approx(2828.4, abs=0.1)
    for wrong in ({"mass_kg": "4 ton"}, {"mass_kg": "4 in"}, {"legs": "2.5"}, {"mass": "4"}):
        with pytest.raises(Unusable) as refusal:
            values_of(method("lift"), wrong)
        assert [one.where for one in refusal.value.problems] == list(wrong)
