"""What a form of what to do refuses, as the keyboard does; cautions once; codes of cards."""

from __future__ import annotations

import re
from datetime import date

import pytest
from tests.paper.reading import text_of as paper_text
from tests.web.bare import bare_lot
from tests.web.sent import ids
from tests.web.test_fix import Kinds, tap
from tests.web.test_fix_choices import dates
from tests.web.visitor import Visitor, text_of, values

from retrue.cases.fix.card_codes import card_code, printed_keys
from retrue.cases.fix.plan_lines import PlanRow
from retrue.phases import fix, worth
from retrue.records.facts import Shop
from retrue.records.fixing import CardMarked, Worker
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


def test_what_a_plan_assumes_is_told_from_the_shop(owner: Visitor, shop: RecordShop) -> None:
    page = text_of(owner.get("/fix/plan"))
    assert "12 h a week are taken" in page
    assert "Monday to Thursday 19:30 to 22:30" in page
    worth.keep_shop(shop, Shop(hours_a_week=20.0), by="owner")
    page = text_of(owner.get("/fix/hands"))
    assert "20 h a week are taken" in page
    assert "Saturday 09:00 to 17:00" in page
    fix.set_worker(shop, Worker(name="An", evenings=(("mon", "19:30", "22:00"),)), by="owner")
    assert "a week are taken" not in text_of(owner.get("/fix/hands"))
    assert "taken for hire" in text_of(owner.get("/fix/gear"))


def test_the_next_seven_days_of_a_plan_stand_open_and_the_rest_is_folded(
    owner: Visitor, shop: RecordShop, machine: str, kinds: Kinds, monkeypatch: pytest.MonkeyPatch
) -> None:
    card = fix.cards(shop, *ids(machine), kinds, on=date(2026, 11, 25)).cards[0]
    rows = tuple(
        PlanRow(card=card, people=("An",), begins=f"{day}T19:00", ends=f"{day}T20:00",
                late_begins=f"{day}T19:00", late_ends=f"{day}T20:00", slack_days=3.0)
        for day in ("2026-11-25", "2026-12-01", "2026-12-02", "2027-02-01")
    )  # fmt: skip
    monkeypatch.setattr(fix, "kept_plan", lambda *_, **__: dates(rows=rows))
    told = owner.get("/fix/plan").text.split('id="rows"')[1]
    soon, later = told.split("<details>")
    assert "2026-12-01 19:00" in soon
    assert "2026-12-02" not in soon
    assert "The other 2 cards" in later
    assert "2027-02-01 19:00" in later


def test_the_code_on_a_card_sheet_leads_to_its_card_and_that_of_a_visit_to_its_place(
    owner: Visitor, shop: RecordShop, machine: str, kinds: Kinds
) -> None:
    assert 'formaction="/fix/cards"' in owner.get("/").text
    for path, wanted in (
        (f"{machine}/fix/cards/J03.pdf", f"{machine}/fix/cards/J03"),
        (f"{machine}/fix/cards.pdf?place=cabinet", f"{machine}/fix/cards#cabinet"),
    ):
        (code,) = set(
            re.findall(r"\b[0-9A-Z]{4}-[0-9A-Z]{4}\b", paper_text(owner.get(path).content))
        )
        answer = owner.get(f"/fix/cards?code={code.lower()}", follow=False)
        assert answer.headers["location"] == wanted
    assert owner.get("/fix/cards?code=3333-3334").status_code == 422
    assert owner.get(f"/fix/cards?code={card_code('Lot 1', 'x', 'J01')}").status_code == 404


def test_every_card_of_every_machine_is_found_by_its_code(
    shop: RecordShop, machine: str, kinds: Kinds
) -> None:
    lot, key = ids(machine)
    made = fix.cards(shop, lot, key, kinds, on=date(2026, 11, 25))
    assert {one.key for one in made.cards} <= set(printed_keys(kinds[made.kind]))
    last = made.cards[-1].key
    code = card_code(made.lot_name, made.machine_name, last)
    assert fix.card_by_code(shop, code, kinds) == (lot, key, last)
