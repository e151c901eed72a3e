"""Search, list, take back and bring back at the keyboard."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

import pytest
from tests.cli.conftest import Door, keys_of_others
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot

from retrue.base.codes import code_of
from retrue.kinds.library import Kind
from retrue.phases import search
from retrue.records.facts import Finding, Note, Shop
from retrue.records.stripping import Taken
from retrue.records.waking import Sensed

Call = Callable[..., Door]


@pytest.fixture
def at(shop: FakeShop) -> dict[str, str]:
    _, _, lot, _, machine = bare_lot(shop)[0].split("/")
    return {"lot": lot, "machine": machine}


def object_of(door: Door) -> dict[str, Any]:
    assert door.code == 0, door.err
    told: dict[str, Any] = json.loads(door.out)
    assert list(told) == sorted(told)
    assert all(name in told["why"] for name, value in told.items() if value is None)
    return told


class TestSearch:
    def test_what_was_kept_is_found_with_its_page(self, call: Call, shop: FakeShop, at: Any):
        kept = shop.add(Finding(**at, check="C01", answer="seen", text="at the screw"), by="Jan")
        told = call("search", "screw")
        assert told.code == 0
        assert "seen; at the screw (Bed mill, Lot 14)" in " ".join(told.out.split())
        assert f"/lots/{at['lot']}/findings/{kept.id}" in told.out

    def test_what_the_library_knows_and_pages(self, call: Call, at: Any):
        told = call("search", "F12")
        assert "what may be wrong F12: Headstock knocked" in told.out
        assert "/settle/hours" in call("search", "own", "hours").out

    def test_the_json_form_is_in_the_manual(self, call: Call, shop: FakeShop, at: Any):
        kept = shop.add(Note(text="gib dry", **at), by="Jan", device="tablet")
        told = object_of(call("search", "gib dry", "--json"))
        assert set(told) == keys_of_others()["search"]
        (row,) = told["kept"]
        assert (row["id"], row["by"], row["device"]) == (kept.id, "Jan", "tablet")
        assert (row["what"], row["words"], row["page"]) == (
            "a note", "gib dry", f"/kept/{kept.id}",
        )  # fmt: skip
        assert told["page"] is None

    def test_a_code_on_paper_says_where_it_leads(self, call: Call, shop: FakeShop, at: Any):
        code = code_of("labels", "1")
        shop.add(Taken(**at, place="cabinet", sort="part", code=code, what="fan"), by="owner")
        told = object_of(call("search", code, "--json"))
        assert told["page"].endswith(f"/strip/apart/{code}")
        assert "leads to its page" in call("search", code).out

    def test_nothing_found_says_what_was_searched(self, call: Call, at: Any):
        told = call("search", "qqqq")
        assert told.code == 0
        assert "Nothing has “qqqq” in it." in told.out
        assert "retrue help qqqq" in " ".join(told.out.split())

    def test_more_than_anybody_types_is_refused(self, call: Call):
        told = call("search", "a" * (search.LONGEST + 1))
        assert (told.code, told.out) == (2, "")
        assert call("search").code == 2


class TestKept:
    def test_it_is_listed_taken_back_and_brought_back(self, call: Call, shop: FakeShop, at: Any):
        kept = shop.add(Note(text="Belt smells hot", **at), by="Jan")
        listed = call("note", "list", "--machine", "Bed mill", "--sort", "note")
        assert "Jan: a note: Belt smells hot (Bed mill, Lot 14)" in listed.out
        assert kept.id in listed.out
        gone = call("note", "back", kept.id, "--reason", "wrong machine")
        assert "Taken back: a note: Belt smells hot; because: wrong machine" in gone.out
        assert shop.current(Note) == []
        again = call("note", "back", kept.id, "--again")
        assert (again.code, again.out.split("\n")[0]) == (
            0,
            "Brought back: a note: Belt smells hot",
        )
        assert [one.fact.text for one in shop.current(Note)] == ["Belt smells hot"]

    def test_the_json_forms_are_in_the_manual(self, call: Call, shop: FakeShop, at: Any):
        kept = shop.add(Note(text="Belt smells hot", **at), by="Jan")
        listed = object_of(call("note", "list", "--json"))
        assert set(listed) == keys_of_others()["note list"]
        assert listed["kept"][0]["id"] == kept.id
        gone = object_of(call("note", "back", kept.id, "--json"))
        assert set(gone) == keys_of_others()["note back"]
        assert (gone["of"], gone["with"]) == (kept.id, [])

    def test_what_falls_with_it_is_told(self, call: Call, shop: FakeShop, at: Any):
        shop.add(Finding(**at, check="C01", answer="seen"), by="Jan")
        told = call("note", "back", at["machine"])
        assert told.code == 0
        assert "With it: what was found:" in told.out

    def test_all_that_falls_with_a_reading_is_told(self, call: Call, shop: FakeShop, at: Any):
        heard = shop.add(
            Sensed(**at, sort="sound", point="ear", readings=(("level_a_db", 78.0),)), by="Jan"
        )
        finding = Finding(**at, check="C95", answer="seen")
        kept = shop.add(finding, id=f"{heard.id}.learned-C95", by="Jan")
        gone = object_of(call("note", "back", heard.id, "--json"))
        assert gone["with"] == [kept.id]
        told = call("note", "back", kept.id, "--again")
        assert (told.code, told.out) == (3, "")
        assert "was taken back" in told.err

    def test_the_rules_are_those_of_the_pages(self, call: Call, shop: FakeShop):
        kept = shop.add(Shop(name="mine"), by="owner")
        told = call("note", "back", kept.id)
        assert (told.code, told.out) == (3, "")
        assert "Correct it instead" in told.err

    @pytest.mark.parametrize(
        "asked", [("note", "back", "nobody"), ("note", "list", "--sort", "no"),
                  ("note", "list", "--page", "0")],
    )  # fmt: skip
    def test_what_cannot_be_is_refused(self, call: Call, asked: tuple[str, ...]):
        assert call(*asked).code == 2

    def test_the_library_is_asked_for_names(self, call: Call, shop: FakeShop, at: Any,
                                            kinds: Mapping[str, Kind]):  # fmt: skip
        shop.add(Finding(**at, check="C01", answer="seen"), by="Jan")
        text = kinds["vertical_machining_centre"].checks["C01"].text
        assert text in " ".join(call("note", "list").out.split())
