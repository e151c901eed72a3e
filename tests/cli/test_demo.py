"""The demo: the invented lot walked once, for a person and for a program."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Door, keys_of_others
from tests.fakes.shop import FakeShop

from retrue.records.facts import Finding

FEW = ("--worlds", "1000")


@dataclass(frozen=True)
class Walk:
    """What one demo printed, where its papers are, and the owner's own shop meanwhile."""

    door: Door
    folder: Path
    shop: FakeShop


@pytest.fixture(scope="module")
def walks() -> dict[tuple[str, ...], Walk]:
    return {}


@pytest.fixture
def walk(
    call,
    shop,
    walks: dict[tuple[str, ...], Walk],
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
) -> Callable[..., Walk]:
    """The demo, walked once for a person and once for a program; the tests only read it."""
    monkeypatch.setattr("retrue.cli.demo_fix.WORLDS", 100)

    def walked(*how: str) -> Walk:
        if how not in walks:
            folder = tmp_path_factory.mktemp("demo") / "out"
            walks[how] = Walk(call("demo", "--to", folder, *how, *FEW), folder, shop)
        return walks[how]

    return walked


def told(door) -> dict[str, Any]:
    assert door.code == 0, door.err
    answer = json.loads(door.out)
    assert list(answer) == sorted(answer)
    assert answer["schema"] == 1
    return answer


def test_the_demo_walks_the_lot_and_ends_with_the_path_of_its_sheet(walk):
    door = walk().door
    assert door.code == 0, door.err
    path = Path(door.out.splitlines()[-1])
    assert path.read_bytes().startswith(b"%PDF")
    for title in ("From the listing alone", "After the photographs", "After the telephone call",
                  "After the visit", "What moved it", "Later, in the workshop"):  # fmt: skip
        assert title in door.out
    assert " ".join(door.out.split()).count("Next: ") == 4 + 2 + 3
    assert walk().shop.current(Finding) == []


def test_the_demo_for_programs(walk):
    answer = told(walk("--json").door)
    assert [row["findings"] for row in answer["rounds"]] == [0, 29, 14, 27]
    assert all(row["moved"] for row in answer["rounds"][1:])
    assert set(answer) == keys_of_others()["demo"]


def test_the_demo_goes_from_a_symptom_to_the_next_step_and_says_what_guessing_costs(walk):
    answer = told(walk("--json").door)
    first, second, last = (row["advice"] for row in answer["find"])
    assert first["title"].startswith("An hour of cutting")
    asked = {step["check"] for step in first["steps"]}
    assert "C132" in asked
    assert second["suspects"] != first["suspects"] != last["suspects"]
    for advice in (first, second, last):
        assert advice["steps"]
        assert advice["bound"] <= advice["expected_cost"] < advice["guess_cost"]


def test_the_demo_moves_both_machines_and_the_price_follows(walk):
    answer = told(walk("--json").door)
    mill, lathe = answer["move"]
    assert (mill["machine"], mill["answer"]) == ("mill", "go")
    needs = [need["key"] for one in mill["methods"] for need in one["needs"]]
    assert {"transformer", "strip_top"} <= set(needs)
    truck = next(one for one in lathe["methods"] if one["method"] == "forklift")
    assert truck["answer"] == "no_go"
    assert answer["walk_away_after_move"] < answer["rounds"][-1]["walk_away"]
    for name in ("mill-move.pdf", "mill-layout.pdf", "lathe-move.pdf"):
        assert (walk("--json").folder / name).read_bytes().startswith(b"%PDF")


def test_the_demo_takes_apart_and_says_what_is_not_back(walk):
    door = walk().door
    assert "Cleaning the cabinet now is refused" in door.out
    assert "Oil on bare iron: never refused." in door.out
    left = door.out[door.out.index("not yet back 3") :].splitlines()[1:4]
    assert [
        next(what for what in ("way oil line 4", "fan screws", "fan, blue") if what in line)
        for line in left
    ] == ["way oil line 4", "fan screws", "fan, blue"]
    for name in ("mill-labels.pdf", "mill-apart.pdf"):
        assert (walk().folder / name).read_bytes().startswith(b"%PDF")
