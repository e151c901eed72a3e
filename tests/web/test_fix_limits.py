"""What a form of what to do refuses, as the keyboard does; cautions once; codes of cards."""

from __future__ import annotations

import pytest
from tests.web.bare import bare_lot
from tests.web.test_fix import tap
from tests.web.visitor import Visitor, text_of, values

from retrue.records.fixing import CardMarked
from retrue.records.shop import RecordShop


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def machine(shop: RecordShop) -> str:
    return bare_lot(shop)[0]


@pytest.mark.parametrize(
    ("how", "field", "typed"),
    [
        ("done", "hours", "1000000"),
        ("stuck", "left_hours", "1001"),
        ("not_now", "until_on", "2020-01-01"),
    ],
)
def test_hours_that_cannot_be_and_days_that_are_over_are_named(
    owner: Visitor, shop: RecordShop, machine: str, how: str, field: str, typed: str
) -> None:
    answer = owner.post("/fix/mark", tap(machine, "J01", how, **{field: typed}))
    assert answer.status_code == 422
    assert f'id="{field}-wrong"' in answer.text
    assert not shop.current(CardMarked)


def test_an_evening_is_a_quarter_of_an_hour_to_a_day(owner: Visitor, machine: str) -> None:
    for typed in ("0", "25"):
        page = owner.get(f"/fix?hours={typed}")
        assert 'id="hours-wrong"' in page.text
        assert values(page, "hours") == [typed]
    assert 'id="hours-wrong"' not in owner.get("/fix?hours=0.25").text


def test_what_stands_before_every_card_is_said_once_above_them(
    owner: Visitor, machine: str
) -> None:
    page = owner.get("/fix?hours=6")
    above, *cards = page.text.split('class="sheet job"')
    assert len(cards) > 1
    assert "This helps you plan" in above.split('id="tonight"')[1]
    assert "This helps you plan" not in "".join(cards)
    assert "Estimate for planning" in text_of(page)
