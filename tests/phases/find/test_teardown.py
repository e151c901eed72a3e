"""Opened and seen: the guess is kept beside the truth, and the shop learns from both."""

from __future__ import annotations

from dataclasses import replace

import pytest

from retrue.base.refusals import Unknown
from retrue.belief.learning import learned_share
from retrue.belief.network import Impossible
from retrue.belief.posterior import update
from retrue.belief.scores import brier, log_score
from retrue.cases.evidence import evidence
from retrue.cases.kept_case import kept_case
from retrue.cases.network import build
from retrue.cases.onward_seek import seek_kept
from retrue.cases.spot import find as find_spot
from retrue.phases import find, worth
from retrue.records.chain import verify_chain
from retrue.records.facts import Finding
from retrue.records.fixing import Chosen
from retrue.records.seeking import Act, Guess

MILL = "vertical_machining_centre"


def opened(shop, kinds, fault, present, machine="mill", **hand):
    return find.teardown(shop, "school", machine, fault, present, kinds, by="owner", **hand)


def look(shop, kinds, check, answer):
    told = Finding(lot="school", machine="mill", check=check, answer=answer, grade=3)
    return find.saw(shop, told, kinds, by="owner")


def test_the_chance_guessed_before_it_was_opened_is_kept_with_the_truth(floor, kinds):
    look(floor, kinds, "C31", "severe")
    case = worth.case_of(floor, "school")
    built = build(case, kinds)
    said = update(built.network, evidence(case, built)[0]).marginal
    expected = float(said[built.faults["mill", "F26"]])
    kept = opened(floor, kinds, "F26", True, text="black oil inside")
    assert kept.fact.share == pytest.approx(expected, abs=1e-12)
    assert kept.fact.share > kept.fact.base_rate == kinds[MILL].faults["F26"].prior
    assert (kept.fact.kind, kept.fact.was, kept.fact.kind_hash) == (MILL, True, kinds[MILL].hash)
    truth = floor.get(Finding, kept.fact.finding).fact
    assert (truth.fault, truth.answer, truth.grade, truth.channel, truth.text) == (
        "F26", "present", 3, "apart", "black oil inside",
    )  # fmt: skip
    assert find.tried(floor, "school", "mill", kinds)[-1].sort == "teardown"
    with pytest.raises(Unknown, match="F999"):
        opened(floor, kinds, "F999", True)


def test_a_truth_seen_is_certain_from_then_on(floor, kinds):
    opened(floor, kinds, "F26", True)
    case = worth.case_of(floor, "school")
    built = build(case, kinds)
    said = built.marginal_now(update(built.network, evidence(case, built)[0]).marginal)
    assert said[built.faults["mill", "F26"]] == pytest.approx(1.0, abs=1e-9)


def test_said_anew_the_truth_is_corrected_and_the_guess_stays(floor, kinds):
    first = opened(floor, kinds, "F26", True)
    assert opened(floor, kinds, "F26", True) == first
    second = opened(floor, kinds, "F26", False)
    assert second.fact == replace(first.fact, was=False)
    assert [one.id for one in floor.current(Guess)] == [second.id]
    assert [one.fact.answer for one in floor.current(Finding)] == ["absent"]
    act = Act(lot="", machine="", sort="repair", fault="F26")
    find.did(floor, "school", "mill", act, kinds, by="owner")
    third = opened(floor, kinds, "F26", False)
    assert len(floor.current(Guess)) == 2
    assert third.fact.finding != second.fact.finding
    assert verify_chain(floor) == []


def test_sent_twice_it_is_kept_once(floor, kinds):
    first = opened(floor, kinds, "F26", True, id="d-1")
    assert opened(floor, kinds, "F26", True, id="d-1") == first
    assert (len(floor.current(Guess)), len(floor.current(Finding))) == (1, 1)


def test_a_truth_is_kept_though_other_answers_exclude_each_other(floor, kinds, monkeypatch):
    """The guess is then the kind's own share: answers that exclude each other say nothing."""

    def contradict(*_):
        raise Impossible("the evidence contradicts itself")

    monkeypatch.setattr("retrue.belief.posterior.update", contradict)
    kept = opened(floor, kinds, "F26", True)
    assert kept.fact.share == kept.fact.base_rate == kinds[MILL].faults["F26"].prior
    assert floor.get(Finding, kept.fact.finding).fact.answer == "present"


def test_taken_back_neither_guess_nor_truth_counts(floor, kinds):
    guess = opened(floor, kinds, "F26", True)
    find.withdraw(floor, guess.id, "wrong motor", by="owner")
    assert floor.current(Finding) == []
    other = opened(floor, kinds, "F26", False)
    find.withdraw(floor, other.fact.finding, "wrong motor", by="owner")
    assert floor.current(Guess) == []
    assert find.learned(floor, kinds).rows == ()
    assert find.kinds_learned(floor, kinds) is kinds


def test_nothing_opened_yet_says_so(floor, kinds):
    told = find.learned(floor, kinds)
    assert (told.rows, told.families, told.scores.count) == ((), (), 0)
    assert (told.scores.brier, told.scores.log, told.scores.bins) == (None, None, ())
    assert told.trust == 0.5
    assert "not proved" in told.trust_text


def test_guessed_was_and_next_time_stand_side_by_side(floor, kinds):
    for fault, present in (("F26", True), ("F15", False), ("F25", True)):
        opened(floor, kinds, fault, present)
    opened(floor, kinds, "F26", True, machine="lathe")
    told = find.learned(floor, kinds)
    assert [(row.machine, row.fault, row.was) for row in told.rows] == [
        ("mill", "F26", True),
        ("mill", "F15", False),
        ("mill", "F25", True),
        ("lathe", "F26", True),
    ]
    taught = find.kinds_learned(floor, kinds)
    for row in told.rows:
        kind = next(kind for kind in kinds.values() if kind.name == row.kind)
        assert row.next_time == taught[kind.id].faults[row.fault].prior
        assert row.family == kind.faults[row.fault].subsystem
        assert (row.next_time > kind.faults[row.fault].prior) == row.was
    shares, was = [row.guessed for row in told.rows], [row.was for row in told.rows]
    assert told.scores.brier == pytest.approx(brier(shares, was))
    assert told.scores.log == pytest.approx(log_score(shares, was))
    assert sum(one.count for one in told.scores.bins) == told.scores.count == 4
    assert {row.name: (row.looked, row.found) for row in told.families} == {
        "axis drive": (1, 1),
        "axis motor": (2, 2),
        "spindle motor": (1, 0),
    }
    assert told.trust_text.startswith("Opened and told so far: 4")


def test_the_next_guess_is_made_with_what_was_learned(floor, kinds):
    first = opened(floor, kinds, "F25", True)
    prior = kinds[MILL].faults["F25"].prior
    assert first.fact.base_rate == prior
    second = opened(floor, kinds, "F25", False, machine="lathe")
    lathe = kinds["turning_centre"]
    if "F25" in lathe.faults:
        assert second.fact.base_rate == pytest.approx(
            learned_share(lathe.faults["F25"].prior, 1, 1), abs=0.05
        )
        assert second.fact.kind_hash != lathe.hash
    both = find.kinds_learned(floor, kinds)[MILL].faults["F25"].prior
    assert both < learned_share(prior, 1, 1)


def test_a_corrected_truth_is_learned_as_it_stands(floor, kinds):
    guess = opened(floor, kinds, "F26", True)
    up = find.kinds_learned(floor, kinds)[MILL].faults["F26"].prior
    truth = floor.get(Finding, guess.fact.finding).fact
    find.correct(floor, guess.fact.finding, replace(truth, answer="absent"), by="owner")
    down = find.kinds_learned(floor, kinds)[MILL].faults["F26"].prior
    assert down < kinds[MILL].faults["F26"].prior < up
    assert not find.learned(floor, kinds).rows[0].was


def test_what_was_opened_is_not_searched_for_any_more(floor, kinds, trouble):
    spot = find_spot(floor, "school", "mill", kinds)

    def next_at():
        seek = seek_kept(kept_case(floor, spot.lot), spot, kinds[MILL])
        return seek.trouble, seek.found, seek.open

    assert next_at() == (trouble, "", 1)
    opened(floor, kinds, "F15", True)  # of another symptom
    assert next_at() == (trouble, "", 1)
    opened(floor, kinds, "F26", True)
    assert next_at() == ("", "F26", 1)
    way = {"lot": spot.lot, "machine": spot.machine, "sort": "way", "what": "F26"}
    floor.add(Chosen(**way, way="repair"), by="owner")
    assert next_at() == ("", "", 1)
    floor.add(Chosen(**way), by="owner")  # what is reckoned best again
    assert next_at() == ("", "F26", 1)
    mended = Act(lot=spot.lot, machine=spot.machine, trouble=trouble, sort="repair", fault="F26")
    find.did(floor, "school", "mill", mended, kinds, by="owner")
    assert next_at() == (trouble, "", 1)  # until it was tried again
