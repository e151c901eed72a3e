"""A lot of two machines with a few symptoms, groups and parts that can change places."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from retrue.kinds.library import Group, Kind, Swappable, Symptom
from retrue.phases import find
from retrue.phases.worth import LotView
from retrue.records.shop import RecordShop

SYMPTOMS = {
    "Y01": "an axis drops out with a drive alarm",
    "Y02": "the spindle does not turn",
    "Y03": "an axis hums and does not move",
}
LINKS = {"Y01": {"F25": 0.8, "F26": 0.5}, "Y02": {"F15": 0.9, "F20": 0.8}, "Y03": {"F26": 0.7}}


def symptom(id: str, words: str) -> Symptom:
    return Symptom(
        id=id, words=words, check="C31", answer="seen", also={}, recipe="", switch_off_first=False,
        links=LINKS[id], leak=0.1, shows=1.0, minutes=10.0, group="axes", mark="invented",
    )  # fmt: skip


@pytest.fixture(scope="session")
def kinds(kinds: Mapping[str, Kind]) -> Mapping[str, Kind]:
    """The library with invented tables of fault-finding, whatever it has of its own."""
    drive = Swappable(
        id="axis_drive", name="axis drive", goes_along=("F25",), stays=("F26",), follows="",
        keeps="", first=("C31", "C32"), minutes=40.0, place="", mark="invented",
    )  # fmt: skip
    axes = Group(
        id="axes", name="axes", subsystems=("axis motor", "axis drive"), proof="both axes run",
        checks=(), minutes=30.0, stage="running", mark="invented",
    )  # fmt: skip
    return {
        name: replace(
            kind,
            symptoms={id: symptom(id, words) for id, words in SYMPTOMS.items()},
            swappable={"axis_drive": drive},
            groups={"axes": axes},
        )
        for name, kind in kinds.items()
    }


@pytest.fixture
def floor(shop: RecordShop, lot: LotView) -> RecordShop:
    """A shop with both machines on its floor."""
    return shop


@pytest.fixture
def trouble(floor: RecordShop, kinds: Mapping[str, Kind]) -> str:
    """The mill drops an axis."""
    return find.tell(floor, "school", "mill", "Y01", "Y falls out", kinds, by="owner").id
