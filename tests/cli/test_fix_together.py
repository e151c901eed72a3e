"""Renewals and extras at the keyboard: a shop, a lot file, a plain file; JSON, refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.cli.conftest import Door

from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms

EXAMPLE = str(Path(__file__).resolve().parents[2] / "examples" / "ghent-school-lot.toml")
PARTS = """part,money,hours,chance,shape,life_years,age_years,money_if_it_fails
Drive belt,40,1.2,,2.5,10,12,
Oil hose,50,0,0.4,,,,60
Air hose,50,0,0.3,,,,
Big bearing,300,4,0.03,,,,
"""


@pytest.fixture
def lot(shop):
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=12)
    worth.new_lot(shop, Lot(name="hall 3"), Terms(lot=""), [mill], by="owner")
    return "hall 3"


@pytest.fixture
def parts(tmp_path) -> str:
    path = tmp_path / "parts.csv"
    path.write_text(PARTS, encoding="utf-8")
    return str(path)


def told(door: Door) -> dict:
    assert door.code == 0, door.err
    made: dict = json.loads(door.out)
    return made


def plain(text: str) -> str:
    return " ".join(text.replace("\u202f", " ").split())


def test_a_file_says_what_to_renew_and_what_all_would_cost_more(call, parts):
    door = call("fix", "together", "--file", parts, "--reopening", "300")
    assert door.code == 0, door.err
    said = plain(door.out)
    assert said.startswith("Caution: This helps you plan.")
    assert "Renew now: drive belt, oil hose and air hose. It takes € 140 and 1.2 h." in said
    assert "more over 5 years than it saves" in said
    assert "No other choice is cheaper." in said
    made = told(call("fix", "together", "--file", parts, "--reopening", "300", "--json"))
    assert made["schema"] == "fix.together.1"
    assert [row["renew"] for row in made["rows"]] == [True, True, True, False]
    assert made["why"]["rows.4.renew_at_years"]
    assert made["rows"][3]["renew_at_years"] is None


def test_a_lot_of_the_shop_puts_the_cautions_first(call, lot):
    door = call("fix", "together", lot, "mill", "--place", "cabinet", "--worlds", "100")
    assert door.code == 0, door.err
    assert door.out.startswith("Caution: This helps you plan.")
    said = plain(door.out)
    assert said.index("Off is not empty") < said.index("Electrical cabinet, 5 years ahead.")
    assert "Numbers: common practice, judgement" in said


def test_the_same_question_gives_the_same_bytes(call, lot):
    asked = ("fix", "together", lot, "--place", "panel", "--worlds", "100", "--json")
    one, again = call(*asked), call(*asked)
    assert one.out == again.out
    made = told(one)
    assert list(made) == sorted(made)
    assert made["machine_name"] == "mill"
    assert made["years"] == 5.0


def test_a_lot_file_is_asked_without_a_shop(call):
    asked = ("fix", "together", EXAMPLE, "lathe", "--place", "turret", "--worlds", "100", "--json")
    assert told(call(*asked))["rows"][0]["id"] == "turret_seals"


@pytest.mark.parametrize(
    ("rest", "reason", "remedy"),
    [
        ((), "say one thing", "--file PARTS.csv"),
        ((EXAMPLE, "mill"), "no place was named", "--place cabinet"),
        ((EXAMPLE,), "has 2 machines", "mill, lathe"),
        ((EXAMPLE, "mill", "--place", "cabinett"), "has no place", "cabinet"),
        ((EXAMPLE, "mill", "--place", "panel", "--years", "0"), "looked ahead", "over zero"),
        ((EXAMPLE, "mil", "--place", "panel"), "no machine mil", "mill"),
    ],
)
def test_what_is_missing_is_named_with_what_to_do(call, rest, reason, remedy):
    door = call("fix", "together", *rest)
    assert (door.code, door.out) == (2, "")
    assert reason in plain(door.err)
    assert remedy in plain(door.err)


def test_a_file_without_the_cost_of_opening_or_with_bad_rows_is_refused(call, parts, tmp_path):
    door = call("fix", "together", "--file", parts)
    assert door.code == 2
    assert "--reopening 300" in plain(door.err)
    bad = tmp_path / "bad.csv"
    bad.write_text("part,money,chance\nbelt,40,2\n", encoding="utf-8")
    door = call("fix", "together", "--file", str(bad), "--reopening", "300")
    assert door.code == 2
    assert "row 2, column chance" in plain(door.err)
    assert call("fix", "together", "--file", "nowhere.csv", "--reopening", "1").code == 2


def test_extras_say_what_they_add_and_which_are_chosen(call, lot):
    door = call("fix", "upgrades", lot)
    assert door.code == 0, door.err
    said = plain(door.out)
    assert said.startswith("Caution:")
    assert said.index("licensed electrician") < said.index("Work light")
    assert "Paint, rubbed down and brushed or sprayed (paint): not chosen" in said
    assert "None is chosen." in said
    assert call("fix", "choose", lot, "mill", "paint", "yes").code == 0
    made = told(call("fix", "upgrades", lot, "mill", "--json"))
    assert [row["id"] for row in made["rows"] if row["chosen"]] == ["paint"]
    assert made["values"] == {"level_a_db": None, "lux": None}
    assert set(made["why"]) == {"values.level_a_db", "values.lux"}
    assert made["chosen_money"] > 0
