"""Renewing together against every choice there is, and against sums by hand."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.choose.together import Opening, Parts, cheapest, costs, parts_of, searched


def behind_all(cost: float, count: int) -> list[Opening]:
    return [Opening(np.array([cost]), np.full(count, True))]


def every(count: int) -> np.ndarray:
    return np.array(list(product([False, True], repeat=count)), dtype=np.bool_)


def by_hand(parts: Parts, openings: list[Opening], renew: tuple[bool, ...]) -> float:
    """Part by part and world by world, as the sum is written on paper."""
    total = 0.0
    for world, weight in enumerate(parts.weight):
        shut = [1.0] * len(openings)
        for i, renewed in enumerate(renew):
            chance = (parts.new if renewed else parts.kept)[i, world]
            total += weight * (parts.money[i] * renewed + chance * parts.failing[i])
            for o, opening in enumerate(openings):
                shut[o] *= 1 - chance * opening.parts[i]
        total += weight * sum(
            opening.cost[world] * (1 - stays) for opening, stays in zip(openings, shut, strict=True)
        )
    return total


def test_the_worked_example_of_the_relays():
    """24 relays at 9, three in a hundred fail: from sums by hand, 24 * 9 = 216."""
    relays = parts_of(np.full(24, 9.0), np.full(24, 0.03))
    cheap, dear = (cheapest(relays, behind_all(k, 24)) for k in (300.0, 600.0))
    assert not cheap.renew.any()
    assert cheap.cost == pytest.approx(24 * 9 * 0.03 + 300 * (1 - 0.97**24))
    assert (round(cheap.cost), round(cheap.cost_all)) == (162, 216)
    assert dear.renew.all()
    assert (round(dear.cost), round(dear.cost_none)) == (216, 318)
    assert cheap.exact


def test_what_a_choice_costs_is_the_sum_on_paper():
    rng = np.random.default_rng(3)
    for _ in range(20):
        count, worlds = int(rng.integers(1, 5)), int(rng.integers(1, 4))
        parts = parts_of(
            rng.uniform(0, 50, count),
            rng.uniform(0, 1, (count, worlds)),
            failing=rng.uniform(0, 80, count),
            new=rng.uniform(0, 0.3, (count, worlds)),
        )
        openings = [Opening(rng.uniform(0, 300, worlds), rng.random(count) < 0.6) for _ in range(2)]
        sets = every(count)
        found = costs(parts, openings, sets)
        expected = [by_hand(parts, openings, tuple(renew)) for renew in sets]
        np.testing.assert_allclose(found, expected, rtol=1e-12)


def drawn(rng: np.random.Generator, count: int) -> Parts:
    """Parts with ties, with chances of nought and one, with some that cost nothing."""
    money = rng.choice([0.0, 5.0, 9.0, 20.0, 75.0], count) * rng.choice([1.0, 1.37], count)
    kept = rng.choice([0.0, 0.02, 0.03, 0.2, 0.6, 1.0], count)
    kept = np.where(rng.random(count) < 0.5, kept, rng.random(count))
    extra = rng.choice([0.0, 0.0, 40.0, 300.0], count)
    new = np.minimum(kept, rng.choice([0.0, 0.01, 0.1], count))
    return parts_of(money, kept, failing=money + extra, new=new)


def test_the_sorted_rule_is_the_best_of_every_choice():
    """300 drawn cases of up to ten parts, five of fourteen: not one choice is cheaper."""
    rng = np.random.default_rng(11)
    sizes = [*rng.integers(1, 11, 300), 14, 14, 14, 14, 14]
    renewed = 0
    for count in sizes:
        parts = drawn(rng, count)
        openings = behind_all(float(rng.choice([0.0, 30.0, 150.0, 600.0])), count)
        found = cheapest(parts, openings)
        best = costs(parts, openings, every(count)).min()
        assert found.exact
        assert found.cost == pytest.approx(best, rel=1e-9, abs=1e-9)
        renewed += int(0 < found.renew.sum() < count)
    assert renewed > 100  # most answers are neither all nor none


def test_the_rule_is_no_guess_by_the_chance_or_the_price_alone():
    """Two that fail often and cost little go, the rare one stays, though renewing all would do."""
    parts = parts_of([5.0, 8.0, 60.0], [0.4, 0.3, 0.02])
    found = cheapest(parts, behind_all(200.0, 3))
    assert found.renew.tolist() == [True, True, False]


@pytest.mark.parametrize("fixed", [(None, True, False), (True, None, None), (False,), ()])
def test_what_the_owner_fixed_stays_and_the_rest_is_best_for_it(fixed):
    rng = np.random.default_rng(5)
    for _ in range(30):
        parts = drawn(rng, 6)
        openings = behind_all(200.0, 6)
        found = cheapest(parts, openings, fixed=fixed)
        held = [(i, one) for i, one in enumerate(fixed) if one is not None]
        allowed = [row for row in every(6) if all(row[i] == one for i, one in held)]
        assert all(found.renew[i] == one for i, one in held)
        best = costs(parts, openings, np.array(allowed)).min()
        assert found.cost == pytest.approx(best, rel=1e-9, abs=1e-9)
        assert found.exact


def tied(rng: np.random.Generator, count: int) -> tuple[Parts, list[Opening]]:
    """Past lives tie the parts; an outer place opens for all, an inner one for some."""
    worlds = int(rng.integers(2, 9))
    life = rng.uniform(1, 3, worlds)
    base = rng.uniform(0, 0.4, count)[:, None]
    kept = np.clip(base * life * rng.choice([0.2, 1.0], (count, worlds)), 0, 1)
    parts = parts_of(
        rng.uniform(0, 80, count), kept, failing=rng.uniform(0, 300, count), new=kept * 0.1
    )
    inner = rng.random(count) < 0.6
    return parts, [
        Opening(rng.uniform(20, 400, worlds), np.full(count, True)),
        Opening(rng.uniform(20, 400, worlds), inner),
    ]


def test_over_worlds_no_choice_is_cheaper_up_to_twelve_parts():
    rng = np.random.default_rng(21)
    for count in [*rng.integers(2, 10, 60), 12, 12]:
        parts, openings = tied(rng, count)
        found = cheapest(parts, openings)
        best = costs(parts, openings, every(count)).min()
        assert (found.exact, found.sure) == (False, True)
        assert found.cost == pytest.approx(best, rel=1e-9)


def test_the_search_for_more_parts_hardly_ever_misses_the_best():
    """Held where every choice can be weighed: never over 1 per cent dearer, and seldom at all."""
    rng = np.random.default_rng(22)
    gaps = []
    for count in [*rng.integers(2, 10, 200), 12, 12, 12]:
        parts, openings = tied(rng, count)
        end = searched(parts, openings, np.zeros(count, dtype=np.bool_), range(count))
        reached = costs(parts, openings, end[None, :])[0]
        gaps.append(reached / costs(parts, openings, every(count)).min() - 1)
    assert max(gaps) < 0.01
    assert np.mean(np.array(gaps) < 1e-9) > 0.97


def test_with_thirty_tied_parts_it_is_a_search_and_says_so():
    parts, openings = tied(np.random.default_rng(4), 30)
    found = cheapest(parts, openings)
    assert not found.sure
    assert found.cost <= min(found.cost_none, found.cost_all)


def test_worlds_that_say_the_same_are_no_worlds():
    parts = parts_of([9.0, 30.0], np.tile([[0.1], [0.5]], 1000))
    found = cheapest(parts, [Opening(np.full(1000, 300.0), np.array([True, True]))])
    alone = cheapest(parts_of([9.0, 30.0], [0.1, 0.5]), behind_all(300.0, 2))
    assert found.exact
    assert found.cost == pytest.approx(alone.cost)


def test_parts_that_fail_together_are_less_often_worth_renewing():
    """The same chances: tied to one bad world they open the place once, apart nearly always."""
    apart = parts_of(np.full(10, 30.0), np.full(10, 0.2))
    bad_world = np.repeat([[1.0, 0.0, 0.0, 0.0, 0.0]], 10, axis=0)
    together = parts_of(np.full(10, 30.0), bad_world)
    opening = [Opening(np.full(5, 350.0), np.full(10, True))]
    assert cheapest(apart, behind_all(350.0, 10)).renew.all()
    assert not cheapest(together, opening).renew.any()


def test_each_part_is_told_kept_and_renewed_with_the_others_as_chosen():
    rng = np.random.default_rng(8)
    parts, openings = tied(rng, 6)
    found = cheapest(parts, openings)
    for i in range(6):
        turned = found.renew.copy()
        turned[i] = not turned[i]
        other = costs(parts, openings, turned[None, :])[0]
        sign = 1 if found.renew[i] else -1
        assert sign * (found.if_kept[i] - found.if_renewed[i]) == pytest.approx(other - found.cost)
    one = cheapest(parts_of([40.0], [0.25]), behind_all(200.0, 1))
    assert (one.if_kept[0], one.if_renewed[0]) == pytest.approx((0.25 * 240, 40.0))


def test_nothing_open_costs_nothing():
    found = cheapest(parts_of([], np.zeros((0, 1))), behind_all(300.0, 0))
    assert (found.cost, found.cost_all, len(found.renew)) == (0, 0, 0)


@pytest.mark.parametrize(("money", "chance"), [(-1.0, 0.1), (1.0, 1.1), (np.nan, 0.1)])
def test_what_cannot_be_weighed_is_refused(money, chance):
    with pytest.raises(Unusable):
        parts_of([money], [chance])
