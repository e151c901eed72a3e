"""The call is kept as told, the text asks politely in four languages, the visit is typed in."""

from __future__ import annotations

import json

import pytest

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import worth
from retrue.phases.worth import VisitAnswer, visit
from retrue.records.facts import Asked, File, Finding

SHOPS = ("on disk",)  # that the other shop keeps alike is proved in tests/store
SUM = {"seed": 7, "worlds": 200}  # how good a price is, is tested with the prices


def answer(shop, kinds, question: str, option: int, machine: str = "mill", **more):
    return worth.answer_call(
        shop, "school", machine, question, option, kinds, by="owner", **SUM, **more
    )


def said(shop) -> set[tuple[str | None, str]]:
    return {(r.fact.check or r.fact.history, r.fact.answer) for r in shop.current(Finding)}


def test_the_call_sheet_asks_every_machine_every_question(shop, lot, kinds):
    lines = worth.call_sheet(shop, "school", kinds)
    assert {line.machine for line in lines} == {"mill", "lathe"}
    assert all(line.given is None for line in lines)
    assert all(set(line.question.ask) >= {"en", "nl", "fr", "de"} for line in lines)


def test_an_answer_is_kept_as_told_by_the_seller(shop, lot, kinds):
    judged = answer(shop, kinds, "Q03", 3)
    assert said(shop) == {("NP", "yes"), ("C17", "seen")}
    facts = [record.fact for record in judged.kept]
    assert {(f.grade, f.channel, f.informant) for f in facts} == {(0, "call", "caretaker")}
    lines = worth.call_sheet(shop, "school", kinds)
    given = {(line.machine, line.question.id): line.given for line in lines}
    assert given.pop(("mill", "Q03")) == 3
    assert set(given.values()) == {None}
    (asked,) = shop.current(Asked)
    assert (asked.fact.what, asked.fact.came) == ("Q03", True)


def test_asked_again_the_new_answer_takes_the_old_ones_place(shop, lot, kinds):
    for option in (3, 0, 0):
        answer(shop, kinds, "Q03", option)
    assert said(shop) == {("NP", "no")}
    assert len(shop.current(Asked)) == 1
    lines = worth.call_sheet(shop, "school", kinds)
    (line,) = [one for one in lines if one.given is not None]
    assert line.given == 0


def test_a_question_or_an_answer_nobody_knows_is_refused(shop, lot, kinds):
    for question, option in (("Q99", 0), ("Q03", 9), ("Q03", -1)):
        with pytest.raises(Unknown):
            answer(shop, kinds, question, option)
    assert shop.current(Finding) == []


@pytest.mark.parametrize(
    ("language", "greeting"),
    [("en", "Good day,"), ("nl", "Goedendag,"), ("fr", "Bonjour,"), ("de", "Guten Tag,")],
)
def test_five_questions_in_the_sellers_language(shop, lot, kinds, language, greeting):
    sheet = worth.price(shop, "school", kinds, **SUM)
    case = worth.case_of(shop, "school")
    text = worth.questions_for_seller(sheet, case, kinds, language=language)
    lines = text.splitlines()
    assert lines[0] == greeting
    assert [line[:2] for line in lines if line[1:2] == "."] == ["1.", "2.", "3.", "4.", "5."]
    own = {t.ask[language] for k in kinds.values() for t in (*k.shots.values(),
           *k.questions.values()) if language in t.ask}  # fmt: skip
    for line in lines:
        if line[1:2] == ".":
            assert line.split(": ", 1)[1] in own


def test_the_text_asks_for_one_picture_once_and_never_again(shop, lot, kinds):
    sheet = worth.price(shop, "school", kinds, **SUM)
    case = worth.case_of(shop, "school")
    text = worth.questions_for_seller(sheet, case, kinds, count=100)
    asks = [line for line in text.splitlines() if ". " in line[:4]]
    assert len(asks) == len(set(asks)) > 10
    shots = [(m, s) for m in ("mill", "lathe") for s in ("S13", "S16")]
    worth.asked_of_seller(shop, "school", shots, by="owner")
    case = worth.case_of(shop, "school")
    again = worth.questions_for_seller(sheet, case, kinds, count=100)
    assert kinds["turning_centre"].shots["S13"].ask["en"] in text
    assert kinds["turning_centre"].shots["S13"].ask["en"] not in again


def test_a_language_we_do_not_have_is_refused(shop, lot, kinds):
    sheet = worth.price(shop, "school", kinds, **SUM)
    with pytest.raises(Unknown):
        worth.questions_for_seller(sheet, worth.case_of(shop, "school"), kinds, language="es")


def test_the_visit_is_in_walking_order_and_its_code_can_be_typed(shop, lot, kinds):
    pack = worth.visit_pack(shop, "school", kinds, by="owner", **SUM)
    assert 0 < len(pack.lines) <= 24
    machines = [line.machine for line in pack.lines]
    assert machines == sorted(machines, key=["mill", "lathe"].index)
    assert [line.number for line in pack.lines] == list(range(1, len(pack.lines) + 1))
    live = [(line.machine, "visit_dead" not in line.check.stages) for line in pack.lines]
    assert live == sorted(live, key=lambda row: (machines.index(row[0]), row[1]))
    assert all(line.cautions for line in pack.lines if line.check.caution)
    typed = f" {pack.code[:4].lower()}-{pack.code[4:].lower()} "
    assert worth.open_visit(shop, typed, kinds) == pack
    assert worth.visit_pack(shop, "school", kinds, by="owner", **SUM) == pack
    (kept,) = shop.current(File)
    assert json.loads(shop.file(kept.fact.sha256))["lot"] == lot.id


def test_typing_the_visit_in_keeps_what_was_ticked_and_measured(shop, lot, kinds):
    pack = worth.visit_pack(shop, "school", kinds, by="owner", **SUM)
    read = next(line for line in pack.lines if len(line.measures) == 1)
    tick, other = [line for line in pack.lines if line is not read][:2]
    answers = [
        VisitAnswer(number=tick.number, answer="not_seen"),
        VisitAnswer(number=read.number, reading=read.measures[0].check_limit, uncertainty=0.001,
                    checked_instrument=True),
        VisitAnswer(number=other.number, answer="cant_tell"),
    ]  # fmt: skip
    judged = worth.keep_visit(shop, pack.code, answers, kinds, by="owner", **SUM)
    facts = [record.fact for record in judged.kept]
    assert [fact.grade for fact in facts] == [3, 5, 3]
    assert facts[1].measure == read.measures[0].id
    assert facts[0].channel in ("visit_dead", "visit_live")
    assert judged.after is not None
    again = [VisitAnswer(number=tick.number, answer="seen")]
    worth.keep_visit(shop, pack.code, again, kinds, by="owner", **SUM)
    assert len(shop.current(Finding)) == 3


def test_a_box_that_is_not_on_the_paper_and_a_code_nobody_gave_are_refused(shop, lot, kinds):
    pack = worth.visit_pack(shop, "school", kinds, by="owner", **SUM)
    answers = [VisitAnswer(number=99, answer="seen"), VisitAnswer(number=1, answer="seen")]
    with pytest.raises(Unusable) as told:
        worth.keep_visit(shop, pack.code, answers, kinds, by="owner", **SUM)
    assert [problem.where for problem in told.value.problems] == ["box 99"]
    assert shop.current(Finding) == []
    with pytest.raises(Unknown):
        worth.open_visit(shop, "XXXX-XXXX", kinds)


def test_where_nothing_is_left_to_see_there_is_no_visit(shop, lot, kinds, monkeypatch):
    monkeypatch.setattr(visit, "_looks", lambda _: [])
    with pytest.raises(NotYet):
        worth.visit_pack(shop, "school", kinds, by="owner", **SUM)
    assert shop.current(File) == []
