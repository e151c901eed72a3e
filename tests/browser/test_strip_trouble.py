"""The first night on a telephone that is full or forgets, and with a shop that says no."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, Page, Route, expect
from tests.browser.conftest import House
from tests.browser.hand import Hand, shoot
from tests.browser.made import machine_of
from tests.browser.photographs import plain
from tests.browser.test_strip import Night
from tests.library import load

from retrue.phases import strip

THROWS = """IDBObjectStore.prototype.add = () => {
  throw new DOMException("full", "QuotaExceededError");
};"""
# W3C Indexed Database API 3.0, 5.4: a request may succeed and its transaction abort all the same,
# also once the page has committed it; only the browser could do that then, so it is not begun here
ABORTS = """IDBTransaction.prototype.commit = () => {};
const add = IDBObjectStore.prototype.add;
IDBObjectStore.prototype.add = function (...all) {
  const asked = add.apply(this, all);
  asked.addEventListener("success", () => this.transaction.abort());
  return asked;
};"""


@pytest.fixture
def night(page: Page, house: House, request: pytest.FixtureRequest) -> Night:
    made = Night(house, page, machine_of(house, request.node.name))
    made.open()
    return made


@pytest.fixture(scope="module")
def camera(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """What the camera gives: another photograph each time."""
    folder = tmp_path_factory.mktemp("camera")
    return (str(plain(folder, f"s{n}", n % 15, (640 + n, 480))) for n in range(1, 99))


def press(page: Page, shutter: Locator, camera: Iterator[str]) -> None:
    shoot(Hand(page), shutter, next(camera))


@pytest.mark.parametrize("full", [THROWS, ABORTS])
def test_a_full_telephone_sends_its_photograph_at_once(
    night: Night, camera: Iterator[str], full: str
) -> None:
    night.page.add_init_script(full)
    night.open()
    with night.page.expect_response(re.compile("/strip/shots")):
        press(night.page, night.shutter(), camera)
    night.nothing_waits()
    assert len(night.shots()) == 1


@pytest.mark.parametrize("full", [THROWS, ABORTS])
def test_a_full_telephone_still_ticks_and_takes_a_tick_back(night: Night, full: str) -> None:
    page = night.page
    page.add_init_script(full)
    night.open()
    for kept in (["T02"], []):
        with page.expect_navigation():
            page.locator("#safe .tick").nth(1).click()
        assert night.ticks() == kept


def test_why_the_cell_was_not_read_is_one_tap(night: Night) -> None:
    page = night.page
    with page.expect_navigation():
        page.locator("#A17").get_by_role("button", name="needs power").click()
    expect(page.locator("#A17")).to_contain_text("not possible because: needs power")


def test_a_wrong_reading_of_the_cell_is_shown_again(night: Night) -> None:
    page = night.page
    page.locator("#A17 input[name=reading]").fill("much")
    page.locator("#A17").get_by_role("button", name="Keep the reading").click()
    expect(page.locator("#refused")).to_be_visible()
    expect(page.locator("#A17 input[name=reading]")).to_have_value("much")


def test_one_parcel_that_the_laptop_fails_at_holds_no_other_back(
    night: Night, camera: Iterator[str]
) -> None:
    page, broken = night.page, []

    def fail_at_the_first(route: Route) -> None:
        body = route.request.post_data_buffer or b""
        id = re.findall(rb'name="id"\s+(\S+)', body)[0]
        broken.append(id)
        if id == broken[0]:
            route.fulfill(status=500, body="")
        else:
            route.continue_()

    page.route("**/strip/shots", fail_at_the_first)
    for _ in range(3):
        press(page, night.shutter(), camera)
    expect(page.locator("#shots-wait")).to_contain_text("1 wait on this device")
    assert len(night.shots()) == 2
    night.waits_here(1)
    page.unroute_all(behavior="ignoreErrors")
    night.open()
    night.nothing_waits()
    assert len(night.shots()) == 3


def test_what_the_shop_refused_is_not_counted_and_is_said_until_thrown_away(
    night: Night, camera: Iterator[str]
) -> None:
    page = night.page
    told = {"reason": "This is no photograph", "remedy": "Take it again."}
    page.route("**/strip/shots", lambda route: route.fulfill(status=422, json=told))
    press(page, night.shutter(), camera)
    expect(page.locator("#shots-wait")).to_contain_text("1 not taken by the shop")
    expect(page.locator("#camera h2 [data-total=shot]")).to_have_text("0")
    expect(page.locator("#outbox")).to_contain_text("This is no photograph")
    page.unroute_all(behavior="ignoreErrors")
    night.open()
    expect(page.locator("#shots-wait")).to_contain_text("1 not taken by the shop")
    page.locator("#outbox-drop").click()
    night.nothing_waits()
    assert night.shots() == []


def test_enter_in_a_reason_keeps_the_reason(night: Night) -> None:
    page = night.page
    page.goto(night.machine + "/strip/places/cabinet")
    page.locator("#A15 details summary", has_text="Not possible because").click()
    page.locator("#because-A15").fill("the cover is welded shut")
    with page.expect_navigation():
        page.locator("#because-A15").press("Enter")
    lot, key = re.findall(r"/lots/([^/]+)/machines/([^/]+)", night.machine)[0]
    stands = strip.place_stands(night.house.shop, lot, key, "cabinet", load())
    line = next(one for one in stands.entries if one.entry.id == "A15")
    assert (line.state, line.why) == ("not_possible", "the cover is welded shut")
