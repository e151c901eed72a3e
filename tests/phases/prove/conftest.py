"""A bench with two small tests, a frame level and an indicator."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping

import pytest
from tests.phases.prove import small

from retrue.cases.prove import deed
from retrue.kinds.library import Kind
from retrue.phases import prove
from retrue.phases.worth import LotView
from retrue.records.measuring import Instrument
from retrue.records.shop import RecordShop

LEVEL = {f"{way}_{n}": "4" for n in range(1, 5) for way in ("along", "across")}
BACKLASH = {"left_1": "6", "left_2": "6", "middle_1": "20", "middle_2": "22", "right_1": "8"}
WHOLE = {**BACKLASH, "right_2": "8"}


@pytest.fixture
def tests_of_measuring(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, module in small.modules().items():
        monkeypatch.setitem(sys.modules, name, module)
    monkeypatch.setattr(deed, "MODULES", small.NAMES)


@pytest.fixture
def bench(shop: RecordShop, lot: LotView, tests_of_measuring: None) -> RecordShop:
    """A shop with the lot and two instruments that were looked after."""
    for fact in (
        Instrument(name="frame level", sort="level", unit="µm/m", uncertainty=10.0),
        Instrument(
            name="dial",
            sort="indicator",
            unit="um",
            uncertainty=3.0,
            certificate="77",
            certified_on="2026-02-01",
            due_on="2027-02-01",
        ),
    ):
        prove.keep_instrument(shop, fact, by="owner")
    return shop


@pytest.fixture
def measure(bench: RecordShop, kinds: Mapping[str, Kind]) -> Callable[..., str]:
    """Begin a set at the mill and type a whole sheet into it; gives its id."""

    def measuring(
        test: str, values: Mapping[str, str], instrument: str = "", by: str = "owner", **told: str
    ) -> str:
        begun = prove.begin(
            bench, "school", "mill", test, {}, kinds,
            instrument=instrument or None, by=by, **told,
        )  # fmt: skip
        prove.keep_readings(bench, begun.id, values, kinds, by=by)
        return begun.id

    return measuring


@pytest.fixture
def level_machine(bench: RecordShop, measure: Callable[..., str], kinds: Mapping[str, Kind]) -> str:
    """The mill, proved level: 4 µm/m, give or take 10, against 40."""
    id = measure("level", LEVEL, "frame level")
    assert prove.judge(bench, id, kinds, by="owner").record.fact.ruling == "proved_good"
    return id
