"""What it does, in the owner's words; hunches; looks; whether it still does it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import Overtaken, Unknown, Unusable
from retrue.phases import find, worth
from retrue.records.chain import verify_chain
from retrue.records.facts import Finding
from retrue.records.seeking import Act, Hunch, Signed, Trial, Trouble

MILL = "vertical_machining_centre"


def again(shop, trouble, passes, **hand):
    return find.try_again(shop, trouble, passes, by="owner", **hand)


def repair(shop, kinds, trouble=None, **told):
    act = Act(lot="", machine="", trouble=trouble, sort="repair", fault="F25", **told)
    return find.did(shop, "school", "mill", act, kinds, by="owner")


def test_symptoms_are_found_by_parts_of_words_best_first(kinds):
    words = [one.id for one in find.symptoms(kinds[MILL], "axis alarm")]
    assert words == ["Y01", "Y03"]
    assert [one.id for one in find.symptoms(kinds[MILL])] == ["Y01", "Y02", "Y03"]
    assert [one.id for one in find.symptoms(kinds[MILL], "y02")] == ["Y02"]
    assert [one.id for one in find.symptoms(kinds[MILL], "SPIND")] == ["Y02"]
    assert find.symptoms(kinds[MILL], "smoke") == []


def test_a_trouble_is_told_in_its_owners_words_and_stands(floor, kinds, trouble):
    (line,) = find.troubles(floor, "school", "mill", kinds)
    assert (line.id, line.words, line.met, line.tries) == (trouble, "Y falls out", False, 0)
    assert line.symptom.words == "an axis drops out with a drive alarm"
    assert find.troubles(floor, "school", "lathe", kinds) == []
    bare = find.tell(floor, "school", "lathe", "Y02", " ", kinds, by="owner")
    assert bare.fact.words == ""
    assert find.troubles(floor, "school", "lathe", kinds)[0].words == "the spindle does not turn"


def test_the_same_trouble_told_twice_is_one_and_told_otherwise_it_is_corrected(
    floor, kinds, trouble
):
    assert find.tell(floor, "school", "mill", "Y01", "Y falls out", kinds, by="owner").id == trouble
    later = find.tell(
        floor, "school", "mill", "Y01", "now and then", kinds, comes_and_goes=True, by="owner"
    )
    (line,) = find.troubles(floor, "school", "mill", kinds)
    assert (line.id, line.record) == (trouble, later)
    assert line.record.fact.comes_and_goes


def test_a_telephone_that_sends_twice_is_kept_once_even_after_a_correction(floor, kinds):
    def tell(words, id):
        return find.tell(floor, "school", "mill", "Y03", words, kinds, by="owner", id=id)

    first = tell("hums", "t-1")
    tell("hums, warm", "t-2")
    assert tell("hums", "t-1") == first
    assert find.troubles(floor, "school", "mill", kinds)[0].words == "hums, warm"
    assert len(list(floor.rows())) == len({row.id for row in floor.rows()})


def test_what_the_kind_does_not_have_is_refused_with_what_is_near(floor, kinds, trouble):
    with pytest.raises(Unknown, match="Y99 is no symptom") as refusal:
        find.tell(floor, "school", "mill", "Y99", "", kinds, by="owner")
    assert refusal.value.remedy
    with pytest.raises(Unknown):
        find.tell(floor, "school", "saw", "Y01", "", kinds, by="owner")
    with pytest.raises(Unknown, match="F999"):
        find.guess_cause(floor, trouble, "F999", None, "", kinds, by="owner")
    with pytest.raises(Unknown):
        find.try_again(floor, "no such trouble", True, by="owner")
    with pytest.raises(Unknown, match="group"):
        find.prove_group(floor, "school", "mill", "wings", "right", True, kinds, by="owner")
    assert floor.current(Trial) == []


def test_each_informant_has_one_hunch_for_a_trouble(floor, kinds, trouble):
    def guess(fault, who):
        return find.guess_cause(floor, trouble, fault, who, "", kinds, by="owner")

    guess("F25", None)
    guess("F26", "caretaker")
    guess("F20", None)
    kept = [(one.fact.fault, one.fact.informant) for one in floor.current(Hunch)]
    assert kept == [("F26", "caretaker"), ("F20", None)]


def test_a_trouble_is_met_when_its_newest_try_says_so(floor, kinds, trouble):
    def met():
        return find.troubles(floor, "school", "mill", kinds)[0].met

    again(floor, trouble, False)
    assert not met()
    repair(floor, kinds, trouble)
    assert not met()
    gone = again(floor, trouble, True)
    assert met()
    repair(floor, kinds, trouble)  # what is done after that does not bring it back
    assert met()
    again(floor, trouble, False)
    assert not met()
    assert find.troubles(floor, "school", "mill", kinds)[0].tries == 3
    find.withdraw(floor, floor.current(Trial)[-1].id, "another axis", by="owner")
    assert met()
    find.correct(floor, gone.id, replace(gone.fact, passes=False), by="owner")
    assert not met()


def test_a_trouble_that_comes_back_after_it_was_met_is_a_new_one(floor, kinds, trouble):
    again(floor, trouble, True)
    back = find.tell(floor, "school", "mill", "Y01", "Y falls out", kinds, by="owner")
    lines = find.troubles(floor, "school", "mill", kinds)
    assert [(line.id, line.met) for line in lines] == [(trouble, True), (back.id, False)]


def test_a_group_is_proved_against_a_level(floor, kinds):
    kept = find.prove_group(floor, "school", "mill", "axes", "right", False, kinds, by="owner")
    assert (kept.fact.group, kept.fact.level, kept.fact.passes) == ("axes", "right", False)
    with pytest.raises(Unusable) as refusal:
        find.prove_group(floor, "school", "mill", "axes", "", True, kinds, by="owner")
    assert [one.where for one in refusal.value.problems] == ["level"]


def test_a_look_is_kept_without_a_price_and_a_second_one_stands_beside_it(floor, kinds):
    def look(answer):
        told = Finding(lot="school", machine="mill", check="C31", answer=answer, grade=3)
        return find.saw(floor, told, kinds, by="owner")

    first, second = look("seen"), look("not_seen")
    kept = floor.current(Finding)
    assert [one.id for one in kept] == [first.id, second.id]
    assert {row.kind for row in floor.rows()} & {"moved"} == set()
    with pytest.raises(Unusable) as refusal:
        find.saw(
            floor,
            Finding(lot="school", machine="mill", check="C999", answer="rusty"),
            kinds,
            by="owner",
        )
    assert sorted(one.where for one in refusal.value.problems) == ["answer", "check"]


def test_the_case_tells_what_happened_by_names_and_in_order(floor, kinds, trouble):
    def look(answer):
        told = Finding(lot="school", machine="mill", check="C31", answer=answer, grade=3)
        return find.saw(floor, told, kinds, by="owner")

    first = look("seen")
    find.guess_cause(floor, trouble, "F26", "caretaker", "", kinds, by="owner")
    act = repair(floor, kinds, trouble, money=Decimal(60))
    second = look("not_seen")
    again(floor, trouble, False)
    find.sign(floor, "school", "lathe", "apart", "owner", by="owner")
    case = worth.case_of(floor, "school")
    assert [kept.id for kept in case.findings] == [first.id, second.id]
    told = [(type(one.event), one.event.machine, one.place) for one in case.happened]
    assert told == [
        (Trouble, "mill", 0),
        (Hunch, "mill", 1),
        (Act, "mill", 1),
        (Trial, "mill", 2),
        (Signed, "lathe", 2),
    ]
    assert case.happened[0].id == trouble
    assert {one.event.trouble for one in case.happened if hasattr(one.event, "trouble")} == {
        trouble
    }
    assert all(one.event.lot == "school" and one.on == "2026-11-25" for one in case.happened)
    assert case.happened[2].id == act.id


def test_a_correction_stands_where_the_first_word_stood(floor, kinds, trouble):
    told = Finding(lot="school", machine="mill", check="C31", answer="seen", grade=3)
    look = find.saw(floor, told, kinds, by="owner")
    act = repair(floor, kinds, trouble)
    after = find.saw(floor, told, kinds, by="owner")
    again(floor, trouble, True)
    before = worth.case_of(floor, "school")
    wrong = Finding(lot="x", machine="y", check="C31", answer="not_seen", grade=3)
    new = find.correct(floor, look.id, wrong, by="owner")
    find.correct(
        floor, act.id,
        Act(lot="", machine="", trouble=trouble, sort="replace", fault="F25", way="second_hand"),
        by="owner",
    )  # fmt: skip
    find.correct(
        floor, trouble, Trouble(lot="", machine="", symptom="Y01", words="X falls out"), by="owner"
    )
    case = worth.case_of(floor, "school")
    assert [kept.id for kept in case.findings] == [new.id, after.id]
    assert case.findings[0].finding.answer == "not_seen"
    assert [(one.id, one.place) for one in case.happened] == [
        (one.id, one.place) for one in before.happened
    ]
    done, tried = case.happened[1].event, case.happened[2].event
    assert isinstance(done, Act)
    assert isinstance(tried, Trial)
    assert done.way == "second_hand"
    assert done.trouble == tried.trouble == trouble
    assert find.troubles(floor, "school", "mill", kinds)[0].met
    assert verify_chain(floor) == []


def test_a_correction_is_of_the_same_sort_and_of_what_still_counts(floor, kinds, trouble):
    with pytest.raises(Unusable, match="is a trouble, not a trial"):
        find.correct(
            floor, trouble, Trial(lot="", machine="", trouble=trouble, passes=True), by="owner"
        )
    find.withdraw(floor, trouble, by="owner")
    for deed in (
        lambda: find.withdraw(floor, trouble, by="owner"),
        lambda: find.try_again(floor, trouble, True, by="owner"),
        lambda: find.withdraw(floor, worth.view_lot(floor, "school").id, by="owner"),
    ):
        with pytest.raises(Unknown):
            deed()


def test_with_a_trouble_its_hunches_and_tries_go_and_what_was_done_stays(floor, kinds, trouble):
    find.guess_cause(floor, trouble, "F26", None, "", kinds, by="owner")
    repair(floor, kinds, trouble)
    again(floor, trouble, False)
    find.withdraw(floor, trouble, "another machine", by="owner")
    (one,) = worth.case_of(floor, "school").happened
    assert isinstance(one.event, Act)
    assert one.event.trouble is None
    assert find.troubles(floor, "school", "mill", kinds) == []


def test_where_nothing_happened_the_case_is_what_it_was(floor, kinds):
    told = Finding(lot="school", machine="mill", check="C31", answer="seen", grade=3)
    first = find.saw(floor, told, kinds, by="owner")
    second = find.saw(floor, told, kinds, by="owner")
    new = find.correct(
        floor, first.id,
        Finding(lot="", machine="", check="C31", answer="slight", grade=3), by="owner",
    )  # fmt: skip
    case = worth.case_of(floor, "school")
    assert [kept.id for kept in case.findings] == [second.id, new.id]
    assert case.happened == ()


def test_a_case_taken_into_another_shop_tells_the_same_in_the_same_order(floor, kinds, trouble):
    def look(answer):
        told = Finding(lot="school", machine="mill", check="C31", answer=answer, grade=3)
        find.saw(floor, told, kinds, by="owner")

    look("seen")
    find.guess_cause(floor, trouble, "F26", "caretaker", "", kinds, by="owner")
    repair(floor, kinds, trouble)
    look("not_seen")
    again(floor, trouble, False)
    case = worth.case_of(floor, "school")
    other = FakeShop()
    worth.keep_case(other, case, by="owner")
    taken = worth.case_of(other, "school")
    ids = {one.id: kept.id for one, kept in zip(case.happened, taken.happened, strict=True)}
    for one, kept in zip(case.happened, taken.happened, strict=True):
        told = one.event
        if isinstance(told, Hunch | Act | Trial) and told.trouble:
            told = replace(told, trouble=ids[told.trouble])
        assert (kept.event, kept.place) == (told, one.place)
    assert [kept.finding for kept in taken.findings] == [kept.finding for kept in case.findings]


def test_something_else_under_the_same_id_is_refused(floor, kinds, trouble):
    again(floor, trouble, True, id="try-1")
    assert again(floor, trouble, True, id="try-1").id == "try-1"
    with pytest.raises(Overtaken):
        again(floor, trouble, False, id="try-1")
