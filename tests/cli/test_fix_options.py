"""Choices at the keyboard, of a lot in the shop and of a plain file."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.cases.fix.choosing import act, burnt, happened
from tests.cases.priced import kinds
from tests.fakes.shop import FakeShop

from retrue.cases.fix.cautions import cautions_before
from retrue.cases.lot_text import write_lot
from retrue.phases import worth
from retrue.records.facts import Finding, Lot, Machine, Terms

Call = Callable[..., Any]


@pytest.fixture
def lot(tmp_path: Path) -> str:
    path = tmp_path / "school.toml"
    path.write_text(write_lot(burnt()), encoding="utf-8")
    return str(path)


def few(*more: str) -> tuple[str, ...]:
    return (*more, "--worlds", "200")


def test_a_plain_file_is_answered_cautions_first(call: Call, lot: str) -> None:
    told = call("fix", "options", *few(lot, "--budget", "9000", "--by", "2027-02-01"))
    assert told.code == 0
    assert told.out.startswith("Caution: ")
    for words in ("A local winder", "Within €", "Go on, or stop", "like new", "2027-02-01"):
        assert words in told.out


def test_one_fault_shows_every_way_and_an_unknown_one_is_refused(call: Call, lot: str) -> None:
    told = call("fix", "options", *few(lot, "mill", "--fault", "F15"))
    assert "a local winder (local), chosen" in told.out
    assert "cures beside" in told.out
    wrong = call("fix", "options", *few(lot, "mill", "--fault", "F999"))
    assert wrong.code == 2
    assert "neither found nor likely" in wrong.err


def test_each_proposal_has_its_own_caution_before_its_money(call: Call, lot: str) -> None:
    mill, said = kinds()["vertical_machining_centre"], call("fix", "options", *few(lot, "--all"))
    text = " ".join(said.out.split()).split("from here on")[0]
    for fault in ("F03", "F85"):
        mine = cautions_before(mill, mill.faults[fault])
        assert mine
        for one in mine:
            assert text.index(one) < text.index(f" {fault} "), fault
            assert text.count(one) == 1
    assert "(found) (found)" not in text


def test_what_was_put_right_is_said_to_be(call: Call, tmp_path: Path) -> None:
    done = burnt(happened=happened(act(sort="replace", fault="F95", way="replace")))
    path = tmp_path / "done.toml"
    path.write_text(write_lot(done), encoding="utf-8")
    told = call("fix", "options", *few(str(path), "mill", "--fault", "F95"))
    assert told.code == 2
    assert "was put right" in told.err


def test_json_is_flat_with_a_reason_for_each_null(call: Call, lot: str) -> None:
    told = json.loads(call("fix", "options", *few(lot, "--json", "--level", "like_new")).out)
    assert told["schema"] == "fix.options.1"
    assert told["level"] == "like_new"
    assert {name for name, value in told.items() if value is None} == set(told["why"])
    assert told["faults"][0]["fault"] == "F15"


def test_a_choice_in_the_shop_is_kept_and_followed(call: Call, shop: FakeShop) -> None:
    made = [Machine(lot="", name="mill", kind="vertical_machining_centre", age_years=24)]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), made, by="owner")
    found = Finding(lot=view.id, machine=view.machine_id("mill"), fault="F15", answer="present",
                    grade=5, channel="apart")  # fmt: skip
    shop.add(found, by="owner")
    kept = call("fix", "choose", "school", "mill", "F15", "outside", "--why", "he is near")
    assert kept.code == 0
    assert "outside" in kept.out
    told = call("fix", "options", *few("school", "mill", "--fault", "F15"))
    assert "Your choice" in told.out
    stop = call("fix", "choose", "school", "mill", "F15", "live_with")
    assert stop.code == 2
    assert "nobody lives with it" in stop.err
    aim = call("fix", "choose", "school", "mill", "--aim", "keep", "--level", "like_new", "--json")
    assert json.loads(aim.out)["schema"] == "fix.chosen.1"
    assert call("fix", "choose", "school", "mill").code == 2
    belt = call("fix", "choose", "school", "mill", "belt", "yes")
    assert "no part that can be renewed and no extra" in belt.err
    assert "spindle_belt" in belt.err
    seal = call("fix", "choose", "school", "mill", "nose_seal", "yes")
    assert "is to be done" in seal.out
    live = call("fix", "choose", "school", "mill", "F01", "live_with")
    assert ".." not in live.err
    assert call("fix", "options", *few("school", "mill", "--by", "soon")).code == 2
