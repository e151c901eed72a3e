"""A plain file of parts: the worked example, a life by its formula, every bad cell named."""

from __future__ import annotations

import pytest
from scipy import stats

from retrue.base.refusals import Unreadable, Unusable
from retrue.cases.fix.together_file import PlainPart, read_parts, together_file

HEAD = b"part,money,hours,chance,shape,life_years,age_years,money_if_it_fails\n"


def test_the_worked_example_of_the_relays():
    """24 relays at 9, three in a hundred fail: 162 against 216, then 216 against 318."""
    rows = read_parts(
        b"part,money,chance\n" + b"".join(b"relay %d,9,0.03\n" % n for n in range(24)), "r.csv"
    )
    cheap, dear = together_file(rows, 5, 300), together_file(rows, 5, 600)
    assert not any(row.renew for row in cheap.rows)
    assert (round(cheap.cost), round(cheap.cost_all)) == (162, 216)
    assert cheap.words.startswith("Keep them all")
    assert all(row.renew for row in dear.rows)
    assert (round(dear.cost), round(dear.cost_none)) == (216, 318)
    assert dear.exact
    assert dear.how_sure == "No other choice is cheaper."


def test_a_life_is_conditional_on_the_age_and_a_new_part_may_fail_too():
    content = HEAD + b"belt,40,1.2,,2.5,10,12,25\n"
    told = together_file(read_parts(content, "p.csv"), 5, 200, rate=20)
    part = stats.weibull_min(2.5, scale=10)
    kept, new = 1 - part.sf(17) / part.sf(12), part.cdf(5)
    now, fails = 40 + 1.2 * 20, 40 + 1.2 * 20 + 25
    [row] = told.rows
    assert row.risk == pytest.approx(kept)
    assert told.cost_none == pytest.approx(kept * (fails + 200))
    assert told.cost_all == pytest.approx(now + new * (fails + 200))
    assert row.renew
    assert row.renew_at_years is not None
    assert row.age_years == 12


def test_the_sentence_names_what_is_renewed_and_what_all_would_cost_more():
    content = HEAD + b"Drive belt,40,1.2,,2.5,10,12,\nOil hose,50,0,0.4,,,,60\n"
    content += b"Air hose,50,0,0.3,,,,\nBig bearing,300,4,0.03,,,,\n"
    told = together_file(read_parts(content, "p.csv"), 5, 300)
    words = told.words.replace("\u202f", " ")
    assert words.startswith(
        "Renew now: drive belt, oil hose and air hose. It takes € 140 and 1.2 h."
    )
    more = told.cost_all - told.cost
    assert f"Renewing all would cost € {more:.0f} more over 5 years than it saves." in words
    assert [row.name for row in told.rows][-1] == "Big bearing"


def test_a_semicolon_file_with_decimal_commas_is_the_same():
    one = read_parts(b"part;money;chance\nbelt;40,5;0,25\n", "p.csv")
    assert one == (PlainPart(name="belt", money=40.5, chance=0.25),)


@pytest.mark.parametrize(
    ("line", "where", "what"),
    [
        ("belt,40,,,,,,", "row 2", "neither a chance nor a life"),
        ("belt,40,,0.2,2,10,,", "row 2", "a chance and a life"),
        ("belt,40,,,2,,,", "row 2", "neither a chance nor a life"),
        ("belt,,,0.2,,,,", "row 2, column money", "empty"),
        ("belt,-4,,0.2,,,,", "row 2, column money", "cannot be"),
        ("belt,40,,1.2,,,,", "row 2, column chance", "cannot be"),
        ("belt,40,,,0,10,,", "row 2, column shape", "cannot be"),
        ("belt,40,x,0.2,,,,", "row 2, column hours", "x"),
        (",40,,0.2,,,,", "row 2", "no name"),
    ],
)
def test_every_bad_cell_is_named(line, where, what):
    with pytest.raises(Unusable) as refused:
        read_parts(HEAD + line.encode() + b"\n", "p.csv")
    [problem] = refused.value.problems
    assert problem.where == where
    assert what in problem.what


def test_all_bad_rows_are_named_at_once_and_a_missing_column_first():
    with pytest.raises(Unusable) as refused:
        read_parts(HEAD + b"a,1,,,,,,\nb,x,,0.1,,,,\nc,1,,0.1,,,,\n", "p.csv")
    assert [one.where for one in refused.value.problems] == ["row 2", "row 3, column money"]
    with pytest.raises(Unusable, match="lacks a column"):
        read_parts(b"part,price\nbelt,4\n", "p.csv")
    with pytest.raises(Unreadable):
        read_parts(b"", "p.csv")


@pytest.mark.parametrize(("years", "cost"), [(0, 300), (5, -1), (float("nan"), 300)])
def test_years_and_the_cost_of_opening_must_be_some(years, cost):
    with pytest.raises(Unusable) as refused:
        together_file([PlainPart(name="a", money=1, chance=0.1)], years, cost)
    assert len(refused.value.problems) == 1


def test_no_parts_are_no_cost():
    told = together_file([], 5, 300)
    assert (told.rows, told.cost) == ((), 0)
