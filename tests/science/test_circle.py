"""Deviations of circular paths against a closed form, a circle-fitting library and a simulation."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import circle_fit  # type: ignore[import-untyped]  # ships no types
import numpy as np
import pytest
from tests.cases.prove.kinematics import Bar, Machine
from tests.science.bounds import of_each
from tests.science.circles import paths
from tests.science.often import OFTEN

from retrue.science.bound import upper_bound_of_fit
from retrue.science.circle import (
    Path,
    apart_rows,
    arc_deg,
    bidirectional,
    deviations,
    hysteresis,
    least_squares_circle,
)
from retrue.science.circle_choice import choose
from retrue.science.circle_zone import minimum_zone, zone_widths
from retrue.science.signatures import column, frame_of, turn


def test_the_exact_circle_has_the_deviations_worked_out_beforehand():
    """By definition of the deviations (ISO 230-4, from memory) on a path known in closed form.

    H 10.468, G ccw 12.479 about the least-squares circle, G cw 17.909, G(b) 17.909, D -0.750;
    F of the counter-clockwise path +6.003 and -6.476, each printed to 0.001 µm.
    """
    made = deviations(paths())
    assert made.hysteresis == pytest.approx(10.468, abs=6e-4)
    assert made.ccw_least_squares == pytest.approx(12.479, abs=6e-4)
    assert made.cw_least_squares == pytest.approx(17.909, abs=6e-4)
    assert made.both_least_squares == pytest.approx(17.909, abs=6e-4)
    assert made.both == pytest.approx(17.908, abs=6e-4)
    assert made.mean_radial == pytest.approx(-0.750, abs=6e-4)
    alone = deviations(paths()[1:])
    assert (alone.radial_max, alone.radial_min) == pytest.approx((6.003, -6.476), abs=6e-4)
    assert made.ccw_radial == pytest.approx((6.003, -6.476), abs=1.1e-3)
    assert made.radial_max == max(made.cw_radial[0], made.ccw_radial[0])


def test_the_least_squares_circle_is_that_of_a_circle_fitting_library():
    """circle-fit 0.2.1: standardLSQ (geometric) and hyperLSQ on the same points."""
    for path in paths():
        away = 150 + path.deviation_um / 1000
        points = np.column_stack([away * np.cos(path.angle_rad), away * np.sin(path.angle_rad)])
        x, y, radius = least_squares_circle(path.angle_rad, path.deviation_um)
        for fit in (circle_fit.standardLSQ, circle_fit.hyperLSQ):
            other_x, other_y, other_radius, _ = fit(points)
            assert (x, y) == pytest.approx((1e3 * other_x, 1e3 * other_y), abs=1e-3)
            assert radius == pytest.approx(1e3 * (other_radius - 150), abs=1e-3)


def test_six_points_of_a_paper_are_fitted_by_the_reference_library_as_printed():
    """Gander, Golub and Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994).

    From memory: the geometric fit has centre 4.7398, 2.9835 and radius 4.7142.
    """
    points = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]
    x, y, radius, _ = circle_fit.standardLSQ(points)
    assert (x, y, radius) == pytest.approx((4.7398, 2.9835, 4.7142), abs=1e-4)


def test_on_a_part_of_a_circle_an_oval_does_not_pass_for_a_centre():
    oval = Machine(scale_x=26.7, scale_y=-26.7)
    path = paths(oval, Bar(centre_x=10, centre_y=-5))[0]
    kept = np.degrees(path.angle_rad) < 220
    part = replace(path, angle_rad=path.angle_rad[kept], deviation_um=path.deviation_um[kept])
    assert arc_deg(part.angle_rad) == pytest.approx(219.5)
    x, y, _ = least_squares_circle(part.angle_rad, part.deviation_um)
    assert (x, y) == pytest.approx((10, -5), abs=0.01)
    plain = np.column_stack([np.cos(part.angle_rad), np.sin(part.angle_rad), np.ones(kept.sum())])
    assert np.abs(np.linalg.lstsq(plain, part.deviation_um)[0][:2] - (10, -5)).max() > 1


def test_hysteresis_is_that_of_an_interpolation_to_a_tenth_of_a_degree():
    chance = np.random.Generator(np.random.Philox(4))
    one, other = (
        Path(
            chance.permutation(np.radians(k + 3.6 * np.arange(98))), chance.normal(size=98), 1, 100
        )
        for k in (0.3, 1.1)
    )
    grid = np.arange(0, 360, 0.1)
    at = [
        np.interp(grid, np.degrees(p.angle_rad), p.deviation_um, period=360) for p in (one, other)
    ]
    assert hysteresis(one, other) == pytest.approx(np.abs(at[0] - at[1]).max())
    assert hysteresis(other, one) == pytest.approx(hysteresis(one, other))


def test_radial_deviations_as_set_keep_the_set_up_in():
    off = paths(Machine(), Bar(centre_x=10))
    assert deviations(off, centre="as-set").radial_max == pytest.approx(10, abs=0.01)
    assert deviations(off).radial_max == pytest.approx(0, abs=0.01)
    assert deviations(off).both == pytest.approx(0, abs=0.01)


def test_a_larger_circle_has_a_positive_mean_radial_deviation():
    """The opposite sign fails: outwards is plus."""
    large = deviations(paths(Machine(scale_x=20, scale_y=20), Bar()))
    small = deviations(paths(Machine(scale_x=-20, scale_y=-20), Bar()))
    assert large.mean_radial == pytest.approx(3.0, abs=1e-3)
    assert small.mean_radial == pytest.approx(-3.0, abs=1e-3)


def test_many_zones_at_once_are_the_zones_one_by_one():
    chance = np.random.Generator(np.random.Philox(5))
    angle = np.sort(chance.uniform(0, 2 * np.pi, 80))
    read = chance.normal(size=(50, 80)).round(1)
    alone = [minimum_zone(angle, row).width_um for row in read]
    assert zone_widths(angle, read) == pytest.approx(alone, abs=1e-9)


def simulated(count: int, points: int, noise: float):
    """Paths of the exact machine, measured ``count`` times, both directions in a row."""
    cw, ccw = paths(bar=Bar(points=points))
    chance = np.random.Generator(np.random.Philox(6))
    still = np.concatenate([cw.deviation_um, ccw.deviation_um])
    return cw, ccw, still, still + noise * chance.standard_normal((count, len(still)))


@pytest.mark.parametrize("sort", ["ring", "hysteresis"])
def test_largest_values_read_too_large_and_their_upper_bound_holds(sort):
    """Coverage over measurements of 72 readings each way, 0.5 µm of noise, model refitted.

    G(b) and H are largest values: their bias is shown, their 95 % upper bound holds in at least
    93 % of the measurements.
    """
    cw, ccw, still, read = simulated(OFTEN, 72, 0.5)
    measure = (
        partial(zone_widths, np.concatenate([cw.angle_rad, ccw.angle_rad]))
        if sort == "ring"
        else apart_rows(cw, ccw)
    )
    true, seen = float(measure(still[None])[0]), measure(read)
    frame, ids = frame_of([cw, ccw]), choose([cw, ccw])
    design = np.column_stack(
        [np.concatenate([column(id, turn(p, frame)) for p in (cw, ccw)]) for id in ids]
    )
    fitted = read @ np.linalg.pinv(design).T @ design.T
    sd = np.sqrt(((read - fitted) ** 2).sum(axis=1) / (len(still) - len(ids)))
    chance = np.random.Generator(np.random.Philox(7))
    bounds = of_each(
        lambda *told: upper_bound_of_fit(*told, draws=100), fitted, sd, seen, measure, chance
    )
    bias = seen.mean() - true
    assert bias > 0.3  # noise only ever adds to a largest value
    assert np.mean([b.bias for b in bounds]) == pytest.approx(bias, abs=0.35 * bias)
    assert np.mean([b.upper >= true for b in bounds]) >= 0.93
    assert np.mean([b.upper for b in bounds]) < true + 2.0  # and it is of use


def test_no_path_is_no_circle():
    with pytest.raises(ValueError, match="no path"):
        deviations([])
    with pytest.raises(ValueError, match="no path"):
        bidirectional([])
