"""The order in which ways are tried: settled beforehand, by expected cost."""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.plan.ways import Order, Trial, cheapest_order

WAYS = st.builds(
    Trial,
    name=st.sampled_from(["clean", "adjust", "repair", "replace", "local", "outside"]),
    money=st.integers(0, 5000).map(float),
    hours=st.integers(0, 40).map(float),
    cures=st.integers(5, 99).map(lambda share: share / 100),
    paid_if_it_fails=st.sampled_from([0.2, 0.6, 1.0]),
)


def by_hand(ways: tuple[Trial, ...], order: tuple[Trial, ...], rate: float) -> float:
    """Expected cost of one order, walked through step by step."""
    surest = max(ways, key=lambda way: (way.cures, -way.money))
    cost, reached = 0.0, 1.0
    for way in order:
        worked = way.cures * way.money + (1 - way.cures) * way.money * way.paid_if_it_fails
        cost += reached * (worked + way.hours * rate)
        reached *= 1 - way.cures
    return cost + reached * (surest.money + surest.hours * rate)


@given(st.lists(WAYS, min_size=1, max_size=5, unique_by=lambda w: w.name), st.integers(0, 60))
def test_no_order_of_up_to_four_ways_is_cheaper(ways: list[Trial], rate: int) -> None:
    found = cheapest_order(tuple(ways), rate)
    assert found is not None
    best = min(
        by_hand(tuple(ways), order, rate)
        for length in range(1, min(4, len(ways)) + 1)
        for order in permutations(ways, length)
    )
    assert found.money + found.hours * rate == pytest.approx(best, rel=1e-9, abs=1e-6)


def test_one_cheap_long_shot_does_not_look_certain() -> None:
    """If the surest of the chosen order cured, a 5 euro wipe would price a 6,000 euro rebuild."""
    wipe = Trial("clean", money=5, hours=0, cures=0.05)
    rebuild = Trial("outside", money=6000, hours=10, cures=0.95)
    order = cheapest_order((wipe, rebuild), rate=0.0)
    assert order is not None
    assert order.surest == "outside"
    assert order.money >= 0.95 * 6000


def test_living_with_it_is_never_the_sure_way_out() -> None:
    live = Trial("live_with", money=0, hours=0, cures=0.9)
    repair = Trial("repair", money=100, hours=1, cures=0.6)
    order = cheapest_order((live, repair), rate=10.0)
    assert order is not None
    assert order.surest == "repair"
    assert order.money == pytest.approx(0.1 * 100)


def test_own_hours_decide_between_own_work_and_a_shop() -> None:
    own = Trial("repair", money=100, hours=20, cures=0.9)
    shop = Trial("local", money=600, hours=2, cures=0.9)
    cheap, dear = cheapest_order((own, shop), 0.0), cheapest_order((own, shop), 45.0)
    assert cheap is not None
    assert dear is not None
    assert cheap.steps[0] == "repair"
    assert dear.steps[0] == "local"


def test_textbook_repair_sequence_of_independent_acts() -> None:
    """Kadane and Simon's ratio rule: with a sure last act, order by chance over cost.

    Chances .4 .3 .2 .1 of one fault and costs 5 15 1 8 are the usual exercise; here each way
    cures what the earlier ones left, so the rule is p / c on what is left; checked by hand above.
    """
    ways = tuple(
        Trial(name, money=cost, hours=0, cures=chance)
        for name, cost, chance in (("a", 5, 0.4), ("b", 15, 0.3), ("c", 1, 0.2), ("d", 8, 0.999))
    )
    order = cheapest_order(ways, 0.0)
    assert isinstance(order, Order)
    ratio = [next(w.cures / w.money for w in ways if w.name == step) for step in order.steps]
    assert ratio == sorted(ratio, reverse=True)


def test_nothing_to_choose_from_is_no_order() -> None:
    assert cheapest_order((), 10.0) is None


def test_reaching_each_step_is_the_product_of_failures() -> None:
    ways = (
        Trial("a", money=1, hours=0, cures=0.5),
        Trial("b", money=10, hours=0, cures=0.5),
        Trial("c", money=1000, hours=0, cures=0.9),
    )
    order = cheapest_order(ways, 0.0)
    assert order is not None
    assert np.allclose(order.attempted[:3], [1.0, 0.5, 0.25])


@given(st.lists(WAYS, min_size=2, max_size=4, unique_by=lambda w: w.name), st.integers(0, 60))
def test_a_way_that_is_to_be_first_is_first_and_the_rest_as_cheap_as_can_be(
    ways: list[Trial], rate: int
) -> None:
    first = ways[-1]
    found = cheapest_order(tuple(ways), rate, first.name)
    assert found is not None
    assert found.steps[0] == first.name
    best = min(
        by_hand(tuple(ways), order, rate)
        for length in range(1, len(ways) + 1)
        for order in permutations(ways, length)
        if order[0] is first
    )
    assert found.money + found.hours * rate == pytest.approx(best, rel=1e-9, abs=1e-6)


def test_a_name_that_is_none_of_the_ways_changes_nothing() -> None:
    ways = (Trial("clean", 5, 1, 0.5), Trial("replace", 100, 2, 0.95))
    assert cheapest_order(ways, 20.0, "outside") == cheapest_order(ways, 20.0)
