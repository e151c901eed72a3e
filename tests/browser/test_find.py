"""Fault-finding on a telephone: from what it does to what it was, in one hand."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import PHONE, House
from tests.browser.hand import Hand, fits
from tests.browser.made import machine_of
from tests.browser.test_prove import printed
from tests.powering import signed_up_to

from retrue.kinds.library import Kind

TRUTH = {"C55": "seen"}  # loose thrust bearings: what each look shows; all else is not seen
MOST_TAPS = 40


def told(hand: Hand, machine: str, words: str) -> str:
    """Pick a symptom; the address of its page."""
    hand.page.goto(machine + "/find")
    fits(hand.page, PHONE["width"])
    hand.turn(hand.page.locator("button[name=symptom]", has_text=words).first)
    expect(hand.page.locator("h1")).to_contain_text(words)
    return hand.page.url


def powered(house: House, kinds: Mapping[str, Kind], machine: str) -> None:
    """The stages of first power of a machine are signed; its page is named by its address."""
    parts = machine.split("/")
    signed_up_to(house.shop, parts[-3], parts[-1], kinds, "P8")


def sign(hand: Hand) -> None:
    hand.page.locator("#name").fill("Ann")
    hand.turn(hand.page.get_by_role("button", name="Stop here and sign"))


def step(hand: Hand) -> str:
    """Do what stands next; what it was."""
    page = hand.page
    fits(page, PHONE["width"])
    expect(page.locator("#costs svg:visible")).to_have_count(1)
    act = page.locator("#next .act").inner_text()
    look = page.locator("#next input[name=check]")
    if look.count():
        check = look.first.get_attribute("value") or ""
        wanted = TRUTH.get(check, "not_seen")
        hand.turn(page.locator(f'#next button[name=answer][value="{wanted}"]').first)
        return check
    if page.locator("#next input[name=stage]").count():
        sign(hand)
        return "sign"
    fault = page.locator("#next input[name=fault]")
    cured = bool(fault.count()) and fault.first.get_attribute("value") == "F38"
    outcome = "gone" if cured else "still"
    hand.turn(page.locator(f'#next button[name=outcome][value="{outcome}"]').first)
    return act


@pytest.mark.parametrize("scripted", [True, False], ids=["with scripts", "without"])
def test_from_symptom_to_cause_in_one_hand(
    browser: Browser, house: House, kinds: Mapping[str, Kind], tmp_path: Path, scripted: bool
) -> None:
    context = browser.new_context(
        viewport=PHONE, has_touch=True, accept_downloads=True, java_script_enabled=scripted
    )
    try:
        page = context.new_page()
        machine = machine_of(house, f"Found {scripted}")
        powered(house, kinds, machine)
        hand = Hand(page)
        told(hand, machine, "Backlash the same everywhere")
        done = []
        while page.locator("#next").count():
            done.append(step(hand))
            assert hand.taps <= MOST_TAPS, done
        expect(page.locator(".stands")).to_contain_text("Nothing is left to do for it")
        expect(page.locator(".tried li")).not_to_have_count(0)
        if scripted:
            assert printed(page, tmp_path, "On paper, as PDF").startswith(b"%PDF")
        page.goto(machine + "/find")
        expect(page.locator("main")).to_contain_text("gone")
    finally:
        context.close()


def test_an_earlier_answer_is_corrected_and_everything_follows(
    browser: Browser, house: House, kinds: Mapping[str, Kind]
) -> None:
    context = browser.new_context(viewport=PHONE, has_touch=True)
    try:
        page = context.new_page()
        machine = machine_of(house, "Corrected")
        powered(house, kinds, machine)
        hand = Hand(page)
        aim = told(hand, machine, "Backlash the same everywhere")
        sign(hand)
        untouched = suspects(page)
        page.goto(aim + "?step=C55")
        first = page.locator("#next .act").inner_text()
        hand.turn(page.locator('#next button[name=answer][value="seen"]').first)
        seen = suspects(page)
        page.go_back()
        page.goto(aim)
        hand.turn(page.locator("a", has_text="correct or take back").first)
        expect(page.locator(".act")).to_have_text(first)
        hand.turn(page.locator('button[name=answer][value="not_seen"]'))
        corrected = suspects(page)
        assert corrected not in (seen, untouched)
        hand.turn(page.locator("a", has_text="correct or take back").first)
        hand.turn(page.get_by_role("button", name="Take it back"))
        expect(page.locator("#next")).to_be_visible()
        assert suspects(page) == untouched
    finally:
        context.close()


def suspects(page: Page) -> list[str]:
    return page.locator("table.stack").first.locator("tr").all_inner_texts()
