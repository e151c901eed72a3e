"""The purchase list as a table, out and in again: nothing twice, nothing silently, row by row."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import Overtaken, Unusable
from retrue.cases.fix.buying_table import COLUMNS
from retrue.phases import fix
from retrue.records.facts import CostLine, Finding
from retrue.records.fixing import Out, Quoted, Stock

ON = date(2026, 11, 26)
ME = {"by": "me"}


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


@pytest.fixture
def bought(shop, lot, kinds):
    """A lot with a winding that is burnt, a quote, an order, way oil."""
    mill = lot.machine_id("mill")
    found = Finding(lot=lot.id, machine=mill, fault="F15", answer="present", grade=4,
                    channel="apart")  # fmt: skip
    shop.add(found, **ME)
    told = Quoted(lot="school", machine="mill", line="F15:local", vendor="winder, Ghent",
                  quoted_on="2026-11-24", amount=Decimal("1.125"), currency="GBP",
                  rate=Decimal("1.170"), rate_on="2026-11-20", days=21.0, by_telephone=True,
                  text="=ask for the son")  # fmt: skip
    quote = fix.quote(shop, told, kinds, **ME)
    fix.take(shop, quote.id, on=ON, kinds=kinds, **ME)
    fix.set_stock(shop, Stock(name="way oil", amount=12, unit="l", least=10), **ME)
    return lot


def written(shop, kinds) -> list[dict[str, str]]:
    rows = fix.buying_table(shop, fix.buying(shop, kinds, on=ON), kinds)
    return [
        {name: "" if cell is None else str(cell) for name, cell in zip(rows[0], row, strict=True)}
        for row in rows[1:]
    ]


def as_csv(rows: list[dict[str, str]], mark: str = ",") -> bytes:
    out = io.StringIO()
    names = list(rows[0])
    writer = csv.DictWriter(out, names, delimiter=mark, lineterminator="\n", restval="")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()


def read(shop, kinds, rows, mark: str = ","):
    return fix.read_buying(shop, as_csv(rows, mark), "list.csv", kinds, on=ON)


def only(rows: list[dict[str, str]], **where: str) -> dict[str, str]:
    (found,) = [row for row in rows if all(row[name] == value for name, value in where.items())]
    return found


def blank(**cells: str) -> dict[str, str]:
    return {name: cells.get(name, "") for name in COLUMNS}


def test_what_is_written_and_read_again_changes_nothing(shop, bought, kinds):
    rows = written(shop, kinds)
    assert {"part", "quote", "out", "stock"} == {row["sort"] for row in rows}
    assert only(rows, sort="quote")["amount"] == "1.1250"  # not to be taken for thousands
    preview = read(shop, kinds, rows)
    assert {row.action for row in preview.rows} == {"nothing"}
    assert fix.keep_buying(shop, preview, **ME) == ()


def test_what_is_filled_in_becomes_quotes_prices_orders_and_stock_once(shop, bought, kinds):
    rows = written(shop, kinds)
    part = next(row for row in rows if row["line"] == "F01:second_hand")
    part |= {"own_amount": "1 450,50", "reason": "seen at the scrapyard"}
    only(rows, sort="stock")["have"] = "3,5"
    only(rows, sort="out")["promised_on"] = "24/12/2026"
    rows += [
        blank(machine="lathe", line="F42:repair", vendor="two brothers", quoted_on="24/11",
              amount="350", currency="CHF", rate="1.050", rate_on="2026-11-20", units="2",
              quote_days="10", ordered_on="2026-11-25 00:00:00"),
        blank(sort="quote", line="new jaws", vendor="chuck maker", quoted_on="2026-11-24",
              amount="80"),
        blank(sort="stock", what="rags", have="400"),
    ]  # fmt: skip
    preview = read(shop, kinds, rows, ";")
    assert (preview.problems, preview.count("new"), preview.count("changed")) == ((), 4, 2)
    assert shop.current(Stock, name="rags") == []  # only looked at
    records = fix.keep_buying(shop, preview, by="me", id="batch")
    told = sorted(one.kind for one in records)
    assert told == [*["cost_line"] * 2, *["out"] * 2, *["quoted"] * 2, *["stock"] * 2]
    order = next(one for one in shop.current(Out) if one.fact.whom == "two brothers").fact
    lathe = bought.machine_id("lathe")
    assert (order.amount, order.promised_on, order.machine) == (Decimal(700), "2026-12-05", lathe)
    assert shop.get(Quoted, order.quote).fact.rate == Decimal("1.050")
    price = shop.current(CostLine, line="F42:repair")[0].fact
    assert (price.amount, price.reason) == (
        Decimal("735.00"),
        "quote of two brothers on 2026-11-24",
    )
    assert fix.keep_buying(shop, preview, by="me", id="batch") == ()  # sent twice
    again = read(shop, kinds, rows, ";")
    assert {row.action for row in again.rows} == {"nothing"}
    assert fix.keep_buying(shop, again, **ME) == ()


def test_every_bad_cell_is_named_and_the_good_rows_are_kept_on_demand(shop, bought, kinds):
    good = blank(sort="stock", what="rags", have="400")
    rows = [
        blank(machine="mil", line="F15:local", vendor="x", quoted_on="2026-11-24", amount="1"),
        blank(machine="mill", line="F15:locl", vendor="x", quoted_on="2026-11-24", amount="1"),
        blank(machine="mill", line="F15:local", vendor="x", quoted_on="31/11/2026", amount="1.250",
              currency="EUX"),
        blank(machine="mill", line="F15:local", vendor="x", quoted_on="2026-11-24", amount="1",
              currency="GBP"),
        blank(machine="mill", line="F15:local", own_amount="5"),
        blank(sort="strange", what="y"),
        blank(what="nothing said"),
        blank(sort="stock", what="oil", have="-2"),
        good,
    ]  # fmt: skip
    preview = read(shop, kinds, [row | {"colour": "red"} for row in rows])
    named = [one.where for one in preview.problems]
    assert named == [
        "row 2, column machine", "row 3, column line", "row 4, column amount",
        "row 4, column quoted_on", "row 4, column currency", "row 5, column rate",
        "row 6, column reason", "row 7, column sort", "row 8, column sort",
        "row 9, column have",
    ]  # fmt: skip
    assert all(one.remedy for one in preview.problems)
    assert preview.strange == ("colour",)
    with pytest.raises(Unusable, match="8 rows of"):
        fix.keep_buying(shop, preview, **ME)
    assert shop.current(Stock, name="rags") == []
    assert len(fix.keep_buying(shop, preview, good_rows=True, **ME)) == 1


def test_two_rows_that_say_two_things_of_the_same_are_named(shop, bought, kinds):
    shelf = only(written(shop, kinds), sort="stock")
    rows = [shelf, shelf | {"have": "99"}, shelf | {"sort": "out", "ordered_on": "2026-11-24",
            "machine": "mill", "line": "F15:local", "vendor": "x"},
            blank(machine="mill", line="F15:local", vendor="x", quoted_on="2026-11-24", amount="1",
                  quote_days="99999")]  # fmt: skip
    preview = read(shop, kinds, rows)
    assert [row.action for row in preview.rows] == ["nothing", "refused", "refused", "refused"]
    told = [problem.what for problem in preview.problems]
    assert told[0] == "says otherwise than row 2 of the same"
    assert "is of another row" in told[1]
    assert told[2] == "is more than ten years"


def test_what_changed_there_and_here_is_named_and_not_overwritten(shop, bought, kinds):
    rows = written(shop, kinds)
    quote = shop.current(Quoted)[0]
    newer = replace(quote.fact, amount=Decimal(700))
    fix.correct_out(shop, quote.id, newer, by="you")
    assert {row.action for row in read(shop, kinds, rows).rows} == {"nothing"}  # theirs stands
    only(rows, sort="quote")["amount"] = "650"
    preview = read(shop, kinds, rows)
    (problem,) = preview.problems
    assert "changed there by you" in problem.what
    mine = written(shop, kinds)
    only(mine, sort="quote")["amount"] = "600.00000000000011"  # a sum of the spreadsheet
    looked = read(shop, kinds, [blank(sort="stock", what="rags", have="400"), *mine])
    fix.correct_out(shop, quote.id, replace(newer, amount=Decimal(710)), by="you")
    with pytest.raises(Overtaken):
        fix.keep_buying(shop, looked, **ME)
    assert shop.current(Stock, name="rags") == []  # all or nothing
    fix.withdraw_out(shop, quote.id, **ME)
    assert "counts no more" in read(shop, kinds, mine).problems[0].what


def test_columns_that_were_left_out_change_nothing(shop, bought, kinds):
    rows = [
        {name: cell for name, cell in row.items() if name not in ("rate", "least", "quote_days")}
        for row in written(shop, kinds)
    ]
    assert {row.action for row in read(shop, kinds, rows).rows} == {"nothing"}
    only(rows, sort="quote")["amount"] = "600"
    fix.keep_buying(shop, read(shop, kinds, rows), **ME)
    told = shop.current(Quoted)[0].fact
    assert (told.amount, told.rate, told.days, told.by_telephone) == (
        Decimal(600), Decimal("1.170"), 21.0, True)  # fmt: skip
