"""A house for the commands: a shop in memory, the library, a clock that ticks."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from tests.fakes.shop import FakeShop, TickingClock
from tests.library import load, priced_once

from retrue.cli.house import House
from retrue.kinds.library import Kind
from retrue.wiring import Wired, run

HOME = Path(__file__).resolve().parents[2]


def keys_of_others() -> dict[str, set[str]]:
    """The keys that the manual names, by the name of a command without a chapter of its own."""
    manual = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
    part = manual.split("## What the other commands print", 1)[1].split("\n## ", 1)[0]
    rows = dict(re.findall(r"^\| (`[^|]+) \| ([^|]+) \|$", part, re.MULTILINE))
    return {
        name: set(re.findall(r"`(\w+)`", told))
        for names, told in rows.items()
        for name in re.findall(r"`([\w -]+)`", names)
    }


@pytest.fixture(scope="module", autouse=True)
def priced(request: pytest.FixtureRequest) -> Iterator[None]:
    """Not where it is asked whether a price comes out the same twice."""
    if request.path.name == "test_commands.py":
        yield
        return
    with priced_once():
        yield


@pytest.fixture(scope="session")
def kinds() -> Mapping[str, Kind]:
    return load()


@dataclass
class Door:
    """What a call printed and how it ended."""

    code: int
    out: str
    err: str


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


@pytest.fixture
def house(shop: FakeShop, kinds: Mapping[str, Kind], tmp_path: Path) -> House:
    @contextlib.contextmanager
    def open_shop(place: str | None) -> Iterator[FakeShop]:
        yield shop if place is None else FakeShop()

    return replace(
        Wired().house(),
        open_shop=open_shop,
        kinds=lambda: kinds,
        clock=TickingClock(),
        by="owner",
        data_folder=tmp_path,
    )


@pytest.fixture
def call(house: House, capsys: pytest.CaptureFixture[str]) -> Callable[..., Door]:
    def run_it(*arguments: str) -> Door:
        code = run([str(part) for part in arguments], house)
        told = capsys.readouterr()
        return Door(code, told.out, told.err)

    return run_it


@pytest.fixture
def lot_file(tmp_path: Path) -> Path:
    path = tmp_path / "hall.toml"
    path.write_text(
        """# my own remark, to be kept
[lot]
name = "hall 3"   # and this one

[terms]
bid_now = 2000
bid_step = 10
premium = 0.16
distance_km = 42

[[alternative]]
name = "a used mill"
kind = "vertical_machining_centre"
price = [26000, 32000, 40000]
days = 75
resale_share = 0.4

[[machine]]
name = "mill"
kind = "vertical_machining_centre"
age_years = 24""",
        encoding="utf-8",
    )
    return path
