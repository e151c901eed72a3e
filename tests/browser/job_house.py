"""A shop with a day of its own, and its owner: taps and types, and minds what the pages answer."""

from __future__ import annotations

import contextlib
import re
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, Response, expect
from tests.browser.conftest import answering, free_port
from tests.browser.hand import comes_true, fits

from retrue.kinds.library import Kind
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app

WORLDS = 100  # of every price; what is walked are the pages, not the sums
# Of fields by name: whether something is chosen in it, and whether it stands in a closed fold.
FIELDS = """(form, names) => names.map((name) => {
  const field = form.querySelector(`[name="${name}"]:not([type=hidden])`);
  return [field.tagName === "SELECT", field.closest("details:not([open])") !== null];
})"""
STOOD = "document.getElementById('page').dataset.stood = 'yes'"
SENT = "async () => !shooting && !(await shelf('readonly', (store) => store.count()))"
# A device's clock set on by so many milliseconds: on the page that stands, or on one that comes.
SET_ON = """{
  const Before = Date, by = %d;
  Date = class extends Before {
    constructor(...told) { super(...(told.length ? told : [Date.now()])); }
    static now() { return Before.now() + by; }
  };
}"""
BEGINS = datetime(2026, 11, 26, 18, 30).astimezone()  # a Thursday, after work


@dataclass
class Days:
    """The clock of the story: it goes on by itself, and by days where the story does."""

    ahead: timedelta = timedelta()
    started: float = field(default_factory=time.monotonic)

    def now(self) -> datetime:
        """The moment it is."""
        return BEGINS + self.ahead + timedelta(seconds=time.monotonic() - self.started)


@dataclass(frozen=True)
class JobHouse:
    """A server that runs, the shop behind it, the day it has there."""

    address: str
    shop: SqlShop
    days: Days


@contextlib.contextmanager
def job_house(kinds: Mapping[str, Kind], folder: Path) -> Iterator[JobHouse]:
    """An empty shop on a free port, on the evening on which the story begins."""
    port, days = free_port(), Days()
    shop = open_shop(str(folder / "shop.sqlite"), clock=days.now)
    settings = Settings(secret="only for tests", port=port, edition="retrue", worlds=WORLDS)
    made = app(shop=shop, kinds=kinds, clock=days.now, settings=settings)
    try:
        with answering(made, port):
            yield JobHouse(f"http://127.0.0.1:{port}", shop, days)
    finally:
        shop.close()


@dataclass
class Owner:
    """Somebody with one device, who does what a page lets him do, and sees that nothing breaks."""

    page: Page
    house: JobHouse
    kinds: Mapping[str, Kind]
    folder: Path
    scripted: bool
    lot: str = ""  # paths, once they are known
    mill: str = ""
    lathe: str = ""
    troubles: list[str] = field(default_factory=list)  # answers of 4xx and 5xx, errors of scripts
    followed: list[str] = field(default_factory=list)  # steps of the machine's page that led on
    papers: list[str] = field(default_factory=list)  # PDF that were fetched

    def __post_init__(self) -> None:
        self.page.on("response", self._answered)
        self.page.on("pageerror", lambda error: self.troubles.append(str(error)))

    def _answered(self, answer: Response) -> None:
        if answer.status >= 400:
            self.troubles.append(f"{answer.status} {answer.request.method} {answer.url}")

    @property
    def today(self) -> date:
        """The day of the story."""
        return self.house.days.now().date()

    def later(self, **step: float) -> None:
        """The story goes on by days or hours; the device's own clock goes with it."""
        self.house.days.ahead += timedelta(**step)
        if self.scripted:
            self.sets_on(timedelta(**step))

    def sets_on(self, step: timedelta) -> None:
        """The device's clock: lighter than the test tool's, which takes over every timer."""
        script = SET_ON % round(step / timedelta(milliseconds=1))
        self.page.context.add_init_script(script)
        self.page.evaluate(f"() => {script}")

    def opens(self, path: str) -> None:
        """Go to a page by its address, as a bookmark does."""
        answer = self.page.goto(self.house.address + path)
        assert answer is not None
        assert answer.status == 200, f"{answer.status} {path}"

    def tap(self, what: Locator) -> None:
        """A finger on the telephone, a mouse on the laptop."""
        if self.scripted:
            what.tap()
        else:
            what.click()

    def turn(self, what: Locator) -> None:
        """Tap what leads to another page; it stands, and fits the screen."""
        with self.page.expect_event("load"):  # not: to a place on this page
            self.tap(what)
        self.sees_a_whole_page()

    def presses(self, what: Locator) -> None:
        """Tap what keeps something: with scripts the page changes in its place, else it is new."""
        self.unfold(what)
        if self.scripted:
            self.changes(what)
        else:
            self.turn(what)

    def changes(self, what: Locator) -> None:
        """Tap what brings another page, here or anew: the one that stood is gone."""
        self.page.evaluate(STOOD)
        self.tap(what)
        expect(self.page.locator("#page[data-stood]")).to_have_count(0)

    def ticks(self, what: Locator) -> None:
        """Tap a tick: with scripts it is pressed at once, and sent from behind."""
        if self.scripted:
            self.tap(what)
            expect(what).to_have_attribute("aria-pressed", "true")
            self.all_is_sent()
        else:
            self.turn(what)

    def all_is_sent(self) -> None:
        """Nothing stands on the device any more: what was pressed or shot is in the shop."""
        comes_true(self.page, SENT)

    def leaves(self, what: Locator) -> None:
        """Tap what brings the next page, whether it is loaded anew or changed in its place."""
        here = self.page.url
        self.changes(what)
        expect(self.page).not_to_have_url(here)
        self.sees_a_whole_page()

    def sees_a_whole_page(self) -> None:
        """Nothing is wider than the screen, and nothing broke."""
        size = self.page.viewport_size
        assert size is not None
        fits(self.page, size["width"])
        assert self.troubles == [], self.troubles

    def link(self, end: str) -> Locator:
        """The first link of the page that can be seen and leads where this address ends."""
        return self.page.locator(f'#main a[href$="{end}"]:visible').first

    def form(self, end: str) -> Locator:
        """The form that is sent where this address ends."""
        return self.page.locator(f'#main form[action$="{end}"]').first

    def key(self, name: str, value: str, within: Locator | None = None) -> None:
        """The key of one radio button or tick."""
        around = within if within is not None else self.page.locator("#main")
        key = around.locator(f'label:has(input[name="{name}"][value="{value}"])').first
        self.unfold(key)
        self.tap(key)

    def types(self, within: Locator | None = None, **fields: str) -> None:
        """Text into fields by name; what is folded is unfolded first, as one would."""
        around = within if within is not None else self.page.locator("#main")
        told = around.evaluate(FIELDS, list(fields))
        for (name, text), (chosen, folded) in zip(fields.items(), told, strict=True):
            place = around.locator(f'[name="{name}"]:not([type=hidden])').first
            if folded:
                self.unfold(place)
            if chosen:
                place.select_option(text)
            else:
                place.fill(text)

    def unfold(self, what: Locator) -> None:
        """Open every closed fold that something stands in, the outermost first."""
        shut = what.locator("xpath=ancestor::details[not(@open)]")
        for left in reversed(range(shut.count())):
            self.tap(shut.first.locator("xpath=./summary"))
            expect(shut).to_have_count(left)

    def sends(self, form: Locator, button: str = "button:not([type=button])") -> None:
        """Press a form's key, the first unless another is named; its answer stands."""
        what = form.locator(button).first
        self.unfold(what)
        self.turn(what)

    def reads(self, *words: str | re.Pattern[str], at: str = "#main") -> None:
        """The page says this."""
        for one in words:
            expect(self.page.locator(at).first).to_contain_text(one)

    def follows(self, machine: str, end: str) -> None:
        """The machine's page names the next step, and its key leads to the page that is wanted."""
        self.opens(machine)
        key = self.page.locator("#next a.button")
        leads = key.get_attribute("href") or ""
        assert re.search(end, leads), f"{leads}: {self.page.locator('#next').inner_text()}"
        self.followed.append(leads)
        self.turn(key)

    def paper(self, end: str) -> bytes:
        """A PDF by its link on this page; what it holds."""
        where = self.page.locator(f'#main a[href*="{end}"]').first.get_attribute("href")
        assert where is not None
        answer = self.page.request.get(self.house.address + where)
        assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf"), where
        self.papers.append(where)
        content = answer.body()
        assert content.startswith(b"%PDF")
        return content

    def refused(self, act: Callable[[], Any], status: int) -> None:
        """What is done is refused, as it should be, and the page says so."""
        with self.page.expect_response(lambda one: one.status >= 400) as answer:
            act()
        assert answer.value.status == status
        self.page.wait_for_load_state("load")
        self.troubles.clear()
