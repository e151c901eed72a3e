"""Open looks, and the chance of each answer in every world."""

from dataclasses import replace

import numpy as np
import pytest
from tests.cases.lots import kinds, looked_at, lot, said

from retrue.base.chance import uniforms
from retrue.belief.likelihood import likelihood
from retrue.belief.posterior import probability_of
from retrue.belief.worlds import draw
from retrue.cases.answers import OpenQuestion, likelihoods, open_questions
from retrue.cases.case import Kept, LotCase
from retrue.cases.evidence import evidence
from retrue.cases.network import CaseNetwork, build
from retrue.records.facts import Finding, Shop

WORLDS = 20_000


def worlds(case: LotCase, count: int = WORLDS) -> tuple[CaseNetwork, np.ndarray]:
    built = build(case, kinds())
    table = uniforms(5, "worlds", worlds=count, columns=len(built.network.names))
    return built, draw(built.network, evidence(case, built)[0], table).states


def finding(question: OpenQuestion, outcome: str) -> Finding:
    grades = {"call": 0, "photo": 1, "visit_dead": 3, "visit_live": 3}
    return Finding(
        lot="school",
        machine=question.machine,
        check=question.check,
        answer=outcome,
        grade=grades[question.channel],
        channel=question.channel,
        informant=question.informant,
    )


def test_the_answers_to_every_question_sum_to_one_in_every_world():
    case = looked_at(lot("AB"), 10, 1)
    built, states = worlds(case, 500)
    questions = open_questions(case, built)
    rows = likelihoods(questions, built, states)
    assert len(rows) == len(questions) > 100
    for question, row in zip(questions, rows, strict=True):
        assert row.shape == (len(question.outcomes), 500)
        assert row.dtype == np.float32
        assert row.sum(axis=0) == pytest.approx(1.0, abs=1e-5)
        assert row.min() >= -1e-6


def test_chances_are_those_the_evidence_itself_would_use():
    """In each world, through every channel, told or seen."""
    told = said("t", check="C01", answer="seen", grade=0, channel="call", informant="seller")
    case = lot("AB", (told,))
    built, states = worlds(case, 40)
    questions = [
        q
        for q in open_questions(case, built)
        if q.check.startswith("C") and "within" not in q.outcomes
    ]
    assert {q.channel for q in questions} == {"photo", "call", "visit_dead", "visit_live"}
    for question, row in zip(questions, likelihoods(questions, built, states), strict=True):
        for place, outcome in enumerate(question.outcomes):
            one = replace(case, findings=(Kept(id="x", finding=finding(question, outcome)),))
            (seen,) = evidence(one, built)[0]
            expected = likelihood(seen, states)
            assert row[place] == pytest.approx(expected, abs=2e-6), (question, outcome)


def test_the_mean_over_worlds_is_the_chance_of_the_answer():
    case = looked_at(lot("A"), 12, 4)
    built, states = worlds(case)
    seen = evidence(case, built)[0]
    questions = [
        q for q in open_questions(case, built) if q.channel == "photo" and len(q.outcomes) == 3
    ][:12]
    for question, row in zip(questions, likelihoods(questions, built, states), strict=True):
        for place, outcome in enumerate(question.outcomes):
            one = replace(case, findings=(Kept(id="x", finding=finding(question, outcome)),))
            exact = probability_of(built.network, seen, evidence(one, built)[0][-1])
            error = row[place].std() / WORLDS**0.5
            assert abs(row[place].mean() - exact) < 4.5 * error + 1e-6


def test_bands_of_a_measure_are_split_at_its_limit_as_the_yes_and_no_is():
    """The library computes medians so that a number and a yes or no tell the same at the limit."""
    case = lot("A")
    built, states = worlds(case, 300)
    questions = [q for q in open_questions(case, built) if "within" in q.outcomes]
    assert len(questions) > 10
    for question, row in zip(questions, likelihoods(questions, built, states), strict=True):
        check = built.kinds["A"].checks[question.check]
        measure = built.kinds["A"].measures[check.measures[0]]
        links = {built.faults["A", f]: measure.parts[f] for f in measure.parts}
        unseen = np.full(states.shape[1], 1 - check.leak)
        for fault, link in check.links.items():
            if built.faults["A", fault] in links:
                unseen *= np.where(states[built.faults["A", fault]], 1 - link, 1.0)
        assert row[0] == pytest.approx(unseen, abs=0.02), question.check


def test_an_answered_look_closes_only_its_own_grade_and_below():
    def channels(case: LotCase, check: str) -> set[str]:
        built = build(case, kinds())
        return {q.channel for q in open_questions(case, built) if q.check == check}

    assert channels(lot("A"), "C01") == {"photo", "visit_dead"}
    pictured = said("1", check="C01", answer="seen", grade=1, channel="photo")
    assert channels(lot("A", (pictured,)), "C01") == {"visit_dead"}
    unsure = said("1", check="C01", answer="cant_tell", grade=1, channel="photo")
    assert channels(lot("A", (unsure,)), "C01") == {"photo", "visit_dead"}
    own = said("1", check="C01", answer="seen", grade=3, channel="visit_dead")
    assert channels(lot("A", (own,)), "C01") == set()
    told = said("1", check="C15", answer="seen", grade=0, channel="call", informant="seller")
    assert "call" not in channels(lot("A", (told,)), "C15")


def test_without_power_nothing_is_asked_that_needs_it():
    dead = said("1", history="NP", answer="yes", grade=3, channel="visit_dead")
    built = build(lot("A", (dead,)), kinds())
    assert not [q for q in open_questions(lot("A", (dead,)), built) if q.channel == "visit_live"]
    assert [
        q for q in open_questions(lot("A"), build(lot("A"), kinds())) if q.channel == "visit_live"
    ]


def test_a_past_life_of_the_lot_is_asked_once_and_not_when_spoken_of():
    built = build(lot("AB"), kinds())
    asked = [q for q in open_questions(lot("AB"), built) if q.check.startswith("Q")]
    assert sum(q.check == "Q04" for q in asked) == 1
    assert sum(q.check == "Q06" for q in asked) == 2
    spoken = said("1", history="HH", answer="no", grade=0, channel="call", informant="seller")
    later = open_questions(lot("AB", (spoken,)), built)
    assert [q.machine for q in later if q.check == "Q06"] == ["B"]


def test_an_answer_of_the_call_speaks_with_the_odds_evidence_gives_it():
    case = lot("A")
    built, states = worlds(case, 2000)
    question = next(q for q in open_questions(case, built) if q.check == "Q06")
    (row,) = likelihoods([question], built, states)
    high = states[built.histories["A", "HH"]]
    place = next(i for i, o in enumerate(question.outcomes) if o.startswith("over 20,000"))
    assert row[place][high][0] / row[place][~high][0] == pytest.approx(10.0, rel=0.05)


def test_owned_tools_cost_no_hire():
    built = build(lot("A"), kinds())
    hired = {q.check: q for q in open_questions(lot("A"), built) if q.tool_hire > 0}
    assert "C31" in hired
    owner = lot("A", shop=Shop(instruments=("insulation tester",)))
    owned = {q.check: q for q in open_questions(owner, build(owner, kinds()))}
    assert owned["C31"].tool_hire == 0.0
    assert all(q.tool_hire == 0 for q in owned.values() if q.channel in ("photo", "call"))
