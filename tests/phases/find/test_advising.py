"""Advice is worked out once for the same state; whatever changes, everything follows."""

from __future__ import annotations

import sys
from types import ModuleType

import pytest

from retrue.base.refusals import Unknown
from retrue.cases.find.advice import Advice
from retrue.phases import find, worth
from retrue.records.facts import Finding
from retrue.records.seeking import Act

MILL = "vertical_machining_centre"


@pytest.fixture
def asked(monkeypatch):
    """Every time the sums are done, with what: a stand-in for them that only writes it down."""
    calls = []

    def advise(case, machine, kinds, *, goal, trouble=None, seed=7, worlds=1000):
        calls.append((case, machine, kinds, goal, trouble))
        return Advice(
            machine=machine, goal=goal, trouble=trouble, title="", headline=f"{len(calls)}",
            met=False, switch_off="", steps=(), held=(), suspects=(), hunch=None,
            expected_cost=1.25, guess_cost=2.5, plain_cost=2.0, bound=1.0, cautions=("x",),
            set_aside=(), not_used=(), assumed=("y",), currency="EUR", seed=seed, worlds=worlds,
            kind_hash=kinds[MILL].hash, version="0",
        )  # fmt: skip

    module = ModuleType("retrue.cases.find.advise")
    monkeypatch.setattr(module, "advise", advise, raising=False)
    monkeypatch.setitem(sys.modules, "retrue.cases.find.advise", module)
    return calls


def ask(shop, kinds, **told):
    return find.advise(shop, "school", "mill", kinds, **told)


def look(shop, kinds, answer="seen", machine="mill"):
    told = Finding(lot="school", machine=machine, check="C31", answer=answer, grade=3)
    return find.saw(shop, told, kinds, by="owner")


def test_the_same_state_is_worked_out_once(floor, kinds, trouble, asked):
    first = ask(floor, kinds, trouble=trouble)
    assert ask(floor, kinds, trouble=trouble) == first
    assert len(asked) == 1
    case, machine, _, goal, which = asked[0]
    assert (machine, goal, which) == ("mill", "clear", trouble)
    assert case == worth.case_of(floor, "school")
    assert (first.headline, first.cautions, first.bound) == ("1", ("x",), 1.0)
    assert first.assumed[0] == "y"
    assert "not proved" in first.assumed[1]


def test_whatever_changes_is_worked_out_anew(floor, kinds, trouble, asked):
    def count(**told):
        ask(floor, kinds, **{"trouble": trouble, **told})
        return len(asked)

    assert count() == 1
    seen = look(floor, kinds)
    assert count() == 2
    find.correct(
        floor, seen.id, Finding(lot="", machine="", check="C31", answer="not_seen", grade=3),
        by="owner",
    )  # fmt: skip
    assert count() == 3
    act = Act(lot="", machine="", trouble=trouble, sort="repair", fault="F25")
    kept = find.did(floor, "school", "mill", act, kinds, by="owner")
    assert count() == 4
    find.withdraw(floor, kept.id, by="owner")
    assert count() == 4  # as before the act: remembered
    assert count(goal="right", trouble=None) == 5
    assert count(seed=8) == 6
    assert count(worlds=2000) == 7
    find.teardown(floor, "school", "lathe", "F26", True, kinds, by="owner")
    assert count() == 8
    assert asked[-1][2][MILL].faults["F26"].prior > kinds[MILL].faults["F26"].prior
    assert "too few" in ask(floor, kinds, trouble=trouble).assumed[-1]


def test_a_trouble_is_named_by_any_record_of_its_line(floor, kinds, trouble, asked):
    newer = find.tell(floor, "school", "mill", "Y01", "otherwise", kinds, by="owner")
    assert ask(floor, kinds, trouble=newer.id).trouble == trouble
    with pytest.raises(Unknown):
        ask(floor, kinds, trouble="no such")
    with pytest.raises(Unknown):
        find.advise(floor, "school", "saw", kinds)
