"""The exact posterior: against counting every state, and against what any belief must obey."""

import math
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.belief import brute, invented
from tests.cases.lots import kinds, looked_at, lot

from retrue.base.chance import uniforms
from retrue.belief.gather import gather
from retrue.belief.looks import found, leaning, look
from retrue.belief.network import Evidence, Impossible, Network
from retrue.belief.posterior import _attempt, probability_of, update
from retrue.belief.worlds import draw
from retrue.cases.evidence import evidence as evidence_of
from retrue.cases.network import build

seeds = st.integers(0, 2**32 - 1)


@pytest.mark.parametrize("seed", range(60))
@pytest.mark.parametrize("informants", [0, 1, 2])
def test_it_is_what_counting_every_state_gives(seed: int, informants: int):
    net, evidence = invented.case(seed, informants=informants)
    marginal, log_evidence = brute.belief(net, evidence)
    seen = update(net, evidence)
    assert seen.marginal == pytest.approx(marginal, abs=1e-12)
    assert seen.log_evidence == pytest.approx(log_evidence, abs=1e-11)
    assert seen.set_aside == ()


@pytest.mark.parametrize("seed", range(8))
def test_fifteen_findings_on_eight_faults_are_still_exact(seed: int):
    net, evidence = invented.case(seed, findings=15)
    marginal, log_evidence = brute.belief(net, evidence)
    seen = update(net, evidence)
    assert seen.marginal == pytest.approx(marginal, abs=1e-10)
    assert seen.log_evidence == pytest.approx(log_evidence, abs=1e-10)


def test_many_unlikely_sights_of_rare_faults_lose_no_digits():
    """Fourteen sights, each a one in a thousand false alarm, of two faults one in a hundred."""
    net = Network(("a", "b"), np.empty(0), ((), ()), (np.array(0.01), np.array(0.01)))
    evidence = [look(f"k{i:02}", "seen", [0, 1], [1e-3, 2e-3], 1e-3) for i in range(14)]
    marginal, log_evidence = brute.belief(net, evidence)
    seen = update(net, evidence)
    assert seen.marginal == pytest.approx(marginal, abs=1e-10)
    assert seen.log_evidence == pytest.approx(log_evidence, abs=1e-10)


@given(seeds)
def test_the_order_of_findings_does_not_matter(seed: int):
    net, evidence = invented.case(seed, findings=5)
    first = update(net, evidence)
    for mixed in list(permutations(evidence))[::23]:
        again = update(net, mixed)
        assert again.marginal.tobytes() == first.marginal.tobytes()
        assert again.log_evidence == first.log_evidence


@given(seeds)
def test_a_look_that_shows_nothing_changes_nothing(seed: int):
    net, evidence = invented.case(seed, findings=6)
    barren = look("barren", "seen", list(range(net.roots, net.roots + 3)), [0.0] * 3, 0.3)
    before, after = update(net, evidence), update(net, [*evidence, barren])
    assert after.marginal == pytest.approx(before.marginal, abs=1e-13)
    assert after.log_evidence == pytest.approx(before.log_evidence + math.log(0.3), abs=1e-12)


@given(seeds, st.booleans(), st.booleans())
@settings(max_examples=30)
def test_on_average_an_answer_moves_nothing(seed: int, told: bool, degrees: bool):
    """The mean of the posteriors over a look's answers is the belief before (a martingale)."""
    net, evidence = invented.case(seed, findings=6)
    gate = 4 if told else None
    faults = list(range(net.roots, net.roots + 4))
    words = ("not_seen", "slight", "severe") if degrees else ("not_seen", "seen")
    answers: list[Evidence] = [
        look("next", w, faults, [0.9, 0.5, 0.3, 0.7], 0.05, gate=gate) for w in words
    ]
    before = update(net, evidence)
    chances = [probability_of(net, evidence, a) for a in answers]
    assert sum(chances) == pytest.approx(1.0, abs=1e-11)
    after = [update(net, [*evidence, a]).marginal for a in answers]
    mean = sum(c * m for c, m in zip(chances, after, strict=True))
    assert mean == pytest.approx(before.marginal, abs=1e-9)


@given(seeds)
def test_withdrawing_a_finding_restores_every_bit(seed: int):
    net, evidence = invented.case(seed, findings=6)
    before = update(net, evidence)
    update(net, [*evidence, look("more", "seen", [net.roots], [0.9], 0.1)])
    after = update(net, evidence)
    assert after.marginal.tobytes() == before.marginal.tobytes()
    assert after.log_evidence == before.log_evidence


def test_nothing_seen_leaves_the_shares_as_they_are():
    net, _ = invented.case(3)
    seen = update(net, [])
    marginal, _ = brute.belief(net, [])
    assert seen.marginal == pytest.approx(marginal, abs=1e-14)
    assert seen.log_evidence == pytest.approx(0.0, abs=1e-13)


def test_a_network_without_past_lives_is_believed_too():
    net = Network(("a", "b"), np.empty(0), ((), ()), (np.array(0.2), np.array(0.4)))
    evidence = [look("k", "seen", [0, 1], [0.9, 0.5], 0.1), look("l", "not_seen", [1], [0.8], 0)]
    marginal, log_evidence = brute.belief(net, evidence)
    seen = update(net, evidence)
    assert seen.marginal == pytest.approx(marginal, abs=1e-14)
    assert seen.log_evidence == pytest.approx(log_evidence, abs=1e-14)


def test_an_informant_may_also_be_a_past_life_of_its_faults():
    """A gate that stands among a fault's own roots is one variable, not two."""
    net = Network(
        ("h", "a", "b"), np.array([0.3]), ((0,), (0,)), (np.array([0.2, 0.6]), np.array([0.1, 0.5]))
    )
    evidence = [
        look("k", "seen", [1, 2], [0.9, 0.5], 0.1, gate=0),
        look("l", "not_seen", [1], [0.8], 0.1, gate=0),
    ]
    for used in (evidence, evidence[1:]):
        marginal, log_evidence = brute.belief(net, used)
        seen = update(net, used)
        assert seen.marginal == pytest.approx(marginal, abs=1e-14)
        assert seen.log_evidence == pytest.approx(log_evidence, abs=1e-14)


def test_a_fault_seen_at_teardown_is_certain():
    net, evidence = invented.case(5)
    for present in (True, False):
        known = [e for e in evidence if e.key != "teardown"] + [found("x", net.roots, present)]
        assert update(net, known).marginal[net.roots] == pytest.approx(float(present), abs=1e-14)


def test_evidence_that_contradicts_itself_is_refused_and_has_no_chance():
    net, _ = invented.case(5)
    both = [found("x", net.roots, True), found("y", net.roots, False)]
    with pytest.raises(Impossible):
        update(net, both)
    assert probability_of(net, both[:1], both[1]) == 0.0


def test_two_findings_with_one_key_are_refused():
    net, _ = invented.case(5)
    with pytest.raises(ValueError, match="same key"):
        update(net, [leaning("x", 0, 2.0), leaning("x", 1, 2.0)])


def test_a_look_at_a_past_life_is_refused():
    net, _ = invented.case(5)
    with pytest.raises(ValueError, match="past life"):
        update(net, [look("x", "seen", [0, net.roots], [0.5, 0.5], 0.1)])


def test_sums_that_would_underflow_are_scaled():
    """Four hundred one in a hundred false alarms: 1e-800 is no number, its logarithm is."""
    net = Network(("a", "b"), np.empty(0), ((), ()), (np.array(0.5), np.array(0.5)))
    evidence = [look(f"k{i:03}", "not_seen", [0, 1], [0.99, 0.98], 0.99) for i in range(400)]
    seen = update(net, evidence)
    assert seen.log_evidence == pytest.approx(400 * math.log(0.01) + 2 * math.log(0.5), rel=1e-12)


@pytest.mark.parametrize(("prior", "leak"), [(1e-3, 1e-3), (1e-6, 1e-6)])
def test_where_signs_would_cost_digits_whole_tables_are_used(prior: float, leak: float):
    """Nine unlikely sights of the same twelve rare faults: signed alone keeps seven digits."""
    tables = tuple(np.array(prior * (1 + i / 9)) for i in range(12))
    net = Network(tuple(f"f{i}" for i in range(12)), np.empty(0), ((),) * 12, tables)
    evidence = [
        look(f"k{i}", "seen", list(range(12)), [0.3 + 0.01 * (i * j % 7) for j in range(12)], leak)
        for i in range(9)
    ]
    marginal, log_evidence = brute.belief(net, evidence)
    seen = update(net, evidence)
    assert seen.marginal == pytest.approx(marginal, abs=1e-12)
    assert seen.log_evidence == pytest.approx(log_evidence, abs=1e-11)
    assert seen.set_aside == ()


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("size", [30, 50])
def test_the_machining_centre_is_the_same_with_signs_and_without(seed: int, size: int):
    """Signed and whole tables are two different sums of the same thing; agreement 1e-10."""
    case = looked_at(lot("A"), size, seed)
    built = build(case, kinds())
    state = gather(built.network, evidence_of(case, built)[0])
    with_signs, _ = _attempt(state, 1 << 23, whole=False)
    without, _ = _attempt(state, 1 << 23, whole=True)
    assert with_signs is not None
    assert without is not None
    assert with_signs.set_aside == without.set_aside == ()
    assert with_signs.marginal == pytest.approx(without.marginal, abs=1e-10)
    assert with_signs.log_evidence == pytest.approx(without.log_evidence, abs=1e-10)


def test_a_finding_over_very_many_faults_makes_no_table_of_all_of_them():
    """Forty faults behind one sight: 2 to the 40 cells would fit no machine; the sum is exact."""
    count = 40
    net = Network(
        tuple(f"f{n}" for n in range(count)), np.empty(0), ((),) * count,
        (np.array(0.01),) * count,
    )  # fmt: skip
    faults = list(range(count))
    sight = look("a", "seen", faults, [1.0] * count, 0.0)
    seen = update(net, [sight])
    assert seen.set_aside == ()
    some = 1.0 - 0.99**count
    assert seen.marginal == pytest.approx(np.full(count, 0.01 / some), rel=1e-9)
    faint = [look(f"b{n}", "seen", faults[n : n + 30], [1e-9] * 30, 0.0) for n in range(10)]
    assert np.isfinite(update(net, [sight, *faint]).marginal).all()
    drawn = draw(net, [sight], uniforms(1, "w", worlds=20_000, columns=count)).states
    assert drawn.any(axis=0).all()
    assert drawn.mean() == pytest.approx(0.01 / some, rel=0.05)
