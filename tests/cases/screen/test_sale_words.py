"""What a line says of a whole sale: which figure is the premium, which the tax, which is neither.

Oracles: the calendar (ISO 8601) for days of the week, and by hand: as sales write their terms,
common practice, no source.
"""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.cases.screen.cell_ways import Ways
from retrue.cases.screen.sale_spoken import NOTHING, spoken_in

YEAR = 2026


def heard(text: str, **ways: object) -> dict[str, object]:
    told = spoken_in(text, Ways(**{"mark": None, "year": YEAR} | ways))
    return {one.field: one.value for one in told.heard}


def asked(text: str) -> dict[str, tuple[float, ...]]:
    return {one.field: one.values for one in spoken_in(text, Ways(mark=None, year=YEAR)).asked}


@pytest.mark.parametrize(
    ("text", "premium", "tax"),
    [
        ("Buyer's premium 18 % plus VAT 21 %", 0.18, 0.21),
        ("Buyer’s premium: 18%", 0.18, None),
        ("16 % premium, 21 % VAT", 0.16, 0.21),
        ("18 % premium plus 21 % VAT", 0.18, 0.21),
        ("Premium 18 % VAT 21 %", 0.18, 0.21),
        ("Opgeld 17,5%. Btw 21%.", 0.175, 0.21),
        ("Opgeld bedraagt 18 procent, te vermeerderen met 21 procent btw", 0.18, 0.21),
        ("Alle prijzen excl. 18 % opgeld en 21 % btw", 0.18, 0.21),
        ("Aufgeld 18 %", 0.18, None),
        ("Aufgeld: 18 % zzgl. 19 % MwSt", 0.18, 0.19),
        ("Käuferaufgeld 15 % zzgl. der gesetzlichen MwSt. von 19 %", 0.15, 0.19),
        ("18 % Aufgeld 19 % MwSt", 0.18, 0.19),
        ("Frais acheteur 14,28 % HT", 0.1428, None),
        ("Frais de vente : 20 % + TVA 20 %", 0.20, 0.20),
        ("Le montant des frais est de 18 %", 0.18, None),
        ("Mehrwertsteuer 8,1 %", None, 0.081),
        ("Premium on all lots 18 %", 0.18, None),
        ("Deposit 25 %, premium 15 %", 0.15, None),
        ("Buyer's premium 18 %, 2 % discount for bank transfer", 0.18, None),
        ("Payment 100 % in advance, premium 18 %", 0.18, None),
        ("Buyer's premium 0 %", 0.0, None),
        ("No buyer's premium", 0.0, None),
        ("Kein Aufgeld", 0.0, None),
    ],
)
def test_a_figure_that_one_word_names_is_taken(text, premium, tax):
    told = heard(text)
    assert told.get("premium") == premium
    assert told.get("tax_rate") == tax
    assert not asked(text)


@pytest.mark.parametrize(
    "text",
    [
        "18 % reduction",
        "10 % reduction on the buyer's premium for members",
        "10 % korting bij contante betaling",
        "Rabatt 5 % ab drei Losen",
        "Premium tools of 2 makers",
        "Premium machines up to 40 % below new price",
        "Hall 3, 40 % of the space",
        "Tel. +32 9 018 21 00",
        "Opgeld: tel. 018 21 21 18",
        "USt-ID DE123456789",
        "VAT number BE 0123.456.789",
        "Preise ohne Aufgeld",
        "Collection by appointment, tel. 09 21 34 56",
        "Viewing 10/12/2026 from 10:00",
        "18 % of the lots are sold",
    ],
)
def test_what_is_neither_premium_nor_tax_is_not_taken(text):
    assert spoken_in(text, Ways(mark=None, year=YEAR)) == NOTHING


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("Premium VAT 18 %", {"premium": (0.18,), "tax_rate": (0.18,)}),
        ("Premium incl. VAT 18 %", {"premium": (0.18,), "tax_rate": (0.18,)}),
        ("Premium and VAT 21 %", {"premium": (0.21,), "tax_rate": (0.21,)}),
        ("Premium 18 % (online 21 %)", {"premium": (0.18, 0.21)}),
        ("18% premium, 3% online fee", {"premium": (0.18, 0.03)}),
        ("Premium 18 % up to 10.000, 12 % above", {"premium": (0.18, 0.12)}),
        ("Na betaling van 3 % kosten en 17 % opgeld", {"premium": (0.17, 0.03)}),
        ("Lot 5: premium 20 %", {"premium": (0.2,)}),
        ("Kavels 10-20: opgeld 12 %", {"premium": (0.12,)}),
        ("Buyer's premium 60 %", {"premium": (0.6,)}),
        ("All prices include 18 % buyer's premium", {"premium": (0.18,)}),
        ("18 % premium plus 21 % VAT on the premium", {"tax_rate": (0.21,)}),
        ("Margin scheme on lots 4 and 7", {"tax_scheme": ()}),
        ("All prices in EUR and CHF", {"currency": ()}),
        ("Currency: $", {"currency": ()}),
    ],
)
def test_what_may_be_two_things_is_asked_and_not_taken(text, fields):
    assert asked(text) == fields
    assert not set(fields) & set(heard(text))


def test_a_premium_that_holds_its_tax_is_taken_without_it_where_the_rate_is_said():
    """21.78 % with 21 % tax in it is 18 %: 1.18 times, by hand."""
    assert heard("Opgeld 21,78 % (incl. 21 % btw)") == {"premium": 0.18, "tax_rate": 0.21}
    (one,) = spoken_in("Frais 21,6 % TTC", Ways(mark=None, year=YEAR)).heard
    assert (one.value, one.why) == (0.216, "it holds tax; nobody says its rate")
    assert heard("Opgeld 18 % (excl. btw)") == {"premium": 0.18}
    assert heard("all prices incl. VAT 21 %, premium 18 %") == {
        "premium": 0.18, "tax_rate": 0.21, "prices_hold_tax": True,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("tax 21 % comes back to a business", {"tax_rate": 0.21, "tax_reclaimable": True}),
        ("btw 21 %, niet aftrekbaar", {"tax_rate": 0.21, "tax_reclaimable": False}),
        ("MwSt 19 %, als Vorsteuer abziehbar", {"tax_rate": 0.19, "tax_reclaimable": True}),
        ("Alle Lose differenzbesteuert nach § 25a UStG", {"tax_scheme": "margin"}),
        ("Alle Preise in CHF inkl. 8,1 % MwSt.",
         {"currency": "CHF", "tax_rate": 0.081, "prices_hold_tax": True}),
        ("Currency: CHF", {"currency": "CHF"}),
        ("Währung: CHF", {"currency": "CHF"}),
        ("Devise EUR", {"currency": "EUR"}),
        ("Alle bedragen in euro, zonder btw", {"currency": "EUR"}),
    ],
)  # fmt: skip
def test_what_words_say_of_tax_and_currency(text, told):
    assert heard(text) == told
    assert not asked(text)


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("removal within 15 days", 15.0),
        ("Removal: 15 days after the sale", 15.0),
        ("Afhalen binnen 10 werkdagen", 14.0),
        ("Enlèvement sous 10 jours ouvrables", 14.0),
        ("Abholung innerhalb von 14 Tagen", 14.0),
        ("Collection within 2 weeks", 14.0),
        ("Collected within 5 business days", 7.0),
        ("Removal within 14 (fourteen) days", 14.0),
    ],
)
def test_days_until_lots_must_be_gone(text, days):
    """A week has five working days, by hand."""
    assert heard(text) == {"removal_days": days}


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Collection by Friday 11 December", "2026-12-11"),
        ("Afhalen uiterlijk vrijdag 11 december", "2026-12-11"),
        ("Abholung bis Freitag, 11. Dezember 2026", "2026-12-11"),
        ("Enlèvement avant le vendredi 11 décembre 2026", "2026-12-11"),
        ("Collection by 12 December 2026", "2026-12-12"),
        ("Collection from 7 until 11 December 2026", "2026-12-11"),
        ("Collection by 14/12/2026", "2026-12-14"),
        ("Abholung bis 03.12.2026", "2026-12-03"),
        ("Collection by Friday 15 January", "2027-01-15"),  # a Thursday in 2026
        ("Viewing Monday 7 December, collection by Friday 11 December", "2026-12-11"),
        ("Collection by Friday 11 December, payment before 4 December 2026", "2026-12-11"),
    ],
)
def test_the_day_until_lots_must_be_gone(text, day):
    assert heard(text) == {"removal_by": day}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (
            "Collection by Friday 12 December",
            "in 2026 and 2027 that is another day",
        ),  # a Saturday, a Sunday
        ("Collection by 12 December", "no year stands beside"),
        ("Collection by 10/12/2026", "means two days"),
        ("Collection by Friday 12 December 2026", "2026-12-12 is no friday"),
        ("Collection by 31 November 2026", "is no day"),
        ("Collection by 11 December 2025", "lies behind"),
        ("Collection 10 December 2026 or 12 December 2026", "2 days stand there"),
        ("Removal 3 days before the sale only", "does not say that lots must be gone"),
        ("Collection from 7 December 2026", "“from” stands beside it"),
        ("Abholung ab 7.12.2026", "“ab” stands beside it"),
        ("No removal before 11 December 2026", "“no removal before” stands beside it"),
        ("Geen afhaling voor 11 december 2026", "“geen afhaling voor” stands beside it"),
        ("Removal not within 10 days", "“within 10 days” stands beside it"),
        ("Machines: removal within 10 days, tools within 3 days", "the line says two things"),
        ("Removal of lot 5 within 10 days", "it speaks of some lots only"),
        ("Removal within 2 months", "days are asked for: it says “within 2 months”"),
    ],
)
def test_a_day_that_cannot_be_told_is_asked(text, why):
    (one,) = spoken_in(text, Ways(mark=None, year=YEAR)).asked
    assert why in one.why
    assert not heard(text)


def test_without_a_year_the_first_such_day_after_it_closes_is_taken_and_said():
    ways = Ways(mark=None, year=YEAR)
    for closes, day in (("2026-12-03T18:00+01:00", "2026-12-12"),
                        ("2026-12-20T18:00+01:00", "2027-12-12")):  # fmt: skip
        (one,) = spoken_in("Collection by 12 December", ways, closes).heard
        assert one.value == day
        assert "the first such day after it closes" in one.why
    assert heard("Collection by 10/12/2026", dates="day") == {"removal_by": "2026-12-10"}
    assert heard("Collection by 10/12/2026", dates="month") == {"removal_by": "2026-10-12"}


NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@given(st.dates(min_value=date(YEAR, 1, 1), max_value=date(YEAR + 1, 12, 31)))
def test_a_day_with_its_weekday_is_told_without_its_year(when):
    """The calendar of the standard library; a weekday falls on a date in one of two years only."""
    text = f"Collection by {NAMES[when.weekday()]} {when.day} {when:%B}"
    assert heard(text) == {"removal_by": when.isoformat()}


WORDS = st.sampled_from(
    ("premium", "buyer's premium", "VAT", "opgeld", "18 %", "21%", "3 %", "plus", "incl.", ",",
     "(", ")", "reduction", "lot 5", "online", "and", ".", "collection", "by", "12 December",
     "within", "10 days", "currency", "CHF", "EUR", ":", "no")
)  # fmt: skip


@given(st.lists(WORDS, max_size=12))
def test_no_line_says_two_things_of_one_field_or_a_share_that_is_not_written(words):
    text = " ".join(words)
    told = spoken_in(text, Ways(mark=None, year=YEAR))
    fields = [one.field for one in told.heard]
    assert len(fields) == len(set(fields))
    written = {0.18, 0.21, 0.03, 0.0}
    for one in told.heard:
        if one.field in ("premium", "tax_rate") and not one.why:
            assert one.value in written
    for one in told.asked:
        assert one.why
