"""Tonight: what fits the hours, what is not for one alone, what the date hangs on."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.cases.fix.bare import bare, need_of

from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.left import hours_left, tails
from retrue.cases.fix.lines import Card, Cards, Tonight, Wait
from retrue.cases.fix.tonight import Here, tonight_of
from retrue.cases.wake.progress import Progress
from retrue.kinds.judged import Three


def here(*faults: str, machine: str = "mill", **states: str) -> Here:
    """One machine, some of its cards as they are told (``_`` for all others)."""
    kept, need = need_of(bare(*faults), machine)
    made = cards_of(kept, need)
    told = {key.replace("__", ":"): state for key, state in states.items()}
    rest = told.pop("_", None)
    cards = tuple(replace(one, state=told.get(one.key, rest or one.state)) for one in made.cards)
    return Here(kept=kept, machine=kept.machine(machine), cards=replace(made, cards=cards))


def ask(*machines: Here, hours: float = 2.0, alone: bool = True, hoist: bool = False) -> Tonight:
    return tonight_of(machines, hours=hours, alone=alone, hoist=hoist)


def keys(told: Tonight) -> list[str]:
    return [pick.card.key for pick in told.picks]


def changed(at: Here, key: str, **fields: object) -> Here:
    cards = tuple(replace(one, **fields) if one.key == key else one for one in at.cards.cards)
    return replace(at, cards=replace(at.cards, cards=cards))


def test_power_is_never_offered_to_somebody_alone_and_live_work_to_nobody():
    ready = here(_="done", J20="open")
    assert keys(ask(ready)) == []
    assert "not alone" in ask(ready).nothing
    assert keys(ask(ready, alone=False)) == ["J20"]
    stages = {id: Progress(stage=one, signed=one.stage == "P0")
              for id, one in ready.machine.kind.stages.items()}  # fmt: skip
    live = replace(ready, machine=replace(ready.machine, stages=stages))
    assert keys(ask(live, alone=False)) == []
    assert "licensed electrician" in ask(live, alone=False).nothing


@pytest.mark.parametrize("key", ["J19", "J21", "J22", "J25", "J26"])
def test_nothing_under_power_is_for_one_alone(key: str):
    ready = here(_="done", **{key: "open"})
    assert keys(ask(ready)) == []
    assert keys(ask(ready, alone=False)) == [key]


def test_what_an_electrician_does_is_offered_to_nobody():
    ready = changed(here("mill F06", _="done"), "F06:replace", state="open", who="electrician")
    assert "electrician" in ask(ready, alone=False).nothing


def test_short_ones_fill_the_hours_and_a_long_one_takes_what_is_left():
    ready = here(_="done", J05="open", open__lube_unit="open", open__tank="open")
    told = ask(ready, hours=6.0)
    assert sum(pick.hours for pick in told.picks) <= 6.0
    assert {"J05", "open:lube_unit", "open:tank"} == set(keys(told))
    assert all(pick.whole for pick in told.picks)
    evening = ask(ready, hours=2.0)
    assert evening.picks[0].card.key == "J05"
    assert (evening.picks[0].whole, evening.picks[0].hours) == (False, 2.0)


def test_what_must_be_done_in_one_go_waits_for_a_longer_evening():
    ready = changed(here(_="done", J05="open"), "J05", unbroken=True)
    assert "in one go" in ask(ready, hours=2.0).not_tonight[0].why
    assert keys(ask(ready, hours=4.0)) == ["J05"]


def test_begun_goes_first_then_the_plan_then_the_longest_way_to_the_end():
    ready = here("mill F15", _="done", J10="open", send__F15__local="open", F15__local="not_yet")
    assert keys(ask(ready, hours=9.0)) == ["send:F15:local", "J10"]
    begun = changed(ready, "J10", state="begun")
    assert keys(ask(begun, hours=9.0)) == ["J10", "send:F15:local"]
    planned = replace(ready, order={"J10": 0, "send:F15:local": 1})
    assert keys(ask(planned, hours=9.0)) == ["J10", "send:F15:local"]
    unknown = replace(ready, order={"J10": 3})
    assert keys(ask(unknown, hours=9.0)) == ["send:F15:local", "J10"]
    assert "sooner" in ask(ready, hours=9.0).picks[0].why


def test_of_several_machines_all_are_asked_and_at_most_five_are_named_as_not_tonight():
    told = ask(here(), here(machine="lathe"), hours=4.0)
    assert {pick.card.machine_name for pick in told.picks} == {"mill", "lathe"}
    assert len(told.not_tonight) <= 5


def test_with_all_done_it_says_so_and_with_parts_open_what_to_order():
    assert ask(here(_="done")).nothing == "Nothing is open: every card is done."
    ready = here("mill F06", _="done", F06__replace="waiting")
    assert "Order first: " in ask(ready).nothing


def card(key: str, hours: float, *waits: tuple[str, float]) -> Card:
    return Card(key=key, lot="l", machine="m", machine_name="mill", sort="work", title=key,
                place="", place_name="", steps=(), hours=Three(hours, hours, hours),
                waits=tuple(Wait(card=one, days=days) for one, days in waits))  # fmt: skip


def test_the_way_to_the_end_counts_work_and_waits():
    chain = (card("send", 2.0), card("other", 6.0), card("refit", 2.0, ("send", 15.0)))
    assert tails(chain) == {"send": 17.0, "other": 3.0, "refit": 1.0}


@pytest.mark.parametrize(
    ("spent", "left", "expected"),
    [(None, None, 4.0), (1.0, None, 3.0), (9.0, None, 1.0), (9.0, 2.5, 2.5)],
)
def test_hours_left_are_as_told_else_less_what_was_spent(spent, left, expected):
    one = replace(card("a", 4.0), spent_hours=spent, left_hours=left)
    assert hours_left(one) == expected
    assert hours_left(replace(one, state="done")) == 0.0


def test_an_empty_house_has_nothing_open():
    none = Cards(lot="l", lot_name="s", machine="m", machine_name="mill", kind="k", aim="keep",
                 level="right", cards=(), visits=(), hours=0.0)  # fmt: skip
    empty = replace(here(), cards=none)
    assert ask(empty).picks == ()


def test_a_list_that_is_half_kept_and_a_ladder_half_signed_are_begun():
    kept, need = need_of(bare(), "mill")
    lines = frozenset(list(need.kind.as_found)[:10])
    stages = {id: Progress(stage=one, signed=one.stage == "P0")
              for id, one in need.kind.stages.items()}  # fmt: skip
    mill = replace(kept.machines[0], as_found=lines, stages=stages)
    made = {one.key: one for one in cards_of(kept, replace(need, machine=mill)).cards}
    assert (made["J01"].state, made["J20"].state) == ("begun", "begun")
    assert made["J01"].state_why.startswith("10 of ")
    assert made["J20"].state_why == "1 of 11 stages are signed"


def evening(*cards: Card, **asked: object) -> Tonight:
    """An evening with these cards alone, in this order of a plan."""
    at = here()
    order = {one.key: place for place, one in enumerate(cards)}
    mine = replace(at.cards, cards=tuple(replace(one, machine="mill") for one in cards))
    return ask(replace(at, cards=mine, order=order), **asked)


def test_a_long_card_says_how_much_of_it_and_a_begun_one_goes_on():
    told = evening(card("long", 9.5))
    assert (told.picks[0].whole, told.picks[0].part) == (False, "begin it: 2.0 of 9.5 h")
    begun = evening(replace(card("long", 9.5), state="begun"))
    assert begun.picks[0].part == "go on with it: 2.0 of 9.5 h"
    assert evening(card("one", 1.9)).picks[0].part == ""


def test_what_fits_after_a_card_that_nearly_fills_the_evening_is_offered_too():
    told = evening(card("most", 1.9), card("long", 5.0), card("minutes", 0.08))
    assert keys(told) == ["most", "minutes"]


def test_minutes_go_first_only_where_something_follows_from_them_the_same_evening():
    idle, work = card("minutes", 0.05), card("long", 9.5)
    assert keys(evening(idle, work)) == ["long"]
    then = replace(card("then", 1.0, ("minutes", 0.0)), state="not_yet")
    told = evening(idle, work, then)
    assert keys(told) == ["minutes", "then", "long"]
    assert told.picks[1].why == "it can follow at once: minutes"
    dries = replace(card("then", 1.0, ("minutes", 0.5)), state="not_yet")
    assert keys(evening(idle, work, dries)) == ["long"]


def test_what_follows_is_held_to_the_same_rules_and_needs_all_that_comes_before():
    first, other = card("first", 0.1), replace(card("other", 5.0), state="waiting")
    lift = replace(card("lift", 0.5, ("first", 0.0)), state="not_yet", hoist=True, alone=False)
    both = replace(card("both", 0.5, ("first", 0.0), ("other", 0.0)), state="not_yet")
    assert keys(evening(first, other, lift, both)) == ["first"]
    assert keys(evening(first, other, lift, both, alone=False, hoist=True)) == ["first", "lift"]


def test_nobody_is_offered_a_lift_alone_even_with_the_hoist_here():
    assert keys(evening(replace(card("lift", 1.0), hoist=True, alone=False), hoist=True)) == []


def test_that_the_date_hangs_on_every_card_is_said_of_none():
    both = evening(card("a", 0.5), card("b", 0.5))
    assert not [pick for pick in both.picks if "date hangs" in pick.why]
    long = card("long", 0.5), card("short", 0.5), card("after", 90.0, ("long", 0.0))
    told = {pick.card.key: pick.why for pick in evening(*long[:2], replace(
        long[2], state="not_yet")).picks}  # fmt: skip
    assert "date hangs" in told["long"]
    assert "date hangs" not in told["short"]


def test_no_time_and_nothing_worked_for_are_said_as_they_are():
    assert evening(card("a", 0.5), hours=0.0).nothing == "No time tonight."
    none = replace(here(), cards=replace(here().cards, cards=()))
    for machines in ((), (none,)):
        assert ask(*machines).nothing.startswith("Nothing is worked for")


def door(key: str, place: str, *waits: tuple[str, float]) -> Card:
    return replace(card(key, 0.4, *waits), sort="open", place=place)


def test_one_place_is_worked_at_before_the_next_is_opened():
    first, second = door("open:a", "a"), door("open:b", "b")
    within = replace(card("wash", 1.0, ("open:a", 0.0)), place="a", state="not_yet")
    assert keys(evening(first, second, within)) == ["open:a", "wash", "open:b"]
    long = replace(within, hours=Three(5.0, 5.0, 5.0))
    told = evening(first, second, long)
    assert keys(told) == ["open:a", "wash"]
    assert (told.picks[1].whole, round(told.picks[1].hours, 2)) == (False, 1.6)


def test_first_power_is_not_begun_with_an_evenings_leftovers():
    work, power = card("work", 1.0), replace(card("power", 9.0), least_hours=2.0)
    assert keys(evening(work, power)) == ["work"]
    assert keys(evening(work, power, hours=3.5)) == ["work", "power"]
    assert keys(evening(power)) == ["power"]
    told = evening(power, hours=1.5)
    assert "at least 2" in told.nothing
    ready = here(_="done", J20="open")
    [stage] = [one for one in ready.cards.cards if one.job == "J20"]
    assert stage.least_hours == 2.0


def test_nothing_is_closed_the_same_evening_on_the_strength_of_a_look_not_answered():
    look = card("look:a", 0.1)
    shut = replace(card("shut", 0.5, ("look:a", 0.0)), state="not_yet")
    assert keys(evening(look, shut)) == ["look:a"]


@pytest.mark.parametrize(("machines", "said"), [((), "Nothing is worked for"),
                                                (("mill",), "every card is done")])  # fmt: skip
def test_nothing_worked_for_and_all_done_are_two_answers(machines: tuple[str, ...], said: str):
    told = ask(*(here(_="done", machine=one) for one in machines))
    assert told.picks == ()
    assert said in told.nothing
