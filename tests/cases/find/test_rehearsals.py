"""The practice machine: one seed, one machine and one luck; every way of going about it ends."""

from __future__ import annotations

import numpy as np
import pytest
from tests.cases.find.machines import LETTERS, MILL, kinds

from retrue.base.refusals import Unknown
from retrue.cases.find.bill import Luck, knowing_everything
from retrue.cases.find.policies import POLICIES, Policy, by_advice, fixed_list, play
from retrue.cases.find.rehearsal import TROUBLE, Rehearsal, begin
from retrue.kinds.library import Three
from retrue.records.seeking import Trial


def hidden(seed: int, kind: str = MILL, **more: object) -> Rehearsal:
    return begin(kinds(), kind, seed=seed, **more)


@pytest.mark.parametrize("kind", LETTERS.values())
def test_one_seed_hides_one_machine(kind: str):
    one, again = hidden(11, kind), hidden(11, kind)
    assert (one.truth, one.behind, one.case) == (again.truth, again.behind, again.case)
    others = {(hidden(seed, kind).truth, hidden(seed, kind).behind) for seed in range(12, 16)}
    assert len(others) == 4


def test_what_is_behind_a_trouble_is_there_and_can_show_it():
    for seed in range(30):
        one = hidden(seed)
        symptom = one.kind.symptoms[one._symptom()]
        assert one.behind
        assert one.behind - {""} <= one.truth & symptom.links.keys()


def test_an_act_costs_the_same_and_helps_the_same_whenever_it_is_done():
    early, late = hidden(5), hidden(5)
    fault = sorted(early.truth & {f for f, ways in early.kind.fixes.items() if ways})[0]
    way = next(w.way for w in early.kind.fixes[fault] if w.way != "live_with")
    early.treat(fault, way)
    late.look("C31")
    late.try_again()
    late.treat(fault, way)
    first, last = early.bill.lines[0], late.bill.lines[-1]
    assert (first.money, first.hours, first.days) == (last.money, last.hours, last.days)
    assert (fault in early.present) == (fault in late.present)


def test_luck_is_drawn_within_its_range_and_follows_its_mean():
    drawn = np.array([Luck(seed).amount("money x", Three(2, 5, 14)) for seed in range(400)])
    assert drawn.min() > 0
    assert abs(drawn.mean() - 6.0) < 4 * drawn.std() / 20  # of the range's own rule: 36 / 6


def test_trying_again_tells_whether_anything_behind_it_is_left():
    one = hidden(5)
    assert not one.try_again()
    one.call()
    assert one.try_again()
    assert [h.event.passes for h in one.case.happened if isinstance(h.event, Trial)] == [
        False,
        True,
    ]
    assert one.case.happened[1].id == TROUBLE


def test_a_group_is_right_exactly_where_no_wanted_fault_of_it_is_left():
    one = hidden(5, goal="right")
    for id, group in one.kind.groups.items():
        mine = {f for f in one.wanted if one.kind.faults[f].subsystem in group.subsystems}
        assert one.group(id) == (not mine & one.present)
        one.call(id)
        assert one.group(id)
    assert one.met


def test_wrong_odds_hide_other_machines_on_the_whole_without_leaning_to_more_or_fewer_faults():
    right = np.array([len(hidden(seed).truth) for seed in range(40)])
    wrong = np.array([len(hidden(seed, wrong_priors=True).truth) for seed in range(40)])
    assert any(hidden(s).truth != hidden(s, wrong_priors=True).truth for s in range(3))
    assert 0.5 < wrong.mean() / right.mean() < 2.0  # a factor e up as often as down


@pytest.mark.parametrize("name", POLICIES)
def test_every_way_of_going_about_it_ends_and_pays_for_all_it_does(name: str):
    one = hidden(3, symptom="Y01")
    cost = play(one, kinds(), POLICIES[name], worlds=200)
    assert one.met
    assert cost == pytest.approx(sum(line.cost for line in one.bill.lines))
    assert all(line.cost >= 0 for line in one.bill.lines)


@pytest.mark.parametrize("policy", [by_advice, fixed_list])
def test_a_machine_is_brought_to_a_level(policy: Policy):
    one = hidden(13, LETTERS["K"], goal="just_running")  # two faults are in its way
    assert len(one.present & one.wanted) == 2
    play(one, kinds(), policy, worlds=60)
    assert one.met
    assert not one.present & one.wanted


def test_who_knew_everything_takes_the_cheapest_way_that_helps_this_time():
    one = hidden(3)
    ways = {f: tuple(w for w in one.kind.fixes[f] if w.way != "live_with") for f in ("F14", "F15")}
    for fault, mine in ways.items():
        helping = [w for w in mine if one.luck.share(f"cures {fault}:{w.way}") < w.cures]
        costs = [one.luck.way(w, one.purse, cured=True).cost for w in helping]
        least = knowing_everything([fault], ways, one.luck, one.purse)
        assert least == pytest.approx(min(costs, default=0.0))
    both = knowing_everything(["F14", "F15"], ways, one.luck, one.purse)
    parts = [knowing_everything([fault], ways, one.luck, one.purse) for fault in ways]
    assert both == pytest.approx(sum(parts))


def test_an_unknown_kind_symptom_look_or_way_is_refused_by_name():
    with pytest.raises(Unknown):
        hidden(1, "lathe of nowhere")
    with pytest.raises(Unknown):
        hidden(1, symptom="Y999")
    one = hidden(1)
    with pytest.raises(Unknown):
        one.look("C999")
    with pytest.raises(Unknown):
        one.treat("F14", "magic")
