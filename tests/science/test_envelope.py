"""Envelope: the right part or none, on recordings whose truth is known; and what it rests on."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import butter, hilbert, sosfiltfilt
from tests.science.bearings import BESIDE, DEFECTS, GEOMETRIES, NOISES_DB, beside, recording

from retrue.science.bearing import Bearing, frequencies
from retrue.science.envelope import diagnose
from retrue.science.envelope_lines import (
    Comb,
    bands,
    decibels,
    envelope_of,
    fit,
    floor_of,
    surprise,
    transform,
    without,
)

SEEDS = range(5000, 5003)  # others than those the thresholds were set on
UNSAID = ("nothing_found", "not_conclusive")


def told(made, **more):
    bearing = Bearing(*made.geometry)
    return diagnose(made.acceleration, made.rate_hz, made.shaft_hz, bearing, **more)


def test_the_right_part_is_named_or_none():
    """Two resonances, slip of 1 to 3 %, three noises, unbalance, belt: never the wrong part."""
    named, wrong = dict.fromkeys(DEFECTS, 0), []
    for truth in DEFECTS:
        for noise in NOISES_DB:
            for seed in SEEDS:
                made = recording(seed, truth, noise)
                others = {"belt": made.belt_hz} if seed % 2 else None
                said = told(made, others_hz=others).conclusion
                named[truth] += said == truth
                if said not in (truth, *UNSAID):
                    wrong.append((truth, noise, seed, said))
    assert wrong == []
    count = len(NOISES_DB) * len(SEEDS)
    assert min(named[one] for one in DEFECTS if one != "healthy") > 0.5 * count


@pytest.mark.parametrize("sort", BESIDE)
def test_no_part_is_named_for_what_else_knocks_or_hums(sort):
    """Lobes at a right and a wrong speed, hum of both mains, a pump, a gear: all are healthy."""
    for seed in range(5000, 5003):
        made, others = beside(seed, sort)
        is_asked = sort in ("pump", "gear")  # of these it must be said that they turn
        assert told(made, others_hz=others if is_asked else None).conclusion in UNSAID, seed


def struck(hertz, seconds=4.0, rate=12000.0, sine_hz=0.0, heights=(1.0,)):
    """Knocks at an exact rate in noise, and a shaft out of balance where it has one."""
    t = np.arange(int(seconds * rate)) / rate
    knock = np.zeros(len(t))
    at = (np.arange(0, seconds, 1 / hertz) * rate).astype(int)
    knock[at] = np.resize(heights, len(at))
    ring = np.exp(-400 * t[:300]) * np.sin(2 * np.pi * 3000 * t[:300])
    noise = 0.02 * np.random.Generator(np.random.Philox(3)).standard_normal(len(t))
    return np.convolve(knock, ring)[: len(t)] + noise + 0.05 * np.sin(2 * np.pi * sine_hz * t)


@pytest.mark.parametrize(
    ("geometry", "shaft", "orders"), [(1, 30.0, (3, 5)), (0, 30.0, (11,)), (3, 20.0, (7, 9))]
)
def test_a_whole_multiple_of_the_shaft_is_nobody_s_defect(geometry, shaft, orders):
    """Exactly three times the shaft lies 1.8 % off an outer race of 3.05 times."""
    bearing = Bearing(*GEOMETRIES[geometry])
    for order in orders:
        found = diagnose(struck(order * shaft), 12000.0, shaft, bearing, others_hz={})
        assert found.conclusion in UNSAID
    multiple = diagnose(struck(3 * 30.0), 12000.0, 30.0, Bearing(*GEOMETRIES[1]), others_hz={})
    assert "3 times the shaft" in multiple.why


def test_what_the_shaft_s_own_line_tells_apart_is_named():
    """2.4 % off the multiple: told apart once unbalance shows the speed, not before."""
    bearing, hertz = Bearing(*GEOMETRIES[1]), 3.072 * 30.0
    blind = diagnose(struck(hertz), 12000.0, 30.0, bearing, others_hz={})
    assert blind.conclusion == "not_conclusive"
    seen = diagnose(struck(hertz, sine_hz=30.0), 12000.0, 30.0, bearing, others_hz={})
    assert seen.conclusion == "outer_race"
    wrong = diagnose(struck(hertz, sine_hz=30.6), 12000.0, 30.0, bearing, others_hz={})
    assert (wrong.conclusion, "1836 rpm" in wrong.why) == ("not_conclusive", True)


@pytest.mark.parametrize("mains", [50.0, 60.0])
def test_hum_is_no_defect_whoever_forgot_to_say_the_mains(mains):
    bearing = Bearing(*GEOMETRIES[0])
    shaft = 2 * mains / 3.585 / 1.005
    knocks = struck(2 * mains, sine_hz=shaft)
    assert diagnose(knocks, 12000.0, shaft, bearing, others_hz={}).conclusion in UNSAID
    other = diagnose(knocks, 12000.0, shaft, bearing, others_hz={}, mains_hz=110.0 - mains)
    assert other.conclusion == "outer_race"  # where the other mains was said, it is no hum


def test_a_pump_that_is_said_to_turn_explains_its_pistons():
    bearing = Bearing(*GEOMETRIES[0])
    knocks = struck(3.62 * 30.0, sine_hz=30.0)
    unsaid = diagnose(knocks, 12000.0, 30.0, bearing)
    assert (unsaid.conclusion, unsaid.others_said) == ("outer_race", False)
    assert "if nothing else turns" in unsaid.why
    said = diagnose(knocks, 12000.0, 30.0, bearing, others_hz={"pump": 3.62 * 30.0 / 9})
    assert said.conclusion == "not_conclusive"


def test_uneven_pistons_show_the_spacing_of_their_own_though_nobody_said_so():
    """One in nine knocks harder: faint lines stand a ninth of it to each side, at a fiftieth."""
    pistons = (1.0, 1.0, 1.3, 1.0, 0.9, 1.0, 0.75, 1.0, 1.1)
    knocks = struck(3.62 * 30.0, sine_hz=30.0, heights=pistons)
    found = diagnose(knocks, 12000.0, 30.0, Bearing(*GEOMETRIES[0]))
    assert (found.conclusion, "something slower" in found.why) == ("not_conclusive", True)


def test_noise_alone_is_rarely_more_than_noise():
    """The chance that is told holds: of a dozen white recordings few may pass one in ten."""
    draw = np.random.Generator(np.random.Philox(31))
    said = [
        diagnose(
            draw.standard_normal(36000), 12000.0, 30.0, Bearing(*GEOMETRIES[at % 6]), mains_hz=0
        ).conclusion
        for at in range(12)
    ]
    assert set(said) <= set(UNSAID)
    assert said.count("nothing_found") >= 9


def test_its_line_is_that_of_a_band_pass_and_a_hilbert_transform():
    """Against SciPy: Butterworth of fourth order both ways, size of the analytic signal."""
    made = recording(7, "outer_race", 6.0, geometry=GEOMETRIES[0], slip=0.02)
    found = told(made, band_hz=(1200.0, 4200.0))
    expected = frequencies(Bearing(*made.geometry), made.shaft_hz).outer_race_hz
    sos = butter(4, (1200.0, 4200.0), "bandpass", fs=made.rate_hz, output="sos")
    size = np.abs(hilbert(sosfiltfilt(sos, made.acceleration)))
    lines = np.abs(np.fft.rfft((size - size.mean()) * np.hanning(len(size))))
    hertz = np.arange(len(lines)) * made.rate_hz / len(size)
    near = (hertz > 0.96 * expected) & (hertz < 1.04 * expected)
    peak = float(hertz[near][lines[near].argmax()])
    by_scipy = 20 * np.log10(lines[near].max() / np.median(lines[(hertz > 5) & (hertz < 500)]))
    line = found.lines[0]
    assert found.conclusion == "outer_race"
    assert line.name == "outer_race"
    assert line.found_hz == pytest.approx(peak, abs=0.3)
    assert line.found_hz == pytest.approx(1.02 * expected, rel=4e-3)
    assert line.score_db == pytest.approx(by_scipy, abs=5.0)


def test_a_sideband_of_the_part_that_is_named_is_no_line_of_another():
    made = recording(3, "inner_race", 0.0, geometry=GEOMETRIES[0])
    found = told(made)
    lines = {one.name: one for one in found.lines}
    assert found.conclusion == "inner_race"
    assert lines["inner_race"].found_hz is not None
    assert [lines[one].found_hz for one in ("outer_race", "rolling_element")] == [None, None]


def test_a_line_where_the_shaft_has_its_own_is_not_blamed_on_a_race():
    """A bearing whose outer race is struck 3.05 times a turn, slipping to 3.00, and no defect."""
    rate, shaft = 12000.0, 30.0
    t = np.arange(48000) / rate
    knock = np.zeros(48000)
    knock[(np.arange(0, 4, 1 / shaft) * rate).astype(int)] = 1.0  # something touches once a turn
    ring = np.exp(-400 * t[:300]) * np.sin(2 * np.pi * 3000 * t[:300])
    draw = np.random.Generator(np.random.Philox(3))
    seen = np.convolve(knock, ring)[:48000] + 0.02 * draw.standard_normal(48000)
    found = diagnose(seen, rate, shaft, Bearing(*GEOMETRIES[1]))
    assert found.conclusion == "not_conclusive"
    shaft_line = next(one for one in found.lines if one.name == "shaft")
    assert shaft_line.found_hz == pytest.approx(30.0, abs=0.1)


def cage_alone(seed):
    """Noise that swells as the cage goes round, as of a broken cage."""
    rate, shaft, geometry = 12000.0, 40.0, GEOMETRIES[2]
    cage = frequencies(Bearing(*geometry), shaft).cage_hz
    t = np.arange(72000) / rate
    draw = np.random.Generator(np.random.Philox(seed))
    swell = 1 + 2 * np.exp(-((np.mod(t * cage, 1) - 0.5) ** 2) / 0.005)
    return swell * draw.standard_normal(72000), rate, shaft, Bearing(*geometry)


def test_a_cage_is_named_only_where_it_is_said_what_else_turns():
    sound = cage_alone(9)
    assert diagnose(*sound).conclusion == "not_conclusive"
    assert "belt" in diagnose(*sound).why
    assert diagnose(*sound, others_hz={}).conclusion == "cage"
    cage = frequencies(sound[3], sound[2]).cage_hz
    belt = diagnose(*sound, others_hz={"belt": 1.005 * cage})
    assert belt.conclusion in UNSAID


def test_strays_do_not_blame_and_a_short_or_slow_recording_is_refused():
    seen = np.zeros(48000)
    seen[[5000, 21000, 40000]] = 40.0
    draw = np.random.Generator(np.random.Philox(4))
    seen += draw.standard_normal(48000)
    assert diagnose(seen, 12000.0, 30.0, Bearing(*GEOMETRIES[0])).conclusion in UNSAID
    with pytest.raises(ValueError, match="turns"):
        diagnose(seen[:3000], 12000.0, 30.0, Bearing(*GEOMETRIES[0]))
    with pytest.raises(ValueError, match="rate"):
        diagnose(seen, 2000.0, 30.0, Bearing(*GEOMETRIES[0]))


def test_where_it_does_not_name_it_says_why():
    made = recording(5100, "healthy", 0.0)
    found = told(made)
    assert found.conclusion in UNSAID
    assert found.why
    assert {one.name for one in found.lines} >= {"outer_race", "inner_race", "rolling_element",
                                                 "cage", "shaft"}  # fmt: skip


def test_strength_of_noise_is_exponential_about_one():
    draw = np.random.Generator(np.random.Philox(12))
    lines, seconds = transform(draw.standard_normal(120_000), 12000.0)
    seen = envelope_of(lines, seconds, (1000.0, 4000.0), 500.0).strength[10:]
    assert float(seen.mean()) == pytest.approx(1.0, abs=0.06)
    assert float((seen > 3).mean()) == pytest.approx(np.exp(-3), rel=0.25)
    power = draw.exponential(7.0, 3000)
    power[1000] = 1e6  # one line does not lift the floor
    assert floor_of(power)[1000] == pytest.approx(7.0, rel=0.15)


def test_a_comb_is_found_within_its_slip_and_taken_out_whole():
    comb = Comb("a", 40.0, ((1, 0), (2, 0), (1, -1)), 9.0, 0.03, (3, 1))
    seen = np.random.Generator(np.random.Philox(2)).exponential(1.0, 2000)
    for order, side in ((1, 0), (2, 0), (3, 0), (1, -1)):
        seen[round((order * 40.8 + side * 9.0) / 0.25)] = 80.0
    found = fit(comb, 0.25, seen)
    assert found.ratio == pytest.approx(1.02, abs=0.004)
    assert found.heights == (80.0, 80.0, 80.0)
    assert surprise(found.evidence, 3, found.trials) < 1e-20
    left = without(seen, 0.25, comb, found.ratio)
    assert surprise(fit(comb, 0.25, left).evidence, 3, found.trials) > 0.05
    assert decibels(np.log(2) * 100.0) == pytest.approx(20.0)


def test_bands_overlap_reach_below_half_the_rate_and_are_wide_enough():
    made = bands(25600.0, 300.0)
    assert all(high - low >= 4 * 300 for low, high in made)
    assert max(high for _, high in made) < 12800
    assert made[1][0] < made[0][1]
