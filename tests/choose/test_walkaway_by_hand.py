"""What stands behind a walk-away price: its percentiles, its error, the odds of being sorry."""

from __future__ import annotations

import math

import numpy as np
import pytest

from retrue.choose.walkaway import best, down_to_step, prices, sorry_chance, walk_away

SHARES = (0.1, 0.2, 0.5, 0.8, 0.9)


@pytest.mark.parametrize("count", [10, 37, 400])
def test_percentiles_are_the_librarys_of_the_same_definition(count: int) -> None:
    """Hyndman and Fan 1996, definition 1: numpy's inverted_cdf, plain and with weights."""
    chance = np.random.default_rng(count)
    gain, weights = chance.normal(9_000.0, 4_000.0, count), chance.uniform(0.1, 2.0, count)
    made = walk_away(gain, odds=0.8, k=1.16, step=10.0)
    told = (made.p10, made.p20, made.p50, made.p80, made.p90)
    assert told == pytest.approx(np.quantile(gain, SHARES, method="inverted_cdf"))
    made = walk_away(gain, odds=0.8, k=1.16, step=10.0, weights=weights)
    told = (made.p10, made.p20, made.p50, made.p80, made.p90)
    wanted = np.quantile(gain, SHARES, method="inverted_cdf", weights=weights)
    assert told == pytest.approx(wanted)


def test_where_the_mean_rules_its_error_is_the_standard_error() -> None:
    """By hand: 600, 600, 0 have the mean 400 and lie 282.8 from it: that over the root of 3."""
    made = walk_away([600.0, 600.0, 0.0], odds=0.5, k=2.0, step=10.0)
    assert (made.limited_by, made.mean, made.all_in, made.exact) == ("mean", 400.0, 400.0, 200.0)
    assert made.error == pytest.approx(math.sqrt(80_000.0 / 3.0) / 2.0)
    weighed = walk_away([600.0, 0.0], odds=0.5, k=2.0, step=10.0, weights=[2, 1])
    assert weighed.mean == pytest.approx(400.0)
    # two thirds of 200 and one third of 400, each squared
    assert weighed.error == pytest.approx(math.hypot(400.0 / 3.0, 400.0 / 3.0) / 2.0)


def test_where_the_odds_rule_it_is_half_the_way_between_two_places() -> None:
    """By hand: of 0 to 99 one in five lies at 19.

    One standard error, sqrt(0.16 / 100) = 0.04, to either side are 0.16 and 0.24: 15 and 23.
    """
    made = walk_away(np.arange(100.0), odds=0.8, k=2.0, step=1.0)
    assert (made.limited_by, made.all_in, made.amount) == ("odds", 19.0, 9.0)
    assert made.error == pytest.approx((23.0 - 15.0) / 2.0 / 2.0)


@pytest.mark.parametrize(("price", "sorry"), [(49.0, 0.0), (50.0, 0.0), (50.1, 0.25), (80.0, 0.75)])
def test_who_gets_back_what_he_paid_is_not_sorry(price: float, sorry: float) -> None:
    """By hand, at 1.2 a unit: 60, 80, 90, 100 against 58.8, 60, 60.12, 96."""
    assert sorry_chance([60.0, 80.0, 90.0, 100.0], price, k=1.2) == pytest.approx(sorry)


def test_a_hair_is_a_billionth_of_what_is_paid() -> None:
    assert sorry_chance([1e6 - 0.9e-3], 1e6, k=1.0) == 0.0
    assert sorry_chance([1e6 - 1.1e-3], 1e6, k=1.0) == 1.0
    assert sorry_chance([-1.2e-9], 0.0, k=1.0) == 1.0
    assert sorry_chance([-0.8e-9], 0.0, k=1.0) == 0.0


def test_of_options_as_dear_the_higher_mean_then_the_first_row_is_taken() -> None:
    """By hand: at odds of three in four all carry their lowest, 100 over 1 and 120 over 1.2."""
    rows = [
        [100.0, 110.0, 120.0, 130.0],
        [120.0, 150.0, 150.0, 150.0],
        [120.0, 150.0, 150.0, 150.0],
    ]
    assert prices(rows, odds=0.75, k=[1.0, 1.2, 1.2]) == pytest.approx([100.0, 100.0, 100.0])
    place, price = best(rows, odds=0.75, k=[1.0, 1.2, 1.2], step=7.0)
    assert (place, price.amount, price.mean) == (1, 98.0, 142.5)
    assert down_to_step(98.0, 7.0) == 98.0
