"""Every page for eyes, ears and keyboards: WCAG 2.2, levels A and AA, by axe-core's rules."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import pytest
from axe_playwright_python.base import AXE_SCRIPT, AxeResults
from playwright.sync_api import Browser, ConsoleMessage, Error, Page, ViewportSize
from tests.browser.addresses import ANSWERED, LONG, MONEY, PAGES, WORK
from tests.browser.conftest import PHONE, House
from tests.browser.hand import Hand, fits
from tests.browser.made import lot_of
from tests.browser.photographs import twelve
from tests.browser.walked import (
    heard,
    measured,
    moved,
    screened,
    settled,
    sought,
    undone,
    watched,
    worked,
)
from tests.library import load
from tests.powering import signed_up_to

# The success criteria of WCAG 2.0, 2.1 and 2.2 (W3C Recommendation), levels A and AA.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
LAPTOP: ViewportSize = {"width": 1180, "height": 800}
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")


@dataclass(frozen=True)
class Walked:
    """Addresses of a lot in which something was done."""

    base: str
    places: dict[str, str]

    def address(self, page: str) -> str:
        path = (PAGES | WORK | MONEY)[page].format(**self.places)
        return path if path.startswith("http") else self.base + path


@pytest.fixture(scope="module")
def walked(
    browser: Browser, house: House, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Walked]:
    """One lot with photographs, findings, a visit and a frozen number."""
    context = browser.new_context(viewport=PHONE, java_script_enabled=False)
    page = context.new_page()
    hand = Hand(page)
    try:
        lot = lot_of(house, "Walked", twelve(tmp_path_factory.mktemp("p"))[:4])
        page.goto(lot + "/pictures/next")
        picture = page.url
        hand.turn(page.locator("button[name=machine]").first)
        hand.turn(page.locator('button[name=shot][value="W_cabinet"]'))
        hand.turn(page.locator("button[name=answer]").first)
        page.goto(lot + "/pictures/next")
        unsorted = page.url
        page.goto(lot)
        machine = re.findall(r'href="(/lots/[^"/]+/machines/[^"/]+)"', page.content())[0]
        page.goto(lot + "/visit")
        hand.turn(page.get_by_role("button", name="Make it", exact=True))
        visit = page.url
        page.goto(house.address + "/pair")
        hand.turn(page.get_by_role("button", name="Make a new code"))
        page.goto(lot + "/freeze")
        hand.turn(page.get_by_role("button", name="Freeze this number"))
        page.goto(lot + "/findings")
        history = page.locator("a", has_text="its history").first.get_attribute("href")
        assert history is not None
        places = {
            "lot": lot,
            "machine": house.address + machine,
            "picture": picture,
            "unsorted": unsorted,
            "visit": visit,
            "history": house.address + history,
            "kept": f"{house.address}/kept/{history.rsplit('/', 1)[1]}",
        } | measured(page, house.address + machine)
        signed_up_to(house.shop, machine.split("/")[2], machine.split("/")[4], load(), "P8")
        heard(house, *machine.split("/")[2::2])
        places |= watched(house, machine)
        places |= sought(page, house.address, machine)
        moved(page, house.address + machine)
        places |= undone(page, house.address + machine)
        places |= worked(house, machine)
        places |= settled(house, machine)
        places |= screened(house)
        yield Walked(house.address, places)
    finally:
        context.close()


def picture_of(page: Page, name: str) -> None:
    """A picture of the page for people, where RETRUE_PICTURES names a folder."""
    folder = os.environ.get("RETRUE_PICTURES")
    if folder:
        Path(folder).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)


def pictured(page: Page, name: str) -> None:
    """Pictures by day and by night as a reader finds the page, where they are wanted at all."""
    if os.environ.get("RETRUE_PICTURES"):
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            unfold(page, False)
            picture_of(page, f"{name}-{scheme}")


@pytest.fixture(scope="module")
def reader(browser: Browser, walked: Walked) -> Iterator[Page]:
    """One window for all pages, as a reader has: what they load stays loaded."""
    context = browser.new_context(
        viewport=PHONE, has_touch=True, locale="en-GB", reduced_motion="reduce"
    )
    context.add_init_script(AXE_SCRIPT)  # sent to the browser once, not with every page
    try:
        yield context.new_page()
    finally:
        context.close()


@pytest.fixture
def complaints(reader: Page) -> Iterator[list[str]]:
    """What the page's own scripts and its loading complain of."""
    told: list[str] = []

    def wrong(error: Error) -> None:
        told.append(str(error))

    def said(message: ConsoleMessage) -> None:
        if message.type == "error":
            told.append(message.text)

    reader.on("pageerror", wrong)
    reader.on("console", said)
    yield told
    reader.remove_listener("pageerror", wrong)
    reader.remove_listener("console", said)


EVERY = [*PAGES, *WORK, *MONEY]
EXPECTED = {"refused": "404", "missing": "409"}  # what the browser complains of, and rightly


@pytest.mark.parametrize("name", EVERY)
def test_everybody_can_use_the_page_by_thumb_and_by_ear_on_phone_and_laptop(
    reader: Page, complaints: list[str], walked: Walked, name: str
) -> None:
    """Each page fits both; by the rules it is read once: phones by night, laptops by day."""
    laptop = name in LONG or (name in PAGES and EVERY.index(name) % 2 == 1)
    page = reader
    sizes = (PHONE, LAPTOP) if laptop else (LAPTOP, PHONE)
    page.emulate_media(color_scheme="light" if laptop else "dark")
    page.set_viewport_size(sizes[0])
    page.goto(walked.address(name))
    for size in sizes:
        if page.viewport_size != size:
            page.set_viewport_size(size)
        pictured(page, f"{name}-{size['width']}")
        unfold(page, True)
        fits(page, size["width"])
        if size == PHONE:
            assert too_small(page) == []
    rules_broken(page)
    assert [text for text in complaints if EXPECTED.get(name, "none") not in text] == []


BANK = b"date,amount,whom,what\n2026-11-20,-12.50,the dealer,belts\n"


@pytest.mark.parametrize("name", ANSWERED)
def test_everybody_can_use_what_answers_a_file(
    reader: Page, complaints: list[str], walked: Walked, name: str
) -> None:
    page, (field, source) = reader, ANSWERED[name]
    page.goto(walked.address(name))
    page.set_viewport_size(PHONE)
    content = page.request.get(source.format(**walked.places)).body() if source else BANK
    sent = {"name": "file", "mimeType": "text/plain", "buffer": content}
    page.locator(f"#{field}").set_input_files([sent])
    page.locator(f"form:has(#{field}) button").click()
    page.locator("#answer").wait_for()
    unfold(page, True)
    fits(page, PHONE["width"])
    assert too_small(page) == []
    rules_broken(page)
    assert complaints == []


OPTIONS = {"runOnly": TAGS, "resultTypes": ["violations"]}
RUN = "options => axe.run(options).then(({violations}) => ({violations}))"  # not what is well


def rules_broken(page: Page) -> None:
    """No rule is broken as the page stands; the checker is loaded once a page."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    page.evaluate(ALIKE)
    found = AxeResults(page.evaluate(RUN, OPTIONS))
    assert found.violations_count == 0, found.generate_report()


# Of neighbours built alike, to the last attribute that could change their look or their meaning,
# the first two are read by the rules: to look at the colours of a long table takes seconds. How
# long a list in them is may differ, and what an attribute of its own says, not whether it is there.
ALIKE = """() => {
  const own = new RegExp("^(id|href|name|value|for|form|action|src|alt|title|d|datetime|"
    + "data-(?!state|call).*|[xy][12]?|c[xy]|aria-(label|labelledby|describedby|controls))$");
  const said = (e) => [...e.attributes]
    .map(a => ` ${a.name}=${own.test(a.name) ? "" : a.value}`).join("");
  const shapes = new Map();
  const shape = (e) => {
    if (!shapes.has(e)) shapes.set(e, e.tagName + said(e) + "(" + [...e.children].map(shape)
      .filter((like, n, all) => n < 2 || like !== all[n - 1] || like !== all[n - 2]) + ")");
    return shapes.get(e);
  };
  const met = new Map();
  for (const each of document.querySelectorAll(
      "tr, li, details, fieldset, form, article, section, div, label:has(input)")) {
    const group = met.get(each.parentElement) ?? {};
    met.set(each.parentElement, group);
    const like = shape(each);
    group[like] = (group[like] ?? 0) + 1;
    if (group[like] > 2) each.style.display = "none";
  }
}"""


def unfold(page: Page, wholly: bool) -> None:
    """Open every folded part of the page, or leave it as a reader finds it."""
    page.evaluate(
        """wholly => document.querySelectorAll("details").forEach(each => {
          each.dataset.was ??= each.open; each.open = wholly || each.dataset.was === "true" })""",
        wholly,
    )


def too_small(page: Page) -> list[str]:
    """What a thumb misses: 48 px, as the look asks; WCAG 2.2, 2.5.8 asks for 24 px."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll("button, .button, .keys label, .chips label, "
            + "input[type=text], select, summary, .bar a")]
          .filter(e => e.checkVisibility())
          .map(e => [e.textContent.trim() || e.name, e.getBoundingClientRect()])
          .filter(([, box]) => box.height < 47.5 || box.width < 43.5)
          .map(([text, box]) => `${text} ${box.width} x ${box.height}`)"""
    )
    return found


@pytest.mark.parametrize(
    "name",
    [
        "new",
        "price",
        "picture",
        "unsorted",
        "call",
        "note",
        "freeze",
        "bench",
        "set-up",
        "number",
        "measured",
        "find",
        "trouble",
        "first-night",
        "one-place",
        "apart",
        "cleaning",
        "tonight",
        "card",
        "put-in",
        "own-hours",
        "sell",
    ],
)
def test_everything_can_be_reached_by_keyboard(reader: Page, walked: Walked, name: str) -> None:
    page = reader
    page.set_viewport_size(PHONE)
    page.goto(walked.address(name))
    wanted = page.evaluate(
        """() => { let n = 0; const groups = new Set();
          for (const e of document.querySelectorAll(
              "a[href], button, input:not([type=hidden]), select, textarea, summary")) {
            if (!e.checkVisibility() || e.disabled) continue;
            if (e.type === "radio") { if (groups.has(e.name)) continue; groups.add(e.name); }
            n += 1; }
          return n; }"""
    )
    page.evaluate("document.activeElement.blur(); window.scrollTo(0, 0)")
    page.evaluate(
        """() => { window.reached = new Set(); document.addEventListener("focusin", ({target: e}) =>
          window.reached.add(e.type === "radio" ? "radio " + e.name : e)); }"""
    )
    reached = pressed = 0
    while reached < wanted and pressed < wanted + 20:  # a picker of a day has stops of its own
        for _ in range(max(wanted - reached, 1)):
            page.keyboard.press("Tab")
            pressed += 1
        reached = page.evaluate("window.reached.size")
    assert reached >= wanted
