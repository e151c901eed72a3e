"""Bands against the limits of the standard and against a library of octave filters."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pyoctaveband
import pytest

from retrue.base.chance import stream
from retrue.base.refusals import Unusable
from retrue.science.bands import OCTAVE, analyse, by_time, gains
from retrue.science.sound_level import total_db
from retrue.science.sound_lines import block_frames
from retrue.science.weighting import weight_db

RATE = 48000
BLOCK = block_frames(RATE)
FULL_DB = 20 * np.log10(1 / 2e-5)  # the library counts full scale as one pascal

# IEC 61260-1:2014, table 1, as printed in a library of acoustics: exponent of the octave's ratio,
# most and least attenuation of class 1 and 2.
PASS = ((0, 0.4, 0.6), (1 / 8, 0.5, 0.7), (1 / 4, 0.7, 0.9), (3 / 8, 1.4, 1.7), (0.4999, 5.3, 5.8))
LEAST = {1: -0.4, 2: -0.6}
STOP = ((0.5001, 1.2, 0.8), (1, 16.6, 15.6), (2, 40.5, 39.5), (3, 60, 54), (4, 70, 60))


def third_ratio(octave_ratio: float) -> float:
    """Formula 9 of the standard: where a limit of octaves stands for third octaves."""
    return 1 + (OCTAVE ** (1 / 6) - 1) / (OCTAVE**0.5 - 1) * (octave_ratio - 1)


def cube_root(octave_ratio: float) -> float:
    """How another library prints the ratios: 1.0292, 1.0593, 1.0902, 1.1220, 1.2589 ... 2.5119.

    Narrower outside than formula 9, so that keeping both is stricter.
    """
    return octave_ratio ** (1 / 3)


def octaves(octave_ratio: float) -> float:
    return octave_ratio


def pink(seconds: float, rate: float = RATE) -> np.ndarray:
    size = round(seconds * rate)
    lines = np.fft.rfft(stream(4, "pink").standard_normal(size))
    frequency = np.fft.rfftfreq(size, 1 / rate)
    lines[frequency < 8] = 0
    lines[1:] /= np.sqrt(frequency[1:])
    made = np.fft.irfft(lines, size)
    return 0.05 * made / made.std()


def test_the_ratios_of_third_octaves_are_the_printed_ones():
    """IEC 61260-1:2014, breakpoints (from memory, to 1e-4); cube roots as a library prints them."""
    powers = (1 / 8, 1 / 4, 3 / 8, 1 / 2, 1, 2, 3, 4)
    found = [third_ratio(OCTAVE**x) for x in powers]
    printed = [1.02676, 1.05575, 1.08746, 1.12202, 1.29437, 1.88173, 3.05365, 5.39195]
    assert found == pytest.approx(printed, abs=1e-4)
    others = [1.0292, 1.0593, 1.0902, 1.1220, 1.2589, 1.5849, 1.9953, 2.5119]
    assert [cube_root(OCTAVE**x) for x in powers] == pytest.approx(others, abs=5e-5)


@pytest.mark.parametrize(("per_octave", "place"), [(1, octaves), (3, third_ratio), (3, cube_root)])
@pytest.mark.parametrize("grade", [1, 2])
def test_a_band_keeps_within_the_limits_of_its_class(
    per_octave: int, place: Callable[[float], float], grade: int
):
    """IEC 61260-1:2014, table 1 and formulas 9 to 11, on both sides of the middle."""

    def ratios(rows):
        return np.array([place(OCTAVE ** row[0]) for row in rows])

    fine = np.geomspace(1, 60, 5000)
    for side in (fine, 1 / fine):
        with np.errstate(divide="ignore"):
            loss = -10 * np.log10(gains(1000 * side, 1000, per_octave))
        inside = fine <= ratios(PASS)[-1]
        most = np.interp(np.log(fine), np.log(ratios(PASS)), [row[grade] for row in PASS])
        assert (loss[inside] <= most[inside]).all()
        assert (loss >= LEAST[grade]).all()
        least = np.interp(np.log(fine), np.log(ratios(STOP)), [row[grade] for row in STOP])
        assert (loss[~inside] >= least[~inside]).all()


def test_neighbours_give_back_the_whole():
    """IEC 61260-1:2014, 5.16 allows +0.8 and -1.8 dB for the sum of neighbours (from memory)."""
    frequency = np.geomspace(100, 5000, 400)
    middles = 1000 * 10 ** (np.arange(-20, 14) / 10)
    whole = sum(gains(frequency, middle, 3) for middle in middles)
    assert np.abs(10 * np.log10(whole)).max() < 0.16


def test_bands_of_pink_noise_are_those_of_a_library():
    """Beside pyoctaveband (order 6, class 1): 0.2 dB from 31.5 Hz up; A and Z 0.1 dB."""
    sound = pink(10)
    found = analyse(sound, RATE, FULL_DB)
    for per, ours in ((3, found.third), (1, found.octave)):
        levels, middles = pyoctaveband.octavefilter(sound, RATE, fraction=per, limits=[8.9, 22300])
        theirs = {round(10 * np.log10(m / 1000)): v for m, v in zip(middles, levels, strict=True)}
        for band in ours:
            if band.nominal_hz >= 31.5:
                other = theirs[round(10 * np.log10(band.exact_hz / 1000))]
                assert band.level_db == pytest.approx(other, abs=0.2), band.nominal_hz
                if per == 3:  # pink: the same in every band, but for its own chance
                    mean = np.mean([b.level_db for b in ours if b.nominal_hz >= 31.5])
                    assert band.level_db == pytest.approx(mean, abs=2.5 * band.give_or_take_db)
    assert found.level_a_db == pytest.approx(pyoctaveband.laeq(sound, RATE), abs=0.1)
    assert found.level_z_db == pytest.approx(pyoctaveband.leq(sound), abs=0.1)


@pytest.mark.parametrize("tone", [63.0957, 1000.0, 1090.0, 12589.25])
def test_a_tone_is_that_of_a_library(tone: float):
    """Middle, off the middle, at the edge of a band; both bands beside the edge."""
    sound = 0.3 * np.sin(2 * np.pi * tone * np.arange(4 * RATE) / RATE)
    found = analyse(sound, RATE, FULL_DB)
    levels, middles = pyoctaveband.octavefilter(sound, RATE, fraction=3, limits=[20, 22300])
    assert found.level_z_db == pytest.approx(20 * np.log10(0.3 / np.sqrt(2) / 2e-5), abs=0.005)
    weighted = found.level_a_db - found.level_z_db
    assert weighted == pytest.approx(weight_db(tone, "A").item(), abs=0.005)
    assert found.level_c_db - found.level_z_db == pytest.approx(
        weight_db(tone, "C").item(), abs=0.005
    )
    nearest = np.array(levels) > max(levels) - 6
    for middle, level in zip(np.array(middles)[nearest], np.array(levels)[nearest], strict=True):
        ours = min(found.third, key=lambda b: abs(b.exact_hz - middle))
        assert ours.level_db == pytest.approx(level, abs=0.2)


def test_a_weighted_spectrum_of_octaves_sums_to_the_printed_levels():
    """63 Hz to 8 kHz at 80 82 84 83 80 78 74 68 dB: 85.49 dB(A) by the table, 89.56 dB."""
    levels = np.array([80, 82, 84, 83, 80, 78, 74, 68.0])
    exact = 1000 * 10 ** (0.3 * np.arange(-4, 4))
    assert total_db(levels + weight_db(exact, "A")) == pytest.approx(85.49, abs=0.02)
    assert total_db(levels + weight_db(exact, "A").round(1)) == pytest.approx(85.49, abs=0.005)
    assert total_db(levels) == pytest.approx(89.56, abs=0.005)


def test_the_lowest_band_is_the_same_at_any_rate():
    """Thirty seconds of 10 Hz beside 16 Hz: a fast recorder has no coarser lines."""
    for rate in (4000, 192000):
        at = np.arange(30 * rate) / rate
        found = analyse(
            0.1 * np.sin(2 * np.pi * 10 * at) + 0.01 * np.sin(2 * np.pi * 15.85 * at), rate
        )
        low, _, third = (band.level_db for band in found.third[:3])
        assert low == pytest.approx(-23.01, abs=0.1)
        assert third == pytest.approx(-43.01, abs=0.2)


@pytest.mark.parametrize("rate", [8000, 44100, 96000])
def test_another_rate_gives_the_same_levels_as_far_as_it_reaches(rate: int):
    sound = 0.2 * np.sin(2 * np.pi * 500 * np.arange(3 * rate) / rate)
    found = analyse(sound, rate)
    assert found.level_a_db == pytest.approx(20 * np.log10(0.2 / np.sqrt(2)) - 3.25, abs=0.05)
    assert found.third[-1].exact_hz * 10**0.05 <= rate / 2 == found.highest_hz
    assert found.third[-1].nominal_hz == {8000: 3150, 44100: 16000, 96000: 20000}[rate]
    assert not found.calibrated


def test_long_and_short_pieces_are_one_recording():
    """Blocks change nothing: a constant part is taken off, the energy is that of the whole."""
    size = BLOCK + 12345
    sound = stream(5, "noise").standard_normal(size) * 0.01 + 0.25
    found = analyse(sound.astype(np.float32), RATE)
    assert found.level_z_db == pytest.approx(20 * np.log10(sound.std()), abs=0.02)
    assert found.seconds == pytest.approx(size / RATE)


@pytest.mark.parametrize("at", [1000, BLOCK - 5, BLOCK, BLOCK + 3, 2 * BLOCK + 99])
def test_a_bang_is_heard_wherever_it_falls(at: int):
    """A burst of 4 kHz of a hundred periods: its peak, C-weighted by -0.8 dB."""
    sound = np.zeros(2 * BLOCK + 30000)
    burst = np.sin(2 * np.pi * 4000 * np.arange(1200) / RATE) * np.hanning(1200)
    sound[at : at + 1200] = 0.5 * burst[: sound.size - at]
    found = analyse(sound, RATE)
    assert found.peak_c_db == pytest.approx(20 * np.log10(0.5) - 0.8, abs=0.1)


def test_the_doubt_of_a_short_recording_is_what_repeating_shows():
    """Bendat and Piersol: two hundred seconds of noise, one by one, scatter as told."""
    sound = stream(6, "white").standard_normal(200 * 8000)
    parts = [analyse(part, 8000) for part in sound.reshape(200, 8000)]
    for band in (400, 1000):
        levels = [b.level_db for p in parts for b in p.third if b.nominal_hz == band]
        told = next(b.give_or_take_db for b in parts[0].third if b.nominal_hz == band)
        assert 2 * np.std(levels) == pytest.approx(told, rel=0.2)
    weighted = [p.level_a_db for p in parts]
    assert 2 * np.std(weighted) == pytest.approx(parts[0].give_or_take_a_db, rel=0.2)
    assert parts[0].third[0].nominal_hz == 50, "lower bands are too narrow for one second"


def test_rumble_below_the_lowest_band_does_not_count():
    """Z and the bands begin at 8.9 Hz, the lower edge of the band of 10 Hz (IEC 61672-1: 10 Hz)."""
    at = np.arange(20 * 8000) / 8000
    for hz, heard in ((7.0, -43.01), (9.4, -23.01)):
        found = analyse(0.1 * np.sin(2 * np.pi * hz * at) + 0.01 * np.sin(2000 * np.pi * at), 8000)
        assert found.level_z_db == pytest.approx(heard, abs=0.3)
        assert found.third[0].nominal_hz == 10


def test_octaves_reach_from_sixteen_hertz_to_sixteen_thousand():
    """IEC 61260-1:2014, annex E; the peak counts from the same scale as the levels."""
    found = analyse(pink(10, 96000), 96000, 94.0)
    assert [found.octave[0].nominal_hz, found.octave[-1].nominal_hz] == [16, 16000]
    assert len(found.octave) == 11
    assert 6 < found.peak_c_db - found.level_c_db < 20, "noise: some four sigmas"


def test_four_times_as_long_is_half_the_doubt():
    """Bendat and Piersol: one over the root of bandwidth times time."""
    short, long = (analyse(pink(seconds), RATE) for seconds in (2, 8))
    assert short.give_or_take_a_db / long.give_or_take_a_db == pytest.approx(2, rel=0.1)


def test_stretches_of_time_sum_to_the_whole():
    sound = pink(8)
    each = by_time(sound + 0.3, RATE, offset_db=90)
    assert len(each) == 8
    whole = total_db(each) - 10 * np.log10(8)
    assert whole == pytest.approx(analyse(sound, RATE, 90).level_a_db, abs=0.02)


def test_what_cannot_be_analysed_is_refused_by_name():
    good = np.ones(RATE)
    with pytest.raises(Unusable, match="silent"):
        analyse(good, RATE)
    with pytest.raises(Unusable, match="no sound to judge"):
        analyse(good, 100)
    with pytest.raises(Unusable, match="too short"):
        analyse(good[:100], RATE)
    with pytest.raises(Unusable, match="more than one channel"):
        analyse(np.ones((RATE, 2)), RATE)
    with pytest.raises(Unusable, match="no numbers"):
        analyse(np.where(np.arange(RATE) == 7, np.nan, 0.1), RATE)
    with pytest.raises(Unusable, match="shorter than one stretch"):
        by_time(np.ones(RATE // 2), RATE)
