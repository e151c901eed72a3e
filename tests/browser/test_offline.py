"""The laptop is away, killed and started again, also in the middle of a sending: all there once."""

from __future__ import annotations

import contextlib
import os
import signal
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, CDPSession, Page, expect
from tests.browser.conftest import PATIENCE_MS, WORLDS, House, free_port, now
from tests.browser.hand import HEARD, comes_true
from tests.browser.photographs import plain
from tests.browser.test_prove import lost_motion
from tests.web.bare import bare_lot
from tests.web.measuring import INDICATOR, begun, cells
from tests.web.visitor import Visitor

from retrue.kinds.library import Kind
from retrue.records.facts import File, Note, Shop
from retrue.records.measuring import Reading
from retrue.records.shop import Record
from retrue.store.shop import open_shop
from retrue.web.app import Settings, app

READINGS, PHOTOGRAPHS = 50, 10
LATE_MS = 150  # a poor connection: between what is sent and its answer
MIDDLE = 12  # so many are in the shop when the laptop dies with the others on their way
PROGRAM = Path(sys.executable).with_name("retrue")
QUEUE = """() => new Promise((done) => {
  const asked = indexedDB.open("retrue", 1);
  asked.onsuccess = () => {
    const all = asked.result.transaction("outbox").objectStore("outbox").getAll();
    all.onsuccess = () => done(all.result.map((item) => Object.fromEntries(
      item.entries.filter(([, value]) => typeof value === "string"))));
  };
})"""
FULL = """IDBObjectStore.prototype.add = () => {
  throw new DOMException("full", "QuotaExceededError");
};"""
BACK = "() => window.dispatchEvent(new Event('online'))"


@dataclass
class Laptop:
    """The program itself, in a process of its own, on a shop on the disk."""

    place: Path
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        command = [str(PROGRAM), "open", "--port", str(self.port), "--shop", str(self.place)]
        self.process = subprocess.Popen(
            command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL
        )
        deadline = time.monotonic() + 3 * PATIENCE_MS / 1000  # all is read in anew
        while not self._answers():
            assert self.process.poll() is None, "the program ended"
            assert time.monotonic() < deadline, "the program does not answer"
            time.sleep(0.05)

    def _answers(self) -> bool:
        try:
            with urllib.request.urlopen(self.address + "/static/mark.svg", timeout=20):
                return True
        except (urllib.error.URLError, OSError):
            return False

    def kill(self) -> None:
        """As a power cut: it has no time for anything."""
        if self.process is not None and self.process.poll() is None:
            os.kill(self.process.pid, signal.SIGKILL)
            self.process.wait(20)

    def kept(self) -> int:
        """How many readings and photographs are on the disk, seen from outside."""
        with contextlib.closing(sqlite3.connect(f"file:{self.place}?mode=ro", uri=True)) as base:
            asked = "SELECT count(*) FROM records WHERE kind IN ('reading', 'file')"
            return int(base.execute(asked).fetchone()[0])


@pytest.fixture
def laptop(kinds: Mapping[str, Kind], tmp_path: Path) -> Iterator[Laptop]:
    made = Laptop(tmp_path / "shop.sqlite")
    yield made
    made.kill()


def prepared(place: Path, kinds: Mapping[str, Kind]) -> tuple[str, str]:
    """A machine, and a set of readings that has begun."""
    shop = open_shop(str(place), clock=now)
    settings = Settings(secret="only for tests", edition="retrue", worlds=WORLDS)
    owner = Visitor(app(shop=shop, kinds=kinds, clock=now, settings=settings))
    machine = bare_lot(shop)[0]
    owner.post("/instruments", INDICATOR, follow=False)
    set = begun(owner, machine, "positioning")
    shop.close()
    return machine, set


def read(page: Page) -> list[str]:
    """Fifty readings one after the other; what was typed, with its sign."""
    typed = []
    asked = {cell.id: (place, cell) for place, cell in enumerate(cells("positioning"))}
    for number in range(READINGS):
        id = page.locator("#cell").get_attribute("value") or ""
        place, cell = asked[id]
        value = lost_motion(cell, place)
        sign = "minus" if value < 0 else "plus"
        page.locator(f"input[name=sign][value={sign}]").check(force=True)
        page.locator("#reading").fill(f"{abs(value):g}")
        page.locator("#reading").press("Enter")
        typed.append(f"{'-' if value < 0 else '+'}{abs(value):g}")
        if number + 1 < READINGS:
            expect(page.locator(f'#cell[value="{id}"]')).to_have_count(0)
    return typed


def poor(lines: list[CDPSession], late_ms: float) -> None:
    """Every answer comes so much later, on these lines."""
    for line in lines:
        line.send(
            "Network.emulateNetworkConditions",
            {
                "offline": False,
                "latency": late_ms,
                "downloadThroughput": -1,
                "uploadThroughput": -1,
            },
        )


def waits(page: Page, count: int) -> None:
    expect(page.locator("#outbox-waits")).to_contain_text(f"{count} wait on this device")


def kept_in(place: Path) -> tuple[list[Record[Reading]], list[Record[File]], int]:
    """Readings and photographs that count, in the order they were kept; and all there ever were."""
    shop = open_shop(str(place), clock=now)
    try:
        every = sum(1 for row in shop.rows() if row.kind in ("reading", "file"))
        return shop.current(Reading), shop.current(File), every
    finally:
        shop.close()


def seconds(told: Any) -> datetime:
    return datetime.fromisoformat(str(told)).replace(microsecond=0)


def test_fifty_readings_and_ten_photographs_outlive_a_laptop_that_is_killed_twice(
    context: BrowserContext, laptop: Laptop, kinds: Mapping[str, Kind], tmp_path: Path
) -> None:
    machine, set = prepared(laptop.place, kinds)
    laptop.start()
    page, night = context.new_page(), context.new_page()
    page.goto(laptop.address + set)
    night.goto(f"{laptop.address}{machine}/strip/night")
    before = laptop.kept()
    laptop.kill()

    pictures = [str(plain(tmp_path, f"p{n}", n, (640, 480))) for n in range(PHOTOGRAPHS)]
    for picture in pictures:
        night.evaluate(HEARD)
        night.locator("form.camera input[type=file]").first.set_input_files(picture)
        night.evaluate("picked")
    typed = read(page)
    waits(page, READINGS + PHOTOGRAPHS)
    expect(page.locator("ul.stays li")).to_have_count(READINGS)
    queue = page.evaluate(QUEUE)
    assert len(queue) == READINGS + PHOTOGRAPHS
    assert len({one["id"] for one in queue}) == len(queue)
    assert laptop.kept() == before

    laptop.start()
    lines = [context.new_cdp_session(one) for one in (page, night)]
    poor(lines, LATE_MS)  # or all is sent before somebody looks
    page.evaluate(BACK)
    deadline = time.monotonic() + PATIENCE_MS / 1000
    while laptop.kept() < before + MIDDLE:
        assert time.monotonic() < deadline, "nothing is sent"
        time.sleep(0.005)
    laptop.kill()  # the others are on their way, one of them perhaps on the disk unanswered
    left = page.evaluate(QUEUE)
    assert 0 < len(left) <= READINGS + PHOTOGRAPHS - MIDDLE + 1
    assert READINGS + PHOTOGRAPHS - len(left) <= laptop.kept() - before

    poor(lines, 0)
    laptop.start()
    for one in (page, night):  # both pages of the telephone at once
        one.evaluate(BACK)
    expect(page.locator("#readings")).to_be_visible()  # it looks again by itself
    for one in (page, night):
        expect(one.locator("#outbox-waits")).to_have_text("")
    expect(night.locator("#shots-wait")).to_have_text("everything is in the shop")
    stand(night, 0)
    laptop.kill()

    readings, photographs, every = kept_in(laptop.place)
    assert every == before + READINGS + PHOTOGRAPHS
    assert [one.fact.text for one in readings] == typed
    assert [one.fact.cell for one in readings] == [cell.id for cell in cells("positioning")]
    assert len({one.fact.sha256 for one in photographs}) == PHOTOGRAPHS
    told = {one["id"]: seconds(one["observed_at"]) for one in queue}
    both: list[Record[Any]] = [*readings, *photographs]
    for record in both:
        assert seconds(record.observed_at) == told[record.id]  # when it was read, not when it came


def test_what_may_not_wait_says_so_and_loses_nothing(
    page: Page, context: BrowserContext, house: House
) -> None:
    page.goto(house.address + "/shop")
    page.locator("#lift_kg").fill("2000")
    form = page.locator('form[action="/shop"]')
    context.set_offline(True)
    form.get_by_role("button").last.click()
    expect(form.locator(".says-away")).to_contain_text("This needs the laptop")
    expect(page.locator("#lift_kg")).to_have_value("2000")
    context.set_offline(False)
    form.get_by_role("button").last.click()
    expect(form.locator(".says-away")).to_have_count(0)
    assert [one.fact.lift_kg for one in house.shop.current(Shop)] == [2000]


def test_a_full_telephone_says_so_at_once_and_what_was_typed_stays(
    page: Page, context: BrowserContext, house: House
) -> None:
    page.add_init_script(FULL)
    page.goto(house.address + "/note")
    form = page.locator('form[action="/note"]')
    form.locator("[name=text]").fill("oil below the head")
    context.set_offline(True)
    form.get_by_role("button").last.click()
    expect(form.locator(".says-away")).to_contain_text("This device is full")
    expect(form.locator("[name=text]")).to_have_value("oil below the head")
    context.set_offline(False)
    form.get_by_role("button").last.click()
    expect(page.get_by_text("oil below the head").first).to_be_visible()
    assert noted(house, "oil below the head") == 1


def hangs(page: Page) -> None:
    """A line on which what this page sends never arrives, is never refused, and dies with it."""
    page.evaluate("""() => { window.fetch = (_, asked) => new Promise((done, fail) =>
      asked?.signal?.addEventListener("abort", () => fail(asked.signal.reason))); }""")


def stands_still(context: BrowserContext) -> None:
    """No time passes on this device while a slow machine opens its pages."""
    context.add_init_script(
        f"Date.now = () => {round(1000 * time.time())};"
        "AbortSignal.timeout = () => new AbortController().signal;"
    )


def stand(page: Page, count: int) -> list[dict[str, Any]]:
    """So many parcels stand on this device; the parcels."""
    comes_true(page, f"() => ({QUEUE})().then((all) => all.length === {count})")
    queue: list[dict[str, Any]] = page.evaluate(QUEUE)
    return queue


def noted(house: House, text: str) -> int:
    return sum(1 for one in house.shop.current(Note) if one.fact.text == text)


def test_a_note_on_a_line_that_hangs_outlives_its_page(
    page: Page, context: BrowserContext, house: House
) -> None:
    stands_still(context)
    page.goto(house.address + "/note")
    hangs(page)
    form = page.locator('form[action="/note"]')
    form.locator("[name=text]").fill("coolant smells")
    form.get_by_role("button").last.click()
    (parcel,) = stand(page, 1)
    other = context.new_page()  # another page of this device leaves it to the one that sends it
    other.goto(house.address + "/instruments")
    other.evaluate("sendAll()")
    assert [other.evaluate("waiting()"), noted(house, "coolant smells")] == [[], 0]
    page.goto(house.address + "/instruments")  # it was not waited for
    stand(page, 0)
    (kept,) = (one for one in house.shop.current(Note) if one.fact.text == "coolant smells")
    assert kept.id == parcel["id"]
    assert seconds(kept.observed_at) == seconds(parcel["observed_at"])


def test_what_a_closed_page_was_sending_is_sent_by_another_after_its_time(
    page: Page, context: BrowserContext, house: House
) -> None:
    stands_still(context)
    page.goto(house.address + "/note")
    hangs(page)
    page.locator("#text").fill("fan rattles")
    page.get_by_role("button", name="Keep it", exact=True).click()
    stand(page, 1)
    other = context.new_page()
    other.goto(house.address + "/instruments")
    page.close()
    other.evaluate("sendAll()")
    assert [other.evaluate("waiting()"), noted(house, "fan rattles")] == [[], 0]
    other.evaluate("const asked = Date.now; Date.now = () => asked() + 14000")
    other.evaluate("sendAll()")
    stand(other, 0)
    assert noted(house, "fan rattles") == 1


def test_a_line_that_says_nothing_is_waited_for_ten_seconds_and_no_longer(
    page: Page, house: House
) -> None:
    page.add_init_script(
        """AbortSignal.timeout = (time) => {
          const gives = new AbortController();
          (window.limits ||= []).push(time);
          setTimeout(() => gives.abort(), time === 10000 ? 100 : time);
          return gives.signal;
        }"""
    )
    page.goto(house.address + "/note")
    hangs(page)
    page.locator("#text").fill("door sticks")
    page.get_by_role("button", name="Keep it", exact=True).click()
    expect(page.locator("ul.stays li")).to_contain_text("door sticks")
    expect(page.locator("#outbox")).to_contain_text("1 waits on this device")
    expect(page.locator("#text")).to_have_value("")
    assert page.evaluate("window.limits[0]") == 10000
    page.goto(house.address + "/note")
    stand(page, 0)
    assert noted(house, "door sticks") == 1


def test_what_waits_is_said_below_its_form(
    page: Page, context: BrowserContext, house: House
) -> None:
    page.goto(house.address + "/note")
    context.set_offline(True)
    form = page.locator('form[action="/note"]')
    form.locator("[name=text]").fill("way oil on the floor")
    form.get_by_role("button").last.click()
    expect(page.locator("ul.stays li")).to_contain_text("way oil on the floor")
    expect(page.locator("#outbox")).to_contain_text("1 waits on this device")
    context.set_offline(False)
    expect(page.locator("#outbox")).to_be_hidden()
    expect(page.locator("ul.stays")).to_have_count(0)
    assert noted(house, "way oil on the floor") == 1


def test_what_was_sent_stands_in_the_list_and_what_is_being_typed_stays(
    page: Page, context: BrowserContext, house: House, tmp_path: Path
) -> None:
    page.goto(house.address + "/note")
    context.set_offline(True)
    form = page.locator('form[action="/note"]')
    form.locator("[name=picture]").set_input_files(str(plain(tmp_path, "oil", 3, (640, 480))))
    expect(page.locator("#picture-says")).to_have_text("photograph ready")
    form.locator("[name=text]").fill("grease gone hard")
    form.get_by_role("button").last.click()
    expect(page.locator("ul.stays li")).to_contain_text("grease gone hard")
    expect(page.locator("#picture-says")).to_have_text("and, or")  # the empty form begins again
    form.locator("[name=text]").fill("half a sent")
    context.set_offline(False)
    expect(page.locator("#kept")).to_contain_text("grease gone hard")
    expect(page.locator("ul.stays")).to_have_count(0)
    expect(form.locator("[name=text]")).to_have_value("half a sent")


def test_while_something_waits_it_is_tried_again_every_three_seconds(
    page: Page, house: House
) -> None:
    """Also where the browser does not say that the line is back: the laptop was shut."""
    page.add_init_script(
        "window.every = {}; window.setInterval = (act, ms) => { every[ms] = act; };"
    )
    page.goto(house.address + "/note")
    page.route("**/note", lambda route: route.abort())
    form = page.locator('form[action="/note"]')
    form.locator("[name=text]").fill("belt cracked")
    form.get_by_role("button").last.click()
    expect(page.locator("#outbox")).to_contain_text("1 waits on this device")
    page.unroute("**/note")
    page.evaluate("every[3000]()")
    expect(page.locator("#outbox")).to_be_hidden()
    expect(page.locator("#kept")).to_contain_text("belt cracked")
