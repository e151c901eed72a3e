"""Records are never altered, a changed byte is found, and indexes are only indexes."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select, text
from sqlalchemy.exc import DBAPIError
from tests.fakes.shop import FakeShop, TickingClock

from retrue.base.refusals import Refusal
from retrue.records.chain import START, Row, digest, verify_chain
from retrue.records.facts import Finding, Lot, Withdrawn
from retrue.records.packing import KINDS
from retrue.store.shop import open_shop
from retrue.store.tables import current, records

SPINDLE = Finding(lot="l1", machine="m1", check="C01", answer="seen", text="black dust")


def some(shop, count=5):
    return [shop.add(replace(SPINDLE, text=f"black dust {n}"), by="owner") for n in range(count)]


@pytest.mark.parametrize(
    "change", ["UPDATE records SET payload = '{}' WHERE seq = 2", "DELETE FROM records"]
)
def test_the_database_itself_refuses_to_alter_a_record(sql_shop, change):
    some(sql_shop)
    rows = list(sql_shop.rows())
    with pytest.raises(DBAPIError, match="records are never"), sql_shop._gate.writing() as db:
        db.execute(text(change))
    assert list(sql_shop.rows()) == rows


def unlock(shop):
    with shop._gate.writing() as db:
        if db.dialect.name == "sqlite":
            db.execute(text("DROP TRIGGER records_not_updated"))
            db.execute(text("DROP TRIGGER records_not_deleted"))
        else:
            db.execute(text("DROP TRIGGER records_not_altered ON records"))


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("kind", "note"),
        ("schema", 2),
        ("id", "other"),
        ("by", "somebody else"),
        ("device", "other"),
        ("noted_at", "2026-11-25T20:00:03.000001+00:00"),
        ("observed_at", "2026-11-25T20:00:03.000001+00:00"),
        ("replaces", None),
        ("payload", "{}"),
        ("sha256", "0" * 64),
        ("previous", "0" * 64),
        ("seq", 99),
    ],
)
def test_a_change_of_any_column_is_found(sql_shop, column, value):
    first, second = some(sql_shop, 2)
    sql_shop.add(replace(SPINDLE, answer="slight"), by="owner", replaces=first.id, id="third")
    some(sql_shop, 2)
    assert verify_chain(sql_shop) == []
    unlock(sql_shop)
    with sql_shop._gate.writing() as db:
        db.execute(
            text(f'UPDATE records SET "{column}" = :value WHERE id = :id'),
            {"value": value, "id": "third"},
        )
    problems = verify_chain(sql_shop)
    assert problems
    named = value if column in ("id", "seq") else "third"
    assert any(str(named) in one.where for one in problems)
    assert second.id not in " ".join(map(str, problems))


def test_a_record_taken_out_is_found(sql_shop):
    kept = some(sql_shop)
    unlock(sql_shop)
    with sql_shop._gate.writing() as db:
        db.execute(text("DELETE FROM records WHERE seq = 3"))
    problems = verify_chain(sql_shop)
    assert [one.where for one in problems] == [f"record 4 ({kept[3].id})"] * 2


def test_one_bit_turned_in_the_file_is_found(tmp_path: Path):
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    kept = some(shop)
    shop.close()
    raw = sqlite3.connect(tmp_path / "shop.sqlite")
    raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    raw.close()
    content = (tmp_path / "shop.sqlite").read_bytes()
    assert content.count(b'"black dust 3"') == 1  # in the index its words stand without quotes
    at = content.index(b'"black dust 3"') + 1
    turned = content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]
    (tmp_path / "shop.sqlite").write_bytes(turned)
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    problems = verify_chain(shop)
    shop.close()
    assert [str(one) for one in problems] == [
        f"record 4 ({kept[3].id}): was changed after it was kept."
    ]


def test_a_forged_record_with_a_new_hash_breaks_the_next_link():
    shop = FakeShop()
    some(shop, 3)
    rows = list(shop.rows())
    forged = replace(rows[1], by="somebody else")
    shop._rows[1] = replace(forged, sha256=digest(forged))
    assert [one.what for one in verify_chain(shop)] == ["does not name the record before it"]


def test_a_chain_tells_every_kind_of_damage():
    class Shelf:
        def rows(self):
            row = Row("a", "wheel", 1, 1, "", "", "me", "", "gone", "{", START)
            return iter([row, replace(row, id="b", seq=2)])

    whats = " ".join(one.what for one in verify_chain(Shelf()))
    for said in ("changed", "does not stand before", "replaced before", "no kind of record"):
        assert said in whats


def test_dropped_indexes_are_made_anew_while_the_shop_is_open(sql_shop):
    kept = some(sql_shop)
    sql_shop.remember("k", b"v")
    for drop in ("current_records", "remembered"):
        with sql_shop._gate.writing() as db:
            db.execute(text(f"DROP TABLE {drop}"))
    assert sql_shop.recall("k") is None
    sql_shop.remember("k", b"v")
    assert sql_shop.recall("k") == b"v"
    assert sql_shop.current(Finding, lot="l1") == kept
    with sql_shop._gate.writing() as db:
        db.execute(text("DROP TABLE current_records"))
    more = sql_shop.add(SPINDLE, by="owner")
    assert sql_shop.current(Finding, lot="l1") == [*kept, more]


def test_dropped_indexes_are_made_anew_on_opening(place, opens):
    shop = opens(place)
    kept = some(shop)
    with shop._gate.writing() as db:
        for table in ("current_records", "remembered"):
            db.execute(text(f"DROP TABLE {table}"))
    shop.close()
    again = opens(place)
    assert again.current(Finding) == kept
    assert again.recall("k") is None


def test_only_so_many_calculations_are_remembered(tmp_path, monkeypatch):
    monkeypatch.setattr("retrue.store.shop.MOST_REMEMBERED", 3)
    shop = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    for n in range(6):
        shop.remember(f"k{n}", b"%d" % n)
    told = [shop.recall(f"k{n}") for n in range(6)]
    shop.close()
    assert told == [None, None, None, b"3", b"4", b"5"]


DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["add", "correct", "withdraw", "bring back", "again"]),
        st.integers(0, 7),
        st.sampled_from(["l1", "l2"]),
    ),
    max_size=14,
)


def do(shop, deeds):
    """Do the deeds and tell what came of each: the record's number, or the refusal's name."""
    told = []
    for n, (deed, at, lot) in enumerate(deeds):
        fact, there = replace(SPINDLE, lot=lot), f"r{at}"
        try:
            match deed:
                case "add":
                    record = shop.add(fact, by="owner", id=f"r{n}")
                case "correct" | "bring back":
                    record = shop.add(fact, by="owner", id=f"r{n}", replaces=there)
                case "again":
                    record = shop.add(fact, by="owner", id=there)
                case _:
                    record = shop.withdraw(there, by="owner", withdrawal=f"r{n}")
            told.append((record.seq, record.sha256))
        except Refusal as refusal:
            told.append((type(refusal).__name__, refusal.reason))
    return told


@given(deeds=DEEDS)
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_deeds_end_alike_in_memory_and_on_the_disk(deeds, tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    real, fake = open_shop(str(folder), clock=TickingClock()), FakeShop(TickingClock())
    try:
        assert do(real, deeds) == do(fake, deeds)
        assert list(real.rows()) == list(fake.rows())
        for kind in (Finding, Withdrawn, Lot):
            assert real.current(kind) == fake.current(kind)
        for lot in ("l1", "l2"):
            assert real.current(Finding, lot=lot) == fake.current(Finding, lot=lot)
        kept = index_of(real)
        real.rebuild()
        assert index_of(real) == kept
        assert verify_chain(real) == []
    finally:
        real.close()


def index_of(shop):
    with shop._gate.reading() as db:
        return [tuple(row) for row in db.execute(select(current).order_by(current.c.seq))]


def test_the_table_has_the_columns_it_is_promised_to_have():
    assert set(records.c.keys()) == {
        "id", "kind", "schema", "seq", "noted_at", "observed_at", "by", "device", "replaces",
        "payload", "sha256", "previous",
    }  # fmt: skip
    assert records.c.replaces.unique
    assert len(KINDS) == 85
