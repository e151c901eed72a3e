"""One vocabulary: a unit in a name is a unit of the page, a quantity of a record stands on it."""

from __future__ import annotations

import ast
import re
from dataclasses import fields
from functools import cache
from pathlib import Path

from tests.house.trees import SOURCE, nodes_of

from retrue.base.unit_table import UNITS
from retrue.cases import sheet
from retrue.records.facts import FACTS

HOME = Path(__file__).resolve().parents[2]
PAGE = (HOME / "docs" / "vocabulary.md").read_text(encoding="utf-8")
ENDINGS = set(re.findall(r"^\| `_(\w+)` \|", PAGE, re.MULTILINE))
QUANTITIES = {
    name: [cell.strip() for cell in rest.split("|")]
    for name, rest in re.findall(r"^\| `([a-z]\w*)` \|(.*)\|$", PAGE, re.MULTILINE)
}
# What looks like a unit at the end of a name; a word of the trade that only looks so stands below.
UNIT_WORDS = {re.sub(r"[^a-z0-9]", "", unit.symbol.lower()) for unit in UNITS} | {
    word
    for unit in UNITS
    for word in unit.names
    if word.isascii() and word.isalpha() and word.islower() and len(word) > 3
}
NO_UNITS = {"min", "in", "a", "s", "n", "h", "m", "t", "g", "k", "v", "w", "d", "second", "level"}
COUNTED = UNIT_WORDS - NO_UNITS - {""}
SAME = {"degc": "c", "hour": "hours", "day": "days"}


@cache
def names() -> set[str]:
    """Every parameter and every field of the package."""
    found = set()
    for path in SOURCE.rglob("*.py"):
        for node in nodes_of(path):
            if isinstance(node, ast.arg):
                found.add(node.arg)
            elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                found.add(node.target.id)
    return {name for name in found if name != name.upper()}


def ending(name: str) -> str:
    return name.rsplit("_", 1)[-1] if "_" in name.strip("_") else ""


def test_a_unit_in_a_name_is_a_unit_of_the_page():
    unknown = {n for n in names() if ending(n) in COUNTED and ending(n) not in ENDINGS}
    rates = {n for n in unknown if re.search(r"_(a|per)_[a-z]+$", n)}  # money or hours a week
    nouns = {n for n in unknown if ending(n) in {"minute", "hour", "day"}}
    assert unknown - rates - nouns == set()


def test_every_ending_of_the_page_that_records_use_has_a_quantity():
    for fact in (*FACTS, sheet.WalkAway, sheet.MachineRow, sheet.LevelRow):
        for field in fields(fact):
            if ending(field.name) in ENDINGS:
                assert field.name in QUANTITIES, f"{fact.__name__}.{field.name} is not on the page"


def test_every_quantity_of_the_page_is_a_name_of_the_code():
    assert set(QUANTITIES) <= names()


def test_every_quantity_has_a_page_word_and_a_unit():
    for name, (page, _symbol, unit, _term) in QUANTITIES.items():
        assert page, name
        assert unit, name


def test_no_symbol_means_two_quantities():
    symbols = [row[1] for row in QUANTITIES.values() if row[1]]
    twice = {symbol for symbol in symbols if symbols.count(symbol) > 1}
    assert twice <= {"U"}  # the standards' own: expanded uncertainty, and voltage
