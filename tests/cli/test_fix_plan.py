"""Tonight, cards, plans, hands and gear at the keyboard, from a shop and from a file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.fakes.shop import FakeShop
from tests.planned import little_search

from retrue.phases import worth
from retrue.records.facts import Finding, Lot, Machine, Terms

FILE = """
[lot]
name = "school"

[[machine]]
name = "mill"
kind = "vertical_machining_centre"
age_years = 24

"""
FOUND = """
[[finding]]
machine = "mill"
fault = "{fault}"
answer = "{answer}"
grade = 4
channel = "apart"
"""
QUICK = ("--worlds", "100", "--seconds", "0.1")


@pytest.fixture(autouse=True)
def little_time(monkeypatch: pytest.MonkeyPatch) -> None:
    little_search(monkeypatch)


def answers(kinds) -> dict[str, str]:
    """Of every fault: the mill has one of them."""
    faults = kinds["vertical_machining_centre"].faults
    return dict.fromkeys(faults, "absent") | {"F06": "present"}


@pytest.fixture
def lot(shop: FakeShop, kinds) -> str:
    made = [Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    for fault, answer in answers(kinds).items():
        found = Finding(lot=view.id, machine=view.machines[0][0], fault=fault, answer=answer,
                        grade=4, channel="apart")  # fmt: skip
        shop.add(found, by="owner")
    return "school"


def told(door) -> dict:
    assert door.code == 0, door.err
    row = json.loads(door.out)
    assert list(row) == sorted(row)
    assert isinstance(row["why"], dict)
    return row


def test_an_evening_at_the_keyboard(call, lot):
    first = told(call("fix", "tonight", "--json"))
    assert [pick["key"] for pick in first["picks"]] == ["J01"]
    done = told(call("fix", "done", lot, "J01", "--hours", "2", "--json"))
    assert (done["card"], done["how"]) == ("J01", "done")
    stuck = call("fix", "stuck", lot, "open:cabinet", "--text", "two screws")
    assert "Soak it" in stuck.out
    assert call("fix", "notnow", lot, "open:tank", "--until", "2099-01-01").code == 0
    made = {one["key"]: one for one in told(call("fix", "cards", lot, "--json"))["cards"]}
    assert made["J01"]["spent_hours"] == 2.0
    assert (made["open:cabinet"]["state"], made["open:tank"]["state"]) == ("stuck", "not_now")
    assert made["F06:replace"]["why"]["left_hours"] == "nobody said"
    assert call("fix", "done", lot, "J20").code == 3
    assert call("fix", "done", lot, "J99").code == 2
    one = call("fix", "cards", lot, "--card", "F06:replace")
    assert one.out.startswith("Caution:")
    assert "[ ] work:" in one.out
    assert call("fix", "reopen", lot, "J01").code == 0
    assert told(call("fix", "cards", lot, "--card", "J01", "--json"))["state"] == "open"


def test_a_plan_is_kept_shown_and_goes_stale(call, lot):
    assert call("fix", "plan", "--kept").code == 3
    assert call("fix", "hands", "An", "--evening", "mon 19:30-22:00", "--evening",
                "sat 09:00-15:00", "--away", "2026-12-24..2026-12-31").code == 0  # fmt: skip
    assert call("fix", "hands", "Jan", "--evening", "sat 09:00-15:00", "--helps-only").code == 0
    assert call("fix", "gear", "hoist", "--have", "hired", "--costs", "80").code == 0
    made = told(call("fix", "plan", "--keep", *QUICK, "--json"))
    assert made["hands"] == ["An", "Jan"]
    [dates] = made["machines"]
    assert dates["early_on"] <= dates["even_on"] <= dates["promise_on"]
    again = told(call("fix", "plan", "--kept", "--json"))
    assert again == made | {"kept": True}
    call("fix", "done", lot, "J01")
    assert told(call("fix", "plan", "--kept", "--json"))["stale"]
    assert "plan again" in call("fix", "plan", "--kept").out
    assert "An: mon 19:30-22:00, sat 09:00-15:00" in call("fix", "hands").out
    assert [one["name"] for one in told(call("fix", "gear", "--json"))["gear"]] == ["hoist"]
    assert call("fix", "hands", "An", "--evening", "monday").code == 2


def test_the_same_from_a_file(call, kinds, tmp_path: Path):
    path = tmp_path / "school.toml"
    found = (FOUND.format(fault=fault, answer=said) for fault, said in answers(kinds).items())
    path.write_text(FILE + "".join(found), encoding="utf-8")
    assert told(call("fix", "tonight", path, "--json"))["picks"][0]["key"] == "J01"
    cards = told(call("fix", "cards", path, "mill", "--json"))
    assert "F06:replace" in {one["key"] for one in cards["cards"]}
    made = told(call("fix", "plan", path, *QUICK, "--json"))
    assert made["machines"][0]["machine"] == "mill"
    slow = call("fix", "plan", path, *QUICK, "--lead-times", "2")
    assert slow.code == 0
    assert "every delivery takes 2 times as long" in slow.out


def test_hands_and_gear_are_shown_by_name_and_what_is_not_named_stays(call, lot):
    said = ("fix", "hands", "An", "--evening", "Monday 19:30-22:00", "--may", "anyone")
    assert call(*said, "--away", "2026-12-24..2026-12-31").code == 0
    [kept] = told(call("fix", "hands", "An", "--json"))["hands"]
    assert kept["evenings"] == [["mon", "19:30", "22:00"]]
    assert kept["away"] == [["2026-12-24", "2026-12-31"]]
    assert call("fix", "hands", "An", "--helps-only", "--away", "none").code == 0
    [after] = told(call("fix", "hands", "--json"))["hands"]
    assert after == kept | {"away": [], "helps_only": True}
    wrong = call("fix", "hands", "An", "--evening", "noday 19:30-22:00")
    assert wrong.code == 2
    assert "noday" in wrong.err
    assert call("fix", "hands", "nobody").code == 2
    assert call("fix", "gear", "hoist", "--have", "hired", "--day", "2099-12-05").code == 0
    assert call("fix", "gear", "hoist", "--costs", "80").code == 0
    [hoist] = told(call("fix", "gear", "hoist", "--json"))["gear"]
    assert (hoist["have"], hoist["days"], hoist["day_costs"]) == ("hired", ["2099-12-05"], 80.0)


@pytest.mark.parametrize(
    "typed", [("tonight", "--hours"), ("plan", "--seconds"), ("plan", "--lead-times")]
)
def test_what_is_no_number_lies_within_no_limits(call, typed):
    answer = call("fix", *typed, "nan")
    assert answer.code == 2
    assert "nan is no number" in answer.err
