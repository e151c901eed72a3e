"""Lines that do not begin at nothing, and what two unknown directions leave open: by hand."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.science.least_squares import fit
from retrue.science.straightness import REFERENCES, local, straight, windows

X = np.array([100.0, 200.0, 300.0, 500.0])
H = np.array([3.0, 5.0, 4.0, 11.0])


def test_a_line_through_both_ends_wherever_it_begins() -> None:
    """By hand: (11 - 3) / 400 = 0.02, 3 - 0.02 x 100 = 1; the third point lies 3 below."""
    for order in (slice(None), slice(None, None, -1)):
        made = straight(X[order], H[order], "end-point")
        assert (made.slope, made.offset, made.error) == pytest.approx((0.02, 1.0, 3.0))
        assert made.deviations[order] == pytest.approx([0.0, 0.0, -3.0, 0.0])


def test_a_line_of_least_squares_is_the_librarys() -> None:
    """numpy.polyfit, away from the origin; residuals sum to nothing."""
    made = straight(X + 4_000.0, H, "least-squares")
    slope, offset = np.polyfit(X + 4_000.0, H, 1)
    assert (made.slope, made.offset) == pytest.approx((slope, offset))
    assert made.deviations == pytest.approx(H - np.polyval([slope, offset], X + 4_000.0))
    assert made.deviations.sum() == pytest.approx(0.0, abs=1e-9)


def test_a_narrowest_zone_is_touched_on_both_sides_in_turn() -> None:
    """Chebyshev's alternation: three points lie as far off, above, below and above again.

    By hand: through (200, 5) and (500, 11) rises 0.02, and (300, 4) lies 3 below it.
    """
    made = straight(X, H, "minimum-zone")
    assert (made.slope, made.error) == pytest.approx((0.02, 3.0))
    assert made.deviations == pytest.approx(H - made.offset - 0.02 * X)
    assert np.ptp(made.deviations) == pytest.approx(3.0)
    moved = straight(X, H + 7.0, "minimum-zone")
    assert moved.offset == pytest.approx(made.offset + 7.0)


@pytest.mark.parametrize("reference", REFERENCES)
def test_two_points_are_a_line_and_one_is_none(reference: str) -> None:
    made = straight([100.0, 300.0], [2.0, 8.0], reference)
    assert (made.slope, made.error) == pytest.approx((0.03, 0.0), abs=1e-12)
    assert made.deviations == pytest.approx(made.deviations[0] * np.ones(2), abs=1e-9)
    near = straight([0.0, 0.5], [2.0, 8.0], reference)
    assert near.slope == pytest.approx(12.0)
    for wrong in ([100.0], [100.0, 100.0]):
        with pytest.raises(ValueError, match="two points"):
            straight(wrong, [1.0] * len(wrong), reference)


def test_a_stretch_within_another_is_no_stretch_of_its_own() -> None:
    """By hand: 300 long from 0, 100, 200 and 300; the last two reach no further than the end."""
    assert windows([0, 100, 200, 300, 400, 500], 300) == [(0, 4), (1, 5), (2, 6)]
    assert windows([0, 100, 250, 300, 305], 1_000) == [(0, 5)]
    assert windows([0, 500, 1_000], 400) == []
    assert local([0, 500, 1_000], [0, 1, 0], 400, "end-point") is None


def test_each_of_several_unknown_directions_leaves_its_own_parameters_open() -> None:
    """By hand: a pair that is the same twice over; the fifth column alone is determined."""
    a, b, c = (np.array(row, float) for row in ([1, 2, 0, 0, 0, 0, 1], [0, 0, 3, 1, 0, 0, 1],
                                                [0, 1, 0, 0, 1, 1, 0]))  # fmt: skip
    made = fit(np.column_stack([a, a, b, 2 * b, c]), 2 * a + 10 * b + 4 * c)
    assert (made.rank, made.freedom, len(made.null_space)) == (3, 4, 2)
    assert np.isinf(made.standard_uncertainties).tolist() == [True] * 4 + [False]
    assert made.parameters[4] == pytest.approx(4.0)
    assert made.parameters[:2] == pytest.approx([1.0, 1.0])
    assert made.parameters[2] + 2 * made.parameters[3] == pytest.approx(10.0)
