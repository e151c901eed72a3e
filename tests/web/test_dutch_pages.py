"""Every page of a walked shop in Dutch: no English sentence of the catalogue is left on it."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from html.parser import HTMLParser
from types import SimpleNamespace

import pytest
from tests.browser import walked
from tests.browser.addresses import MONEY, PAGES, WORK
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.web.conftest import Clock
from tests.web.visitor import Visitor

from retrue.base.say import sentences, speaking
from retrue.kinds.library import Kind
from retrue.kinds.spoken import spoken
from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.web.app import Settings, app

NO_TEXT = re.compile(r"<(script|style|textarea)\b.*?</\1>", re.DOTALL)
LABELS = frozenset({"aria-label", "title", "placeholder", "alt", "data-label", "data-says"})
# Words of what is measured by its code, of files, and what a person typed in the walk.
NOT_SAID = frozenset(
    {
        "what",
        "name",
        "of",
        "time",
        "bar",
        "direction",
        "side",
        "Mill",
        "Lathe",
        "Lot 14",
        "owner",
        "something",
        "the manual",
        "retrue",
    }
)


@pytest.fixture(scope="module")
def kinds() -> Mapping[str, Kind]:
    return spoken(load())


@pytest.fixture(scope="module")
def dutch(kinds: Mapping[str, Kind]) -> tuple[Visitor, dict[str, str]]:
    """A shop that was worked in by somebody who reads Dutch, and the places of its pages."""
    clock, patch = Clock(), pytest.MonkeyPatch()
    patch.setattr(walked, "now", clock)
    patch.setattr(walked, "load", lambda: kinds)
    shop = FakeShop(clock)
    house = app(
        shop=shop, kinds=kinds, clock=clock, settings=Settings(secret="only for tests", worlds=200)
    )
    with speaking("nl"):
        view = worth.new_lot(
            shop,
            Lot(name="Lot 14"),
            Terms(lot="", bid_now=Decimal(2000), premium=0.16, distance_km=42),
            [
                Machine(lot="", name="Mill", kind="vertical_machining_centre", age_years=24),
                Machine(lot="", name="Lathe", kind="turning_centre", age_years=22),
            ],
            by="owner",
        )
        key = next(key for key, one in view.machines if one.fact.name == "Mill")
        lot, here = f"/lots/{view.id}", SimpleNamespace(address="", shop=shop)
        machine = f"{lot}/machines/{key}"
        places = {"lot": lot, "machine": machine}
        places |= walked.watched(here, machine)
        walked.heard(here, view.id, key)
        places |= walked.worked(here, machine)
        places |= walked.settled(here, machine)
        places |= walked.screened(here)
    patch.undo()
    visitor = Visitor(house)
    visitor.headers["accept-language"] = "nl-BE,nl"
    return visitor, places


class Texts(HTMLParser):
    """What a page says, but for what is marked as English: the manual and its words."""

    ENDLESS = frozenset({"br", "hr", "img", "input", "link", "meta", "source", "wbr", "col"})

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._english = 0  # how deep within what is marked
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if not self._english:
            self.found += [told for name, told in attrs if name in LABELS and told]
        if tag in self.ENDLESS:
            return
        if self._english or dict(attrs).get("lang") == "en":
            self._english += 1

    def handle_endtag(self, tag: str) -> None:
        if self._english and tag not in self.ENDLESS:
            self._english -= 1

    def handle_data(self, data: str) -> None:
        if not self._english:
            self.found.append(data)


def texts(page: str) -> Iterator[str]:
    """Each text between two tags, and what is said by a label."""
    for text in Texts(NO_TEXT.sub(" ", page)).found:
        yield " ".join(html.unescape(text).split())


def test_no_english_sentence_is_left(dutch: tuple[Visitor, dict[str, str]]):
    visitor, places = dutch
    told = sentences("nl")
    english = {text for text, said in told.items() if text != said} - set(told.values()) - NOT_SAID
    left: dict[str, str] = {}
    read = 0
    for name, address in {**PAGES, **WORK, **MONEY}.items():
        try:
            path = address.format(**places)
        except KeyError:  # made in the browser only
            continue
        page = visitor.get(path).text
        assert '<html lang="nl">' in page, name
        read += 1
        left |= {text: name for text in texts(page) if text in english}
    assert read > 60
    assert left == {}, "\n".join(f"{b} | {a}" for a, b in left.items())
