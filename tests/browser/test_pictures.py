"""The manual's pictures show what the pages show: taken again, of a fixed shop and moment."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser
from tests.browser.conftest import House
from tests.house.pictures_of import PAGES
from tests.house.take_pictures import (
    HOME,
    PICTURES,
    SHOWN,
    UNLIKE,
    difference,
    invented,
    packed,
    refuse_stale,
    shoot,
    unlike,
)

MOST_BYTES = 1_200_000


@pytest.fixture(scope="module")
def walked() -> Iterator[tuple[House, dict[str, str]]]:
    with invented() as made:
        yield made


@pytest.mark.parametrize("name", PAGES)
def test_a_picture_of_the_manual_shows_its_page(
    browser: Browser, walked: tuple[House, dict[str, str]], name: str
) -> None:
    """Every word in the window is the same, every part stands there, and it looks alike."""
    house, places = walked
    picture, shows = shoot(browser, house, places, PAGES[name])
    refuse_stale(name, shows)
    kept = (PICTURES / f"{name}.png").read_bytes()
    assert difference(kept, packed(picture)) < UNLIKE


def test_what_is_compared_bites() -> None:
    kept = {"words": ["Tonight", "2 h"], "boxes": [["h1", 0, 0, 100, 30], ["img", 0, 40, 50, 50]]}
    assert unlike(kept, kept) == []
    near = kept | {"boxes": [["h1", 3, 0, 100, 30], ["img", 0, 44, 50, 50]]}
    assert unlike(kept, near) == []
    assert unlike(kept, kept | {"words": ["Tonight", "3 h"]}) == ["gone: 2 h", "new: 3 h"]
    assert unlike(kept, kept | {"boxes": [["h1", 0, 0, 100, 30]]})
    assert unlike(kept, kept | {"boxes": [["h1", 0, 0, 100, 90], ["img", 0, 40, 50, 50]]})
    one, other = ((PICTURES / f"{name}.png").read_bytes() for name in ("home", "label"))
    assert difference(one, one) == 0
    assert difference(one, other) > UNLIKE


def test_each_picture_is_shown_with_words_for_who_does_not_see_it_and_all_are_small() -> None:
    pages = [HOME / "README.md", *(HOME / "docs").glob("*.md")]
    text = "\n".join(page.read_text(encoding="utf-8") for page in pages)
    found = re.findall(r"!\[([^\]]*)\]\(\S*pictures/(\S+)\)", text)
    shown = {name: alt for alt, name in found}
    files = {one.name for one in PICTURES.iterdir()}
    assert set(shown) == files
    assert all(len(alt.split()) > 5 for alt in shown.values())
    assert sum(one.stat().st_size for one in PICTURES.iterdir()) < MOST_BYTES
    known = set(json.loads(SHOWN.read_text(encoding="utf-8")))
    assert known == {*PAGES, "price", "price-night", "seller-text"}
