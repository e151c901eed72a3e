"""A visit as one joint answer, against enumerating every set of answers."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from retrue.base.chance import stream
from retrue.base.refusals import Unusable
from retrue.choose.looking import perfect_information, worth_of_answers
from retrue.choose.visit import worth_of_visit


def network(seed, faults=9, looks=7):
    """A few faults and looks, noisy-or, with three decisions; every state with its weight."""
    source = stream(seed, "visit")
    chance = source.uniform(0.05, 0.4, faults)
    cost = source.uniform(300, 4_000, faults)
    shows = np.where(source.random((looks, faults)) < 0.35, source.uniform(0.4, 0.95), 0.0)
    states = np.array(list(itertools.product((0, 1), repeat=faults)))
    weights = np.where(states, chance, 1 - chance).prod(axis=1)
    seen = 1 - 0.95 * np.where(states[None], 1 - shows[:, None], 1).prod(axis=2)
    bill = states @ cost
    worth = (chance * cost).sum() + source.normal(0, 500)
    return np.array([np.zeros(len(states)), worth - bill, 0.6 * worth - 0.3 * bill]), seen, weights


def joint(seen):
    """All looks as one question with 2**looks answers."""
    picks = itertools.product((0, 1), repeat=len(seen))
    return np.array(
        [np.where(np.array(pick)[:, None], seen, 1 - seen).prod(axis=0) for pick in picks]
    )


@pytest.mark.parametrize("seed", range(6))
def test_a_visit_earns_nearly_all_that_its_answers_together_are_worth_and_never_more(seed):
    gains, seen, weights = network(seed)
    wanted = worth_of_answers(gains, [joint(seen)], weights=weights, split=False).worth[0]
    source = stream(seed, "worlds")
    drawn = source.choice(len(weights), 20_000, p=weights / weights.sum())
    visit = worth_of_visit(gains[:, drawn], list(seen[:, drawn]), source.random((7, 20_000)))
    assert visit.raw <= wanted + 4 * visit.error
    assert visit.raw >= 0.88 * wanted - 4 * visit.error
    assert wanted <= perfect_information(gains, weights=weights)


def test_the_stated_error_is_the_scatter_over_fresh_draws():
    gains, seen, weights = network(3)
    raws, errors = [], []
    for again in range(80):
        source = stream(again, "scatter")
        drawn = source.choice(len(weights), 2_000, p=weights / weights.sum())
        visit = worth_of_visit(gains[:, drawn], list(seen[:, drawn]), source.random((7, 2_000)))
        raws.append(visit.raw)
        errors.append(visit.error)
    assert np.mean(errors) == pytest.approx(np.std(raws), rel=0.35)


def test_a_visit_that_shows_nothing_is_worth_nothing():
    gains, _, weights = network(1)
    source = stream(1, "barren")
    drawn = source.choice(len(weights), 10_000, p=weights / weights.sum())
    visit = worth_of_visit(gains[:, drawn], [np.full(10_000, 0.5)] * 5, source.random((5, 10_000)))
    assert visit.worth == 0
    assert abs(visit.raw) <= 4 * visit.error


def test_many_looks_that_show_nothing_do_not_flatter_a_visit_of_few_worlds():
    """Learnt and judged on the same worlds, forty barren looks would seem to tell much."""
    raws = []
    for again in range(40):
        source = stream(again, "flattery")
        gains = np.array([np.zeros(400), source.normal(0, 1_000, 400)])
        looks = [np.full(400, 0.5)] * 40
        raws.append(worth_of_visit(gains, looks, source.random((40, 400))).raw)
    assert np.mean(raws) < 2 * np.std(raws) / np.sqrt(40)


def test_a_visit_is_worth_more_than_its_best_single_look():
    gains, seen, weights = network(0)
    single = worth_of_answers(gains, list(seen), weights=weights, split=False).worth.max()
    source = stream(0, "more")
    drawn = source.choice(len(weights), 20_000, p=weights / weights.sum())
    visit = worth_of_visit(gains[:, drawn], list(seen[:, drawn]), source.random((7, 20_000)))
    assert visit.raw > single + 4 * visit.error


def test_the_look_that_tells_most_comes_first_and_shares_add_up():
    source = stream(2, "order")
    faults = source.random((3, 10_000)) < 0.3
    gains = np.array([np.zeros(10_000), 1_500 - np.array([200.0, 4_000.0, 1_000.0]) @ faults])
    looks = [0.05 + 0.9 * each for each in faults]
    visit = worth_of_visit(gains, looks, source.random((3, 10_000)))
    assert visit.order == (1, 2, 0)
    assert sum(visit.share) == pytest.approx(1)
    assert visit.share[0] > visit.share[1] > visit.share[2]


def test_with_an_hour_only_the_most_telling_looks_for_their_minutes_are_taken():
    source = stream(2, "order")
    faults = source.random((3, 10_000)) < 0.3
    gains = np.array([np.zeros(10_000), 1_500 - np.array([900.0, 1_100.0, 1_000.0]) @ faults])
    looks = [0.05 + 0.9 * each for each in faults]
    minutes = [20.0, 90.0, 30.0]
    uniforms = source.random((3, 10_000))
    visit = worth_of_visit(gains, looks, uniforms, minutes=minutes, limit_minutes=60)
    assert visit.order == (0, 2)
    assert visit.raw < worth_of_visit(gains, looks, uniforms).raw


def test_a_look_with_three_answers_tells_what_its_two_halves_tell():
    source = stream(4, "three")
    grade = source.integers(0, 3, 12_000)
    gains = np.array([np.zeros(12_000), np.choose(grade, [1_500.0, 200.0, -2_500.0])])
    three = [(grade == each).astype(float) for each in range(3)]
    uniforms = source.random((2, 12_000))
    whole = worth_of_visit(gains, [np.array(three)], uniforms[:1])
    parts = worth_of_visit(gains, [three[0], three[1]], uniforms)
    assert whole.raw == pytest.approx(parts.raw)
    assert whole.raw == pytest.approx(perfect_information(gains), rel=0.02)


def test_no_time_means_no_looks_and_no_worth():
    gains, seen, _ = network(5)
    visit = worth_of_visit(
        gains, list(seen), np.full((7, 512), 0.5), minutes=np.full(7, 10.0), limit_minutes=5
    )
    assert (visit.order, visit.worth) == ((), 0.0)


def test_gains_and_looks_over_different_worlds_are_refused():
    with pytest.raises(Unusable):
        worth_of_visit(np.zeros((2, 10)), [np.zeros(9)], np.zeros((1, 9)))
