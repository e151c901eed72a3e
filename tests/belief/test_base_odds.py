"""The listed share of a fault holds with its past lives averaged in."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.special import expit, logit

from retrue.belief.base_odds import fault_table, solve_base

raisers = st.lists(st.tuples(st.floats(0.1, 20.0), st.floats(0.01, 0.99)), min_size=0, max_size=6)


def mean(base: float, sizes: list[float], shares: list[float]) -> float:
    weight = np.ones(())
    for share in shares:
        weight = np.multiply.outer(weight, [1 - share, share])
    return float((weight * fault_table(base, sizes)).sum())


@given(st.floats(0.001, 0.999), raisers)
def test_the_listed_share_holds(prior: float, pairs: list[tuple[float, float]]):
    sizes, shares = [p[0] for p in pairs], [p[1] for p in pairs]
    assert mean(solve_base(prior, sizes, shares), sizes, shares) == pytest.approx(prior, abs=1e-12)


def test_the_root_is_the_one_a_general_solver_finds():
    """Against scipy.optimize.brentq (Brent 1973) on the same sum written out by hand."""
    sizes, shares = [2.5, 1.8, 2.0], [0.4, 0.35, 0.2]

    def gap(base: float) -> float:
        total = 0.0
        for a in (0, 1):
            for b in (0, 1):
                for c in (0, 1):
                    weight = np.prod(
                        [s if on else 1 - s for s, on in zip(shares, (a, b, c), strict=True)]
                    )
                    shift = np.log(2.5) * a + np.log(1.8) * b + np.log(2.0) * c
                    total += weight * expit(base + shift)
        return float(total) - 0.3

    assert solve_base(0.3, sizes, shares) == pytest.approx(
        brentq(gap, -9, 9, xtol=1e-14), abs=1e-10
    )


def test_without_past_lives_the_base_is_the_share_itself():
    assert solve_base(0.2, [], []) == pytest.approx(float(logit(0.2)), abs=1e-14)


def test_a_raiser_multiplies_the_odds():
    table = fault_table(solve_base(0.3, [2.5], [0.4]), [2.5])
    odds = table / (1 - table)
    assert odds[1] / odds[0] == pytest.approx(2.5, rel=1e-12)


@pytest.mark.parametrize(
    ("prior", "sizes", "shares"),
    [(0.0, [], []), (1.0, [], []), (0.3, [0.0], [0.4]), (0.3, [-1.0], [0.4]), (0.3, [2.0], [])],
)
def test_what_has_no_root_is_refused(prior: float, sizes: list[float], shares: list[float]):
    with pytest.raises(ValueError):
        solve_base(prior, sizes, shares)
