"""Job cards on paper: cautions first, steps in the order of the hand, no step of live work."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest
from tests.paper.cards import cabinet, card, look, made, mill, one, opening, visit
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.base.refusals import Unknown
from retrue.cases.fix.visit_lines import VisitLines, after_power, sheets_of, visit_of
from retrue.paper.card_sheet import CardSheet, card_code, card_sheet
from retrue.paper.press import pages

MATHEMATICS = re.compile(r"[=<>≤≥±σμΔτλ∑√×*^]")


@cache  # many tests read the same sheet
def printed(*lines: VisitLines, **more) -> str:
    return text_of(card_sheet([CardSheet(lines=each) for each in lines], at=AT, **more))


def in_order(text: str, *parts: str) -> bool:
    at = 0
    for part in parts:
        at = text.find(part, at) + len(part)
        if at < len(part):
            return False
    return True


def test_cautions_stand_first_then_hands_then_opening_work_measuring_closing_then_what_else():
    assert in_order(
        printed(visit()), "Estimate for planning.", "Main switch off, locked", "Hands",
        "done by, name", "Tools", "Open: Electrical cabinet", "Take off: door.", "Dead tests",
        look("C33"), "Close: Electrical cabinet", "torque, Nm", "Perhaps: tick what you see",
        "Later, after first power", "Something else found",
    )  # fmt: skip


def test_a_place_is_opened_once_and_what_is_perhaps_there_is_one_line_with_plain_odds():
    text = printed(visit())
    assert text.count("Take off: door.") == 1
    assert "is opened first" not in text
    assert "Look while it stands open" not in text  # the list below says it better
    assert "Drive fan dead: fit a new one about 1 in 4" in text
    assert "seal the plugs" not in text.lower()


def test_a_stuck_bolt_is_told_in_plain_odds_and_not_where_the_place_has_been_open():
    assert "a bolt sticks when it is opened: about 1 in 5" in printed(visit())
    fresh = made(opening(stuck=0.0), *cabinet()[2:])
    assert "a bolt sticks" not in printed(visit_of(fresh, "cabinet", mill()))


def test_a_look_left_to_an_electrician_prints_what_he_hands_back_and_no_word_on_how():
    text = printed(visit())
    assert look("C34") not in text
    assert "C34 Left to a licensed electrician" in text
    assert in_order(text, "C34 Left to", "Tap in use against", "name, licence", "signature")
    alone = printed(one("F24:replace"))
    assert look("C75") not in alone
    assert "C75 Left to a licensed electrician" in alone
    assert "Work inside a live cabinet is for a licensed electrician" in alone


def test_first_power_and_licensed_work_have_no_step_at_all():
    power, supply = printed(one("J20")), printed(one("F109:adjust"))
    assert "switch it on" not in power.lower()
    assert "Each stage has a sheet of its own, to be signed" in power
    assert "clamp the line" not in supply.lower()
    assert "All of this is left to a licensed electrician" in supply


def test_no_check_of_an_electrician_is_printed_as_a_step_on_any_card():
    kind = mill()
    texts = [each.text for each in kind.checks.values() if each.who == "electrician"]
    steps = [("measure", f"Look again: {text}.") for text in texts]
    text = printed(
        visit_of(made(opening(), card("F1:repair", "work", "T", *steps)), "cabinet", kind)
    )
    assert len(texts) > 5
    assert not [each for each in texts if each in text]
    assert not re.search(r"wait \d+ min", text, re.IGNORECASE)


def test_people_hoist_and_one_evening_are_said_and_a_second_name_has_its_box():
    lifted = made(opening(people=2, alone=False, hoist=True, unbroken=True), *cabinet()[2:])
    text = printed(visit_of(lifted, "cabinet", mill()))
    for part in ("2 people at once", "hoist", "in one go", "second person, name"):
        assert part in text, part
    assert "second person, name" not in printed(visit())
    assert "may be done alone" in printed(visit())


def test_nobody_lifts_alone_whatever_the_card_says():
    lifted = made(opening(alone=True, hoist=True), *cabinet()[2:])
    text = printed(visit_of(lifted, "cabinet", mill()))
    assert "may be done alone" not in text
    assert "second person, name" in text
    assert mill().cautions["X32"].text in text


def test_hours_spent_so_far_and_parts_with_how_they_stand_are_printed():
    assert "hours spent, so far: 0.5 h" in printed(visit())
    assert re.search(r"fan for the drive: to buy, 4 days from the order, € 40 to € 90",
                     printed(one("F24:replace")))  # fmt: skip


def test_what_comes_before_is_named_and_what_is_done_is_not():
    assert "It comes after: As found" in printed(visit())
    done = replace(cabinet()[0], state="done")
    assert "It comes after" not in printed(visit_of(made(done, *cabinet()[1:]), "cabinet", mill()))


def test_first_power_and_all_that_waits_for_it_come_on_sheets_of_their_own():
    cards = made()
    assert after_power(cards, mill()) == {"J20", "J19"}
    assert [each.key for each in sheets_of(cards, mill())] == [
        "outside", "cabinet", "supply", "J20", "J19",
    ]  # fmt: skip
    unlikely = made(*(replace(each, chance=0.2) if each.place == "supply" else each
                      for each in cabinet()))  # fmt: skip
    assert "supply" not in [each.key for each in sheets_of(unlikely, mill())]


def test_a_place_without_cards_and_a_card_that_is_none_are_refused_by_name():
    with pytest.raises(Unknown, match="Operator panel"):
        visit("panel")
    with pytest.raises(Unknown, match="J99"):
        one("J99")


def test_no_caution_is_cut_and_each_stands_once():
    kind = mill()
    text = printed(visit())
    for id in ("X01", "X02", "X03", "X46"):
        assert text.count(" ".join(kind.cautions[id].text.split())) == 1, id
    assert kind.cautions["X22"].text not in text  # of what may be there: on its own card
    assert kind.cautions["X22"].text in printed(one("F24:replace"))


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_crowded_visit_keeps_to_two_tagged_pages_and_the_same_bytes_twice(paper):
    many = [card(f"F{n}:repair", "work", f"Something else that may be wrong there, number {n}",
                 chance=0.3) for n in range(30)]  # fmt: skip
    whole = [card(f"J{n}", "clean", f"A pass, number {n}", *(("measure", f"reading {m}") for m in
                  range(4)), waits=()) for n in (2, 5)]  # fmt: skip
    lines = visit_of(made(opening(), *whole, *many), "cabinet", mill())
    first, second = (card_sheet([CardSheet(lines=lines)], at=AT, paper=paper) for _ in range(2))
    assert first == second
    assert pages(first) <= 2
    assert re.search(rb"<pdfuaid:part>\s*1\s*<", first)
    left_out = re.search(r"and (\d+) more", text_of(first))
    listed = len(re.findall(r"wrong there, number \d+", text_of(first)))
    assert listed + int(left_out[1] if left_out else 0) == len(many)


def test_several_sheets_have_a_code_each_and_no_mathematics():
    sheets = [
        CardSheet(lines=each, by="owner", version="0.1") for each in sheets_of(made(), mill())
    ]
    text = text_of(card_sheet(sheets, at=AT))
    assert all(card_code(each) in text for each in sheets)
    assert len({card_code(each) for each in sheets}) == len(sheets)
    assert not MATHEMATICS.search(text)
    with pytest.raises(ValueError, match="no card"):
        card_sheet([], at=AT)
