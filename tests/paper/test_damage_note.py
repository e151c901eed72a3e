from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from tests.paper.reading import text_of
from tests.paper.sheets import AT

from retrue.base.refusals import Unusable
from retrue.paper.damage_note import DamageNote, Photograph, damage_note, damage_text
from retrue.paper.press import pages
from retrue.records.moving import Arrived

HASH = "3fa912c07be49d11" * 4


def note(**more: Any) -> DamageNote:
    told: dict[str, Any] = {
        "lot": "L", "machine": "M", "carrier": "Carrier of Antwerp", "waybill": "W 4711",
        "delivered_on": "2026-11-26", "damage": "hidden", "found_on": "2026-11-27",
        "text": "The cabinet door is bent, the glass of the panel is cracked.",
    }  # fmt: skip
    arrived = Arrived(**(told | more.pop("arrived", {})))
    return DamageNote(
        arrived=arrived, machine="bed-type vertical machining centre", lot="Ghent school lot",
        shop="Two-person instrument hardware", address=("Quay 3", "9000 Ghent"),
        photographs=(Photograph("cabinet-door.jpg", HASH, "2026-11-27 08:12"),), by="Ann",
        version="0.1.0", **more,
    )  # fmt: skip


def both(one: DamageNote) -> tuple[str, str]:
    text = damage_text(one, on=date(2026, 11, 27))
    return " ".join(text.split()), text_of(damage_note(one, at=AT))


def test_text_and_sheet_say_who_when_what_and_which_photographs():
    for told in both(note()):
        for part in (
            "Two-person instrument hardware", "Quay 3", "9000 Ghent", "Carrier of Antwerp",
            "W 4711", "2026-11-26", "could not be seen at delivery", "found on 2026-11-27",
            "The cabinet door is bent", "cabinet-door.jpg", HASH[:12], "2026-11-27 08:12",
        ):  # fmt: skip
            assert part in told, part
        assert HASH[:13] not in told


def test_the_dates_stand_behind_what_goes_before_them():
    for told in both(note(arrived={"local_days": 3})):
        order = [told.index(part) for part in
                 ("no legal advice", "go first", "until 2026-11-29", "until 2026-12-04",
                  "until 2027-11-26", "19 May 1956")]  # fmt: skip
        assert order == sorted(order)


def test_holidays_move_the_last_day():
    told = damage_text(note(holidays=(date(2026, 12, 1),)), on=date(2026, 11, 27))
    assert "until 2026-12-05" in told


@pytest.mark.parametrize(("damage", "part"), [
    ("visible", "The damage could be seen at delivery."),
    ("none", "we keep the right"),
    ("not_looked", "could not be looked at closely"),
])  # fmt: skip
def test_each_finding_has_its_own_sentence(damage, part):
    for told in both(note(arrived={"damage": damage, "found_on": None})):
        assert part in told


def test_no_line_of_the_text_is_longer_than_a_terminal():
    long = note(arrived={"text": "bent and cracked " * 60})
    assert max(len(line) for line in damage_text(long, on=date(2026, 11, 27)).splitlines()) <= 76


def test_empty_words_print_as_blanks_and_name_nobody():
    bare = replace(
        note(arrived={"carrier": "", "waybill": "", "text": ""}), photographs=(), address=()
    )
    for told in both(bare):
        assert "To the carrier" in told
        assert "without a number we know" in told


def test_forty_photographs_are_all_listed():
    many = tuple(Photograph(f"shot-{n}.jpg", HASH, "2026-11-27") for n in range(40))
    printed = damage_note(replace(note(), photographs=many), at=AT)
    told = text_of(printed)
    assert all(f"shot-{n}.jpg" in told for n in range(40))
    assert pages(printed) <= 3


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_same_note_is_the_same_bytes(paper):
    first, second = (damage_note(note(), at=AT, paper=paper) for _ in range(2))
    assert first == second


def test_without_a_day_of_delivery_there_is_no_note():
    with pytest.raises(Unusable):
        damage_note(note(arrived={"delivered_on": ""}), at=AT)
