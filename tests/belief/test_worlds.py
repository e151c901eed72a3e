"""Drawn worlds: exact, independent, and each from its own column of uniform numbers alone."""

import numpy as np
import pytest
from tests.belief import brute, invented

from retrue.base.chance import uniforms
from retrue.belief.looks import found, look
from retrue.belief.network import Impossible, Network
from retrue.belief.posterior import probability_of, update
from retrue.belief.worlds import draw

WORLDS = 100_000


def numbers(seed: int, variables: int, worlds: int = WORLDS) -> np.ndarray:
    return uniforms(seed, "worlds", worlds=worlds, columns=variables)


@pytest.mark.parametrize("seed", range(10))
def test_chances_and_pairs_are_those_of_counting_every_state(seed: int):
    """Every marginal and pairwise joint within 4 standard errors (5 over some thousand pairs)."""
    net, evidence = invented.case(seed, informants=seed % 2)
    count = len(net.names)
    weight = brute.joint(net, evidence)
    weight /= weight.sum()
    every = ((np.arange(1 << count)[:, None] >> np.arange(count)) & 1).astype(float)
    exact = (every * weight[:, None]).T @ every
    drawn = draw(net, evidence, numbers(seed, count)).states.astype(np.float64)
    found_pairs = drawn @ drawn.T / WORLDS
    error = np.sqrt(exact * (1 - exact) / WORLDS) + 1e-9
    apart = np.abs(found_pairs - exact) / error
    assert np.diag(apart).max() < 4.0
    assert apart.max() < 5.0
    assert np.mean(apart > 4.0) < 0.01


@pytest.mark.parametrize("leaf_cells", [1, 40, 200])
@pytest.mark.parametrize("seed", range(4))
def test_worlds_from_the_signed_sum_are_as_exact(seed: int, leaf_cells: int):
    """Chances and pairs again, with auxiliaries that are summed and never drawn."""
    net, evidence = invented.case(seed, findings=12)
    count = len(net.names)
    weight = brute.joint(net, evidence)
    weight /= weight.sum()
    every = ((np.arange(1 << count)[:, None] >> np.arange(count)) & 1).astype(float)
    exact = (every * weight[:, None]).T @ every
    signed = draw(net, evidence, numbers(seed, count), leaf_cells=leaf_cells)
    assert signed.set_aside == ()
    drawn = signed.states.astype(np.float64)
    error = np.sqrt(exact * (1 - exact) / WORLDS) + 1e-9
    apart = np.abs(drawn @ drawn.T / WORLDS - exact) / error
    assert np.diag(apart).max() < 4.5
    assert np.mean(apart > 4.0) < 0.01
    few = draw(net, evidence, numbers(seed, count, 700), leaf_cells=leaf_cells).states
    assert (few == signed.states[:, :700]).all()


@pytest.mark.parametrize("seed", range(6))
def test_more_worlds_leave_the_first_ones_as_they_were(seed: int):
    net, evidence = invented.case(seed)
    few = draw(net, evidence, numbers(seed, len(net.names), 700)).states
    many = draw(net, evidence, numbers(seed, len(net.names), 2500)).states
    assert (few == many[:, :700]).all()


def test_a_world_depends_on_its_own_column_alone():
    net, evidence = invented.case(11)
    table = numbers(1, len(net.names), 500)
    mixed = np.random.Generator(np.random.Philox(1)).permutation(500)
    assert (
        draw(net, evidence, table[:, mixed]).states == draw(net, evidence, table).states[:, mixed]
    ).all()


def test_the_order_of_findings_does_not_matter():
    net, evidence = invented.case(12)
    table = numbers(2, len(net.names), 500)
    assert (draw(net, evidence, table).states == draw(net, evidence[::-1], table).states).all()


@pytest.mark.parametrize("seed", range(5))
def test_on_average_an_answer_moves_nothing_in_worlds_either(seed: int):
    """Worlds after each answer, weighed by its chance, have the chances from before (4 errors)."""
    net, evidence = invented.case(seed, findings=5)
    faults = list(range(net.roots, net.roots + 4))
    answers = [look("next", w, faults, [0.9, 0.5, 0.3, 0.7], 0.05) for w in ("not_seen", "seen")]
    mean, variance = np.zeros(len(net.names)), np.zeros(len(net.names))
    for place, answer in enumerate(answers):
        chance = probability_of(net, evidence, answer)
        states = draw(net, [*evidence, answer], numbers(seed + 100 * place, len(net.names))).states
        share = states.mean(axis=1)
        mean += chance * share
        variance += chance**2 * share * (1 - share) / WORLDS
    assert (np.abs(mean - update(net, evidence).marginal) < 4.2 * np.sqrt(variance) + 1e-9).all()


def test_what_is_known_is_so_in_every_world():
    net, evidence = invented.case(7)
    known = [e for e in evidence if e.key != "teardown"]
    known += [found("x", net.roots, True), found("y", net.roots + 1, False)]
    states = draw(net, known, numbers(3, len(net.names), 2000)).states
    assert states[net.roots].all()
    assert not states[net.roots + 1].any()


def test_a_network_without_past_lives_is_drawn_too():
    net = Network(("a", "b"), np.empty(0), ((), ()), (np.array(0.2), np.array(0.4)))
    for evidence in ([], [look("k", "seen", [0, 1], [0.9, 0.5], 0.1)]):
        share = draw(net, evidence, numbers(5, 2)).states.mean(axis=1)
        assert share == pytest.approx(update(net, evidence).marginal, abs=0.007)
    never = [found("x", 0, True), found("y", 0, False)]
    with pytest.raises(Impossible):
        draw(net, never, numbers(5, 2, 10))


def test_what_cannot_be_is_refused():
    net, _ = invented.case(7)
    table = numbers(4, len(net.names), 10)
    both = [found("x", net.roots, True), found("y", net.roots, False)]
    with pytest.raises(Impossible):
        draw(net, both, table)
    with pytest.raises(ValueError, match="one row"):
        draw(net, [], table[1:])
