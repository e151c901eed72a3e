"""Offers at their ends, and what to take in a market nobody knows: written out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import lognorm, norm

from retrue.base.refusals import Unusable
from retrue.choose.offer_line import best_line
from retrue.choose.offers import Bids, Waiting, reserve

BUYERS, LAST = 0.3, 0.5
LEVELS, CHANCES, WEIGHTS = np.array([1.0, 1.5]), np.array([0.2, 0.6]), np.array([0.5, 0.5])


def test_an_offer_of_the_first_day_is_weighed_by_that_offer_and_by_nothing_else() -> None:
    """Bayes' rule: the prior times the chance of an offer times its density; nothing came before.

    Waiting on is then the last day alone: any offer above ``LAST`` is taken, else that is had.
    """
    bids = Bids(np.exp(BUYERS * norm.ppf((np.arange(4_000) + 0.5) / 4_000)))
    line = best_line(bids, LEVELS, CHANCES, WEIGHTS, Waiting(chance=0.0), LAST, 2, BUYERS)
    market = lognorm(s=BUYERS, scale=LEVELS)
    above = np.array([lognorm(s=BUYERS, scale=one).expect(lb=LAST) for one in LEVELS])
    waits = CHANCES * above + (1.0 - CHANCES * market.sf(LAST)) * LAST

    def short(offer: float) -> float:
        told = WEIGHTS * CHANCES * market.pdf(offer)
        return offer - float(told @ waits / told.sum())

    assert line.take[0] == pytest.approx(brentq(short, 0.5, 2.0), rel=2e-3)
    assert line.take[1] == pytest.approx(LAST, rel=1e-6)
    silent = WEIGHTS * (1.0 - CHANCES * market.sf(line.take[0]))
    assert line.worth[0] == pytest.approx(float(silent @ waits / silent.sum()), rel=0.05)


def test_what_no_offer_reaches_is_had_never_and_brings_nothing() -> None:
    """By hand, of 100, 200, 300: at 300 one in three, which brings 100 on average; above none."""
    bids = Bids([300.0, 100.0, 200.0])
    reached, brings = bids.above([100.0, 300.0, 300.5])
    assert reached.tolist() == pytest.approx([1.0, 1 / 3, 0.0])
    assert brings.tolist() == pytest.approx([200.0, 100.0, 0.0])
    assert bids.excess(400.0) == 0.0


@pytest.mark.parametrize(
    ("day", "least"),
    [
        ({"chance": 0.1}, 300.0),  # waiting costs nothing: only the highest will do
        ({"chance": 0.0}, 0.0),  # and where nobody comes, it is worth nothing
        ({"chance": 0.0, "cost": 2.0}, -math.inf),  # there is no end to what it costs
        ({"chance": 0.0, "cost": 2.0, "discount": 0.98}, -100.0),  # 2 a day for ever: 2 / 0.02
        ({"chance": 1.0, "cost": 50.0}, 175.0),
    ],
)
def test_the_least_to_take_where_nothing_presses(day: dict[str, float], least: float) -> None:
    """By hand. The last: between 100 and 200, (200 - R + 300 - R) / 3 = 50 at R = 175."""
    assert reserve(Bids([100.0, 200.0, 300.0]), Waiting(**day)) == pytest.approx(least)


def test_money_is_worth_no_more_later() -> None:
    with pytest.raises(Unusable):
        Waiting(chance=0.5, discount=1.01)
