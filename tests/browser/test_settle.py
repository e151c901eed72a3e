"""Money by thumb, in a real browser: a receipt, hours, a record that stays closed."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import PHONE, House
from tests.browser.hand import Hand, fits
from tests.browser.made import machine_of

from retrue.phases import worth
from retrue.records.facts import File
from retrue.records.settling import CaseClosed, ClockRung, HoursTold, Posting

RECEIPT = Path(__file__).parents[2] / "examples" / "settle" / "receipt.png"


@pytest.fixture(scope="module")
def machine(house: House) -> str:
    """A machining centre that was won; its path."""
    path = machine_of(house, "Money").removeprefix(house.address)
    worth.outcome(house.shop, path.split("/")[2], "won", amount=Decimal(2500), by="owner")
    return path


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A phone that runs no script."""
    context = browser.new_context(viewport=PHONE, java_script_enabled=False)
    try:
        yield context.new_page()
    finally:
        context.close()


def test_a_receipt_by_its_photograph_an_amount_and_a_machine(
    page: Page, house: House, machine: str
) -> None:
    hand = Hand(page)
    page.goto(house.address + "/settle")
    fits(page, PHONE["width"])
    page.goto(house.address + "/settle/post")
    hand.pick(page.locator("input[type=file]"), [str(RECEIPT)])
    page.locator("#sort").select_option("paid")
    hand.number(page.locator("#amount"), "123,45")
    page.locator("#what").fill("way wipers")
    page.locator("#for").select_option(label="Money: Machining centre")
    hand.tap(page.get_by_role("button", name="Keep it"))
    expect(page.locator(".keptbar")).to_contain_text("way wipers")
    (line,) = [one.fact for one in house.shop.current(Posting) if one.fact.what == "way wipers"]
    assert (line.amount, line.machine is not None) == (Decimal("123.45"), True)
    assert line.receipt in {one.fact.sha256 for one in house.shop.current(File)}
    assert (hand.taps, hand.numbers) == (4, 1)
    fits(page, PHONE["width"])


def test_a_clock_is_started_and_stopped_and_hours_are_typed(
    page: Page, house: House, machine: str
) -> None:
    hand = Hand(page)
    page.goto(house.address + "/settle/hours")
    page.get_by_label("At which machine").first.select_option(label="Money: Machining centre")
    hand.turn(page.get_by_role("button", name="Start"))
    hand.turn(page.get_by_role("button", name="Stop").first)
    assert [one.fact.how for one in house.shop.current(ClockRung)] == ["start", "stop"]
    page.goto(house.address + "/settle/hours")
    page.locator("form", has=page.get_by_role("button", name="Keep these hours")).get_by_label(
        "Hours"
    ).first.fill("2,5")
    hand.turn(page.get_by_role("button", name="Keep these hours"))
    assert [one.fact.hours for one in house.shop.current(HoursTold)] == [2.5]


def test_a_record_stays_closed_and_a_machine_is_closed_with_its_table(
    page: Page, house: House, machine: str
) -> None:
    page.goto(f"{house.address}{machine}/settle/record")
    expect(page.locator("#answer")).to_contain_text("Closed")
    fits(page, PHONE["width"])
    assert page.request.get(f"{house.address}{machine}/settle/record.pdf").status == 409
    page.goto(f"{house.address}{machine}/settle/close")
    page.get_by_text("sold", exact=True).click()
    page.get_by_role("button", name="Keep the table").click()
    expect(page.locator("#answer")).to_contain_text("Closed on")
    assert [one.fact.end for one in house.shop.current(CaseClosed)] == ["sold"]
    fits(page, PHONE["width"])
