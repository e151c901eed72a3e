"""Measuring on a telephone: the daily five, then fifty numbers, left half-way and gone on with."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from tests.browser.conftest import PHONE, House
from tests.browser.hand import Hand, fits
from tests.browser.made import machine_of
from tests.browser.test_access import picture_of
from tests.browser.test_flow import key
from tests.library import load

from retrue.cases.prove.deed import Cell, deed, options_of
from retrue.phases import prove

Read = Callable[[Cell, int], float]
DAILY = ("level", "sweep", "taper", "backlash", "float")
TYPED = 2  # numbers of each of the five that are typed; of the fifty it is more than twenty
LATE, COUNT = 23, 50  # where the fifty are left, and how many they are
FIRST, MORE, LAST = 11, 8, 3  # of them typed: before they are left, when gone on with, at the end
NEEDED = "150"  # what a test must be told and has no usual value for


def cells(test: str) -> dict[str, tuple[int, Cell]]:
    """The numbers of a test's form as its page asks them, by id."""
    one = deed(test)
    told = {o.id: NEEDED for o in one.options if o.needed and o.default is None}
    asked = one.cells(options_of(one, told))
    return {cell.id: (place, cell) for place, cell in enumerate(asked)}


def small(cell: Cell, place: int) -> float:
    """A quiet machine: two or three units, here and there the other side of nothing."""
    size = 2.0 + place % 2
    return -size if cell.signed and place % 5 == 4 else size


def swept(cell: Cell, place: int) -> float:
    """A spindle that leans by 8 µm in its circle."""
    angle = math.radians(float(cell.row.get("angle_deg", 0)))
    return round(8 * math.cos(angle) + 1, 1)


def lost_motion(cell: Cell, place: int) -> float:
    """A screw that is 10 µm too long in 300 mm and loses 6 µm when it turns round."""
    target = float(cell.row["target_mm"])
    back = -6.0 if cell.row["approach"] == "backward" else 0.0
    return round(target / 30 + back + 0.2 * (place % 3), 1)


READS: dict[str, Read] = {"sweep": swept, "positioning": lost_motion}


def own(page: Page, house: House, name: str, sort: str, unit: str, uncertainty: str) -> None:
    """An instrument of the shop, with how far one reading may be off."""
    page.goto(house.address + "/instruments")
    page.locator("#name").fill(name)
    page.locator("#sort").select_option(sort)
    key(page, "unit", unit).click()
    page.locator("#uncertainty").fill(uncertainty)
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("heading", name=name)).to_be_visible()


def begin(hand: Hand, bench: str, test: str) -> None:
    """From the list of tests to the first number."""
    page = hand.page
    page.goto(f"{bench}/{test}/new")
    for option in deed(test).options:
        if option.needed and option.default is None:
            hand.number(page.locator(f"#option-{option.id}"), NEEDED)
    picker = page.locator("label:has(input[name=instrument]:not([value='']))")
    if picker.count():
        hand.tap(picker.first)
    hand.tap(page.get_by_role("button", name="Begin"))
    expect(page.locator("#reading")).to_be_visible()


def number_after_number(hand: Hand, test: str, most: int, *, scripted: bool = True) -> int:
    """Type what the gauge shows until the form asks no more; Enter keeps and asks the next."""
    page, asked = hand.page, cells(test)
    read = READS.get(test, small)
    typed = 0
    while typed < most and page.locator("#reading").count():
        id = page.locator("#cell").get_attribute("value")
        assert id is not None
        place, cell = asked[id]
        value = read(cell, place)
        if cell.signed and value:
            sign = key(page, "sign", "minus" if value < 0 else "plus")
            if not sign.locator("input").is_checked():
                hand.tap(sign)
        if scripted:  # Chromium under test gives no focus by itself where scripts are forbidden
            expect(page.locator("#reading")).to_be_focused()
        page.locator("#reading").fill(f"{abs(value):g}")
        page.locator("#reading").press("Enter")
        after = page.locator(f'#cell:not([value="{id}"]), form[action$="/judge"]')
        expect(after.first).to_be_attached()
        page.wait_for_load_state()  # the field stands behind it
        typed += 1
    return typed


def result_of(hand: Hand) -> None:
    """All numbers are in: the result, kept."""
    hand.tap(hand.page.get_by_role("button", name="Tell me the result"))
    expect(hand.page.locator("#answer")).to_be_visible()


def printed(page: Page, folder: Path, link: str) -> bytes:
    with page.expect_download() as coming:
        page.get_by_role("link", name=link, exact=True).click()
    coming.value.save_as(folder / "sheet")
    return (folder / "sheet").read_bytes()


def test_the_daily_five_then_fifty_numbers_interrupted_half_way(
    browser: Browser, house: House, tmp_path: Path
) -> None:
    context = browser.new_context(viewport=PHONE, has_touch=True, accept_downloads=True)
    try:
        page = context.new_page()
        machine = machine_of(house, "Measured")
        own(page, house, "Level", "level", "µm/m", "4")
        own(page, house, "Indicator", "indicator", "µm", "1")
        hand = Hand(page)
        for test in DAILY:
            the_whole(hand, house, machine + "/measure", test)
        begin(hand, machine + "/measure", "positioning")
        assert len(cells("positioning")) == COUNT
        fill(house, page, "positioning", LATE - FIRST)
        assert number_after_number(hand, "positioning", FIRST) == FIRST
        progress = page.locator("#progress")
        expect(progress).to_have_attribute("aria-label", f"{LATE} of {COUNT} are in")
    finally:
        context.close()  # the telephone goes into the pocket
    context = browser.new_context(viewport=PHONE, has_touch=True, accept_downloads=True)
    try:
        gone_on_with(context, house, machine, tmp_path)
    finally:
        context.close()


def fill(house: House, page: Page, test: str, count: int) -> None:
    """The first so many numbers of a set, kept without the page; the others are typed."""
    asked = cells(test)
    texts = {id: f"{READS.get(test, small)(cell, place):g}" for id, (place, cell) in asked.items()}
    texts = dict(list(texts.items())[:count])
    set_id = re.findall(r"/sets/([^/?#]+)", page.url)[0]
    prove.keep_readings(house.shop, set_id, texts, load(), sure=True, by="owner")
    page.goto(page.url.partition("?")[0])  # where the first that is missing is asked
    place = page.locator("#progress")
    expect(place).to_have_attribute("aria-label", f"{len(texts)} of {len(asked)} are in")


def the_whole(hand: Hand, house: House, bench: str, test: str) -> None:
    """One of the daily five from set-up to its kept result, with its picture."""
    begin(hand, bench, test)
    if len(cells(test)) > TYPED:
        fill(house, hand.page, test, len(cells(test)) - TYPED)
    number_after_number(hand, test, TYPED)
    result_of(hand)
    page = hand.page
    expect(page.locator("#picture svg:visible")).to_have_count(1)
    fits(page, PHONE["width"])
    assert "machine not level" not in page.content()
    picture_of(page, f"measured-{test}")
    page.goto(bench)
    expect(page.locator(f"#test-{test}")).not_to_contain_text("not measured")


def gone_on_with(context: BrowserContext, house: House, machine: str, folder: Path) -> None:
    """On the list of tests the set waits; it goes on at its next number and ends in paper."""
    page = context.new_page()
    hand = Hand(page)
    page.goto(machine)
    link = page.locator('a[href$="/measure"]')  # in the list of all pages, which is folded
    hand.tap(page.locator("#pages details", has=link).locator("summary"))
    hand.tap(link)
    hand.tap(page.locator("#test-positioning").get_by_role("link", name="Go on"))
    expect(page.locator("#progress")).to_have_attribute("aria-label", f"{LATE} of {COUNT} are in")
    assert number_after_number(hand, "positioning", MORE) == MORE
    fill(house, page, "positioning", COUNT - LAST)
    assert number_after_number(hand, "positioning", COUNT) == LAST
    result_of(hand)
    expect(page.locator("#picture svg:visible")).to_have_count(1)
    expect(page.locator("#answer .shape")).to_be_visible()
    following = page.locator("#next")
    expect(following).to_contain_text("What to turn, shim or enter")
    expect(following).to_contain_text("You should then read")
    fits(page, PHONE["width"])
    picture_of(page, "measured-positioning")
    assert printed(page, folder, "PDF").startswith(b"%PDF")
    hand.tap(page.get_by_role("button", name="I entered it").first)
    expect(page.get_by_text("kept as a changed setting").first).to_be_visible()


def test_the_same_forms_measure_without_javascript(
    browser: Browser, house: House, tmp_path: Path
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=PHONE, accept_downloads=True)
    try:
        page = context.new_page()
        hand = Hand(page)
        machine = machine_of(house, "Measured plainly")
        begin(hand, machine + "/measure", "level")
        asked = cells("level")
        fill(house, page, "level", len(asked) - 4)
        assert number_after_number(hand, "level", 3, scripted=False) == 3
        key(page, "sign", "plus").click()
        page.locator("#reading").fill("9000")
        page.locator("#reading").press("Enter")
        expect(page.locator("#question")).to_contain_text("far from the others")
        expect(page.locator("#reading")).to_have_value("9000")
        page.locator("#reading").fill("2")
        page.locator("#reading").press("Enter")
        result_of(hand)
        assert printed(page, tmp_path, "PDF").startswith(b"%PDF")
        assert printed(page, tmp_path, "Readings, CSV").count(b"\n") > 1
    finally:
        context.close()


def test_without_a_connection_the_numbers_wait_on_the_telephone(
    page: Page, context: BrowserContext, house: House
) -> None:
    hand = Hand(page)
    begin(hand, machine_of(house, "Far from the laptop") + "/measure", "level")
    place, first = page.url, list(cells("level"))[:3]
    context.set_offline(True)
    for id in first[:2]:
        expect(page.locator("#cell")).to_have_attribute("value", id)
        key(page, "sign", "minus").click()
        page.locator("#reading").fill("3")
        page.keyboard.press("Enter")
        expect(page.locator(f'#cell[value="{id}"]')).to_have_count(0)
    expect(page.locator("#outbox")).to_contain_text("2 wait on this device")
    expect(page.locator("#waits-note")).to_be_visible()
    expect(page.locator("#cell")).to_have_attribute("value", first[2])
    context.set_offline(False)
    expect(page.locator("#readings")).to_contain_text("\u22123")
    page.goto(place)
    expect(page.locator("#readings li")).to_have_count(2)
    expect(page.locator("#cell")).to_have_attribute("value", first[2])


@pytest.mark.parametrize("sign", ["-", "\u2212"])
def test_a_typed_sign_presses_its_key(page: Page, house: House, sign: str) -> None:
    begin(Hand(page), machine_of(house, f"Signs {ord(sign)}") + "/measure", "level")
    page.locator("#reading").press_sequentially(f"{sign}3")
    expect(page.locator("input[name=sign][value=minus]")).to_be_checked()
    expect(page.locator("#reading")).to_have_value("3")
