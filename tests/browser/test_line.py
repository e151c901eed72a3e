"""A page that was looked at opens without the shop, says so, and keeps what is noted on it."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import PHONE, House, now, serving
from tests.browser.hand import comes_true, fits
from tests.browser.made import machine_of
from tests.web.conftest import jpeg

from retrue.kinds.library import Kind
from retrue.phases import note
from retrue.records.facts import Note
from retrue.store.proof import prove
from retrue.store.shop import open_shop

PAGES_KEPT = """async (count) =>
  (await (await caches.open("pages-1")).keys()).length === count"""


def owned(page: Page) -> None:
    """The worker answers for this page: so it is for a phone from its second look on."""
    page.evaluate("navigator.serviceWorker.ready")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")


def kept_pages(page: Page) -> list[str]:
    found: list[str] = page.evaluate(
        """async () => {
          const kept = await (await caches.open("pages-1")).keys();
          return kept.map(one => new URL(one.url).pathname).sort();
        }"""
    )
    return found


def test_offline_a_kept_page_opens_again_and_what_is_noted_on_it_waits(
    browser: Browser, kinds: Mapping[str, Kind], tmp_path: Path
) -> None:
    context = browser.new_context(viewport=PHONE, has_touch=True, locale="en-GB")
    page = context.new_page()
    try:
        with serving(kinds, tmp_path, worker=True) as house:
            page.goto(house.address + "/note")
            owned(page)
            page.goto(house.address + "/note")
            page.goto(house.address + "/instruments")
            expect(page.locator("#kept-page")).to_be_hidden()
            comes_true(page, PAGES_KEPT, 3)
            assert kept_pages(page) == ["/instruments", "/note", "/offline"]
        page.goto(house.address + "/note")  # the laptop is off
        expect(page.locator("#kept-page")).to_contain_text("No connection: this page is as it was")
        ids = set()
        for waits, text in (("1 waits", "rust on the X ways"), ("2 wait", "belt is cracked")):
            ids.add(page.locator("form[data-outbox] input[name=id]").first.input_value())
            page.locator("#text").first.fill(text)
            page.locator("form[data-outbox] button").first.click()
            expect(page.locator("#outbox-waits")).to_contain_text(f"{waits} on this device")
            page.reload()
            expect(page.locator("#kept-page")).to_be_visible()
        assert len(ids) == 2  # a page out of the keeping has new ids each time
        page.goto(house.address + "/nowhere-looked-at")
        expect(page.locator("h1")).to_have_text("No connection")
        waiting = page.evaluate("waiting().then(all => all.map(one => said(one, 'text')))")
        assert waiting == ["rust on the X ways", "belt is cracked"]
        shop = open_shop(str(tmp_path / "shop.sqlite"), clock=now)
        assert shop.current(Note) == []
        shop.close()
    finally:
        context.close()


class TurnedAway(BaseHTTPRequestHandler):
    """A laptop that has revoked this phone."""

    def do_GET(self) -> None:
        self.send_response(403)
        self.end_headers()
        self.wfile.write(b"turned away")

    def log_message(self, *_: object) -> None:
        pass


def test_first_power_is_never_shown_from_yesterday_and_who_is_turned_away_keeps_nothing(
    browser: Browser, kinds: Mapping[str, Kind], tmp_path: Path
) -> None:
    context = browser.new_context(viewport=PHONE, has_touch=True, locale="en-GB")
    page = context.new_page()
    try:
        with serving(kinds, tmp_path, worker=True) as house:
            machine = machine_of(house, "Kept")
            page.goto(machine)
            owned(page)
            for leaf in ("", "/wake", "/wake/watch", "/rest"):
                page.goto(machine + leaf)
            comes_true(page, PAGES_KEPT, 3)
            own = machine[len(house.address) :]
            assert kept_pages(page) == [own, own + "/rest", "/offline"]
        port = int(house.address.rsplit(":", 1)[1])
        with ThreadingHTTPServer(("127.0.0.1", port), TurnedAway) as other:
            thread = threading.Thread(target=other.serve_forever)
            thread.start()
            try:
                page.goto(house.address + "/note")
                comes_true(page, "async () => (await caches.keys()).length === 0")
            finally:
                other.shutdown()
                thread.join()
    finally:
        context.close()


class OnlyNotHis(BaseHTTPRequestHandler):
    """A laptop to which this phone is somebody else's now: the picture is not for him."""

    def do_GET(self) -> None:
        self.send_response(404 if "/shown/" in self.path else 200)
        self.end_headers()

    def log_message(self, *_: object) -> None:
        pass


KEPT_FILE = """async (path) => (await (await caches.open("files-1")).match(path)) """
SHOWN = """async (path) => {
  try { return (await fetch(path, {cache: "no-store"})).status; } catch { return 0; }
}"""


def test_a_kept_picture_is_shown_without_a_line_and_with_one_the_shop_is_asked_first(
    browser: Browser, kinds: Mapping[str, Kind], tmp_path: Path
) -> None:
    context = browser.new_context(viewport=PHONE, has_touch=True, locale="en-GB")
    page = context.new_page()
    try:
        with serving(kinds, tmp_path, worker=True) as house:
            file = note.keep_file(house.shop, jpeg(), "p.jpg", prove, by="owner")
            path = f"/files/{file.id}/shown/small"
            page.goto(house.address + "/note")
            owned(page)
            assert page.evaluate(SHOWN, path) == 200
            comes_true(page, KEPT_FILE + "!== undefined", path)
        assert page.evaluate(SHOWN, path) == 200  # the laptop is off: it is shown as it was
        port = int(house.address.rsplit(":", 1)[1])
        with ThreadingHTTPServer(("127.0.0.1", port), OnlyNotHis) as other:
            thread = threading.Thread(target=other.serve_forever)
            thread.start()
            try:
                assert page.evaluate(SHOWN, path) == 404
            finally:
                other.shutdown()
                thread.join()
        comes_true(page, KEPT_FILE + "=== undefined", path)
        assert page.evaluate(SHOWN, path) == 0  # and it is forgotten
    finally:
        context.close()


def test_the_manual_stands_on_a_phone(browser: Browser, house: House) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740}, locale="en-GB")
    page = context.new_page()
    try:
        for name in ("commands", "phone", "refusals-all", "vocabulary"):
            page.goto(f"{house.address}/help/{name}")
            fits(page, 360)
        page.goto(f"{house.address}/help/commands")
        assert page.evaluate("document.documentElement.scrollHeight") < 8000
        page.locator(".manual summary", has_text="retrue find").first.click()
        wide = page.evaluate(
            """() => [...document.querySelectorAll(".manual details[open] pre")]
                 .map(one => one.getBoundingClientRect().right)"""
        )
        assert wide
        assert max(wide) <= 360
        page.goto(f"{house.address}/help/vocabulary")
        cell = page.locator(".manual td").first.bounding_box()
        assert cell is not None
        assert cell["width"] > 250  # a row under the other, no column of single letters
    finally:
        context.close()
