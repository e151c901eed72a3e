"""Learned shares lie over the shipped ones and under the owner's; families move first."""

from __future__ import annotations

from itertools import product
from math import prod

import pytest
from tests.library import load as once

from retrue.belief.base_odds import fault_table
from retrue.belief.learning import learned_share, log_odds, shifted
from retrue.kinds.learned import (
    LEARNED,
    Outcome,
    families,
    learned_shares,
    taught,
    with_learned,
)
from retrue.kinds.load import content_hash, load

MILL = "vertical_machining_centre"
FAULT = "F26"  # an axis motor's: one of ten of its family


@pytest.fixture(scope="module")
def kinds():
    return once()


def outcomes(kinds, *rows, kind=MILL):
    """Truths of machines of which nothing was known: guessed with the bare share."""
    return [
        Outcome(kind, fault, kinds[kind].faults[fault].prior, kinds[kind].faults[fault].prior, was)
        for fault, was in rows
    ]


def test_without_outcomes_nothing_moves(kinds):
    assert with_learned(kinds, []) == kinds
    assert learned_shares(kinds, []) == {}
    assert families(kinds, []) == ()


def test_a_fault_alone_moves_as_its_own_counts_say(kinds):
    """Three of four there: the mean of the Beta distribution with a guess worth four."""
    told = outcomes(kinds, (FAULT, True), (FAULT, True), (FAULT, True), (FAULT, False))
    prior = kinds[MILL].faults[FAULT].prior
    assert learned_shares(kinds, told)[MILL][FAULT] == pytest.approx(
        learned_share(prior, 3, 4), abs=1e-9
    )


def test_its_family_moves_with_it_and_no_other_does(kinds):
    told = outcomes(kinds, *[(FAULT, True)] * 6)
    shares = learned_shares(kinds, told)
    family = kinds[MILL].faults[FAULT].subsystem
    for name, kind in kinds.items():
        for id, fault in kind.faults.items():
            moved = shares.get(name, {}).get(id)
            assert (moved is not None) == (fault.subsystem == family)
            assert moved is None or moved > fault.prior
    others = [shares[MILL][id] for id in shares[MILL] if id != FAULT]
    by_odds = {
        round(log_odds(share) - log_odds(kinds[MILL].faults[id].prior), 6)
        for id, share in shares[MILL].items()
        if id != FAULT
    }
    assert len(others) > 3
    assert len(by_odds) == 1  # all odds of the family times the same


def test_no_outcome_counts_twice(kinds):
    """A family in which only this fault was opened adds nothing to its own counts."""
    own = learned_shares(kinds, outcomes(kinds, (FAULT, True)))[MILL][FAULT]
    assert own == pytest.approx(learned_share(kinds[MILL].faults[FAULT].prior, 1, 1), abs=1e-9)


def test_what_findings_had_said_before_is_not_learned_again(kinds):
    """Nine of ten suspected to nine tenths were there: the share stays what it was."""
    prior = kinds[MILL].faults[FAULT].prior
    told = [Outcome(MILL, FAULT, 0.9, prior, place != 0) for place in range(10)]
    assert learned_shares(kinds, told)[MILL][FAULT] == pytest.approx(prior, abs=1e-6)


def test_a_table_changed_since_is_learned_from_as_it_is_now(kinds):
    """Findings had multiplied the odds by 4: they do so with today's share as well."""
    prior = kinds[MILL].faults[FAULT].prior
    old = prior / 3
    four = 1.3862943611198906
    was = Outcome(MILL, FAULT, shifted(old, four), old, True)
    now = Outcome(MILL, FAULT, shifted(prior, four), prior, True)
    assert learned_shares(kinds, [was])[MILL][FAULT] == pytest.approx(
        learned_shares(kinds, [now])[MILL][FAULT], abs=1e-9
    )


def test_the_order_of_outcomes_and_strangers_among_them_change_nothing(kinds):
    told = outcomes(kinds, (FAULT, True), ("F25", False), ("F31", True))
    strange = [Outcome("saw", "F01", 0.5, 0.5, True), Outcome(MILL, "F999", 0.5, 0.5, True)]
    assert learned_shares(kinds, [*strange, *reversed(told)])[MILL] == pytest.approx(
        learned_shares(kinds, told)[MILL], rel=1e-12
    )


def test_families_are_counted_over_all_kinds(kinds):
    told = outcomes(kinds, (FAULT, True), (FAULT, False))
    told += outcomes(kinds, (FAULT, True), kind="turning_centre")
    (row,) = families(kinds, told)
    assert (row.name, row.looked, row.found) == ("axis motor", 3, 2)
    assert row.expected == pytest.approx(sum(one.share for one in told))
    assert row.odds_times > 1.0
    (fewer,) = families(kinds, outcomes(kinds, (FAULT, False), (FAULT, False)))
    assert fewer.odds_times < 1.0


def test_the_owners_own_number_stays(kinds):
    own = load((("own.toml", f'[[fault]]\nid = "{FAULT}"\nprior = 0.4\n'.encode()),))
    told = outcomes(own, *[(FAULT, True)] * 5)
    shares = learned_shares(own, told)[MILL]
    assert FAULT not in shares
    assert len(shares) > 3
    moved = with_learned(own, told)[MILL]
    assert moved.faults[FAULT].prior == 0.4
    assert moved.marks[f"fault.{FAULT}.prior"] == own[MILL].marks[f"fault.{FAULT}.prior"]


def test_a_learned_kind_has_its_own_hash_and_says_what_was_learned(kinds):
    moved = with_learned(kinds, outcomes(kinds, (FAULT, True)))
    changed = {name for name in kinds if moved[name].hash != kinds[name].hash}
    assert MILL in changed
    assert moved[MILL].hash == content_hash(moved[MILL])
    marks = {key for key, mark in moved[MILL].marks.items() if mark == LEARNED}
    assert marks == {
        f"fault.{id}.prior"
        for id, fault in kinds[MILL].faults.items()
        if fault.subsystem == "axis motor"
    }
    again = with_learned(moved, outcomes(kinds, (FAULT, True)))
    assert again == moved  # learned already: it is not learned a second time


@pytest.mark.parametrize(
    "owner", [b"", b'[[history]]\nid = "HH"\nshare = 0.9\n'], ids=["as shipped", "own past lives"]
)
def test_learned_shares_hold_with_past_lives_as_shipped(kinds, owner):
    """Summed over all past lives of the fault; an own share of a past life moves it after."""
    source = load((("own.toml", owner),)) if owner else kinds
    kind = taught(source[MILL], {FAULT: 0.37})
    fault = kind.faults[FAULT]
    table = fault_table(kind.base_log_odds[FAULT], list(fault.raisers.values()))
    lives = [kinds[MILL].histories[id].prior for id in fault.raisers]
    total = sum(
        float(table[at]) * float(prod(p if on else 1 - p for p, on in zip(lives, at, strict=True)))
        for at in product((0, 1), repeat=len(lives))
    )
    assert total == pytest.approx(0.37, abs=1e-9)
    other = next(id for id in kind.faults if id != FAULT)
    assert kind.base_log_odds[other] == source[MILL].base_log_odds[other]
