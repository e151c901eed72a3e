"""A week on paper, and the same plan in a calendar: who does what, what is here, whom to ring."""

from __future__ import annotations

import re
from dataclasses import asdict, replace
from datetime import date, timedelta

import pytest
from icalendar import Calendar
from tests.paper.cards import ME, MONDAY, WHEN, at, cabinet, mill, owed, plan, row, to_buy
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.cases.fix.calendar_entries import calendar_entries
from retrue.cases.fix.evenings import all_stints, stints
from retrue.cases.fix.plan_lines import Broke
from retrue.cases.fix.week_lines import WeekLines, week_of
from retrue.paper.calendar_file import Entry, calendar_file
from retrue.paper.press import pages
from retrue.paper.week_sheet import WeekSheet, week_sheet

KINDS = {"vertical_machining_centre": mill()}
LATE = owed("spindle", "2026-11-20", state="late", days_late=6)
DUE = owed("motor", "2026-12-02", ring_on="2026-12-01")
FAR = owed("screw", "2027-01-15", ring_on="2027-01-10")
BUY = (to_buy("bearings", "2026-12-02"), to_buy("belt", "2026-12-30"),
       to_buy("oil", None, needed_on="2026-12-03"))  # fmt: skip


def week(day: date = MONDAY, **more) -> WeekLines:
    view = more.pop("view", plan())
    told = {"hands": (ME,), "owed": (LATE, DUE, FAR), "buying": BUY} | more
    return week_of(view, day, KINDS, **told)


def printed(lines: WeekLines, **more) -> str:
    return text_of(week_sheet(WeekSheet(lines=lines, by="owner"), at=AT, **more))


def in_order(text: str, *parts: str) -> bool:
    at = 0
    for part in parts:
        at = text.find(part, at) + len(part)
        if at < len(part):
            return False
    return True


def test_a_long_card_is_spread_over_the_evenings_of_its_hand_hour_for_hour():
    pieces = stints(row(cabinet()[2], at(0, 20.5), at(2, 20)), [ME])
    assert [(one.begins.hour, one.hours, one.number, one.of) for one in pieces] == [
        (20, 1.5, 1, 3), (19, 2.5, 2, 3), (19, 0.5, 3, 3),
    ]  # fmt: skip


def test_days_away_and_other_evenings_have_no_piece_of_it():
    away = replace(ME, away=((MONDAY + timedelta(days=1), MONDAY + timedelta(days=1)),))
    pieces = stints(row(cabinet()[2], at(3, 21), at(8, 20)), [away])  # Thursday to Tuesday
    assert [one.begins.date().weekday() for one in pieces] == [3, 0, 1]
    pieces = stints(row(cabinet()[2], at(0, 21), at(2, 20)), [away])
    assert [one.begins.date().weekday() for one in pieces] == [0, 2]


def test_where_nobody_said_who_works_when_the_plan_itself_shows_the_evenings():
    rows = (row(cabinet()[1], at(1, 19.5), at(1, 22), "me"),
            row(cabinet()[2], at(0, 21), at(2, 20), "me"))  # fmt: skip
    long = [one for one in all_stints(rows, ()) if one.row.card.key == "J18"]
    assert [(one.begins.weekday(), one.hours) for one in long][1] == (1, 2.5)
    assert all(one.hours < 3 for one in long)


def test_a_card_whose_evenings_nobody_knows_has_the_hours_to_expect_and_not_the_nights():
    (only,) = stints(row(cabinet()[2], at(0, 21), at(3, 20), "nobody known"), [ME])
    assert only.hours == pytest.approx(cabinet()[2].expected_hours, abs=0.01)


def test_the_week_has_its_evenings_in_order_and_nothing_of_the_next():
    text = printed(week())
    assert in_order(
        text, "Estimate for planning.", "2027-02-22",
        "waiting for: spindle motor; own work: cabinet", "Monday 2026-11-30, 19:30",
        "Open: Electrical cabinet", "Tuesday 2026-12-01", "Dead tests", "Ring", "Here by then",
        "Order", "Here on hire",
    )  # fmt: skip
    assert "Close: Electrical cabinet" not in text
    assert "evening 2 of 2" in text
    assert "9 of 10" in text


def test_whom_to_ring_what_is_promised_what_to_order_and_what_is_hired_stand_on_their_day():
    lines = week()
    assert [(one.on, one.what, one.days_late) for one in lines.ring] == [
        ("2026-11-30", "spindle", 6), ("2026-12-01", "motor", 0),
    ]  # fmt: skip
    assert [(one.on, one.what, one.late) for one in lines.here_by] == [
        ("2026-11-30", "spindle", True), ("2026-12-02", "motor", False),
        ("2026-12-03", "oil", False),
    ]  # fmt: skip
    assert [(one.on, one.what) for one in lines.order] == [("2026-12-02", "bearings")]
    text = printed(lines)
    assert "the winder 09 123 45 67 spindle, promised for 2026-11-20, 6 days late" in text
    assert "Tuesday 2026-12-01: hoist, € 60 Open: spindle motor" in text
    assert "nobody has it in hand" in text
    assert week(MONDAY + timedelta(days=7)).hire == ()


def test_what_is_late_stands_in_this_week_and_the_next_and_not_in_those_to_come():
    today = date(2026, 11, 26)
    for day, rings in ((today, 1), (MONDAY, 2), (MONDAY + timedelta(days=7), 0)):
        assert len(week(day, on=today).ring) == rings, day
    assert week(MONDAY + timedelta(days=7), on=today).here_by == ()
    assert week(MONDAY + timedelta(days=7), on=today).order == ()
    assert [one.what for one in week(date(2026, 12, 30), on=today).order] == ["belt"]


def test_cards_that_may_not_be_needed_at_one_place_are_one_line_with_their_count():
    sure, fan = cabinet()[1], replace(cabinet()[3], chance=0.25)
    rare = [row(replace(fan, key=f"F{n}:repair"), at(2, 20), at(2, 21)) for n in range(6)]
    text = printed(week(view=plan(row(sure, at(2, 19.5), at(2, 20)), *rare)))
    assert "What may be there: Electrical cabinet (up to 6 cards, by what is seen)" in text
    assert "F3:repair" not in text
    one = printed(week(view=plan(rare[0])))
    assert "needed: about 1 in 4" in one


def test_a_second_person_and_the_hoist_are_said_beside_the_card_and_in_the_cautions():
    kind = mill()
    lifted = replace(cabinet()[1], people=2, alone=False, hoist=True)
    text = printed(week(view=plan(row(lifted, at(0, 19.5), at(0, 21), "Ann", "Bea"))))
    assert "(hoist; not alone)" in text
    assert "Ann, Bea" in text
    assert all(kind.cautions[id].text in text for id in ("X20", "X32"))
    assert kind.cautions["X20"].text not in printed(week())


def test_a_promise_that_broke_keeps_the_day_it_was():
    broke = Broke(machine_name="bed mill", was_on="2027-02-08", now_on="2027-02-22", days=14.0,
                  why="the winder")  # fmt: skip
    assert "2027-02-22 (before: 2027-02-08)" in printed(week(view=plan(broke=(broke,))))
    assert "before:" not in printed(week())


def test_an_empty_week_and_a_plan_that_is_stale_say_so():
    later = week(MONDAY + timedelta(weeks=20), owed=(), buying=())
    assert "No evening of this week has a card." in printed(later)
    assert "Plan again before you trust" in printed(week(view=plan(stale=True)))
    assert "Plan again" not in printed(week())


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_week_is_one_tagged_page_the_same_bytes_twice_and_without_mathematics(paper):
    first, second = (week_sheet(WeekSheet(lines=week()), at=AT, paper=paper) for _ in range(2))
    assert first == second
    assert pages(first) == 1
    assert re.search(rb"<pdfuaid:part>\s*1\s*<", first)
    assert not re.search(r"[=<>≤≥±σμ∑√×^]", text_of(first))


def test_a_long_list_is_cut_with_its_count_so_that_the_evenings_stay():
    many = tuple(to_buy(f"part {n}", "2026-12-02") for n in range(40))
    assert "and 28 more, on the page" in printed(week(buying=many))


def events(**more) -> list:
    view = more.pop("view", plan())
    made = calendar_entries(view, **{"hands": (ME,), "owed": (LATE, DUE), "buying": BUY} | more)
    file = calendar_file([Entry(**asdict(one)) for one in made], name="x", at=WHEN)
    read = Calendar.from_ical(file).walk("VEVENT")
    assert len(read) == len(made)  # no two entries share a key
    return read


def test_the_calendar_has_every_evening_and_every_day_that_counts():
    told = [(str(one["summary"]), one.decoded("dtstart").isoformat()) for one in events()]
    assert ("bed mill: Dead tests", "2026-11-30T20:30:00") in told
    assert ("bed mill: Dead tests", "2026-12-01T19:30:00") in told
    assert ("Ring the winder: motor", "2026-12-01") in told
    assert ("Promised by the winder: spindle", "2026-11-20") in told
    assert ("Last day to order: bearings", "2026-12-02") in told
    assert ("Here on hire: hoist", "2026-12-01") in told
    assert ("bed mill: first good part, promise", "2027-02-22") in told
    assert len(told) == 4 + 3 + 2 + 1 + 1


def test_planned_again_an_entry_keeps_its_name_and_moves():
    moved = plan(row(cabinet()[1], at(7, 19.5), at(7, 20.5)),
                 hire=(replace(plan().hire[0], on="2026-12-09"),))  # fmt: skip
    for title in ("bed mill: Open: Electrical cabinet", "Here on hire: hoist"):
        first, again = (next(one for one in events(view=view) if str(one["summary"]) == title)
                        for view in (plan(), moved))  # fmt: skip
        assert first["uid"] == again["uid"]
        assert first.decoded("dtstart") != again.decoded("dtstart")


def test_groups_of_what_may_be_there_in_different_hours_are_entries_of_their_own():
    fan = replace(cabinet()[3], chance=0.25)
    rows = [row(replace(fan, key=f"F{n}:repair"), at(n // 3, 20), at(n // 3, 21)) for n in range(6)]
    perhaps = [one for one in events(view=plan(*rows), owed=(), buying=())
               if "what may be there" in str(one["summary"])]  # fmt: skip
    assert len(perhaps) == 2
    assert all("up to 3 cards" in str(one["description"]) for one in perhaps)


def test_what_is_done_has_no_evening():
    done = replace(cabinet()[1], state="done")
    assert not all_stints([row(done, at(0, 19), at(0, 20))], (ME,))
