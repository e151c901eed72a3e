"""Cards, a week and a calendar file written from the keyboard."""

from __future__ import annotations

import json

import pytest
from icalendar import Calendar
from tests.fakes.shop import FakeShop
from tests.paper.cards import plan
from tests.paper.reading import text_of

from retrue.paper.press import pages
from retrue.phases import fix, worth
from retrue.records.facts import Finding, Lot, Machine, Terms


@pytest.fixture
def lot(shop: FakeShop, kinds) -> str:
    """A mill without a fault: every place still has its visit, and few cards each."""
    made = [Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    for fault in kinds["vertical_machining_centre"].faults:
        found = Finding(lot=view.id, machine=view.machines[0][0], fault=fault, answer="absent",
                        grade=4, channel="apart")  # fmt: skip
        shop.add(found, by="owner")
    return "school"


def test_cards_are_printed_all_or_one_place_and_json_stays_json(call, lot, tmp_path):
    every, one = tmp_path / "all.pdf", tmp_path / "one.pdf"
    door = call("fix", "cards", lot, "mill", "--pdf", every, "--json")
    assert json.loads(door.out)["machine"] == "mill"
    assert str(every) in door.err
    assert pages(every.read_bytes()) > 10
    door = call("fix", "cards", lot, "mill", "--pdf", one, "--place", "cabinet")
    assert door.code == 0, door.err
    assert str(one) in door.out
    assert "Electrical cabinet" in text_of(one.read_bytes())


def test_a_place_without_cards_and_a_file_that_cannot_be_written_are_refused(call, lot, tmp_path):
    door = call("fix", "cards", lot, "mill", "--pdf", tmp_path / "x.pdf", "--place", "attic")
    assert (door.code, "attic" in door.err) == (2, True)
    assert not (tmp_path / "x.pdf").exists()
    nowhere = tmp_path / "no" / "x.pdf"
    door = call("fix", "cards", lot, "mill", "--pdf", nowhere, "--place", "cabinet")
    assert (door.code, "no/x.pdf" in door.err) == (2, True)


def test_the_plan_goes_out_as_a_week_and_a_calendar(call, lot, tmp_path, monkeypatch):
    monkeypatch.setattr(fix, "kept_plan", lambda *_, **__: plan())
    pdf, ics = tmp_path / "week.pdf", tmp_path / "plan.ics"
    door = call("fix", "plan", "--kept", "--pdf", pdf, "--week", "2026-12-02", "--ics", ics)
    assert door.code == 0, door.err
    assert "Week of 2026-11-30 to 2026-12-06" in text_of(pdf.read_bytes())
    assert len(Calendar.from_ical(ics.read_bytes()).walk("VEVENT")) == 6
    door = call("fix", "plan", "--kept", "--pdf", pdf, "--week", "no day")
    assert (door.code, "no day" in door.err) == (2, True)
    door = call("fix", "plan", "--kept", "--week", "2026-12-02")
    assert (door.code, "--pdf" in door.err) == (2, True)
