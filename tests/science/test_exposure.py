"""A day in noise against the tables of the rules, and the rules against each other."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.exposure import Stay, allowed_hours, day, lex_8h_db, osha_twa_db

# 29 CFR 1910.95, appendix A, table G-16A: dBA, hours.
G_16A = {
    80: 32, 81: 27.9, 82: 24.3, 84: 18.4, 85: 16, 86: 13.9, 87: 12.1, 88: 10.6, 89: 9.2, 90: 8,
    91: 7.0, 92: 6.1, 93: 5.3, 94: 4.6, 95: 4, 96: 3.5, 97: 3.0, 98: 2.6, 99: 2.3, 100: 2,
    101: 1.7, 102: 1.5, 103: 1.3, 104: 1.1, 105: 1, 106: 0.87, 107: 0.76, 108: 0.66, 109: 0.57,
    110: 0.5, 111: 0.44, 112: 0.38, 113: 0.33, 114: 0.29, 115: 0.25, 116: 0.22, 117: 0.19,
    118: 0.16, 119: 0.14, 120: 0.125, 121: 0.11, 122: 0.095, 123: 0.082, 124: 0.072, 125: 0.063,
    126: 0.054, 127: 0.047, 128: 0.041, 129: 0.036, 130: 0.031,
}  # fmt: skip


@pytest.mark.parametrize("level", G_16A)
def test_hours_are_those_of_the_table(level: int):
    """All entries but 83 to half of their last digit, or a little more where they were cut."""
    printed = str(G_16A[level])
    digits = len(printed.partition(".")[2])
    assert allowed_hours(level, "osha") == pytest.approx(G_16A[level], abs=0.76 * 10.0**-digits)


def test_one_level_is_printed_in_two_ways():
    """83 dBA: 21.1 on one page of the agency, 21.2 on another; the formula says 21.112."""
    exact = allowed_hours(83, "osha")
    assert exact == pytest.approx(21.112, abs=0.0005)
    assert abs(exact - 21.1) < 0.05 < abs(exact - 21.2) < 0.1


@pytest.mark.parametrize(
    ("level", "minutes"),
    [(82, 960), (85, 480), (88, 240), (91, 120), (94, 60), (97, 30), (100, 15), (103, 7.5),
     (115, 28 / 60)],
)  # fmt: skip
def test_minutes_are_those_of_the_recommendation(level: int, minutes: float):
    """NIOSH 98-126, table 1-1."""
    assert 60 * allowed_hours(level, "niosh") == pytest.approx(minutes, rel=0.006)


@pytest.mark.parametrize(
    ("stays", "percent", "within"),
    [
        ([(92, 8)], 131, 1.0),  # secondary source; exact 131.95
        ([(92, 8)], 131.95, 0.005),
        ([(85, 5), (87, 2), (80, 0.5)], 49.34, 0.05),  # secondary source, by the table's 12.1
        ([(85, 5), (87, 2), (80, 0.5)], 49.31, 0.005),
        ([(105, 0.5), (90, 4), (85, 3)], 118.75, 1e-9),  # secondary source: 1/2 + 4/8 + 3/16
        ([(95, 2), (90, 4), (85, 2)], 112.5, 1e-9),
    ],
)
def test_doses_of_mixed_days(stays: list[tuple[float, float]], percent: float, within: float):
    """29 CFR 1910.95, appendix A, I."""
    made = day([Stay(*one) for one in stays])
    assert made.osha_percent == pytest.approx(percent, abs=within)


def test_a_mixed_day_under_three_rules():
    """95 dBA 2 h, 90 dBA 4 h, 85 dBA 2 h (computed twice)."""
    made = day([Stay(95, 2), Stay(90, 4), Stay(85, 2)])
    assert made.osha_twa_db == pytest.approx(90.85, abs=0.005)
    assert made.niosh_percent == pytest.approx(435.7, abs=0.05)
    assert made.niosh_twa_db == pytest.approx(91.39, abs=0.005)
    assert made.lex_8h_db == pytest.approx(91.37, abs=0.005)
    assert made.osha_limit_percent == 100, "the limit counts 90 dBA and more, the action level 80"
    assert made.hours == 8
    assert not made.over_ceiling


def test_samples_of_a_job_as_an_annex_has_them():
    """ISO 9612:2009, job-based: six samples, 7.5 h, 88.16 dB(A) (inputs from memory)."""
    samples = (88.1, 86.1, 89.7, 86.5, 91.1, 86.7)
    assert lex_8h_db([Stay(level, 7.5 / 6) for level in samples]) == pytest.approx(88.16, abs=0.01)


def test_a_belt_driven_spindle_without_its_covers():
    """93 dB, and 83 dB once the covers were damped (common practice, no source): hours of each."""
    loud = [allowed_hours(93, rule) for rule in ("osha", "niosh", "eu_lower", "eu_upper")]
    quiet = [allowed_hours(83, rule) for rule in ("osha", "niosh", "eu_lower", "eu_upper")]
    assert loud == pytest.approx([5.278, 1.2599, 0.40095, 1.26791], rel=1e-4)
    assert quiet == pytest.approx([21.112, 12.6992, 4.0095, 12.6791], rel=1e-4)


@given(level=st.floats(60, 120), hours=st.floats(0.1, 24))
def test_the_time_allowed_fills_the_day(level: float, hours: float):
    assert lex_8h_db([Stay(level, allowed_hours(level, "eu_upper"))]) == pytest.approx(85)
    assert lex_8h_db([Stay(level, allowed_hours(level, "eu_lower"))]) == pytest.approx(80)
    assert lex_8h_db([Stay(level, allowed_hours(level, "eu_limit"))]) == pytest.approx(87)
    made = day([Stay(level, hours)])
    if level >= 90:
        assert made.osha_percent == made.osha_limit_percent
        assert made.osha_percent == pytest.approx(100 * hours / allowed_hours(level, "osha"))
    if level >= 80:
        assert made.niosh_percent == pytest.approx(100 * hours / allowed_hours(level, "niosh"))
        assert made.niosh_twa_db == pytest.approx(
            85 + 10 * math.log10(hours / allowed_hours(level, "niosh"))
        )
    else:
        assert made.osha_percent == made.niosh_percent == 0
        assert made.osha_twa_db == made.niosh_twa_db == -math.inf


@given(level=st.floats(80.1, 114), gain=st.floats(1, 20))
def test_three_decibels_are_stricter_than_five(level: float, gain: float):
    assert allowed_hours(level, "niosh") < allowed_hours(level, "osha")
    assert allowed_hours(level - gain, "osha") > allowed_hours(level, "osha")


def test_a_level_of_eight_hours_is_its_own_average():
    """29 CFR 1910.95, table A-1: 50 % is 85.0, 100 % is 90.0, 200 % is 95.0."""
    assert [round(osha_twa_db(p), 1) for p in (50, 100, 200)] == [85.0, 90.0, 95.0]
    assert day([Stay(115.1, 0.1)]).over_ceiling
    assert not day([Stay(115, 0.1)]).over_ceiling, "up to 115 dBA, a quarter of an hour (G-16)"


def test_days_that_cannot_be_are_refused():
    for wrong in ([], [Stay(90, 0)], [Stay(90, 24.1)], [Stay(90, float("nan"))]):
        with pytest.raises(Unusable):
            day(wrong)
    with pytest.raises(Unusable):
        allowed_hours(float("nan"), "osha")
