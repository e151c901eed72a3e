"""Renewals and extras in a shop: what was kept counts, the newest reading, nothing written."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime

import pytest
from tests.fakes.shop import FakeShop
from tests.phases.sensing import level

from retrue.base.refusals import Unknown
from retrue.cases.fix.choice_lines import Together, Upgrades
from retrue.kinds.library import Kind
from retrue.phases import prove, worth
from retrue.phases.fix.choosing import choose
from retrue.phases.fix.together import together, together_case
from retrue.phases.fix.upgrades import upgrades, upgrades_case
from retrue.records.fixing import CardMarked, Chosen
from retrue.records.measuring import Result
from retrue.records.shop import RecordShop

NOW = datetime(2026, 11, 26, 19, 0, tzinfo=UTC)
Kinds = Mapping[str, Kind]


@pytest.fixture
def shop() -> RecordShop:
    """In memory: nothing is written here but by deeds that are tried elsewhere."""
    return FakeShop()


def weigh(shop: RecordShop, kinds: Kinds) -> Together:
    return together(shop, "school", "mill", kinds, place="cabinet", now=NOW, worlds=200)


def extras(shop: RecordShop, kinds: Kinds) -> Upgrades:
    return upgrades(shop, "school", "mill", kinds)


def renews(told: Together) -> dict[str, bool]:
    return {one.id: one.renew for one in told.rows}


@pytest.mark.usefixtures("lot")
def test_a_choice_that_is_kept_counts_and_the_newest_of_a_part(shop: RecordShop, kinds: Kinds):
    free = weigh(shop, kinds)
    assert renews(free)["drive_fans"]
    for yes in (True, False):
        fact = Chosen(lot="", machine="", sort="renew", what="drive_fans", yes=yes)
        choose(shop, "school", "mill", kinds, fact, by="owner")
    told = weigh(shop, kinds)
    assert not renews(told)["drive_fans"]
    assert told.owner_costs > 0
    assert [one.by_owner for one in told.rows if one.id == "drive_fans"] == [True]


def test_a_card_that_is_marked_done_makes_the_part_new(shop: RecordShop, kinds: Kinds, lot):
    mark = CardMarked(lot=lot.id, machine=lot.machine_id("mill"), card="renew:drive_fans",
                      how="done", marked_on="2026-11-20")  # fmt: skip
    shop.add(mark, by="owner")
    [fans] = [one for one in weigh(shop, kinds).rows if one.id == "drive_fans"]
    assert fans.age_years == pytest.approx(6 / 365.25)
    assert not fans.renew


@pytest.mark.usefixtures("lot")
def test_the_same_from_the_shop_and_from_its_case(shop: RecordShop, kinds: Kinds):
    case = worth.case_of(shop, "school")
    asked = {"place": "cabinet", "now": NOW, "worlds": 200}
    assert together_case(case, "mill", kinds, **asked) == weigh(shop, kinds)
    assert upgrades_case(case, "mill", kinds) == extras(shop, kinds)


@pytest.mark.usefixtures("lot")
def test_the_newest_level_at_the_ear_counts_cutting_before_idling(shop: RecordShop, kinds: Kinds):
    assert extras(shop, kinds).values == {}
    level(shop, kinds, 84.0)
    assert extras(shop, kinds).values["level_a_db"] == 84.0
    level(shop, kinds, 91.0, state="cutting")
    level(shop, kinds, 60.0, state="machine off")
    level(shop, kinds, 99.0, point="at the pump", state="cutting")
    level(shop, kinds, 83.0)
    told = extras(shop, kinds)
    assert told.values["level_a_db"] == 91.0
    assert any("cutting" in line for line in told.assumed)


@pytest.mark.usefixtures("lot")
def test_a_telephone_is_said_to_be_one(shop: RecordShop, kinds: Kinds):
    level(shop, kinds, 84.0)
    assert not any("no known level" in line for line in extras(shop, kinds).assumed)
    level(shop, kinds, 84.0, options={})
    assert any("give or take 5 dB" in line for line in extras(shop, kinds).assumed)


@pytest.mark.usefixtures("lot")
def test_light_that_was_read_counts_until_it_is_taken_back(shop: RecordShop, kinds: Kinds):
    made = prove.keep_sensed(shop, "school", "mill", "light", kinds, readings=[("lux", 240.0)],
                             by="owner")  # fmt: skip
    assert extras(shop, kinds).values["lux"] == 240.0
    prove.take_back_sensed(shop, made.record.id, by="owner")
    assert extras(shop, kinds).values == {}


@pytest.mark.usefixtures("lot")
def test_an_extra_that_is_chosen_is_chosen(shop: RecordShop, kinds: Kinds):
    fact = Chosen(lot="", machine="", sort="upgrade", what="paint")
    choose(shop, "school", "mill", kinds, fact, by="owner")
    assert [one.id for one in extras(shop, kinds).rows if one.chosen] == ["paint"]
    assert not any(one.chosen for one in upgrades(shop, "school", "lathe", kinds).rows)


def test_a_proof_of_light_counts_as_a_reading_does(shop: RecordShop, kinds: Kinds, lot):
    answer = json.dumps({"mean_lux": 410.0, "why": {}})
    proof = Result(lot=lot.id, machine=lot.machine_id("mill"), set="s", test="light",
                   readings="0" * 64, answer=answer)  # fmt: skip
    shop.add(proof, by="owner")
    assert extras(shop, kinds).values["lux"] == 410.0


@pytest.mark.usefixtures("lot")
def test_nothing_is_written_by_asking(
    shop: RecordShop, kinds: Kinds, monkeypatch: pytest.MonkeyPatch
):
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError

    monkeypatch.setattr(shop, "add", refuse)
    assert weigh(shop, kinds).rows
    assert extras(shop, kinds).rows
    with pytest.raises(Unknown):
        upgrades(shop, "school", "saw", kinds)
