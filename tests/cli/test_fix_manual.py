"""The manual of what to do: every key that is printed, every column, every number of its tables."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Any, get_args

import numpy as np
import pytest
from tests.fakes.shop import FakeShop
from tests.planned import little_search

from retrue.base.formatter import number
from retrue.cases.fix.buying_table import COLUMNS
from retrue.cases.fix.spoken import quote_line
from retrue.choose.together import Opening, cheapest, parts_of
from retrue.cli.fix import SECTIONS
from retrue.phases import worth
from retrue.records.facts import Finding, Lot, Machine, Terms
from retrue.records.fixing import Fixing
from retrue.science.ageing import renewing

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGE = (DOCS / "fix.md").read_text(encoding="utf-8")
JSON = (DOCS / "json.md").read_text(encoding="utf-8")
PART = JSON.split("## What the lists of what to do print", 1)[1].split("\n## ", 1)[0]
QUICK = ("--worlds", "100")
LINE = "F44:repair"
PARTS = ("tonight", "waiting", "cards", "options", "together", "upgrades", "buy", "plan")
STOP_LOSS = PART.split("| `stop_loss` |", 1)[1].split("\n", 1)[0]
COMMON = {"low", "likely", "high", "p10", "p50", "p90", "why", "schema", "currency"}


@pytest.fixture(autouse=True)
def little_time(monkeypatch: pytest.MonkeyPatch) -> None:
    little_search(monkeypatch)


@pytest.fixture
def lot(shop: FakeShop) -> str:
    made = [Machine(lot="", name="grinder", kind="surface_grinder", age_years=24)]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    found = Finding(lot=view.id, machine=view.machines[0][0], fault="F44", answer="present",
                    grade=4, channel="apart")  # fmt: skip
    shop.add(found, by="owner")
    return "school"


def told(door) -> dict:
    assert door.code == 0, door.err + door.out
    made: dict = json.loads(door.out)
    return made


def rows() -> dict[str, list[set[str]]]:
    """The keys of every command; of one that prints two things, of each."""
    found: dict[str, list[set[str]]] = {}
    for names, words in re.findall(r"^\| (`fix[^|]+) \| ([^|]+) \|$", PART, re.MULTILINE):
        words = re.sub(r"\(.*?\)", "", words)
        keys = [set(re.findall(r"`(\w+)`", each)) for each in words.split(";")]
        found |= dict.fromkeys(re.findall(r"`fix ([\w-]+)`", names), keys)
    return found


def below(value: Any) -> set[str]:
    """Every key anywhere in it, but not the names that a ``why`` or an amount stands under."""
    if isinstance(value, list):
        return set().union(*(below(one) for one in value))
    if not isinstance(value, dict):
        return set()
    found = set(value)
    for key, one in value.items():
        found |= below(one) if key not in ("why", "deposits", "rates", "values") else set()
    return found


def test_every_command_is_on_the_page_and_its_keys_are_in_the_manual(call, lot):
    card = ("--machine", "grinder")
    quote = f"{LINE} the grinder in Ghent, Tuesday, 600 incl, 3 weeks"
    asked: list[tuple[str, tuple[str, ...]]] = [
        ("tonight", ()), ("cards", (lot, "grinder")),
        ("options", (lot, "grinder", "--budget", "20000", *QUICK)),
        ("together", (lot, "grinder", "--place", "cabinet", *QUICK)),
        ("upgrades", (lot, "grinder")),
        ("quote", (quote, *card)), ("take", ("the grinder in Ghent",)),
        ("send", (lot, "table", "the grinder", *card, "--sort", "asked", "--deposit", "9")),
        ("ring", ("table", "--nobody")), ("waiting", ()), ("buy", ()),
        ("plan", ("--seconds", "0.1", *QUICK)),
        ("back", (LINE,)), ("judge", (LINE, "good")), ("stock", ()), ("stock", ("rags", "9")),
        ("begin", (lot, "J30", *card)), ("done", (lot, "J30", *card)),
        ("stuck", (lot, "J31", *card)), ("met", (lot, "J31", *card)),
        ("notnow", (lot, "J31", *card)), ("reopen", (lot, "J30", *card)),
        ("choose", (lot, "grinder", "F44", "repair")), ("gear", ("hoist", "--count", "1")),
        ("hands", ("An", "--evening", "Monday 19:30-22:00")),
    ]  # fmt: skip
    keys = rows()
    answers = {}
    for name, arguments in asked:
        answers[name] = told(call("fix", name, *arguments, "--json"))
        assert set(answers[name]) in keys[name], name
    gone = told(call("fix", "take-back", answers["send"]["kept"], "--json"))
    assert [set(gone)] == keys["take-back"]
    assert set(keys) == set(answers) | {"take-back"}
    for name in PARTS:
        part = PART.split(f"### fix.{name}.1\n", 1)[1].split("\n### ", 1)[0]
        part += STOP_LOSS if name == "plan" else ""  # as in the options
        known = set(re.findall(r"`(\w+)`", part)).union(COMMON, *keys[name])
        assert below(answers[name]) - known == set(), name


def test_every_list_and_mark_is_told_on_the_page():
    commands = PAGE.split("## Commands", 1)[1]
    named = {word for each in re.findall(r"`retrue fix ([\w|\\-]+)", commands)
             for word in re.split(r"\\?\|", each)}  # fmt: skip
    assert named == {name for section in SECTIONS.values() for name in section}


def test_every_column_of_the_table_and_every_kind_of_record_is_told():
    part = PAGE.split("comes back**", 1)[1].split("**The shelf", 1)[0]
    first = re.findall(r"^\| (`[^|]+) \|", part, re.MULTILINE)
    assert [name for cell in first for name in re.findall(r"`(\w+)`", cell)] == list(COLUMNS)
    records = (DOCS / "records.md").read_text(encoding="utf-8")
    mine = records.split("## What is kept of what to do", 1)[1].split("\n## ", 1)[0]
    told_kinds = re.findall(r"^\| `(\w+)` \|", mine, re.MULTILINE)
    assert told_kinds == [fact.KIND for fact in get_args(Fixing)]


def test_the_ages_of_the_page_are_those_of_the_rule():
    """Barlow and Hunter, Operations Research 8 (1960); the page names them."""
    table = re.findall(r"^\| ([\d.]+) \| (\d+) \| (\d+) \| (\d+) \| ([\d.]+) \| ([\d.]+) \|$",
                       PAGE, re.MULTILINE)  # fmt: skip
    assert len(table) == 6
    for row in table:
        shape, life, planned, failing, age, rate = map(float, row)
        found = renewing(shape, life, planned, failing)
        assert found.age == pytest.approx(age, rel=5e-6)
        assert found.rate == pytest.approx(rate, rel=1e-7)


def test_the_relays_of_the_page_are_those_of_the_rule():
    relays = parts_of(np.full(24, 9.0), np.full(24, 0.03))
    cheap, dear = (cheapest(relays, [Opening(np.array([k]), np.full(24, True))])
                   for k in (300.0, 600.0))  # fmt: skip
    sentence = " ".join(PAGE.split("24 relays at 9", 1)[1].split("By hand", 1)[0].split())
    shown = [number(one) for one in (cheap.cost, cheap.cost_all, dear.cost, dear.cost_none)]
    assert re.findall(r"\((\d+)\D+(\d+)\)", sentence) == [
        (shown[0], shown[1]),
        (shown[2], shown[3]),
    ]
    assert not cheap.renew.any()
    assert dear.renew.all()


def test_the_spoken_lines_of_the_page_are_understood():
    lines = re.findall(r'^retrue fix quote "([^"]+)"', PAGE, re.MULTILINE)
    assert len(lines) == 2
    for line in lines:
        spoken = quote_line(line, on=date(2026, 11, 26), lines=["F15:local"])
        assert (spoken.problems, spoken.not_understood) == ((), ())
        assert spoken.days is not None
