"""The manual of money and sale: every key that is printed, every command, every kind of record."""

from __future__ import annotations

import json
import re
from dataclasses import fields
from pathlib import Path
from typing import Any, get_args

import pytest
from tests.fakes.shop import FakeShop
from tests.recorded import ready

from retrue.cli.settle import SECTIONS
from retrue.kinds.learned import Family
from retrue.kinds.learned_ranges import MovedRange
from retrue.records.settling import BUCKETS, RUN_ITEMS, SALE_ITEMS, Settling

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGE = (DOCS / "settle.md").read_text(encoding="utf-8")
JSON = (DOCS / "json.md").read_text(encoding="utf-8")
PART = JSON.split("## What money and sale print", 1)[1].split("\n## ", 1)[0]
TOLD_AT = {"versus": "settle.rate.1", "include": "settle.record.1"}
STOP_LOSS = JSON.split("| `stop_loss` |", 1)[1].split("\n", 1)[0]
QUICK = ("--worlds", "100")
# Below these stand names that are not keys: machines, buckets, columns, sorts of trace.
NAMED = {"why", "by_machine", "by_bucket", "columns", "sorts"}
COMMON = {"low", "likely", "high", "p10", "p50", "p90", "mean", "even", "why", "schema", "currency"}
BELOW = ("cost", "rate", "figure", "versus", "close", "sell", "record")


@pytest.fixture
def lot(shop: FakeShop, kinds) -> str:
    ready(shop, kinds)
    return "school"


def told(door) -> dict:
    assert door.code == 0, door.err + door.out
    made: dict = json.loads(door.out)
    return made


def rows() -> dict[str, str]:
    """What the table of commands says of each of them."""
    found: dict[str, str] = {}
    for names, words in re.findall(r"^\| (`settle[^|]+) \| ([^|]+) \|$", PART, re.MULTILINE):
        found |= dict.fromkeys(re.findall(r"`settle ([\w-]+)`", names), words)
    return found


def keys_in(text: str) -> set[str]:
    return set(re.findall(r"`(\w+)`", text))


def choices(row: str) -> list[set[str]]:
    """The keys of an answer; of a command that prints several things, of each."""
    return [keys_in(each) for each in re.sub(r"\(.*?\)", "", row).split(";")]


def part_of(schema: str) -> str:
    """What the manual says below of one shape; empty where the table has it all."""
    _, found, rest = PART.partition(f"\n### {schema}\n")
    return rest.split("\n### ", 1)[0] if found else ""


def first_keys(schema: str) -> set[str]:
    """What stands in the first column of the first table."""
    table = part_of(schema).split("\n|---", 1)[1].split("\n\n", 1)[0]
    return keys_in(" ".join(re.findall(r"^\| (`[^|]+) \|", table, re.MULTILINE)))


def below(value: Any) -> set[str]:
    """Every key anywhere in it, but not the names that something stands under."""
    if isinstance(value, list):
        return set().union(*(below(one) for one in value))
    if not isinstance(value, dict):
        return set()
    found = set(value)
    for key, one in value.items():
        found |= below(one) if key not in NAMED else set()
    return found


def test_every_command_is_in_the_manual_with_its_keys(call, lot, tmp_path):
    bank = tmp_path / "bank.csv"
    bank.write_text("date,amount,whom,what\n2026-11-24,-12.50,the dealer,belts\n")
    moments = tmp_path / "moments.csv"
    moments.write_text("moment,machine\n2026-11-24T19:40,mill\n2026-11-24T20:50,mill\n")
    rates = tmp_path / "rates.csv"
    rates.write_text("date,currency,rate\n2026-11-24,GBP,1.17\n")
    shared = tmp_path / "shared.json"
    asked: list[tuple[str, ...]] = [
        ("post", "paid", "900", "rigger", "--lot", lot, "--machine", "mill", "--bucket",
         "removal", "--line", "E11", "--on", "2026-11-20"),
        ("post", "paid", "40", "wipers", "--lot", lot, "--machine", "mill", "--bucket", "parts",
         "--on", "2026-11-20"),
        ("day-rate", "CHF", "1.07", "--on", "2026-11-20"), ("day-rate", "--read", str(rates)),
        ("day-rate",), ("lock", "2026-10-31"), ("lock",), ("book",),
        ("import", str(bank)), ("import", str(bank), "--keep"),
        ("hours", "--add", "2.5 h mill, cleaned", "--on", "2026-11-21"), ("hours",),
        ("hours", str(moments)), ("start", lot, "mill"), ("stop",),
        ("cost", *QUICK), ("rate", *QUICK), ("figure", "energy_kw", "6"), ("versus", *QUICK),
        ("sell", "--set-ask", "9000", "--sold-as", "as_found", *QUICK), ("sell", *QUICK),
        ("offer", "a school", "8000"), ("offer", "a school", "--answer", "waiting"),
        ("include",), ("include", "manual"), ("record", "--as", "as-found"),
        ("record", "--as", "as-found", "--file", str(tmp_path / "mill.json")),
        ("check", str(tmp_path / "mill.json")),
        ("promise", "the manual", "a school", "--until", "2027-02-01"),
        ("asked", "Which oil?", "a school"),
        ("close", lot), ("close", lot, "--as", "keeps-working"),
        ("share",), ("share", "--to", str(shared)), ("share", "--take", str(shared)),
    ]  # fmt: skip
    answers = [(name, told(call("settle", name, *more, "--json"))) for name, *more in asked]
    rate = dict(answers)["day-rate"]["rates"][0]["id"]
    answers.append(("take-back", told(call("settle", "take-back", rate, "--json"))))
    for name, answer in answers:
        check(name, answer)
    assert set(rows()) == {name for name, _ in answers}


def check(name: str, answer: dict[str, Any]) -> None:
    """Its keys are those of the manual, and so are all keys within it."""
    row, schema = rows()[name], re.sub(r"\.(kept|file)\.", ".", str(answer["schema"]))
    known = COMMON | keys_in(row) | keys_in(part_of(schema))
    known |= keys_in(STOP_LOSS if name == "cost" else part_of(TOLD_AT.get(name, "")))
    if "form" in answer:  # the text that would leave the shop
        known |= keys_in(part_of("settle.share.1") + part_of("settle.close.1"))
    elif name in BELOW:
        assert set(answer) | {"schema", "why"} == first_keys(schema) | {"schema", "why"}, name
    else:
        assert set(answer) in choices(row), name
    assert below(answer) - known == set(), name


def test_every_command_is_on_the_page():
    commands = PAGE.split("## Commands", 1)[1]
    named = {word for each in re.findall(r"`retrue settle ([\w|\\-]+)", commands)
             for word in re.split(r"\\?\|", each)}  # fmt: skip
    assert named == {name for section in SECTIONS.values() for name in section}


def test_every_kind_of_record_is_told():
    records = (DOCS / "records.md").read_text(encoding="utf-8")
    mine = records.split("## What is kept of money and sale", 1)[1].split("\n## ", 1)[0]
    told_kinds = re.findall(r"^\| `(\w+)` \|", mine, re.MULTILINE)
    assert told_kinds == [fact.KIND for fact in get_args(Settling)]


@pytest.mark.parametrize(
    ("page", "names"),
    [("settle.md", BUCKETS), ("worth-it.md", RUN_ITEMS), ("selling.md", SALE_ITEMS)],
)
def test_every_place_and_figure_is_told(page: str, names: tuple[str, ...]):
    text = (DOCS / page).read_text(encoding="utf-8")
    assert [name for name in names if f"`{name}`" not in text] == []


@pytest.mark.parametrize("sort", [Family, MovedRange])
def test_what_a_closing_moves_is_told(sort: type):
    named = set(re.findall(r"`(\w+)`", part_of("settle.close.1")))
    assert {one.name for one in fields(sort)} <= named
