"""Shops of every sort: in memory, in SQLite, in a PostgreSQL server of the machine's own."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests.fakes.postgresql import Server, programs
from tests.fakes.shop import FakeShop, TickingClock

from retrue.store.shop import SqlShop, open_shop

DISK = "/var/tmp" if os.access("/var/tmp", os.W_OK) else tempfile.gettempdir()


@pytest.fixture(scope="session")
def disk() -> Iterator[Path]:
    """A folder on a disk, wherever other tests keep what they throw away."""
    with tempfile.TemporaryDirectory(dir=DISK, prefix="retrue-") as name:
        os.chmod(name, 0o711)
        yield Path(name)


@pytest.fixture
def tmp_path(disk: Path) -> Path:
    """What is said of disks is tried on one."""
    return Path(tempfile.mkdtemp(dir=disk))


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    bin = programs()
    if bin is None:
        pytest.skip("NOT RUN: PostgreSQL is not installed")
    started = Server(bin)
    try:
        started.start()
        yield started
    finally:
        started.stop()


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A place for a new shop, on each database."""
    if request.param == "sqlite":
        return str(tmp_path / "shop.sqlite")
    server: Server = request.getfixturevalue("server")
    return server.place()


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user may read and write."""
    with tempfile.TemporaryDirectory() as name:
        os.chmod(name, 0o777)
        yield Path(name)


@pytest.fixture
def opens(tmp_path: Path) -> Iterator[Callable[[str], SqlShop]]:
    """Open shops that are closed at the end of the test."""
    opened: list[SqlShop] = []

    def opening(place: str) -> SqlShop:
        opened.append(open_shop(place, clock=TickingClock(), files=tmp_path / "files"))
        return opened[-1]

    yield opening
    for shop in opened:
        shop.close()


@pytest.fixture
def sql_shop(place: str, opens: Callable[[str], SqlShop]) -> SqlShop:
    return opens(place)


@pytest.fixture(params=["fake", "sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def shop(
    request: pytest.FixtureRequest, tmp_path: Path, opens: Callable[[str], SqlShop]
) -> FakeShop | SqlShop:
    """A new shop of every sort; all must behave alike."""
    if request.param == "fake":
        return FakeShop()
    if request.param == "sqlite":
        return opens(str(tmp_path / "shop.sqlite"))
    return opens(request.getfixturevalue("server").place())
