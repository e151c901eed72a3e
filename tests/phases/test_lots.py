"""A lot is kept, found by name or id, corrected by a new record, and folded into names."""

from __future__ import annotations

from decimal import Decimal

import pytest

from retrue.base.refusals import Unknown, Unusable
from retrue.cases.lot_file import read_lot, write_lot
from retrue.phases import worth
from retrue.records.facts import (
    Alternative,
    Asked,
    CostLine,
    Finding,
    Lot,
    Machine,
    Need,
    Plate,
    Shop,
    Terms,
)


def test_a_lot_is_found_by_its_name_and_by_any_id_of_its_line(shop, lot):
    worth.correct(shop, Lot, lot.id, listing="both or none", by="owner")
    newest = worth.find_lot(shop, "school")
    assert newest.id != lot.id
    for key in ("school", lot.id, newest.id):
        view = worth.view_lot(shop, key)
        assert (view.id, view.name, view.record.fact.listing) == (lot.id, "school", "both or none")


def test_an_unknown_lot_is_refused_with_the_nearest_name(shop, lot):
    with pytest.raises(Unknown) as told:
        worth.view_lot(shop, "shool")
    assert "school" in told.value.remedy


def test_two_lots_or_two_machines_of_one_name_are_refused_and_nothing_is_kept(shop, lot):
    with pytest.raises(Unusable):
        worth.new_lot(shop, Lot(name="school"), Terms(lot=""), [], by="owner")
    one = Machine(lot="", name="a", kind="turning_centre")
    with pytest.raises(Unusable):
        worth.new_lot(shop, Lot(name="new"), Terms(lot=""), [one, one], by="owner")
    with pytest.raises(Unusable):
        worth.add_machine(shop, "school", Machine(lot="", name="mill", kind="x"), by="owner")
    assert [record.fact.name for record in worth.lots(shop)] == ["school"]


def test_a_new_lot_sent_twice_is_kept_once(shop):
    one = [Machine(lot="", name="lathe", kind="turning_centre")]
    for _ in range(2):
        view = worth.new_lot(shop, Lot(name="a"), Terms(lot=""), one, by="owner", id="form-1")
    assert view.id == "form-1"
    assert len(shop.current(Machine)) == len(shop.current(Terms)) == len(worth.lots(shop)) == 1


def test_a_correction_takes_the_place_of_the_old_and_keeps_it_readable(shop, lot):
    old = lot.terms
    worth.correct(shop, Terms, old.id, bid_now=Decimal(3000), by="owner")
    worth.correct(shop, Terms, old.id, premium=0.2, by="owner")
    now = worth.view_lot(shop, "school").terms
    assert (now.fact.bid_now, now.fact.premium) == (Decimal(3000), 0.2)
    assert [r.fact.bid_now for r in shop.history(now.id)] == [2000, 3000, 3000]


def test_a_renamed_machine_keeps_its_findings(shop, lot, kinds):
    key = lot.machine_id("mill")
    finding = Finding(lot="school", machine="mill", check="C12", answer="seen")
    worth.keep_findings(shop, "school", [finding], kinds, quietly=True, by="owner")
    worth.correct(shop, Machine, key, name="bed mill", by="owner")
    case = worth.case_of(shop, "school")
    assert [machine.name for machine in case.machines] == ["lathe", "bed mill"]
    assert [kept.finding.machine for kept in case.findings] == ["bed mill"]
    assert worth.view_lot(shop, "school").machine_id("bed mill") == key


def test_a_case_speaks_in_names_and_reads_no_clock(shop, lot):
    case = worth.case_of(shop, lot.id)
    assert {machine.lot for machine in case.machines} == {case.lot.name} == {case.terms.lot}
    assert case.as_of == "2026-11-25"
    assert case == worth.case_of(shop, "school")


def test_a_whole_case_taken_into_the_shop_says_what_it_said(shop, kinds):
    text = """
as_of = "2026-11-25"
[shop]
hour_full = 45
[lot]
name = "hall 3"
seller = "caretaker"
[terms]
asking = 9000.50
[[machine]]
name = "mill"
kind = "vertical_machining_centre"
[[need]]
name = "plates"
kind = "vertical_machining_centre"
[[alternative]]
name = "a used one"
kind = "vertical_machining_centre"
[[plate]]
machine = "mill"
entry = "N03"
value = "4200"
[[finding]]
machine = "mill"
check = "C12"
answer = "severe"
[[asked]]
machine = "mill"
what = "S03"
informant = "caretaker"
came = false
[[cost_line]]
machine = "mill"
line = "J24"
amount = 600
reason = "I know one"
"""
    case = read_lot(text.encode(), "lot.toml", kinds)
    worth.keep_case(shop, case, by="owner")
    again = read_lot(write_lot(worth.case_of(shop, "hall 3")).encode(), "again", kinds)
    for field in ("shop", "lot", "terms", "machines", "needs", "alternatives", "plates", "asked"):
        assert getattr(again, field) == getattr(case, field), field
    assert again.cost_lines == case.cost_lines
    assert [kept.finding for kept in again.findings] == [k.finding for k in case.findings]


def test_needs_and_alternatives_of_one_name_give_way(shop, lot):
    for hours in (100.0, 200.0):
        need = Need(name="plates", kind="turning_centre", hours_a_year=hours)
        worth.keep_need(shop, need, by="owner")
    assert [record.fact.hours_a_year for record in worth.needs(shop)] == [200.0]
    other = Alternative(name="a used one", kind="turning_centre")
    first = worth.keep_alternative(shop, other, by="owner")
    assert worth.keep_alternative(shop, other, by="owner") == first


def test_what_was_asked_counts_once_and_is_open_until_it_came_or_did_not(shop, lot):
    whats = [("mill", "S03"), ("lathe", "S09")]
    worth.asked_of_seller(shop, "school", whats, by="owner")
    worth.asked_of_seller(shop, "school", whats, by="owner")
    assert len(worth.open_questions(shop, "school")) == 2
    worth.asked_of_seller(shop, "school", whats[:1], came=False, by="owner")
    assert [record.fact.what for record in worth.open_questions(shop, "school")] == ["S09"]
    (came,) = shop.current(Asked, what="S03")
    assert (came.fact.came, came.fact.informant) == (False, "caretaker")


def test_my_shop_is_one(shop, lot):
    worth.keep_shop(shop, Shop(name="ours", hours_a_week=8), by="owner")
    assert worth.my_shop(shop).fact.name == "ours"
    assert len(shop.current(Shop)) == 1


def test_a_plate_is_kept_as_typed_and_an_odd_value_is_doubted_not_refused(shop, lot, kinds):
    odd = worth.keep_plate(shop, "school", "mill", "N03", "99000", kinds, by="owner")
    assert "look again" in odd.doubt
    assert worth.machine_of(shop, "school", "mill").fact.mass_kg == 99000
    line = worth.keep_plate(shop, "school", "mill", "N03", "4\u202f200,5", kinds, by="owner")
    assert (line.doubt, line.kept.fact.value) == ("", "4\u202f200,5")
    (kept,) = shop.current(Plate, machine=lot.machine_id("mill"))
    assert kept.id == line.kept.id
    sheet = worth.plate_sheet(shop, "school", "mill", kinds)
    assert [row.kept.fact.value for row in sheet if row.kept] == ["4\u202f200,5"]
    assert worth.case_of(shop, "school").plates[0].machine == "mill"


def test_a_plate_entry_nobody_knows_is_refused(shop, lot, kinds):
    with pytest.raises(Unusable) as told:
        worth.keep_plate(shop, "school", "mill", "N999", "1", kinds, by="owner")
    assert told.value.problems[0].where == "entry"
    assert shop.current(Plate) == []


def test_a_cost_line_needs_a_reason_and_a_line_that_is_there(shop, lot, kinds):
    for line, amount, reason in (
        ("J24", Decimal(600), " "),
        ("J999", Decimal(600), "I know one"),
        ("J24", Decimal(-1), "I know one"),
    ):
        with pytest.raises(Unusable):
            worth.overtype(shop, "school", line, amount, reason, kinds, machine="mill", by="owner")
    assert shop.current(CostLine) == []
    for amount in (600, 600, 700):
        worth.overtype(
            shop, "school", "J24", Decimal(amount), "I know one", kinds, machine="mill", by="owner"
        )
    assert [record.fact.amount for record in worth.cost_lines(shop, "school")] == [700]


def test_an_outcome_is_won_at_lost_at_or_walked_and_the_last_word_counts(shop, lot):
    with pytest.raises(Unusable):
        worth.outcome(shop, "school", "won", by="owner")
    worth.outcome(shop, "school", "lost", amount=Decimal(7000), by="owner")
    worth.outcome(shop, "school", "won", amount=Decimal(6900), by="owner")
    came = worth.came_of(shop, "school")
    assert (came.fact.result, came.fact.amount) == ("won", Decimal(6900))
