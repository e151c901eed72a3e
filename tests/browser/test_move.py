"""A lift at phone size: a plan filled in, and one that does not go; also without JavaScript."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import PHONE, House
from tests.browser.hand import Hand, fits
from tests.browser.made import machine_of


@pytest.fixture(params=[True, False], ids=["with JavaScript", "without"])
def phone(
    request: pytest.FixtureRequest, browser: Browser, house: House
) -> Iterator[tuple[Page, str]]:
    """A phone, and the address of a machine that is to be moved."""
    context = browser.new_context(viewport=PHONE, java_script_enabled=request.param)
    try:
        yield context.new_page(), machine_of(house, request.node.name)
    finally:
        context.close()


def fill(page: Page, **fields: str) -> None:
    shut = page.locator("form details:not([open]) > summary")
    while shut.count():
        shut.first.click()
    for name, text in fields.items():
        page.locator(f"#{name}").fill(text)


def test_from_get_this_first_to_a_go_with_a_picture(phone: tuple[Page, str]) -> None:
    page, machine = phone
    page.goto(machine + "/move")
    expect(page.locator(".answer")).to_contain_text("get this number first")
    Hand(page).turn(page.get_by_role("link", name="Lift", exact=True))
    fill(page, mass_kg="9260 lb", angle_deg="60", leg_rated_kg="4000", hook_rated_kg="6000")
    page.locator('label:has(input[name=centre][value="drawing"])').click()
    page.locator('label:has(input[name=mass_from][value="weighed"])').click()
    page.get_by_role("button", name="Keep and reckon").click()
    expect(page.locator("#answer")).to_contain_text("2\u202f425 kg in each leg")
    expect(page.locator("#drawing .narrow svg")).to_be_visible()
    fits(page, PHONE["width"])


def test_a_sling_too_flat_is_a_no_go_and_what_was_typed_stays(phone: tuple[Page, str]) -> None:
    page, machine = phone
    page.goto(machine + "/move/lift")
    fill(page, mass_kg="4200", angle_deg="25")
    page.get_by_role("button", name="Keep and reckon").click()
    expect(page.locator("#answer")).to_contain_text("No-go")
    expect(page.locator("#angle_deg")).to_have_value("25")
