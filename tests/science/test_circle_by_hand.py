"""How much of a circle was measured, where two paths can be compared, what can be told: by hand."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike

from retrue.base.refusals import TooHard
from retrue.science.circle import Path, arc_deg, deviations, hysteresis, least_squares_circle
from retrue.science.circle_choice import choose
from retrue.science.signatures import CORE, CYCLIC, FURTHER, SIZES, SPEEDS, SPIKES


def path(
    degrees: ArrayLike,
    deviation: ArrayLike = 0.0,
    way: int = 1,
    *,
    radius_mm: float = 150.0,
    feed_mm_min: float | None = None,
    circle: int = 0,
) -> Path:
    angle = np.radians(np.asarray(degrees, dtype=float))
    away = np.broadcast_to(np.asarray(deviation, dtype=float), angle.shape)
    return Path(angle, away, way, radius_mm, feed_mm_min, circle)


@pytest.mark.parametrize(
    ("degrees", "arc"),
    [
        ([], 0.0),
        ([7.0], 0.0),
        ([0.0, 90.0, 180.0, 270.0], 360.0),  # every gap is the usual one
        ([0.0, 120.0, 240.0], 240.0),  # but of a quarter turn and more it is one
        ([*range(0, 355, 5)], 360.0),  # a point left out leaves twice the usual step
        ([*range(0, 350, 5)], 345.0),  # two left out leave a gap
        ([*np.arange(0.0, 359.1, 0.2)], 360.0),  # less than a degree is none
        ([*np.arange(0.0, 358.7, 0.2)], 358.6),
        ([*range(300, 360), *range(61)], 120.0),  # over the beginning
        ([*range(-60, 61)], 120.0),
        ([*range(91), *range(91), 90.0], 90.0),  # twice the same points are no step
        # ninety steps of 2 and 57 of 3: the usual one is 2, and 9 or 4.5 degrees are a gap
        ([*range(0, 180, 2), *range(180, 352, 3)], 351.0),
        ([*range(0, 180, 2), *np.arange(180.0, 355.6, 3.0), 355.5], 355.5),
    ],
)
def test_the_arc_is_all_but_the_largest_gap(degrees: list[float], arc: float) -> None:
    assert arc_deg(np.radians(np.array(degrees, dtype=float))) == pytest.approx(arc, abs=1e-9)


def test_two_paths_are_compared_where_both_were_measured() -> None:
    """By hand: 9 apart on the first quarter, 2 on the second, 7 on the third.

    The one was measured over the first two, the other over the last two of them.
    """
    steps = np.arange(0.5, 270, 1.0)
    apart = np.select([steps < 90, steps < 180], [9.0, 2.0], 7.0)
    one, other = path(steps[:180], apart[:180]), path(steps[90:], 0.0, -1)
    assert hysteresis(one, other) == pytest.approx(2.0)
    assert hysteresis(other, one) == pytest.approx(2.0)
    assert hysteresis(path(steps, apart), path(steps, 0.0, -1)) == pytest.approx(9.0)
    there = path([300, 330, 0, 30], [1.0, 1.0, 1.0, 4.0])
    back = path([310, 340, 10, 40], [1.0, 1.0, 1.0, 1.0], -1)
    assert hysteresis(there, back) == pytest.approx(3.0)  # over the beginning, at 30 degrees
    assert hysteresis(path([0, 10], 5.0), path([180, 190], 0.0, -1)) == 0.0


def test_a_full_circle_is_compared_between_its_points_too_and_a_part_where_it_is() -> None:
    """By hand: a peak of 9 at 2.5 degrees stands between two points of the other path.

    Where 200 to 300 degrees were not measured, 9 at 250 counts nothing, and 4 at 190 does.
    """
    every = np.arange(0.0, 360.0, 5.0)
    peak = np.where(every == 0.0, 9.0, 0.0)
    assert hysteresis(path(every), path(every + 2.5, peak, -1)) == pytest.approx(9.0)
    whole = np.arange(0.0, 360.0, 1.0)
    most = np.select([whole == 250, whole == 190], [9.0, 4.0], 0.0)
    part = path([*range(201), *range(300, 360)])
    assert hysteresis(part, path(whole, most, -1)) == pytest.approx(4.0)


def test_centre_radius_and_radial_deviations_of_a_moved_circle() -> None:
    """First order: 10 cos + 5 sin + 3 is a circle moved by 10 and 5 and larger by 3 (NIST, 2.3).

    About its own centre every deviation is 3; as it was set it reaches from 3 - sqrt(125) on.
    """
    degrees = np.arange(0.0, 360.0, 1.0)
    angle = np.radians(degrees)
    moved = 10 * np.cos(angle) + 5 * np.sin(angle) + 3
    assert least_squares_circle(angle, moved) == pytest.approx((10.0, 5.0, 3.0))
    both = [path(degrees, moved + 1.0), path(degrees, moved - 1.0, -1)]
    made = deviations(both)
    assert (made.centre_x, made.centre_y, made.mean_radial) == pytest.approx((10.0, 5.0, 3.0))
    assert (made.radial_max, made.radial_min) == pytest.approx((4.0, 2.0))
    assert made.ccw_radial == pytest.approx((4.0, 4.0))
    assert made.cw_radial == pytest.approx((2.0, 2.0))
    assert (made.both, made.both_least_squares, made.hysteresis) == pytest.approx((2.0,) * 3)
    assert (made.cw, made.ccw) == pytest.approx((0.0, 0.0), abs=1e-9)
    set_up = deviations(both, centre="as-set")
    reach = np.sqrt(125.0)
    assert set_up.radial_max == pytest.approx(4.0 + reach, abs=1e-3)
    assert set_up.radial_min == pytest.approx(2.0 - reach, abs=1e-3)
    assert set_up.centre_x == pytest.approx(10.0)


def even(
    count: int, way: int = 1, *, radius_mm: float = 150.0, feed_mm_min: float | None = None
) -> Path:
    degrees = (np.arange(count) + 0.5) * 360.0 / count
    return path(degrees, 0.0, way, radius_mm=radius_mm, feed_mm_min=feed_mm_min)


def had(paths: list[Path], tier: tuple[str, ...], pitch: float | None = None) -> bool:
    found = choose(paths, pitch)
    assert set(tier) <= set(found) or not set(tier) & set(found)
    return set(tier) <= set(found)


@pytest.mark.parametrize(
    ("tier", "enough"),
    [
        (CORE, 8),  # five, beside centre and radius: 16 readings for 8
        (FURTHER, 12),  # four more: 24 for 12
        (SPIKES, 240),  # a step of half of three degrees
        (CYCLIC, 377),  # a quarter of a pitch of 10 mm at 150 mm: 2 pi x 60 = 376.99
    ],
)
def test_causes_are_added_while_there_are_twice_as_many_readings(
    tier: tuple[str, ...], enough: int
) -> None:
    """Our own rules, counted by hand; of two directions."""
    for count in (enough, enough - 1):
        both = [even(count), even(count, -1)]
        assert had(both, tier, 10.0) is (count == enough)


def test_several_feeds_and_radii_add_what_hangs_on_them() -> None:
    slow, fast = even(90, feed_mm_min=500.0), even(90, -1, feed_mm_min=1000.0)
    assert had([slow, fast], SPEEDS)
    assert not had([slow, even(90, -1, feed_mm_min=500.0)], SPEEDS)
    assert not had([slow, even(90, -1)], SPEEDS)  # nobody said one of them
    assert had([even(90), even(90, -1, radius_mm=100.0)], SIZES)
    assert not had([even(90), even(90, -1)], SIZES)


@pytest.mark.parametrize(("arc", "further"), [(339, False), (340, True)])
def test_what_needs_a_full_circle_is_not_told_from_less(arc: int, further: bool) -> None:
    degrees = np.arange(0, arc + 1)
    assert had([path(degrees), path(degrees, 0.0, -1)], FURTHER) is further


@pytest.mark.parametrize(("arc", "told"), [(179, False), (180, True)])
def test_of_less_than_half_a_circle_nothing_is_told(arc: int, told: bool) -> None:
    degrees = np.arange(0, arc + 1)
    if told:
        assert choose([path(degrees), path(degrees, 0.0, -1)])
    else:
        with pytest.raises(TooHard):
            choose([path(degrees), path(degrees, 0.0, -1)])


def test_one_direction_leaves_out_what_looks_alike_in_it() -> None:
    """By parity: squareness and lag are both sin 2a in it, play sideways is radius and scale."""
    found = choose([even(300)], 10.0)
    assert "squareness_or_lag_mismatch" in found
    assert not {"squareness", "lag_mismatch", "lateral_play_x", "lateral_play_y"} & set(found)
    assert {"straightness_x", "straightness_y", "scale_mismatch", *SPIKES} <= set(found)


def test_of_several_circles_the_fullest_and_the_largest_decide() -> None:
    """By hand: at 150 mm 377 points are a quarter of a pitch of 10 mm; at 100 mm 252 would be."""
    short = path(np.arange(0.0, 100.5, 0.5), circle=1)
    assert had([even(720), even(720, -1), short], FURTHER)
    for count in (377, 376):
        two = [even(count), even(count, -1, radius_mm=100.0)]
        assert had(two, CYCLIC, 10.0) is (count == 377)
        coarse = [even(count), even(720, -1)]  # of two paths the coarser one
        assert had(coarse, CYCLIC, 10.0) is (count == 377)


@pytest.mark.parametrize(("arc", "harmonics"), [(338, True), (340, False), (359, False)])
def test_an_oval_is_fitted_along_on_less_than_a_full_circle_alone(
    arc: int, harmonics: bool
) -> None:
    """The same least squares by the library's routine; the points crowd on one half."""
    degrees = np.append(np.arange(0.0, 180.0, 0.5), np.arange(180.0, arc + 0.5, 1.0))
    angle = np.radians(degrees)
    oval = 4 * np.cos(2 * angle) + 3 * np.sin(2 * angle) + np.cos(3 * angle)
    columns = [np.cos(angle), np.sin(angle), np.ones(len(angle))]
    if harmonics:
        columns += [np.cos(2 * angle), np.sin(2 * angle)]
    wanted = np.linalg.lstsq(np.column_stack(columns), oval, rcond=None)[0][:3]
    assert least_squares_circle(angle, oval) == pytest.approx(tuple(wanted), abs=1e-9)
