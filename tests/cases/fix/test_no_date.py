"""A date is told only where its way can be planned; a broken promise says what changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache

import numpy as np
import pytest
from tests.cases.fix.bare import bare, read
from tests.cases.priced import kinds

from retrue.cases.fix.bench_drawing import bench_drawing
from retrue.cases.fix.broke import broken
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.calendar_entries import calendar_entries
from retrue.cases.fix.cards_json import plan_row
from retrue.cases.fix.dates import range_of
from retrue.cases.fix.dates_drawing import dates_drawings
from retrue.cases.fix.hands import Staff, staff
from retrue.cases.fix.left_words import left_words
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.no_date import lost_of
from retrue.cases.fix.plan_json import made_of, to_text
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.planned import Wish, plan_of_all
from retrue.cases.fix.schedule import Bundle, lay, longer
from retrue.cases.fix.wall_clock import on_the_wall
from retrue.cases.fix.week_lines import week_of
from retrue.cases.fix.worlds import CardDraws
from retrue.cli.fix_card_lines import plan_lines
from retrue.kinds.judged import Three
from retrue.plan.jobs import LeftOut
from retrue.plan.promise import promises
from retrue.plan.solve import solve
from retrue.records.fixing import Chosen, Gear, Worker

NOW = datetime(2026, 11, 26, 12, tzinfo=UTC)
EVENINGS = (("mon", "19:30", "22:00"), ("wed", "19:30", "22:00"), ("sat", "09:00", "13:00"))
AN = Worker(name="An", evenings=EVENINGS)
JAN = Worker(name="Jan", evenings=EVENINGS[-1:], may="anyone", helps_only=True)
HOIST = Gear(name="hoist", have="hired")


def plan(who: Staff, machine: str, now: datetime = NOW, before: PlanView | None = None) -> PlanView:
    kept, _, _ = read(bare(machines=(machine,)))
    wish = Wish(now=now, worlds=60, seconds=0.1)
    return plan_of_all([kept], kinds(), who, wish, before=before)


@cache
def whole() -> PlanView:
    return plan(staff((), (), 14.0), "lathe")


@cache
def with_hoist() -> PlanView:
    return plan(staff((AN, JAN), (HOIST,), 9.0), "lathe")


@cache
def without_hoist() -> PlanView:
    return plan(staff((AN, JAN), (replace(HOIST, have="none"),), 9.0), "lathe")


def test_without_a_hoist_no_door_tells_a_date_and_each_says_why():
    view = without_hoist()
    [one] = view.machines
    why = "no date before there is a hoist"
    assert [one.early_on, one.even_on, one.promise_on, one.expected_on] == [None] * 4
    assert one.why == why
    assert (one.late_by, one.order_now) == ((), ())
    [told] = plan_row(view)["machines"]
    assert told["promise_on"] is None
    assert told["why"]["promise_on"] == told["why"]["even_on"] == why
    assert not [entry for entry in calendar_entries(view) if entry.key.startswith("promise")]
    assert dates_drawings(view) == ()
    [drawn] = bench_drawing(view).machines
    assert (drawn.promise_on, drawn.why) == (None, why)
    [week] = week_of(view, NOW.date(), kinds()).machines
    assert (week.promise_on, week.why) == (None, why)
    lines = list(plan_lines(view))
    assert lines[0] == f"lathe, first good part: {why}"
    assert not [line for line in lines if "most likely" in line]


def test_without_anybody_to_help_there_is_no_date_either():
    [one] = plan(staff((AN,), (replace(HOIST, have="owned"),), 9.0), "lathe").machines
    assert one.promise_on is None
    assert "somebody comes to help" in one.why


def test_one_evening_in_years_gives_no_date_and_no_error():
    gone = replace(AN, evenings=EVENINGS[:1], away=(("2026-12-01", "2040-01-01"),))
    view = plan(staff((gone,), (), 4.0), "lathe")
    [one] = view.machines
    assert one.promise_on is None
    assert "three years" in one.why or "comes to help" in one.why
    endless = [each for each in view.refused if "no end" in each.why]
    assert len(endless) <= 1
    assert not endless or " more" in endless[0].title


@pytest.mark.parametrize(
    ("who", "why"),
    [
        (staff((AN, JAN), (replace(HOIST, have="none"),), 9.0), "gear was changed"),
        (staff((replace(AN, evenings=EVENINGS[:1]), JAN), (HOIST,), 9.0), "evenings were changed"),
    ],
)
def test_a_promise_broken_by_other_hands_or_gear_says_so(who: Staff, why: str):
    before = replace(whole(), made_of=with_hoist().made_of)
    [broke] = plan(who, "lathe", before=before).broke
    assert why in broke.why
    assert ("evenings" in broke.why) == ("evenings" in why)
    assert "less was done" not in broke.why


def test_a_promise_broken_by_a_choice_says_so_and_time_is_blamed_only_where_nothing_changed():
    [lathe] = whole().machines
    later = replace(lathe, promise_on="2035-01-01")
    none = Cards(lot="l", lot_name="s", machine=lathe.machine, machine_name="lathe", kind="k",
                 aim="keep", level="right", cards=(), visits=(), hours=0.0)  # fmt: skip
    cards = {lathe.machine: none}
    now = dict(whole().made_of)
    [same] = broken((later,), cards, whole(), now.items())
    assert same.why == "less was done than planned until today"
    [broke] = broken((later,), cards, whole(), (now | {"chosen": "else"}).items())
    assert broke.why == "something else was chosen since"
    kept, _, _ = read(bare(machines=("lathe",)))
    way = Chosen(lot="school", machine="lathe", sort="way", what="F36", way="local")
    chosen = replace(kept, case=replace(kept.case, chosen=(way,)))
    was, is_now = (dict(made_of((one,), staff((), (), 14.0))) for one in (kept, chosen))
    assert {name for name in was if was[name] != is_now[name]} == {"chosen"}


def test_the_seconds_of_the_clock_change_no_byte():
    later = plan(staff((), (), 14.0), "lathe", NOW.replace(second=41, microsecond=7))
    assert to_text(later) == to_text(whole())


def test_bad_luck_is_never_sooner_than_planned_and_at_hours_somebody_works():
    [me] = staff((), (), 14.0).hands
    spans = {weekday: (begins, ends) for weekday, begins, ends in me.evenings}
    for row in whole().rows:
        for plain, late in ((row.begins, row.late_begins), (row.ends, row.late_ends)):
            assert on_the_wall(late) >= on_the_wall(plain), row.card.key
            at = on_the_wall(late)
            if row.people:
                begins, ends = spans[at.weekday()]
                assert begins - 0.05 <= at.hour + at.minute / 60 <= ends + 0.05, row.card.key


def test_some_cards_move_the_date_and_others_may_wait():
    waits = {row.card.key: row.slack_days for row in whole().rows}
    assert waits["J20"] == 0
    assert any(days >= 7 for days in waits.values())
    assert sum(days < 1 for days in waits.values()) < len(waits) / 2


def test_what_is_read_before_begins_where_its_opening_ends():
    rows = {row.card.key: row for row in whole().rows}
    pairs = [(rows[f"open:{row.card.place}"], row) for row in rows.values()
             if row.card.sort == "before"]  # fmt: skip
    assert pairs
    for opened, row in pairs:
        assert opened.ends == row.begins
        assert on_the_wall(opened.begins) < on_the_wall(row.begins) < on_the_wall(row.ends)


def card(key: str, machine: str = "m") -> Card:
    return Card(key=key, lot="l", machine=machine, machine_name=machine, sort="work", title=key,
                place="", place_name="", steps=(), hours=Three(1.0, 1.0, 1.0))  # fmt: skip


def test_a_part_that_nobody_supplies_takes_the_dates_of_the_ways_in_which_it_is_needed():
    """Needed in three of ten ways: with luck and as likely as not there is a date, no promise."""
    none = Part(line="b", what="b", money=Three(1.0, 1.0, 1.0), days=1.0, state="no_vendor")
    every = (card("a"), replace(card("b"), parts=(none,), chance=0.3))
    cards = Cards(lot="l", lot_name="s", machine="m", machine_name="m", kind="k", aim="keep",
                  level="right", cards=every, visits=(), hours=2.0)  # fmt: skip
    needed = np.arange(10) < 3
    draws = CardDraws(worlds=10, hours={"a": np.ones(10), "b": np.where(needed, 1.0, 0.0)}, days={},
                      run_in_days=np.zeros(10))  # fmt: skip
    bundle = Bundle(cards=cards, draws=draws, day_worth=1.0)
    laid = lay([bundle], staff((), (), 8.0), NOW)
    lost = lost_of(bundle, laid, ())
    assert (lost.runs == needed).all()
    assert lost.why == "nobody supplies what may be needed: b"
    [promise] = promises(laid.schedule, solve(laid.schedule, seconds=0.1), laid.draws)
    told = range_of(promise, NOW, lost.runs)
    assert told.early_on == told.even_on == told.expected_on
    assert told.promise_on is None
    sure = replace(bundle, cards=replace(cards, cards=(card("a"), replace(every[1], chance=1.0))))
    assert lost_of(sure, laid, ()).why == "no date before somebody supplies it: b"


def test_longer_deliveries_move_what_is_on_its_way_and_not_what_was_put_off():
    off = replace(card("off"), state="not_now", until_on="2026-12-20")
    every = (off, card("part"), replace(off, key="both"))
    cards = Cards(lot="l", lot_name="s", machine="m", machine_name="m", kind="k", aim="keep",
                  level="right", cards=every, visits=(), hours=2.0)  # fmt: skip
    come = {"part": np.full(2, 10.0), "both": np.array([10.0, 20.0])}
    draws = CardDraws(worlds=2, hours={one.key: np.ones(2) for one in every}, days={},
                      not_before=come, run_in_days=np.zeros(2))  # fmt: skip
    laid = lay([Bundle(cards=cards, draws=draws, day_worth=1.0)], staff((), (), 8.0), NOW)
    days = {key: row.tolist() for key, row in longer(laid, 2.0).not_before.items()}
    assert days == {"m/off": [24, 24], "m/part": [20, 20], "m/both": [24, 40]}


def test_refusals_of_one_reason_are_one_line_and_count_what_waits():
    cards = {str(n): (card(str(n)),) for n in range(9)}
    [endless] = left_words([LeftOut(key=key, why="no_end") for key in cards], cards)
    assert endless.title == "0; 1; 2 and 6 more (m)"
    lost = LeftOut(key="0", why="no_day", about={"thing": "hoist", "held": "yes"})
    waits = [LeftOut(key=str(n), why="waits_for_left_out", about={"task": "0"}) for n in (1, 2)]
    [held] = left_words([lost, waits[0]], cards)
    assert held.why.endswith("closed again on one. 1 waits for it")
    assert "second day of the hoist" in held.remedy
    assert left_words([lost, *waits], cards)[0].why.endswith("1; 2 wait for it")
    long = replace(lost, about={"thing": "hoist", "hours": "4", "longest_hours": "3"})
    assert "the longest day of it has 3.0 h" in left_words([long], cards)[0].why


def test_what_the_first_good_part_does_not_need_is_told_where_it_comes_late():
    assert date.fromisoformat(whole().machines[0].even_on) > NOW.date()
    assert not [line for line in whole().fine if "holds up no date" in line]
