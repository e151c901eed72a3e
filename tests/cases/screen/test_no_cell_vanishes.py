"""Every cell of a catalogue is a lot's, a heading, a term, or listed with its reason.

Oracle: the file itself, cell by cell.
"""

from __future__ import annotations

from collections import Counter
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st
from tests.cases.screen.catalogues import read, rows

LINES = st.sampled_from(
    (
        ("1", "CNC lathe", "1999", "900", ""),
        ("2", "Werkzeugschrank", "", "40", "opgeld 12 %"),
        ("3", "VMC, premium 18 % (online 20 %)", "?", "CHF 900", "18 % reduction"),
        ("Buyer's premium 18 % plus VAT 21 %", "", "", "", ""),
        ("", "Opgeld 20 %", "", "", ""),
        ("Premium", "18 %", "", "", ""),
        ("Lathes", "", "", "", ""),
        ("Tel. 0800 18 21 00, ask for the hall", "", "", "", ""),
        ("Collection by Friday 12 December", "", "", "", "no crane"),
        ("Total", "", "", "940", ""),
        ("Premium", "18 %", "VAT", "21 %", "min. 50"),
        ("up to 10.000 EUR, above 15 %", "", "", "", ""),
        ("All prices in thousands", "", "premium 18-22 %", "", ""),
        ("", "", "", "", ""),
        ("currency: CHF", "", "", "", ""),
        ("4", "2x CNC lathe", "bj. 98", "500 - 600", "sold"),
    )
)
HEADS = st.sampled_from(
    (
        (("Lot", "What", "Year", "Price", "Remarks"),),
        (("", "Machine", "", "Price", ""), ("Lot", "type", "year", "EUR", "Remarks")),
        (("Lot", "What", "Baujahr", "Startpreis", "Qwx"),),
    )
)
RATES = {"CHF": Decimal("1.05")}


@given(st.lists(LINES, max_size=3), HEADS, st.lists(LINES, min_size=1, max_size=8))
def test_no_cell_of_a_file_vanishes(above, heads, below):
    """Every line is a lot or another line; every cell of a lot is understood, guessed or left."""
    lines = [*above, *heads, *below, ("9", "CNC lathe", "2001", "700", "x")]
    listing = read(rows(*(";".join(line) for line in lines)), rates=RATES)
    lots = {lot.line: lot for lot in listing.lots}
    others = {one.line: one for one in listing.others}
    assert sorted([*lots, *others]) == list(range(1, len(lines) + 1))
    for number, line in enumerate(lines, 1):
        cells = Counter(filter(None, line))
        if number in others:
            assert all(cell in others[number].text for cell in cells)
            continue
        told = {one.text for one in lots[number].said}
        assert set(cells) <= told
        for one in lots[number].said:
            assert bool(one.field) == (one.how != "ignored")
            assert bool(one.why) == (one.how != "understood")
    for line_said in listing.sale:
        assert line_said.line in others
        assert bool(line_said.why) == (line_said.how != "understood")
        assert not line_said.asks or line_said.how == "ignored"
