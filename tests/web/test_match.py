"""The page of a part that may replace another: filled by the plate, kept, rule by rule."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from tests.web.bare import bare_lot
from tests.web.visitor import Visitor, text_of, values

from retrue.cases.reckon.method import methods, short
from retrue.kinds.library import Kind
from retrue.records.facts import Plate
from retrue.records.moving import Planned
from retrue.records.shop import RecordShop


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def page(shop: RecordShop) -> str:
    machine = bare_lot(shop)[0]
    key = machine.split("/")[4]
    for entry, value in (("N15", "7.5"), ("N31", "90"), ("N14", "24 V DC")):
        shop.add(Plate(machine=key, entry=entry, value=value), by="owner")
    return f"{machine}/fix/match"


def test_every_sort_of_part_has_its_page_with_cautions_before_its_rows(
    owner: Visitor, page: str
) -> None:
    for one in methods("fix"):
        told = text_of(owner.get(f"{page}/{short(one.id)}"))
        assert one.what in told, one.id
        assert told.index("Main switch off" if "X02" in one.cautions else "Do not take the cell out"
                          ) < told.index("Get this number first"), one.id  # fmt: skip
        assert "Property by property" in told


def test_a_part_that_is_kept_comes_back_filled_and_its_plate_follows_the_part(
    owner: Visitor, shop: RecordShop, page: str, kinds: Mapping[str, Kind]
) -> None:
    first = owner.get(f"{page}/motor")
    assert values(first, "need_kw") == ["7.5 kW"]
    kept = owner.post(f"{page}/motor", {"part": "axis", "has_brake": "yes", "need_kw": "7.5 kW"})
    assert kept.status_code == 200, text_of(kept)
    assert values(kept, "need_brake_volts") == ["90 V"]
    (plan,) = shop.current(Planned)
    assert dict(plan.fact.values) == {"part": "axis", "has_brake": "yes", "need_kw": "7.5 kW"}
    assert values(kept, "need_kw") == ["7.5 kW"], "typed for this motor, not the spindle's"


def test_what_repeats_the_plate_is_not_kept(owner: Visitor, shop: RecordShop, page: str) -> None:
    owner.post(f"{page}/relay", {"need_coil_volts": "24 V", "has_coil_volts": "24"})
    (plan,) = shop.current(Planned)
    assert dict(plan.fact.values) == {"has_coil_volts": "24"}


def test_a_part_of_another_book_is_not_found_here(owner: Visitor, page: str) -> None:
    assert owner.get(f"{page}/lift").status_code == 404
    assert owner.get(f"{page}/winding").status_code == 404


def test_a_field_that_cannot_be_read_is_named_and_the_others_stay(
    owner: Visitor, page: str
) -> None:
    answer = owner.post(f"{page}/belt", {"has_length_mm": "long", "need_length_mm": "1000"})
    assert answer.status_code == 422
    assert 'id="has_length_mm-wrong"' in answer.text
    assert values(answer, "need_length_mm") == ["1000"]
