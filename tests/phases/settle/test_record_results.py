"""The condition record: results with their limits, of before the work, and not tested."""

from __future__ import annotations

import json

import pytest
from tests.fakes.shop import FakeShop
from tests.phases.settle.condition import MILL, open_ids, record, stands
from tests.recorded import ready, say

from retrue.cases.prove.deed import deed
from retrue.records.facts import Finding, Note
from retrue.records.measuring import Instrument, Reading, ReadingSet, Result
from retrue.records.moving import Arrived
from retrue.records.seeking import Act, PartMoved
from retrue.records.stripping import Taken

SHOPS = ("in memory",)


def _result(shop, at, ruling, *, test="level", instrument=None, place="bed"):
    key = deed(test).judged[0]
    here = {"lot": at[0], "machine": at[1]}
    asked = ReadingSet(**here, test=test, place=place, instrument=instrument)
    kept = shop.add(asked, by="An")
    verdict = {
        "key": key, "value": 6.0, "unit": "µm/m", "ruling": ruling, "limit": 15.0,
        "uncertainty": 2.0, "rule": "guarded", "standard": "ISO 230-1", "edition": "2012",
        "limit_mark": "from memory, unverified", "conformance": 1.0,
        "why": "Inside the limit, doubt counted.",
    }  # fmt: skip
    answer = {
        key: 6.0, "uncertainty": {key: 2.0}, "why": {}, "standard": "", "edition": "",
        "verdict": verdict,
    }  # fmt: skip
    said = Result(**here, set=kept.id, test=test, readings="a" * 64, ruling=ruling,
                  answer=json.dumps(answer))  # fmt: skip
    shop.add(said, by="An")
    return kept.id


def test_a_result_carries_its_limit_its_words_and_its_certificate(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    tool = Instrument(name="level", sort="level", certificate="K-118",
                      certified_on="2026-01-10", due_on="2027-01-10")  # fmt: skip
    _result(shop, at, "proved_good", instrument=shop.add(tool, by="An").id)
    [good] = record(shop, at, kinds).proved
    assert (good.value, good.unit, good.uncertainty, good.limit) == (6.0, "µm/m", 2.0, 15.0)
    assert good.words == "Proved good. Inside the limit, doubt counted."
    assert good.certificate == "certificate K-118 of 2026-01-10, good until 2027-01-10"
    assert good.grade == 5
    assert good.source == "ISO 230-1, 2012, from memory, unverified"
    assert not open_ids(shop, at, kinds, "proven")


def test_without_a_certificate_in_date_it_is_measured_and_not_more(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    for due in ("2026-11-01", None):
        tool = Instrument(name="level", sort="level", certificate="K" if due else "",
                          certified_on="2025-01-10" if due else None, due_on=due)  # fmt: skip
        _result(shop, at, "proved_good", instrument=shop.add(tool, by="An").id)
        [one] = record(shop, at, kinds).proved
        assert one.grade == 4


@pytest.mark.parametrize(
    "work",
    [
        lambda here: Act(**here, sort="adjust", fault="F45", way="adjust"),
        lambda here: Act(**here, sort="repair", fault="F01", way="repair"),
        lambda here: Act(**here, sort="call_for_help"),
        lambda here: Arrived(**here, delivered_on="2026-11-25", damage="none"),
        lambda here: PartMoved(**here, slot="X", from_machine="donor", from_slot="Y", serial="1",
                               part="axis_drive", other_serial="2"),
        lambda here: Note(**here, setting="1851", old="3", new="9", why="backlash"),
        lambda here: Taken(**here, place="cabinet", sort="part", code="AB12CD34", what="cover"),
    ],
    ids=["adjusted", "repaired", "called", "moved", "part", "setting", "undone"],
)  # fmt: skip
def test_a_result_of_before_the_work_proves_nothing_until_it_is_measured_again(kinds, work):
    shop = FakeShop()
    at = ready(shop, kinds)
    _result(shop, at, "proved_good")
    here = {"lot": at[0], "machine": at[1]}
    shop.add(Act(**here, sort="observe", seen="it runs"), by="An")  # looking changes nothing
    assert "proven" not in open_ids(shop, at, kinds, "proven")
    shop.add(work(here), by="An")
    [one] = stands(shop, at, kinds, "proven").record.proved
    assert (one.ruling, one.words, one.aged) == ("", "", True)
    assert one.apart.startswith("measured before later work (")
    assert one.apart.endswith("measure it again; then it was proved good")
    assert "proven" in open_ids(shop, at, kinds, "proven")
    assert "proven" not in open_ids(shop, at, kinds, "running")
    _result(shop, at, "proved_good")
    assert "proven" not in open_ids(shop, at, kinds, "proven")


def test_judged_again_without_being_measured_again_it_stays_of_before(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    here = {"lot": at[0], "machine": at[1]}
    set_ = _result(shop, at, "proved_good")
    shop.add(Reading(set=set_, cell="1", text="+4"), by="An")
    shop.add(Act(**here, sort="repair", fault="F01", way="repair"), by="An")
    [kept] = shop.current(Result)
    shop.add(kept.fact, by="An", replaces=kept.id)
    [one] = record(shop, at, kinds, "parts").proved
    assert one.aged


def test_with_one_result_of_before_it_is_not_sold_as_proven_whatever_else_is_good(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    here = {"lot": at[0], "machine": at[1]}
    _result(shop, at, "proved_good", place="table")
    shop.add(Act(**here, sort="repair", fault="F01", way="repair"), by="An")
    _result(shop, at, "proved_good", place="bed")
    [item] = [one for one in stands(shop, at, kinds, "proven").open if one.id == "proven"]
    assert "measured before later work" in item.what


def test_what_needs_a_level_machine_is_provisional_on_one_that_is_not_proved_level(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    _result(shop, at, "proved_good", test="backlash")
    [one] = record(shop, at, kinds).proved
    assert (one.ruling, one.words) == ("", "")
    assert "not level" in one.apart
    assert open_ids(shop, at, kinds, "proven") == {"proven"}
    _result(shop, at, "proved_good")
    assert {one.ruling for one in record(shop, at, kinds).proved} == {"proved_good"}


def test_a_reading_changed_after_it_was_judged_takes_the_ruling_away(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    set_ = _result(shop, at, "proved_good")
    shop.add(Reading(set=set_, cell="1", text="+4"), by="An")
    [one] = record(shop, at, kinds).proved
    assert one.ruling == ""
    assert "changed since" in one.apart
    assert open_ids(shop, at, kinds, "proven") == {"proven"}


def test_what_nobody_tested_is_listed_as_not_tested_whole_and_by_place(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    kind = kinds[MILL]
    listed = [look for one in record(shop, at, kinds).untested for look in one.looks]
    looked = {one.fact.check for one in shop.current(Finding)}
    for one in kind.checks.values():
        assert (one.text in listed) == (one.id not in looked), one.id
    assert sum("(measured)" in one for one in listed) == 13
    say(shop, at, check="C01", answer="cant_tell")
    say(shop, at, check="C02", answer="seen", grade=1, channel="photo")
    again = [look for one in record(shop, at, kinds).untested for look in one.looks]
    assert again == listed
