from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from tests.browser.conftest import PHONE, House
from tests.browser.hand import Hand
from tests.browser.made import lot_of, machine_of
from tests.browser.photographs import twelve

MOST_TAPS, MOST_NUMBERS, MOST_JUDGING = 12, 4, 45
# What each of the twelve shows, and one thing seen on it (None: nothing bad).
SEEN: tuple[tuple[str, str | None], ...] = (
    ("W_outside", None),
    ("W_cabinet", "first"),
    ("W_ways", "first"),
    ("W_tank", None),
    ("W_spindle", None),
    ("W_inside", "first"),
    ("W_outside", None),
    ("W_panel", "first"),
    ("W_chuck_turret", None),
    ("W_back", "first"),
    ("W_feet", None),
    ("W_loose", None),
)


@pytest.fixture(scope="module", autouse=True)
def another(house: House) -> str:
    """A lot that is there already: how the very first one is made is another test's."""
    return lot_of(house, "Before")


def key(page: Page, name: str, value: str) -> Locator:
    """The key a finger would hit for one radio button."""
    return page.locator(f'label:has(input[name="{name}"][value="{value}"])')


def cabinet(page: Page) -> None:
    """The photograph shows the first machine's cabinet; what may be seen there is asked."""
    machine = page.locator("button[name=machine]").first
    machine.click()
    expect(machine).to_have_attribute("aria-pressed", "true")
    page.locator('button[name=shot][value="W_cabinet"]').click()
    expect(page.locator("button[name=answer]").first).to_be_visible()


def new_lot(hand: Hand, house: House, pictures: list[str], name: str) -> str:
    """From my lots to the first price; returns the lot's address."""
    page = hand.page
    page.goto(house.address + "/")
    hand.tap(page.get_by_role("link", name="New lot"))
    hand.pick(page.locator("#pictures"), pictures)
    hand.tap(key(page, "count-vertical_machining_centre", "1"))
    hand.tap(key(page, "count-turning_centre", "1"))
    hand.number(page.locator("#bid_now"), "9400")
    hand.number(page.locator("#premium"), "16")
    hand.number(page.locator("#distance_km"), "42")
    hand.number(page.locator("#closes_at"), "2026-12-03T18:00")
    hand.tap(page.get_by_role("button", name="Tell me the price"))
    expect(page.locator("#amount")).to_be_visible()
    return page.url


def judge(hand: Hand, lot: str, shown: tuple[tuple[str, str | None], ...]) -> int:
    """All photographs, one at a time; how often the price line said that it was kept."""
    page, kept = hand.page, 0
    hand.tap(page.get_by_role("link", name="Start looking"))
    for position, (view, seen) in enumerate(shown):
        expect(page.get_by_text("What does it show?").first).to_be_visible()
        half = len(shown) // 2
        if position in (0, half):  # the photographs come machine by machine
            machine = page.locator("button[name=machine]").nth(position // half)
            hand.tap(machine)
            expect(machine).to_have_attribute("aria-pressed", "true")
        hand.tap(page.locator(f'button[name=shot][value="{view}"]'))
        answers = page.locator("button[name=answer]")
        expect(answers.first).to_be_visible()
        if seen:
            hand.tap(answers.first)
            expect(page.locator("#answer-1")).to_have_attribute("aria-pressed", "true")
            kept += page.locator("#price-line .kept").count()
            hand.tap(page.locator("#onward"))
        else:
            here = page.url
            hand.tap(page.locator('button[name=answer][value="nothing_bad"]'))
            expect(page).not_to_have_url(here)
    expect(page).to_have_url(re.compile(re.escape(lot) + "$"))
    return kept


def freeze_and_print(page: Page, folder: Path) -> bytes:
    page.get_by_role("link", name="Freeze", exact=True).click()
    page.get_by_role("button", name="Freeze this number").click()
    expect(page.get_by_text("Three dangers")).to_be_visible()
    with page.expect_download() as coming:
        page.get_by_role("link", name="This page as PDF").click()
    coming.value.save_as(folder / "frozen.pdf")
    return (folder / "frozen.pdf").read_bytes()


def test_a_first_price_within_twelve_taps_and_all_photographs_within_forty_five_more(
    page: Page, house: House, tmp_path: Path
) -> None:
    hand = Hand(page)
    lot = new_lot(hand, house, twelve(tmp_path), "Counted")
    assert hand.numbers <= MOST_NUMBERS, hand.log
    assert hand.taps <= MOST_TAPS, hand.log
    first = hand.taps
    assert judge(hand, lot, SEEN) == sum(1 for _, seen in SEEN if seen)
    assert hand.taps - first <= MOST_JUDGING, hand.log
    expect(page.get_by_text("0 not looked at yet")).to_be_visible()
    assert freeze_and_print(page, tmp_path).startswith(b"%PDF")


def test_the_same_forms_work_without_javascript(
    browser: Browser, house: House, tmp_path: Path
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=PHONE, accept_downloads=True)
    try:
        page = context.new_page()
        hand = Hand(page)
        pictures, shown = twelve(tmp_path), SEEN[1:2] + SEEN[6:7]
        lot = new_lot(hand, house, pictures[1:2] + pictures[6:7], "Plain")
        assert judge(hand, lot, shown) == sum(1 for _, seen in shown if seen)
        expect(page.get_by_text("0 not looked at yet")).to_be_visible()
        assert freeze_and_print(page, tmp_path).startswith(b"%PDF")
    finally:
        context.close()


def test_next_follows_the_answer_directly_on_a_phone(page: Page, house: House) -> None:
    new_lot(Hand(page), house, [], "Fold")
    page.wait_for_load_state("load")
    page.evaluate(
        "() => document.fonts.ready.then(() => true)"
    )  # or the first box is another font's
    answer, onward = page.locator("#answer").bounding_box(), page.locator("#next").bounding_box()
    assert answer is not None
    assert onward is not None
    assert 0 <= onward["y"] - (answer["y"] + answer["height"]) <= 32


def test_a_large_photograph_is_made_smaller_before_it_is_sent(
    page: Page, house: House, tmp_path: Path
) -> None:
    from PIL import Image

    large = tmp_path / "large.jpg"
    Image.effect_noise((3000, 2250), 80).convert("RGB").save(large, "JPEG", quality=95)
    lot = new_lot(Hand(page), house, [str(large)], "Large")
    page.goto(lot + "/pictures")
    address = page.locator("img").first.get_attribute("src")
    assert address is not None
    kept = page.request.get(house.address + address.replace("/shown/small", ""))
    assert len(kept.body()) < large.stat().st_size / 2


@pytest.mark.parametrize("javascript", [True, False])
def test_a_wrong_number_is_shown_beside_its_field_and_nothing_is_lost(
    browser: Browser, house: House, javascript: bool
) -> None:
    context = browser.new_context(java_script_enabled=javascript, viewport=PHONE)
    try:
        page = context.new_page()
        page.goto(house.address + "/lots/new")
        key(page, "count-turning_centre", "1").click()
        page.fill("#bid_now", "4.500,00")
        page.fill("#distance_km", "60")
        page.get_by_role("button", name="Tell me the price").click()
        expect(page.locator("#bid_now-wrong")).to_be_visible()
        assert page.locator("#bid_now").input_value() == "4.500,00"
        assert page.locator("#distance_km").input_value() == "60"
        assert key(page, "count-turning_centre", "1").locator("input").is_checked()
    finally:
        context.close()


def test_the_number_pad_types_beside_the_photograph(browser: Browser, house: House) -> None:
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
    try:
        page = context.new_page()
        page.goto(machine_of(house, "Plate") + "/plate")
        weight = page.get_by_label("Weight", exact=True)
        weight.tap()
        expect(weight).to_be_focused()
        for sign in ("4", "2", "0", "7", "take the last sign away", "0"):
            page.get_by_role("button", name=sign, exact=True).tap()
        expect(weight).to_have_value("4200")
        Hand(page).turn(page.get_by_role("button", name="Keep what I typed"))
        expect(weight).to_have_value("4200")
    finally:
        context.close()


def test_a_tap_and_a_note_without_a_connection_wait_here_and_are_sent_when_it_is_back(
    browser: Browser, house: House, tmp_path: Path
) -> None:
    context = browser.new_context(viewport=PHONE)
    try:
        page = context.new_page()
        lot = lot_of(house, "Outbox", twelve(tmp_path)[:1])
        page.goto(lot + "/pictures/next")
        cabinet(page)
        expect(page.locator("button[name=answer]").first).to_be_visible()
        context.set_offline(True)
        page.locator("button[name=answer]").first.click()
        expect(page.locator("#outbox")).to_contain_text("1 waits on this device")
        context.set_offline(False)
        page.evaluate("window.dispatchEvent(new Event('online'))")
        expect(page.locator("#answer-1")).to_have_attribute("aria-pressed", "true")
        expect(page.locator("#outbox")).to_be_hidden()
        page.goto(house.address + "/note")
        context.set_offline(True)
        for words in ("Belt squeals when cold", "Second one"):
            page.fill("#text", words)
            page.get_by_role("button", name="Keep it", exact=True).click()
            expect(page.locator("#text")).to_have_value("")
        expect(page.locator("#outbox")).to_contain_text("2 wait on this device")
        context.set_offline(False)
        page.evaluate("window.dispatchEvent(new Event('online'))")
        expect(page.locator("#outbox")).to_be_hidden()
        page.goto(house.address + "/note")
        expect(page.get_by_text("Belt squeals when cold")).to_have_count(1)
        expect(page.get_by_text("Second one")).to_have_count(1)
    finally:
        context.close()


def test_a_key_pressed_by_keyboard_keeps_the_focus(
    page: Page, house: House, tmp_path: Path
) -> None:
    lot = lot_of(house, "Focus", twelve(tmp_path)[:1])
    page.goto(lot + "/pictures/next")
    cabinet(page)
    expect(page.locator("#answer-2")).to_be_visible()
    page.locator("#answer-2").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#answer-2")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#answer-2")).to_be_focused()


def test_the_visit_is_typed_in_within_three_minutes_of_taps(page: Page, house: House) -> None:
    """One tap a box on one page: at two seconds a tap, sixty boxes fit into two minutes."""
    lot = lot_of(house, "Visit")
    page.goto(lot + "/visit")
    Hand(page).turn(page.get_by_role("button", name="Make it", exact=True))
    hand = Hand(page)
    boxes = page.locator("fieldset:has(input[name^=answer-])")
    assert boxes.count() > 20
    for position in range(boxes.count()):
        hand.tap(boxes.nth(position).locator("label").nth(1))
    hand.tap(page.get_by_role("button", name="Keep it all and tell me the price"))
    expect(page.locator("#answer")).to_be_visible()
    assert hand.taps * 2 <= 120, hand.taps
    with page.expect_download() as coming:
        page.goto(lot + "/visit")
        page.get_by_role("button", name="Make it", exact=True).click()
        page.get_by_role("link", name="The paper, as PDF").click()
    assert coming.value.suggested_filename.startswith("visit-")


def test_two_quick_taps_are_both_kept_and_both_shown(
    page: Page, house: House, tmp_path: Path
) -> None:
    lot = lot_of(house, "Quick", twelve(tmp_path)[:1])
    page.goto(lot + "/pictures/next")
    cabinet(page)
    expect(page.locator("#answer-3")).to_be_visible()
    page.evaluate("['answer-1', 'answer-3'].forEach(id => document.getElementById(id).click())")
    for key_id in ("#answer-1", "#answer-3"):
        expect(page.locator(key_id)).to_have_attribute("aria-pressed", "true")
    page.reload()
    for key_id in ("#answer-1", "#answer-3"):
        expect(page.locator(key_id)).to_have_attribute("aria-pressed", "true")
