"""The example's lot as its owner would see it, and the picture of it that the manual shows."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, ViewportSize, expect
from tests.browser.conftest import House, serving
from tests.house.pictures_of import Shot
from tests.house.take_pictures import (
    LOADED,
    LOOKED_AT,
    packed,
    refuse_stale,
    remember,
    seen,
    shoot,
)

from retrue.cases.lot_file import read_lot
from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.store.proof import prove

EXAMPLES = Path(__file__).parents[2] / "examples"
MACHINES = {"a": "mill", "b": "lathe"}
MESSAGE = Shot("{lot}/message?language=nl", at="h1")
SIZES: tuple[ViewportSize, ...] = ({"width": 1180, "height": 860}, {"width": 360, "height": 860})


@pytest.fixture(scope="module")
def example(
    kinds: Mapping[str, Kind], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[House, str, str]]:
    """The lot with its photographs sorted and the findings of the first round kept."""
    rounds = ("ghent-school-lot.toml", "rounds/1-photographs.toml")
    text = "\n".join((EXAMPLES / name).read_text(encoding="utf-8") for name in rounds)
    case = read_lot(text.encode(), "example", kinds)
    folder = tmp_path_factory.mktemp("example")
    with serving(kinds, folder, clock=lambda: LOOKED_AT) as house:
        shop = house.shop
        worth.keep_shop(shop, case.shop, by="owner")
        view = worth.new_lot(
            shop, case.lot, case.terms, case.machines, case.needs, case.alternatives, by="owner"
        )
        ids = {}
        for path in sorted((EXAMPLES / "photographs").glob("*.jpg")):
            name, shot = path.name, path.stem.rsplit("-", 1)[1]
            machine = view.machine_id(MACHINES[name[0]]) if name[0] in MACHINES else None
            kept = worth.keep_picture(
                shop,
                view.id,
                path.read_bytes(),
                name,
                prove,
                machine=machine,
                shot=shot,
                by="owner",
            )
            ids[name] = kept.id
        found = [
            replace(
                each.finding,
                lot=view.id,
                machine=view.machine_id(each.finding.machine) if each.finding.machine else None,
                picture=ids.get(each.finding.picture or ""),
            )
            for each in case.findings
        ]
        worth.keep_findings(shop, view.id, found, kinds, quietly=True, by="owner")
        for look in worth.pictures(shop, view.id, kinds):
            if not look.judged and look.machine:
                worth.tap(shop, view.id, look.id, worth.CANT_TELL, kinds, worlds=100, by="owner")
        yield house, f"{house.address}/lots/{view.id}", ids["a-02-cabinet-S03.jpg"]


def test_the_example_shows_its_price_its_next_step_and_what_was_tapped(
    browser: Browser, example: tuple[House, str, str]
) -> None:
    house, lot, cabinet = example
    shots = []
    shows: dict[str, Any] = {}
    for size, path, dark in zip(
        SIZES, (lot, f"{lot}/pictures/{cabinet}"), (False, True), strict=True
    ):
        context = browser.new_context(
            viewport=size, color_scheme="dark" if dark else "light", device_scale_factor=1.5
        )
        try:
            page = context.new_page()
            page.goto(path)
            if dark:
                expect(
                    page.locator("button[aria-pressed=true]", has_text="oily film")
                ).to_be_visible()
            else:
                expect(page.locator("#amount")).to_contain_text("€")
                expect(page.locator("#next .button")).to_be_visible()
            page.evaluate("document.fonts.ready")
            page.wait_for_function(LOADED)
            shots.append(Image.open(io.BytesIO(page.screenshot())))
            shows["price-night" if dark else "price"] = seen(page)
        finally:
            context.close()
    shot, shows["seller-text"] = shoot(
        browser, house, {"lot": lot.removeprefix(house.address)}, MESSAGE
    )
    if folder := os.environ.get("RETRUE_PICTURES"):
        side_by_side(shots).save(Path(folder) / "price.png", optimize=True)
        (Path(folder) / "seller-text.png").write_bytes(packed(shot))
        remember(shows)
    for name, show in shows.items():
        refuse_stale(name, show)


def side_by_side(shots: list[Image.Image], gap: int = 45) -> Image.Image:
    """Laptop and telephone on one sheet, in few colours so that the file stays small."""
    wide = sum(shot.width for shot in shots) + gap * (len(shots) - 1)
    sheet = Image.new("RGB", (wide, max(shot.height for shot in shots)), "white")
    left = 0
    for shot in shots:
        sheet.paste(shot, (left, 0))
        left += shot.width + gap
    return sheet.quantize(200)
