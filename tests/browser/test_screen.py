"""A catalogue in a real browser: its page follows the work by itself, and shows what came of it."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from playwright.sync_api import Page, expect
from tests.browser.conftest import PATIENCE_MS, serving

from retrue.cases.screen.parts import PART, Here, Part, PartDone, Work
from retrue.kinds.library import Kind

LATHE = f"{PART + 1};CNC lathe, slant bed;2012;500\n"
SALE = "lot;description;year;starting price\n" + LATHE + "".join(
    f"{n};cupboard;;20\n" for n in range(1, PART + 1)
)  # fmt: skip


class Halting:
    """Does the first part, with the lathe; then waits until it is let go on."""

    def __init__(self) -> None:
        self.on = threading.Event()

    def run(
        self, work: Work, parts: Sequence[Part], kinds: Mapping[str, Kind]
    ) -> Iterator[PartDone]:
        for one in Here().run(work, parts, kinds):
            yield one
            assert self.on.wait(PATIENCE_MS / 1000)


def test_the_page_follows_the_work_by_itself(
    page: Page, kinds: Mapping[str, Kind], tmp_path: Path
) -> None:
    spread = Halting()
    with serving(kinds, tmp_path, spread=spread) as house:
        page.goto(house.address + "/screen")
        page.locator("#name").fill("closing sale")
        sent = {"name": "sale.csv", "mimeType": "text/csv", "buffer": SALE.encode()}
        page.locator("#table").set_input_files([sent])
        page.get_by_role("button", name="Read it").click()
        page.get_by_role("button", name="Price every lot").click()
        expect(page.locator("#progress [role=status]")).to_have_text("25 of 26 lots.")
        spread.on.set()
        expect(page.locator("#progress")).to_have_count(0)
        expect(page.locator("h1")).to_have_text("closing sale")
        expect(page.locator("#who")).to_contain_text("2 parts done")
