"""The manual at the keyboard: short enough to be read, honest about what it does not have."""

from __future__ import annotations

import json

import pytest
from tests.cli.conftest import keys_of_others

from retrue.base.say import say, speaking
from retrue.cli.help import MOST_LINES
from retrue.cli.help_text import WIDTH, text_lines


def test_alone_it_lists_every_page(call):
    told = call("help").out
    assert told.index("worth ") < told.index("move ") < told.index("settle ")
    assert "What to pay" in told
    listed = json.loads(call("help", "--json").out)
    assert set(listed) == keys_of_others()["help"]
    pages = listed["pages"]
    assert pages[0]["page"] == "/help/index"


@pytest.mark.parametrize(
    "words",
    ["backlash", "worth price", "walk-away price", "--legs", "RETRUE_SHOP", "/fix/plan", "NotYet",
     "sling_leg_kg", "commands", "json", "lot", "the mass is not known"],
)  # fmt: skip
def test_whatever_is_found_fits_a_screen(call, words):
    door = call("help", *words.split())
    lines = door.out.splitlines()
    assert door.code == 0
    assert 2 < len(lines) <= MOST_LINES
    assert not any("**" in line or "](" in line for line in lines)


def test_a_refusal_that_a_command_printed_finds_its_line(call):
    refused = call("worth", "price", "nowhere")
    assert refused.code == 2
    first = refused.err.splitlines()[0]
    told = json.loads(call("help", "--json", first).out)
    assert told["best"]["sort"] == "refusal"
    assert "refusal: Unknown" in told["best"]["text"] or "Unreadable" in told["best"]["text"]


def test_an_unknown_word_is_answered_with_the_nearest_and_no_failure(call):
    door = call("help", "bakclash")
    assert door.code == 0
    assert "backlash" in door.out
    told = json.loads(call("help", "bakclash", "--json").out)
    assert (told["best"], told["nearest"][0]) == (None, "backlash")
    assert told["why"]["best"]
    assert set(told) == keys_of_others()["help WORD"]


def test_who_reads_another_language_is_told_that_it_is_english(call, monkeypatch):
    assert "written in English" not in call("help", "nod").out
    monkeypatch.setenv("RETRUE_LANGUAGE", "nl")
    told = call("help", "nod").out
    assert told.startswith((say("The manual is written in English."), nl()))


def nl() -> str:
    with speaking("nl"):
        return say("The manual is written in English.")


def test_markdown_becomes_lines_that_say_the_same():
    text = "Say **yes**\nor [no\nnow](x.md).\n\n1. one\n2. two\n   more\n\n```\nretrue  x\n```\n"
    assert text_lines(text) == [
        "Say yes or no now.",
        "",
        "1. one",
        "2. two more",
        "",
        "    retrue  x",
    ]
    wide = "| a | b |\n|---|---|\n| one | " + "word " * 40 + "|"
    assert text_lines(wide)[0].startswith("- one: word")
    assert all(len(line) <= WIDTH for line in text_lines(wide))
