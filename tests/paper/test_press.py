from __future__ import annotations

import re
from importlib.resources import files
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import typst
from PIL import Image
from tests.paper.reading import text_of
from tests.paper.sheets import AT, PICTURE, SPREAD, frozen, pack, price_sheet

from retrue.base.refusals import Unusable
from retrue.figures.rule import rule
from retrue.paper.freeze_sheet import freeze_sheet
from retrue.paper.press import FONTS, fullest, pages, press, settable
from retrue.paper.visit_pack import visit_pack

TEMPLATES = [
    entry
    for entry in (files("retrue.paper") / "templates").iterdir()
    if entry.name.endswith(".typ")
]
PRINTED = {
    "frozen": freeze_sheet(frozen(), price_sheet(), picture=PICTURE, by="owner", at=AT),
    "visit": visit_pack(pack(20), at=AT),
}


@pytest.mark.parametrize("name", PRINTED)
def test_a_sheet_is_tagged_and_claims_pdf_ua_1(name):
    """ISO 14289-1:2014, 5: the file identifies itself; the press refuses what breaks it."""
    pdf = PRINTED[name]
    assert re.search(rb"<pdfuaid:part>\s*1\s*<", pdf)
    assert b"/MarkInfo" in pdf
    assert b"/Lang" in pdf


def test_the_press_refuses_a_picture_without_words():
    """ISO 14289-1:2014, 7.3: a figure needs an alternative description."""
    source: object = {
        "main.typ": b'#set document(title: "t")\n#image("a.svg")',
        "a.svg": PICTURE.encode(),
    }
    with pytest.raises(typst.TypstError, match="alt"):
        typst.compile(source, format="pdf", pdf_standards="ua-1")  # type: ignore[call-overload]  # the library's stubs know files only, not source as bytes


def test_the_fonts_of_pages_are_embedded_and_no_others():
    names = set(re.findall(rb"/BaseFont\s*/[A-Z]{6}\+([A-Za-z0-9-]+)", PRINTED["frozen"]))
    assert names
    allowed = {name.removesuffix(".otf") for name in FONTS}
    assert {name.decode().removesuffix("-Identity-H") for name in names} <= allowed


def test_data_is_never_markup():
    evil = '#panic("x") $x$ *b* @ref <label> `raw` \\ // "quote" #"'
    pdf = freeze_sheet(
        frozen(dangers=(evil,), reason=evil), price_sheet(lot=evil), picture=None, by=evil, at=AT
    )
    assert pages(pdf) == 1
    assert '#panic("x") $x$ *b* @ref <label>' in text_of(pdf)


def test_a_picture_with_colours_of_a_page_is_refused():
    with pytest.raises(Unusable, match="colours"):
        freeze_sheet(frozen(), price_sheet(), picture=rule(SPREAD, 6150, "EUR"), by="owner", at=AT)


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.name)
def test_templates_speak_only_through_data_and_have_literal_greys(template):
    text = template.read_text(encoding="utf-8")
    colours = re.findall(r'rgb\("(#[0-9a-f]{6})"\)', text)
    assert len(colours) == text.count("rgb(")
    assert all(colour[1:3] == colour[3:5] == colour[5:7] for colour in colours)
    assert "var(" not in text
    code = re.sub(r"//.*", "", text)
    assert re.findall(r"\[[^\]#]*[A-Za-z]{4,}[^\]#]*\]", code) == []


@pytest.mark.parametrize("typed", ["W" * 400, "W" * 60 + " " + "i" * 300])
def test_a_word_without_an_end_stays_on_the_paper(typed: str, tmp_path: Path):
    blocks = (files("retrue.paper") / "templates" / "blocks.typ").read_bytes()
    (tmp_path / "blocks.typ").write_bytes(blocks)
    main = tmp_path / "main.typ"
    main.write_text(
        """
            #import "blocks.typ": *
            #show: sheet.with((title: "t", by: "b", paper: "a4", language: "en"))
            #grid(columns: (60mm, 1fr), gutter: 3mm)["""
        + typed
        + "][#rect(width: 100%, height: 4mm)]\n\n"
        + typed,
        encoding="utf-8",
    )
    drawn = typst.compile(str(main), format="png", ppi=72.0)
    assert isinstance(drawn, bytes)
    page = np.asarray(Image.open(BytesIO(drawn)).convert("L"))
    mm = page.shape[1] / 210
    gap = slice(round(74.5 * mm), round(76.5 * mm))  # between the two columns
    assert page[: round(40 * mm), gap].min() > 250
    assert page[:, round(197 * mm) :].min() > 250  # the margin of 14 mm


def test_pages_are_counted_as_the_press_itself_counts_them():
    source: object = {"main.typ": b"a #pagebreak() b #pagebreak() c"}
    printed = typst.compile(source, format="pdf")  # type: ignore[call-overload]  # the library's stubs know files only, not source as bytes
    counted = typst.query(
        b"a #pagebreak() b #pagebreak() c #context [#metadata(counter(page).final().first()) <n>]",
        "<n>",
        field="value",
        one=True,
    )
    assert pages(printed) == int(counted) == 3


def test_the_fullest_printing_is_the_last_that_fits():
    asked: list[int] = []

    def printing(rows: int) -> bytes:
        asked.append(rows)
        return b"/Type /Page " * (1 + rows // 10)

    assert fullest(printing, 200, 2) == b"/Type /Page " * 2
    assert max(row for row in asked if row < 20) == 19
    assert len(asked) < 12


def test_an_unknown_template_is_not_found():
    with pytest.raises(FileNotFoundError):
        press("no_such_sheet", {}, at=AT)


@pytest.mark.parametrize(
    "told", ["Łódź", "Şaban", "жук", "⌀ 12", "\N{WRENCH}\ufe0f", "a\x00b\x07", "\ud800"]
)
def test_letters_that_the_fonts_lack_still_print(told):
    """ISO 14289-1:2014, 7.21.8: no glyph of PDF/UA may be .notdef; the press refuses one."""
    pdf = freeze_sheet(
        frozen(dangers=(told,), reason=told), price_sheet(lot=told), picture=None, by=told, at=AT
    )
    assert settable(told) in text_of(pdf)


def test_every_letter_of_the_fonts_is_left_as_it_is():
    assert (
        settable("K3:14 → −0.02 mm, MΩ, é, ß, 9\u202f½") == "K3:14 → −0.02 mm, MΩ, é, ß, 9\u202f½"
    )
    assert settable("e\u0301") == "é"
