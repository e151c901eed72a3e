from __future__ import annotations

from dataclasses import replace

import pytest
from tests.paper.reading import text_of
from tests.paper.sheets import AT
from tests.paper.strips import LOCK, entry, night, place, reading, stripped, taken, tick

from retrue.base.codes import read_code
from retrue.cases.strip.lines import CleaningStands
from retrue.paper.press import pages
from retrue.paper.strip_sheet import EveningRow, first_night_sheet, strip_sheet


def log(*off, **more) -> str:
    return text_of(strip_sheet(stripped(*off, **more), at=AT))


def blank(**more) -> str:
    return text_of(first_night_sheet(stripped(**more), at=AT))


def test_a_hundred_and_sixty_things_are_all_told_with_label_and_ends():
    things = [taken(n, back=n % 4 != 0) for n in range(1, 161)]
    printed = strip_sheet(stripped(*things), at=AT)
    text = text_of(printed)
    for one in things:
        assert text.count(read_code(one.code)) == (1 if one.back else 2), one.code
    assert "160 taken off, 40 not yet back" in text
    assert pages(printed) > 3


def test_what_is_not_back_stands_first_and_the_last_taken_is_the_first():
    text = log(taken(1), taken(2, back=True), taken(3))
    head = text.partition("It may be left")[0]
    assert head.index("thing 3") < head.index("thing 1")
    assert "thing 2" not in head
    assert "thing 2" in text


def test_nothing_taken_and_everything_back_are_two_sentences():
    assert "Nothing was taken off yet." in log()
    assert "Everything that was taken off is back." in log(taken(1, back=True))


def test_counts_torques_and_shims_have_their_units():
    text = log(taken(4, count=8, torque_nm=35.5, shim_mm=0.15))
    assert "35.5 Nm, 0.15 mm" in text
    assert " 8 " in text


def test_stuck_and_broken_are_told_apart():
    text = log(taken(1, state="stuck", text="soaked twice"), taken(2, state="broken"))
    part = text.partition("Stuck or broken")[2]
    assert f"{read_code(taken(1).code)} thing 1 stuck soaked twice" in part
    assert "thing 2 broken" in part


def test_as_found_says_done_later_open_and_why_not():
    rows = (
        entry("A10", state="done", files=("f1", "f2")),
        entry("A15", "reading", state="done", reading=3.1, unit="V"),
        entry("A16", "reading", state="not_possible", why="not reachable"),
        entry("A19", "wipe", state="later"),
        entry("A20"),
    )
    text = log(night=night(place("Electrical cabinet", *rows)))
    assert "line A10 done photographed: 2" in text
    assert "line A15 done 3.1 V" in text
    assert "line A16 not possible not reachable" in text
    assert "line A19 later" in text
    assert "line A20 open" in text
    assert "3 of 4 photographs, 1 of 1 wipes" in text


def test_readings_stand_with_their_ruling_the_bad_one_first():
    made = CleaningStands(
        (),
        (reading("U1", "proved_good"), reading("V1", "proved_bad", after=0.4),
         reading("ledge", "not_proved", before=None, after=None, unit="", after_seen="grey"),
         reading("sump", None)),
        False, "proved bad: V1",
    )  # fmt: skip
    text = log(cleaning=made).partition("Cleaning, by readings")[2]
    order = [text.index(point) for point in ("V1, ", "ledge, ", "U1, ", "sump, ")]
    assert order == sorted(order)
    assert "0.8MΩ420MΩprovedgood" in text.replace(" ", "")
    assert "grey not proved" in text
    assert "because of V1" in text


def test_evenings_are_a_table_of_days():
    rows = tuple(EveningRow(f"2026-11-{day}", tuple(tick(f"E{n}", n <= day - 20) for n in range(5)))
                 for day in (22, 23))  # fmt: skip
    text = log(evenings=rows).partition("Left in the evening")[2]
    assert "2026-11-22 x x x – –" in text
    assert "2026-11-23 x x x x –" in text


def test_the_first_night_goes_in_its_order_and_each_caution_before_its_line():
    text = blank()
    order = ["Estimate for planning.", "It may be left", LOCK, "tick T0", "What dies first",
             "Do not take the cell out.", "tick D1", "Always allowed", "tick A0",
             "Camera and wipes", "Electrical cabinet", "proved dead", "line A10",
             "What may be cleaned tomorrow"]  # fmt: skip
    places = []
    at = 0
    for part in order:
        at = text.index(part, at)
        places.append(at)
    assert places == sorted(places)
    assert "25 photographs and 10 wipes before anything is cleaned" in text


def test_each_line_has_room_for_why_not_and_a_reading_room_for_its_number():
    rows = (entry("A10"), entry("A15", "reading"))
    text = blank(night=night(place("Electrical cabinet", *rows)))
    assert text.count("not possible because") == 2
    assert text.count(" read ") == 1


def test_no_caution_is_cut():
    long = "Stand back and prove it dead. " * 40 + "End."
    warned = replace(place("Cabinet", entry("A10")), cautions=(long,))
    text = blank(night=night(warned))
    assert "End." in text
    assert "…" not in text


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("printing", [strip_sheet, first_night_sheet])
def test_the_same_sheet_is_the_same_bytes(printing, paper):
    sheet = stripped(taken(1), taken(2, back=True))
    assert printing(sheet, at=AT, paper=paper) == printing(sheet, at=AT, paper=paper)


def test_sixty_lines_of_twenty_places_print():
    places = [
        place(f"Place {n}", *(entry(f"A{n}{k}", "reading") for k in range(3))) for n in range(20)
    ]
    printed = first_night_sheet(stripped(night=night(*places)), at=AT)
    assert all(f"Place {n}" in text_of(printed) for n in range(20))
    assert pages(printed) <= 6


def test_a_machine_without_readings_says_so():
    assert "No readings of the cleaning yet." in log(cleaning=None)
