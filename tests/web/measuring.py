"""What one does on the pages of measuring, again and again."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import httpx
from tests.web.visitor import Visitor, text_of, values

from retrue.cases.prove.deed import Cell
from retrue.cases.prove.deed import deed as the_deed
from retrue.phases import prove

LEVEL = {
    "name": "Level", "sort": "level", "way": "owned", "unit": "µm/m", "resolution": "10",
    "uncertainty": "6", "certificate": "44-1",
}  # fmt: skip
INDICATOR = LEVEL | {"name": "Indicator", "sort": "indicator", "unit": "µm", "uncertainty": "1"}
EXAMPLES = Path(__file__).resolve().parents[2] / "examples" / "prove"
TOLD: dict[str, dict[str, str]] = {}  # what an example must be told beside its readings
CODE = re.compile(r"\b([346789ACDEFHJKMNPRTVWXY]{4}-[346789ACDEFHJKMNPRTVWXY]{4})\b")


def first(pattern: str, text: str) -> str:
    found = re.search(pattern, text)
    assert found is not None, pattern
    return found[1]


def begun(owner: Visitor, machine: str, test: str, **typed: str) -> str:
    """The address of a set that has just begun."""
    page = owner.get(f"{machine}/measure/{test}/new")
    form = {"id": values(page, "id")[0]} | needed(test) | typed
    answer = owner.post(f"{machine}/measure/{test}/new", form, follow=False)
    assert answer.status_code == 303, text_of(answer)
    return answer.headers["location"]


def needed(test: str) -> dict[str, str]:
    """What a test must be told before it can begin."""
    options = the_deed(test).options
    return {f"option-{one.id}": "150" for one in options if one.needed and one.default is None}


def cells(test: str) -> tuple[Cell, ...]:
    told = {name.removeprefix("option-"): text for name, text in needed(test).items()}
    return prove.blank(test, told)[2]


def alike(test: str) -> list[Cell]:
    """The numbers that are odd or not beside each other."""
    asked = cells(test)
    return [cell for cell in asked if cell.column == asked[0].column]


def keep(owner: Visitor, set: str, cell: str, size: str, **more: str) -> httpx.Response:
    form = {"cell": cell, "reading": size, **more}
    return owner.post(set, form, follow=False)


def fill(owner: Visitor, set: str, test: str, texts: Mapping[str, str]) -> None:
    """A whole sheet typed in at once."""
    form = {f"cell-{cell.id}": texts.get(cell.id, "0") for cell in cells(test)}
    answer = owner.post(set + "/all", form, follow=False)
    assert answer.status_code == 303, text_of(answer)


def levelled(owner: Visitor, machine: str) -> str:
    """A machine that was proved level; the address of that set."""
    instrument = values(owner.get(f"{machine}/measure/level/new"), "instrument")[0]
    set = begun(owner, machine, "level", instrument=instrument)
    fill(owner, set, "level", {})
    assert owner.post(set + "/judge").status_code == 200
    return set
