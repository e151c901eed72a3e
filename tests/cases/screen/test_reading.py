"""A catalogue becomes lots: what was understood, guessed and left out; nothing is dropped.

Oracles: RFC 4180 (CSV), ISO 4217 (codes of currencies, from memory), ISO/IEC 29500-1 as xlsxwriter
writes it (merged cells), and by hand.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.cases.screen.catalogues import MESSY, messy, read, rows, said

from retrue.base.refusals import Unreadable, Unusable
from retrue.records.facts import Need, Shop
from retrue.store.spreadsheet import as_csv

SIMPLE = rows("Lot;Description;Year;Price", "7;CNC lathe;1999;12.500,-", "8;Cabinet;;€ 90")


def test_rfc_4180_quotes_line_breaks_and_doubled_quotes():
    """RFC 4180, section 2: rules 5 to 7, and line ends of CR LF (rule 1)."""
    text = 'lot,description,price\r\n"7","CNC lathe, ""slant\r\nbed""","12 500"\r\n8,VMC,1\r\n'
    lots = read(text).lots
    assert [lot.title for lot in lots] == ['CNC lathe, "slant bed"', "VMC"]
    assert [lot.line for lot in lots] == [2, 4]  # a spreadsheet counts the line it begins on
    assert lots[0].case is not None
    assert lots[0].case.terms.asking == 12500


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])
def test_any_mark_and_coding_reads_the_same(mark, coding):
    text = rows("Los|Bezeichnung|Baujahr", "7|Schrägbett-Drehmaschine|1999").replace("|", mark)
    (lot,) = read(text.encode(coding)).lots
    assert (lot.title, lot.kinds) == ("Schrägbett-Drehmaschine", ("turning_centre",))


HEADS = {
    "en": ("Lot number", "Description", "Year of manufacture", "Weight", "Starting price"),
    "nl": ("Kavel", "Omschrijving", "Bouwjaar", "Gewicht", "Startprijs"),
    "de": ("Losnummer", "Bezeichnung", "Baujahr", "Gewicht", "Mindestgebot"),
    "fr": ("Numéro de lot", "Désignation", "Année de construction", "Poids", "Mise à prix"),
    "it": ("Lotto", "Descrizione", "Anno di costruzione", "Peso", "Base d'asta"),
    "es": ("Lote", "Descripción", "Año de fabricación", "Peso", "Precio de salida"),
}


@pytest.mark.parametrize("language", HEADS)
@pytest.mark.parametrize("written", [str, str.upper, str.lower])
def test_headings_are_known_in_six_languages_in_any_case(language, written):
    heading = ";".join(map(written, HEADS[language]))
    listing = read(rows(heading, "12;vertical machining centre;2004;4.200 kg;7.500,00"))
    roles = [column.role for column in listing.columns]
    assert roles == ["number", "title", "year", "mass_kg", "start"]
    (lot,) = listing.lots
    assert lot.case is not None
    (machine,) = lot.case.machines
    assert (machine.age_years, machine.mass_kg) == (22, 4200)
    terms = lot.case.terms
    assert (terms.asking, terms.bid_now) == (Decimal("7500.00"), None)  # nobody has bid yet
    assert terms.sale == "ascending"


@pytest.fixture(scope="module")
def listing():
    return read(as_csv(messy(), "messy.xlsx", merged=True), "messy.xlsx")


def test_every_line_of_a_messy_catalogue_is_a_lot_or_another_line(listing):
    lots = {lot.line for lot in listing.lots} | {8}  # the second line of the merged lot 3
    others = {one.line for one in listing.others}
    assert lots | others == set(range(1, len(MESSY) + 1))
    assert not lots & others
    assert {one.line: one.why for one in listing.others} == {
        1: "it stands above the heading",
        2: "it is empty",
        3: "it names the columns",
        4: "it stands over a group of lines",
        10: "the heading again",
        13: "it stands over a group of lines",
        17: "a sum, or the end",
    }


def test_every_cell_of_a_messy_catalogue_is_accounted_for(listing):
    for lot in listing.lots:
        lines = (7, 8) if lot.number == "3" else (lot.line,)
        for line in lines:
            for cell in MESSY[line - 1]:
                if cell not in (None, ""):
                    assert any(one.text == str(cell) for one in lot.said), cell
        for one in lot.said:
            assert bool(one.field) == (one.how != "ignored")
            assert bool(one.why) == (one.how != "understood")


def test_a_messy_catalogue_lot_by_lot(listing):
    by = {lot.number: lot for lot in listing.lots}
    assert list(by) == ["1", "2", "3", "4", "4 (line 11)", "5", "6", "7", "8"]
    assert listing.currencies == ("EUR", "CHF")
    kinds = {number: lot.kinds for number, lot in by.items()}
    v, lathe, k, g = (
        "vertical_machining_centre", "turning_centre", "milling_machine", "surface_grinder",
    )  # fmt: skip
    assert kinds == {
        "1": (lathe,), "2": (lathe,), "3": (v,), "4": (v, v), "4 (line 11)": (g,), "5": (v,),
        "6": (), "7": (), "8": (k,),
    }  # fmt: skip
    assert {number for number, lot in by.items() if lot.stand_in} == {"2", "5"}
    assert (by["6"].why, by["7"].why) == (
        "nothing says what it is", "no machine: lifting or transport gear",
    )  # fmt: skip


def test_what_was_guessed_says_why(listing):
    by = {lot.number: lot for lot in listing.lots}
    assert said(by["3"], "age_years").why == "two figures, read as 1998"
    assert said(by["3"], "mass_kg").why == "the catalogue says about"
    assert said(by["4 (line 11)"], "number").why == "the number 4 stands twice"
    assert "no such type is known here" in said(by["5"], "kind").why
    assert "nothing says that it has a numerical control" in said(by["2"], "kind").why
    assert "tax" in [one for one in by["8"].said if one.field == "asking"][-1].why
    assert any("ask what is wrong" in one.why for one in by["8"].said)
    assert said(by["3"], "currency").value == "EUR"


def test_amounts_and_currencies_of_a_messy_catalogue(listing):
    by = {lot.number: lot.case for lot in listing.lots if lot.case is not None}
    told = {number: (case.terms.asking, case.lot.currency) for number, case in by.items()}
    assert told == {
        "1": (12500, "EUR"), "2": (12500, "EUR"), "3": (18000, "EUR"), "4": (19000, "CHF"),
        "4 (line 11)": (None, "EUR"), "5": (22000, "EUR"), "8": (900, "EUR"),
    }  # fmt: skip
    assert by["4"].lot.rate == Decimal("1.05")
    assert (by["2"].terms.sale, by["1"].terms.sale) == ("offer", "fixed_price")
    assert by["1"].machines[0].new_price == 90000
    assert by["2"].machines[0].age_years == 25  # the remark says it, the column does not


def test_a_lot_of_two_lines_says_both_and_counts_its_price_once(listing):
    (lot,) = [lot for lot in listing.lots if lot.number == "3"]
    assert lot.title == "Bearbeitungszentrum VERTIKAL + Werkzeugschrank"
    assert [one.why for one in lot.said if one.text == "18.000,-"][-1] == (
        "merged with the cell of line 7"
    )
    assert len(lot.case.machines) == 1


def test_without_what_was_merged_the_second_line_is_a_line_of_its_own():
    listing = read(as_csv(messy(), "messy.xlsx"), "messy.xlsx")
    assert "line 8" in {lot.number for lot in listing.lots}


def test_needs_and_shop_go_along():
    need = Need(name="sleeves", kind="turning_centre", hours_a_year=100.0)
    other = Need(name="plates", kind="vertical_machining_centre")
    shop = Shop(name="two people")
    (lot, _) = read(SIMPLE, needs=(need, other), shop=shop).lots
    assert (lot.case.needs, lot.case.shop) == ((need,), shop)


def test_what_the_owner_says_of_the_sale_stands_and_a_line_of_its_own_stands_before():
    text = rows("Lot;What;Premium;Km", "1;CNC lathe;18 %;", "2;VMC;;40")
    lots = read(text, premium=0.16, distance_km=90.0, sale="sealed", tax_reclaimable=True).lots
    assert [lot.case.terms.premium for lot in lots] == [0.18, 0.16]
    assert [lot.case.terms.distance_km for lot in lots] == [90, 40]
    assert {lot.case.terms.sale for lot in lots} == {"sealed"}
    assert {lot.gaps for lot in lots} == {
        ("age_years", "mass_kg", "new_price", "travel_mm", "asking", "removal_days")
    }


def test_the_owner_says_which_column_is_which():
    text = rows("A;B;C", "1;CNC lathe;1999", "2;VMC;2001")
    listing = read(text, own={"number": "A", "title": "B", "year": "c"})
    assert [(one.role, one.said) for one in listing.columns] == [
        ("number", True), ("title", True), ("year", True),
    ]  # fmt: skip
    assert listing.lots[1].case.machines[0].age_years == 25


def test_a_column_nobody_knows_is_told_and_its_cells_too():
    listing = read(rows("Lot;Machine;Zustandsnote X", "1;CNC lathe;B+"))
    assert listing.columns[2].role == ""
    assert listing.lots[0].said[-1].how == "ignored"
    assert listing.lots[0].said[-1].why == "no column of that name is known"


@pytest.mark.parametrize(
    ("text", "told", "why"),
    [
        ("", {}, "is empty"),
        ("\x00\x01", {}, "is no table"),
        ("\ufefflot;\x00what".encode("utf-16-le"), {}, "is no table"),
        (rows("Lot;Description"), {}, "nothing below it"),
        ("no table at all\nanywhere\n", {}, "no line names the columns"),
        (rows("Lot;Price;Year", "1;2;1999"), {}, "no column says what a lot is"),
        (rows("Lot;What;Price;Price", "1;VMC;5;6"), {}, "columns 3 and 4 both say: price asked"),
        (rows("Lot;What;Mass", "1;VMC;4.500"), {}, "line 2: “4.500” under “Mass” means two"),
        (rows("Lot;What;Mass", "1;VMC;5,5", "2;VMC;5.5", "3;VMC;5.000"), {}, "line 4: “5.000”"),
        (rows("Lot;What;Price", "1;VMC;12.500 KWD"), {}, "line 2: “12.500 KWD” under"),
        (rows("Lot;What;Price", "1;VMC;USD 5"), {}, "USD has no rate"),
        (rows("Lot;What", "1;VMC"), {"own": {"prise": "What"}}, "from a column “prise”"),
        (rows("Lot;What", "1;VMC"), {"own": {"asking": "Cost"}}, "no column “Cost”"),
        (rows("Lot;What;Year", "1;VMC;1999", "Year;Lot;Price", "1999;2;8"), {}, "line 3"),
        (rows("Lot;What", '1;"VMC'), {}, "a quotation mark is not closed"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place_and_a_remedy(text, told, why):
    with pytest.raises((Unusable, Unreadable), match=why) as refused:
        read(text, **told)
    assert refused.value.remedy


def test_what_a_refusal_asks_for_helps():
    two = rows("Lot;What;Price;Price", "1;VMC;5;6")
    assert read(two, own={"asking": "Price 2"}).lots[0].case.terms.asking == 6
    open_mark = rows("Lot;What;Mass", "1;VMC;4.500")
    assert read(open_mark, decimal="comma").lots[0].case.machines[0].mass_kg == 4500
    assert read(open_mark, decimal="point").lots[0].case.machines[0].mass_kg == 4.5
    assert read(rows("Lot;What;Price", "1;VMC;USD 5"), rates={"USD": Decimal("0.9")}).lots


def test_a_mark_is_asked_for_once_and_told_by_the_other_columns_where_they_know():
    text = rows("Lot;What;Weight;Price", "1;VMC;4.500;9.000,00", "2;CNC lathe;3.800;8.000,00")
    lot = read(text).lots[0]
    assert lot.case.machines[0].mass_kg == 4500
    assert said(lot, "mass_kg").why == "its decimal mark is that of the other columns"


def test_a_price_never_has_three_decimals_where_its_currency_has_two():
    """ISO 4217: two decimals of EUR, three of KWD; the owner may know better."""
    text = rows("Lot;What;Price", "1;VMC;12.500", "2;CNC lathe;€ 8,000")
    one, other = read(text).lots
    assert [one.case.terms.asking, other.case.terms.asking] == [12500, 8000]
    assert said(one, "asking").why == "a price has no three decimals: thousands are parted"
    (typed, _) = read(text, decimal="point").lots
    assert typed.case.terms.asking == Decimal("12.5")
    swiss = read(rows("Lot;What;Price", "1;VMC;€ 12.500", "2;VMC;CHF 9'500.00")).lots
    assert [lot.case.terms.asking for lot in swiss] == [12500, 9500]
    german = read(rows("Lot;What;Price;Mass", "1;VMC;12.500;4.200", "2;VMC;8.000;")).lots
    assert german[0].case.machines[0].mass_kg == 4200


def test_lots_without_a_number_are_called_by_their_line():
    lots = read(rows("What;Year", "VMC;1999", ";", "CNC lathe;2001")).lots
    assert [lot.number for lot in lots] == ["line 2", "line 4"]


def test_no_two_lots_ever_have_the_same_number():
    lots = read(rows("Lot;What", "1;VMC", "1;VMC", "1 (line 3);VMC", "1;VMC")).lots
    assert len({lot.number for lot in lots}) == len(lots)


def test_one_heading_of_travels_over_three_columns():
    text = rows("Los;Maschine;Verfahrwege;Verfahrwege;Verfahrwege", "1;VMC;760;420;500")
    assert read(text).lots[0].case.machines[0].travel_mm == (760, 420, 500)


def test_what_is_sold_is_not_priced():
    lots = read(rows("Lot;What;Status", "1;VMC;VERKAUFT", "2;VMC;not sold", "3;VMC;open")).lots
    assert [lot.why for lot in lots] == ["no longer for sale: VERKAUFT", "", ""]


@pytest.mark.parametrize("word", ["x ", "1.", " 000", "a", "5 kg ", "CNC lathe, "])
def test_a_cell_of_any_length_is_read(word):
    """What takes the square of its length would never end."""
    cell = f"VMC {word * (20_000 // len(word))}"
    (lot,) = read(rows("Lot;What;Remarks", f"1;VMC;{cell}")).lots
    assert lot.kinds == ("vertical_machining_centre",)


def test_lines_are_read_the_same_in_every_order():
    lines = ["1;VMC;1999;9.000,-", "2;CNC lathe;2001;€ 4.000", "3;Cabinet;;€ 9"]
    head = "Lot;What;Year;Price"
    one, other = read(rows(head, *lines)), read(rows(head, *reversed(lines)))
    cases = {lot.number: lot.case for lot in one.lots}
    assert cases == {lot.number: lot.case for lot in other.lots}


def test_a_lowest_first_bid_is_no_bid_and_goes_before_what_is_asked():
    text = rows("Lot;What;Start price;Current bid;Price", "1;VMC;500;;9000", "2;VMC;500;700;")
    one, other = read(text).lots
    assert (one.case.terms.asking, one.case.terms.bid_now) == (Decimal(500), None)
    assert [told.why for told in one.said if told.field == "asking"][-1] == (
        "bids begin at 500: what is asked beside it is not used"
    )
    assert (other.case.terms.asking, other.case.terms.bid_now) == (Decimal(500), Decimal(700))
    (sealed,) = read(rows("Lot;What;Minimum bid", "1;VMC;500"), sale="sealed").lots
    assert (sealed.case.terms.asking, sealed.case.terms.bid_now) == (Decimal(500), None)
