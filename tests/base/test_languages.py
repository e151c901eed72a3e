"""A reader's language: sentences, numbers and money, in English and in Dutch.

Oracle of numbers and money: Unicode CLDR, locales nl and nl-BE (read with Babel): decimal mark
",", currency pattern "¤ #,##0.00;¤ -#,##0.00" (the sign behind the currency); thousands stand apart
by a thin space as ISO 80000-1:2022, 7.3 has it.
"""

from __future__ import annotations

import copy
import json
import pickle
import threading
from collections.abc import Iterator
from contextvars import copy_context
from datetime import date

import pytest
from markupsafe import escape

from retrue.base import formatter
from retrue.base.say import (
    english,
    later,
    reader,
    say,
    sentences,
    shelf,
    speaking,
    spelled,
    teach,
    usual,
)

THIN, MINUS = "\u202f", "\u2212"


@pytest.fixture(scope="module", autouse=True)
def taught() -> None:
    teach("zn", {"left": "links", "{n} looks": "{n} keer kijken"})


@pytest.fixture
def dutch() -> Iterator[None]:
    with speaking("nl"):
        yield


class TestSpeaking:
    def test_the_readers_language_holds_inside_the_block_only(self):
        with speaking("zn"):
            assert say("{n} looks", n=3) == "3 keer kijken"
            with speaking("en"):
                assert say("left") == "left"
            assert reader() == "zn"
        assert say("left") == "left"

    def test_what_is_unknown_is_english_and_so_is_an_unknown_language(self):
        with speaking("zn"):
            assert say("{n} films", n=3) == "3 films"
        with speaking("qq"):
            assert say("left") == "left"

    def test_a_text_for_somebody_else_is_in_his_language(self):
        with speaking("zn"):
            assert say("left", language="en") == "left"

    def test_a_thread_of_its_own_speaks_it_when_it_is_told(self):
        told: list[str] = []
        with speaking("zn"):
            alike = copy_context()
            threads = [
                threading.Thread(target=lambda: told.append(say("left"))),
                threading.Thread(target=alike.run, args=(lambda: told.append(say("left")),)),
            ]
        for thread in threads:
            thread.start()
            thread.join()
        assert told == ["left", "links"]

    def test_one_english_word_can_have_two_meanings(self):
        teach("zn", {"open": "open", "verb\4open": "openen"})
        with speaking("zn"):
            assert (say("open"), say("open", sense="verb")) == ("open", "openen")
            assert say("left", sense="not right") == "links"

    def test_a_bare_number_takes_the_mark(self, dutch):
        assert say("{mm} mm", mm=2.5) == "2,5 mm"

    def test_a_shelf_of_ones_own_goes_before_what_came_with_the_program(self, monkeypatch):
        monkeypatch.setattr("retrue.base.say._shelves", [])
        monkeypatch.setattr("retrue.base.say._whole", {})
        shelf(lambda language: {"Keep it": "hou het bij"} if language == "nl" else {})
        assert sentences("nl")["Keep it"] == "hou het bij"
        assert "Keep it" not in sentences("en")


class TestLater:
    side = later("left")

    def test_as_a_value_it_is_english(self):
        with speaking("zn"):
            assert self.side == "left"
            assert {self.side: 1}["left"] == 1
            assert json.loads(json.dumps([self.side])) == ["left"]
            assert type(english(self.side)) is str
            assert english(self.side).encode() == b"left"

    def test_shown_it_is_the_readers(self):
        with speaking("zn"):
            shown = (
                f"{self.side}",
                str(self.side),
                self.side + "!",
                "<" + self.side,
                say(self.side),
            )
            assert shown == ("links", "links", "links!", "<links", "links")
            assert str(escape(self.side)) == "links"
            assert (self.side.capitalize(), self.side[0], len(self.side)) == ("Links", "l", 5)
            assert say("{side} of it", side=self.side) == "links of it"
        assert f"{self.side}" == "left"

    def test_it_is_escaped_on_a_page(self):
        assert str(escape(later("a < b"))) == "a &lt; b"

    def test_copied_and_sent_to_another_process_it_stays_what_it_is(self):
        for one in (copy.deepcopy(self.side), pickle.loads(pickle.dumps(self.side))):
            with speaking("zn"):
                assert f"{one}" == "links"

    def test_what_is_written_down_is_spelled_in_the_readers_language(self):
        told = {"side": self.side, "all": [self.side, 1, None]}
        assert spelled(told) is told
        with speaking("zn"):
            assert spelled(told) == {"side": "links", "all": ["links", 1, None]}

    def test_a_usual_word_is_kept_in_english(self):
        with speaking("zn"):
            kept = usual("LINKS", [self.side])
        assert kept == "left"
        assert type(kept) is str


@pytest.mark.parametrize(
    ("number", "digits", "shown"),
    [
        (12345.6, 1, f"12{THIN}345,6"),
        (-0.5, 2, f"{MINUS}0,50"),
        (1000, 0, f"1{THIN}000"),
        (0.0, 1, "0,0"),
    ],
)
def test_numbers_in_dutch(dutch, number: float, digits: int, shown: str):
    assert formatter.number(number, digits) == shown


def test_money_in_dutch_has_its_minus_behind_the_currency(dutch):
    assert formatter.money(-6150.5, "EUR", 2) == f"€{THIN}{MINUS}6{THIN}150,50"
    assert formatter.money(6150, "CHF") == f"CHF{THIN}6{THIN}150"


def test_a_day_is_the_same_in_every_language(dutch):
    assert formatter.day(date(2026, 11, 25)) == "2026-11-25"


def test_a_number_as_it_was_typed(dutch):
    assert (formatter.short(2.5), formatter.short(40.0), formatter.short(0.25, ".1f")) == (
        "2,5", "40", "0,2",
    )  # fmt: skip
