"""A shop in memory and a shop on disk, the library, and the invented lot."""

from __future__ import annotations

import contextlib
import shutil
import sqlite3
import time
from collections.abc import Iterator, Mapping
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest
from tests.fakes.shop import FakeShop, TickingClock
from tests.library import load, priced_once

from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.phases.worth import LotView
from retrue.records.facts import Alternative, Lot, Machine, Shop, Terms
from retrue.records.shop import RecordShop
from retrue.store.shop import SqlShop, open_shop


@pytest.fixture(scope="module", autouse=True)
def priced() -> Iterator[None]:
    with priced_once():
        yield


@pytest.fixture(scope="session")
def kinds() -> Mapping[str, Kind]:
    return load()


@pytest.fixture
def ghent(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The wall clock of Ghent, an hour and in summer two before the moments that are kept.

    Written as POSIX has it (IEEE 1003.1, 8.3, TZ), so that no table of zones is needed.
    """
    monkeypatch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


REAL = ("on disk",)  # that the one in memory keeps the same promises is tested with the store


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Every test is run on the shop on disk, but for a module that names its SHOPS, or has one."""
    marked = [mark.args[0] for mark in metafunc.definition.iter_markers("parametrize")]
    own = "shop" in marked or hasattr(metafunc.module, "shop")
    if "shop" in metafunc.fixturenames and not own:
        shops = getattr(metafunc.module, "SHOPS", REAL)
        metafunc.parametrize("shop", shops, indirect=True)


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of a shop in which nothing is kept: made once, copied for every test."""
    path = tmp_path_factory.mktemp("empty") / "shop.sqlite"
    open_shop(str(path), clock=TickingClock()).close()
    return path


@pytest.fixture
def ticking() -> TickingClock:
    return TickingClock()


@pytest.fixture
def shop(
    request: pytest.FixtureRequest, tmp_path: Path, empty_file: Path, ticking: TickingClock
) -> Iterator[RecordShop]:
    if request.param == "in memory":
        yield FakeShop()
        return
    path = Path(shutil.copy(empty_file, tmp_path / "shop.sqlite"))
    opened = open_shop(str(path), clock=ticking)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def school_file(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, datetime]:
    """The file of a shop that has the lot, and when it was kept: made once, copied likewise."""
    path, clock = tmp_path_factory.mktemp("school") / "shop.sqlite", TickingClock()
    opened = open_shop(str(path), clock=clock)
    two_machines(opened)
    opened.close()
    return path, clock.now


@pytest.fixture
def lot(
    shop: RecordShop, tmp_path: Path, school_file: tuple[Path, datetime], ticking: TickingClock
) -> LotView:
    """The closing school's two machines, in a shop that has said what its hour is worth."""
    if not isinstance(shop, SqlShop) or shop.newest():
        return two_machines(shop)
    made, ticking.now = school_file
    with (
        contextlib.closing(sqlite3.connect(made)) as kept,
        contextlib.closing(sqlite3.connect(tmp_path / "shop.sqlite")) as mine,
    ):
        kept.backup(mine)
    return worth.view_lot(shop, "school")


def two_machines(shop: RecordShop) -> LotView:
    worth.keep_shop(shop, Shop(hour_alternative=Decimal(15), hours_a_week=20), by="owner")
    return worth.new_lot(
        shop,
        Lot(name="school", seller="caretaker"),
        Terms(lot="", bid_now=Decimal(2000), bid_step=Decimal(10), premium=0.16, distance_km=42),
        [
            Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24),
            Machine(lot="", name="lathe", kind="turning_centre", age_years=22),
        ],
        alternatives=[
            Alternative(
                name=f"a used {kind}",
                kind=kind,
                price=(Decimal(26000), Decimal(32000), Decimal(40000)),
                days=75,
                resale_share=0.4,
            )
            for kind in ("vertical_machining_centre", "turning_centre")
        ],
        by="owner",
    )
