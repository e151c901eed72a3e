"""Insulation of windings and of machines: IEEE Std 43 and IEC 60204-1, clause 18.3.

No copy of the standards was at hand: constants are from memory, the rest from secondary sources.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.absorption import (
    absorption_ratio,
    absorption_reading,
    index_means_nothing,
    index_minimum,
    polarization_index,
)
from retrue.science.insulation import (
    Winding,
    at_40_c,
    at_40_c_thermosetting,
    by_both_rules,
    machine_minimum_megohm,
    minimum_megohm,
    proving_volts,
)


@pytest.mark.parametrize(
    ("read", "winding_c", "at_40"),
    [(100.0, 40.0, 100.0), (100.0, 30.0, 50.0), (100.0, 50.0, 200.0), (100.0, 10.0, 12.5),
     (200.0, 20.0, 50.0)],
)  # fmt: skip
def test_ten_kelvin_warmer_halves_the_resistance(read: float, winding_c: float, at_40: float):
    """IEEE Std 43-2013, clause 6.3 (from memory)."""
    assert at_40_c(read, winding_c) == pytest.approx(at_40, rel=1e-12)


def test_a_factor_read_off_a_graph_does_not_come_out():
    """3 megohm at 70 degrees is 24 by halving and by logarithm; a page reads 7, prints 21."""
    assert at_40_c(3.0, 70.0) == pytest.approx(24.0)
    assert at_40_c(3.0, 70.0) == pytest.approx(3 * 10 ** (0.0301 * 70 - 1.2041), rel=1e-3)
    assert at_40_c(3.0, 70.0) != pytest.approx(21.0, rel=0.1)


@pytest.mark.parametrize("rule", [at_40_c, at_40_c_thermosetting])
def test_a_resistance_of_nothing_is_refused(rule):
    with pytest.raises(ValueError, match="positive"):
        rule(0.0, 20.0)


@pytest.mark.parametrize(("winding_c", "factor"), [(60.0, 2.252), (20.0, 0.762), (40.0, 1.0)])
def test_resin_changes_less_than_shellac(winding_c: float, factor: float):
    """IEEE Std 43-2013, clause 6.3, thermosetting: constants from memory, factors worked out."""
    assert at_40_c_thermosetting(1.0, winding_c) == pytest.approx(factor, abs=5e-4)


def test_at_twenty_degrees_the_two_rules_are_three_times_apart():
    """0.25 and 0.76: whoever does not know the insulation gets both, judged by the lower."""
    found = by_both_rules(200.0, 20.0)
    assert found.thermosetting_megohm is not None
    assert found.thermosetting_megohm / found.thermoplastic_megohm == pytest.approx(3.05, abs=0.01)
    assert found.judged_megohm == found.thermoplastic_megohm == pytest.approx(50)
    assert by_both_rules(200.0, 20.0, "thermosetting").judged_megohm == pytest.approx(152.4, abs=1)
    warm = by_both_rules(3.0, 60.0)
    assert warm.judged_megohm == warm.thermosetting_megohm
    assert by_both_rules(3.0, 60.0, "thermoplastic").judged_megohm == pytest.approx(12.0)


@given(read=st.floats(0.01, 1e4), cooler=st.floats(10, 84.9), warmer=st.floats(10, 84.9))
def test_the_same_reading_is_worth_more_the_warmer_the_winding(
    read: float, cooler: float, warmer: float
):
    cooler, warmer = sorted((cooler, warmer))
    for rule in (at_40_c, at_40_c_thermosetting):
        assert rule(read, cooler) <= rule(read, warmer)
    halved, resin = at_40_c(read, warmer), at_40_c_thermosetting(read, warmer)
    assert halved >= resin if warmer >= 40 else halved <= resin, "halving is the steeper rule"


@pytest.mark.parametrize("winding_c", [9.9, 85.0, -5.0])
def test_outside_its_range_the_resin_rule_says_nothing(winding_c: float):
    """Over 40 degrees it gives the lower value: where it says nothing, nothing judges."""
    found = by_both_rules(10.0, winding_c, "unknown" if winding_c < 40 else "thermoplastic")
    assert found.thermosetting_megohm is None
    assert found.judged_megohm == found.thermoplastic_megohm
    with pytest.raises(Unusable, match="10 to 85"):
        by_both_rules(10.0, max(winding_c, 85.0))
    with pytest.raises(Unusable, match="10 to 85"):
        by_both_rules(10.0, winding_c, "thermosetting")


@pytest.mark.parametrize(
    ("winding", "volts", "year", "edition", "least"),
    [
        ("random", 400, None, 2013, 5.0),
        ("random", 400, 1995, 2000, 5.0),
        ("form", 690, 1995, 2013, 5.0),
        ("form", 6000, 1995, 2013, 100.0),
        ("form", 6000, 1965, 2013, 7.0),
        ("field", 200, 1995, 2013, 1.2),
        ("armature", 400, 1995, 2000, 100.0),
        ("armature", 400, 1995, 2013, 5.0),
        ("armature", 400, 1960, 2013, 1.4),
    ],
)
def test_the_least_value_goes_by_winding_year_and_edition(
    winding: Winding, volts: float, year: int | None, edition: int, least: float
):
    """IEEE Std 43, table 3 (from memory); armatures 100 to 5 megohm in 2013 (secondary source)."""
    found = minimum_megohm(winding, volts, wound_year=year, edition=edition)
    assert found == pytest.approx(least)


def test_a_winding_that_no_table_knows_is_refused():
    with pytest.raises(Unusable, match="no least insulation"):
        minimum_megohm("random", 0)
    with pytest.raises(Unusable, match="no least insulation"):
        minimum_megohm("random", 400, edition=1974)
    for year in (5, 85, 1899, 2101):
        with pytest.raises(Unusable, match="year"):
            minimum_megohm("random", 400, wound_year=year)


def test_index_and_its_least_value():
    """IEEE Std 43-2000, quoted in a tester's manual: 1.5 for A, 2.0 for B, F, H (secondary)."""
    assert polarization_index(50, 120) == pytest.approx(2.4)
    assert [index_minimum(letter) for letter in "ABFH"] == [1.5, 2.0, 2.0, 2.0]
    with pytest.raises(Unusable, match="no least index"):
        index_minimum("E")
    with pytest.raises(Unusable, match="both readings"):
        polarization_index(0, 120)


def test_the_index_says_nothing_of_small_or_of_very_good_windings():
    """IEEE Std 43-2013: over 5 gigohm (from memory); small random-wound (secondary source)."""
    assert index_means_nothing(5001, "form") == "high"
    assert index_means_nothing(5000, "form") == ""
    assert index_means_nothing(200, "armature") == ""
    assert index_means_nothing(200, "random") == "small_random"


@pytest.mark.parametrize(
    ("half", "one", "reading"),
    [(100, 90, "falls"), (100, 100, "questionable"), (100, 124, "questionable"),
     (100, 130, "between"), (100, 140, "good"), (100, 160, "good")],
)  # fmt: skip
def test_absorption_from_half_a_minute_to_one(half: float, one: float, reading: str):
    """Handbooks of tester makers (from memory, unverified)."""
    assert absorption_reading(absorption_ratio(half, one)) == reading


def test_test_voltage_and_the_least_of_a_whole_machine():
    """IEEE Std 43, table 1; IEC 60204-1:2016, 18.3: 1 megohm, bus bars 50 kilohm (from memory)."""
    assert proving_volts(400) == 500
    assert proving_volts(400, old_varnish=True) == 250
    assert machine_minimum_megohm() == 1.0
    assert machine_minimum_megohm(bus_bars=True) == pytest.approx(0.05)
    for volts in (0, 1000, math.nan):
        with pytest.raises(Unusable, match="1,000 V"):
            proving_volts(volts)
