"""What an answer says: noisy-or, degrees, readings, candour."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import lognorm
from tests.belief.brute import likelihood

from retrue.belief.looks import ABSENT_RATIO, Spread, found, leaning, look, reading
from retrue.belief.network import Seen

chance = st.floats(0.0, 1.0)
links = st.lists(chance, min_size=0, max_size=5)


def states(count: int) -> np.ndarray:
    return np.array(list(itertools.product((0, 1), repeat=count)), dtype=int)


@pytest.mark.parametrize(
    ("present", "no_fever"),
    [((1, 1, 1), 0.012), ((0, 1, 1), 0.02), ((1, 1, 0), 0.12), ((0, 0, 0), 1.0)],
)
def test_fever_has_the_textbook_chances(present: tuple[int, ...], no_fever: float):
    """Russell and Norvig, Artificial Intelligence, noisy-or of cold, flu and malaria.

    Inhibition 0.6, 0.2, 0.1 (from memory): P(no fever) = 0.012 with all three, 0.02 with flu and
    malaria, 0.12 with cold and flu.
    """
    seen = look("fever", "not_seen", [0, 1, 2], [0.4, 0.8, 0.9], 0.0)
    assert likelihood(seen, np.array([present]))[0] == pytest.approx(no_fever, abs=1e-15)


@given(links, chance, st.booleans(), st.floats(0.0, 1.0))
def test_yes_and_no_sum_to_one(values: list[float], leak: float, told: bool, share: float):
    gate = len(values) if told else None
    rows = states(len(values) + 1)
    faults = list(range(len(values)))
    both = [
        likelihood(look("k", w, faults, values, leak, share=share, gate=gate), rows)
        for w in ("not_seen", "seen")
    ]
    assert np.sum(both, axis=0) == pytest.approx(1.0, abs=1e-14)


@given(links, chance, st.booleans())
def test_degrees_sum_to_one_and_are_chances(values: list[float], leak: float, told: bool):
    gate = len(values) if told else None
    rows = states(len(values) + 1)
    faults = list(range(len(values)))
    parts = [
        likelihood(look("k", w, faults, values, leak, gate=gate), rows)
        for w in ("not_seen", "slight", "severe")
    ]
    assert np.sum(parts, axis=0) == pytest.approx(1.0, abs=1e-14)
    assert min(p.min() for p in parts) >= -1e-15


def test_severe_takes_half_the_link_and_a_quarter_of_the_leak():
    rows = np.array([[0], [1]])
    severe = likelihood(look("k", "severe", [0], [0.6], 0.08), rows)
    assert severe.tolist() == pytest.approx([0.02, 1 - 0.98 * 0.7], abs=1e-15)


def test_a_teller_who_is_not_candid_shows_three_tenths():
    seen = look("k", "seen", [0], [0.8], 0.1, gate=1)
    rows = np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
    expected = [0.03, 0.1, 1 - 0.97 * (1 - 0.24), 1 - 0.9 * 0.2]
    assert likelihood(seen, rows) == pytest.approx(expected, abs=1e-15)


def test_a_cured_fault_speaks_only_by_what_is_left_of_it():
    left = look("k", "not_seen", [0, 1], [0.8, 0.5], 0.1, share=[1 - 0.75, 1.0])
    assert left.ratio[0, 0].tolist() == pytest.approx([1 - 0.8 * 0.25, 0.5])


@pytest.mark.parametrize("value", [0.01, 0.7, 1.0, 2.5, 40.0])
def test_the_log_normal_is_scipys(value: float):
    """Against scipy.stats.lognorm."""
    spread, other = Spread(1.3, 0.45), lognorm(s=0.45, scale=1.3)
    assert spread.below(value) == pytest.approx(other.cdf(value), rel=1e-12)
    assert spread.above(value) == pytest.approx(other.sf(value), rel=1e-12)


@given(
    st.lists(st.floats(0.1, 10.0), min_size=1, max_size=4, unique=True),
    st.sampled_from(["high", "low"]),
)
def test_the_bins_of_a_measure_sum_to_one(edges: list[float], side: str):
    """Whatever is read, the reading lies in one of the bins (none so thin that it is widened)."""
    cuts = [0.0, *sorted(edges), math.inf]
    parts = {0: Spread(2.0, 0.8), 1: Spread(5.0, 0.8)}
    rows = states(2)
    bins = [
        reading("r", low, high, Spread(1.0, 0.8), parts, side)
        for low, high in itertools.pairwise(cuts)
        if high - low > 0.01 * high or high == math.inf  # an interval is at least 1 % wide
    ]
    if len(bins) == len(cuts) - 1:
        assert np.sum([likelihood(b, rows) for b in bins], axis=0) == pytest.approx(1, abs=1e-12)


def test_a_high_reading_is_the_largest_part():
    """P(max <= x) is the product of the distribution functions (Coles 2001, section 3.1.1)."""
    parts = {0: Spread(4.0, 0.5)}
    seen = reading("r", 2.0, 3.0, Spread(1.0, 0.5), parts, "high")
    one, two = lognorm(s=0.5, scale=1.0), lognorm(s=0.5, scale=4.0)
    expected = [one.cdf(3) - one.cdf(2), one.cdf(3) * two.cdf(3) - one.cdf(2) * two.cdf(2)]
    assert likelihood(seen, np.array([[0], [1]])) == pytest.approx(expected, rel=1e-12)


def test_a_low_reading_is_the_smallest_part():
    seen = reading("r", 2.0, 3.0, Spread(9.0, 0.5), {0: Spread(4.0, 0.5)}, "low")
    one, two = lognorm(s=0.5, scale=9.0), lognorm(s=0.5, scale=4.0)
    expected = [one.sf(2) - one.sf(3), one.sf(2) * two.sf(2) - one.sf(3) * two.sf(3)]
    assert likelihood(seen, np.array([[0], [1]])) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("value", [0.5, 1.0, 3.0, 6.0, 9.0])
def test_a_reading_without_uncertainty_weighs_as_its_density(value: float):
    """The density of the larger of two is g1 G2 + G1 g2 (against scipy.stats.lognorm)."""
    seen = reading("r", value, value, Spread(1.0, 0.5), {0: Spread(4.0, 0.5)}, "high")
    one, two = lognorm(s=0.5, scale=1.0), lognorm(s=0.5, scale=4.0)
    both = one.pdf(value) * two.cdf(value) + one.cdf(value) * two.pdf(value)
    weight = likelihood(seen, np.array([[0], [1]]))
    assert weight[1] / weight[0] == pytest.approx(both / one.pdf(value), rel=0.01)


@pytest.mark.parametrize("side", ["high", "low"])
@pytest.mark.parametrize("value", [1e-12, 1e-6, 1e6, 1e12])
def test_a_reading_off_the_scale_still_says_something(side: str, value: float):
    seen = reading("r", 0.99 * value, 1.01 * value, Spread(1.0, 0.4), {0: Spread(5.0, 0.4)}, side)
    weight = likelihood(seen, np.array([[0], [1]]))
    assert (weight > 0.0).all()
    worse = (value > 5.0) == (side == "high")
    if side == "high":
        assert (weight[1] > weight[0]) == worse


def test_leanings_are_odds_and_teardown_is_certain():
    assert leaning("h", 2, ABSENT_RATIO).likelihood == (1.0, 1.3)
    assert found("t", 3, True).likelihood == (0.0, 1.0)
    with pytest.raises(ValueError):
        leaning("h", 2, 0.0)


def test_a_negative_finding_has_one_term_and_a_positive_two():
    def terms(seen: Seen) -> int:
        return int(seen.coefficient.shape[1])

    assert terms(look("k", "not_seen", [0], [0.5], 0.1)) == 1
    assert terms(look("k", "seen", [0], [0.5], 0.1)) == 2
