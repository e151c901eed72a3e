from __future__ import annotations

import importlib
import io
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from jinja2 import FileSystemBytecodeCache
from PIL import Image
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.library import load, priced_once
from tests.web.measuring import INDICATOR, LEVEL, first
from tests.web.visitor import Visitor

from retrue.kinds.library import Kind
from retrue.web.app import Settings, app
from retrue.web.pages import templates

WORLDS = 400
SETTINGS = Settings(secret="only for tests", edition="retrue 0.1.0", worlds=WORLDS)
BENCH = Path(__file__).resolve().parents[2] / "bench"


@dataclass
class Clock:
    """A clock that a test moves."""

    now: datetime = datetime(2026, 11, 25, 20, 40, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def passes(self, **time: float) -> None:
        self.now += timedelta(**time)


@pytest.fixture(scope="module", autouse=True)
def priced() -> Iterator[None]:
    with priced_once():
        yield


@pytest.fixture(scope="session", autouse=True)
def compiled(tmp_path_factory: pytest.TempPathFactory) -> None:
    """A template is compiled once a run: processes that test side by side share what they made."""
    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "templates"
    folder.mkdir(exist_ok=True)
    templates().bytecode_cache = FileSystemBytecodeCache(str(folder))


@pytest.fixture(scope="session")
def kinds() -> Mapping[str, Kind]:
    return load()


@pytest.fixture(scope="module")
def bench() -> Iterator[Any]:
    """The program that asks as strangers do; its shops read the kinds that all tests read."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(BENCH))
        made = importlib.import_module("strangers")
        patch.setattr(sys.modules["strange_shop"], "load", load)
        yield made


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def settings() -> Settings:
    return SETTINGS


@pytest.fixture
def house(kinds: Mapping[str, Kind], clock: Clock, settings: Settings) -> Starlette:
    return app(shop=FakeShop(), kinds=kinds, clock=clock, settings=settings)


@pytest.fixture
def owner(house: Starlette) -> Visitor:
    return Visitor(house)


def jpeg(grey: int = 90, size: tuple[int, int] = (640, 480)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, (grey, grey, grey + 20)).save(out, "JPEG")
    return out.getvalue()


LOT = {
    "name": "Lot 14",
    "bid_now": "4500",
    "premium": "18",
    "distance_km": "60",
    "count-vertical_machining_centre": "1",
    "count-turning_centre": "1",
    "name-vertical_machining_centre-1": "Bed mill",
    "name-turning_centre-1": "Slant lathe",
    "age-vertical_machining_centre-1": "22",
}


@dataclass(frozen=True)
class Offered:
    """A lot of two machines with three photographs: its path, that of the machine shown first."""

    lot: str
    machine: str
    kept: FakeShop
    looked_at: FakeShop  # after its page was, so that its price is known


@pytest.fixture(scope="session")
def offered(kinds: Mapping[str, Kind]) -> Offered:
    """Made once a process; a test goes on from it in a shop of its own."""
    shop, kept = FakeShop(), FakeShop()
    owner = Visitor(app(shop=shop, kinds=kinds, clock=Clock(), settings=SETTINGS))
    photographs = [("pictures", (f"p{n}.jpg", jpeg(60 + 20 * n), "image/jpeg")) for n in range(3)]
    answer = owner.post("/lots", LOT, photographs, follow=False)
    assert answer.status_code == 303, answer.text
    lot = answer.headers["location"]
    kept.go_on_from(shop)
    machine = lot + "/machines/" + first(r'/machines/([^"/]+)"', owner.get(lot).text)
    return Offered(lot, machine, kept, shop)


@pytest.fixture
def lot(house: Starlette, offered: Offered) -> str:
    """A lot of two machines with three photographs; its path."""
    assert house.state.shop.newest() == 0
    house.state.shop.go_on_from(offered.kept)
    return offered.lot


NewVisitor = Callable[..., Visitor]


@pytest.fixture
def machine(house: Starlette, lot: str, offered: Offered) -> str:
    """Of that lot the one that its page shows first; the page was looked at."""
    assert house.state.shop.newest() == offered.looked_at.newest()
    house.state.shop.go_on_from(offered.looked_at)
    return offered.machine


@pytest.fixture
def instruments(owner: Visitor) -> None:
    for one in (LEVEL, INDICATOR):
        assert owner.post("/instruments", one).status_code == 200
