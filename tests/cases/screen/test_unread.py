"""What looks like years, prices, masses or sizes and is not read is said before the ranking.

Oracle: by hand.
"""

from __future__ import annotations

import pytest
from tests.cases.screen.catalogues import read, rows

from retrue.cases.screen.unread import unread_lines, unread_of


@pytest.mark.parametrize(
    ("cells", "sort"),
    [
        (("1998", "2004", "bj. 2001", ""), "years"),
        (("1998/99", "'2004", "?", "ca. 1987"), "years"),
        (("€ 500", "1.500,-", "EUR 900", ""), "prices"),
        (("12.500", "9.000", "8.000,00", "VB"), "prices"),
        (("4200 kg", "3,5 t", "ca. 3800 kg", "-"), "masses"),
        (("760x420x500", "800 x 500 x 500 mm", "600x400", "x"), "sizes"),
        (("B3", "C1", "2004", "hall"), ""),
        (("ask 5", "14:00", "none", "in use"), ""),
    ],
)
def test_a_column_nobody_knows_is_told_by_what_it_looks_like(cells, sort):
    lines = (f"{place};VMC;{cell}" for place, cell in enumerate(cells, 1))
    listing = read(rows("Lot;What;Qwx", *lines))
    assert listing.columns[-1].role == ""
    assert [one.sort for one in unread_of(listing)] == ([sort] if sort else [])


def test_it_says_what_to_type_and_typing_it_helps():
    text = rows("Lot;What;Qwx yz", "1;VMC;1998", "2;VMC;2004", "3;VMC;2001")
    (line,) = unread_lines(read(text))
    assert line == (
        "Caution: column “Qwx yz” is not read, and looks like years of make (1998): the order "
        'below does not know them. Say what it is: --columns year="Qwx yz".'
    )
    typed = read(text, own={"year": "Qwx yz"})
    assert not list(unread_lines(typed))
    assert typed.lots[0].case.machines[0].age_years == 28


def test_nothing_is_said_where_another_column_says_it():
    text = rows("Lot;What;Year;Qwx", *(f"{n};VMC;{1990 + n};{1990 + n}" for n in range(1, 5)))
    assert not unread_of(read(text))
