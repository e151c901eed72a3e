"""Pages outside the walked shop, by ear and by thumb: the certificate's door, the first run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from tests.browser.conftest import PHONE, answering, free_port
from tests.browser.hand import fits
from tests.browser.job_house import job_house
from tests.browser.test_access import LAPTOP, SCHEMES, rules_broken, too_small, unfold

from retrue.kinds.library import Kind
from retrue.web.security import Settings
from retrue.web.trust import trust_app

FINGERPRINT = ":".join(["A4"] * 32)  # any: the page only shows it


@pytest.fixture
def door() -> Iterator[str]:
    """The small application on a port of its own."""
    port = free_port()
    settings = Settings(secret="only for tests", port=port, lan="127.0.0.1", scheme="https")
    made = trust_app(settings, b"0\x03\x02\x01\x01", FINGERPRINT)
    with answering(made, port):
        yield f"http://127.0.0.1:{port}/"


def readable(browser: Browser, address: str) -> None:
    """On the laptop by day, on the telephone by night: it fits, and no rule is broken."""
    context = browser.new_context(
        viewport=PHONE, has_touch=True, locale="en-GB", reduced_motion="reduce"
    )
    try:
        page = context.new_page()
        page.goto(address)
        unfold(page, True)
        for size, scheme in zip((LAPTOP, PHONE), SCHEMES, strict=True):
            page.set_viewport_size(size)
            page.emulate_media(color_scheme=scheme)
            fits(page, size["width"])
            rules_broken(page)
        assert too_small(page) == []
    finally:
        context.close()


def test_everybody_can_use_the_page_that_gives_the_certificate_away(
    browser: Browser, door: str
) -> None:
    readable(browser, door)


def test_everybody_can_use_the_first_form_of_an_empty_shop(
    browser: Browser, kinds: Mapping[str, Kind], tmp_path: Path
) -> None:
    with job_house(kinds, tmp_path) as house:
        readable(browser, house.address + "/")
        readable(browser, house.address + "/offline")
