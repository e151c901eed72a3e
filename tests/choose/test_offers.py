"""Waiting for offers, against closed forms, published numbers, and programmes written otherwise."""

from __future__ import annotations

from itertools import product
from math import exp, log, sqrt

import numpy as np
import pytest
from scipy import stats

from retrue.base.refusals import Unusable
from retrue.choose.offer_line import best_line, days_to_sell, follow, heard, waiting_on
from retrue.choose.offers import Bids, Waiting, falling, line_of, reserve

UNIFORM = Bids((np.arange(100_000) + 0.5) / 100_000)
EXPONENTIAL = Bids(stats.expon(scale=3000).ppf((np.arange(200_000) + 0.5) / 200_000))


class TestWhereNothingPresses:
    @pytest.mark.parametrize("cost", [0.005, 0.02, 0.08, 0.125])
    def test_uniform_offers_each_at_a_cost(self, cost: float) -> None:
        """Selling an asset with offers uniform on [0, 1], each at cost c: take from 1 - sqrt(2c).

        DeGroot 1970, Optimal Statistical Decisions, 13.6; the same in McCall 1970 (from memory).
        """
        assert reserve(UNIFORM, Waiting(chance=1.0, cost=cost)) == pytest.approx(
            1 - sqrt(2 * cost), abs=1e-5
        )

    def test_exponential_offers_by_chance(self) -> None:
        """Offers exponential with mean m, at a rate l, waiting c a day: R = m ln(l m / c).

        From l E[max(X - R, 0)] = l m exp(-R / m) = c, by definition.
        """
        chance, cost = 1 / 40, 4.0
        found = reserve(EXPONENTIAL, Waiting(chance=chance, cost=cost))
        assert found == pytest.approx(3000 * log(chance * 3000 / cost), rel=2e-3)

    def test_it_is_what_value_iteration_comes_to(self) -> None:
        """A chain of states written out: an offer in hand, or none; iterated to rest."""
        amounts, chance, cost, discount = np.array([1000.0, 4000.0, 6000.0]), 0.1, 9.0, 0.9995
        value = 0.0
        for _ in range(60_000):
            taken = np.maximum(amounts, value)
            value = discount * ((1 - chance) * value + chance * taken.mean()) - cost
        waiting = Waiting(chance=chance, cost=cost, discount=discount)
        assert reserve(Bids(amounts), waiting) == pytest.approx(value, abs=1e-3)

    def test_waiting_that_costs_more_than_it_brings_is_worth_less_than_nothing(self) -> None:
        assert reserve(UNIFORM, Waiting(chance=0.1, cost=1.0)) < 0


class TestUntilADay:
    def test_mosers_numbers(self) -> None:
        """Moser 1956, On a problem of Cayley, Scripta Mathematica 22: 1/2, 5/8, 0.6953, 0.7417.

        Uniform offers, one a day, no cost: E[n+1] = (1 + E[n]^2) / 2 (numbers from memory).
        """
        worth = falling(UNIFORM, Waiting(chance=1.0), 0.0, 5)
        assert worth[1:].round(4).tolist() == [0.5, 0.625, 0.6953, 0.7417, 0.7751]

    def test_uniform_offers_by_chance_and_no_cost(self) -> None:
        """V' = l (1 - V)^2 / 2 has V(t) = l t / (l t + 2).

        Poisson arrivals; Elfving 1967, A persistency problem connected with a point process,
        Journal of Applied Probability 4 (from memory); checked by differentiation.
        """
        chance, days = 0.002, 5000
        worth = falling(UNIFORM, Waiting(chance=chance), 0.0, days)
        t = chance * np.arange(days + 1)
        assert worth == pytest.approx(t / (t + 2), abs=1e-3)

    def test_exponential_offers_by_chance_and_no_cost(self) -> None:
        """V' = l m exp(-V / m) has V(t) = m ln(exp(D / m) + l t): Karlin 1962 (from memory)."""
        chance, days, last = 0.002, 2000, 900.0
        worth = falling(EXPONENTIAL, Waiting(chance=chance), last, days)
        closed = 3000 * np.log(exp(last / 3000) + chance * np.arange(days + 1))
        assert worth == pytest.approx(closed, rel=3e-3)

    def test_the_tree_of_all_days_written_out(self) -> None:
        """Every branch of five days with offers of three sizes or none, worked through by hand."""
        amounts, chance, cost, discount, last = (2.0, 5.0, 9.0), 0.4, 0.3, 0.98, 1.5

        def worth(days: int) -> float:
            if days == 0:
                return last
            wait = worth(days - 1)
            branches = [(1 - chance, wait)] + [(chance / 3, max(one, wait)) for one in amounts]
            return max(last, discount * sum(odds * gain for odds, gain in branches) - cost)

        waiting = Waiting(chance=chance, cost=cost, discount=discount)
        made = falling(Bids(amounts), waiting, last, 5)
        assert made == pytest.approx([worth(days) for days in range(6)])

    def test_no_other_line_does_better(self) -> None:
        """Every one of 4^5 lines is kept to: none brings more than the one worked out."""
        bids, waiting = Bids([2.0, 5.0, 9.0]), Waiting(chance=0.4, cost=0.1, discount=0.99)
        one, last = np.ones(1), 1.5
        best = best_line(bids, one, one * 0.4, one, waiting, last, 5).followed.value[0]
        every = [
            follow(np.array(line), bids, one, one * 0.4, waiting, last).value[0]
            for line in product((1.5, 3.0, 6.0, 99.0), repeat=5)
        ]
        assert best == pytest.approx(max(every))
        assert best == pytest.approx(falling(bids, waiting, last, 5)[-1])

    def test_the_line_falls_to_what_it_goes_for_in_the_end(self) -> None:
        line = line_of(falling(UNIFORM, Waiting(chance=0.1, cost=0.001), 0.2, 60))
        assert line[-1] == 0.2
        assert (np.diff(line) <= 1e-12).all()

    def test_a_day_that_is_past_is_refused(self) -> None:
        with pytest.raises(Unusable, match="past"):
            falling(UNIFORM, Waiting(chance=1.0), 0.0, -1)


class TestAMarketNobodyKnows:
    levels = np.array([0.7, 1.0, 1.4])
    chances = np.array([0.02, 0.03, 0.05])
    weights = np.array([0.3, 0.4, 0.3])
    waiting = Waiting(chance=0.0, cost=0.0005, discount=0.9998)
    bids = Bids(np.exp(0.3 * stats.norm.ppf((np.arange(400) + 0.5) / 400)))

    def test_what_comes_of_a_line_is_what_a_simulation_gives(self) -> None:
        """Sixty thousand sales played day by day with dice of their own."""
        rng, days, last, plays = np.random.default_rng(3), 60, 0.5, 60_000
        line = np.linspace(1.3, 0.6, days)
        kept = follow(line, self.bids, self.levels, self.chances, self.waiting, last)
        market = rng.integers(0, 3, plays)
        value, there = np.zeros(plays), np.ones(plays, dtype=bool)
        for day in range(days):
            value -= there * self.waiting.cost * self.waiting.discount**day
            offer = self.levels[market] * rng.choice(self.bids.amounts, plays)
            sold = there & (rng.random(plays) < self.chances[market]) & (offer >= line[day])
            value += sold * offer * self.waiting.discount ** (day + 1)
            there &= ~sold
        value += there * last * self.waiting.discount**days
        for which in range(3):
            mine = value[market == which]
            error = mine.std() / sqrt(len(mine))
            assert abs(mine.mean() - kept.value[which]) < 4 * error
            left = there[market == which].mean()
            assert left == pytest.approx(kept.unsold[which, -1], abs=0.01)

    def test_it_comes_near_what_one_who_learns_from_every_offer_can_do(self) -> None:
        """The whole programme of belief and days left, on a grid of what is believed.

        Two markets; each offer and each day without one changes the belief by Bayes' rule.
        """
        levels, chances, prior = np.array([0.75, 1.3]), np.array([0.06, 0.10]), np.array([0.5, 0.5])
        sd, days, last, cost, discount = 0.3, 60, 0.55, 0.002, 0.999
        amounts = np.linspace(0.25, 3.0, 120)
        like = np.array([stats.lognorm.pdf(amounts, s=sd, scale=level) for level in levels])
        like = chances[:, None] * like / like.sum(axis=1, keepdims=True)  # and that one comes
        grid = np.linspace(0.0, 1.0, 201)
        belief = np.array([grid, 1.0 - grid])
        comes, silent = belief.T @ like, belief.T @ (1.0 - chances)
        after = belief[0][:, None] * like[0] / np.maximum(comes, 1e-300)
        quiet = belief[0] * (1.0 - chances[0]) / silent
        worth = np.full(len(grid), last)
        for _ in range(days):
            news = np.maximum(amounts[None, :], np.interp(after, grid, worth))
            value = (comes * news).sum(axis=1) + silent * np.interp(quiet, grid, worth)
            worth = np.maximum(last, discount * value - cost)
        learns = float(np.interp(prior[0], grid, worth))
        bids = Bids(np.exp(sd * stats.norm.ppf((np.arange(400) + 0.5) / 400)))
        waiting = Waiting(chance=0.0, cost=cost, discount=discount)
        made = best_line(bids, levels, chances, prior, waiting, last, days, sd)
        value = float(made.followed.value @ prior)
        assert 0.97 * learns < value < 1.001 * learns

    def test_what_an_offer_says_makes_the_line_better(self) -> None:
        at = (self.bids, self.levels, self.chances, self.weights, self.waiting, 0.5, 300)
        with_news, without = best_line(*at, 0.3), best_line(*at)
        assert with_news.followed.value @ self.weights > without.followed.value @ self.weights
        assert (with_news.take[:200] > with_news.worth[:200]).all()

    @pytest.mark.parametrize("buyers", [0.05, 0.1, 0.15, 0.2, 0.3])
    def test_where_buyers_differ_little_no_news_and_taking_anything_do_no_better(
        self, buyers: float
    ) -> None:
        """A low offer may be worth taking and a middling one not: one line has to do for both.

        That what is learnt breaks the reservation price: Rothschild 1974 (from memory).
        """
        points = stats.norm.ppf((np.arange(200) + 0.5) / 200)
        levels, last, days = 5000.0 * np.exp(0.3 * points), 1500.0, 365
        bids, even = Bids(np.exp(buyers * points)), np.full(200, 1 / 200)
        at = (bids, levels, np.full(200, 0.02), even, Waiting(chance=0.0, cost=3.0), last, days)
        made, deaf = best_line(*at, buyers), best_line(*at)
        value = float(made.followed.value @ even)
        anything = follow(np.full(days, last), *at[:3], at[4], last)
        assert value >= float(deaf.followed.value @ even)
        assert value >= float(anything.value @ even)
        if buyers >= 0.15:
            assert made.take[0] > 0.9 * deaf.take[0]  # it does not fall to what it goes for

    def test_it_does_better_than_the_line_of_the_average_market(self) -> None:
        at = (self.bids, self.levels, self.chances, self.weights, self.waiting, 0.5, 300)
        day = Waiting(chance=float(self.chances @ self.weights), cost=0.0005, discount=0.9998)
        naive = line_of(falling(Bids(self.bids.amounts * 1.03), day, 0.5, 300))
        one = follow(naive, self.bids, self.levels, self.chances, self.waiting, 0.5)
        assert best_line(*at, 0.3).followed.value @ self.weights > one.value @ self.weights

    def test_silence_lowers_what_waiting_is_worth_sooner(self) -> None:
        at = (self.weights, self.waiting, 0.5, 300)
        unsure = best_line(self.bids, self.levels, self.chances, *at).worth
        sure = best_line(self.bids, np.full(3, 1.03), np.full(3, 0.0333), *at).worth
        fell = [(line[0] - line[100]) / line[0] for line in (unsure, sure)]
        assert fell[0] > fell[1]

    def test_on_the_last_evening_it_is_worth_what_it_goes_for(self) -> None:
        line = np.full(20, 0.9)
        on = waiting_on(line, self.bids, self.levels, self.chances, self.waiting, 0.5)
        assert (on.worth[:, -1] == 0.5).all()
        assert (on.worth[1:, 0] > 0.5).all()


class TestWhatOffersSay:
    def test_the_weights_are_bayes_rule_by_a_library(self) -> None:
        """scipy.stats: a lognormal for each amount, a Poisson for how many came."""
        levels, chances = np.array([3000.0, 5000.0, 8000.0]), np.array([0.01, 0.02, 0.03])
        prior, told, days, sd = np.array([0.2, 0.5, 0.3]), [4200.0, 6100.0], 45.0, 0.3
        like = prior * stats.poisson.pmf(len(told), chances * days)
        for one in told:
            like = like * stats.lognorm.pdf(one, s=sd, scale=levels)
        made = heard(levels, chances, prior, told, days, sd)
        assert made == pytest.approx(like / like.sum())

    def test_nothing_heard_for_long_speaks_for_a_slow_market(self) -> None:
        even = np.full(2, 0.5)
        made = heard(np.ones(2), np.array([0.005, 0.05]), even, [], 90.0, 0.3)
        assert made[0] == pytest.approx(1 / (1 + exp(-90 * 0.045)))


def test_days_to_sell_are_read_off_the_chance_that_it_stands_there_still() -> None:
    unsold = (1 - 0.02) ** np.arange(1, 400)
    days = days_to_sell(np.array([unsold]), np.ones(1), (0.1, 0.5, 0.9))
    assert list(days) == [stats.geom.ppf(share, 0.02) for share in (0.1, 0.5, 0.9)]


@pytest.mark.parametrize("amounts", [[], [float("nan")], [1.0, float("inf")]])
def test_offers_that_are_no_numbers_are_refused(amounts: list[float]) -> None:
    with pytest.raises(Unusable):
        Bids(amounts)


@pytest.mark.parametrize("day", [{"chance": 1.2}, {"chance": 0.1, "cost": -1.0},
                                 {"chance": 0.1, "discount": 0.0}])  # fmt: skip
def test_a_day_that_cannot_be_is_refused(day: dict[str, float]) -> None:
    with pytest.raises(Unusable):
        Waiting(**day)
