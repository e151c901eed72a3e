"""Tying down and supply: every number worked out a second time by hand, limits from both sides."""

from __future__ import annotations

import math

import pytest
from tests.library import load

from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
G = 9.81
FED = {"plate_volts": "400", "plate_kva": "20", "plate_hz": "50", "supply_volts": "400",
       "supply_phases": "3", "supply_kva": "40", "earth": "tn_s"}  # fmt: skip
TYPED = {"mass_kg": "4000", "tension_newton": "5000", "angle_deg": "60"}


def told(id: str, typed: dict[str, str], **more: str) -> Reckoning:
    return answered(method(id), typed | more, CAUTIONS)


def value(made: Reckoning, key: str) -> float:
    found = next(one.value for one in made.figures if one.key == key)
    assert found is not None
    return found


def has(made: Reckoning, key: str) -> bool:
    return any(one.key == key for one in made.figures)


class TestTie:
    def test_each_direction_by_hand(self) -> None:
        made = told("tie", TYPED)
        each = 2 * 0.3 * 5000 * math.sin(math.radians(60))
        assert value(made, "forward_exact") == pytest.approx(0.5 * 4000 * G * 1.25 / each)
        assert value(made, "rear_exact") == pytest.approx(0.2 * 4000 * G * 1.1 / each)
        assert made.listings[0].rows[0][1] == 0.8

    def test_the_straps_that_are_planned_are_held_against_it(self) -> None:
        light = {**TYPED, "mass_kg": "2000"}
        needed = value(told("tie", light), "forward_lashings")
        assert needed == 5  # 0.5 x 2000 g x 1.25 / (2 x 0.3 x 5000 sin 60) = 4.72
        assert told("tie", light, lashings="5").answer == "go"
        assert told("tie", light, lashings="4").answer == "no_go"

    def test_many_straps_are_no_plan(self) -> None:
        many = told("tie", TYPED)  # 9.44 forward
        assert many.answer == told("tie", TYPED, lashings="10").answer == "get_first"
        assert [one.field for one in many.missing] == ["direct"]
        assert "10 lashings over the top are no plan forward" in many.headline
        assert told("tie", TYPED, mass_kg="2500").answer == "go"  # 5.90
        assert told("tie", TYPED, mass_kg="2600").answer == "get_first"  # 6.14

    def test_half_of_the_load_by_the_american_rule(self) -> None:
        light = {**TYPED, "mass_kg": "2000"}
        assert told("tie", light, working_load_kg="1000").answer == "go"
        assert told("tie", light, working_load_kg="999").answer == "no_go"

    def test_direct_lashings_hold_or_do_not(self) -> None:
        strong = told("tie", TYPED, direct="2", capacity_newton="50 kN", lashings="4")
        assert strong.answer == "go"
        assert "2 direct lashings forward and 4 over the top" in strong.headline
        weak = told("tie", TYPED, direct="2", capacity_newton="2 kN")
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
        typed = TYPED | {"direct": "2", "capacity_newton": "50 kN", "lashings": "4"}
        more = value(told("tie", typed, forward_share="1"), "forward_needed_newton")
        less = value(told("tie", typed), "forward_needed_newton")
        assert more / less == pytest.approx((1 - 0.225) / (0.8 - 0.225))

    @pytest.mark.parametrize(("typed", "lacking"), [
        ({"direct": "2"}, "capacity_newton"), ({"capacity_newton": "50 kN"}, "direct"),
        ({"blocked_newton": "25 kN"}, "direct"),
    ])  # fmt: skip
    def test_half_of_a_direct_lashing_is_asked_for(self, typed: dict[str, str], lacking: str):
        made = told("tie", {**TYPED, "mass_kg": "2000"}, **typed)
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
        light = {**TYPED, "mass_kg": "2000"}
        made = told("tie", light, centre_height_mm=height, half_width_mm=half)
        assert made.answer == answer
        assert value(made, "tip_share") == pytest.approx(float(half) / float(height))
        assert [one.field for one in made.against] == ["half_width_mm"] * (answer == "no_go")

    def test_a_harder_share_to_the_side_counts_for_tipping_as_well(self) -> None:
        low = {**TYPED, "mass_kg": "500", "centre_height_mm": "1000", "half_width_mm": "650"}
        assert told("tie", low).answer == "go"
        assert "half_width_mm" in [o.field for o in told("tie", low, side_share="0.7").against]

    def test_tie_downs_by_length(self) -> None:
        """49 CFR 393.110 (from memory): over 3 m and over 500 kg two, and one more each 3 m."""
        assert value(told("tie", TYPED, length_mm="2900"), "least_tie_downs") == 2
        assert value(told("tie", TYPED, length_mm="4000"), "least_tie_downs") == 3


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
