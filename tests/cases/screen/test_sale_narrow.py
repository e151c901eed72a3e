"""Words beside a share that narrow it: it is asked, with those words, and never taken silently.

Oracles by hand: as sales write their terms, common practice, no source.
"""

from __future__ import annotations

from time import process_time

import pytest
from tests.cases.screen.test_sale_words import YEAR, asked, heard

from retrue.cases.screen.cell_ways import Ways
from retrue.cases.screen.sale_spoken import spoken_in


@pytest.mark.parametrize(
    ("text", "premium", "why"),
    [
        ("premium 18 % up to 10.000", (0.18,), "“up to” stands beside it"),
        ("Aufgeld 18 % ab 10.000 EUR", (0.18,), "“ab” stands beside it"),
        ("Frais 18 % jusqu'à 10 000 €", (0.18,), "“jusqu” stands beside it"),
        ("Premium 15 % + €50 per lot", (0.15,), "another number stands beside it: 50"),
        ("premium 15 % with a minimum of 50 EUR", (0.15,), "“minimum” stands beside it"),
        ("Premium 15 % (min. € 50)", (0.15,), "“min” stands beside it"),
        ("Premium 15 %, minimum 50 euro", (0.15,), "“minimum” stands beside it"),
        ("premium from 18 to 22 %", (0.18, 0.22), "it may be one figure or the other"),
        ("premium 18-22 %", (0.18, 0.22), "it may be one figure or the other"),
        ("opgeld 18\u201322 %", (0.18, 0.22), "it may be one figure or the other"),
        ("premium 18 - 22 %", (0.18, 0.22), "it may be one figure or the other"),
        ("premium: 18%, was 16%", (0.18, 0.16), "it may be one figure or the other"),
        ("premium: -18%", (0.18,), "a minus stands before it"),
        ("premium was 16 %", (0.16,), "“was” stands beside it"),
        ("verlaagd opgeld 12 %", (0.12,), "“verlaagd” stands beside it"),
        ("Premium 18 % does not apply", (0.18,), "“not apply” stands beside it"),
        ("Online premium 18 %", (0.18,), "“online” stands beside it"),
        ("premium 15 % for members", (0.15,), "“members” stands beside it"),
        ("Premium 18 % on machines", (0.18,), "“on machines” stands beside it"),
        ("Premium 18 % on all lots for dismantlers", (0.18,), "“for dismantlers” stands beside it"),
        ("Onlineaufgeld 3 %", (0.03,), "“onlineaufgeld” stands beside it"),
        ("Opgeld 18 % contant", (0.18,), "“contant” stands beside it"),
        ("Premium 18 % (VAT incl.)", (0.18,), "“incl” stands beside it"),
        ("Opgeld 18 %, btw inbegrepen", (0.18,), "“inbegrepen” stands beside it"),
        ("Seller's premium 18 %", (0.18,), "“seller's” stands beside it"),
        ("Insurance premium: 2 %", (0.02,), "“insurance” stands beside it"),
        ("frais de stockage 2 % par jour", (0.02,), "“stockage” stands beside it"),
        ("premium-quality lathe, premium lathe 18 %", (0.18,), "it may be a share of something"),
        ("premium 20 % less 2 %", (0.2,), "“less” stands beside it"),
        ("Opgeld 12 % op dit kavel", (0.12,), "it speaks of some lots only"),
        ("Premium: 0,18", (0.18,), "no % stands beside 0,18"),
        ("Premium (%): 18", (0.18,), "no % stands beside 18"),
        ("No premium for lots above 1000", (), "“for above 1000” stands beside it"),
        ("Kein Aufgeld für Händler", (), "“fur handler” stands beside it"),
        ("no buyer's premium, but 2 % handling", (0.02,), "it may be a share of something else"),
    ],
)
def test_a_premium_beside_words_that_narrow_it_is_asked_with_those_words(text, premium, why):
    (one,) = (one for one in spoken_in(text, Ways(mark=None, year=YEAR)).asked)
    assert (one.field, one.values) == ("premium", premium)
    assert one.why.startswith(why)
    assert not heard(text)


@pytest.mark.parametrize(
    "text",
    [
        "VAT 21 % does not apply",
        "BTW 21 % is niet van toepassing",
        "exempt from VAT (21 %)",
        "VAT 0 % for export",
        "VAT 21 % for private buyers",
        "VAT 6 %, 21 %",
        "BTW 21 % (6 % voor boeken)",
        "VAT 21 % reclaimable by companies only",
        "VAT 21",
    ],
)
def test_a_tax_of_some_is_asked(text):
    assert set(asked(text)) == {"tax_rate"}
    assert not heard(text)


@pytest.mark.parametrize(
    "text",
    [
        "Prices do not include VAT",
        "Prijzen zijn niet inclusief btw",
        "Preise verstehen sich nicht inkl. MwSt.",
        "All prices incl. premium, excl. VAT",
        "Prices include transport, excl. VAT",
        "VAT reclaimable except for cars",
        "Premium-quality lathes",
        "removable tailstock, 3 jours après",
        "Premium 18.12.2026",
    ],
)
def test_what_is_denied_or_of_a_thing_is_not_taken(text):
    assert not heard(text)


def test_what_cannot_be_claimed_back_does_not_come_back():
    for text in ("VAT cannot be reclaimed", "VAT can't be recovered", "btw nooit aftrekbaar"):
        assert heard(text) == {"tax_reclaimable": False}


@pytest.mark.parametrize(
    "text",
    ["No margin scheme", "Geen margeregeling", "Margin scheme does not apply",
     "some may be under the margin scheme", "keine Differenzbesteuerung"],
)  # fmt: skip
def test_a_scheme_that_is_denied_or_may_be_is_asked(text):
    assert set(asked(text)) == {"tax_scheme"}
    assert not heard(text)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Prices in EUR, bids in CHF", "it names EUR and CHF"),
        ("currency: EUR/CHF", "“EUR/CHF” has two currencies"),
    ],
)
def test_amounts_of_two_currencies_are_asked(text, why):
    (one,) = spoken_in(text, Ways(mark=None, year=YEAR)).asked
    assert (one.field, one.why[: len(why)]) == ("currency", why)
    assert not heard(text)


@pytest.mark.parametrize(
    ("text", "premium", "tax"),
    [
        ("Het opgeld bedraagt 18 % en wordt verhoogd met 21 % btw", 0.18, 0.21),
        ("Op de hamerprijs komt 18 % opgeld en 21 % btw", 0.18, 0.21),
        ("Auf den Zuschlag wird ein Aufgeld von 18 % zuzüglich 19 % MwSt. erhoben", 0.18, 0.19),
        ("Les frais de vente s'élèvent à 18 % HT, TVA 20 % en sus", 0.18, 0.20),
        ("A buyer's premium of 18% plus VAT at 21% is payable on every lot", 0.18, 0.21),
        ("BTW 21 % over hamerprijs en opgeld", None, 0.21),
        ("VAT 21 % on the hammer price and buyer's premium", None, 0.21),
        ("OPGELD 18\u00a0% \u2013 BTW 21\u202f%", 0.18, 0.21),
        ("Premium \u2013 18 %", 0.18, None),
        ("Premium 18.00 %", 0.18, None),
        ("Aufgeld 18 v.H.", 0.18, None),
        ("Live tooling lathe, premium 15 %", 0.15, None),
        ("CNC lathe 250, opgeld 15 %", 0.15, None),
        ("Premium 18% ex VAT", 0.18, None),
        ("VAT included in the prices; premium 18 %", 0.18, None),
        ("Opgeld 18 % niet inbegrepen, btw 21 % niet inbegrepen", 0.18, 0.21),
        ("Opgeld 18 % te betalen binnen 3 dagen", 0.18, None),
        ("Diritti d'asta 18 % oltre IVA 22 %", 0.18, 0.22),
    ],
)
def test_words_of_every_lot_narrow_nothing(text, premium, tax):
    told = heard(text)
    assert (told.get("premium"), told.get("tax_rate")) == (premium, tax)
    assert not asked(text)


@pytest.mark.parametrize(
    "text",
    ["All prices in thousands", "Preise in TEUR", "Prices in EUR x 1000", "Prijzen in duizend euro",
     "Bids in kEUR", "Prix en milliers"],
)  # fmt: skip
def test_amounts_in_thousands_are_told_whatever_their_currency(text):
    assert asked(text) == {"thousands": ()}
    assert set(heard(text)) <= {"currency"}
    assert "thousands" not in asked("Prices above 1000 EUR: pay in advance")


@pytest.mark.parametrize(
    "seed",
    ["a ", "1", "%", "premium ", "  ", "1 %", "premium 18 % ", "(", "on the premium ", "prices in ",
     "prices incl ", "removal within ", "1 days ", "opgeld", "lot ", "\x00", ", ", "no "],
)  # fmt: skip
def test_a_line_of_any_length_is_read_in_time(seed):
    """Ten times as long takes about ten times as long: no word is looked for again and again."""

    def spent(length: int) -> float:
        begun = process_time()
        spoken_in(("premium 18 % " + seed * length)[:length], Ways(mark=None, year=YEAR))
        return process_time() - begun

    assert spent(40_000) < 1.0 + 40 * spent(4_000)
