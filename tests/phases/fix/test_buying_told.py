"""A purchase list that says what is to be said: cautions first, nobody once, every offer."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop

from retrue.cases.fix.buying_words import is_asked_for
from retrue.cli.fix_buy_lines import buying_lines
from retrue.phases import fix
from retrue.phases.fix.stocking import set_stock
from retrue.records.facts import Finding
from retrue.records.fixing import Chosen, Quoted, Stock

ON = date(2026, 11, 26)
ME = {"by": "me"}


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


@pytest.fixture
def bridged(shop, lot, kinds):
    """The mill with bridged interlocks and weak drawbar springs, to be mended oneself."""
    mill = lot.machine_id("mill")
    for fault, way in (("F85", "repair"), ("F03", "replace")):
        seen = Finding(lot=lot.id, machine=mill, fault=fault, grade=3, channel="apart",
                       answer="present")  # fmt: skip
        shop.add(seen, **ME)
        shop.add(Chosen(lot=lot.id, machine=mill, sort="way", what=fault, way=way), **ME)
    return fix.buying(shop, kinds, on=ON)


def test_cautions_of_what_is_bought_stand_before_every_figure(bridged, kinds):
    told = list(buying_lines(bridged, whole=True))
    first = next(at for at, line in enumerate(told) if "On average" in line)
    before = " ".join(told[:first])
    springs = [one for one in kinds["vertical_machining_centre"].cautions.values()
               if "fix F03" in one.shown_before]  # fmt: skip
    assert springs
    assert all(one.text in before for one in springs)
    assert not any(line.startswith("Caution:") for line in told[first:])


def test_nobody_is_named_is_said_once_and_own_work_asks_no_quotes(bridged):
    asked = [text for text in bridged.no_vendor if "Nobody is named for" in text]
    assert sum("retrue fix quote" in text for text in asked) == 1
    states = {row.part.line: row.part.state for row in bridged.rows if row.machine_name == "mill"}
    assert states["F85:repair"] == "to_buy"
    (mended,) = [row for row in bridged.rows if row.part.line == "F85:repair" and
                 row.machine_name == "mill"]  # fmt: skip
    assert mended.part.what.endswith(": parts to mend it")
    bought = next(text for text in bridged.no_vendor if "own hands" in text)
    assert "F85:repair" in bought
    assert "F85:repair" not in asked[0]
    listed = [line for text in asked[:1] for line in text.partition("They are: ")[2].split()]
    assert all(is_asked_for(line.rstrip(".;")) for line in listed if ":" in line)


def test_an_offer_for_a_way_that_is_not_chosen_is_listed_with_its_id_and_in_no_sum(
    shop, lot, kinds, bridged
):
    told = Quoted(lot="school", machine="mill", line="F85:local", vendor="shopx", days=3,
                  quoted_on="2026-11-24", amount=Decimal(900))  # fmt: skip
    kept = fix.quote(shop, told, kinds, **ME)
    view = fix.buying(shop, kinds, on=ON)
    (row,) = [one for one in view.rows if one.part.line == "F85:local"]
    assert [one.record.id for one in row.part.offers] == [kept.id]
    assert (row.amount, row.chance) == (0.0, 0.0)
    rows = fix.buying_table(shop, view, kinds)
    at = rows[0].index("record")
    assert kept.id in [row[at] for row in rows]
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    again = fix.read_buying(shop, out.getvalue().encode(), "list.csv", kinds, on=ON)
    assert {row.action for row in again.rows} == {"nothing"}
    assert any(kept.id in line for line in buying_lines(view, whole=True))


def test_a_day_to_come_in_a_table_is_no_day_of_a_quote(shop, lot, kinds):
    text = (
        "sort,machine,line,vendor,quoted_on,amount,ordered_on\n"
        "quote,mill,F15:local,winder,11/12/2026,600,\n"
        "out,mill,F15:local,winder,,600,11/12/2026\n"
        "quote,mill,F15:local,winder,24/11/2026,600,\n"
    )
    preview = fix.read_buying(shop, text.encode(), "list.csv", kinds, on=ON)
    named = [one.where for one in preview.problems]
    assert named == ["row 2, column quoted_on", "row 3, column ordered_on"]
    assert [row.action for row in preview.rows] == ["refused", "refused", "new"]


def test_a_new_count_leaves_the_least_and_the_unit_of_what_stands(shop):
    set_stock(shop, Stock(name="way oil", amount=5, unit="l", least=10, text="left shelf"), **ME)
    told = set_stock(shop, Stock(name="Way Oil", amount=20), **ME).fact
    assert told == Stock(name="way oil", amount=20, unit="l", least=10, text="left shelf")
    assert set_stock(shop, replace(told, least=0), **ME).fact.least == 0
