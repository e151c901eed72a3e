"""An older shop is raised when it is opened, after a copy; its records stay as they are."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import asdict, replace

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import insert, inspect, text
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotKept
from retrue.records.chain import Row, verify_chain
from retrue.records.facts import Finding, Lot
from retrue.store import migrating
from retrue.store.engine import Gate, postgresql_gate, sqlite_gate
from retrue.store.places import place_of
from retrue.store.tables import HEAD, LIVE, OLDER, records

SPINDLE = Finding(lot="l1", machine="m1", check="C01", answer="seen")


def gate_to(place: str) -> Gate:
    there = place_of(place)
    return sqlite_gate(there.path) if there.path else postgresql_gate(str(there.address))


def rows_of_before() -> Sequence[Row]:
    """Records as an older version left them: two, of which one counts, and a lot."""
    shop = FakeShop()
    shop.add(Lot(name="school"), by="owner", id="l1")
    shop.add(SPINDLE, by="owner", id="f1")
    shop.add(replace(SPINDLE, answer="slight"), by="owner", id="f2", replaces="f1")
    return list(shop.rows())


@pytest.fixture
def older(place: str) -> str:
    """A shop with the first index: it knew neither lot nor machine."""
    gate = gate_to(place)
    with gate.writing() as db:
        migrating.climb(db, "0001")
        for row in rows_of_before():
            db.execute(insert(records).values(asdict(row)))
        db.execute(
            text("INSERT INTO current_records (seq, id, kind) SELECT seq, id, kind FROM records")
        )
    gate.engine.dispose()
    return place


def test_an_older_index_is_raised_and_the_records_keep_every_byte(older, opens, tmp_path):
    before = rows_of_before()
    shop = opens(older)
    assert [(row.payload, row.sha256) for row in shop.rows()] == [
        (row.payload, row.sha256) for row in before
    ]
    assert verify_chain(shop) == []
    assert [one.fact.answer for one in shop.current(Finding, lot="l1")] == ["slight"]
    assert shop.current(Finding, lot="l2") == []
    shop.remember("k", b"v")
    assert shop.recall("k") == b"v"
    added = shop.add(Lot(name="another"), by="owner")
    assert added.seq == 4
    with shop._gate.reading() as db:
        assert migrating.kept_at(db) == HEAD


def test_a_copy_is_made_first_and_it_is_the_older_shop(older, opens, tmp_path):
    shop = opens(older)
    copies = sorted(tmp_path.glob("*.before-*"))
    if place_of(older).path is None:
        assert copies == []
        return
    assert [copy.name for copy in copies] == [f"shop.sqlite.before-0001-to-{HEAD}"]
    copy = sqlite3.connect(copies[0])
    assert copy.execute("SELECT version_num FROM index_version").fetchall() == [("0001",)]
    assert copy.execute("SELECT count(*) FROM records").fetchone() == (3,)
    copy.close()
    shop.close()
    again = opens(str(copies[0]))
    assert [one.fact.name for one in again.current(Lot)] == ["school"]


def test_a_step_that_fails_leaves_the_older_shop_as_it_was(older, opens, monkeypatch):
    def fails(_):
        raise RuntimeError("in the middle of a step")

    with monkeypatch.context() as patched:
        patched.setattr(migrating, "fill", fails)
        with pytest.raises(RuntimeError):
            opens(older)
    gate = gate_to(older)
    with gate.reading() as db:
        assert migrating.kept_at(db) == "0001"
        assert inspect(db).has_table("remembered") is False
        columns = {column["name"] for column in inspect(db).get_columns("current_records")}
    gate.engine.dispose()
    assert columns == {"seq", "id", "kind"}
    assert len(opens(older).current(Finding)) == 1


def test_no_step_is_taken_if_no_copy_can_be_made(tmp_path, monkeypatch):
    place = str(tmp_path / "shop.sqlite")
    gate = sqlite_gate(tmp_path / "shop.sqlite")
    with gate.writing() as db:
        migrating.climb(db, "0001")
    gate.engine.dispose()
    (tmp_path / "taken").mkdir()
    monkeypatch.setattr(migrating, "_free_name", lambda *_: tmp_path / "not there" / "copy")
    gate = sqlite_gate(tmp_path / "shop.sqlite")
    with pytest.raises(NotKept, match="no copy"):
        migrating.bring_up_to_date(gate, place_of(place).path)
    with gate.reading() as db:
        assert migrating.kept_at(db) == "0001"
    gate.engine.dispose()


def test_a_second_copy_does_not_overwrite_the_first(tmp_path):
    path = tmp_path / "shop.sqlite"
    (tmp_path / f"shop.sqlite.before-0001-to-{HEAD}").touch()
    assert migrating._free_name(path, "0001").name == f"shop.sqlite.before-0001-to-{HEAD}.1"


def test_a_shop_of_a_newer_version_is_refused_and_left_alone(place, opens):
    shop = opens(place)
    shop.add(Lot(name="school"), by="owner")
    rows = list(shop.rows())
    with shop._gate.writing() as db:
        db.execute(text("UPDATE index_version SET version_num = '9999'"))
    shop.close()
    with pytest.raises(NotKept, match="newer version") as refusal:
        opens(place)
    assert "Update the program" in refusal.value.remedy
    assert list(shop.rows()) == rows


def test_a_new_shop_and_a_raised_one_have_the_same_tables(older):
    gate = gate_to(older)
    with gate.writing() as db:
        migrating.climb(db, HEAD)
        seen = MigrationContext.configure(db, opts={"version_table": migrating.VERSION})
        assert compare_metadata(seen, LIVE) == []
    gate.engine.dispose()


def test_the_program_knows_its_steps():
    script = ScriptDirectory(str(migrating.STEPS))
    known = [step.revision for step in script.walk_revisions()]
    assert script.get_current_head() == HEAD
    assert sorted(known) == sorted((*OLDER, HEAD))


def test_a_shop_that_is_up_to_date_is_opened_without_the_migration_library(tmp_path):
    code = (
        "import sys; from datetime import datetime, UTC\n"
        "from retrue.store.shop import open_shop\n"
        f"open_shop({str(tmp_path / 'a.sqlite')!r}, clock=lambda: datetime.now(UTC)).close()\n"
        "print('alembic' in sys.modules, 'PIL' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": "src"},
        cwd=str(migrating.STEPS.parents[3]),
    )
    assert done.stdout.split() == ["False", "False"]
