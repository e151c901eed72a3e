"""Headings cut short, units beside them, signs, what is below zero, what is gone, in six languages.

Oracles: ISO 4217 (codes of currencies; from memory), the exact ratios of NIST SP 811, B.8 (inch,
tonne), and by hand. How lists of lots cut their headings short: common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.cases.screen.catalogues import left, read, rows, said

from retrue.base.unit_table import find
from retrue.cases.screen.heading_short import SHORT, UNITS
from retrue.cases.screen.heading_words import ROLES
from retrue.cases.settle.bring_words import plain

HEADS = {
    "nl": ("Kav.nr.", "Omschr.", "Bouwjr", "Gew. kg", "Startpr.", "Opm."),
    "nl, too": ("Kavelnr.", "Oms.", "Bwjr.", "Gew. (kg)", "Min. bod", "Bijz."),
    "de": ("Los-Nr.", "Bez.", "Bj.", "Masch.-Gew. [kg]", "Mindestgeb.", "Bem."),
    "de, too": ("Lfd.Nr.", "Bezeichn.", "Bauj.", "Gew. kg", "Startgeb. (EUR)", "Anm."),
    "fr": ("N° lot", "Désig.", "An. constr.", "Poids (kg)", "M. à p.", "Obs."),
    "it": ("Lotto", "Descr.", "Anno costr.", "Peso (kg)", "Base asta", "Oss."),
    "es": ("Lote", "Descrip.", "Año fab.", "Peso kg", "Precio sal.", "Observ."),
    "en": ("Lot no.", "Descr.", "Yr.", "Wt. (kg)", "Start bid", "Spec."),
}
ROLES_OF = ["number", "title", "year", "mass_kg", "start", "text"]


@pytest.mark.parametrize("language", HEADS)
@pytest.mark.parametrize("written", [str, str.upper, str.lower])
def test_headings_cut_short_are_known_in_six_languages(language, written):
    heading = ";".join(map(written, HEADS[language]))
    listing = read(rows(heading, "12;VMC;2004;4200;7.500,00;complete", "13;VMC;1999;3800;8,00;"))
    assert [column.role for column in listing.columns] == ROLES_OF
    case = listing.lots[0].case
    assert case is not None
    assert (case.machines[0].age_years, case.machines[0].mass_kg) == (22, 4200)
    assert case.terms.asking == Decimal("7500.00")


def test_short_headings_name_columns_and_no_two_the_same():
    every = [word for words in SHORT.values() for word in words]
    assert len(every) == len(set(every))
    assert set(SHORT) <= set(ROLES)
    assert all(plain(word) == word for word in every)
    full = {word for words in ROLES.values() for word in words}
    assert not full.intersection(every)


def test_two_columns_of_one_sort_are_not_taken_for_one_by_the_words_beside_them():
    text = rows("Lot;What;Startpr. excl. btw;Startpr. incl. btw", "1;VMC;100,00;121,00")
    listing = read(text)
    assert [column.role for column in listing.columns] == ["number", "title", "start", ""]
    assert listing.lots[0].case.terms.asking == 100


@pytest.mark.parametrize(
    ("heading", "cell", "field", "value"),
    [
        ("Gew. (t)", "4,2", "mass_kg", 4200),
        ("Gewicht [t]", "4,2", "mass_kg", 4200),
        ("Gew. (t)", "4200 kg", "mass_kg", 4200),
        ("Gew.", "4,2 T", "mass_kg", 4200),
        ("Weight (lb)", "1000", "mass_kg", pytest.approx(453.59237)),
        ("Bar capacity (in)", "2", "bar_mm", pytest.approx(50.8)),
        ("Verfahrwege (cm)", "76 x 42 x 50", "travel_mm", (760, 420, 500)),
        ("Afm. (mm)", "760x420x500", "travel_mm", (760, 420, 500)),
        ("Afm.", "X 760 Y 420 Z 500", "travel_mm", (760, 420, 500)),
        ("Afm. mm", "ø320 x 600", "travel_mm", (320, 600)),
        ("Abmessungen (mm)", "2500 x 1900 x 2400", "height_mm", 2400),
        ("LxBxH (m)", "2,5 x 1,9 x 2,4", "width_mm", 1900),
        ("Dimensioni", "250 x 190 x 240 cm", "height_mm", 2400),
    ],
)
def test_a_size_is_in_the_unit_of_its_cell_else_of_its_heading(heading, cell, field, value):
    (lot,) = read(rows(f"Lot;What;{heading}", f"1;VMC;{cell}")).lots
    assert getattr(lot.case.machines[0], field) == value


def test_sizes_that_may_be_the_outside_or_the_travels_are_not_read():
    (lot,) = read(rows("Lot;What;Afm.", "1;VMC;1600 x 800 x 700")).lots
    assert left(lot, "1600 x 800 x 700") == "it may be its outer size or its travels"
    assert said(read(rows("Lot;What;Afm.", "1;VMC;760x420x500")).lots[0], "travel_mm").why


@pytest.mark.parametrize(
    ("cell", "why"),
    [
        ("-500", "“-500” is below zero"), ("€ -1.500,00", "“€ -1.500,00” is below zero"),
        ("(500)", "“(500)” is below zero"), ("\u2212500", "“\u2212500” is below zero"),
        ("1e308", "“1e308” is written with a power of ten"), ("NaN", "“NaN” is no amount"),
        ("inf", "“inf” is no amount"), ("999999999999999", "“999999999999999” is too large"),
    ],
)  # fmt: skip
def test_a_price_below_zero_or_without_bounds_is_left_out_with_its_reason(cell, why):
    lot, _ = read(rows("Lot;What;Start price", f"1;CNC lathe;{cell}", "2;CNC lathe;9,00")).lots
    assert lot.case.terms.asking is None
    assert left(lot, cell) == why


@pytest.mark.parametrize(
    ("heading", "cell"), [("Weight", "-400"), ("Age", "-5"), ("Quantity", "-2"), ("Mass", "1e9")]
)
def test_no_size_is_below_zero(heading, cell):
    (lot,) = read(rows(f"Lot;What;{heading}", f"1;CNC lathe;{cell}")).lots
    assert left(lot, cell).startswith(f"“{cell}” is ")


@pytest.mark.parametrize(("sign", "code"), [("€", "EUR"), ("£", "GBP"), ("euro", "EUR"),
                                            ("US$", "USD"), ("CHF", "CHF")])  # fmt: skip
def test_a_sign_says_the_currency(sign, code):
    rates = {"GBP": Decimal("1.2"), "USD": Decimal("0.9"), "CHF": Decimal("1.05")}
    (lot,) = read(rows("Lot;What;Price;Munt", f"1;VMC;500,00;{sign}"), rates=rates).lots
    assert lot.case.lot.currency == code
    assert said(lot, "currency").how == "understood"


def test_a_dollar_is_one_only_where_one_dollar_is_known():
    text = rows("Lot;What;Price;Currency", "1;VMC;500.00;$")
    (lot,) = read(text, rates={"CAD": Decimal("0.65")}).lots
    assert lot.case.lot.currency == "CAD"
    for rates in ({}, {"CAD": Decimal("0.65"), "USD": Decimal("0.9")}):
        (lot,) = read(text, rates=rates).lots
        assert left(lot, "$") == "“$” may be that of several countries"
        assert lot.case.lot.currency == "EUR"


@pytest.mark.parametrize("title", ["1000x CNC lathe", "lot of 150 CNC lathe", "VMC (x 40)"])
def test_more_machines_than_a_lot_can_have_are_not_one(title):
    (lot,) = read(rows("Lot;What", f"1;{title}")).lots
    assert lot.case is None
    assert "machines in one lot are not priced" in lot.why


@pytest.mark.parametrize(
    ("heading", "cell"),
    [
        ("Opm.", "verkocht"), ("Zaal", "VERKOCHT"), ("Bem.", "zurückgezogen!"), ("Hall", "Sold"),
        ("Note", "venduto"), ("Obs.", "vendido, se retira el lunes"), ("Rem.", "Déjà vendu"),
        ("Startprijs", "verkocht"), ("Bj.", "sold"), ("Opm.", "kavel vervallen"),
        ("Bem.", "Los entfällt"), ("Rem.", "annulé"),
    ],
)  # fmt: skip
def test_what_is_said_to_be_gone_in_any_column_is_not_priced(heading, cell):
    one, other = read(rows(f"Lot;What;{heading}", f"1;VMC;{cell}", "2;VMC;1999")).lots
    assert one.case is None
    assert one.why == f"no longer for sale: {cell}"
    assert [told.how for told in one.said if told.text == cell] == ["understood"]
    assert said(one, "status").text == cell
    assert other.case is not None


@pytest.mark.parametrize(
    ("title", "gone"),
    [
        ("VERKOCHT: CNC lathe", True), ("CNC lathe (sold)", True), ("SOLD CNC lathe", True),
        ("CNC lathe - verkauft", True), ("CNC lathe, sold as seen", False),
        ("CNC lathe, not sold before", False), ("CNC lathe, wordt verkocht zonder klem", False),
    ],
)  # fmt: skip
def test_a_title_says_that_it_is_gone_or_only_how_it_is_sold(title, gone):
    (lot,) = read(rows("Lot;What", f'1;"{title}"')).lots
    assert (lot.case is None) == gone


def test_a_number_beside_what_is_gone_stays_the_number():
    lots = read(rows("Lot;What", "12 (sold);VMC", "13;VMC")).lots
    assert [(lot.number, lot.case is None) for lot in lots] == [("12 (sold)", True), ("13", False)]


def test_every_unit_beside_a_heading_is_one():
    assert all(find(unit) is not None for unit in UNITS.values())


def test_a_distance_in_kilometres_is_one():
    (lot,) = read(rows("Lot;What;Afst.", "1;VMC;40 km")).lots
    assert lot.case.terms.distance_km == 40


L, K = "turning_centre", "milling_machine"


@pytest.mark.parametrize(
    ("title", "kinds"),
    [
        ("Frees- en draaibank", (K, L)), ("Dreh- und Fräsmaschine", (L, K)),
        ("Draai- en freesmachine", (L, K)), ("Freesbank en draaibank", (K, L)),
    ],
)  # fmt: skip
def test_two_machines_named_by_one_word_are_two(title, kinds):
    (lot,) = read(rows("Lot;What", f"1;{title}")).lots
    assert lot.kinds == kinds


@pytest.mark.parametrize(
    "title",
    [
        "Handleiding bewerkingscentrum", "Model van een draaibank, decoratie",
        "Betriebsanleitung Drehmaschine", "Scale model of a lathe", "User manual CNC lathe",
    ],
)  # fmt: skip
def test_a_manual_or_a_model_of_a_machine_is_none(title):
    (lot,) = read(rows("Lot;What", f"1;{title}")).lots
    assert lot.case is None
    assert lot.why.startswith("no machine: ")
