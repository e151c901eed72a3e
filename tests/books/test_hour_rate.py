"""The cost of an hour against worked examples of the trade and of engineering."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.books.hour_rate import capital_a_year, hour_rate, loaded_wage, price_an_hour
from retrue.books.value import capital_charge, capital_recovery_factor

ALIKE = {"floor": 1_344.0}
RESTORED = {
    "capital": float(capital_a_year(33_700.0, 7_000.0, 0.08, 7.0)),
    **ALIKE,
    "maintenance": 2_500.0,
    "insurance": 200.0,
    "tooling": 1_500.0,
}
NEW = {
    "capital": float(capital_a_year(95_000.0, 38_000.0, 0.08, 7.0)),
    **ALIKE,
    "maintenance": 1_200.0,
    "insurance": 600.0,
    "tooling": 1_500.0,
}


def energy(hours: float) -> float:
    return hours * 6.0 * 0.25


def test_a_restored_machine_and_a_new_one_at_nine_hundred_hours():
    """Common practice, from memory: 5 688 and 13 988 a year; 12 582 and 19 982 over 900 h."""
    used = hour_rate(RESTORED | {"energy": energy(900.0)}, 900.0)
    new = hour_rate(NEW | {"energy": energy(900.0)}, 900.0)
    assert RESTORED["capital"] == pytest.approx(5_688, abs=0.6)
    assert NEW["capital"] == pytest.approx(13_988, abs=0.6)
    assert float(used.a_year[0]) == pytest.approx(12_582, abs=1)
    assert float(new.a_year[0]) == pytest.approx(19_982, abs=1)
    assert round(used.mean) == 14
    assert round(new.mean) == 22


def test_the_same_two_at_two_hundred_and_fifty_hours():
    """Common practice, from memory: about 46 against 76 an hour, tooling held constant."""
    used = hour_rate(RESTORED | {"energy": energy(250.0)}, 250.0)
    new = hour_rate(NEW | {"energy": energy(250.0)}, 250.0)
    assert round(used.mean) == 46
    assert round(new.mean) == 76


def test_the_rate_of_a_public_cost_page():
    """Secondary source, a web page: 39 357 over 3 200 h = 12.30, with wages 46.30; 28.37, 62.37."""
    running = {"maintenance": 12_000.0, "power": 8_500.0, "floor": 6_000.0}
    cheap = hour_rate({"life": 90_000.0 / 7} | running, 3_200.0)
    assert float(cheap.a_year[0]) == pytest.approx(39_357, abs=0.5)
    assert cheap.mean == pytest.approx(12.30, abs=0.005)
    assert (cheap.mean + 34.0) * 50 / 3600 == pytest.approx(0.643, abs=0.0005)
    dear = hour_rate({"life": 450_000.0 / 7} | running, 3_200.0)
    assert dear.mean == pytest.approx(28.37, abs=0.005)
    assert dear.mean + 34.0 == pytest.approx(62.37, abs=0.005)


def test_capital_comes_back_as_the_factors_of_engineering_economy_say():
    """Factors 0.263797 (10 %, 5 y) and 0.174015 (8 %, 8 y); 60 000 less 10 000: 9 500.74 a year."""
    assert capital_recovery_factor(0.10, 5) == pytest.approx(0.263797, abs=5e-7)
    assert float(capital_a_year(1.0, 0.0, 0.08, 8.0)) == pytest.approx(0.174015, abs=5e-7)
    assert float(capital_a_year(60_000.0, 10_000.0, 0.08, 8.0)) == pytest.approx(9_500.74, abs=0.03)


def test_wages_overhead_and_margin_of_a_public_worked_example():
    """Secondary source, a web page: 41.60 + 84.91 = 126.51 break-even; 158.13 at 20 % on price."""
    overhead = hour_rate({"overhead": 10_300.0}, 173.3 * 0.70)
    cost = loaded_wage(32.0, 0.30) + overhead.mean
    assert cost == pytest.approx(126.51, abs=0.005)
    assert price_an_hour(cost, 0.20) == pytest.approx(158.13, abs=0.01)


def test_worlds_give_what_one_world_at_a_time_gives():
    rng = np.random.default_rng(3)
    paid, left, years = rng.uniform(1e3, 9e4, 50), rng.uniform(0, 2e4, 50), rng.uniform(1, 20, 50)
    for interest in (0.08, 0.0):
        every = capital_a_year(paid, left, interest, years)
        alone = [
            capital_charge(price, resale, interest, life)
            for price, resale, life in zip(paid, left, years, strict=True)
        ]
        np.testing.assert_allclose(every, alone, rtol=1e-12)


def test_the_mean_is_that_of_the_ratio_and_never_the_ratio_of_the_means():
    """By hand: 8 000 a year over 200 h or 800 h is 40 or 10, on average 25; over 500 h it is 16."""
    rate = hour_rate({"all": 8_000.0}, [200.0, 800.0])
    assert rate.mean == 25.0
    assert rate.mean != 8_000.0 / rate.hours.mean()


def test_for_lognormal_hours_the_mean_is_the_published_one():
    """Mean of 1/h for a lognormal of median m and log-sd s: exp(s^2/2)/m (reciprocal lognormal)."""
    quantiles = (np.arange(200_000) + 0.5) / 200_000
    from scipy.stats import norm

    hours = 200.0 * np.exp(0.5 * norm.ppf(quantiles))
    assert hour_rate({"all": 1_000.0}, hours).mean == pytest.approx(
        1_000.0 / 200.0 * np.exp(0.125), rel=1e-3
    )


def test_parts_together_are_the_whole():
    rate = hour_rate({"a": [1.0, 2.0], "b": 3.0}, [2.0, 4.0])
    np.testing.assert_allclose(sum(rate.parts.values()), rate.total)
    np.testing.assert_allclose(rate.a_year, [4.0, 5.0])


@pytest.mark.parametrize("hours", [0.0, [100.0, 0.0], -5.0, float("nan")])
def test_hours_that_are_none_are_refused(hours):
    with pytest.raises(Unusable, match="hours"):
        hour_rate({"a": 1.0}, hours)


def test_what_cannot_be_is_refused():
    with pytest.raises(Unusable):
        hour_rate({}, 1.0)
    with pytest.raises(Unusable):
        capital_a_year(1.0, 0.0, 0.08, [7.0, 0.0])
    with pytest.raises(Unusable):
        capital_a_year(1.0, 0.0, -1.0, [7.0, 7.0])
    for margin in (1.0, -0.1, 1.2):
        with pytest.raises(Unusable):
            price_an_hour(50.0, margin)
