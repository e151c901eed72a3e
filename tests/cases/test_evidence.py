"""Findings weighed against each other: which count, and what they then say."""

from typing import Any

import numpy as np
import pytest
from tests.cases.lots import kinds, looked_at, lot, said

from retrue.belief.likelihood import likelihood
from retrue.belief.network import Leaning, Seen
from retrue.belief.posterior import update
from retrue.cases.case import LotCase
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.records.facts import Asked

CALL: dict[str, Any] = {"grade": 0, "channel": "call", "informant": "seller"}
PHOTO: dict[str, Any] = {"grade": 1, "channel": "photo"}
OWN: dict[str, Any] = {"grade": 3, "channel": "visit_dead"}


def read(case: LotCase) -> dict[str, Seen | Leaning]:
    made, _ = evidence(case, build(case, kinds()))
    return {e.key: e for e in made}


def chance(case: LotCase, fault: str, machine: str = "A") -> float:
    built = build(case, kinds())
    made, _ = evidence(case, built)
    return float(update(built.network, made).marginal[built.faults[machine, fault]])


def test_not_looked_and_cannot_tell_say_nothing():
    assert read(lot("A")) == {}
    assert read(lot("A", (said("1", check="C01", answer="cant_tell", **OWN),))) == {}
    assert read(lot("A", (said("1", history="ID", answer="unknown", **CALL),))) == {}


def test_scorched_terminals_have_the_odds_the_library_says():
    """Slight about 6, severe about 19 to one for a dirty, scorched cabinet: C12 with F83.

    The link is .65 and the leak .07: slight (1 - .93 x .35 - (1 - .9825 x .675)) / (.07 - .0175).
    """
    built = build(lot("A"), kinds())
    fault = built.faults["A", "F83"]
    for word, odds in (("slight", 6.46), ("severe", 19.2)):
        (seen,) = read(lot("A", (said("1", check="C12", answer=word, **OWN),))).values()
        assert isinstance(seen, Seen)
        states = np.zeros((len(built.network.names), 2), dtype=bool)
        states[fault, 1] = True
        without, there = likelihood(seen, states)
        assert there / without == pytest.approx(odds, rel=0.01)


def test_the_newest_answer_of_one_informant_through_one_channel_counts():
    first = said("1", check="C15", answer="severe", **CALL)
    second = said("2", check="C15", answer="not_seen", **CALL)
    assert set(read(lot("A", (first, second)))) == {"2"}
    other = said("3", check="C15", answer="seen", grade=0, channel="call", informant="worker")
    assert set(read(lot("A", (first, second, other)))) == {"2", "3"}


def test_own_eyes_stand_before_what_was_told_or_pictured():
    told = said("1", check="C01", answer="not_seen", **PHOTO)
    own = said("2", check="C01", answer="severe", **OWN)
    for order in ((told, own), (own, told)):
        assert set(read(lot("A", order))) == {"2"}
    unsure = said("3", check="C01", answer="cant_tell", **OWN)
    assert set(read(lot("A", (told, unsure)))) == {"1"}


def test_a_picture_shows_eight_tenths_and_owes_nothing_to_candour():
    (own,) = read(lot("A", (said("1", check="C01", answer="not_seen", **OWN),))).values()
    (picture,) = read(
        lot("A", (said("1", check="C01", answer="not_seen", informant="seller", **PHOTO),))
    ).values()
    assert isinstance(own, Seen)
    assert isinstance(picture, Seen)
    assert picture.gate is None
    assert 1 - picture.ratio == pytest.approx(0.8 * (1 - own.ratio))
    assert picture.coefficient == pytest.approx(own.coefficient)


def test_what_is_told_hangs_on_candour():
    case = lot("A", (said("1", check="C15", answer="not_seen", **CALL),))
    built = build(case, kinds())
    (seen,) = evidence(case, built)[0]
    assert isinstance(seen, Seen)
    assert seen.gate == built.candid["seller"]
    assert 1 - seen.ratio[0] == pytest.approx(0.3 * (1 - seen.ratio[1]))


def test_a_no_that_ones_own_eyes_refute_costs_the_seller_his_credit():
    no = said("1", check="C08", answer="not_seen", grade=0, channel="call", informant="seller")
    built = build(lot("A", (no,)), kinds())
    believed = update(built.network, evidence(lot("A", (no,)), built)[0]).marginal
    faults = list(built.kinds["A"].checks["C08"].links)
    present = said("2", fault=faults[0], answer="present", grade=5, channel="apart")
    case = lot("A", (no, present))
    later = update(built.network, evidence(case, build(case, kinds()))[0]).marginal
    assert later[built.candid["seller"]] < believed[built.candid["seller"]]


def test_a_shot_that_did_not_come_counts_once():
    silent = Asked(lot="school", machine="A", what="S05", informant="seller", came=False)
    case = lot("A", (), (silent, silent))
    made = read(case)
    assert [e.likelihood for e in made.values() if isinstance(e, Leaning)] == [(1.3, 1.0)]
    came = Asked(lot="school", machine="A", what="S05", informant="seller", came=True)
    assert read(lot("A", (), (silent, came))) == {}


@pytest.mark.parametrize(
    ("answer", "odds"), [("yes", 10.0), ("no", 0.25), ("likely", 6.0), ("maybe", 2.0)]
)
def test_a_past_life_told_is_odds(answer: str, odds: float):
    (made,) = read(lot("A", (said("1", history="HH", answer=answer, **CALL),))).values()
    assert isinstance(made, Leaning)
    assert made.likelihood == (1.0, odds)


def test_what_the_owner_simply_knows_is_taken_as_true():
    case = lot("A", (said("1", history="NP", answer="yes", **OWN),))
    built = build(case, kinds())
    believed = update(built.network, evidence(case, built)[0]).marginal
    assert believed[built.histories["A", "NP"]] == pytest.approx(1.0, abs=1e-14)


def test_a_contradiction_about_the_lot_is_settled_by_the_newest():
    first = said("1", "A", history="DS", answer="yes", **OWN)
    second = said("2", "B", history="DS", answer="no", **OWN)
    assert set(read(lot("AB", (first, second)))) == {"2"}


def test_a_fault_found_at_teardown_is_certain_and_explains_the_look():
    look = said("1", check="C08", answer="severe", **OWN)
    links = kinds()["vertical_machining_centre"].checks["C08"].links
    one, other = sorted(links, key=links.__getitem__, reverse=True)[:2]
    found = said("2", fault=one, answer="present", grade=5, channel="apart")
    assert chance(lot("A", (look, found)), one) == pytest.approx(1.0, abs=1e-14)
    assert chance(lot("A", (look, found)), other) < chance(lot("A", (look,)), other)


def test_insulation_is_judged_at_forty_degrees():
    """20 megohm at 20 C is 5 at 40 C (IEEE 43, halving for every 10 K): the same evidence."""
    cold: dict[str, Any] = {"check": "C31", "measure": "M07", "grade": 4, "channel": "visit_dead"}
    at_20 = said("1", reading=20.0, temperature_c=20.0, **cold)
    at_40 = said("1", reading=5.0, temperature_c=40.0, **cold)
    assert chance(lot("A", (at_20,)), "F14") == pytest.approx(
        chance(lot("A", (at_40,)), "F14"), abs=1e-12
    )


def test_insulation_under_its_limit_raises_the_fault_and_good_insulation_clears_it():
    plain: dict[str, Any] = {"check": "C31", "measure": "M07", "grade": 4, "channel": "visit_dead"}
    before = chance(lot("A"), "F14")
    assert chance(lot("A", (said("1", reading=0.5, **plain),)), "F14") > 2 * before
    assert chance(lot("A", (said("1", reading=400.0, **plain),)), "F14") < before / 3


def test_of_several_measures_of_one_look_only_the_worst_counts():
    spindle: dict[str, Any] = {"check": "C50", "grade": 4, "channel": "visit_dead"}
    nose = said("1", measure="M01", reading=0.008, **spindle)
    far = said("2", measure="M02", reading=0.060, **spindle)
    for order in ((nose, far), (far, nose)):
        assert set(read(lot("A", order))) == {"2"}


def test_a_number_told_is_worth_its_side_of_the_limit():
    told = said("1", check="C31", measure="M07", reading=0.5, **CALL)
    yes = said("1", check="C31", answer="seen", **CALL)
    assert chance(lot("A", (told,)), "F14") == pytest.approx(chance(lot("A", (yes,)), "F14"))


def test_degrees_count_only_where_the_look_has_them():
    plain = next(
        c.id for c in kinds()["vertical_machining_centre"].checks.values() if c.answers == "yes_no"
    )
    (severe,) = read(lot("A", (said("1", check=plain, answer="severe", **OWN),))).values()
    (seen,) = read(lot("A", (said("1", check=plain, answer="seen", **OWN),))).values()
    assert isinstance(severe, Seen)
    assert isinstance(seen, Seen)
    assert np.array_equal(severe.ratio, seen.ratio)


def test_what_no_kind_knows_is_named_and_changes_nothing():
    case = lot(
        "A",
        (
            said("1", check="C999", answer="seen"),
            said("2", check="C31", measure="M999", reading=1.0, grade=4),
            said("3", history="XX", answer="yes"),
            said("4", fault="F999", answer="present"),
            said("5", "Z", check="C01", answer="seen"),
            said("6", check="C01", answer="seen"),
        ),
    )
    made, unused = evidence(case, build(case, kinds()))
    assert unused == ("1", "2", "3", "4", "5")
    assert [e.key for e in made] == ["6"]


def test_a_finding_about_the_whole_lot_is_said_of_every_machine():
    case = lot("AB", (said("1", None, check="C16", answer="slight", **CALL),))
    assert set(read(case)) == {"1@A", "1@B"}
    shared = lot("AB", (said("1", None, history="DS", answer="yes", **CALL),))
    assert len(read(shared)) == 1


@pytest.mark.parametrize("seed", range(3))
def test_the_order_in_which_findings_are_kept_apart_does_not_matter(seed: int):
    case = looked_at(lot("AB"), 25, seed)
    built = build(case, kinds())
    first = update(built.network, evidence(case, built)[0])
    turned = LotCase(
        shop=case.shop,
        lot=case.lot,
        terms=case.terms,
        machines=case.machines,
        findings=case.findings[::-1],
        asked=case.asked,
    )
    again = update(built.network, evidence(turned, built)[0])
    assert again.marginal.tobytes() == first.marginal.tobytes()
