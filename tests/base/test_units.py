"""Units are converted exactly, read as they were written, and never guessed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from retrue.base import units
from retrue.base.refusals import Unusable
from retrue.base.unit_table import TWO_MEANINGS, UNITS, find

EXACT = [
    # International yard and pound agreement of 1959, and what follows from it.
    ("in", "mm", "25.4"),
    ("ft", "mm", "304.8"),
    ("thou", "um", "25.4"),
    ("tenth", "um", "2.54"),
    ("lb", "kg", "0.45359237"),
    ("oz", "g", "28.349523125"),
    # NIST SP 811 (2008), appendix B.8, printed in bold there because they are exact.
    ("kgf", "N", "9.80665"),
    ("atm", "Pa", "101325"),
    ("bar", "kPa", "100"),
    ("gal_imperial", "l", "4.54609"),
    ("gal_us", "l", "3.785411784"),
    ("ft3", "l", "28.316846592"),
    ("hp_metric", "W", "735.49875"),
    ("lbf", "N", "4.4482216152605"),
]


@pytest.mark.parametrize(("unit", "to", "printed"), EXACT)
def test_exact_definitions(unit: str, to: str, printed: str):
    """International yard and pound, 1959; NIST SP 811 (2008), B.8 (from memory)."""
    assert units.convert(1, unit, to, field="x") == Fraction(printed)


ROUNDED = [
    # NIST SP 811 (2008), appendix B.8: seven digits as printed (from memory).
    ("psi", "Pa", "6894.757"),
    ("lbf.ft", "Nm", "1.355818"),
    ("lbf.in", "Nm", "0.1129848"),
    ("hp_mechanical", "W", "745.6999"),
    ("in/s", "mm/s", "25.4"),
    ("rpm", "Hz", "0.01666667"),
]


@pytest.mark.parametrize(("unit", "to", "printed"), ROUNDED)
def test_rounded_values_to_the_digits_printed(unit: str, to: str, printed: str):
    """NIST SP 811 (2008), B.8, rounded as printed there (from memory)."""
    digits = -int(Decimal(printed).as_tuple().exponent)
    assert abs(units.convert(1, unit, to, field="x") - Fraction(printed)) <= Fraction(
        1, 2 * 10**digits
    )


@pytest.mark.parametrize(
    ("unit", "to", "reference"),
    [
        ("in", "m", scipy.constants.inch),
        ("thou", "m", scipy.constants.mil),
        ("lb", "kg", scipy.constants.pound),
        ("oz", "kg", scipy.constants.ounce),
        ("psi", "Pa", scipy.constants.psi),
        ("atm", "Pa", scipy.constants.atm),
        ("lbf", "N", scipy.constants.lbf),
        ("kgf", "N", scipy.constants.kgf),
        ("hp_mechanical", "W", scipy.constants.horsepower),
        ("gal_us", "m3", scipy.constants.gallon),
        ("gal_imperial", "m3", scipy.constants.gallon_imp),
        ("arcsec", "deg", 1 / 3600),
    ],
)
def test_a_general_library_has_the_same_factors(unit: str, to: str, reference: float):
    """scipy.constants, made independently of us."""
    assert float(units.convert(1, unit, to, field="x")) == pytest.approx(reference, rel=1e-15)


@pytest.mark.parametrize(
    ("celsius", "fahrenheit", "kelvin"),
    [("0", "32", "273.15"), ("100", "212", "373.15"), ("-40", "-40", "233.15")],
)
def test_temperature_scales_meet_at_their_fixed_points(celsius: str, fahrenheit: str, kelvin: str):
    """ITS-90 and NIST SP 811 B.8: t(°F) = 1.8 t(°C) + 32, T(K) = t(°C) + 273.15."""
    assert units.convert(celsius, "°C", "°F", field="x") == Fraction(fahrenheit)
    assert units.convert(fahrenheit, "°F", "K", field="x") == Fraction(kelvin)
    assert units.convert(kelvin, "K", "°C", field="x") == Fraction(celsius)


def test_a_rise_has_no_zero_point():
    assert units.convert_difference(18, "°F", "K", field="rise") == 10
    assert units.convert(18, "°F", "K", field="point") != 10


SORTS = sorted({unit.measures for unit in UNITS})


@given(st.data())
def test_there_and_back_again_loses_nothing(data: st.DataObject):
    sort = data.draw(st.sampled_from(SORTS))
    same = [unit for unit in UNITS if unit.measures == sort]
    one, other = data.draw(st.sampled_from(same)), data.draw(st.sampled_from(same))
    value = data.draw(st.fractions())
    there = units.convert(value, one.symbol, other.symbol, field="x")
    assert units.convert(there, other.symbol, one.symbol, field="x") == value


def test_no_name_means_two_units():
    names = [name for unit in UNITS for name in (unit.symbol, *unit.names)]
    assert len(names) == len(set(names))
    assert not set(names) & set(TWO_MEANINGS)


WRITTEN = [
    ("0.0005 in", Fraction(1, 2000), "in", ""),
    ("30 psi", Fraction(30), "psi", ""),
    ("30psi", Fraction(30), "psi", ""),
    ("-0,02 mm", Fraction(-1, 50), "mm", "-"),
    ("\u22120.02mm", Fraction(-1, 50), "mm", "-"),
    ("+3 µm", Fraction(3), "um", "+"),
    ("\u00b10.01 mm", Fraction(1, 100), "mm", "\u00b1"),
    ("+/-5 um", Fraction(5), "um", "\u00b1"),
    (".5 thou", Fraction(1, 2), "thou", ""),
    ("2'400 kg", Fraction(2400), "kg", ""),
    ("2\u2009400,5\u202fkg", Fraction(4801, 2), "kg", ""),
    ("1\u202f234\u202f567", Fraction(1234567), "", ""),
    ("1,234 m", Fraction(1234, 1000), "m", ""),
    ('7" ', Fraction(7), "in", ""),
    ("68 °F", Fraction(68), "°F", ""),
    ("500 MΩ", Fraction(500), "megohm", ""),
    ("15 pk", Fraction(15), "hp_metric", ""),
]


@pytest.mark.parametrize(("text", "value", "unit", "sign"), WRITTEN)
def test_what_was_written_is_read(text: str, value: Fraction, unit: str, sign: str):
    assert units.read(text, field="x") == units.Quantity(value, unit, sign)


BAD = [
    "", " ", "mm", "-", "1.2.3", "1,2,3", "1.234,5", "1,234.5", "1'23", "1''234", "12'34'567",
    "1 000", "1 000 mm", "--3", "3-", "1e3", "0x10", "nan", "inf", "\u0661\u0662", "12 furlong",
    "5 hp", "2 ton", "3 gal", "4 mil", "5 °X", "1/0", "½", "9" * 41, "1" + "0" * 500,
]  # fmt: skip


@pytest.mark.parametrize("text", BAD)
def test_what_cannot_be_read_is_refused_by_the_name_of_its_field(text: str):
    with pytest.raises(Unusable) as refused:
        units.read(text, field="spindle runout")
    (problem,) = refused.value.problems
    assert problem.where == "spindle runout"
    assert problem.what
    assert problem.remedy
    assert "spindle runout" in refused.value.reason


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_never_worse(text: str):
    try:
        found = units.read(text, field="x")
    except Unusable:
        return
    assert not found.unit or find(found.unit)


@pytest.mark.parametrize("name", TWO_MEANINGS)
def test_a_name_with_two_meanings_is_refused_with_both(name: str):
    with pytest.raises(Unusable) as refused:
        units.read(f"3 {name}", field="power")
    for meaning in TWO_MEANINGS[name]:
        assert meaning in refused.value.remedy
        assert find(meaning.split()[0])


def test_a_number_without_a_unit_is_in_the_unit_printed_beside_its_field():
    assert units.amount("0,5", "mm", field="gap") == Fraction(1, 2)
    assert units.amount("0,5 in", "mm", field="gap") == Fraction(127, 10)


@pytest.mark.parametrize(("text", "unit"), [("3 kg", "mm"), ("3 dB", "dBA"), ("9 A", "V")])
def test_a_unit_that_measures_something_else_is_refused(text: str, unit: str):
    with pytest.raises(Unusable, match="measures"):
        units.amount(text, unit, field="x")


def test_decibels_are_never_converted():
    assert [u.symbol for u in UNITS if u.measures == "level"] == ["dB"]
    for other in UNITS:
        if other.symbol != "dB":
            with pytest.raises(Unusable):
                units.convert(1, "dB", other.symbol, field="sound")


def test_a_bare_number_takes_no_unit_and_loses_no_digit():
    assert units.number("-6'150,25", field="bid") == Decimal("-6150.25")
    long = "0.1234567890123456789012345678901234"
    assert str(units.number(long, field="bid")) == long
    for text in ("3 mm", "\u00b13"):
        with pytest.raises(Unusable, match="more than a number"):
            units.number(text, field="bid")


def test_a_float_is_no_exact_amount():
    """0.1 is not one tenth: the types forbid it, and this shows why."""
    assert units.convert("0.1", "in", "mm", field="x") == Fraction("2.54")
    assert Fraction(0.1) != Fraction("0.1")


def test_a_unit_that_nobody_knows_is_answered_with_a_few_and_not_with_all():
    with pytest.raises(Unusable) as refused:
        units.read("12o", field="reading")
    assert refused.value.remedy.count(",") <= units.FEW
    assert "A zero is typed 0" in refused.value.remedy
