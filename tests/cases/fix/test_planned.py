"""Plans of real evenings: one pair of hands, one hoist, what dries, what is found since."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import pytest
from tests.cases.fix.bare import bare, read
from tests.cases.priced import kinds

from retrue.cases.case import LotCase
from retrue.cases.fix.evenings import stints
from retrue.cases.fix.hands import Staff, staff
from retrue.cases.fix.plan_json import from_text, to_text
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.planned import Wish, plan_of_all
from retrue.kinds.fixing import CardRule
from retrue.records.fixing import Gear, Worker

NOW = datetime(2026, 11, 26, 12, tzinfo=UTC)
WISH = Wish(now=NOW, worlds=100, seconds=0.2)
FREE = staff((), (), 16.0)
EVENINGS = (("mon", "19:30", "22:00"), ("wed", "19:30", "22:00"), ("sat", "09:00", "13:00"))
ME = Worker(name="An", evenings=EVENINGS)
HELP = Worker(name="Jan", evenings=EVENINGS[-1:], may="anyone", helps_only=True)
HOIST = Gear(name="hoist", have="hired", day_costs=80)


def plan(case: LotCase, who: Staff = FREE, wish: Wish = WISH, of=None, before=None) -> PlanView:
    kept, _, _ = read(case, of)
    return plan_of_all([kept], of or kinds(), who, wish, before=before)


@cache
def both() -> PlanView:
    return plan(bare("mill F15", "mill F06", "lathe F16"), staff((ME, HELP), (HOIST,), 12.0))


@cache
def alone() -> PlanView:
    return plan(bare("mill F15", "mill F06", machines=("mill",)))


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


def rows(view: PlanView) -> dict:
    return {(row.card.machine_name, row.card.key): row for row in view.rows}


def test_two_machines_share_one_pair_of_hands_and_one_hoist():
    def pieces(rows):
        return sorted({(at(a), at(b)) for row in rows for a, b in row.pieces})

    mine = pieces(row for row in both().rows if "An" in row.people)
    assert {row.card.machine_name for row in both().rows} == {"mill", "lathe"}
    assert all(one[1] <= other[0] for one, other in itertools.pairwise(mine))
    lifts = pieces(row for row in both().rows if row.card.hoist)
    assert lifts
    assert all(one[1] <= other[0] for one, other in itertools.pairwise(lifts))
    assert {begin.weekday() for begin, _ in mine} == {0, 2, 5}


def test_what_is_not_for_one_alone_waits_for_the_day_of_the_helper():
    together = [row for row in both().rows if row.card.people > 1 or not row.card.alone]
    assert together
    for row in together:
        assert set(row.people) == {"An", "Jan"}
        assert all(at(begin).weekday() == at(end).weekday() == 5 for begin, end in row.pieces)
    for one in both().machines:
        assert one.of_time
        assert sum(share for _, share in one.late_by) <= 1
        assert "waiting for Jan, who comes on Saturdays" in [what for what, _ in one.late_by]


def test_lifts_share_days_of_hire_and_what_that_saves_is_told():
    lifts = [row for row in both().rows if row.card.hoist]
    told = [key for day in both().hire for key in day.cards]
    assert set(told) == {row.card.key for row in lifts}  # one broken off is there on both days
    assert len(both().hire) < len(lifts)
    assert sum(day.saved for day in both().hire) == 80 * (len(told) - len(both().hire))


def test_dates_are_a_range_and_say_what_they_hang_on():
    [one] = alone().machines
    assert one.early_on < one.even_on < one.promise_on
    words = [what for what, _ in one.late_by]
    assert any("winding" in what for what in words), words
    assert all(0.1 <= share <= 1 for _, share in one.late_by)
    assert one.stop_loss is not None
    assert one.day_worth > 0


def test_a_part_sent_out_is_waited_for():
    sent, back = (rows(alone())["mill", key] for key in ("send:F15:local", "F15:local"))
    assert at(back.begins) - at(sent.ends) >= timedelta(days=15)


def test_what_dries_is_waited_for():
    kind = kinds()["vertical_machining_centre"]
    wet = CardRule(of="job:J05", dries_days=6.0)
    rule = {**kinds(), kind.id: replace(kind, card_rules=(*kind.card_rules, wet))}
    view = rows(plan(bare(machines=("mill",)), of=rule))
    washed, test = view["mill", "J05"], view["mill", "J18"]
    assert at(test.begins) - at(washed.ends) >= timedelta(days=6)


def test_the_same_is_planned_the_same_and_read_back_bit_for_bit():
    again = plan(bare("mill F15", "mill F06", machines=("mill",)))
    assert to_text(again) == to_text(alone())
    assert to_text(from_text(to_text(alone()))) == to_text(alone())


def test_a_fault_found_at_teardown_breaks_the_promise_and_says_why():
    worse = plan(bare("mill F15", "mill F06", "mill F39", machines=("mill",)), before=alone())
    [broke] = worse.broke
    assert broke.days >= 1
    assert "bent" in broke.why
    assert broke.was_on == alone().machines[0].promise_on
    assert worse.machines[0].stop_loss.go_on != alone().machines[0].stop_loss.go_on


def test_with_deliveries_twice_as_long_it_says_by_how_much_the_promise_broke():
    slow = plan(bare("mill F15", "mill F06", machines=("mill",)),
                wish=replace(WISH, lead_times=2.0))  # fmt: skip
    [broke] = slow.broke
    assert broke.was_on == alone().machines[0].promise_on
    assert broke.now_on == slow.machines[0].promise_on
    assert broke.days >= 1
    assert "2 times" in broke.why


def test_done_cards_are_not_planned_again():
    case = bare("mill F06", machines=("mill",))
    kind = kinds()["vertical_machining_centre"]
    kept, _, _ = read(case)
    lines = {one.id for one in kind.as_found.values() if one.place}
    seen = replace(kept, machines=(replace(kept.machines[0], as_found=frozenset(lines)),))
    left = {row.card.key for row in plan_of_all([seen], kinds(), FREE, WISH).rows}
    assert "J01" not in left
    assert "J05" in left
    assert not [key for key in left if key.startswith("before:")]


def test_nobody_to_help_and_no_evening_long_enough_are_refused_with_what_helps():
    kind = kinds()["vertical_machining_centre"]
    long = CardRule(of="fault:F06", unbroken=True)
    rule = {**kinds(), kind.id: replace(kind, card_rules=(*kind.card_rules, long))}
    short = Worker(name="An", evenings=(("mon", "20:00", "22:00"), ("thu", "20:00", "22:00")))
    case = bare("mill F06", "mill F16", machines=("mill",))
    view = plan(case, staff((short,), (Gear(name="hoist"),), 4.0), of=rule)
    told = {one.card: one for one in view.refused}
    assert "2 people" in told["open:spindle_motor"].why
    assert "2.0 h" in told["F06:replace"].why
    assert "Saturday" in told["F06:replace"].remedy
    assert "wait for it" in told["open:spindle_motor"].why
    assert {"J01", "J05", "J10"} <= {row.card.key for row in view.rows}


def test_without_a_hoist_what_needs_one_is_refused_and_the_rest_is_planned():
    view = plan(bare(machines=("lathe",)), staff((ME, HELP), (replace(HOIST, have="none"),), 9.0))
    told = {one.card: one for one in view.refused}
    assert "no hoist" in told["open:chuck"].why
    assert "Gear" in told["open:chuck"].remedy
    assert "J01" in {row.card.key for row in view.rows}


def test_a_calendar_without_evenings_is_refused_and_says_so():
    away = Worker(name="An", evenings=EVENINGS, away=(("2026-11-01", "2036-11-01"),))
    view = plan(bare("mill F06", machines=("mill",)), staff((away,), (), 4.0))
    assert view.rows == ()
    assert view.refused
    assert all("Hands" in one.remedy for one in view.refused)


def test_assumed_hands_are_said_in_the_fine_print():
    assert any("Nobody said who works" in line for line in alone().fine)
    assert any(row.people == ("me", "somebody to help") for row in alone().rows)
    assert date.fromisoformat(alone().machines[0].even_on) > NOW.date()


@pytest.mark.parametrize("hours", [4.0, 12.0, 16.0, 20.0, 40.0])
def test_assumed_evenings_take_the_hours_of_a_week(hours: float):
    [me] = staff((), (), hours).hands
    assert sum(end - begin for _, begin, end in me.evenings) == pytest.approx(hours)
    assert all(0 <= begin < end <= 24 for _, begin, end in me.evenings)


def test_a_card_broken_off_is_on_the_week_only_when_it_is_worked_at():
    broken = [row for row in both().rows if len(row.pieces) > 1]
    assert broken
    for row in broken:
        told = stints(row, ())
        assert [(one.begins, one.ends) for one in told] == [(at(a), at(b)) for a, b in row.pieces]
        assert [one.number for one in told] == list(range(1, len(row.pieces) + 1))
