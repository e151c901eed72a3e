"""Cards and evenings in lines of the terminal."""

from __future__ import annotations

from dataclasses import replace

from tests.cases.fix.bare import bare, by_key, cards
from tests.cases.priced import kinds

from retrue.cases.fix.lines import Pick, Tonight
from retrue.cli.fix_card_lines import card_lines, tonight_lines


def test_less_than_an_hour_is_said_in_minutes_and_a_part_of_a_card_as_one():
    dust = by_key(cards(bare(), "mill"))["J05"]
    picks = (
        Pick(card=dust, hours=0.05, whole=True, why="it fits the hours"),
        Pick(card=replace(dust, key="J07"), hours=1.5, whole=False, why="it fits the hours",
             part="begin it: 1.5 of 9.5 h"),
    )  # fmt: skip
    lines = list(tonight_lines(Tonight(hours=2.0, alone=True, hoist=False, picks=picks), kinds()))
    assert [line for line in lines if line.startswith("  3 min  mill: ")]
    assert [line for line in lines if line.startswith("  1.5 h  ") and "begin it: 1.5" in line]


def test_a_card_of_a_licensed_electrician_has_no_box_to_tick():
    kind = kinds()["vertical_machining_centre"]
    made = by_key(cards(bare("mill F109"), "mill"))
    his = next(one for one in made.values() if one.licensed)
    lines = list(card_lines(his, kind))
    assert not [line for line in lines if "[ ]" in line]
    assert [line for line in lines if line.startswith("All of this is left to a licensed")]
