"""Own hours on the pages: one tap on the front page, less and more, start and stop, refusals."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from tests.web.bare import bare_lot
from tests.web.conftest import Clock
from tests.web.visitor import Visitor, text_of, values

from retrue.records.facts import Note, Outcome
from retrue.records.settling import ClockRung, HoursTold
from retrue.records.shop import RecordShop

HOURS = "/settle/hours"
TONIGHT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def machine(shop: RecordShop) -> dict[str, str]:
    """A machine that was won, with two hours and a half of notes on it until twenty to eight."""
    path = bare_lot(shop)[0].split("/")
    lot, key = path[2], path[4]
    won = Outcome(lot=lot, result="won")
    shop.add(won, by="owner", observed_at=TONIGHT - timedelta(days=9))
    for n in range(11):
        at = TONIGHT + timedelta(minutes=14 * n)
        shop.add(Note(text=f"note {n}", lot=lot, machine=key), by="owner", observed_at=at)
    return {"lot": lot, "machine": key}


def tap(owner: Visitor, how: str, **more: str):
    page = owner.get(HOURS)
    key, until = values(page, "key")[0], values(page, "until")[0]
    return owner.post(HOURS, {"key": key, "until": until, "how": how} | more)


def told(shop: RecordShop) -> list[float]:
    return [one.fact.hours for one in shop.current(HoursTold)]


def test_the_front_page_asks_once_and_one_tap_keeps(owner, shop, machine):
    page = owner.get("/")
    assert len(re.findall(r'<section id="own-hours">', page.text)) == 1
    assert "2.75 h on the Bed mill. Right?" in text_of(page)
    keys = [words for words in ("yes", "less", "more", "not_mine") if words in values(page, "how")]
    assert keys == ["yes", "less", "more", "not_mine"]
    form = {"key": values(page, "key")[0], "until": values(page, "until")[0], "back": "/"}
    after = owner.post(HOURS, form | {"how": "yes", "id": "t1"})
    assert after.url.path == "/"
    assert "Kept: 2.75 h" in text_of(after)
    assert "Right?" not in text_of(after)
    owner.post(HOURS, form | {"how": "yes", "id": "t1"})  # the outbox sends it again
    assert told(shop) == [2.75]


def test_a_front_page_with_nothing_to_ask_says_nothing_of_it(owner, shop):
    bare_lot(shop)
    assert '<section id="own-hours">' not in owner.get("/").text


def test_less_goes_on_from_what_stands_and_can_be_taken_back(owner, shop, machine):
    page = tap(owner, "less")
    assert "Kept: 2.25 h" in text_of(page)
    key = shop.current(HoursTold)[0].fact.evening
    assert "Kept: 1.75 h" in text_of(owner.post(HOURS, {"key": key, "how": "less"}))
    kept = shop.current(HoursTold)[0].id
    asked = owner.post(f"{HOURS}/back", {"record": kept})
    assert "Right?" in text_of(asked)
    assert told(shop) == []


def test_another_figure_is_typed(owner, shop, machine):
    assert tap(owner, "figure", hours="1,9").status_code == 200
    assert told(shop) == [1.9]


def test_not_mine_and_a_figure_that_is_none(owner, shop, machine):
    for wrong in ({"hours": "-2"}, {"hours": "30"}, {"hours": ""}, {"hours": "two"}):
        assert tap(owner, "figure", **wrong).status_code == 422
    assert tap(owner, "perhaps").status_code == 422
    assert told(shop) == []
    assert "Kept: not mine" in text_of(tap(owner, "not_mine"))
    assert owner.post(HOURS, {"key": "0" * 12, "how": "yes"}).status_code == 409


def test_hours_nobody_guessed_are_typed_and_refused_by_name(owner, shop, machine):
    of = {"of": f"{machine['lot']}|{machine['machine']}"}
    kept = owner.post(HOURS, of | {"begin": "09:00", "end": "11:30", "text": "fetched oil"})
    assert "Kept: 2.5 h" in text_of(kept)
    for wrong, says in [
        ({"hours": "-1"}, "below zero"),
        ({"hours": "25"}, "more than 24 h"),
        ({"hours": "1", "worked_on": "2026-11-26"}, "a day to come"),
        ({"begin": "10:00", "end": "12:00"}, "over 09:00 to 11:30, 2.5 h on the Bed mill"),
        ({"begin": "12:00", "end": "11:00"}, "the end is before the begin"),
        ({}, "is empty"),
    ]:
        answer = owner.post(HOURS, of | wrong)
        assert answer.status_code == 422, wrong
        assert says in text_of(answer)
    late = owner.post(HOURS, of | {"hours": "1", "worked_on": "2026-11-26"}).text
    assert late.index('for="worked_on"') < late.index('id="worked_on-wrong"')
    lost = owner.post(HOURS, {"hours": "1", "of": "nowhere|nothing"})
    assert lost.status_code == 404
    assert lost.text.index('for="of-typed"') < lost.text.index('id="of-wrong"')
    assert lost.text.count('id="of-wrong"') == 1
    assert told(shop) == [2.5]


def test_start_shows_a_running_clock_and_stop_ends_it(owner, shop, machine, clock: Clock):
    of = {"of": f"{machine['lot']}|{machine['machine']}", "how": "start"}
    assert "Pick the machine you work at" in text_of(
        owner.post(f"{HOURS}/clock", {"how": "start", "of": ""})
    )
    page = owner.post(f"{HOURS}/clock", of | {"id": "c1"})
    assert "The clock runs" in text_of(page)
    assert owner.post(f"{HOURS}/clock", of).status_code == 409
    clock.passes(hours=1.5)
    ended = owner.post(f"{HOURS}/clock", {"start": "c1", "id": "c2"})
    assert "The clock runs" not in text_of(ended)
    assert "by the clock" in text_of(ended)
    assert owner.post(f"{HOURS}/clock", {}).status_code == 409
    assert len(shop.current(ClockRung)) == 2


def test_a_forgotten_stop_is_asked_about(owner, shop, machine, clock: Clock):
    of = {"of": f"{machine['lot']}|{machine['machine']}", "how": "start"}
    owner.post(f"{HOURS}/clock", of | {"id": "c1"})
    clock.passes(hours=22)
    page = text_of(owner.get(HOURS))
    assert "Still at it? It began" in page
    assert owner.post(f"{HOURS}/clock", {"start": "c1"}).status_code == 409
    owner.post(f"{HOURS}/clock", {"start": "c1", "hours": "2.5"})
    assert "Still at it?" not in text_of(owner.get(HOURS))


def test_the_week_is_a_picture_and_a_table(owner, shop, machine):
    tap(owner, "yes")
    page = owner.get(HOURS)
    assert page.text.count("<svg") == 2
    assert "evenings of the week" in page.text
    assert re.search(r"2026-11-25 2\.75 h, \d\d:\d\d–\d\d:\d\d", text_of(page))
    earlier = owner.get(f"{HOURS}?on=2026-11-15")
    assert "Nothing counts in this week yet" in text_of(earlier)
    assert owner.get(f"{HOURS}?on=nonsense").status_code == 200
