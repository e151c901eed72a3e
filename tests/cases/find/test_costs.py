"""What a step costs, by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from tests.cases.find.machines import MILL, case, did, kinds, signed

from retrue.cases.assume import settle
from retrue.cases.find.candidates import chain_of, look_of, targets
from retrue.cases.find.costs import Purse, mean, purse
from retrue.cases.find.standing import standing
from retrue.cases.network import build
from retrue.kinds.library import Three
from retrue.records.facts import CostLine, Shop

KIND = kinds()[MILL]


def paid(shop: Shop | None = None, *lines: CostLine) -> Purse:
    made = replace(case(shop=shop or Shop(hour_alternative=Decimal(20))), cost_lines=lines)
    return purse(made, "mill", KIND, settle(made, build(made, kinds()).kinds))


def test_a_judged_range_has_the_mean_of_the_published_worked_example():
    # Malcolm, Roseboom, Clark and Fazar 1959, Operations Research 7(5): (a + 4 m + b) / 6;
    # durations 8, 10, 15 give 10.5 (worked example of a network, secondary source).
    assert mean(Three(8, 10, 15)) == 10.5


def test_a_way_costs_money_hours_and_days_and_gives_back_what_is_not_paid_if_it_fails():
    fix = next(f for f in KIND.fixes["F15"] if f.way == "local")
    spent = paid().of_way(fix)
    kept = fix.cures + (1 - fix.cures) * fix.paid_if_it_fails
    assert spent.money == pytest.approx(mean(fix.money) * kept)
    day = paid().estimate("day_worth")
    assert spent.cost == pytest.approx(
        mean(fix.money) * kept + 20 * mean(fix.hours) + day * fix.lead_days
    )


def test_an_overtyped_line_wins_over_the_table():
    line = CostLine(
        lot="school",
        machine="mill",
        line="F15:local",
        amount=Decimal(600),
        hours=2.0,
        days=3.0,
        reason="a winder I know",
    )
    fix = next(f for f in KIND.fixes["F15"] if f.way == "local")
    spent = paid(None, line).of_way(fix)
    assert (spent.hours, spent.days) == (2.0, 3.0)
    assert spent.money == pytest.approx(600 * (fix.cures + (1 - fix.cures) * fix.paid_if_it_fails))


def test_an_instrument_that_is_owned_costs_no_hire():
    check = KIND.checks["C31"]
    state = standing(case(), "mill", KIND)
    hired = look_of(check, state, paid(), "seller").spent
    owner = Shop(hour_alternative=Decimal(20), instruments=check.tools)
    owned = look_of(check, state, paid(owner), "seller").spent
    assert (hired.hire, owned.hire) == (check.tool_hire, 0.0)
    assert hired.cost - owned.cost == pytest.approx(check.tool_hire)


def test_an_electrician_is_paid_for_his_time():
    check = KIND.checks["C73"]
    state = standing(case(signed("running")), "mill", KIND)
    spent = look_of(check, state, paid(), "seller").spent
    hour = paid().estimate("call_out_hour_money")
    assert spent.money == pytest.approx(check.minutes / 60 * hour)


def test_an_opening_is_paid_with_what_stands_before_it_and_not_while_it_is_open():
    price = paid()
    bits = {id: 1 << i for i, id in enumerate(KIND.places)}
    both = bits["enclosure"] | bits["spindle_head"]
    assert price.open_cost(both) == pytest.approx(
        price.open_cost(bits["enclosure"]) + price.open_cost(bits["spindle_head"])
    )
    assert price.open_cost(both, open_now=bits["enclosure"]) == pytest.approx(
        price.open_cost(bits["spindle_head"])
    )
    assert price.open_cost(bits["outside"]) == 0.0


def test_ways_are_tried_in_the_order_of_least_cost_and_end_with_the_surest():
    state = standing(case(), "mill", KIND)
    chain = chain_of("F01", state, paid(), None, 0.0)
    fixes = [f for f in KIND.fixes["F01"] if f.way != "live_with"]
    assert chain[-1].cures == max(f.cures for f in fixes)
    assert "live_with" not in {way.way for way in chain}


def test_a_way_that_was_tried_is_not_tried_again():
    first = chain_of("F01", standing(case(), "mill", KIND), paid(), None, 0.0)[0]
    after = standing(case(did("F01", first.way)), "mill", KIND)
    assert first.way not in {way.way for way in chain_of("F01", after, paid(), None, 0.0)}


def test_a_level_takes_only_ways_that_are_good_enough_for_it():
    state = standing(case(), "mill", KIND)
    like_new = {way.way for way in chain_of("F01", state, paid(), "like_new", 0.0)}
    assert like_new
    good = {f.way for f in KIND.fixes["F01"] if f.good_for == "like_new"}
    assert like_new <= good


def test_a_stop_fault_is_a_target_of_every_level_and_a_scratch_only_of_the_highest():
    state = standing(case(), "mill", KIND)
    by_level = {level: targets(state, level, KIND.faults) for level in KIND.levels}
    stops = {f.id for f in KIND.faults.values() if f.urgency == "STOP"}
    assert all(stops <= wanted for wanted in by_level.values())
    assert by_level["just_running"] <= by_level["right"] <= by_level["like_new"]
    assert by_level["like_new"] == KIND.faults.keys()
