"""Something said in two ways: the page that asks which counts can be used by thumb and by ear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Page
from tests.browser.conftest import PHONE, House
from tests.browser.hand import fits
from tests.browser.test_access import LAPTOP, rules_broken, too_small

from retrue.phases import twice
from retrue.records.facts import Shop
from retrue.records.joining import DeviceJoined


@pytest.fixture(scope="module")
def aside(house: House) -> Iterator[str]:
    shop = house.shop
    joined = DeviceJoined(device="phone-64b51e8b5209", name="my phone", person="An", role="owner")
    shop.add(joined, by="An")
    before = shop.add(Shop(name="two-person workshop"), by="An")
    fact = replace(before.fact, lift_kg=2000.0)
    stands = shop.add(fact, replaces=before.id, by="An", device="laptop")
    kept = twice.set_aside(
        shop, [(stands, replace(fact, lift_kg=3000.0))], path="/shop",
        form=[("lift_kg", "3000")], late=True, by="An", device="phone-64b51e8b5209",
    )  # fmt: skip
    yield kept.id
    twice.decide(shop, kept.id, "theirs", by="An")


@pytest.mark.parametrize("path", ["/twice", "/twice/{aside}"])
def test_everybody_can_use_it_and_devices_have_the_names_they_were_given(
    page: Page, house: House, aside: str, path: str
) -> None:
    for size, scheme in ((PHONE, "dark"), (LAPTOP, "light")):
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size(size)
        page.goto(house.address + path.format(aside=aside))
        fits(page, size["width"])
        if size == PHONE:
            assert too_small(page) == []
        rules_broken(page)
    said = page.locator("#page").inner_text()
    assert "my phone" in said
    assert "phone-64b5" not in said
    assert "One thing is said in two ways: say which counts" in said
