"""The first night on a telephone: every tap is counted, and no cut of the network loses a shot."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, Route, expect
from tests.browser.conftest import PHONE, House
from tests.browser.hand import Hand, comes_true, fits, shoot
from tests.browser.made import machine_of
from tests.browser.photographs import plain
from tests.library import load

from retrue.phases import strip
from retrue.records.facts import File
from retrue.records.stripping import Ticked

SHOTS, TICKS, WIPES, MOST_TAPS = 45, 6, 3, 80
CUT_AT = 4  # shots before the network goes


@dataclass(frozen=True)
class Night:
    """The page of the first night of one machine, with the shop behind it."""

    house: House
    page: Page
    machine: str

    def open(self) -> None:
        self.page.goto(self.machine + "/strip/night")

    def shots(self) -> list[File]:
        lot, key = re.findall(r"/lots/([^/]+)/machines/([^/]+)", self.machine)[0]
        return [one.fact for one in self.house.shop.current(File, lot=lot, machine=key)]

    def ticks(self) -> list[str]:
        lot, key = re.findall(r"/lots/([^/]+)/machines/([^/]+)", self.machine)[0]
        kept = self.house.shop.current(Ticked, lot=lot, machine=key)
        return [one.fact.item for one in kept]

    def places(self) -> Locator:
        return self.page.locator(".placekeys label")

    def shutter(self) -> Locator:
        return self.page.locator(".shutter")

    def waits_here(self, count: int) -> None:
        """So many are on the telephone itself: the page may be left."""
        comes_true(
            self.page, "async (count) => !shooting && (await waiting()).length === count", count
        )

    def nothing_waits(self) -> None:
        expect(self.page.locator("#shots-wait")).to_have_text("everything is in the shop")


@pytest.fixture
def night(page: Page, house: House, request: pytest.FixtureRequest) -> Night:
    made = Night(house, page, machine_of(house, request.node.name))
    made.open()
    return made


@pytest.fixture(scope="module")
def camera(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """What the camera gives: another photograph each time."""
    folder = tmp_path_factory.mktemp("camera")

    def each() -> Iterator[str]:
        number = 0
        while True:
            number += 1
            yield str(plain(folder, f"shot{number}", number % 15, (640 + number, 480)))

    return each()


def press(hand: Hand, shutter: Locator, camera: Iterator[str]) -> None:
    """One tap opens the telephone's camera, which gives one photograph back."""
    shoot(hand, shutter, next(camera))


def take(hand: Hand, night: Night, camera: Iterator[str], most: int) -> None:
    """Place by place, two or three shots each, until as many are taken as wanted."""
    places = night.places()
    count, left = places.count(), most
    for number in range(count):
        hand.tap(places.nth(number))
        share = -(-left // (count - number))
        for _ in range(share):
            press(hand, night.shutter(), camera)
        left -= share
    assert left == 0


def test_45_shots_six_ticks_and_three_wipes_take_at_most_80_taps(
    night: Night, camera: Iterator[str]
) -> None:
    hand, page = Hand(night.page), night.page
    ticks = page.locator("#safe .tick")
    assert ticks.count() == TICKS
    for number in range(TICKS):
        hand.tap(ticks.nth(number))
    take(hand, night, camera, SHOTS)
    for number in range(WIPES):
        press(hand, page.locator(".wipekey").nth(number), camera)
    expect(page.locator("#camera h2 [data-total=shot]")).to_have_text(str(SHOTS))
    expect(page.locator("#wipe h2 [data-total=wipe]")).to_have_text(str(WIPES))
    night.nothing_waits()
    assert len(night.shots()) == SHOTS + WIPES
    assert sorted(night.ticks()) == ["T01", "T02", "T03", "T04", "T05", "T06"]
    assert hand.taps <= MOST_TAPS, hand.log
    fits(page, PHONE["width"])
    night.open()
    expect(page.locator("#camera h2 [data-total=shot]")).to_have_text(str(SHOTS))
    assert page.locator('#safe .tick[aria-pressed="true"]').count() == TICKS


def test_the_shutter_stays_on_the_page_and_names_what_it_takes_next(
    night: Night, camera: Iterator[str]
) -> None:
    hand, page = Hand(night.page), night.page
    place = night.places().nth(2)
    place.click()
    address = page.url
    expect(page.locator("#takes")).to_contain_text("Whole plate from 1 m")
    press(hand, night.shutter(), camera)
    expect(page.locator("#takes")).to_contain_text("Each plug with its number")
    page.locator("[data-stay]").check()
    press(hand, night.shutter(), camera)
    expect(page.locator("#takes")).to_contain_text("Each plug with its number")
    expect(place.locator("[data-count]")).to_have_text("2")
    night.nothing_waits()
    assert page.url == address
    assert [one.shot for one in night.shots()] == ["A10", "A11"]
    box = night.shutter().bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= PHONE["height"]
    assert box["y"] > PHONE["height"] / 2  # under the thumb


def test_a_network_cut_in_the_middle_loses_no_shot_and_doubles_none(
    night: Night, camera: Iterator[str], context: BrowserContext
) -> None:
    hand, page = Hand(night.page), night.page
    night.places().nth(0).click()
    for number in range(CUT_AT):
        press(hand, night.shutter(), camera)
        if number == 1:
            night.nothing_waits()
            context.set_offline(True)
    page.locator("#safe .tick").first.click()
    expect(page.locator("#shots-wait")).to_contain_text("3 wait on this device")
    expect(page.locator("#camera h2 [data-total=shot]")).to_have_text(str(CUT_AT))
    assert len(night.shots()) == 2
    context.set_offline(False)
    night.nothing_waits()
    assert len({one.sha256 for one in night.shots()}) == len(night.shots()) == CUT_AT
    assert night.ticks() == ["T01"]


@pytest.mark.parametrize("trouble", ["refused", "broken", "answer lost", "shut out"])
def test_a_server_that_refuses_gets_every_shot_once_when_it_is_back(
    night: Night, camera: Iterator[str], trouble: str
) -> None:
    hand, page = Hand(night.page), night.page

    def stand_in_the_way(route: Route) -> None:
        if trouble == "broken":
            route.fulfill(status=503, body="")
            return
        if trouble == "shut out":  # the telephone's pairing has ended: its shots wait, too
            told = {"reason": "This device is not paired", "remedy": "Scan the code."}
            route.fulfill(status=403, json=told)
            return
        if trouble == "answer lost":
            route.fetch()  # the shop has it, the telephone never hears so
        route.abort("connectionrefused")

    night.places().nth(1).click()
    press(hand, night.shutter(), camera)
    night.nothing_waits()
    page.route("**/strip/shots", stand_in_the_way)
    for _ in range(CUT_AT - 1):
        press(hand, night.shutter(), camera)
    expect(page.locator("#shots-wait")).to_contain_text(f"{CUT_AT - 1} wait on this device")
    if trouble == "shut out":
        expect(page.locator("#outbox")).to_contain_text("This device is not paired. Scan the code.")
    night.waits_here(CUT_AT - 1)
    page.unroute_all(behavior="ignoreErrors")
    night.open()  # the telephone was put away meanwhile; what waits is counted and sent
    expect(page.locator("#camera h2 [data-total=shot]")).to_have_text(str(CUT_AT))
    night.nothing_waits()
    page.wait_for_function("() => document.getElementById('outbox').hidden")
    assert len({one.sha256 for one in night.shots()}) == len(night.shots()) == CUT_AT


def test_photographs_taken_before_go_in_all_at_once(night: Night, camera: Iterator[str]) -> None:
    page = night.page
    night.places().nth(0).click()
    page.locator("input[name=pictures]").set_input_files([next(camera) for _ in range(5)])
    expect(page.locator("#camera h2 [data-total=shot]")).to_have_text("5")
    night.nothing_waits()
    assert len(night.shots()) == 5


def test_when_a_place_is_complete_the_page_says_that_it_may_be_cleaned(
    night: Night, camera: Iterator[str]
) -> None:
    hand, page = Hand(night.page), night.page
    night.places().nth(1).click()
    expect(page.locator("#tomorrow")).not_to_contain_text("Enclosure, doors")
    press(hand, night.shutter(), camera)
    press(hand, night.shutter(), camera)
    press(hand, page.locator(".wipekey", has_text="Enclosure"), camera)
    expect(page.locator("#tomorrow b")).to_contain_text("Enclosure, doors")


def test_a_pressed_tick_pressed_again_is_taken_back(night: Night) -> None:
    page = night.page
    tick = page.locator("#safe .tick").nth(1)
    tick.click()
    expect(tick).to_have_attribute("aria-pressed", "true")
    night.nothing_waits()
    assert night.ticks() == ["T02"]
    tick.click()
    expect(tick).to_have_attribute("aria-pressed", "false")
    night.nothing_waits()
    assert night.ticks() == []


def test_a_photograph_is_kept_whose_camera_was_open_while_an_earlier_one_arrived(
    night: Night, camera: Iterator[str]
) -> None:
    page, held, arrives = night.page, list[Route](), list[bool]()
    page.goto(night.machine + "/strip/places/cabinet")
    page.route("**/strip/shots", lambda one: one.continue_() if arrives else held.append(one))
    shutters = page.locator("article .smallcamera .opens")
    press(Hand(page), shutters.nth(0), camera)
    with page.expect_file_chooser() as opened:
        shutters.nth(1).click()
    night.waits_here(1)
    page.evaluate(
        "document.querySelectorAll('[data-fresh]').forEach((one) => { one.title = 'old'; })"
    )
    arrives.append(True)
    held[0].continue_()
    comes_true(page, "[...document.querySelectorAll('[data-fresh]')].some((one) => !one.title)")
    with page.expect_response("**/strip/shots"):
        opened.value.set_files(next(camera))
    night.waits_here(0)
    assert len(night.shots()) == 2


def test_every_act_of_the_night_works_without_scripts(
    browser, house: House, camera: Iterator[str]
) -> None:
    context = browser.new_context(viewport=PHONE, java_script_enabled=False)
    try:
        page = context.new_page()
        night = Night(house, page, machine_of(house, "No scripts"))
        night.open()
        hand = Hand(page)
        hand.turn(page.locator("#safe .tick").first)
        assert night.ticks() == ["T01"]
        page.locator('.placekeys input[value="cabinet"]').check()
        page.locator(".shutter input").set_input_files(next(camera))
        hand.turn(page.locator("#camera button", has_text="Keep"))
        expect(page.locator('.placekeys input[value="cabinet"]')).to_be_checked()
        page.locator("#wipe li input[type=file]").first.set_input_files(next(camera))
        hand.turn(page.locator("#wipe li button").first)
        kept = [(one.place, one.shot) for one in night.shots()]
        assert kept == [("cabinet", "A10"), ("outside", "A04")]
        fits(page, PHONE["width"])
    finally:
        context.close()


def test_a_place_is_brought_to_its_cleaning_on_its_own_page(
    night: Night, camera: Iterator[str]
) -> None:
    page = night.page
    page.goto(night.machine + "/strip/places/enclosure")
    page.locator('label:has(input[name=muck][value="oil"])').click()
    page.locator("#hours").fill("1.5")
    page.get_by_role("button", name="Keep: cleaned").click()
    expect(page.locator("#refused")).to_be_visible()
    expect(page.locator("#hours")).to_have_value("1.5")
    lot, key = re.findall(r"/lots/([^/]+)/machines/([^/]+)", night.machine)[0]
    kinds = load()
    page.goto(night.machine + "/strip/places/enclosure")
    press(Hand(page), page.locator("#gate .smallcamera .opens"), camera)
    expect(page.locator("#gate")).to_contain_text("2 lacking")  # by itself, nothing typed is lost
    while left := strip.place_stands(night.house.shop, lot, key, "enclosure", kinds).before_clean:
        page.goto(night.machine + "/strip/places/enclosure")
        press(Hand(page), page.locator(f"#{left[0].entry.id} .smallcamera .opens"), camera)
        night.waits_here(0)
    page.goto(night.machine + "/strip/places/enclosure")
    page.locator('label:has(input[name=muck][value="oil"])').click()
    page.get_by_role("button", name="Keep: cleaned").click()
    expect(page.locator("#cleaned")).to_contain_text("Cleaned already")
