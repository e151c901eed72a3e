"""Every sentence goes through one place, and a missing translation is English, not a gap."""

from __future__ import annotations

import pytest

from retrue.base.say import say, teach


def test_values_are_put_in():
    assert say("{n} looks, {money}", n=3, money="€ 5") == "3 looks, € 5"


def test_a_sentence_without_values_keeps_its_braces():
    assert say("{as it stands}") == "{as it stands}"


def test_what_a_person_typed_is_never_read_as_a_sentence():
    assert say("“{text}” is not a number", text="{0} {x} %s") == "“{0} {x} %s” is not a number"


def test_a_missing_value_is_an_error_not_a_gap():
    with pytest.raises(KeyError):
        say("{n} looks", m=3)


def test_another_language_answers_and_falls_back():
    teach("zz", {"{n} looks": "{n} keer kijken"})
    assert say("{n} looks", language="zz", n=3) == "3 keer kijken"
    assert say("{n} films", language="zz", n=3) == "3 films"
    assert say("{n} looks", language="qq", n=3) == "3 looks"


def test_a_language_taught_twice_keeps_what_it_knew():
    teach("zy", {"one": "een"})
    teach("zy", {"two": "twee"})
    assert [say(word, language="zy") for word in ("one", "two")] == ["een", "twee"]
