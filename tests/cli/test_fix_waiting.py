"""Who owes me and what to buy, at the keyboard: sent, rung, back, judged; quoted, taken, bought."""

from __future__ import annotations

import csv
import json

import pytest
from tests.fakes.shop import FakeShop

from retrue.cases.fix.buying_table import COLUMNS
from retrue.phases import worth
from retrue.records.facts import Finding, Lot, Machine, Terms
from retrue.records.fixing import Quoted, Stock


@pytest.fixture
def lot(shop: FakeShop) -> str:
    made = [Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    found = Finding(lot=view.id, machine=view.machines[0][0], fault="F15", answer="present",
                    grade=4, channel="apart")  # fmt: skip
    shop.add(found, by="owner")
    return "school"


def told(door) -> dict:
    assert door.code == 0, door.err
    return json.loads(door.out)


def test_what_is_out_is_chased_until_it_is_judged(call, lot):
    sent = told(call(
        "fix", "send", lot, "spindle motor", "the winder", "--line", "F15:local", "--machine",
        "mill", "--promised", "2026-11-30", "--deposit", "150", "--serial", "4711", "--json",
    ))  # fmt: skip
    rung = told(call("fix", "ring", "spindle motor", "--promised", "2026-12-01", "--json"))
    assert (rung["promised_on"], rung["ring_on"]) == ("2026-12-01", None)
    assert rung["why"] == {"ring_on": "nobody said"}
    view = told(call("fix", "waiting", "--on", "2026-12-03", "--json"))
    (owed,) = view["owed"]
    assert (owed["state"], owed["days_late"], owed["broken"]) == ("late", 2, 1)
    assert (owed["holds_up"], view["deposits"]) == (
        ["Spindle motor winding shorted or burnt"], {"EUR": 150.0})  # fmt: skip
    line = call("fix", "waiting", "--on", "2026-12-03").out
    assert "spindle motor, the winder: 2 days late" in line
    assert "put off once" in line
    assert told(call("fix", "back", sent["kept"][:8], "--json"))["how"] == "back"
    again = call("fix", "back", "F15:local", "--wrong")
    assert again.code == 2
    assert "Nothing was changed" in again.err
    assert told(call("fix", "judge", "F15:local", "bad", "--json"))["judged"] == "bad"
    assert "the deposit is not back" in call("fix", "waiting").out
    told(call("fix", "back", "F15:local", "--deposit", "--json"))
    assert call("fix", "waiting").out == "Nothing is out.\n"
    assert told(call("fix", "take-back", sent["kept"], "--json"))["of"] == "out"
    assert call("fix", "send", lot, "x", "y", "--promised", "soon").code == 2


def test_a_day_to_come_is_refused_at_the_keyboard(call, lot):
    told(call("fix", "send", lot, "belt", "dealer", "--since", "2026-11-20", "--json"))
    for words, field in (
        (("send", lot, "lamp", "dealer", "--since", "2027-05-01"), "since_on"),
        (("ring", "belt", "--on", "2027-05-01", "--promised", "2027-06-01"), "rung_on"),
        (("back", "belt", "--on", "2027-11-20"), "ended_on"),
        (("ring", "belt", "--nobody", "--promised", "2026-12-24"), "promised_on"),
    ):
        refused = call("fix", *words)
        assert refused.code == 2
        assert f"{field}: is " in refused.err
    told(call("fix", "quote", "F15:local winder, today, 600", "--machine", "mill", "--json"))
    late = call("fix", "take", "winder", "--on", "2027-05-01")
    assert (late.code, "on: is 2027-05-01" in late.err) == (2, True)
    told(call("fix", "back", "belt", "--wrong", "--json"))
    assert "the wrong thing came" in call("fix", "waiting").out
    told(call("fix", "back", "belt", "--wrong", "--paid", "0", "--json"))
    assert call("fix", "waiting").out == "Nothing is out.\n"


def test_a_quote_is_said_back_kept_and_taken(call, shop, lot):
    words = "F15:local the winder, Tuesday, 600 incl, 2-3 weeks, ask for the son"
    look = call("fix", "quote", words, "--look")
    assert "how long: 21 days" in look.out
    assert "Not understood: “ask for the son”" in look.out
    assert shop.current(Quoted) == []
    kept = told(call("fix", "quote", words, "--machine", "mill", "--json"))
    assert (kept["currency"], kept["tax"], kept["days"]) == ("EUR", "incl", 21.0)
    assert (kept["not_understood"], kept["why"]["rate"]) == (["ask for the son"], "nobody said")
    assert "promised_on" in told(call("fix", "take", "the winder", "--json"))
    refused = call("fix", "quote", "F15:locl the winder, 1.250")
    assert refused.code == 2
    assert "Did you mean F15:local?" in refused.err
    assert "Write 1250, or 1.2500." in refused.err
    assert call("fix", "take", "somebody").code == 2


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_the_list_goes_out_and_comes_in_again(call, shop, lot, tmp_path, ending):
    path = tmp_path / f"list.{ending}"
    view = told(call("fix", "buy", "--write", path, "--json"))
    assert view["rows"][0]["state"] == "no_vendor"
    assert view["weeks"][0]["amount"] == view["rows"][0]["amount"]
    assert view["total"] == pytest.approx(sum(row["amount"] for row in view["rows"]))
    read = told(call("fix", "buy", "--read", path, "--json"))
    assert (read["refused"], read["new"], read["why"]) == (0, 0, {"kept": "only looked at"})
    if ending == "csv":
        rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
        assert list(rows[0]) == list(COLUMNS)


def test_a_table_is_kept_on_demand_and_bad_rows_are_named(call, shop, lot, tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("sort;what;have;least\nstock;rags;400;1'000\nstock;oil;x;\n", encoding="utf-8")
    looked = call("fix", "buy", "--read", path)
    assert looked.code == 2
    assert "row 3, column have" in looked.out
    assert call("fix", "buy", "--read", path, "--keep").code == 2
    assert shop.current(Stock) == []
    done = call("fix", "buy", "--read", path, "--keep", "--good-rows")
    assert done.code == 0
    assert "Kept: 1" in done.out
    assert "Kept: 0" in call("fix", "buy", "--read", path, "--keep", "--good-rows").out
    assert "rags, 400; least 1000" in call("fix", "stock").out
    assert "Runs out: rags" in call("fix", "buy").out
    told(call("fix", "stock", "rags", "1200", "--least", "100", "--json"))
    assert told(call("fix", "stock", "--json"))["rows"][0]["low"] is False
    assert call("fix", "stock", "rags").code == 2
    assert call("fix", "buy", "--write", tmp_path / "list.pdf").code == 2


def test_a_plain_file_has_its_list(call, lot_file):
    view = told(call("fix", "buy", lot_file, "--json"))
    assert view["undated"] == pytest.approx(view["total"])  # nothing is confirmed yet
    assert view["rows"]
