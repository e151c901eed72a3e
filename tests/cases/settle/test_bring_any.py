"""Whatever a file holds, every line of it is told, or the file is refused with a remedy.

Files are drawn from a fixed seed, of headings and cells that are read wrong easily.
"""

from __future__ import annotations

import random
from datetime import date

import pytest

from retrue.base.refusals import Refusal
from retrue.cases.settle.bring import Shelf, Wanted, preview_of
from retrue.cases.settle.bring_lines import Preview
from retrue.cases.settle.bring_told import flat, preview_lines
from retrue.cases.settle.kept import BookKept
from retrue.cases.settle.posting_rules import grounds
from retrue.records.checking import problems_of
from retrue.records.facts import Shop

HEADINGS = (
    "date", "amount", "debit", "credit", "currency", "name", "description", "balance", "what",
    "quantity", "unit price", "total", "vat", "machine", "Datum", "Bedrag", "+/-", "", "D/C",
)  # fmt: skip
CELLS = (
    "", "-5,00", "5.00", "1.250", "(3)", "=1+1", "€ 5", "USD", "XXX", "2026-11-03", "03/11/2026",
    "31/02/2026", "x", "Total", "D", "21%", "1e9", "-", "5,-", "٣", "½", "²", "\x85", "a\u2028b",
    "\x1f", "'", "5'000", "0", "-0", "9" * 15, "nan", "1/1/1", "3 foo 2026", "٠١/٠٢/٢٠٢٦",
)  # fmt: skip
MANY = 400


def drawn(seed: int) -> tuple[bytes, Wanted, int]:
    chance = random.Random(seed)
    wide, mark = chance.randint(2, 6), chance.choice(",;\t")
    begin = chance.choice((["date", "amount"], ["what", "total"], ["", ""]))
    rows = [[*begin, *(chance.choice(HEADINGS) for _ in range(wide - 2))]]
    for _ in range(chance.randint(0, 5)):
        row = [chance.choice(CELLS) for _ in range(chance.choice((wide, wide, wide - 1)))]
        row[0] = chance.choice(("2026-11-03", "04/11/2026", "bearing", row[0]))
        rows.append(row)
    text = "\n".join(mark.join(f'"{cell}"' if mark in cell else cell for cell in row)
                     for row in rows)  # fmt: skip
    said = Wanted(unsigned="out", dates="day", decimal=chance.choice((None, "comma", "point")))
    return text.encode(chance.choice(("utf-8", "utf-8-sig", "utf-16"))), said, len(rows) - 1


@pytest.fixture(scope="module")
def read() -> list[tuple[int, Preview]]:
    shelf = Shelf(on=grounds(BookKept(shop=Shop())))
    found = []
    for seed in range(MANY):
        content, said, below = drawn(seed)
        try:
            told = preview_of(content, "any.csv", shelf, said, on=date(2026, 11, 26))
        except Refusal:
            continue
        found.append((below, told))
    assert len(found) > MANY / 4  # every test below looks at each of them
    return found


def test_enough_of_them_hold_new_lines(read):
    assert sum(one.count("new") for _, one in read) > MANY / 8


def test_every_line_of_the_file_is_told(read):
    for below, told in read:
        blank = [text for text in told.ignored if text.startswith("Blank lines: ")]
        above = sum("stands above the heading" in text for text in told.ignored)
        silent = sum(int(text.split(": ")[1].rstrip(".")) for text in blank)
        assert len(told.rows) + above + silent == below  # the heading is one line more
        assert all(row.words or row.fact for row in told.rows)


def test_what_is_made_can_be_kept_and_told(read):
    for _, told in read:
        assert [row.number for row in told.rows if row.fact and list(problems_of(row.fact))] == []
        assert flat(told)["rows"]
        assert list(preview_lines(told, whole=True))
