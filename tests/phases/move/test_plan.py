"""The move of a machine: nothing typed twice, numbers before every lift, data before the plug."""

from __future__ import annotations

import hashlib
from datetime import date
from typing import Any

import pytest

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.cases.reckon.kept import MethodStands
from retrue.phases import move, reckon, worth
from retrue.phases.move import Plan
from retrue.records.facts import Finding, Shop
from retrue.records.moving import Arrived, DataCopy, LaidUp, Round

LIFT = {"legs": "2", "angle_deg": "60", "centre": "drawing", "mass_kg": "4200",
        "mass_from": "weighed",
        "leg_rated_kg": "4000", "hook_rated_kg": "6000"}  # fmt: skip


class Proved:
    media_type = "text/plain"
    taken = None


def prove(_content: bytes, _name: str) -> Any:
    return Proved()


def of(plan: Plan, id: str) -> MethodStands:
    return next(one for one in plan.methods if one.method.id == id)


def keep(shop, kinds, id: str, **typed: str) -> None:
    reckon.keep_plan(shop, "school", "mill", id, typed, kinds, by="owner")


def save_all(shop, kinds) -> None:
    for sort in ("parameters", "pitch_tables", "ladder"):
        content = f"{sort} 1234".encode()
        kept = move.keep_data_file(shop, "school", "mill", content, f"{sort}.txt", prove, kinds,
                                   by="owner")  # fmt: skip
        fact = DataCopy(lot="", machine="", sort=sort, how="serial line", file=kept.id)
        move.keep_copy(shop, "school", "mill", fact, kinds, by="owner")
        move.read_back(shop, "school", "mill", sort, content, kinds, by="owner")


def step(shop, kinds, *ids: str, name: str = "rigger") -> None:
    for id in ids:
        move.do_step(shop, "school", "mill", id, kinds, name=name, by="owner")


def test_plate_machine_and_shop_fill_every_calculator(shop, lot, kinds):
    worth.keep_plate(shop, "school", "mill", "N03", "4200", kinds, by="owner")
    worth.keep_plate(shop, "school", "mill", "N04", "200 V", kinds, by="owner")
    mine = Shop(supply_volts=400.0, supply_phases=3, supply_kva=40.0, door_height_mm=2900.0)
    worth.keep_shop(shop, mine, by="owner")
    plan = move.plan(shop, "school", "mill", kinds)
    assert of(plan, "lift").known["mass_kg"].value == "4200 kg"
    assert of(plan, "lift").known["mass_from"].value == "plate"
    supply = of(plan, "supply")
    assert supply.known["plate_volts"].value == "200 V"
    assert supply.known["supply_volts"].value == "400"
    assert "transformer" in [one.key for one in supply.reckoning.needs]


def test_what_was_typed_for_one_calculator_fills_the_others_and_a_correction_counts(
    shop, lot, kinds
):
    keep(shop, kinds, "lift", **LIFT)
    keep(shop, kinds, "lift", **LIFT | {"mass_kg": "4500"})
    plan = move.plan(shop, "school", "mill", kinds)
    assert of(plan, "ramp").known["mass_kg"].value == "4500"
    assert of(plan, "lift").touched
    assert not of(plan, "ramp").touched
    keep(shop, kinds, "ramp", mass_kg="4000")
    plan = move.plan(shop, "school", "mill", kinds)
    assert of(plan, "ramp").known["mass_kg"].value == "4000"
    assert of(plan, "lift").known["mass_kg"].value == "4500"


def test_a_field_that_cannot_be_read_keeps_nothing(shop, lot, kinds):
    with pytest.raises(Unusable) as refusal:
        keep(shop, kinds, "lift", mass_kg="four tons", angle_deg="60")
    assert [one.where for one in refusal.value.problems] == ["mass_kg"]
    assert not of(move.plan(shop, "school", "mill", kinds), "lift").touched


def test_the_whole_move_is_a_go_only_if_lift_door_and_supply_are(shop, lot, kinds):
    plan = move.plan(shop, "school", "mill", kinds)
    assert plan.answer == "get_first"
    assert plan.next.startswith("Mass")
    keep(shop, kinds, "lift", **LIFT)
    keep(shop, kinds, "door", width_mm="2100", height_mm="2500", door_width_mm="2800",
         door_height_mm="2900")  # fmt: skip
    fed = {"plate_volts": "400", "plate_kva": "20", "plate_hz": "50", "supply_volts": "400",
           "supply_phases": "3", "supply_kva": "40", "earth": "tn_s"}  # fmt: skip
    keep(shop, kinds, "supply", **fed)
    assert move.plan(shop, "school", "mill", kinds).answer == "go"
    keep(shop, kinds, "skates", floor="suspended")
    plan = move.plan(shop, "school", "mill", kinds)
    assert plan.answer == "no_go"
    assert "room below" in plan.headline


def test_the_plug_stays_in_until_the_data_are_read_back(shop, lot, kinds):
    step(shop, kinds, "cell_held", "plugs_marked")
    with pytest.raises(NotYet) as refusal:
        step(shop, kinds, "unplugged")
    assert [one.where for one in refusal.value.problems] == ["parameters", "pitch_tables", "ladder"]
    save_all(shop, kinds)
    step(shop, kinds, "unplugged")
    done = {line.step.id for line in move.plan(shop, "school", "mill", kinds).steps if line.record}
    assert done == {"cell_held", "plugs_marked", "unplugged"}


def test_a_copy_that_is_not_the_same_is_told_and_does_not_count(shop, lot, kinds):
    content = b"parameters"
    kept = move.keep_data_file(shop, "school", "mill", content, "p.txt", prove, kinds, by="owner")
    fact = DataCopy(lot="", machine="", sort="parameters", how="card", file=kept.id)
    record = move.keep_copy(shop, "school", "mill", fact, kinds, by="owner")
    assert record.fact.sha256 == hashlib.sha256(content).hexdigest()
    again = move.read_back(shop, "school", "mill", "parameters", b"parameterz", kinds, by="owner")
    assert again.fact.read_back is False
    line = move.plan(shop, "school", "mill", kinds).data[0]
    assert (line.sort, line.done) == ("parameters", False)
    with pytest.raises(NotYet):
        move.read_back(shop, "school", "mill", "ladder", b"x", kinds, by="owner")


def test_data_read_back_answer_the_looks_after_them_and_so_reach_the_price(shop, lot, kinds):
    save_all(shop, kinds)
    found = {one.fact.check: one.fact for one in shop.current(Finding)}
    assert set(found) == {"C16", "C87"}
    assert {one.answer for one in found.values()} == {"not_seen"}
    save_all(shop, kinds)
    assert len(shop.current(Finding)) == 2


def test_there_can_be_no_copy_is_kept_with_its_reason_and_answers_no_look(shop, lot, kinds):
    for sort in ("parameters", "pitch_tables", "ladder"):
        fact = DataCopy(lot="", machine="", sort=sort, none="the control is dead")
        move.keep_copy(shop, "school", "mill", fact, kinds, by="owner")
    step(shop, kinds, "cell_held", "plugs_marked", "unplugged")
    assert shop.current(Finding) == []


def test_no_lift_without_numbers_unless_a_rigger_is_named(shop, lot, kinds):
    save_all(shop, kinds)
    step(shop, kinds, "cell_held", "plugs_marked", "drained", "axes_held", "unplugged")
    with pytest.raises(NotYet) as refusal:
        step(shop, kinds, "loaded", name="")
    assert [one.where for one in refusal.value.problems] == ["lift"]
    keep(shop, kinds, "lift", **LIFT)
    with pytest.raises(Unusable, match="name"):
        step(shop, kinds, "loaded", name="")
    step(shop, kinds, "loaded", name="own hands")


def test_a_rigger_by_name_lifts_by_his_own_numbers(shop, lot, kinds):
    save_all(shop, kinds)
    step(shop, kinds, "cell_held", "plugs_marked", "drained", "axes_held", "unplugged")
    with pytest.raises(NotYet, match="not yet"):  # a name alone is no number
        move.do_step(shop, "school", "mill", "loaded", kinds, name="me", by="owner")
    move.do_step(shop, "school", "mill", "loaded", kinds, rigger="a rigger", by="owner")
    line = next(one for one in move.plan(shop, "school", "mill", kinds).steps
                if one.step.id == "loaded")  # fmt: skip
    assert line.record is not None
    assert (line.record.fact.name, line.record.fact.rigger) == ("a rigger", "a rigger")


def test_a_plate_put_right_reaches_a_calculator_that_was_kept(shop, lot, kinds):
    worth.keep_plate(shop, "school", "mill", "N03", "4200", kinds, by="owner")
    known = reckon.stands(shop, "school", "mill", "lift", kinds).known
    keep(shop, kinds, "lift", **{id: filled.value for id, filled in known.items()},
         angle_deg="60")  # fmt: skip
    worth.keep_plate(shop, "school", "mill", "N03", "5600", kinds, by="owner")
    known = reckon.stands(shop, "school", "mill", "lift", kinds).known
    assert (known["mass_kg"].value, known["mass_kg"].where) == ("5600 kg", "its plate")
    assert known["angle_deg"].where == "typed"


def test_the_current_of_the_supply_stands_in_conductor_and_protection(shop, lot, kinds):
    mine = Shop(supply_volts=400.0, supply_phases=3)
    worth.keep_shop(shop, mine, by="owner")
    assert "line_ampere" not in reckon.stands(shop, "school", "mill", "conductor", kinds).known
    keep(shop, kinds, "supply", plate_volts="400", plate_kva="20")
    known = reckon.stands(shop, "school", "mill", "conductor", kinds).known
    assert known["line_ampere"].value == f"{20_000 / (400 * 3**0.5):.3f} A"
    assert (known["volts"].value, known["phases"].value) == ("400", "3")
    keep(shop, kinds, "conductor", **{id: one.value for id, one in known.items()}, length_m="20")
    keep(shop, kinds, "supply", plate_volts="400", plate_kva="40")
    known = reckon.stands(shop, "school", "mill", "conductor", kinds).known
    assert known["line_ampere"].value == f"{40_000 / (400 * 3**0.5):.3f} A"


def test_a_copy_taken_back_takes_its_findings_along(shop, lot, kinds):
    save_all(shop, kinds)
    assert sorted(one.fact.check for one in shop.current(Finding)) == ["C16", "C87"]
    record = move.plan(shop, "school", "mill", kinds).data[0].record
    assert record is not None
    move.withdraw(shop, record.id, by="owner")
    assert shop.current(Finding) == []
    save_all(shop, kinds)
    assert sorted(one.fact.check for one in shop.current(Finding)) == ["C16", "C87"]
    move.read_back(shop, "school", "mill", "ladder", b"not the same", kinds, by="owner")
    assert shop.current(Finding) == []


def test_a_round_taken_back_leaves_the_reading_before_it(shop, lot, kinds):
    fact = LaidUp(lot="", machine="", since_on="2026-09-01")
    move.lay_up(shop, "school", "mill", fact, kinds, by="owner")
    worth.keep_plate(shop, "school", "mill", "N33", "3.0 V", kinds, by="owner")
    rounds = [
        move.go_round(shop, "school", "mill", Round(lot="", machine="", cell_volts=volts), kinds,
                      by="owner")
        for volts in (3.0, 2.1)
    ]  # fmt: skip
    move.withdraw(shop, rounds[1].id, by="owner")
    assert [one.fact.reading for one in shop.current(Finding)] == [100.0]
    move.withdraw(shop, rounds[0].id, by="owner")
    assert shop.current(Finding) == []


@pytest.mark.parametrize(
    "wrong",
    [
        {"cell_changed_on": "2026-11-25", "cell_years": 9e6},
        {"every_days": 99_999_999},
        {"since_on": "9999-12-30"},
    ],
)
def test_a_number_that_no_calendar_holds_is_refused_and_breaks_no_page(shop, lot, kinds, wrong):
    fact = LaidUp(lot="", machine="", **({"since_on": "2026-09-01"} | wrong))
    with pytest.raises(Unusable):
        move.lay_up(shop, "school", "mill", fact, kinds, by="owner")
    assert move.rest(shop, "school", "mill", kinds, date(2026, 11, 26)).record is None


def test_local_law_without_its_days_says_today(shop, lot, kinds):
    came = Arrived(lot="", machine="", delivered_on="2026-11-20", damage="hidden",
                   law="local", text="tank cracked")  # fmt: skip
    move.arrived(shop, "school", "mill", came, kinds, by="owner")
    view = move.arrival(shop, "school", "mill", kinds, date(2026, 11, 26))
    assert not view.term_known
    assert view.dates is not None
    assert any("write today" in line for line in view.dates.text)


def test_door_and_supply_change_the_price(shop, lot, kinds):
    mine = Shop(supply_volts=400.0, supply_phases=3, supply_kva=40.0)
    worth.keep_shop(shop, mine, by="owner")
    free = _all_in(shop, kinds)
    keep(shop, kinds, "door", width_mm="2100", height_mm="2850", door_width_mm="2800",
         door_height_mm="2600")  # fmt: skip
    low = _all_in(shop, kinds)
    keep(shop, kinds, "supply", plate_volts="200", plate_kva="20")
    other = _all_in(shop, kinds)
    assert free < low < other


def _all_in(shop, kinds) -> float:
    """Mean money of the move and of what feeds it."""
    sheet = worth.price(shop, "school", kinds, seed=7, worlds=400)
    row = next(one for one in sheet.machines if one.name == "mill")
    return row.buckets["move"] + row.buckets.get("hook-up", 0.0)


def test_photographs_of_the_sides_stand_by_side_and_spot(shop, lot, kinds):
    for spot in ("truck", "floor"):
        move.keep_side(shop, "school", "mill", spot.encode(), "a.jpg", prove, kinds, spot=spot,
                       side="left", by="owner")  # fmt: skip
    view = move.arrival(shop, "school", "mill", kinds, date(2026, 11, 26))
    left = next(one for one in view.sides if one.side == "left")
    assert (len(left.on_truck), len(left.on_floor)) == (1, 1)
    assert len(move.damage_pictures(shop, "school", "mill", kinds)) == 2
    with pytest.raises(Unusable, match="none of them"):
        move.keep_side(shop, "school", "mill", b"x", "a.jpg", prove, kinds, spot="truck",
                       side="top", by="owner")  # fmt: skip


def test_a_hidden_damage_has_a_last_day_for_the_note(shop, lot, kinds):
    fact = Arrived(lot="", machine="", delivered_on="2026-11-20", damage="hidden",
                   text="casting of the tank cracked", carrier="a haulier")  # fmt: skip
    move.arrived(shop, "school", "mill", fact, kinds, by="owner")
    view = move.arrival(shop, "school", "mill", kinds, date(2026, 11, 26))
    assert view.last_day == "2026-11-28"  # seven days, one Sunday left out
    assert view.days_left == 2
    assert view.dates is not None
    assert any("30" in line for line in view.dates.text)


def test_a_round_is_due_after_the_days_that_were_said_and_told_late(shop, lot, kinds):
    with pytest.raises(NotYet):
        move.go_round(shop, "school", "mill", Round(lot="", machine="", done=("looked",)), kinds,
                      by="owner")  # fmt: skip
    fact = LaidUp(lot="", machine="", since_on="2026-09-01", every_days=30,
                  cell_changed_on="2026-01-01", cell_years=2.0)  # fmt: skip
    move.lay_up(shop, "school", "mill", fact, kinds, by="owner")
    late = move.rest(shop, "school", "mill", kinds, date(2026, 10, 6))
    assert (late.due_on, late.overdue_days) == ("2026-10-01", 5)
    assert late.cell_until_on == "2028-01-01"
    made = Round(lot="", machine="", done=("looked",), air_c=20.0, humidity_percent=50.0,
                 machine_c=12.0, cell_volts=2.5)  # fmt: skip
    move.go_round(shop, "school", "mill", made, kinds, by="owner")
    after = move.rest(shop, "school", "mill", kinds, date(2026, 11, 26))
    assert after.overdue_days == 0
    assert after.rounds[0].margin_kelvin == pytest.approx(12 - 9.255, abs=0.001)
    assert after.near_kelvin == after.rounds[0].margin_kelvin  # under 3 K
    warm = Round(lot="", machine="", air_c=20.0, humidity_percent=50.0, machine_c=19.0)
    move.go_round(shop, "school", "mill", warm, kinds, by="owner")
    assert move.rest(shop, "school", "mill", kinds, date(2026, 11, 26)).near_kelvin is None


def test_a_round_with_an_unknown_tick_or_nothing_at_all_is_refused(shop, lot, kinds):
    fact = LaidUp(lot="", machine="", since_on="2026-09-01")
    move.lay_up(shop, "school", "mill", fact, kinds, by="owner")
    for wrong in (Round(lot="", machine="", done=("polished",)), Round(lot="", machine="")):
        with pytest.raises(Unusable):
            move.go_round(shop, "school", "mill", wrong, kinds, by="owner")


def test_unloading_waits_for_a_way_in_that_is_a_no_go(shop, lot, kinds):
    keep(shop, kinds, "lift", **LIFT)
    step(shop, kinds, "unloaded", name="own hands")
    record = move.plan(shop, "school", "mill", kinds).steps[-2].record
    assert record is not None
    move.withdraw(shop, record.id, by="owner")
    keep(shop, kinds, "skates", floor="suspended")
    waits = move.plan(shop, "school", "mill", kinds).steps[-2].waits
    assert [one.where for one in waits] == ["skates"]


def test_what_is_of_no_move_is_not_taken_back_here(shop, lot, kinds):
    record = worth.keep_shop(shop, Shop(), by="owner")
    with pytest.raises(Unknown):
        move.withdraw(shop, record.id, by="owner")


def test_data_read_back_that_are_taken_back_shut_the_plug_again(shop, lot, kinds):
    save_all(shop, kinds)
    line = move.plan(shop, "school", "mill", kinds).data[0]
    assert line.done
    assert line.record is not None
    move.withdraw(shop, line.record.id, by="owner")
    assert not move.plan(shop, "school", "mill", kinds).data[0].done


def test_a_cell_read_every_month_is_one_cell(shop, lot, kinds):
    fact = LaidUp(lot="", machine="", since_on="2026-09-01")
    move.lay_up(shop, "school", "mill", fact, kinds, by="owner")
    move.go_round(shop, "school", "mill", Round(lot="", machine="", cell_volts=3.1), kinds,
                  by="owner")  # fmt: skip
    assert shop.current(Finding) == []  # volts alone say nothing
    worth.keep_plate(shop, "school", "mill", "N33", "3.0 V", kinds, by="owner")
    for volts in (3.0, 2.9, 2.6):
        made = Round(lot="", machine="", cell_volts=volts)
        move.go_round(shop, "school", "mill", made, kinds, by="owner")
    kept = [one.fact.reading for one in shop.current(Finding) if one.fact.check == "C36"]
    assert kept == pytest.approx([100 * 2.6 / 3], abs=0.001)
