"""Selling at the keyboard: on a lot file, listed, an offer answered, promises and questions."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import HOME, Door
from tests.fakes.shop import FakeShop

from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.settling import BuyerAsked, ForSale, Offered, Posting, Promised

Call = Callable[..., Door]
LOT_FILE = str(HOME / "examples" / "ghent-school-lot.toml")
KEYS = {
    "adds", "best", "by_on", "cautions", "currency", "donor", "figures", "line", "listed",
    "lot_name", "machine_name", "month", "next", "offers", "on", "schema", "seed", "sold",
    "state", "states", "stops", "together", "waits", "why", "worlds", "worth_waiting",
}  # fmt: skip


@pytest.fixture
def lot(shop: FakeShop) -> str:
    lathe = Machine(lot="", name="lathe", kind="turning_centre", age_years=22)
    worth.new_lot(shop, Lot(name="school"), Terms(lot=""), [lathe], by="owner")
    return "school"


def told(door: Door) -> dict[str, Any]:
    assert door.code == 0, door.err
    made: dict[str, Any] = json.loads(door.out)
    return made


def test_a_lot_file_is_told_the_same_twice(call: Call) -> None:
    words = ("settle", "sell", LOT_FILE, "--machine", "lathe", "--worlds", "300", "--json")
    first = call(*words)
    made = told(first)
    assert set(made) == KEYS
    assert (made["schema"], made["currency"]) == ("settle.sell.1", "EUR")
    assert made["why"]["states.3.days"]
    assert call(*words).out == first.out


def test_cautions_stand_before_the_number_and_the_next_act_behind_it(call: Call) -> None:
    door = call("settle", "sell", LOT_FILE, "--machine", "lathe", "--worlds", "300")
    lines = door.out.splitlines()
    assert lines[0].startswith("Caution")
    places = [next(at for at, line in enumerate(lines) if word in line)
              for word in ("lawyer", "lathe, as found, for parts or repair: ask", "Next: list it",
                           "does not pay")]  # fmt: skip
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("--set-take", "100"), "set-take"),
        (("--set-ask", "100"), "sold-as"),
        (("--by", "2020-01-01"), "by_on"),
        (("--set-ask", "9", "--sold-as", "parts", "--set-take", "10"), "take"),
    ],
)
def test_what_cannot_be_is_refused_by_its_name(
    call: Call, lot: str, words: tuple[str, ...], field: str
) -> None:
    door = call("settle", "sell", lot, *words)
    assert door.code == 2
    assert field in door.err


def test_a_listing_with_open_stop_items_waits_and_as_parts_stands(call: Call, lot: str) -> None:
    running = call("settle", "sell", lot, "--set-ask", "9000", "--sold-as", "running")
    assert running.code == 3
    assert "for parts or repair" in running.err
    door = call("settle", "sell", lot, "--set-ask", "4800", "--sold-as", "parts", "--json")
    assert told(door)["listed"]["ask"] == 4800
    text = call("settle", "sell", lot, "--text", "de")
    assert "Nur für Teile oder zur Reparatur" in text.out


def test_an_offer_is_answered_taken_and_what_comes_after_is_kept(
    call: Call, lot: str, shop: FakeShop
) -> None:
    call("settle", "sell", lot, "--set-ask", "4800", "--sold-as", "parts")
    offer = told(call("settle", "offer", "a school", "9000", "--json"))
    assert (offer["say"], offer["schema"]) == ("take", "settle.offer.1")
    call("settle", "offer", "a shop in Aalst", "100")
    low = next(one for one in told(call("settle", "sell", lot, "--json"))["offers"]
               if one["whom"] == "a shop in Aalst")  # fmt: skip
    assert low["say"] == "refuse"
    door = call("settle", "offer", "a school", "--answer", "taken", "--paid", "500",
                "--tax-rate", "0.21", "--load-by", "2027-01-15")  # fmt: skip
    assert door.code == 0, door.err
    (sold,) = shop.current(Posting, sort="sold")
    assert sold.fact.source == f"offer:{offer['id']}"
    assert (str(sold.fact.tax_rate), sold.fact.tax_in) == ("0.21", False)  # as what is asked
    assert sorted(one.fact.answer for one in shop.current(Offered)) == ["", "taken"]
    after = told(call("settle", "promise", "the manual", "a school", "--json"))
    assert {one["what"] for one in after["promises"]} == {"Load it", "the manual"}
    assert after["sales"][0]["due"] == 10_390  # 9 000 and 21 % on top, less 500
    asked = told(call("settle", "asked", "Which oil?", "a school", "--json"))
    id = asked["questions"][0]["id"]
    answered = told(call("settle", "asked", "--of", id, "--answer", "ISO VG 68", "--json"))
    assert answered["questions"][0]["state"] == "answered"
    again = call("settle", "offer", "a shop in Aalst", "--answer", "taken")
    assert again.code == 3
    assert "sold already" in again.err


def test_an_answer_may_name_its_machine(call: Call, lot: str, shop: FakeShop) -> None:
    call("settle", "offer", "a school", "9000")
    refused = call("settle", "offer", "a school", "--answer", "refused", "--machine", "lathe")
    assert refused.code == 0, refused.err
    assert [one.fact.answer for one in shop.current(Offered)] == ["refused"]
    strange = call("settle", "offer", "a school", "--answer", "refused", "--machine", "mill")
    assert strange.code != 0


def test_the_book_refuses_at_the_keyboard_what_an_offer_is_refused(
    call: Call, lot: str, shop: FakeShop
) -> None:
    words = ("settle", "post", "sold", "9000", "the lathe", "--lot", lot, "--machine", "lathe")
    door = call(*words)
    assert door.code == 3
    assert "stop items or guards are open" in door.err
    assert call(*words, "--bucket", "parts").code == 0
    call("settle", "sell", lot, "--set-ask", "4800", "--sold-as", "parts")
    assert call(*words).code == 0
    assert "sold already" in call(*words[:3], "8000", *words[4:]).err
    assert len(shop.current(Posting, sort="sold")) == 2


def test_a_figure_of_ones_own_needs_no_listing(call: Call, lot: str) -> None:
    before = told(call("settle", "sell", lot, "--json"))["states"][0]
    door = call("settle", "sell", lot, "--figure", "sell_days", "20", "40", "60", "--why",
                "the last two went quickly", "--json")  # fmt: skip
    after = told(door)["states"][0]
    assert after["days"]["unsold"] < before["days"]["unsold"]
    assert after["take"] > before["take"]


def test_what_a_file_cannot_keep_is_said(call: Call, tmp_path: Path) -> None:
    door = call("settle", "sell", LOT_FILE, "--machine", "lathe", "--set-ask", "1", "--sold-as",
                "parts")  # fmt: skip
    assert door.code == 2
    assert "Keep it in the shop first" in door.err


def test_an_offer_answered_at_once_is_kept_whole_or_not_at_all(
    call: Call, lot: str, shop: FakeShop
) -> None:
    words = ("settle", "offer", "Piet", "5000", "--answer", "taken")
    assert call(*words).code == 3
    assert not shop.current(Offered)
    call("settle", "sell", lot, "--set-ask", "4800", "--sold-as", "parts")
    for more in (("--paid", "9000"), ("--tax-rate", "21"), ("--load-by", "no day")):
        assert call(*words, *more).code == 2
        assert not shop.current(Offered)
    assert call(*words).code == 0
    refused = call("settle", "offer", "Piet", "--answer", "refused")
    assert refused.code == 3
    assert "Take its sale back in the book first" in refused.err


@pytest.mark.parametrize(
    "words",
    [
        ("offer", "Jan", "5000"),
        ("promise", "the manual", "Jan"),
        ("asked", "Which oil?", "Jan"),
        ("sell", "--set-ask", "4800", "--sold-as", "parts"),
    ],
)
def test_nothing_is_kept_of_a_day_to_come(
    call: Call, lot: str, shop: FakeShop, words: tuple[str, ...]
) -> None:
    before = _kept(shop)
    door = call("settle", *words, "--on", "2031-01-01")
    assert door.code == 2
    assert "still to come" in door.err
    assert _kept(shop) == before


def _kept(shop: FakeShop) -> int:
    return sum(len(shop.current(kind)) for kind in (Offered, Promised, BuyerAsked, ForSale))


@pytest.mark.parametrize(("typed", "share"), [("21", "0.21"), ("5.5", "0.055"), ("1", "0.01")])
@pytest.mark.parametrize("option", ["--tax-rate", "--holds-tax"])
def test_tax_is_a_share_as_in_the_book(
    call: Call, lot: str, shop: FakeShop, option: str, typed: str, share: str
) -> None:
    door = call("settle", "offer", "Jan", "5000", option, typed)
    assert door.code == 2
    assert f"Write {share}." in door.err
    assert not shop.current(Offered)


def test_what_was_kept_and_answered_is_counted_for_one_and_many(call: Call, lot: str) -> None:
    for what in ("the manual", "the key"):
        made = told(call("settle", "promise", what, "a school", "--json"))
        call("settle", "promise", "--kept", made["promises"][-1]["id"])
    call("settle", "asked", "All guards proved?", "a school", "--answer", "yes, all")
    door = call("settle", "asked")
    assert "Kept: 2 promises; answered: 1 question." in door.out
    assert "Answered, not proved: “yes, all”. An answer proves nothing." in door.out
