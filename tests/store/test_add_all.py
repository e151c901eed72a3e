"""Many facts kept together: by the rules of one, all or none, in one whole chain."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache

import pytest

from retrue.base.refusals import Overtaken, Unknown, Unusable
from retrue.records.chain import START, verify_chain
from retrue.records.facts import Lot, Note, Withdrawn
from retrue.records.settling import Posting
from retrue.records.shop import ToAdd
from retrue.store.shelf import AT_ONCE

LINE = Posting(sort="bought", posted_on="2026-11-02", what="bearings", amount=Decimal("612.50"))


def lines(count: int, first: int = 0) -> list[ToAdd]:
    """Different lines, each under an id of its own."""
    return [line(n) for n in range(first, first + count)]


@cache
def line(n: int) -> ToAdd:
    return ToAdd(fact=replace(LINE, what=f"line {n}", amount=Decimal(n)), id=f"line-{n}")


def test_they_stand_in_their_order_in_one_whole_chain(shop):
    before = shop.add(Lot(name="school"), by="owner")
    kept = shop.add_all(lines(1200), by="owner", device="laptop")
    assert [one.seq for one in kept] == list(range(2, 1202))
    assert [one.fact for one in kept] == [one.fact for one in lines(1200)]
    assert shop.current(Posting) == kept
    assert kept[0].previous == before.sha256
    assert shop.add(LINE, by="owner").previous == kept[-1].sha256
    assert verify_chain(shop) == []


def test_a_row_is_the_row_that_adding_one_by_one_makes(shop):
    """The same facts one by one: everything is equal but the moment, hence the hashes."""
    together = shop.add_all(lines(3), by="owner", device="laptop")
    for one, wanted in zip(together, lines(3, first=3), strict=True):
        single = shop.add(wanted.fact, id=wanted.id, by="owner", device="laptop")
        assert (single.kind, single.schema, single.by, single.device, single.replaces) == (
            one.kind, one.schema, one.by, one.device, one.replaces,
        )  # fmt: skip
    assert together[0].previous == START


def test_the_same_ids_and_contents_again_add_nothing(shop):
    first = shop.add_all(lines(40), by="owner")
    again = shop.add_all(lines(45), by="owner", device="another laptop")
    assert again[:40] == first
    assert [one.fact.what for one in again[40:]] == [f"line {n}" for n in range(40, 45)]
    assert len(list(shop.rows())) == 45
    assert shop.add_all(lines(45), by="owner") == again
    assert len(list(shop.rows())) == 45


def test_the_same_twice_in_one_call_is_kept_once(shop):
    one, other = shop.add_all([*lines(1), *lines(1)], by="owner")
    assert one == other
    assert len(list(shop.rows())) == 1


@pytest.mark.parametrize(
    ("bad", "refusal"),
    [
        (ToAdd(fact=replace(LINE, what="otherwise"), id="kept"), Overtaken),
        (ToAdd(fact=LINE, id="line-3"), Overtaken),  # of one of those before it
        (ToAdd(fact=LINE, replaces="nobody"), Unknown),
        (ToAdd(fact=LINE, replaces="old"), Overtaken),
        (ToAdd(fact=Note(text="no line"), replaces="kept"), Unusable),
        (ToAdd(fact=replace(LINE, amount=Decimal(-1))), Unusable),
        (ToAdd(fact=Withdrawn(of_kind="posting")), Unusable),
    ],
)
def test_one_refusal_in_the_middle_and_nothing_is_kept(shop, bad, refusal):
    shop.add(LINE, by="owner", id="old")
    shop.add(LINE, by="owner", id="kept", replaces="old")
    rows = list(shop.rows())
    assert AT_ONCE < 600  # so that there is more than one batch
    with pytest.raises(refusal):
        shop.add_all([*lines(300), bad, *lines(300, first=300)], by="owner")
    assert list(shop.rows()) == rows
    assert [one.id for one in shop.current(Posting)] == ["kept"]
    shop.add_all(lines(2), by="owner")
    assert verify_chain(shop) == []


def test_every_bad_field_is_named_with_the_number_of_its_fact(shop):
    bad = [
        *lines(1),
        ToAdd(fact=replace(LINE, amount=Decimal(-1), what=" ")),
        ToAdd(fact=replace(LINE, posted_on="2 November")),
    ]
    with pytest.raises(Unusable) as refusal:
        shop.add_all(bad, by="owner")
    named = [problem.where for problem in refusal.value.problems]
    assert named == ["fact 2, what", "fact 2, amount", "fact 3, posted_on"]


def test_a_correction_may_stand_beside_what_it_corrects(shop):
    old = shop.add(LINE, by="owner")
    first, second, third = shop.add_all(
        [
            ToAdd(fact=replace(LINE, what="one"), id="a"),
            ToAdd(fact=replace(LINE, what="two"), id="b", replaces="a"),
            ToAdd(fact=replace(LINE, what="other"), id="c", replaces=old.id),
        ],
        by="owner",
    )
    assert shop.current(Posting) == [second, third]
    assert shop.history("a") == [first, second]
    assert shop.history(old.id) == [old, third]
    assert verify_chain(shop) == []


def test_two_of_them_cannot_replace_the_same(shop):
    old = shop.add(LINE, by="owner")
    both = [
        ToAdd(fact=replace(LINE, what="one"), replaces=old.id),
        ToAdd(fact=replace(LINE, what="two"), replaces=old.id),
    ]
    with pytest.raises(Overtaken):
        shop.add_all(both, by="owner")
    assert shop.current(Posting) == [old]


def test_each_may_bring_its_own_moment(shop):
    at, all_at = datetime(2026, 11, 2, 9, tzinfo=UTC), datetime(2026, 11, 3, 9, tzinfo=UTC)
    one, other = shop.add_all(
        [ToAdd(fact=LINE, observed_at=at), ToAdd(fact=LINE)], by="owner", observed_at=all_at
    )
    assert (one.observed_at, other.observed_at) == (at, all_at)
    assert one.noted_at == other.noted_at


def test_two_who_send_the_same_at_once_keep_it_once(shop):
    threads = [
        threading.Thread(target=shop.add_all, args=(lines(300),), kwargs={"by": "owner"})
        for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [one.id for one in shop.current(Posting)] == [one.id for one in lines(300)]
    assert verify_chain(shop) == []


def test_nothing_is_nothing(shop):
    assert shop.add_all([], by="owner") == []
    assert list(shop.rows()) == []


def test_a_dropped_index_is_made_anew_on_the_way(sql_shop):
    sql_shop.add_all(lines(3), by="owner")
    with sql_shop._gate.writing() as db:
        db.exec_driver_sql("DROP TABLE current_records")
    sql_shop.add_all(lines(3, first=3), by="owner")
    assert [one.id for one in sql_shop.current(Posting)] == [f"line-{n}" for n in range(6)]
    assert verify_chain(sql_shop) == []
