"""The condition record: what keeps it closed, and as what it is sold."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop
from tests.phases.settle.condition import MILL, open_ids, record, stands
from tests.recorded import SELLER, bare, cleared, guard, ready, say

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import settle
from retrue.records.seeking import Act, Trouble
from retrue.records.settling import ForSale, Included
from retrue.records.stripping import Taken

SHOPS = ("in memory",)


@pytest.fixture(params=["mill", "lathe"])
def open_machine(request, kinds):
    shop = FakeShop()
    return shop, ready(shop, kinds, request.param)


def test_with_all_stop_items_cleared_and_all_guards_proved_it_is_open(open_machine, kinds):
    shop, at = open_machine
    for sold_as in ("as_found", "running", "parts"):
        made = record(shop, at, kinds, sold_as)
        assert not made.open
        assert made.untested  # what nobody tested is listed all the same


def test_of_a_bare_machine_every_stop_item_and_guard_is_open(kinds):
    shop = FakeShop()
    at = bare(shop)
    kind = kinds[MILL]
    stops = {one.id for one in kind.faults.values() if one.urgency == "STOP"}
    assert open_ids(shop, at, kinds) == stops | set(kind.guards)
    with pytest.raises(NotYet) as refused:
        record(shop, at, kinds)
    assert len(refused.value.problems) == len(stops) + len(kind.guards)
    tree = stands(shop, at, kinds).tree
    assert [line for line in tree if line.startswith(("├─", "└─"))] == [
        f"├─ Stop items that nobody cleared: {len(stops)}",
        f"└─ Guards and interlocks: {len(kind.guards)}",
    ]


@pytest.mark.parametrize("state", ["defeated", "missing", "not_tested"])
def test_a_guard_that_is_defeated_missing_or_not_tested_blocks_it(kinds, state):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "Door interlock", state, grade=0)  # a word is enough to open it
    assert open_ids(shop, at, kinds) == {"door_interlock"}
    with pytest.raises(NotYet, match="1 things are open"):
        record(shop, at, kinds)


@pytest.mark.parametrize("grade", [0, 1, 2])
def test_no_picture_and_no_word_proves_a_guard(kinds, grade):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "door_interlock", "defeated", grade=4)
    guard(shop, at, "door interlock", "proved", grade=grade)
    [one] = stands(shop, at, kinds).open
    assert one.what.startswith("Door interlock: defeated")  # what was measured stands
    guard(shop, at, "DOOR  INTERLOCK", "proved", grade=3)
    assert not open_ids(shop, at, kinds)
    guard(shop, at, "door interlock", "proved", grade=grade)  # said again: it stays proved
    assert not open_ids(shop, at, kinds)


def test_only_what_a_machine_may_lack_can_be_not_fitted(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "Emergency stop", "not_fitted", grade=5)
    assert open_ids(shop, at, kinds) == {"emergency_stop"}


def test_a_guard_of_ones_own_counts_as_well(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    guard(shop, at, "Light curtain", "missing", grade=3)
    assert open_ids(shop, at, kinds) == {"light curtain"}


def test_work_on_it_or_a_wire_undone_opens_a_guard_again(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    shop.add(Act(lot=at[0], machine=at[1], sort="repair", fault="F102", way="repair"), by="An")
    assert "door_interlock" in open_ids(shop, at, kinds)
    shop = FakeShop()
    at = ready(shop, kinds)
    wire = Taken(lot=at[0], machine=at[1], place="cabinet", sort="wire", code="AB12CD34",
                 what="black wire", from_end="-X1:1")  # fmt: skip
    shop.add(wire, by="An")
    left = open_ids(shop, at, kinds)
    assert {"AB12CD34", "door_interlock", "cabinet_switch", "emergency_stop"} <= left


@pytest.mark.parametrize(
    "said",
    [
        {"grade": 1, "channel": "photo"},
        {"grade": 5, "channel": "photo"},
        {"grade": 4, "channel": "visit_live", "informant": SELLER},
        {"grade": 0, "channel": "call", "informant": SELLER},
    ],
)
def test_a_stop_item_is_not_cleared_by_a_picture_or_the_sellers_word(kinds, said):
    shop = FakeShop()
    at = bare(shop)
    cleared(shop, at, kinds[MILL], but=("F83",))
    check = kinds[MILL].stop_cover["F83"].check
    say(shop, at, check=check, answer="not_seen", **said)
    assert "F83" in open_ids(shop, at, kinds)
    say(shop, at, check=check, answer="not_seen")
    assert "F83" not in open_ids(shop, at, kinds)


def test_what_is_not_fitted_needs_no_look_and_what_was_found_never_is_not_fitted(kinds):
    shop = FakeShop()
    at = bare(shop, not_fitted=("F53",))
    assert "F53" not in open_ids(shop, at, kinds)
    say(shop, at, fault="F53", answer="present")
    assert "F53" in open_ids(shop, at, kinds)


def test_what_means_switch_it_off_blocks_it(kinds):
    shop = FakeShop()
    at = ready(shop, kinds)
    shop.add(Trouble(lot=at[0], machine=at[1], symptom="Y48", words="smoke"), by="An")
    [one] = stands(shop, at, kinds).open
    assert one.what == "smoke: it stays off until that is cleared dead"


def test_sold_as_parts_it_says_so_in_words_and_lists_what_is_open(kinds):
    shop = FakeShop()
    at = bare(shop)
    made = record(shop, at, kinds, "parts")
    assert made.sold_words.startswith("Sold as parts. Not to be put in use as a machine.")
    assert f"{len(made.open)} things are open" in made.sold_words
    assert {one.id for one in made.open} == open_ids(shop, at, kinds)


def test_it_is_not_sold_as_running_or_proven_without_either(kinds):
    shop = FakeShop()
    at = bare(shop)
    cleared(shop, at, kinds[MILL])
    for one in kinds[MILL].guards.values():
        guard(shop, at, one.name, "not_fitted" if one.optional else "proved")
    assert not open_ids(shop, at, kinds, "as_found")
    assert open_ids(shop, at, kinds, "running") == {"P8"}
    assert open_ids(shop, at, kinds, "proven") == {"P8", "proven"}


def test_a_guard_is_kept_by_its_own_name_and_proved_only_at_the_machine(kinds):
    shop = FakeShop()
    at = bare(shop)
    fact = Included(lot="school", machine="mill", what="door_interlock", sort="guard",
                    state="proved", grade=3)  # fmt: skip
    kept = settle.include(shop, fact, kinds, by="An")
    assert (kept.fact.what, kept.fact.lot, kept.fact.machine) == ("Door interlock", *at)
    for wrong, field in (
        ({"grade": 2}, "grade"),
        ({"state": "not_fitted"}, "state"),
        ({"what": " "}, "what"),
        ({"state": ""}, "state"),
    ):
        told = Included(**{"lot": "school", "machine": "mill", "what": "door_interlock",
                           "sort": "guard", "state": "proved", "grade": 3} | wrong)  # fmt: skip
        with pytest.raises(Unusable) as refused:
            settle.include(shop, told, kinds, by="An")
        assert field in {one.where for one in refused.value.problems}
    assert len(shop.current(Included)) == 1
    none = Included(lot="school", machine="saw", what="x")
    with pytest.raises(Unknown):
        settle.include(shop, none, kinds, by="An")


def test_it_is_sold_as_it_is_listed(kinds):
    shop = FakeShop()
    at = bare(shop)
    assert settle.sold_as_of(shop, *at) == "as_found"  # nobody promised more
    shop.add(ForSale(lot=at[0], machine=at[1], sold_as="parts", ask=Decimal(100)), by="An")
    assert settle.sold_as_of(shop, *at) == "parts"
