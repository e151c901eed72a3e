"""The demo: the invented lot walked once, for a person and for a program."""

from __future__ import annotations

import contextlib
import csv
import importlib
import inspect
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Door, keys_of_others
from tests.fakes.shop import FakeShop
from tests.planned import little_search

from retrue.cli.house import House
from retrue.records.facts import Finding, Lot
from retrue.records.fixing import Quoted, Rung
from retrue.records.seeking import Trouble
from retrue.records.settling import HoursTold, Posting
from retrue.records.waking import StageBegun, StageEnded

demo = importlib.import_module("retrue.cli.demo")
FEW = ("--worlds", "300")  # how good its numbers are, is tested where they are made
OUT = ("bought", "paid", "deposit")


@dataclass(frozen=True)
class Walk:
    """What one demo printed, where its papers are, and the owner's own shop meanwhile."""

    door: Door
    folder: Path
    shop: FakeShop


@pytest.fixture(scope="module")
def walks() -> dict[tuple[str, ...], Walk]:
    return {}


STEPS = (
    "rounds", "_print", "moving", "written", "stripping", "stripping_papers", "listing",
    "listing_papers", "waking", "waking_papers", "quieting", "quiet_paper", "search",
    "keeping", "selling", "closing", "settled_papers",
)  # fmt: skip


@pytest.fixture(scope="module")
def steps() -> dict[str, Any]:
    """What each step of the demo came to: worked out once, told to a person and to a program."""
    return {"shop": FakeShop()}


@pytest.fixture
def house(house: House, shop: FakeShop, steps: dict[str, Any]) -> House:
    """The demo's own shop is the same for both."""

    @contextlib.contextmanager
    def open_shop(place: str | None) -> Iterator[FakeShop]:
        yield shop if place is None else steps["shop"]

    return replace(house, open_shop=open_shop)


def once(name: str, step: Callable[..., Any], steps: dict[str, Any]) -> Callable[..., Any]:
    """The same step, taken when it is first asked for."""

    def taken(*told: Any, **named: Any) -> Any:
        if name not in steps:
            came = step(*told, **named)
            steps[name] = list(came) if inspect.isgenerator(came) else came
        return steps[name]

    return taken


@pytest.fixture
def walk(
    call,
    shop,
    walks: dict[tuple[str, ...], Walk],
    steps: dict[str, Any],
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
) -> Callable[..., Walk]:
    """The demo, walked once for a person and once for a program; the tests only read it."""
    monkeypatch.setattr("retrue.cli.demo_fix.WORLDS", 40)
    monkeypatch.setattr("retrue.cli.demo_settle.WORLDS", 50)
    monkeypatch.setattr("retrue.plan.player.WAITS", (7.0,))  # how long a card may wait: one try
    little_search(monkeypatch)
    for name in STEPS:
        monkeypatch.setattr(demo, name, once(name, getattr(demo, name), steps))

    def walked(*how: str) -> Walk:
        if how not in walks:
            folder = steps.setdefault("folder", tmp_path_factory.mktemp("demo") / "out")
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
    for title in ("From the listing alone", "After the photographs", "After the phone call",
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


def closed_part(text: str) -> str:
    return " ".join(text[text.index("The demo lot closed:") :].split())


def test_the_demo_keeps_a_book_that_balances_and_takes_the_bank_file_once(walk):
    text = closed_part(walk().door.out)
    assert "balanced to the cent in CHF, EUR, GBP, USD" in text
    assert "35 rows" in text
    assert "The same file again adds 0." in text
    assert "2.25 h on the lathe. Right? Yes." in text


def test_the_book_of_the_demo_is_summed_by_hand_from_what_was_typed(walk):
    """The bank stands at the sum of its file's rows: by definition of a bank account."""
    examples = Path(__file__).parents[2] / "examples" / "settle"
    with (examples / "bank.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file, delimiter=";") if row["Munt"] == "EUR"]
    amounts = [row["Bedrag"].replace(".", "").replace(",", ".") for row in rows]
    with (walk("--json").folder / "book.csv").open(encoding="utf-8") as file:
        book = list(csv.DictReader(file))
    paid = [
        (-Decimal(row["amount"]) if row["sort"] in OUT else Decimal(row["amount"]))
        * (1 + Decimal(row["tax_rate"] or 0) if row["tax_in"] == "no" else 1)
        for row in book
        if row["currency"] == "EUR" and row["paid_from"] == "bank" and row["sort"] != "moved"
    ]
    sale = Decimal(str(told(walk("--json").door)["sold_for"]))
    assert sum(paid) == sum(map(Decimal, amounts)) + sale


def test_the_demo_says_what_it_cost_and_whether_it_was_worth_it(walk):
    text = closed_part(walk().door.out)
    answer = told(walk("--json").door)
    assert "more than expected: outside work" in text
    assert "E44 Transformer 30 kVA: expected nothing" in text
    assert set(answer["odds"]) == {"used", "buy_in", "new"}
    assert all(0.0 <= chance <= 1.0 for chance in answer["odds"].values())
    assert answer["balanced"] is True
    assert 0.0 < answer["hour_rate"] < 52.0  # an hour of the work bought in, by the lot's file
    assert answer["ahead_of_new"] > 0.0


def test_the_record_of_the_demo_is_refused_then_given_and_a_changed_letter_is_found(
    walk, call, tmp_path
):
    text = closed_part(walk().door.out)
    assert "Its condition record is refused" in text
    assert "the file with one letter changed: CHANGED since it was made." in text
    answer = told(walk("--json").door)
    paper = Path(answer["record"])
    assert paper.read_bytes().startswith(b"%PDF")
    assert call("settle", "check", paper, "--gate").code == 0
    file = paper.with_suffix(".json").read_bytes()
    assert json.loads(file)["content"]["open"] == []
    changed = tmp_path / "changed.json"
    changed.write_bytes(file.replace(b"Seen by An", b"Seen by Al", 1))
    assert call("settle", "check", changed, "--gate").code == 1


def test_both_machines_of_the_demo_are_closed_and_named_in_nothing_that_leaves(walk):
    text = closed_part(walk().door.out)
    for words in ("lathe, closed on 2026-11-17: sold.",
                  "mill, closed on 2026-11-21: keeps working.", "Without names"):  # fmt: skip
        assert words in text
    assert told(walk("--json").door)["sold_for"] == 13200.0


def test_what_the_demo_keeps_is_over_before_it_is_kept_and_power_comes_stage_by_stage(walk, steps):
    walk("--json")
    shop = steps["shop"]
    facts = (Lot, Finding, Posting, HoursTold, Rung, Quoted, Trouble, StageBegun, StageEnded)
    kept = {fact: shop.current(fact) for fact in facts}
    for fact, records in kept.items():
        assert records, fact
        assert all(one.observed_at < one.noted_at - timedelta(days=1) for one in records), fact
    for sort in (StageBegun, StageEnded):
        for machine in {one.fact.machine for one in kept[sort]}:
            moments = [one.observed_at for one in kept[sort] if one.fact.machine == machine]
            assert moments == sorted(moments)
