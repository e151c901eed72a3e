"""What a date hangs on, what ordering a part today is worth, which lifts go on one day."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import numpy as np
import pytest
from tests.cases.fix.bare import bare, read

from retrue.cases.fix.broke import broken
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.dates import first_runs, order_now, range_of
from retrue.cases.fix.hands import staff
from retrue.cases.fix.hang_words import hangs_on
from retrue.cases.fix.hire import hired_again, put_together
from retrue.cases.fix.lines import Card, Cards, Wait
from retrue.cases.fix.needed import needed
from retrue.cases.fix.plan_lines import MachineDates, PlanView
from retrue.cases.fix.schedule import Bundle, Laid, lay
from retrue.cases.fix.worlds import CardDraws, card_draws, drawn_stage
from retrue.kinds.judged import Three
from retrue.plan.jobs import After, Hands, Order, Schedule, Shared, Task
from retrue.plan.player import Player
from retrue.plan.promise import longer_leads, promises
from retrue.plan.solve import solve
from retrue.records.facts import CostLine
from retrue.records.fixing import Chosen

NOW = datetime(2026, 11, 26, 12, tzinfo=UTC)
UNKNOWN = ("F36",)
ME = Hands(name="me", evenings=tuple((day, 19.0, 22.0) for day in range(5)))


@pytest.fixture(scope="module")
def shift() -> tuple[Bundle, Laid, Order]:
    """A mill of which only one thing is not known: whether its screw is worn."""
    case = bare("mill F06", machines=("mill",))
    case = replace(case, findings=tuple(f for f in case.findings if f.finding.fault not in UNKNOWN))
    slow = CostLine(lot="school", machine="mill", line="F36:second_hand", amount=Decimal(300),
                    days=300.0)  # fmt: skip
    way = Chosen(lot="school", machine="mill", sort="way", what="F36", way="second_hand")
    kept, belief, stage = read(replace(case, cost_lines=(slow,), chosen=(way,)))
    need = needed(kept, kept.machine("mill"), belief, stage)
    cards = cards_of(kept, need)
    draws = card_draws(drawn_stage(kept, belief, 7, 400), need, cards.cards, NOW.date())
    bundle = Bundle(cards=cards, draws=draws, day_worth=300.0)
    laid = lay([bundle], staff((), (), 3.0), NOW)
    return bundle, laid, solve(laid.schedule, seconds=0.1)


def test_a_part_that_is_likely_and_slow_is_worth_ordering_today(shift):
    bundle, laid, order = shift
    told = order_now(bundle, laid, Player(laid.schedule, order))
    [screw] = [one for one in told if one.line.startswith("F36")]
    assert screw.days_earlier >= 1
    assert 0 < screw.worth < 300 * screw.days_earlier
    assert 0.05 < screw.chance < 0.5
    cheap = replace(bundle, day_worth=1.0)
    assert order_now(cheap, laid, Player(laid.schedule, order)) == ()


def test_ordering_today_is_worked_out_with_longer_deliveries_and_for_what_waits_no_more(shift):
    """What was taken out already waits for its part alone: it has no days after a place."""
    bundle, laid, order = shift
    player = Player(laid.schedule, order)
    twice = replace(laid, draws=longer_leads(laid.schedule, laid.draws, 2.0))
    once, slow = (order_now(bundle, one, player, lead_times=times)
                  for one, times in ((laid, 1.0), (twice, 2.0)))  # fmt: skip
    gained = {one.line: one.days_earlier for one in once}
    [screw] = [one for one in slow if one.line.startswith("F36")]
    # until its place would stand open, and no more, however long it takes to come
    assert screw.days_earlier == pytest.approx(gained[screw.line], abs=0.5)
    bare_of = replace(bundle, draws=replace(bundle.draws, days={}))
    assert order_now(bare_of, twice, player, lead_times=2.0) == ()


def test_what_the_date_hangs_on_names_parts_and_places_in_words(shift):
    _, laid, order = shift
    [promise] = promises(laid.schedule, order, laid.draws)
    hangs = hangs_on(promise, laid, "mill", laid.draws)
    assert all(0.1 <= share <= 1 for _, share in hangs)
    assert hangs[0][0].startswith("your own hours: about ")
    assert [words for words, _ in hangs if words.startswith("waiting for: ")]
    assert not [words for words, _ in hangs[1:] if "own hours" in words or "own work" in words]
    assert not [words for words, _ in hangs if "/" in words.split(":")[0]]
    dates = range_of(promise, NOW)
    assert dates.early_on <= dates.even_on <= dates.promise_on


def test_the_first_runs_are_the_same_runs(shift):
    _, laid, _ = shift
    few = first_runs(laid.draws, 50)
    assert few.worlds == 50
    key = next(iter(few.hours))
    np.testing.assert_array_equal(few.hours[key], laid.draws.hours[key][:50])


def lifts(day_worth: float) -> Schedule:
    """Two lifts with an evening's work between them that either may wait for."""
    hoist = (("hoist", 1),)
    tasks = (
        Task(key="m/a", machine="m", hours=1.0, needs=hoist),
        Task(key="m/work", machine="m", hours=3.0),
        Task(key="m/b", machine="m", hours=1.0, needs=hoist),
        Task(key="m/last", machine="m", hours=1.0,
             after=(After(task="m/a"), After(task="m/b"), After(task="m/work"))),
    )  # fmt: skip
    return Schedule(start=NOW, tasks=tasks, hands=(ME,), shared=(Shared(name="hoist"),),
                    day_worth={"m": day_worth})  # fmt: skip


def test_lifts_are_put_on_one_day_where_that_saves_a_day_of_hire():
    schedule = lifts(30.0)
    apart = Order(placed=tuple(
        replace(one, begins=one.begins) for one in solve(schedule, seconds=0.1).placed
    ))  # fmt: skip
    keys = {one.key: one for one in apart.placed}
    listed = Order(placed=tuple(keys[f"m/{name}"] for name in ("a", "work", "b", "last")))
    together = put_together(schedule, listed, "hoist", 80.0)
    days = {one.begins.date() for one in together.placed if one.key in ("m/a", "m/b")}
    assert len(days) == 1


def test_named_days_of_hire_stay_and_after_them_it_can_be_hired_again():
    named = replace(lifts(30.0), shared=(Shared(name="hoist", days=(date(2026, 11, 27),)),))
    order = solve(named, seconds=0.1)
    assert put_together(named, order, "hoist", 80.0) is order
    [hoist] = hired_again(named).shared
    assert hoist.days[:2] == (date(2026, 11, 27), date(2026, 11, 28))


def test_a_promise_that_is_kept_is_not_told_as_broken():
    one = MachineDates(machine="m", machine_name="mill", early_on="2027-01-01",
                       even_on="2027-01-05", promise_on="2027-01-10", expected_on="2027-01-05",
                       late_by=(), order_now=(), stop_loss=None, hours_left=1.0,
                       day_worth=1.0)  # fmt: skip
    before = PlanView(at="", lots=(), machines=(one,), rows=(), hire=(), refused=(), hands=(),
                      proved=True, by_rule=False, gap=0.0, seed=7, worlds=1,
                      currency="EUR")  # fmt: skip
    assert broken((one,), {}, before) == ()
    sooner = replace(one, promise_on="2027-01-02")
    assert broken((sooner,), {}, before) == ()


def test_what_dries_what_is_put_off_and_the_electrician_are_named_and_own_hours_are_one_line():
    def card(key: str, hours: float, **more: object) -> Card:
        return Card(key=key, lot="l", machine="m", machine_name="mill", sort="work", title=key,
                    place="cabinet", place_name="Cabinet", steps=(),
                    hours=Three(hours, hours, hours), **more)  # fmt: skip

    paint = card("paint", 2.0, dries_days=9.0)
    after = card("after", 2.0, waits=(Wait(card="paint", days=9.0),))
    off = card("off", 2.0, state="not_now", until_on="2026-12-20", waits=(Wait(card="after"),))
    his = card("his", 2.0, who="electrician", licensed=True, waits=(Wait(card="off"),))
    every = (paint, after, off, his)
    cards = Cards(lot="l", lot_name="s", machine="m", machine_name="mill", kind="k", aim="keep",
                  level="right", cards=every, visits=(), hours=8.0)  # fmt: skip
    draws = CardDraws(
        worlds=2,
        hours={one.key: np.full(2, 2.0) for one in every},
        days={("after", "paint"): np.full(2, 9.0)},
        run_in_days=np.zeros(2),
    )
    bundle = Bundle(cards=cards, draws=draws, day_worth=10.0, call_out_days=40.0)
    laid = lay([bundle], staff((), (), 12.0), NOW)
    [promise] = promises(laid.schedule, solve(laid.schedule, seconds=0.1), laid.draws)
    told = [words for words, _ in hangs_on(promise, laid, "m", laid.draws)]
    assert told == [
        "your own hours: about 8 (most: Cabinet, 8 h)",
        "waiting for a licensed electrician: his",
    ]
    soon = lay([replace(bundle, call_out_days=1.0)], staff((), (), 12.0), NOW)
    [promise] = promises(soon.schedule, solve(soon.schedule, seconds=0.1), soon.draws)
    told = [words for words, _ in hangs_on(promise, soon, "m", soon.draws)]
    assert told[1:] == ["put off until 2026-12-20: off"]
    dry = replace(
        bundle,
        call_out_days=1.0,
        cards=replace(cards, cards=(paint, after, replace(off, state="open"), his)),
    )
    laid = lay([dry], staff((), (), 12.0), NOW)
    [promise] = promises(laid.schedule, solve(laid.schedule, seconds=0.1), laid.draws)
    told = [words for words, _ in hangs_on(promise, laid, "m", laid.draws)]
    assert told[1:] == ["what must dry or set: paint"]
