"""Cards marked and tonight, on a shop: what was done is kept once, and moves what comes next."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.kinds.library import Kind
from retrue.phases import fix, worth
from retrue.records.facts import Finding, Lot, Machine, Note, Shop, Terms
from retrue.records.fixing import CardMarked, Chosen, Out, OutEnded, Stock
from retrue.records.seeking import Act, Signed
from retrue.records.stripping import PutBack, Taken

ON = date(2026, 11, 26)
WRONG = ("F06", "F15")


@pytest.fixture
def school(kinds: Mapping[str, Kind]) -> tuple[FakeShop, str, str]:
    """One machining centre with a burnt motor and a cracked belt, nothing else wrong."""
    shop = FakeShop()
    worth.keep_shop(shop, Shop(hours_a_week=12.0), by="me")
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), [mill], by="me")
    machine = view.machines[0][0]
    for fault in kinds["vertical_machining_centre"].faults:
        seen = Finding(lot=view.id, machine=machine, fault=fault, grade=3, channel="apart",
                       answer="present" if fault in WRONG else "absent")  # fmt: skip
        shop.add(seen, by="me")
    return shop, view.id, machine


def marked(
    school: tuple[FakeShop, str, str], kinds: Any, card: str, how: str = "done", **said: Any
):
    shop, lot, machine = school
    return fix.mark(shop, lot, machine, card, how, kinds, on=ON, by="me", **said)


def state(school: Any, kinds: Any, card: str) -> str:
    shop, lot, machine = school
    return next(c.state for c in fix.cards(shop, lot, machine, kinds, on=ON).cards if c.key == card)


def keys(told: Any) -> list[str]:
    return [pick.card.key for pick in told.picks]


def test_a_job_done_is_an_act_and_frees_what_comes_after_it(school, kinds):
    shop, _lot, machine = school
    assert state(school, kinds, "open:cabinet") == "not_yet"
    record = marked(school, kinds, "J01", hours=2.5)
    assert [act.fact.job for act in shop.current(Act, machine=machine)] == ["J01"]
    assert state(school, kinds, "J01") == "done"
    assert state(school, kinds, "open:cabinet") == "open"
    assert any("Open: " in line for line in fix.what_next(shop, record, kinds))
    marked(school, kinds, "J01", "open_again")
    assert shop.current(Act, machine=machine) == []
    assert state(school, kinds, "J01") == "open"


def test_a_mark_sent_twice_is_kept_once_and_taken_back_with_its_act(school, kinds):
    shop, lot, machine = school
    first = marked(school, kinds, "J01", id="a1", hours=1.0)
    assert marked(school, kinds, "J01", id="a1", hours=1.0) == first
    assert len(shop.current(CardMarked)) == len(shop.current(Act)) == 1
    changed = CardMarked(lot=lot, machine=machine, card="J01", how="done", marked_on="2026-11-25",
                         hours=2.0)  # fmt: skip
    fix.correct_mark(shop, first.id, changed, by="me")
    with pytest.raises(Unusable, match="another mark"):
        fix.correct_mark(shop, first.id, CardMarked(lot=lot, machine=machine, card="J05",
                                                    how="done", marked_on="2026-11-25"),
                         by="me")  # fmt: skip
    fix.take_back_mark(shop, first.id, reason="mistyped", by="me")
    assert shop.current(CardMarked) == shop.current(Act) == []
    with pytest.raises(Unknown):
        fix.take_back_mark(shop, first.id, by="me")


def test_a_fault_put_right_with_another_motor_lets_signed_power_fall(school, kinds):
    shop, lot, machine = school
    for stage in ("apart", "power_up"):
        shop.add(Signed(lot=lot, machine=machine, stage=stage, name="J. Peeters"), by="me")
    shop.add(Chosen(lot=lot, machine=machine, sort="way", what="F15", way="replace"), by="me")
    marked(school, kinds, "F15:replace", hours=6.0, text="runs free")
    assert [one.fact.stage for one in shop.current(Signed)] == ["apart"]
    assert state(school, kinds, "F15:replace") == "done"


def test_hours_add_up_and_what_is_left_is_what_the_owner_says(school, kinds):
    marked(school, kinds, "J01", "begun", hours=0.5)
    marked(school, kinds, "J01", "begun", hours=0.75, left_hours=1.0)
    shop, lot, machine = school
    card = next(c for c in fix.cards(shop, lot, machine, kinds).cards if c.key == "J01")
    assert (card.state, card.spent_hours, card.left_hours) == ("begun", 1.25, 1.0)


def test_stuck_says_gentle_things_first_and_no_heat_where_something_burns(school, kinds):
    shop = school[0]
    marked(school, kinds, "J01")
    record = marked(school, kinds, "open:cabinet", "stuck", text="two screws")
    lines = fix.what_next(shop, record, kinds)
    assert lines[0].startswith("Soak it")
    assert any("No heat" in line for line in lines)
    assert state(school, kinds, "open:cabinet") == "stuck"


def test_what_was_found_is_a_note_and_says_where_to_say_it(school, kinds):
    shop = school[0]
    record = marked(school, kinds, "J01", "found", text="a crack in the base")
    assert [note.fact.text for note in shop.current(Note)] == ["a crack in the base"]
    assert "Fault-finding" in fix.what_next(shop, record, kinds)[0]


def test_put_off_until_a_day_is_open_again_on_that_day(school, kinds):
    shop, lot, machine = school
    marked(school, kinds, "J01", "not_now", until_on="2026-12-01")
    on = {date(2026, 11, 30): "not_now", date(2026, 12, 1): "open"}
    for day, wanted in on.items():
        made = fix.cards(shop, lot, machine, kinds, on=day)
        assert next(c.state for c in made.cards if c.key == "J01") == wanted


def test_first_power_is_signed_not_ticked_off_and_unknown_cards_are_named(school, kinds):
    with pytest.raises(NotYet, match="stage by stage"):
        marked(school, kinds, "J20")
    with pytest.raises(Unknown) as refused:
        marked(school, kinds, "open:cabinett")
    assert "open:cabinet" in refused.value.remedy


def test_a_part_sent_out_stays_out_until_it_is_back_and_judged(school, kinds):
    shop, lot, machine = school
    out = shop.add(Out(lot=lot, machine=machine, sort="sent_out", line="F15:local", what="motor",
                       whom="the winder", since_on="2026-11-20", promised_on="2026-12-04"),
                   by="me")  # fmt: skip
    assert state(school, kinds, "send:F15:local") == "done"
    assert state(school, kinds, "F15:local") == "out"
    back = OutEnded(lot=lot, out=out.id, ended_on="2026-12-03", how="back")
    ended = shop.add(back, by="me")
    assert state(school, kinds, "F15:local") == "out"
    with pytest.raises(NotYet, match="not here yet"):
        marked(school, kinds, "F15:local")
    bad = OutEnded(lot=lot, out=out.id, ended_on="2026-12-03", how="back", judged="bad")
    worse = shop.add(bad, replaces=ended.id, by="me")
    assert state(school, kinds, "send:F15:local") == "not_yet"
    good = OutEnded(lot=lot, out=out.id, ended_on="2026-12-03", how="back", judged="good")
    shop.add(good, replaces=worse.id, by="me")
    assert state(school, kinds, "send:F15:local") == "done"
    assert state(school, kinds, "F15:local") == "open"


def test_what_is_taken_off_opens_its_place_and_its_bolts_are_loose(school, kinds):
    shop, lot, machine = school
    off = shop.add(Taken(lot=lot, machine=machine, place="spindle_head", sort="bag",
                         what="covers", count=4,
                         code="AB12CD34"), by="me")  # fmt: skip
    made = {c.key: c for c in fix.cards(shop, lot, machine, kinds).cards}
    assert (made["open:spindle_head"].state, made["open:spindle_head"].stuck) == ("done", 0.0)
    assert any("1 not back yet" in step.text for step in made["close:spindle_head"].steps)
    shop.add(PutBack(lot=lot, machine=machine, taken=off.id), by="me")
    assert state(school, kinds, "open:spindle_head") != "done"


def test_tonight_offers_what_is_free_what_was_begun_first_and_never_power_alone(school, kinds):
    shop = school[0]

    def ask(**said: Any):
        return fix.tonight(shop, kinds, on=ON, **said)

    assert keys(ask()) == ["J01"]
    marked(school, kinds, "J01")
    marked(school, kinds, "open:enclosure")
    marked(school, kinds, "open:spindle_head")
    marked(school, kinds, "open:tank", "begun", hours=0.1)
    told = ask(hours=2.0)
    assert keys(told)[0] == "open:tank"
    assert len(told.picks) >= 3
    assert sum(pick.hours for pick in told.picks) <= 2.0 + 1e-9
    assert all(pick.card.alone and not pick.card.hoist for pick in told.picks)
    assert "not alone" in next(n.why for n in told.not_tonight if n.card.hoist)
    lifted = ask(hours=16.0, alone=False, hoist=True)
    assert "open:spindle_motor" in keys(lifted)
    assert told.evening.startswith("Before you leave")


def test_with_nothing_to_do_it_says_whom_to_ring_and_what_to_order(school, kinds):
    shop, lot, machine = school
    shop.add(Out(lot=lot, machine=machine, sort="sent_out", line="F15:local", what="motor",
                 whom="the winder", since_on="2026-11-20"), by="me")  # fmt: skip
    marked(school, kinds, "J01", "not_now")
    told = fix.tonight(shop, kinds, on=ON)
    assert told.picks == ()
    assert "Ring the winder about motor" in told.nothing


def test_a_part_on_the_shelf_is_here(school, kinds):
    shop, _lot, _machine = school
    for key in ("J01", "open:enclosure", "open:spindle_head", "before:spindle_head", "J08"):
        marked(school, kinds, key)
    assert state(school, kinds, "F06:replace") == "waiting"
    shop.add(Stock(name="F06:replace", amount=1.0), by="me")
    assert state(school, kinds, "F06:replace") == "open"


def test_what_nobody_supplies_is_refused_by_name_and_the_rest_stays(school, kinds):
    shop, lot, machine = school
    out = shop.add(Out(lot=lot, machine=machine, sort="ordered", line="F06:replace", what="belt",
                       whom="the dealer", since_on="2026-11-20"), by="me")  # fmt: skip
    shop.add(OutEnded(lot=lot, out=out.id, ended_on="2026-11-25", how="called_off"), by="me")
    made = fix.cards(shop, lot, machine, kinds)
    [told] = made.refused
    assert told.card == "F06:replace"
    assert "the dealer" in told.why
    assert "quote" in told.remedy
    assert "J20" in {card.key for card in made.cards}
