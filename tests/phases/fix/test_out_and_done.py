"""What is out and what is done: nothing goes in unjudged, no call or order of an impossible day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.cases.fix.outs import outs_of
from retrue.phases import fix, worth
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.fixing import Chosen, Out, OutEnded, Quoted, Rung
from retrue.records.seeking import Act

ON = date(2026, 11, 26)
ME = {"by": "me"}
TAPER: Any = {"check": "C22", "answer": "slight", "grade": 3, "channel": "visit_dead"}
KIND = "vertical_machining_centre"
BELT = Out(lot="school", machine="mill", sort="ordered", line="F06:replace", what="belt",
           whom="the dealer", since_on="2026-11-02", promised_on="2026-11-20",
           amount=Decimal(80))  # fmt: skip
WINDER = Quoted(lot="school", machine="mill", line="F15:local", vendor="the winder",
                quoted_on="2026-11-20", amount=Decimal(600), days=21)  # fmt: skip


@pytest.fixture
def school(kinds: Any) -> tuple[FakeShop, str, str]:
    """One machining centre with a burnt motor that goes to the winder, nothing else wrong."""
    shop = FakeShop()
    worth.keep_shop(shop, Shop(hours_a_week=12.0), **ME)
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""),
                         [Machine(lot="", name="mill", kind=KIND, age_years=24)], **ME)  # fmt: skip
    machine = view.machines[0][0]
    for fault in kinds[KIND].faults:
        shop.add(Finding(lot=view.id, machine=machine, fault=fault, grade=3, channel="apart",
                         answer="present" if fault == "F15" else "absent"), **ME)  # fmt: skip
    way = Chosen(lot=view.id, machine=machine, sort="way", what="F15", way="local")
    shop.add(way, **ME)
    return shop, view.id, machine


def card(school: Any, kinds: Any, key: str) -> Any:
    shop, lot, machine = school
    return next(one for one in fix.cards(shop, lot, machine, kinds, on=ON).cards if one.key == key)


def done(school: Any, kinds: Any, key: str) -> Any:
    shop, lot, machine = school
    return fix.mark(shop, lot, machine, key, "done", kinds, on=ON, **ME)


def test_work_that_others_do_stays_open_until_it_is_back_and_judged_when_a_quote_was_taken(
    school, kinds
):
    shop, _lot, machine = school
    order = fix.take(shop, fix.quote(shop, WINDER, kinds, **ME).id, on=ON, kinds=kinds, **ME)
    assert card(school, kinds, "F15:local").state == "out"
    with pytest.raises(NotYet, match="agreed with the winder"):
        done(school, kinds, "F15:local")
    assert shop.current(Act, machine=machine) == []
    done(school, kinds, "send:F15:local")
    assert card(school, kinds, "send:F15:local").state == "done"
    ended = OutEnded(lot="", out="", ended_on="2026-11-26", how="back")
    fix.back(shop, order.id, ended, kinds, **ME)
    with pytest.raises(NotYet, match="judge it before it goes in"):
        done(school, kinds, "F15:local")
    fix.judge(shop, order.id, True, **ME)
    done(school, kinds, "F15:local")
    assert [act.fact.fault for act in shop.current(Act, machine=machine)] == ["F15"]


def test_a_mark_whose_card_is_gone_is_kept_without_a_failure_and_says_to_look_again(
    lot, shop, kinds
):
    mill = lot.machine_id("mill")
    shop.add(Finding(lot=lot.id, machine=mill, **TAPER), **ME)
    record = fix.mark(shop, lot.id, mill, "F04:replace", "done", kinds, on=ON, hours=5, **ME)
    (told,) = fix.what_next(shop, record, kinds, on=ON)
    assert "a look still stands against it: look again" in told


def test_a_found_danger_that_was_put_right_says_which_look_clears_it(school, kinds):
    shop, lot, machine = school
    shop.add(Finding(lot=lot, machine=machine, **TAPER), **ME)
    shop.add(Finding(lot=lot, machine=machine, fault="F04", grade=3, channel="apart",
                     answer="present"), **ME)  # fmt: skip
    done(school, kinds, "F04:replace")
    told = card(school, kinds, "F04:replace")
    assert (told.state, "look again" in told.state_why) == ("not_yet", True)
    assert kinds[KIND].checks["C22"].text.rstrip(".") in told.state_why


def test_a_call_has_days_that_can_be_and_says_something(school, kinds):
    shop = school[0]
    out = fix.send(shop, BELT, kinds, **ME).id
    wrong = [
        (Rung(lot="", out="", rung_on="2027-05-01", promised_on="2027-06-01"), "rung_on"),
        (Rung(lot="", out="", rung_on="2026-11-26", promised_on="2026-11-02"), "promised_on"),
        (Rung(lot="", out="", rung_on="2026-11-26", ring_on="2026-11-02"), "ring_on"),
        (Rung(lot="", out="", rung_on="2026-11-26", promised_on="2026-12-24", nobody=True),
         "promised_on"),
        (Rung(lot="", out="", rung_on="2026-11-26"), "text"),
    ]  # fmt: skip
    for said, field in wrong:
        with pytest.raises(Unusable) as refused:
            fix.ring(shop, out, said, today=ON, **ME)
        assert [one.where for one in refused.value.problems] == [field]
    ended = OutEnded(lot="", out="", ended_on="2027-11-20", how="back")
    with pytest.raises(Unusable) as refused:
        fix.back(shop, out, ended, kinds, today=ON, **ME)
    assert [one.where for one in refused.value.problems] == ["ended_on"]


def test_nothing_is_out_or_quoted_since_a_day_to_come(school, kinds):
    shop, lot, _machine = school
    with pytest.raises(Unusable) as refused:
        fix.send(shop, replace(BELT, since_on="2026-11-27", promised_on=None), kinds, today=ON,
                 **ME)  # fmt: skip
    assert [one.where for one in refused.value.problems] == ["since_on"]
    with pytest.raises(Unusable) as refused:
        fix.quote(shop, replace(WINDER, quoted_on="2026-11-27"), kinds, today=ON, **ME)
    assert [one.where for one in refused.value.problems] == ["quoted_on"]
    assert outs_of(shop, lot) == ()


def test_the_newest_promise_is_that_of_the_latest_call_not_of_the_last_one_typed(school, kinds):
    shop, lot, _machine = school
    out = fix.send(shop, BELT, kinds, **ME).id
    for day, promise in (("2026-11-25", "2026-12-20"), ("2026-11-22", "2026-12-01")):
        fix.ring(shop, out, Rung(lot="", out="", rung_on=day, promised_on=promise), today=ON, **ME)
    (kept,) = outs_of(shop, lot)
    assert kept.promised_on == "2026-12-20"
    assert fix.waiting(shop, on=ON).owed[0].promised_on == "2026-12-20"


@pytest.mark.parametrize(
    ("quoted", "on", "field"),
    [
        (replace(WINDER, valid_until_on="2026-11-25"), ON, "valid_until_on"),
        (WINDER, date(2026, 11, 19), "on"),
        (WINDER, date(2026, 11, 27), "on"),
        (replace(WINDER, line="F06:replace"), ON, "line"),
    ],
)
def test_a_quote_that_ran_out_or_is_for_what_is_done_is_not_taken(school, kinds, quoted, on, field):
    shop, lot, _machine = school
    kept = fix.quote(shop, quoted, kinds, **ME)
    with pytest.raises(Unusable) as refused:
        fix.take(shop, kept.id, on=on, kinds=kinds, today=ON, **ME)
    assert [one.where for one in refused.value.problems] == [field]
    assert outs_of(shop, lot) == ()


def test_several_quotes_of_a_firm_are_told_apart_by_their_ids(school, kinds):
    shop = school[0]
    one = fix.quote(shop, WINDER, kinds, **ME)
    other = fix.quote(shop, replace(WINDER, vendor="The Winder", amount=Decimal(550)), kinds, **ME)
    with pytest.raises(Unknown) as unknown:
        fix.take(shop, "the winder", on=ON, kinds=kinds, **ME)
    assert one.id in unknown.value.remedy
    assert other.id in unknown.value.remedy
    assert "550" in unknown.value.remedy
    assert fix.take(shop, other.id, on=ON, kinds=kinds, **ME).fact.whom == "The Winder"


def test_the_wrong_thing_stays_on_the_list_until_it_is_settled(school, kinds):
    shop = school[0]
    out = fix.send(shop, BELT, kinds, **ME).id
    wrong = OutEnded(lot="", out="", ended_on="2026-11-26", how="wrong")
    fix.back(shop, out, wrong, kinds, today=ON, **ME)
    (owed,) = fix.waiting(shop, on=ON).owed
    assert owed.return_owed
    said = Rung(lot="", out="", rung_on="2026-11-26", text="a return label is coming")
    fix.ring(shop, out, said, today=ON, **ME)
    fix.back(shop, out, replace(wrong, paid=Decimal(0)), kinds, today=ON, **ME)
    assert fix.waiting(shop, on=ON).owed == ()
