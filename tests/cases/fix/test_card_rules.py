"""What no card may hold: a lift for one alone, a live step, the same step twice, what is idle."""

from __future__ import annotations

from datetime import date
from functools import cache

import numpy as np
import pytest
from tests.cases.fix.bare import bare, by_key, cards, need_of
from tests.cases.priced import kinds, lot

from retrue.base.refusals import NotYet
from retrue.cases.find.dead import is_dead
from retrue.cases.fix.belief import belief_of
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.licensed import is_his, licensed_words
from retrue.cases.fix.lines import Cards
from retrue.cases.fix.marks import refuse_done
from retrue.cases.fix.needed import LIKELY
from retrue.cases.fix.rules import manner_of
from retrue.cases.fix.visit_lines import after_power
from retrue.cases.fix.worlds import card_draws, drawn_stage

MACHINES = ("mill", "lathe")


@cache
def made_of(machine: str) -> Cards:
    return cards(lot(), machine)


@pytest.mark.parametrize("machine", MACHINES)
def test_nobody_lifts_alone(machine: str):
    lifts = [one for one in made_of(machine).cards if one.hoist]
    assert lifts
    assert not [one.key for one in lifts if one.alone]
    assert not [one.key for one in lifts if not {"X20", "X32"} <= set(one.cautions)]


def test_a_tailstock_is_not_lifted_off_alone_and_its_clamp_may_be_cleaned_alone():
    lathe = kinds()["turning_centre"]
    lift = manner_of(lathe, sort="open", place="tailstock")
    assert (lift.hoist, lift.alone) == (True, False)
    assert manner_of(lathe, sort="work", place="tailstock").alone


@pytest.mark.parametrize("machine", MACHINES)
def test_no_card_has_a_step_that_is_left_to_a_licensed_electrician(machine: str):
    made = made_of(machine)
    kind = kinds()[made.kind]
    his = [one for one in kind.checks.values() if is_his(one)]
    texts = [step.text for card in made.cards for step in card.steps]
    assert his
    assert not [one.id for one in his for text in texts if one.text in text]
    left = {look.id for card in made.cards for look in card.left_to}
    assert {"C75", "C81", "C83"} <= left
    assert all("X05" in card.cautions for card in made.cards if card.left_to)


def test_a_card_that_is_left_says_who_and_what_comes_back_and_first_power_where_its_sheets_are():
    made = by_key(made_of("mill"))
    supply = made["F81:repair"]
    assert [one.id for one in supply.left_to] == ["C75"]
    assert supply.left_to[0].hands_back == ("Control volts, difference from plate under load (%)",)
    assert "licensed electrician" in licensed_words(supply)[0]
    all_his = made["F109:adjust"]
    assert (all_his.who, all_his.licensed, all_his.steps) == ("electrician", True, ())
    power = made["J20"]
    assert (power.under_power, power.steps, power.left_to) == (True, (), ())
    assert {"X05", "X32"} <= set(power.cautions)
    assert "stage by stage" in licensed_words(power)[0]
    assert licensed_words(made["J05"]) == ()


def test_a_look_that_needs_the_machine_to_run_is_not_asked_for_before():
    made = by_key(made_of("mill"))
    [look] = [step.text for step in made["F22:repair"].steps if "Ten stops" in step.text]
    assert look.startswith("Look again, once it may run")


@pytest.mark.parametrize("machine", MACHINES)
def test_what_is_read_before_it_comes_apart_is_said_once_a_place(machine: str):
    said = [(card.place, step.text) for card in made_of(machine).cards for step in card.steps
            if step.sort == "before"]  # fmt: skip
    assert sorted(set(said)) == sorted(said)
    wires = [card.key for card in made_of(machine).cards for step in card.steps
             if "every wire and label" in step.text]  # fmt: skip
    assert wires == ["before:cabinet"]


@pytest.mark.parametrize("machine", MACHINES)
def test_what_to_look_for_while_it_is_open_is_said_at_the_opening(machine: str):
    made = by_key(made_of(machine))
    looks = [step for step in made["open:cabinet"].steps if "while it stands open" in step.text]
    assert looks
    assert not set(looks) & set(made["close:cabinet"].steps)


def test_a_pass_that_is_hardly_needed_is_no_card_and_no_hour_of_it_is_lost(
    monkeypatch: pytest.MonkeyPatch,
):
    kept, need = need_of(bare("mill F06"), "mill")
    assert {"J06", "J15", "J16"} <= {one.job.id for one in need.rare_jobs}
    made = cards_of(kept, need)
    assert not [one.key for one in made.cards if one.chance < LIKELY]
    on = drawn_stage(kept, belief_of(kept, kinds()), 7, 300)
    folded = card_draws(on, need, made.cards, date(2026, 11, 26)).hours
    assert (folded["unseen"] > 0).any()
    monkeypatch.setattr("retrue.cases.fix.needed.LIKELY", 0.0)
    kept, need = need_of(bare("mill F06"), "mill")
    every = cards_of(kept, need)
    assert not need.rare_jobs
    apart = card_draws(on, need, every.cards, date(2026, 11, 26)).hours
    assert "J06" in apart
    np.testing.assert_allclose(sum(folded.values()), sum(apart.values()), atol=1e-6)
    assert made.hours == pytest.approx(every.hours, rel=0.01)


@pytest.mark.parametrize("machine", MACHINES)
def test_a_card_before_power_asks_for_no_look_at_a_machine_that_runs(machine: str):
    made = made_of(machine)
    kind = kinds()[made.kind]
    powered = after_power(made, kind)
    running = [one.text for one in kind.checks.values() if not is_dead(one)]
    early = [card for card in made.cards if card.job and card.key not in powered]
    assert early
    assert not [(card.key, step.text) for card in early for step in card.steps
                if step.text in running]  # fmt: skip


@pytest.mark.parametrize("machine", MACHINES)
def test_every_place_that_was_opened_is_shut_before_first_power(machine: str):
    made = by_key(made_of(machine))
    before, left = set(), ["J20"]
    while left:
        for wait in made[left.pop()].waits:
            if wait.card not in before:
                before.add(wait.card)
                left.append(wait.card)
    shut = {key for key in made if key.startswith("close:")} - {"close:foundation"}
    assert "close:lighting" in shut
    assert shut <= before


@pytest.mark.parametrize(("job", "refused"), [("J19", True), ("J25", True), ("J26", True),
                                              ("J24", False), ("J18", False)])  # fmt: skip
def test_what_is_measured_on_a_running_machine_is_not_done_before_power(job: str, refused: bool):
    made = by_key(made_of("mill"))
    kind = kinds()["vertical_machining_centre"]
    refuse_done(made[job], kind, {"J20"})
    if not refused:
        refuse_done(made[job], kind, ())
        return
    with pytest.raises(NotYet, match="first power comes before it"):
        refuse_done(made[job], kind, ())


def test_what_is_an_electricians_says_what_is_left_to_do_oneself():
    made = by_key(cards(bare("mill F109"), "mill"))
    [supply] = [one for one in made.values() if "F109" in one.faults and one.sort == "work"]
    assert supply.steps == ()
    assert any("ring him" in line and "plate" in line for line in licensed_words(supply))
