"""Causes of a circle, recovered from an exact machine: their signs, doubts and limits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.cases.prove.kinematics import Bar, Machine
from tests.science.circles import EXACT, SET_UP, paths

from retrue.base.refusals import TooHard
from retrue.science.circle import Path
from retrue.science.circle_causes import separate, shares, without
from retrue.science.circle_choice import choose
from retrue.science.signatures import PAIR


def found(made, id):
    """The value of a cause."""
    return {cause.id: cause.value for cause in made.causes}[id]


def cut(path: Path, low: float, high: float) -> Path:
    degrees = np.degrees(path.angle_rad)
    kept = (degrees >= low) & (degrees <= high)
    return replace(path, angle_rad=path.angle_rad[kept], deviation_um=path.deviation_um[kept])


def test_the_exact_circle_gives_back_what_was_put_in():
    """A path in closed form: radius -0.7496, centre 10.0001 and -5.0002, lost motion 6 and 4 µm.

    Printed beside them: cos2 3.7495, sin2 -2.9998, lag 4.1670 µm, residuals 0.0006 µm.
    """
    core = [id for id in choose(paths()) if not id.startswith(("spike", "lateral", "straight"))]
    made = separate(paths(), ids=core)
    assert found(made, "radius") == pytest.approx(-0.7496, abs=2e-4)
    assert found(made, "centre_x") == pytest.approx(10.0001, abs=1e-4)
    assert found(made, "centre_y") == pytest.approx(-5.0002, abs=1e-4)
    assert found(made, "reversal_x") == pytest.approx(6.0000, abs=2e-4)
    assert found(made, "reversal_y") == pytest.approx(3.9998, abs=2e-4)
    metres = 150e-3
    assert found(made, "scale_mismatch") * metres / 2 == pytest.approx(3.7495, abs=1e-4)
    assert -found(made, "squareness") * metres / 2 == pytest.approx(-2.9998, abs=1e-4)
    assert found(made, "lag_mismatch") * 1000 / 60 / 2 == pytest.approx(4.1670, abs=6e-4)
    assert made.residual_sd == pytest.approx(0.0006, abs=1e-4)


def test_a_lag_of_an_eighth_of_a_millisecond_is_a_micrometre_at_a_thousand():
    """Closed form: 1 µm of sin 2θ at 1000 mm/min is 0.12 ms."""
    assert found(separate(paths(Machine(lag_x=0.12), Bar())), "lag_mismatch") == pytest.approx(0.12)


@pytest.mark.parametrize(
    ("machine", "id", "value"),
    [
        (Machine(squareness=40), "squareness", 40),
        (Machine(scale_x=30), "scale_mismatch", 30),
        (Machine(scale_y=30), "scale_mismatch", -30),
        (Machine(lost_x=5), "reversal_x", 5),
        (Machine(lost_y=5), "reversal_y", 5),
        (Machine(lag_x=0.4), "lag_mismatch", 0.4),
        (Machine(lag_y=0.4), "lag_mismatch", -0.4),
        (Machine(side_x=3), "lateral_play_x", 3),
        (Machine(side_y=3), "lateral_play_y", 3),
        (Machine(bow_x=6), "straightness_x", 6),
        (Machine(stick_0=2, stick_feed=1000), "spike_0", 2),
    ],
)
def test_each_cause_has_its_sign(machine, id, value):
    """For each cause the machine with the opposite error gives the opposite sign."""
    made = separate(paths(machine, Bar()))
    assert found(made, id) == pytest.approx(value, rel=0.01)
    names = ("squareness", "scale_x", "scale_y", "lost_x", "lost_y", "lag_x", "lag_y", "side_x",
             "side_y", "bow_x", "stick_0")  # fmt: skip
    turned = replace(machine, **{name: -getattr(machine, name) for name in names})
    assert found(separate(paths(turned, Bar())), id) == pytest.approx(-value, rel=0.01)
    others = {c.id: c for c in made.causes if c.id not in {id, "radius", "centre_x", "centre_y"}}
    assert all(abs(c.value) < 0.03 * abs(value) for c in others.values() if c.unit == "um")


def test_swapped_directions_turn_the_odd_causes_only():
    made = separate(paths())
    swapped = separate([replace(path, direction=-path.direction) for path in paths()])
    for id in ("reversal_x", "reversal_y", "lag_mismatch"):
        assert found(swapped, id) == pytest.approx(-found(made, id), abs=0.02)
    for id in ("centre_x", "radius", "scale_mismatch", "squareness"):
        assert found(swapped, id) == pytest.approx(found(made, id), abs=0.02)


def test_half_sum_and_half_difference_carry_the_same_harmonics():
    """Outside reference: the discrete Fourier transform (NumPy) of both halves, no lost motion.

    Even causes stand in the half sum, odd ones in the half difference.
    """
    smooth = replace(EXACT, lost_x=0, lost_y=0)
    cw, ccw = paths(smooth, SET_UP)
    made = separate([cw, ccw])
    shift = np.exp(-1j * np.arange(361) * np.pi / 720)  # the first point stands half a step on
    mean = np.fft.rfft((ccw.deviation_um + cw.deviation_um) / 2) / 360 * shift
    half = np.fft.rfft((ccw.deviation_um - cw.deviation_um) / 2) / 360 * shift
    assert found(made, "centre_x") == pytest.approx(mean[1].real, abs=1e-3)
    assert found(made, "centre_y") == pytest.approx(-mean[1].imag, abs=1e-3)
    assert found(made, "scale_mismatch") * 0.075 == pytest.approx(mean[2].real, abs=1e-3)
    assert -found(made, "squareness") * 0.075 == pytest.approx(-mean[2].imag, abs=1e-3)
    assert found(made, "lag_mismatch") * 1000 / 120 == pytest.approx(-half[2].imag, abs=1e-3)


def test_one_direction_tells_squareness_and_lag_as_one():
    ccw = paths()[1]
    made = separate([ccw])
    ids = [cause.id for cause in made.causes]
    assert PAIR in ids
    assert not {"squareness", "lag_mismatch", "lateral_play_x"} & set(ids)
    assert [c.id for c in made.causes if not c.separable] == [PAIR]
    lag_as_angle = 0.5 * 1000 / 120 * 2 / 0.150
    assert found(made, PAIR) == pytest.approx(40 - lag_as_angle, abs=0.05)
    with pytest.raises(TooHard):
        separate([ccw], ids=["radius", "squareness", "lag_mismatch"])


def test_condition_and_doubt_are_those_worked_out_beforehand():
    """From the columns alone: condition 8.6; doubts of one micrometre of white noise."""
    chance = np.random.Generator(np.random.Philox(8))
    bar = replace(SET_UP, noise=1.0)
    made = separate(paths(bar=bar, chance=chance), pitch_mm=10.0)
    assert len(made.ids) == 20
    assert made.condition == pytest.approx(8.6, abs=0.1)
    u = {c.id: c.standard_uncertainty / made.residual_sd for c in made.causes}
    assert u["radius"] == pytest.approx(0.029, abs=1e-3)
    assert u["reversal_x"] == pytest.approx(0.20, abs=0.01)
    assert u["lag_mismatch"] * 1000 / 120 == pytest.approx(0.15, abs=0.005)
    assert u["lateral_play_x"] == pytest.approx(0.10, abs=0.01)
    assert u["spike_0"] == pytest.approx(0.29, abs=0.01)
    assert u["squareness"] * 0.075 == pytest.approx(0.037, abs=1e-3)


BOTH_WAYS = {
    "centre_x": 10, "centre_y": -5, "scale_mismatch": 50, "squareness": 40, "reversal_x": 6,
    "reversal_y": 4, "lag_mismatch": 0.5, "lateral_play_x": 2, "lateral_play_y": 0,
    "straightness_x": 3, "straightness_y": 0,
}  # fmt: skip
FINE = BOTH_WAYS | {"spike_0": 3, "spike_90": 0, "spike_180": 0, "spike_270": 0, "cyclic_x": 2}


@pytest.mark.parametrize(("points", "pitch_mm", "true"), [(96, None, BOTH_WAYS), (400, 10.0, FINE)])
def test_causes_lie_within_twice_their_doubt_in_95_of_100_measurements(points, pitch_mm, true):
    """Coverage over 2,000 simulated measurements of the exact machine, 0.5 µm of noise."""
    machine = replace(EXACT, side_x=2, bow_x=3)
    if pitch_mm:
        machine = replace(machine, cyclic_x=2, stick_0=3, stick_feed=1000)
    still = paths(machine, replace(SET_UP, points=points))
    ids = choose(still, pitch_mm)  # of the angles alone
    chance = np.random.Generator(np.random.Philox(9))
    inside = dict.fromkeys(true, 0)
    for _ in range(2000):
        noisy = [
            replace(p, deviation_um=p.deviation_um + 0.5 * chance.standard_normal(points))
            for p in still
        ]
        for cause in separate(noisy, pitch_mm=pitch_mm, ids=ids).causes:
            if cause.id in true:
                off = abs(cause.value - true[cause.id])
                inside[cause.id] += off <= 2 * cause.standard_uncertainty
    shares_inside = {id: count / 2000 for id, count in inside.items()}
    assert all(0.93 <= share <= 0.97 for share in shares_inside.values()), shares_inside


def test_shaking_is_seen_and_widens_the_doubt():
    chance = np.random.Generator(np.random.Philox(10))
    bar = replace(SET_UP, noise=0.5)
    calm = separate(paths(bar=bar, chance=chance))
    shaken = [
        replace(p, deviation_um=p.deviation_um + 2 * np.sin(37 * p.angle_rad + p.direction))
        for p in paths(bar=bar, chance=chance)
    ]
    made = separate(shaken)
    assert abs(calm.autocorrelation) < 0.1
    assert made.autocorrelation > 0.5
    assert made.effective < 720
    plain = calm.causes[3].standard_uncertainty * made.residual_sd / calm.residual_sd
    assert made.causes[3].standard_uncertainty > 1.5 * plain


def test_less_than_half_a_circle_is_refused_and_half_a_circle_is_not():
    with pytest.raises(TooHard, match="170 degrees"):
        separate([cut(p, 0, 170) for p in paths()])
    made = separate([cut(p, 0, 180.5) for p in paths()])
    assert found(made, "centre_x") == pytest.approx(10, abs=0.02)
    assert found(made, "reversal_x") == pytest.approx(6, abs=0.02)
    assert made.condition > separate(paths()).condition
    part = separate([cut(p, 0, 220) for p in paths()])
    assert (found(part, "centre_y"), found(part, "scale_mismatch")) == pytest.approx(
        (-5, 50), abs=0.05
    )


def test_a_second_feed_parts_lag_from_lost_motion_and_the_radius_the_feed_takes():
    chance = np.random.Generator(np.random.Philox(11))
    slow = replace(SET_UP, noise=0.5, points=360)
    quick = replace(slow, feed_mm_min=3000.0)
    machine = replace(EXACT, lag_x=30.5, lag_y=30.0)
    twice = separate([*paths(machine, slow, chance), *paths(machine, slow, chance)])
    both = separate([*paths(machine, slow, chance), *paths(machine, quick, chance)])
    u = {c.id: c.standard_uncertainty for c in twice.causes}
    v = {c.id: c.standard_uncertainty for c in both.causes}
    assert v["reversal_x"] < 0.75 * u["reversal_x"]
    assert found(both, "lag_mismatch") == pytest.approx(0.5, abs=4 * v["lag_mismatch"])
    assert "radius_at_feed" not in u
    assert "radius_at_feed" in v


def test_two_radii_part_the_bar_from_the_mean_scale():
    large, small = Bar(radius_mm=150.0), Bar(radius_mm=50.0)
    machine = Machine(scale_x=20, scale_y=20)
    made = separate([*paths(machine, large), *paths(machine, small, number=1)])
    assert found(made, "scale_mean") == pytest.approx(20, abs=0.01)
    assert found(made, "radius") == pytest.approx(0, abs=0.01)
    assert {"centre_x", "centre_x_2"} <= {cause.id for cause in made.causes}


def test_an_error_once_a_pitch_is_found_with_its_amplitude():
    made = separate(paths(Machine(cyclic_x=2, pitch_mm=10), SET_UP), pitch_mm=10)
    assert found(made, "cyclic_x") == pytest.approx(2, abs=0.01)
    assert found(made, "cyclic_y") == pytest.approx(0, abs=0.01)
    coarse = paths(Machine(), Bar(points=60))
    assert "cyclic_x.sine" not in choose(coarse, 10)


def test_blocks_and_many_points_change_nothing(monkeypatch):
    from retrue.science import circle_causes

    whole = separate(paths())
    monkeypatch.setattr(circle_causes, "BLOCK", 100)
    parts = separate(paths())
    assert parts.values == pytest.approx(whole.values, abs=1e-9)
    assert parts.residual_sd == pytest.approx(whole.residual_sd, rel=1e-6)


def test_what_is_cured_is_gone_and_nothing_else():
    made = separate(paths())
    left = separate(without(paths(), made, ["reversal_x"]))
    assert found(left, "reversal_x") == pytest.approx(0, abs=1e-9)
    assert found(left, "reversal_y") == pytest.approx(found(made, "reversal_y"), abs=1e-9)
    every = [cause.id for cause in made.causes]
    rest = shares(paths(), made, every)
    for share, path, residual in zip(rest, paths(), made.residuals, strict=True):
        assert share + residual == pytest.approx(path.deviation_um, abs=1e-9)


def test_memory_grows_no_faster_than_the_points():
    import tracemalloc

    def most(points: int) -> int:
        both = paths(bar=replace(SET_UP, points=points))
        tracemalloc.start()
        separate(both, pitch_mm=10)
        held = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return held

    held = most(400_000)
    assert held < 2.2 * most(200_000)
    assert held < 6 * 8 * 800_000  # far less than twenty columns of it
