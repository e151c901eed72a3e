"""Own hours at the keyboard: asked, answered, typed, clocked; evenings of a plain table."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest
from tests.fakes.shop import FakeShop

from retrue.records.facts import Lot, Machine, Note, Outcome
from retrue.records.settling import ClockRung, HoursTold

TONIGHT = datetime(2026, 11, 25, 16, 0, tzinfo=UTC)  # the clock of the house begins at 20:00


@pytest.fixture
def lot(shop: FakeShop) -> str:
    shop.add(Lot(name="school"), by="owner", id="l1")
    for name in ("mill", "lathe"):
        shop.add(Machine(lot="l1", name=name, kind="turning_centre"), by="owner", id=name)
    won = Outcome(lot="l1", result="won")
    shop.add(won, by="owner", observed_at=TONIGHT - timedelta(days=9))
    for n in range(7):
        at = TONIGHT + timedelta(minutes=20 * n)
        shop.add(Note(text=f"{n}", lot="l1", machine="lathe"), by="owner", observed_at=at)
    return "school"


def told(door) -> dict:
    assert door.code == 0, door.err
    return json.loads(door.out)


def test_an_evening_is_asked_answered_and_counted(call, lot):
    view = told(call("settle", "hours", "--json"))
    (asked,) = view["guesses"]
    assert (asked["hours"], asked["traces"], view["hours"]) == (2.5, 7, 0)
    lines = call("settle", "hours").out
    assert "2.5 h on the lathe. Right?" in lines
    assert f"--yes {asked['key']}" in lines
    assert lines.index("Right?") < lines.index("No hour counts twice")
    kept = told(call("settle", "hours", "--less", asked["key"][:5], "--json"))
    assert (kept["hours"], kept["answer"], kept["why"]) == (2.0, "less", {})
    view = told(call("settle", "hours", "school", "--json"))
    assert (view["guesses"], view["by_machine"]) == ([], {"lathe": 2.0})
    assert view["rows"][0]["how"] == "told"
    assert told(call("settle", "hours", "--yes", asked["key"], "--hours", "1,75", "--json"))[
        "hours"] == 1.75  # fmt: skip
    assert "Kept: not mine" in call("settle", "hours", "--not-mine", asked["key"]).out
    assert call("settle", "hours", "--more", "ffff").code == 2
    assert call("settle", "hours", "--more", asked["key"], "--yes", asked["key"]).code == 2


def test_hours_are_typed_in_one_line(call, lot, shop):
    kept = told(call("settle", "hours", "--add", "1.5 h mill, fetched oil", "--on", "2026-11-24",
                     "--json"))  # fmt: skip
    assert (kept["hours"], kept["worked_on"]) == (1.5, "2026-11-24")
    assert shop.current(HoursTold)[0].fact.text == "fetched oil"
    for words, says in [("mill", "tells no hours"), ("2 h saw", "names no machine"),
                        ("-2 h mill", "below zero"), ("30 h mill", "more than 24 h")]:  # fmt: skip
        refused = call("settle", "hours", "--add", words)
        assert refused.code == 2
        assert says in refused.err
    assert len(shop.current(HoursTold)) == 1


def test_start_and_stop(call, lot, shop):
    assert told(call("settle", "start", "school", "mill", "--json"))["why"]["hours"]
    assert call("settle", "start", "school", "lathe").code == 3
    assert "The clock runs: mill" in call("settle", "hours").out
    ended = told(call("settle", "stop", "--json"))
    assert ended["how"] == "stop"
    assert call("settle", "stop").code == 3
    assert len(shop.current(ClockRung)) == 2


def test_a_stop_is_said_afterwards(call, lot):
    told(call("settle", "start", "school", "mill", "--at", "2026-11-24T08:00+00:00", "--json"))
    forgotten = call("settle", "stop")
    assert forgotten.code == 3
    assert "Say when you stopped" in forgotten.err
    assert "Still at it?" in call("settle", "hours").out
    assert told(call("settle", "stop", "--hours", "2.5", "--json"))["hours"] == 2.5
    assert call("settle", "stop", "--at", "soon").code == 2


def test_a_plain_table_without_a_shop(call, tmp_path):
    path = tmp_path / "moments.csv"
    rows = [f"2026-11-25 {19 + n // 3}:{n % 3 * 20:02d},lathe" for n in range(8)]
    path.write_text("moment,machine\n" + "\n".join(rows), encoding="utf-8")
    view = told(call("settle", "hours", path, "--json"))
    assert view["hours"] == 2.75
    assert view["guesses"][0]["shares"][0]["machine_name"] == "lathe"
    assert "One evening, 2.75 h." in call("settle", "hours", path).out
    path.write_text("moment,machine\nyesterday,lathe\n", encoding="utf-8")
    assert "row 2" in call("settle", "hours", path).err
