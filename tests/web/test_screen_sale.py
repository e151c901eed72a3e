"""What a file says of its sale, on the pages of a catalogue: listed with its line, or asked."""

from __future__ import annotations

import pytest
from tests.web.visitor import File, Visitor, text_of, values

SALE = """\
Buyer's premium 18 % (online 21 %), VAT 21 %;;;
Lot;Machine;;Price
;type;year;EUR
1;CNC lathe <b>;2012;1000
2;tool cabinet;;50
Collection by Friday 12 December;;;
"""


def sent(text: str = SALE) -> list[File]:
    return [("table", ("sale.csv", text.encode(), "text/csv"))]


@pytest.fixture
def here(owner: Visitor) -> str:
    """A catalogue that was read; its path."""
    path: str = owner.post("/screen", {"name": "hall"}, sent(), follow=False).headers["location"]
    return path


def test_what_cannot_be_told_is_asked_above_the_list_and_leads_to_where_it_is_typed(
    owner: Visitor, here: str
) -> None:
    page = owner.get(here)
    told = text_of(page)
    assert "(line 1): “Buyer's premium 18 % (online 21 %), VAT 21 %”: it may be one figure" in told
    assert "(line 6): “Collection by Friday 12 December”" in told
    assert told.index("not counted") < told.index("Machines that can be priced")
    assert f'href="{here}/columns#sale"' in page.text


def test_what_was_understood_stands_with_its_line_on_every_page_that_tells_what_was_read(
    owner: Visitor, here: str
) -> None:
    for page in (f"{here}/read", f"{here}/columns", f"{here}/lot/1"):
        told = text_of(owner.get(page))
        assert "Rate of tax: 21 %" in told, page
        assert "line 1: Buyer's premium 18 %" in told, page
    read = text_of(owner.get(f"{here}/read"))
    assert "to be typed: it may be one figure or the other" in read
    assert "it names the columns, with the line beside it" in read
    lot = text_of(owner.get(f"{here}/lot/1"))
    assert "Machine type" in lot
    assert "one figure or the other" not in lot  # it does not count for it


def test_what_is_typed_ends_the_question_and_counts_before_the_file(
    owner: Visitor, here: str
) -> None:
    form = {"name": "hall", "premium": "21", "removal_days": "9", "tax_rate": "6"}
    said = text_of(owner.post(f"{here}/columns", form))
    assert "not counted" not in said
    page = owner.get(f"{here}/columns")
    assert values(page, "premium") == ["21"]
    told = text_of(page)
    assert told.count("not used: you said it yourself") == 3


def test_where_nobody_knows_the_columns_both_lines_of_headings_are_asked_for(
    owner: Visitor,
) -> None:
    text = "Hall;Qwx;;\n;abc;price;year\nB;x7;900;2012\nC;x8;800;2014\n"
    page = owner.post("/screen", {"name": "asks"}, sent(text))
    assert "has to be said before it can be read" in text_of(page)
    assert [values(page, f"heading-{at}") for at in range(4)] == [
        ["Hall"], ["Qwx abc"], ["price"], ["year"],
    ]  # fmt: skip
