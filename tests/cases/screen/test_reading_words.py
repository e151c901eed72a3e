"""Cells and words of a catalogue: prices, years, sizes, and what a thing is, in six languages.

Oracles: ISO 80000-1:2009, 7.3.2 (decimal sign, groups of digits; from memory), ISO 4217 (codes of
currencies; from memory), the inch of 25.4 mm (NIST SP 811, B.8), and by hand.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.cases.screen.catalogues import left, read, rows, said

from retrue.base.currencies import MINOR
from retrue.cases.screen.cell_ways import Ways
from retrue.cases.screen.cells import heard_in, year_of
from retrue.cases.screen.heading_words import ROLE_WORDS, ROLES
from retrue.cases.screen.kind_words import SENSES
from retrue.cases.screen.kinds_told import told_by
from retrue.cases.screen.money_words import currency_in, money_of
from retrue.cases.screen.words_told import facts_in
from retrue.cases.settle.bring_words import plain

WAYS = Ways(mark=None, year=2026)
V, L = "vertical_machining_centre", "turning_centre"
K, G = "milling_machine", "surface_grinder"


@pytest.mark.parametrize(
    ("cell", "value", "currency"),
    [
        ("12.500,-", 12500, ""),
        ("€ 12 500", 12500, "EUR"),
        ("12\u202f500 €", 12500, "EUR"),
        ("CHF 12'500.00", 12500, "CHF"),
        ("12,500.50 GBP", Decimal("12500.50"), "GBP"),
        ("1.234.567,89 €", Decimal("1234567.89"), "EUR"),
        ("12500", 12500, ""),
        ("9 000 euro", 9000, "EUR"),
        ("Fr. 4'000.-", 4000, "CHF"),
        ("VB 12.500,00 €", 12500, "EUR"),
        ("ca. 15k €", 15000, "EUR"),
        ("12 - 15k", 15000, ""),
        ("vanaf € 2.500,00 excl. BTW", 2500, "EUR"),
    ],
)
def test_a_price_is_read_as_it_is_written(cell, value, currency):
    told = money_of(cell, None)
    assert (told.value, told.currency) == (value, currency)


@pytest.mark.parametrize(
    ("cell", "why"),
    [
        ("auf Anfrage", "ask"), ("POA", "ask"), ("prix sur demande", "ask"), ("abc", "no amount"),
        ("1000 2000 3000", "numbers"), ("15.000,- statt 12.000,-", "two numbers"),
        ("€ 5 CHF", "two currencies"), ("12.500", "two things"),
    ],
)  # fmt: skip
def test_what_is_no_price_says_why(cell, why):
    with pytest.raises(ValueError, match=why):
        money_of(cell, None)


def test_words_beside_a_price():
    assert money_of("4.000,- VB", None).offer
    assert money_of("€ 4.000,- t.e.a.b.", None).offer
    assert money_of("4.000,- Festpreis", None).fixed
    assert money_of("600,- pro Stück", None).each
    assert money_of("600,- incl. btw", None).tax_in is True
    assert money_of("600,- zzgl. MwSt netto", None).tax_in is False
    assert "“stuff”" in money_of("600,- stuff", None).why
    assert money_of("600,- €", None).why == ""


def test_every_code_of_iso_4217_is_known_beside_a_number():
    for code in MINOR:
        assert money_of(f"12 500 {code}", None).currency == code
    assert currency_in("Price (XYX)") == ""


def test_a_column_in_two_currencies_says_each():
    text = rows("Lot;What;Price", "1;VMC;€ 5.000,-", "2;VMC;CHF 5'000.00", "3;VMC;7.000,-")
    listing = read(text)
    assert [lot.case.lot.currency for lot in listing.lots] == ["EUR", "CHF", "EUR"]
    assert said(listing.lots[2], "currency").how == "guessed"


def test_a_heading_says_the_currency_the_tax_and_that_it_is_for_one():
    text = rows("Lot;What;Qty;Unit price CHF incl. VAT;VAT", "1;VMC;2;108.00;8")
    (lot,) = read(text).lots
    assert (lot.case.lot.currency, lot.case.terms.asking) == ("CHF", Decimal("200.00"))
    assert len(lot.case.machines) == 2


def test_two_currencies_of_one_lot_are_not_mixed():
    text = rows("Lot;What;Price;New price", "1;VMC;€ 5.000,-;CHF 90'000.00")
    (lot,) = read(text).lots
    assert lot.case.machines[0].new_price is None
    assert left(lot, "90000.00") == "in CHF, the lot is in EUR"


@pytest.mark.parametrize(
    ("cell", "made"),
    [
        ("1998", 1998), ("bj. '98", 1998), ("Bj. 04", 2004), ("ca. 2001", 2001), ("1998/99", 1998),
        ("03/1998", 1998), ("2004 (überholt 2019)", 2004), ("1998.0", 1998), ("BJ: 1987", 1987),
    ],
)  # fmt: skip
def test_a_year_of_make(cell, made):
    assert year_of(cell, 2026)[0] == made
    assert heard_in("year", cell, WAYS)[0].value == 2026 - made


@pytest.mark.parametrize("cell", ["2031", "1812", "abc", "12.500", "1"])
def test_what_is_no_year_says_why(cell):
    with pytest.raises(ValueError, match=r"year|ahead|long ago"):
        year_of(cell, 2026)


@pytest.mark.parametrize("cell", ["?", "-", "", "n/a", "unbekannt", "onbekend", "k.A.", "inconnue"])
def test_a_missing_year_is_a_gap_and_never_a_guess(cell):
    (lot,) = read(rows("Lot;What;Year", f"1;VMC;{cell}")).lots
    assert "age_years" in lot.gaps
    assert lot.case.machines[0].age_years is None


@pytest.mark.parametrize(
    ("role", "cell", "value"),
    [
        ("mass_kg", "3,5 t", 3500), ("mass_kg", "4200 kg", 4200), ("mass_kg", "3 Tonnen", 3000),
        ("mass_kg", "2500", 2500), ("mass_kg", "1000 lb", 453.59237), ("bar_mm", "2 in", 50.8),
        ("speed_rpm", "8000 U/min", 8000), ("speed_rpm", "6000 tr/min", 6000),
        ("travel", "760 x 420 x 500", (760, 420, 500)), ("travel", "30 x 20 in", (762, 508)),
        ("age", "ca. 20", 20), ("age", "1998", 28), ("premium", "16 %", 0.16),
        ("premium", "0.18", 0.18), ("tax", "21%", 0.21), ("removal_by", "3.12.2026", "2026-12-03"),
    ],
)  # fmt: skip
def test_a_size_is_read_in_its_unit(role, cell, value):
    (heard,) = heard_in(role, cell, WAYS)
    assert heard.value == pytest.approx(value)


@pytest.mark.parametrize(
    ("role", "cell"),
    [
        ("mass_kg", "3 m"), ("mass_kg", "heavy"), ("mass_kg", "0"), ("mass_kg", "3 kg 4 kg"),
        ("mass_kg", "4.200"), ("travel", "760"), ("premium", "160 %"), ("count", "0"),
        ("count", "1,5"), ("tax", "80"), ("currency", "XYX"), ("closes_at", "3.12.2026"),
        ("closes_at", "3.12.2026 18:00"), ("removal_by", "soon"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_left_out_with_a_reason(role, cell):
    with pytest.raises(ValueError, match=r"\w{3}"):
        heard_in(role, cell, WAYS)


def test_when_a_lot_closes_needs_an_offset_and_takes_that_of_the_sale():
    text = rows("Lot;What;Closes", "1;VMC;3.12.2026 18:05", "2;VMC;2026-12-03T19:00+02:00")
    lots = read(text, closes_at="2026-12-03T18:00+01:00").lots
    assert [lot.case.terms.closes_at for lot in lots] == [
        "2026-12-03T18:05+01:00", "2026-12-03T19:00+02:00",
    ]  # fmt: skip


def test_a_day_that_may_be_two_is_left_out_and_said():
    text = rows("Lot;What;Removal", "1;VMC;03/12/2026")
    assert left(read(text).lots[0], "03/12/2026") == "“03/12/2026” means two days"
    (lot,) = read(text, dates="day").lots
    assert lot.case.terms.removal_by == "2026-12-03"


@pytest.mark.parametrize(
    ("text", "sure", "kinds"),
    [
        ("Vertical machining centre", "known", [V]), ("VERTICAAL BEWERKINGSCENTRUM", "known", [V]),
        ("Senkrecht-Bearbeitungszentrum", "likely known", [V]),
        ("Centre d'usinage vertical", "known", [V]), ("Centro di lavoro verticale", "known", [V]),
        ("Centro de mecanizado vertical", "known", [V]),
        ("Machining centre, vertical", "known", [V]),
        ("CNC lathe", "known", [L]), ("CNC-draaibank", "known", [L]),
        ("CNC-Drehmaschine", "known", [L]),
        ("Schrägbettdrehmaschine", "known", [L]), ("Tour à commande numérique", "known", [L]),
        ("Tornio CNC", "known", [L]), ("Torno de control numérico", "known", [L]),
        ("Knee mill", "known", [K]), ("universele freesmachine", "known", [K]),
        ("Universal-Fräsmaschine", "known", [K]), ("Fraiseuse conventionnelle", "known", [K]),
        ("Fresatrice universale", "known", [K]), ("Fresadora universal", "known", [K]),
        ("Surface grinder", "known", [G]), ("Vlakslijpmachine", "known", [G]),
        ("Flachschleifmaschinen", "known", [G]), ("Rectifieuse plane", "known", [G]),
        ("Rettificatrice tangenziale", "known", [G]), ("Rectificadora plana", "known", [G]),
        ("turning_centre", "known", [L]), ("vertical_machining_centre", "known", [V]),
        ("Machining centre", "likely", [V]), ("CNC milling machine", "likely", [V]),
        ("Fräsmaschine, CNC-gesteuert", "likely", [V]), ("milling machine", "likely", [K]),
        ("lathe", "stand_in", [L]), ("Drehmaschine", "stand_in", [L]),
        ("Horizontal machining centre", "stand_in", [V]),
        ("5-axis machining centre", "stand_in", [V]),
        ("Bohrwerk", "stand_in", [V]), ("cylindrical grinder", "stand_in", [G]),
        ("CNC-Rundschleifmaschine", "stand_in", [G]), ("Langdrehautomat", "stand_in", [L]),
        ("horizontal boring and milling machine", "stand_in", [V]), ("XR-500 CNC", "stand_in", [V]),
        ("centre lathe", "by_hand", [""]), ("Leit- und Zugspindeldrehmaschine", "by_hand", [""]),
        ("tour parallèle", "by_hand", [""]), ("lathe, conventional", "by_hand", [""]),
        ("wire EDM", "other_machine", [""]), ("Lintzaag", "other_machine", [""]),
        ("Ständerbohrmaschine", "other_machine", [""]), ("Abkantpresse", "other_machine", [""]),
        ("Tool cabinet", "thing", [""]), ("Werkzeugschrank", "thing", [""]),
        ("heftruck", "thing", [""]),
        ("Gabelstapler", "thing", [""]), ("armoire", "thing", [""]), ("Workbench", "thing", [""]),
        ("machine vice", "thing", [""]), ("Drehfutter für Drehmaschine", "thing", [""]),
        ("mandrin pour tour CNC", "thing", [""]), ("lathe chuck", "thing", [""]),
        ("Spindle for VMC", "thing", [""]), ("Parts for surface grinder", "thing", [""]),
        ("CNC lathe with bar feeder", "known", [L]), ("Knee mill met bankschroef", "known", [K]),
        ("CNC lathe 12 tools", "known", [L]), ("surface grinder + CNC lathe", "known", [G, L]),
        ("Fräsmaschine und Drehmaschine", "likely", [K, L]), ("Passage", "", []), ("", "", []),
    ],
)  # fmt: skip
def test_what_a_thing_is(text, sure, kinds):
    told = told_by(text)
    assert [one.kind for one in told.senses] == kinds
    assert (told.senses[0].sure if told.senses else "") in (sure.split() or [""])


def test_words_are_written_as_they_are_looked_for():
    for sense, words in SENSES:
        for word in words.split(";"):
            assert plain(word.strip().lstrip("*")) == word.strip().lstrip("*"), word
        assert (sense.sure in ("known", "likely", "stand_in")) == bool(sense.kind)
    assert set(ROLE_WORDS) == set(ROLES)
    for role, names in ROLES.items():
        assert all(plain(name) == name for name in names), role


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("2x CNC lathe, bj. 1998", {"count": 2, "age_years": 28}),
        ("lot of 3 mills", {"count": 3}), ("partij van 2 draaibanken", {"count": 2}),
        ("Zwei Fräsmaschinen", {"count": 2}), ("CNC lathe (2)", {"count": 2}),
        ("3 axis VMC", {}), ("3-axis VMC", {}), ("VMC, 1998", {"age_years": 28}),
        ("model 2000", {}),
        ("X 760 / Y 420 / Z 500", {"travel_mm": (760, 420, 500)}),
        ("Verfahrwege: 760 x 420 x 500 mm", {"travel_mm": (760, 420, 500)}),
        ("table 1300 x 300 x 20", {}), ("Gewicht 4,5 t, Tischbelastung 500 kg",
                                        {"mass_kg": 4500, "load_kg": 500}),
        ("workpiece 300 kg", {"load_kg": 300}), ("8000 U/min, SK40", {"speed_rpm": 8000,
                                                                      "taper": "SK40"}),
        ("Stangendurchlass Ø 51 mm", {"bar_mm": 51}), ("swing 260, between centres 420",
                                                      {"diameter": 260, "length": 420}),
        ("de 25 kW", {}), ("tour, entre-pointes 1000 mm", {"length": 1000}),
        ("draaibank, 1500 mm tussen de punten", {"length": 1500}),
        ("Verfahrwege x/y/z: 800 / 500 / 500", {"travel_mm": (800, 500, 500)}),
        ("uit 2004", {"age_years": 22}),
    ],
)  # fmt: skip
def test_facts_in_words(text, facts):
    heard = [one for one in facts_in(text, WAYS) if not isinstance(one, str)]
    assert {one.field: one.value for one in heard} == facts


def test_a_lot_of_two_is_two_machines_at_the_price_of_both():
    (lot,) = read(rows("Lot;What;Price", "1;2x CNC lathe;€ 8.000,-")).lots
    assert lot.kinds == (L, L)
    assert [one.name for one in lot.case.machines] == ["2x CNC lathe", "2x CNC lathe (2)"]
    assert lot.case.terms.asking == 8000


def test_a_lot_of_more_machines_than_anybody_moves_is_not_priced():
    (lot,) = read(rows("Lot;What;Qty", "1;CNC lathe;40")).lots
    assert (lot.case, lot.why) == (None, "40 machines in one lot are not priced")


def test_the_type_stands_beside_the_title_and_above_the_lines():
    text = rows(
        "Lot;Title;Category", "Vlakslijpmachines;;", "1;XR 500;CNC lathe", "2;YR;", "3;VMC;"
    )
    by = {lot.number: lot for lot in read(text).lots}
    assert by["1"].kinds == (L,)
    assert by["2"].kinds == (G,)
    assert said(by["2"], "kind").why == "by the heading above it: “Vlakslijpmachines”"
    assert by["3"].kinds == (V,)


def test_a_column_of_controls_says_that_there_is_one():
    text = rows("Lot;What;Control", "1;Lathe;made in house", "2;Lathe;none", "3;Mill;manual")
    lots = read(text).lots
    assert [(lot.kinds, lot.stand_in) for lot in lots] == [
        ((L,), False),
        ((L,), True),
        ((K,), False),
    ]
