"""From symptom to cause with the real sums: an earlier answer corrected, everything follows."""

from __future__ import annotations

from dataclasses import replace

from retrue.cases.find.advice import Advice
from retrue.phases import find, worth
from retrue.records.facts import Finding
from retrue.records.seeking import Act


def ask(shop, kinds, trouble) -> Advice:
    return find.advise(shop, "school", "mill", kinds, trouble=trouble)


def look(shop, kinds, answer):
    told = Finding(lot="school", machine="mill", check="C31", answer=answer, grade=3)
    return find.saw(shop, told, kinds, by="owner")


def shares(advice: Advice) -> dict[str, float]:
    return {one.fault: one.share for one in advice.suspects}


def test_an_earlier_answer_corrected_moves_all_that_came_after_it(floor, kinds, trouble):
    find.guess_cause(floor, trouble, "F26", "caretaker", "", kinds, by="owner")
    first = look(floor, kinds, "severe")
    bad = ask(floor, kinds, trouble)
    act = Act(lot="", machine="", trouble=trouble, sort="replace", fault="F26", way="second_hand")
    find.did(floor, "school", "mill", act, kinds, by="owner")
    find.try_again(floor, trouble, False, by="owner")
    still = ask(floor, kinds, trouble)
    assert shares(still).get("F26", 0.0) < shares(bad)["F26"]
    find.correct(floor, first.id, replace(first.fact, answer="not_seen"), by="owner")
    good = ask(floor, kinds, trouble)
    assert shares(good) != shares(still)
    assert good.expected_cost != still.expected_cost
    newest = floor.history(first.id)[-1]
    find.correct(floor, newest.id, first.fact, by="owner")
    back = ask(floor, kinds, trouble)
    assert shares(back) == shares(still)
    assert back.expected_cost == still.expected_cost


def test_a_trouble_that_is_gone_leaves_nothing_to_do(floor, kinds, trouble):
    assert ask(floor, kinds, trouble).steps
    passed = find.try_again(floor, trouble, True, by="owner")
    done = ask(floor, kinds, trouble)
    assert done.met
    assert done.steps == ()
    find.withdraw(floor, passed.id, "it came back at once", by="owner")
    assert not ask(floor, kinds, trouble).met


def test_what_is_kept_comes_back_from_memory_to_the_last_bit(floor, kinds, trouble):
    look(floor, kinds, "not_seen")
    worked_out = find.advise_case(
        worth.case_of(floor, "school"), "mill", kinds, goal="clear", trouble=trouble
    )
    for _ in range(2):  # the second is remembered
        told = ask(floor, kinds, trouble)
        assert replace(told, assumed=told.assumed[:-1]) == worked_out
