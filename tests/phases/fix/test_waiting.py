"""Who owes me: sent, rung, back, judged; a quote kept and taken."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Overtaken, Unknown, Unusable
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.kept import outs_of
from retrue.cases.fix.lines import Card, Wait
from retrue.cases.fix.owed import out_state
from retrue.cases.fix.plan_lines import PlanRow, PlanView
from retrue.kinds.judged import Three
from retrue.phases.fix import buying
from retrue.phases.fix.out_amending import correct_out, withdraw_out
from retrue.phases.fix.planning import keep_plan
from retrue.phases.fix.quoting import quote, quote_said, read_quote, take
from retrue.phases.fix.stocking import set_stock
from retrue.phases.fix.waiting import back, judge, one_out, ring, send, waiting
from retrue.phases.worth import LotView
from retrue.records.facts import CostLine
from retrue.records.fixing import Out, OutEnded, Quoted, Rung, Stock
from retrue.records.moving import Arrived, LaidUp

ON = date(2026, 11, 26)
ME = {"by": "me"}
MOTOR = Out(
    lot="school", machine="mill", sort="sent_out", line="F15:local", what="spindle motor",
    whom="the winder in Ghent", since_on="2026-11-02", promised_on="2026-11-20",
    deposit=Decimal(150), serial="4711",
)  # fmt: skip
BACK = OutEnded(lot="", out="", ended_on="2026-11-25", how="back")


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


def part_of(shop, lot: LotView, line: str = "F15:local") -> str:
    return out_state(outs_of(shop, lot.id), machine=lot.machine_id("mill"), line=line).state


def test_what_was_sent_out_stays_out_until_it_is_back_and_judged(shop, lot, kinds):
    out = send(shop, MOTOR, kinds, **ME)
    assert part_of(shop, lot) == "sent_out"
    back(shop, out.id, BACK, kinds, **ME)
    assert part_of(shop, lot) == "sent_out"
    assert waiting(shop, on=ON).owed[0].state == "back_not_judged"
    judge(shop, out.id, False, "hums", **ME)
    assert part_of(shop, lot) == "to_buy"  # the work is open again
    again = send(shop, replace(MOTOR, since_on="2026-11-26", promised_on=None), kinds, **ME)
    back(shop, again.id, replace(BACK, ended_on="2026-11-27", deposit_back=True), kinds, **ME)
    judge(shop, again.id, True, **ME)
    assert part_of(shop, lot) == "here"


def test_a_deposit_keeps_what_ended_on_the_list_until_it_is_back(shop, lot, kinds):
    out = send(shop, MOTOR, kinds, **ME)
    ended = back(shop, out.id, BACK, kinds, **ME)
    judge(shop, out.id, True, "runs", **ME)
    view = waiting(shop, on=ON, kinds=kinds)
    assert [one.state for one in view.owed] == ["ended"]
    assert view.deposits == {"EUR": Decimal(150)}
    later = replace(BACK, ended_on="2026-11-27", deposit_back=True, text="in cash")
    told = back(shop, out.id, later, kinds, **ME).fact
    assert (told.ended_on, told.judged, told.text) == ("2026-11-25", "good", "runs; in cash")
    assert waiting(shop, on=ON).owed == ()
    newest = shop.history(ended.id)[-1]
    correct_out(shop, ended.id, replace(newest.fact, deposit_back=False), **ME)
    assert waiting(shop, on=ON).deposits == {"EUR": Decimal(150)}


def test_sent_twice_is_kept_once_and_a_second_hand_is_answered(shop, lot, kinds):
    one = send(shop, MOTOR, kinds, **ME, id="a")
    assert send(shop, MOTOR, kinds, **ME, id="a").id == "a"
    assert send(shop, MOTOR, kinds, by="you", id="b").id == "a"
    assert len(outs_of(shop, lot.id)) == 1
    kept = back(shop, one.id, BACK, kinds, **ME, id="c")
    assert back(shop, one.id, BACK, kinds, by="you", device="telephone").id == kept.id
    with pytest.raises(Overtaken, match="back since 2026-11-25, me says"):
        back(shop, one.id, replace(BACK, how="wrong"), kinds, by="you")
    assert judge(shop, one.id, True, "runs cool", **ME).fact.judged == "good"
    assert judge(shop, one.id, True, **ME).fact.text == "runs cool"
    assert back(shop, one.id, BACK, kinds, **ME, id="c").id == kept.id  # sent again, late
    with pytest.raises(Overtaken, match="judged good by me"):
        judge(shop, one.id, False, by="you")
    withdraw_out(shop, kept.id, "wrong motor", **ME)
    assert waiting(shop, on=ON).owed[0].state == "late"


def test_a_call_moves_the_promise_and_the_list_is_in_the_order_of_chasing(shop, lot, kinds):
    motor = send(shop, MOTOR, kinds, **ME)
    said = Rung(
        lot="", out="", rung_on="2026-11-21", promised_on="2026-12-01", ring_on="2026-11-26"
    )
    ring(shop, motor.id, said, **ME)
    ring(shop, "spindle motor", said, **ME)  # the same call again
    belt = replace(MOTOR, sort="ordered", line="", what="belt", whom="dealer", deposit=None)
    send(shop, replace(belt, promised_on="2026-11-24"), kinds, **ME)
    send(shop, replace(belt, what="lamp", promised_on="2026-11-28"), kinds, **ME)
    view = waiting(shop, on=ON, lot="school", kinds=kinds)
    assert [one.out.what for one in view.owed] == ["belt", "spindle motor", "lamp"]
    assert [one.state for one in view.owed] == ["late", "ring", "out"]
    assert (view.owed[0].days_late, view.owed[1].broken, len(view.owed[1].rung)) == (2, 1, 1)
    kind = kinds["vertical_machining_centre"]
    assert view.owed[1].holds_up == (kind.faults["F15"].name,)


def test_what_a_date_hangs_on_is_chased_first(shop, lot, kinds):
    mill = lot.machine_id("mill")
    first = {"lot": lot.id, "machine": mill, "machine_name": "mill", "place": "head",
             "place_name": "head", "steps": (), "hours": Three(1, 2, 3)}  # fmt: skip
    refit = Card(key="F15:local", sort="work", title="Motor back", **first,
                 waits=(Wait(card="send:F15:local", days=15, part="F15:local"),))  # fmt: skip
    lamp = Card(key="F104:replace", sort="work", title="Lamp", **first,
                parts=(Part(line="F104:replace", what="lamp", money=Three(1, 2, 3), days=4),)
                )  # fmt: skip
    days = {"people": ("me",), "ends": "", "late_begins": "", "late_ends": ""}
    view = PlanView(
        at="2026-11-20T12:00+01:00", lots=(lot.id,), machines=(), hire=(), refused=(), hands=(),
        proved=True, by_rule=False, gap=0.0, seed=7, worlds=100, currency="EUR", inputs="x",
        rows=(PlanRow(card=refit, begins="2026-12-10T19:30+01:00", slack_days=0.0, **days),
              PlanRow(card=lamp, begins="2026-12-01T19:30+01:00", slack_days=20.0, **days)),
    )  # fmt: skip
    keep_plan(shop, view, **ME)
    send(shop, MOTOR, kinds, **ME)
    lit = replace(MOTOR, sort="ordered", line="F104:replace", what="lamp", promised_on="2026-11-10")
    send(shop, lit, kinds, **ME)
    told = [(one.out.what, one.pressing, one.holds_up) for one in waiting(shop, on=ON).owed]
    assert told == [("spindle motor", True, ("Motor back",)), ("lamp", False, ("Lamp",))]
    ways = {row.part.line: row for row in buying(shop, kinds, on=ON).rows if row.machine == mill}
    assert ways["F104:replace"].order_by_on is None  # it is on its way
    row = ways["F15:local"]
    assert (row.needed_on, row.part.state) == ("2026-12-10", "sent_out")


def test_what_nobody_can_mean_is_refused_by_name(shop, lot, kinds):
    out = send(shop, MOTOR, kinds, **ME)
    with pytest.raises(Unusable) as refused:
        send(shop, replace(MOTOR, line="F15:locl", promised_on="2026-11-01"), kinds, **ME)
    assert {one.where for one in refused.value.problems} == {"line", "promised_on"}
    assert "F15:local" in str(refused.value.problems)
    with pytest.raises(Unusable, match="kept as it stands"):
        ring(shop, out.id, Rung(lot="", out="", rung_on="2026-11-01"), **ME)
    with pytest.raises(NotYet, match="not back from the winder"):
        judge(shop, out.id, True, **ME)
    with pytest.raises(Unknown) as unknown:
        back(shop, "spindle moter", BACK, kinds, **ME)
    assert unknown.value.remedy == "Did you mean spindle motor?"
    back(shop, out.id[:8], replace(BACK, how="called_off", deposit_back=True), kinds, **ME)
    with pytest.raises(NotYet, match="out no more"):
        ring(shop, out.id, Rung(lot="", out="", rung_on="2026-11-26", text="yes?"), **ME)
    assert one_out(shop, out.id, on=ON, kinds=kinds).state == "ended"
    assert part_of(shop, lot) == "to_buy"


def test_days_of_the_move_stand_on_the_chase_list(shop, lot, kinds):
    mill, lathe = lot.machine_id("mill"), lot.machine_id("lathe")
    came = Arrived(
        lot=lot.id, machine=mill, delivered_on="2026-11-23", damage="hidden", text="bent"
    )
    shop.add(came, **ME)
    shop.add(LaidUp(lot=lot.id, machine=lathe, since_on="2026-10-20"), **ME)
    due = waiting(shop, on=ON).due
    assert [(one.sort, one.machine_name, one.on, one.days_left) for one in due] == [
        ("round", "lathe", "2026-11-19", -7),
        ("damage", "mill", "2026-12-01", 5),
    ]


def test_a_quote_in_one_line_is_kept_and_taken(shop, lot, kinds):
    text = "F15:local the winder in Ghent, Tuesday, 600 GBP incl 3 weeks rate 1.17 on 20/11"
    spoken = read_quote(shop, "school", text, kinds, on=ON, machine="mill")
    kept = quote_said(shop, "school", spoken, kinds, machine="mill", **ME)
    assert quote_said(shop, "school", spoken, kinds, machine="mill", **ME).id == kept.id
    order = take(shop, kept.id, on=ON, kinds=kinds, **ME)
    assert take(shop, kept.id, on=ON, **ME).id == order.id
    assert (order.fact.promised_on, order.fact.amount) == ("2026-12-17", Decimal(600))
    (line,) = shop.current(CostLine, lot=lot.id)
    assert line.fact.reason == "quote of the winder in Ghent on 2026-11-24"
    assert (line.fact.amount, line.fact.days) == (Decimal("702.00"), 21.0)
    assert part_of(shop, lot) == "ordered"
    own = Quoted(lot="school", line="new jaws", vendor="two brothers", quoted_on="2026-11-24",
                 amount=Decimal(350))  # fmt: skip
    take(shop, quote(shop, own, kinds, **ME).id, on=ON, kinds=kinds, **ME)
    assert len(shop.current(CostLine)) == 1  # a line of one's own has no price in the tables


def test_a_quote_that_cannot_be_is_refused(shop, lot, kinds):
    bad = Quoted(lot="school", line="F99:out", vendor="x", quoted_on="2026-11-24", currency="EUX",
                 amount=Decimal(1), rate=Decimal(2))  # fmt: skip
    with pytest.raises(Unusable) as refused:
        quote(shop, bad, kinds, **ME)
    assert {one.where for one in refused.value.problems} == {"line", "currency", "rate_on"}
    spoken = read_quote(shop, "school", "F15:local 1.250", kinds, on=ON)
    with pytest.raises(Unusable) as said:
        quote_said(shop, "school", spoken, kinds, **ME)
    assert {one.where for one in said.value.problems} == {"amount", "vendor"}
    pounds = replace(bad, line="F15:local", currency="GBP", rate=None)
    kept = quote(shop, pounds, kinds, **ME)
    with pytest.raises(Unusable, match="no rate is known for GBP"):
        take(shop, kept.id, on=ON, kinds=kinds, **ME)
    assert outs_of(shop, lot.id) == ()


def test_the_newest_count_of_a_name_stands_on_the_shelf(shop):
    set_stock(shop, Stock(name="way oil", amount=5, unit="l", least=10), **ME)
    again = set_stock(shop, Stock(name="Way oil", amount=20, unit="l", least=10), **ME)
    assert set_stock(shop, again.fact, **ME).id == again.id
    assert [one.fact.amount for one in shop.current(Stock)] == [20]
