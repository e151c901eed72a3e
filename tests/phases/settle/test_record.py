"""The condition record: what keeps it closed, what it says, given away and never moved again."""

from __future__ import annotations

import json
from datetime import date, timedelta
from decimal import Decimal
from functools import partial

import pytest
from tests.fakes.shop import FakeShop, TickingClock
from tests.recorded import SELLER, bare, cleared, guard, ready, say
from tests.web.conftest import jpeg

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.cases.prove.deed import deed
from retrue.cases.settle.condition_file import (
    file_of,
    sha256_of,
)
from retrue.phases import settle
from retrue.phases.settle.checking import check
from retrue.records.facts import File, Finding, Note
from retrue.records.measuring import Instrument, Reading, ReadingSet, Result
from retrue.records.moving import Arrived, DataCopy
from retrue.records.seeking import Act, PartMoved, Trouble
from retrue.records.settling import ForSale, Included
from retrue.records.stripping import Taken
from retrue.store.derived import shown

SHOPS = ("in memory",)
ON = date(2026, 11, 26)
MILL = "vertical_machining_centre"


def record(shop, at, kinds, sold_as="as_found"):
    return settle.record(
        shop, at[0], at[1], kinds, on=ON, sold_as=sold_as, by="An", version="0.1.0"
    )


def stands(shop, at, kinds, sold_as="as_found"):
    return settle.record_stands(shop, at[0], at[1], kinds, on=ON, sold_as=sold_as)


def open_ids(shop, at, kinds, sold_as="as_found"):
    return {one.id for one in stands(shop, at, kinds, sold_as).open}


@pytest.fixture(params=["mill", "lathe"])
def open_machine(request, kinds):
    shop = FakeShop()
    return shop, ready(shop, kinds, request.param)


def test_with_all_stop_items_cleared_and_all_guards_proved_it_is_open(open_machine, kinds):
    shop, at = open_machine
    for sold_as in ("as_found", "running", "parts"):
        made = record(shop, at, kinds, sold_as)
        assert not made.open
        assert made.untested  # what nobody tested is listed all the same


def test_of_a_bare_machine_every_stop_item_and_guard_is_open(kinds):
    shop = FakeShop()
    at = bare(shop)
    kind = kinds[MILL]
    stops = {one.id for one in kind.faults.values() if one.urgency == "STOP"}
    assert open_ids(shop, at, kinds) == stops | set(kind.guards)
    with pytest.raises(NotYet) as refused:
        record(shop, at, kinds)
    assert len(refused.value.problems) == len(stops) + len(kind.guards)
    tree = stands(shop, at, kinds).tree
    assert [line for line in tree if line.startswith(("├─", "└─"))] == [
        f"├─ Stop items that nobody cleared: {len(stops)}",
        f"└─ Guards and interlocks: {len(kind.guards)}",
    ]


@pytest.mark.parametrize("state", ["defeated", "missing", "not_tested"])
def test_a_guard_that_is_defeated_missing_or_not_tested_blocks_it(kinds, state):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "Door interlock", state, grade=0)  # a word is enough to open it
    assert open_ids(shop, at, kinds) == {"door_interlock"}
    with pytest.raises(NotYet, match="1 things are open"):
        record(shop, at, kinds)


@pytest.mark.parametrize("grade", [0, 1, 2])
def test_no_picture_and_no_word_proves_a_guard(kinds, grade):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "door_interlock", "defeated", grade=4)
    guard(shop, at, "door interlock", "proved", grade=grade)
    [one] = stands(shop, at, kinds).open
    assert one.what.startswith("Door interlock: defeated")  # what was measured stands
    guard(shop, at, "DOOR  INTERLOCK", "proved", grade=3)
    assert not open_ids(shop, at, kinds)
    guard(shop, at, "door interlock", "proved", grade=grade)  # said again: it stays proved
    assert not open_ids(shop, at, kinds)


def test_only_what_a_machine_may_lack_can_be_not_fitted(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "Emergency stop", "not_fitted", grade=5)
    assert open_ids(shop, at, kinds) == {"emergency_stop"}


def test_a_guard_of_ones_own_counts_as_well(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "Light curtain", "missing", grade=3)
    assert open_ids(shop, at, kinds) == {"light curtain"}


def test_work_on_it_or_a_wire_undone_opens_a_guard_again(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    shop.add(Act(lot=at[0], machine=at[1], sort="repair", fault="F102", way="repair"), by="An")
    assert "door_interlock" in open_ids(shop, at, kinds)
    shop = FakeShop()
    at = ready(shop, kinds)
    wire = Taken(lot=at[0], machine=at[1], place="cabinet", sort="wire", code="AB12CD34",
                 what="black wire", from_end="-X1:1")  # fmt: skip
    shop.add(wire, by="An")
    left = open_ids(shop, at, kinds)
    assert {"AB12CD34", "door_interlock", "cabinet_switch", "emergency_stop"} <= left


@pytest.mark.parametrize(
    "said",
    [
        {"grade": 1, "channel": "photo"},
        {"grade": 5, "channel": "photo"},
        {"grade": 4, "channel": "visit_live", "informant": SELLER},
        {"grade": 0, "channel": "call", "informant": SELLER},
    ],
)
def test_a_stop_item_is_not_cleared_by_a_picture_or_the_sellers_word(kinds, said):
    shop = FakeShop()
    at = bare(shop)
    cleared(shop, at, kinds[MILL], but=("F83",))
    check = kinds[MILL].stop_cover["F83"].check
    say(shop, at, check=check, answer="not_seen", **said)
    assert "F83" in open_ids(shop, at, kinds)
    say(shop, at, check=check, answer="not_seen")
    assert "F83" not in open_ids(shop, at, kinds)


def test_what_is_not_fitted_needs_no_look_and_what_was_found_never_is_not_fitted(kinds):
    shop = FakeShop()
    at = bare(shop, not_fitted=("F53",))
    assert "F53" not in open_ids(shop, at, kinds)
    say(shop, at, fault="F53", answer="present")
    assert "F53" in open_ids(shop, at, kinds)


def test_what_means_switch_it_off_blocks_it(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    shop.add(Trouble(lot=at[0], machine=at[1], symptom="Y48", words="smoke"), by="An")
    [one] = stands(shop, at, kinds).open
    assert one.what == "smoke: it stays off until that is cleared dead"


def test_sold_as_parts_it_says_so_in_words_and_lists_what_is_open(kinds):
    shop = FakeShop()
    at = bare(shop)
    made = record(shop, at, kinds, "parts")
    assert made.sold_words.startswith("Sold as parts. Not to be put in use as a machine.")
    assert f"{len(made.open)} things are open" in made.sold_words
    assert {one.id for one in made.open} == open_ids(shop, at, kinds)


def test_it_is_not_sold_as_running_or_proven_without_either(kinds):
    shop = FakeShop()
    at = bare(shop)
    cleared(shop, at, kinds[MILL])
    for one in kinds[MILL].guards.values():
        guard(shop, at, one.name, "not_fitted" if one.optional else "proved")
    assert not open_ids(shop, at, kinds, "as_found")
    assert open_ids(shop, at, kinds, "running") == {"P8"}
    assert open_ids(shop, at, kinds, "proven") == {"P8", "proven"}


def test_no_sentence_promises_fitness(kinds):
    shop = FakeShop()
    made = record(shop, ready(shop, kinds), kinds, "running")
    told = json.dumps(
        json.loads(
            settle.give(
                shop, "school", "mill", kinds, on=ON, sold_as="running", by="An"
            ).fact.content
        )
    ).lower()
    assert "no promise of fitness" in made.stands_for.lower()
    assert "local law" in made.stands_for.lower()
    for word in ("guarantee", "warrant", "is safe", "perfect", "like new condition"):
        assert word not in told


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


def test_settings_parts_and_data_stand_in_it(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    note = Note(lot=at[0], machine=at[1], setting="1815", old="1", new="3", why="new encoder",
                put_back=False)  # fmt: skip
    shop.add(note, by="An")
    shop.add(DataCopy(lot=at[0], machine=at[1], sort="parameters", how="serial line",
                      sha256="c" * 64, read_back=True), by="An")  # fmt: skip
    swap = PartMoved(
        lot=at[0], machine=at[1], slot="X", from_machine="donor", from_slot="Y",
        part="axis_drive", serial="4711", other_serial="0815", why="swap",
    )  # fmt: skip
    shop.add(swap, by="An")
    assert open_ids(shop, at, kinds) == {"F20"}  # a drive that came from elsewhere: looked at anew
    made = record(shop, at, kinds, "parts")
    [one] = made.settings
    assert (one.name, one.old, one.new, one.why, one.put_back) == (
        "1815",
        "1",
        "3",
        "new encoder",
        False,
    )
    assert "c" * 64 in made.data.stated[0].what
    assert "read back, and the same" in made.data.stated[0].what
    assert "4711" in made.parts.stated[0].what
    assert "0815" in made.parts.stated[0].what


def test_what_was_given_stays_as_it_was_and_the_next_one_says_what_is_new(kinds):
    shop = FakeShop(clock := TickingClock())
    at = ready(shop, kinds)
    first = settle.give(shop, *at, kinds, on=ON, sold_as="running", whom="Bea", by="An")
    same = settle.give(shop, *at, kinds, on=ON, sold_as="running", whom="Bea", by="An")
    assert same.id == first.id
    clock.now += timedelta(days=1)
    say(shop, at, check="C10", answer="severe")
    again, _ = settle.one_given(shop, first.id)
    assert again.fact == first.fact
    assert sha256_of(json.loads(again.fact.content)) == again.fact.content_sha256
    now = stands(shop, at, kinds, "running")
    changed = settle.since_given(now)
    assert any("severe" in new for _, _, new in changed)
    crash = kinds[MILL].checks["C10"].text
    said = settle.since_said(now)
    told = {(one.heading, one.was, one.now.partition(" (")[0]) for one in said}
    assert ("As found", "", f"{crash}: severe") in told
    assert ("Not tested", f"Table and T-slots: {crash}", "") in told
    assert not any("{" in f"{one.was}{one.now}" or "stated" in one.heading for one in said)
    assert settle.superseded(now) == f"superseded: today it says {len(said)} things otherwise"
    second = settle.give(shop, *at, kinds, on=ON, sold_as="running", whom="Bea", by="An")
    assert second.id != first.id
    assert second.fact.content_sha256 != first.fact.content_sha256
    assert len(settle.given(shop, *at)) == 2


def test_what_is_closed_is_not_given(kinds):
    shop = FakeShop()
    at = bare(shop)
    with pytest.raises(NotYet):
        settle.give(shop, *at, kinds, on=ON, sold_as="running", by="An")
    assert not settle.given(shop, *at)


def test_copies_of_photographs_go_along_and_their_originals_do_not(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    original = jpeg()
    sha = shop.keep_file(original)
    shop.add(File(sha256=sha, name="a.jpg", media_type="image/jpeg", size_bytes=1, lot=at[0],
                  machine=at[1], place="outside", shot="A01"), by="An")  # fmt: skip
    kept = settle.give(shop, *at, kinds, on=ON, sold_as="running", by="An",
                       small=lambda content: content[:40])  # fmt: skip
    _, copies = settle.one_given(shop, kept.id)
    assert list(copies.values()) == [original[:40]]
    [picture] = json.loads(kept.fact.content)["pictures"]
    assert picture["sha256"] == sha
    assert [picture["copy_sha256"]] == list(copies)


def test_a_picture_that_cannot_be_unpacked_is_listed_by_its_checksum(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    sha = shop.keep_file(b"cut off")
    for one in (sha, "d" * 64):  # the second is kept nowhere
        shop.add(File(sha256=one, name="a.jpg", media_type="image/jpeg", size_bytes=1, lot=at[0],
                      machine=at[1]), by="An")  # fmt: skip
    kept = settle.give(shop, *at, kinds, on=ON, sold_as="running", by="An",
                       small=partial(shown, longest_px=100))  # fmt: skip
    pictures = json.loads(kept.fact.content)["pictures"]
    assert [one["copy_sha256"] for one in pictures] == ["", ""]
    assert settle.one_given(shop, kept.id)[1] == {}


def test_the_shop_that_gave_it_names_the_field_that_was_changed(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    kept = settle.give(shop, *at, kinds, on=ON, sold_as="running", whom="Bea", by="An")
    content = json.loads(kept.fact.content)
    fine = check(file_of(content, {}), shop=shop)
    assert fine.unchanged
    assert any("gave to Bea" in one for one in fine.was)
    forged = content | {"guards": [content["guards"][0] | {"words": "Proved twice."},
                                   *content["guards"][1:]]}  # fmt: skip
    file = file_of(forged, {})  # with checksums that fit
    assert check(file).unchanged  # nobody could know without the paper or the shop
    told = check(file, shop=shop)
    assert not told.unchanged
    assert told.where[0].startswith("guards.1.words: Proved twice.")
    other = check(file_of(content | {"machine": "else", "made_on": "1999-01-01"}, {}), shop=shop)
    assert other.unchanged
    assert any("has given none" in one for one in other.was_not)


def test_a_record_that_was_taken_back_is_known_again_and_not_called_changed(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    first = settle.give(shop, *at, kinds, on=ON, sold_as="running", by="An")
    settle.give(shop, *at, kinds, on=ON, sold_as="as_found", by="An")
    settle.take_back(shop, first.id, by="An")
    told = check(file_of(json.loads(first.fact.content), {}), shop=shop)
    assert told.unchanged
    assert "It is a record that this shop made on 2026-11-26, and took back since." in told.was


def test_a_guard_is_kept_by_its_own_name_and_proved_only_at_the_machine(kinds):
    shop = FakeShop()
    at = bare(shop)
    fact = Included(lot="school", machine="mill", what="door_interlock", sort="guard",
                    state="proved", grade=3)  # fmt: skip
    kept = settle.include(shop, fact, kinds, by="An")
    assert (kept.fact.what, kept.fact.lot, kept.fact.machine) == ("Door interlock", *at)
    for wrong, field in (
        ({"grade": 2}, "grade"),
        ({"state": "not_fitted"}, "state"),
        ({"what": " "}, "what"),
        ({"state": ""}, "state"),
    ):
        told = Included(**{"lot": "school", "machine": "mill", "what": "door_interlock",
                           "sort": "guard", "state": "proved", "grade": 3} | wrong)  # fmt: skip
        with pytest.raises(Unusable) as refused:
            settle.include(shop, told, kinds, by="An")
        assert field in {one.where for one in refused.value.problems}
    assert len(shop.current(Included)) == 1
    none = Included(lot="school", machine="saw", what="x")
    with pytest.raises(Unknown):
        settle.include(shop, none, kinds, by="An")


def test_it_is_sold_as_it_is_listed(kinds):
    shop = FakeShop()
    at = bare(shop)
    assert settle.sold_as_of(shop, *at) == "as_found"  # nobody promised more
    shop.add(ForSale(lot=at[0], machine=at[1], sold_as="parts", ask=Decimal(100)), by="An")
    assert settle.sold_as_of(shop, *at) == "parts"
