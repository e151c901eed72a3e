"""A hand that counts: every tap and every typed number of an owner in a hurry."""

from __future__ import annotations

import contextlib
import time
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import Error, Locator, Page
from tests.browser.conftest import PATIENCE_MS


@dataclass
class Hand:
    """Taps and types like a person; a field that is typed in was tapped before."""

    page: Page
    taps: int = 0
    numbers: int = 0
    log: list[str] = field(default_factory=list)

    def tap(self, what: Locator) -> None:
        self.taps += 1
        self.log.append(f"tap {what}")
        what.click()

    def turn(self, what: Locator) -> None:
        """Tap what leads to another page, and wait until that page stands."""
        with self.page.expect_navigation():
            self.tap(what)

    def pick(self, field: Locator, files: list[str]) -> None:
        """One tap opens the picker; the pictures are marked there, one more tap closes it."""
        self.taps += 2
        self.log.append(f"pick {len(files)} files")
        field.set_input_files(files)

    def number(self, field: Locator, text: str) -> None:
        self.taps += 1
        self.numbers += 1
        self.log.append(f"type {text}")
        field.fill(text)


def comes_true(page: Page, asked: str, arg: Any = None) -> None:
    """Wait until a page answers yes; Playwright's own waiting takes any promise for a yes."""
    deadline = time.monotonic() + PATIENCE_MS / 1000
    while time.monotonic() < deadline:
        with contextlib.suppress(Error):  # it has just been turned
            if page.evaluate(asked, arg):
                return
        page.wait_for_timeout(50)
    raise AssertionError(f"never: {asked}")


HEARD = """() => { window.picked = new Promise(
  (done) => document.addEventListener("change", () => done(true), { once: true })); }"""


def shoot(hand: Hand, shutter: Locator, picture: str) -> None:
    """One tap opens the camera; its photograph is there once the page was told of it."""
    page = hand.page
    page.evaluate(HEARD)
    with page.expect_file_chooser() as opened:
        hand.tap(shutter)
    opened.value.set_files(picture)
    page.evaluate("picked")


def fits(page: Page, width: int) -> None:
    """Nothing is wider than the screen; before its style sheet is there, any page is too wide."""
    page.wait_for_load_state("load")
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= width, f"{wide} wide"
