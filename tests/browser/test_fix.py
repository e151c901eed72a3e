"""An evening in the workshop, in a real browser: tonight, who owes what, when it will cut."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from tests.browser.conftest import PATIENCE_MS, PHONE, House, serving
from tests.browser.hand import Hand
from tests.browser.made import machine_of

from retrue.kinds.library import Kind
from retrue.phases import find, fix
from retrue.records.fixing import CardMarked, Rung
from retrue.records.seeking import Act

Kinds = Mapping[str, Kind]


@pytest.fixture
def house(kinds: Kinds, tmp_path: Path) -> Iterator[House]:
    """A shop of its own: what is put off in one test is not offered in the other."""
    with serving(kinds, tmp_path) as running:
        yield running


@pytest.fixture
def machine(house: House, kinds: Kinds) -> str:
    """A machining centre that was opened: its spindle bearings are worn; its path."""
    path = machine_of(house, "Evenings").removeprefix(house.address)
    lot, key = path.split("/")[2::2]
    find.teardown(house.shop, lot, key, "F01", True, kinds, by="owner")
    return path


def test_an_evening_by_thumb_without_javascript(
    browser: Browser, house: House, machine: str
) -> None:
    """From the front page: two hours, one card done, one thing sent out and rung about."""
    context = browser.new_context(viewport=PHONE, java_script_enabled=False)
    try:
        page = context.new_page()
        hand = Hand(page)
        page.goto(house.address + "/fix/send")
        page.locator("#of").select_option(label="Evenings: Machining centre")
        page.get_by_text("sent out", exact=True).click()
        page.locator("#what").fill("spindle cartridge")
        page.locator("#whom").fill("the spindle shop")
        page.locator("#reach").fill("053 12 34 56")
        hand.turn(page.get_by_role("button", name="Keep it"))
        page.goto(house.address)
        page.locator("#hours").fill("2.5")
        hand.turn(page.get_by_role("button", name="Ask again"))
        first = page.locator("ol.jobs > li").first
        title = first.locator(".jobhead b").inner_text()
        hand.turn(first.get_by_role("button", name="done"))
        expect(page.locator(".keptbar")).to_contain_text(title)
        assert page.locator("#hours").input_value() == "2.5"
        page.locator("#waiting input[type=date]").first.fill("2027-01-15")
        page.locator("#waiting").get_by_role("button", name="Rung").first.click()
        expect(page.locator("#waiting")).to_contain_text("Promised for 2027-01-15")
        assert len(house.shop.current(Act)) == len(house.shop.current(Rung)) == 1
    finally:
        context.close()


def test_a_tap_waits_without_a_connection_and_a_plan_says_how_far_it_is(
    context: BrowserContext, page: Page, house: House, machine: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan, looked_at = fix.plan, threading.Event()

    def little(*told: Any, **more: Any) -> object:
        """In little time, but not before somebody has seen that it is being made."""
        view = plan(*told, seconds=0.2, worlds=100, **more)
        assert looked_at.wait(PATIENCE_MS / 1000)
        return view

    monkeypatch.setattr(fix, "plan", little)
    before = len(house.shop.current(CardMarked))
    page.goto(house.address + "/fix")
    first = page.locator("ol.jobs > li").first
    context.set_offline(True)
    first.get_by_role("button", name="not tonight").click()
    expect(page.locator("#outbox")).to_contain_text("1 waits on this device")
    context.set_offline(False)
    expect(page.locator("#outbox")).to_be_hidden()
    kept = house.shop.current(CardMarked)[before:]
    assert [one.fact.how for one in kept] == ["not_now"]
    page.goto(house.address + "/fix/plan")
    page.get_by_role("button", name="Plan it").click()
    expect(page.locator("#progress progress")).to_be_visible()
    looked_at.set()
    expect(page.locator("#answer")).to_contain_text(re.compile(r"most likely on\s*20\d\d-"))
    expect(page.locator("#progress")).to_have_count(0)
