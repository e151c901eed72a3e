"""What is found, said or done after a thing was cleared opens it again, in the order of keeping."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.recorded import MADE, bare, cleared, guard, ready, say

from retrue.cases.settle.condition import condition
from retrue.cases.settle.condition_kept import RecordKept, record_kept
from retrue.cases.settle.condition_open import open_items
from retrue.cases.settle.guards import guard_lines
from retrue.cases.spot import find
from retrue.cases.wake.closed import clearing_looks
from retrue.records.facts import Note
from retrue.records.seeking import Act
from retrue.records.settling import Included

KINDS = load()
MILL = "vertical_machining_centre"
ON = date(2026, 11, 26)
LATER = datetime(2030, 1, 1, tzinfo=UTC)
LINK = 0.5  # from here on a look speaks for a fault (judgement)


def kept_of(shop: FakeShop, at: tuple[str, str]) -> RecordKept:
    spot = find(shop, *at, KINDS)
    return record_kept(shop, spot, spot.kind)


def open_ids(shop, at) -> set[str]:
    return {one.id for one in open_items(kept_of(shop, at))}


def made(shop, at, sold_as="as_found"):
    return condition(kept_of(shop, at), on=ON, sold_as=sold_as)


def door(shop, at):
    return next(one for one in guard_lines(kept_of(shop, at)) if one.id == "door_interlock")


@pytest.mark.parametrize("name", ["mill", "lathe"])
def test_a_look_that_speaks_for_a_cleared_stop_item_opens_it_and_its_own_look_closes_it(name):
    """Each stop item against each other look whose link to it is 0.5 or more."""
    kind, shop = KINDS[MADE[name]], FakeShop()
    at = bare(shop, name)
    cleared(shop, at, kind)
    stops = {one.id: clearing_looks(kind, one.id) for one in kind.faults.values()
             if one.urgency == "STOP"}  # fmt: skip
    pairs = [(fault, one.id) for fault, looks in stops.items() for one in kind.checks.values()
             if one.id not in looks and one.links.get(fault, 0.0) >= LINK]  # fmt: skip
    assert len(pairs) >= 20
    for look in sorted({look for _, look in pairs}):
        assert not {one for one in open_ids(shop, at) if one in stops}, look
        say(shop, at, check=look, answer="slight")
        mine = {fault for fault, other in pairs if other == look}
        assert mine <= open_ids(shop, at), look
        say(shop, at, check=look, answer="not_seen")  # its own look does not clear them
        assert mine <= open_ids(shop, at), look
        for fault in stops:
            say(shop, at, check=stops[fault][0], answer="not_seen")


def test_a_door_switch_found_bad_after_the_proof_opens_the_guard_until_it_is_proved_again():
    shop = FakeShop()
    at = ready(shop, KINDS)
    say(shop, at, check="C121", answer="seen")
    assert {"door_interlock", "F102"} <= open_ids(shop, at)
    assert door(shop, at).words.startswith("Proved on 2026-11-25, and not again since: ")
    cleared(shop, at, KINDS[MILL])
    assert open_ids(shop, at) == {"door_interlock"}
    guard(shop, at, "Door interlock")
    assert not open_ids(shop, at)


@pytest.mark.parametrize("look", ["C05", "C110", "C62"])
def test_every_look_at_a_door_switch_speaks_against_its_guard(look):
    shop = FakeShop()
    at = ready(shop, KINDS)
    say(shop, at, check=look, answer="seen")
    assert "door_interlock" in open_ids(shop, at)


def test_a_crazed_window_found_after_the_proof_opens_the_window():
    shop = FakeShop()
    at = ready(shop, KINDS)
    say(shop, at, check="C04", answer="seen")
    assert {"window", "F101"} <= open_ids(shop, at)


@pytest.mark.parametrize(
    "said",
    [
        {"check": "C05", "answer": "seen", "grade": 1, "channel": "photo"},
        {"check": "C05", "answer": "seen", "grade": 4, "informant": "neighbour"},
        {"fault": "F102", "answer": "present", "grade": 0, "channel": "call"},
    ],
)
def test_a_photograph_or_a_word_after_the_proof_opens_the_guard_again(said):
    shop = FakeShop()
    at = ready(shop, KINDS)
    say(shop, at, **said)
    assert "door_interlock" in open_ids(shop, at)


def test_a_photograph_against_a_cleared_stop_item_is_named_as_a_doubt_and_never_a_fact():
    shop = FakeShop()
    at = ready(shop, KINDS)
    say(shop, at, check="C31", answer="not_seen")
    say(shop, at, check="C31", answer="seen", grade=1, channel="photo")
    known = made(shop, at).known
    assert any(one.what.startswith("Doubt: ") for one in known.reported)
    assert not known.stated
    cleared(shop, at, KINDS[MILL])
    assert not any(one.what.startswith("Doubt: ") for one in made(shop, at).known.reported)


def test_a_proof_of_2030_does_not_hide_a_later_word():
    shop = FakeShop()
    at = ready(shop, KINDS)
    proved = Included(lot=at[0], machine=at[1], what="Door interlock", sort="guard",
                      state="proved", grade=3)  # fmt: skip
    shop.add(proved, by="An", observed_at=LATER)
    guard(shop, at, "Door interlock", "defeated", 0)
    assert door(shop, at).state == "defeated"
    guard(shop, at, "Door interlock", "proved", 3)
    assert not door(shop, at).open
    work = Act(lot=at[0], machine=at[1], sort="repair", fault="F102", way="repair")
    shop.add(proved, by="An", observed_at=LATER)
    shop.add(work, by="An")
    assert door(shop, at).open


def test_a_word_against_a_guard_that_is_written_over_leaves_it_open():
    shop = FakeShop()
    at = ready(shop, KINDS)
    old = guard(shop, at, "Door interlock", "defeated", 3)
    over = Included(lot=at[0], machine=at[1], what="Door interlock", sort="goes_with", grade=3)
    shop.add(over, by="An", replaces=old)
    assert door(shop, at).open
    assert "it was called defeated, and that was written over" in door(shop, at).words
    guard(shop, at, "Door interlock")
    assert not door(shop, at).open


def test_a_bypass_that_was_not_put_back_opens_every_interlock():
    shop = FakeShop()
    at = ready(shop, KINDS)
    relay = {"setting": "interlock bypass keep relay", "old": "0", "new": "1", "why": "to move it"}
    shop.add(Note(lot=at[0], machine=at[1], put_back=True, **relay), by="An")
    shop.add(Note(lot=at[0], machine=at[1], setting="1815", old="1", new="3", put_back=False,
                  why="new encoder"), by="An")  # fmt: skip
    assert not open_ids(shop, at)
    shop.add(Note(lot=at[0], machine=at[1], put_back=False, **relay), by="An")
    assert {"door_interlock", "emergency_stop", "over_travel"} <= open_ids(shop, at)
    guard(shop, at, "Door interlock")
    assert not door(shop, at).open


@pytest.mark.parametrize(
    "informant",
    ["neighbour", "dealer", "Caretaker", "caretaker ", "the dealer's mechanic", "seller"],
)
def test_anybody_elses_word_clears_nothing_and_is_told(informant):
    shop = FakeShop()
    at = bare(shop)
    cleared(shop, at, KINDS[MILL], but=("F83",))
    check = KINDS[MILL].stop_cover["F83"].check
    say(shop, at, check=check, answer="not_seen", grade=5, channel="visit_live",
        informant=informant)  # fmt: skip
    assert "F83" in open_ids(shop, at)
    text = KINDS[MILL].checks[check].text
    assert not any(text in one.what for one in made(shop, at, "parts").as_found.stated)


def test_what_was_cleared_before_the_work_is_not_cleared_after_it_by_somebody_else():
    shop = FakeShop()
    at = ready(shop, KINDS)
    check = KINDS[MILL].stop_cover["F83"].check
    shop.add(Act(lot=at[0], machine=at[1], sort="repair", fault="F83", way="repair"), by="An")
    say(shop, at, check=check, answer="not_seen", grade=3, informant="a mechanic")
    assert "F83" in open_ids(shop, at)
    say(shop, at, check=check, answer="not_seen", grade=3)
    assert "F83" not in open_ids(shop, at)
