"""What to do next, at the keyboard; and the invented shop, which is never one's own."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.cli.conftest import keys_of_others

from retrue.cli import demo_shop
from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Outcome, Terms
from retrue.records.moving import Arrived

UNKNOWN = {"gains", "hands", "minutes", "money"}  # left out where nobody knows them


@pytest.fixture
def lot(shop):
    kinds = {"mill": "vertical_machining_centre", "lathe": "turning_centre"}
    made = [Machine(lot="", name=name, kind=kind) for name, kind in kinds.items()]
    return worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")


def test_a_line_for_each_machine_and_all_of_one(call, lot):
    told = call("next")
    assert (told.code, told.err) == (0, "")
    assert told.out.splitlines()[0].startswith("mill (school): ")
    assert len(told.out.splitlines()) == 2
    one = call("next", "lathe").out
    assert one.startswith("lathe: Have the price reckoned\n")
    assert f"Page: /lots/{lot.id}\n" in one
    assert "What to pay: not reckoned yet" in one


def test_what_a_program_is_told_is_in_the_manual(call, shop, lot):
    known = keys_of_others()
    every = json.loads(call("next", "--json").out)
    assert set(every) == known["next"]
    one = json.loads(call("next", "mill", "--json").out)
    assert set(one) | UNKNOWN == known["next MACHINE"]
    assert (
        set(every["machines"][0]) | UNKNOWN | {"currency", "pages", "schema", "why"}
        == set(one) | UNKNOWN
    )
    assert (every["schema"], one["schema"]) == ("next.1", "next.machine.1")
    assert every["currency"] == one["currency"] == "EUR"
    assert type(one["minutes"]) is int
    assert one["path"] == ["begun", *["ahead"] * 7]
    shop.add(Outcome(lot=lot.id, result="lost"), by="owner")
    lost = json.loads(call("next", "mill", "--json").out)
    assert lost["act"] is None
    assert lost["why"] == {"act": "the lot was lost"}
    assert lost["because"] == "the lot was lost"


def test_the_most_pressing_stands_first(call, shop, lot):
    shop.add(Outcome(lot=lot.id, result="won"), by="owner")
    lathe = lot.machine_id("lathe")
    shop.add(
        Arrived(
            lot=lot.id,
            machine=lathe,
            delivered_on="2026-11-24",
            damage="visible",
            text="the door is bent",
        ),
        by="owner",
    )
    first = call("next").out.splitlines()[0]
    assert first == "lathe (school): Write to the carrier what is broken"


def test_no_machine_and_one_that_is_not_there_are_said(call, lot):
    refused = call("next", "mil")
    assert refused.code == 2
    assert "mill" in refused.err


def test_an_empty_shop_says_where_to_begin(call):
    assert "Begin with a lot" in call("next").out


class TestTheInventedShop:
    @pytest.fixture
    def walked(self, monkeypatch):
        """The walk in short: its own tests walk it whole."""
        walks = []

        def walk(house, shop):
            walks.append(shop)
            shop.add(Lot(name="invented"), by="owner")

        monkeypatch.setattr(demo_shop, "walk", walk)
        return walks

    @pytest.fixture
    def opened(self, house, monkeypatch):
        """Every place that was opened, and what was served, with its banner."""
        from retrue.wiring import Wired

        served: list[tuple[str | None, str]] = []

        def serve(place, lan, port, loggers, tls=False, banner=""):
            assert place is not None
            assert Path(place).exists()
            with Wired().open_shop(place) as shop:
                assert [one.fact.name for one in shop.current(Lot)] == ["invented"]
                shop.add(Lot(name="mine"), by="owner")
            served.append((place, banner))

        object.__setattr__(house, "serve", serve)
        object.__setattr__(house, "open_shop", Wired().open_shop)
        return served

    def test_it_is_walked_once_copied_each_time_and_marked(self, call, house, walked, opened):
        for _ in range(2):
            assert call("open", "--demo").code == 0
        assert len(walked) == 1
        places = [Path(place) for place, _ in opened]
        assert all(banner.startswith("Invented") for _, banner in opened)
        assert places[0] != places[1], "what was done in the first is not in the second"
        assert not any(place.exists() for place in places)
        assert not (house.data_folder / "shop.sqlite").exists()

    def test_it_never_opens_ones_own_shop(self, call, opened):
        refused = call("open", "--demo", "--shop", "mine.sqlite")
        assert refused.code == 2
        assert "leave --shop out" in refused.err
        assert opened == []
