"""What may replace a part, at the keyboard: its names, its exit codes, its one object."""

from __future__ import annotations

import json

import pytest

from retrue.cases.reckon.method import methods, short
from retrue.cli.fix_match import METHODS


def test_every_sort_of_part_is_a_command():
    assert list(METHODS) == [short(one.id) for one in methods("fix")]


@pytest.mark.parametrize(
    ("part", "typed", "code", "answer"),
    [("overload", ("--need-ampere", "8.5", "--has-low-ampere", "9", "--has-high-ampere", "13"), 2,
      "no_go"),
     ("bearing", ("--has-rating-kn", "30", "--load-kn", "5 kN", "--speed-rpm", "1500",
                  "--wanted-hours", "2400"), 3, "get_first")],
)  # fmt: skip
def test_an_answer_is_one_object_and_an_exit_code(call, part, typed, code, answer):
    door = call("fix", "match", part, *typed, "--json")
    assert door.code == code, door.err
    made = json.loads(door.out)
    assert (made["schema"], made["answer"]) == (f"fix.match_{part}.1", answer)
    assert list(made) == sorted(made)
    assert made["cautions"]
    assert made["listings"][0]["title"] == "Property by property"


def test_what_it_says_begins_with_cautions_and_each_row_has_its_rule(call):
    door = call("fix", "match", "relay", "--need-sort", "safety", "--has-sort", "control")
    assert door.code == 2
    lines = door.out.splitlines()
    assert lines[0].startswith("Caution: ")
    assert any(line.startswith("Estimate for planning. No: sort: safety relay") for line in lines)
    assert any("a safety relay never by a plain one (ISO 13849-1" in line for line in lines)


def test_its_help_gives_an_example_as_it_is_typed(call):
    assert "For instance: retrue fix match belt " in call("fix", "match", "belt", "--help").out
    assert "There is no part" in call("fix", "match", "saddle").err
