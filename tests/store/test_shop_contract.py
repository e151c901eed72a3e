"""What every shop promises, in memory or on either database."""

from __future__ import annotations

import hashlib
import threading
import uuid
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import Overtaken, Unknown, Unusable
from retrue.records.chain import START, verify_chain
from retrue.records.facts import Finding, Lot, Machine, Note, Outcome, Terms, Withdrawn
from retrue.records.shop import RecordShop
from retrue.store.shop import SqlShop

PROMISE: tuple[type[RecordShop], ...] = (SqlShop, FakeShop)  # the type checker compares them
LOT = Lot(name="school, two machines")
SPINDLE = Finding(lot="l1", machine="m1", check="C01", answer="seen")


def test_a_kept_fact_comes_back_as_it_was(shop):
    fact = Terms(
        lot="l1", asking=Decimal("6150.00"), premium=0.18, closes_at="2026-12-01T20:00+01:00"
    )
    kept = shop.add(fact, by="owner", device="phone")
    assert kept.fact == fact
    assert shop.get(Terms, kept.id) == kept
    assert shop.current(Terms, lot="l1") == [kept]
    assert (kept.kind, kept.schema, kept.seq, kept.by, kept.device) == (
        "terms", 1, 1, "owner", "phone",
    )  # fmt: skip


def test_ids_are_random_and_the_order_is_that_of_keeping(shop):
    kept = [shop.add(replace(LOT, name=f"lot {n}"), by="owner") for n in range(5)]
    assert all(uuid.UUID(one.id).version == 4 for one in kept)
    assert [one.seq for one in kept] == [1, 2, 3, 4, 5]
    assert [one.fact.name for one in shop.current(Lot)] == [f"lot {n}" for n in range(5)]


def test_the_same_again_is_the_kept_one(shop):
    first = shop.add(SPINDLE, by="owner", id="f1", device="phone")
    again = shop.add(SPINDLE, by="owner", id="f1", device="phone paired anew")
    assert again == first
    assert len(list(shop.rows())) == 1


@pytest.mark.parametrize(
    ("fact", "by"),
    [
        (replace(SPINDLE, answer="severe"), "owner"),
        (SPINDLE, "somebody else"),
        (LOT, "owner"),
    ],
)
def test_other_content_under_a_kept_id_is_overtaken(shop, fact, by):
    shop.add(SPINDLE, by="owner", id="f1")
    with pytest.raises(Overtaken):
        shop.add(fact, by=by, id="f1")
    assert len(list(shop.rows())) == 1


def test_a_correction_stands_in_the_place_of_what_it_replaces(shop):
    first = shop.add(SPINDLE, by="owner")
    second = shop.add(replace(SPINDLE, answer="slight"), by="owner", replaces=first.id)
    third = shop.add(replace(SPINDLE, answer="not_seen"), by="owner", replaces=second.id)
    assert shop.current(Finding) == [third]
    assert shop.get(Finding, first.id) == first
    for one in (first, second, third):
        assert shop.history(one.id) == [first, second, third]


def test_a_correction_sent_twice_is_kept_once(shop):
    first = shop.add(SPINDLE, by="owner")
    wanted = replace(SPINDLE, answer="slight")
    second = shop.add(wanted, by="owner", id="c1", replaces=first.id)
    assert shop.add(wanted, by="owner", id="c1", replaces=first.id) == second


def test_two_corrections_of_one_record_are_refused(shop):
    first = shop.add(SPINDLE, by="owner")
    shop.add(replace(SPINDLE, answer="slight"), by="owner", replaces=first.id)
    with pytest.raises(Overtaken):
        shop.add(replace(SPINDLE, answer="severe"), by="owner", replaces=first.id)


def test_replacing_what_is_not_there_is_refused(shop):
    with pytest.raises(Unknown):
        shop.add(SPINDLE, by="owner", replaces="nobody")
    assert list(shop.rows()) == []


def test_a_correction_is_of_the_kind_it_corrects(shop):
    first = shop.add(SPINDLE, by="owner")
    with pytest.raises(Unusable) as refusal:
        shop.add(LOT, by="owner", replaces=first.id)
    assert [problem.where for problem in refusal.value.problems] == ["replaces"]


def test_withdrawing_is_a_record_and_what_was_said_stays_readable(shop):
    first = shop.add(SPINDLE, by="owner")
    gone = shop.withdraw(first.id, by="owner", reason="wrong machine")
    assert shop.current(Finding) == []
    assert shop.current(Withdrawn) == [gone]
    assert shop.get(Finding, first.id) == first
    assert shop.history(first.id) == [first, gone]
    assert gone.fact == Withdrawn(of_kind="finding", reason="wrong machine")
    with pytest.raises(Overtaken):
        shop.withdraw(first.id, by="owner")


def test_what_was_withdrawn_can_be_brought_back(shop):
    first = shop.add(SPINDLE, by="owner")
    gone = shop.withdraw(first.id, by="owner")
    with pytest.raises(Unusable):
        shop.add(LOT, by="owner", replaces=gone.id)
    with pytest.raises(Unusable):
        shop.withdraw(gone.id, by="owner")
    back = shop.add(SPINDLE, by="owner", replaces=gone.id)
    assert shop.current(Finding) == [back]
    assert shop.current(Withdrawn) == []


def test_a_withdrawal_names_what_it_takes_back(shop):
    first = shop.add(SPINDLE, by="owner")
    with pytest.raises(Unusable):
        shop.add(Withdrawn(of_kind="finding"), by="owner")
    with pytest.raises(Unusable):
        shop.add(Withdrawn(of_kind="lot"), by="owner", replaces=first.id)
    with pytest.raises(Unknown):
        shop.withdraw("nobody", by="owner")
    assert shop.current(Finding) == [first]


def test_current_finds_by_any_field(shop):
    def add(lot, machine, answer):
        return shop.add(Finding(lot=lot, machine=machine, check="C01", answer=answer), by="owner")

    one, two = add("l1", "m1", "seen"), add("l1", None, "slight")
    three, four = add("l2", "m1", "seen"), add("l1", "m2", "seen")
    assert shop.current(Finding) == [one, two, three, four]
    assert shop.current(Finding, lot="l1") == [one, two, four]
    assert shop.current(Finding, lot="l1", machine=None) == [two]
    assert shop.current(Finding, machine="m1") == [one, three]
    assert shop.current(Finding, lot="l1", answer="seen") == [one, four]
    assert shop.current(Finding, lot="l9") == []
    with pytest.raises(Unknown, match="wheel"):
        shop.current(Finding, wheel=1)


def test_get_asks_for_the_right_kind(shop):
    kept = shop.add(LOT, by="owner", id="l1")
    assert shop.get(Lot, "l1") == kept
    for kind, id in ((Machine, "l1"), (Lot, "l2")):
        with pytest.raises(Unknown):
            shop.get(kind, id)
    with pytest.raises(Unknown):
        shop.history("l2")


def test_times_are_the_servers_in_utc_and_the_devices_with_its_offset(shop):
    at = datetime(2026, 11, 25, 21, 40, 12, 345678, tzinfo=timezone(timedelta(hours=1)))
    kept = shop.add(SPINDLE, by="owner", observed_at=at)
    assert kept.noted_at == datetime(2026, 11, 25, 20, 0, 1, tzinfo=UTC)
    assert kept.noted_at.utcoffset() == timedelta(0)
    assert kept.observed_at == at
    assert shop.get(Finding, kept.id).observed_at.utcoffset() == timedelta(hours=1)
    assert shop.add(LOT, by="owner").observed_at == datetime(2026, 11, 25, 20, 0, 2, tzinfo=UTC)


def test_all_bad_fields_are_named_and_nothing_is_kept(shop):
    with pytest.raises(Unusable) as refusal:
        shop.add(
            Terms(lot=" ", asking=Decimal(-1), premium=float("nan")),
            by=" ",
            id="no blank",
            observed_at=datetime(2026, 11, 25),  # noqa: DTZ001
        )
    named = [problem.where for problem in refusal.value.problems]
    assert named == ["lot", "asking", "premium", "by", "observed_at", "id"]
    assert list(shop.rows()) == []


@pytest.mark.parametrize(
    "text", ["Größe, 潤滑油, €, \U0001f527", "a'b\"c\\d;--", "line\nline\ttab"]
)
def test_any_text_is_kept_as_it_is(shop, text):
    kept = shop.add(Note(text=text), by="Zoë", device="téléphone")
    assert shop.get(Note, kept.id) == kept
    assert kept.fact.text == text


def test_files_are_kept_by_their_hash_once(shop):
    name = shop.keep_file(b"a photograph")
    assert name == hashlib.sha256(b"a photograph").hexdigest()
    assert shop.keep_file(b"a photograph") == name
    assert shop.file(name) == b"a photograph"
    assert shop.file(shop.keep_file(b"")) == b""
    for unknown in ("0" * 64, "../../etc/passwd", ""):
        with pytest.raises(Unknown):
            shop.file(unknown)


def test_a_calculation_is_remembered_and_replaced(shop):
    assert shop.recall("k") is None
    shop.remember("k", b"\x00\xff")
    assert shop.recall("k") == b"\x00\xff"
    shop.remember("k", b"new")
    assert shop.recall("k") == b"new"


def test_records_are_chained_by_hash(shop):
    for n in range(4):
        shop.add(replace(LOT, name=f"lot {n}"), by="owner")
    rows = list(shop.rows())
    assert [row.previous for row in rows] == [START, *(row.sha256 for row in rows[:-1])]
    assert verify_chain(shop) == []


def test_threads_of_one_server_lose_nothing(shop):
    def work(worker):
        for n in range(10):
            shop.add(Outcome(lot=f"{worker}-{n}", result="walked"), by="owner")
            shop.current(Outcome)

    threads = [threading.Thread(target=work, args=(worker,)) for worker in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(one.fact.lot for one in shop.current(Outcome)) == sorted(
        f"{worker}-{n}" for worker in range(8) for n in range(10)
    )
    assert verify_chain(shop) == []


def test_what_was_seen_lately_is_found_by_when_it_was_first_seen(shop):
    monday = datetime(2026, 11, 23, 19, 40, tzinfo=timezone(timedelta(hours=1)))

    def seen(hours, text, **named):
        at = monday + timedelta(hours=hours)
        return shop.add(Note(text=text), by="owner", observed_at=at, **named)

    late, early, before = seen(2, "late"), seen(0, "early"), seen(-1, "before")
    elsewhere = shop.add(
        Note(text="elsewhere"),
        by="owner",
        observed_at=datetime(2026, 11, 23, 13, 41, tzinfo=timezone(timedelta(hours=-5))),
    )
    shop.add(replace(SPINDLE), by="owner", observed_at=monday)
    twice = seen(30, "twice", replaces=seen(28, "once", replaces=late.id).id)
    seen(40, "an old one, put right", replaces=before.id)
    shop.withdraw(seen(3, "gone").id, by="owner")
    found = shop.seen_since(monday, {Note})
    assert [one for _, one in found] == [early, elsewhere, twice]
    assert [at for at, _ in found] == [early.observed_at, elsewhere.observed_at, late.observed_at]
    assert found[2][0].utcoffset() == timedelta(hours=1)
    assert shop.seen_since(monday + timedelta(days=9), {Note, Finding}) == []
    assert [one.kind for _, one in shop.seen_since(monday, {Note, Finding})][:2] == [
        "note", "finding",
    ]  # fmt: skip


def test_no_more_than_so_many_of_the_newest_are_told(shop):
    at = datetime(2026, 11, 23, 19, 40, tzinfo=UTC)
    kept = [
        shop.add(fact, by="owner", observed_at=at + timedelta(minutes=n))
        for n, fact in enumerate([Note(text="a"), SPINDLE, Note(text="b"), SPINDLE, Note(text="c")])
    ]
    newest = [one for _, one in shop.seen_since(at, {Note}, most=2)]
    assert newest == [kept[2], kept[4]]
    assert [one for _, one in shop.seen_since(at, {Note, Finding}, most=2)] == kept[3:]
    assert len(shop.seen_since(at, {Note, Finding})) == 5


def test_marks_tell_whether_anything_of_a_kind_changed(shop):
    kinds = (Note, Finding, Withdrawn)
    assert shop.marks(kinds) == ((0, 0), (0, 0), (0, 0))
    seen = []
    first = shop.add(Note(text="a"), by="owner")
    seen.append(shop.marks(kinds))
    shop.add(SPINDLE, by="owner")
    seen.append(shop.marks(kinds))
    second = shop.add(Note(text="b"), by="owner", replaces=first.id)
    seen.append(shop.marks(kinds))
    shop.withdraw(second.id, by="owner")
    seen.append(shop.marks(kinds))
    assert seen == [
        ((1, 1), (0, 0), (0, 0)),
        ((1, 1), (1, 2), (0, 0)),
        ((1, 3), (1, 2), (0, 0)),
        ((0, 0), (1, 2), (1, 4)),
    ]
    assert shop.marks((Finding, Note)) == ((1, 2), (0, 0))
