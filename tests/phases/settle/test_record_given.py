"""The condition record: what it says, given away and never moved again."""

from __future__ import annotations

import json
from datetime import timedelta
from functools import partial

import pytest
from tests.fakes.shop import FakeShop, TickingClock
from tests.phases.settle.condition import MILL, ON, open_ids, record, stands
from tests.recorded import bare, ready, say
from tests.web.conftest import jpeg

from retrue.base.refusals import NotYet
from retrue.base.say import speaking
from retrue.cases.settle.condition_file import (
    content_of,
    file_of,
    sha256_of,
)
from retrue.kinds.spoken import spoken
from retrue.phases import settle
from retrue.phases.settle.checking import check
from retrue.records.facts import File, Note
from retrue.records.moving import DataCopy
from retrue.records.packing import unpack
from retrue.records.seeking import PartMoved
from retrue.records.settling import RecordGiven
from retrue.store.derived import shown

SHOPS = ("in memory",)


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


@pytest.mark.parametrize(("first", "then"), [("en", "nl"), ("nl", "en")])
def test_read_in_another_language_nothing_is_superseded(kinds, first, then):
    """It is compared in the language it was given in, and given again it is the same one."""
    shop, spoken_kinds = FakeShop(TickingClock()), spoken(kinds)
    at = ready(shop, kinds)
    sha = shop.keep_file(jpeg())
    shop.add(File(sha256=sha, name="a.jpg", media_type="image/jpeg", size_bytes=1, lot=at[0],
                  machine=at[1], place="outside", shot="A01"), by="An")  # fmt: skip
    give = partial(settle.give, shop, *at, spoken_kinds, on=ON, sold_as="running", whom="Bea",
                   by="An", small=lambda content: content[:40])  # fmt: skip
    with speaking(first):
        kept = give()
    assert kept.fact.language == first
    with speaking(then):
        now = stands(shop, at, spoken_kinds, "running")
        assert settle.since_given(now) == ()
        assert settle.superseded(now) == ""
        assert give().id == kept.id
    say(shop, at, check="C10", answer="severe")
    with speaking(first):
        changed = settle.since_given(stands(shop, at, spoken_kinds, "running"))
    with speaking(then):
        now = stands(shop, at, spoken_kinds, "running")
        assert settle.since_given(now) == changed != ()
        assert settle.superseded(now)
        assert (other := give()).id != kept.id
    assert other.fact.language == then


def test_what_is_given_in_dutch_names_looks_and_faults_in_dutch(kinds):
    shop, spoken_kinds = FakeShop(), spoken(kinds)
    at = bare(shop)
    told = {}
    for language in ("en", "nl"):
        with speaking(language):
            content = content_of(record(shop, at, spoken_kinds, "parts"))
        told[language] = {*(look for one in content["untested"] for look in one["looks"]),
                          *(one["what"] for one in content["open"])}  # fmt: skip
    kind = kinds[MILL]
    looks = {one.text for one in kind.checks.values()}
    faults = {one.name for one in kind.faults.values()}
    assert told["en"] & looks
    assert told["en"] & faults
    assert not told["nl"] & (looks | faults)


def test_of_a_record_that_names_no_language_it_is_english():
    old = '{"content":"{}","content_sha256":"","lot":"a","made_on":"2026-11-25","machine":"b",' \
          '"sold_as":"parts"}'  # fmt: skip
    fact = unpack("record_given", 1, old)
    assert isinstance(fact, RecordGiven)
    assert fact.language == "en"


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
