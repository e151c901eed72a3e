"""A screened catalogue as a table, and as the numbers of its picture."""

from __future__ import annotations

from dataclasses import replace

from tests.cases.priced import kinds
from tests.cases.screen.listed import listed
from tests.cases.screen.screened import ASK, row

from retrue.base.recalled import recall
from retrue.base.say import sentences, speaking
from retrue.cases.answers import open_questions
from retrue.cases.network import build
from retrue.cases.screen.asking import _words
from retrue.cases.screen.done_text import done_of, text_of
from retrue.cases.screen.drawing import MOST, screen_drawing
from retrue.cases.screen.parts import Part
from retrue.cases.screen.score import score_part
from retrue.cases.screen.table import HEADINGS, screen_table
from retrue.cases.screen.worthy import is_worthy
from retrue.store.table_out import csv_of


def test_each_lot_has_a_cell_for_each_heading_and_stands_in_the_order_it_is_given() -> None:
    rows = [row("12", ask=ASK), row("7/2", walk_away=None, why="no machine", gain=0.0)]
    told = screen_table(rows, "CHF")
    assert [len(one) for one in told] == [len(HEADINGS)] * 3
    named = [dict(zip(HEADINGS, one, strict=True)) for one in told[1:]]
    assert [one["place"] for one in named] == [1, 2]
    assert [one["number"] for one in named] == ["12", "7/2"]
    assert (named[0]["currency"], named[0]["shop_currency"]) == ("EUR", "CHF")
    assert named[0]["gain_per_euro_at_risk"] == 0.125  # 1000 for 8000
    assert named[0]["gain_per_own_hour"] == 12.5  # 1000 in 80 h
    assert "film of the spindle from cold; Ask since" in named[0]["ask_first"]
    assert (named[1]["do_not_go_above"], named[1]["why_no_price"]) == (None, "no machine")


def test_what_is_taken_as_gone_to_others_has_no_gain_no_risk_and_no_hours() -> None:
    told = screen_table([row("12", wins=0.0, gain=0.0, at_risk=0.0, hours=0.0, pays=0.0)], "EUR")
    named = dict(zip(*told, strict=True))
    figures = ("goes_for", "gain", "at_risk", "own_hours", "gain_per_euro_at_risk",
               "gain_give_or_take")  # fmt: skip
    assert [named[one] for one in figures] == [None] * 6
    assert (named["do_not_go_above"], named["chance_of_winning"]) == (5200.0, 0.0)


def test_its_sentences_are_the_readers() -> None:
    """As the words of the house have them; what was kept is English."""
    kept = recall("asking price or bid")
    with speaking("nl"):
        told = screen_table([row("12", assumed=(kept, kept), why=recall("lost"))], "EUR")
    named = dict(zip(*told, strict=True))
    word = sentences("nl")["asking price or bid"]
    assert word != kept
    assert named["assumed"] == f"{word}; {word}"
    assert named["why_no_price"] == sentences("nl")["lost"]


def test_a_title_that_looks_like_a_formula_stays_a_text() -> None:
    told = csv_of(screen_table([row("1", title="=cmd()")], "EUR")).decode()
    assert ",'=cmd()," in told


def test_the_picture_has_the_first_that_bring_something_and_none_where_none_does() -> None:
    rows = [row(str(n), gain=100.0 * n) for n in range(14, -1, -1)]
    drawing = screen_drawing(rows, "EUR")
    assert drawing is not None
    assert [one.number for one in drawing.points] == [str(n) for n in range(14, 14 - MOST, -1)]
    assert screen_drawing([row("1", gain=0.0)], "EUR") is None


def test_worth_a_call_is_what_has_a_price_and_brings_something() -> None:
    assert is_worthy(row("1"))
    assert not is_worthy(row("1", walk_away=None))
    assert not is_worthy(row("1", walk_away=0.0))
    assert not is_worthy(row("1", gain=0.0))


def test_what_is_asked_and_what_was_assumed_is_the_readers() -> None:
    """Questions of the call stand in the library in four languages; the rest is looked up."""
    texts = {
        question.ask["en"]: question.ask["nl"]
        for kind in kinds().values()
        for question in kind.questions.values()
    }
    one = listed("14", "mill", "lathe")
    case = one.case
    asked = [each for each in open_questions(case, build(case, kinds())) if each.text in texts]
    assert asked
    old = replace(case.machines[1], age_years=45)
    aged = replace(one, case=replace(case, machines=(case.machines[0], old)))
    told = score_part(Part(number=0, lots=(aged,), seed=7, worlds=200), kinds())
    (kept,) = done_of(text_of(told)).rows
    with speaking("nl"):
        for each in asked:
            assert f"{_words(each, several=False)}" == texts[each.text]
            assert f"{_words(each, several=True)}" == f"{each.machine}: {texts[each.text]}"
        said = screen_table([replace(kept, ask=())], "EUR")
    assumed = dict(zip(*said, strict=True))["assumed"]
    assert "45" in assumed
    assert "years old" not in assumed
    assert "vraagprijs of bod" in assumed
