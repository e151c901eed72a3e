"""Take the manual's pictures of the invented lot, and write down what each of them shows.

Run it after a page has changed: ``.venv/bin/python tests/house/take_pictures.py``. With ``--walk``
the invented lot is walked anew first; that takes a minute, and is needed when its story changed.
A test takes them again and says so where one no longer shows its page.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import lzma
import os
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from PIL import Image, ImageChops, ImageStat
from playwright.sync_api import Browser, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))  # run as a script

from tests.browser.conftest import CHROMIUM, FLAGS, PATIENCE_MS, House, serving
from tests.fakes.shop import TickingClock
from tests.house.pictures_of import LAPTOP, PAGES, PHONE, Shot, places_of
from tests.library import load
from tests.web.visitor import Visitor

from retrue.cases.screen.parts import Here
from retrue.cli import demo_shop
from retrue.cli.demo_sale import PICTURE_PX
from retrue.phases import worth
from retrue.records.screening import Catalogue
from retrue.store.derived import shown
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app
from retrue.wiring import Wired

HOME = Path(__file__).resolve().parents[2]
PICTURES = HOME / "docs" / "pictures"
SHOWN = HOME / "tests" / "browser" / "pictures.json"
SALE = HOME / "examples" / "ghent-school-catalogue.csv"
KEPT = HOME / "tests" / "browser" / "invented.sqlite.xz"
WALKED_AT = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
LOOKED_AT = datetime(2026, 11, 25, 21, 0, tzinfo=UTC)
COLOURS = 64
SMALL = (64, 64)  # to which two pictures are shrunk before they are compared
UNLIKE = 6.0  # grey levels of 255, on average: letters drawn by another machine stay below
MOVED_PX = 12


def walk() -> None:
    """The invented lot as the demo walks it, kept without what can be found again."""
    kinds, clock = load(), TickingClock(WALKED_AT)
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "shop.sqlite"
        shop = open_shop(str(place), clock=clock)
        house = replace(
            Wired().house(),
            open_shop=lambda _: contextlib.nullcontext(shop),
            kinds=lambda: kinds,
            clock=clock,
            by="owner",
            data_folder=Path(folder),
        )
        demo_shop.walk(house, shop, worlds=2000)
        levelled(shop)
        screened(shop)
        shop.close()
        keep(place)


def levelled(shop: SqlShop) -> None:
    """Its mill on four feet, read and judged by the pages themselves."""
    made = app(shop=shop, kinds=load(), clock=lambda: LOOKED_AT,
               settings=Settings(secret="only for tests", edition="retrue"))  # fmt: skip
    lot = worth.lots(shop)[0].id
    mill = next(key for key, one in worth.view_lot(shop, lot).machines if one.fact.name == "mill")
    owner, table = Visitor(made), (HOME / "examples" / "prove" / "level.csv").read_bytes()
    answer = owner.post(
        f"/lots/{lot}/machines/{mill}/measure/level/new",
        {"option-feet": "FL:0:0,FR:2000:0,RR:2000:1000,RL:0:1000", "option-pitch_mm": "2"},
        [("table", ("level.csv", table, "text/csv"))],
    )
    owner.post(answer.url.path.removesuffix("/result") + "/judge")


def screened(shop: SqlShop) -> None:
    """The sale of which its lot is one, every line priced."""
    kinds, owner = load(), {"by": "owner"}
    said = Catalogue(name="school sale", content_sha256="", file_name=SALE.name, year=2026,
                     premium=0.16, distance_km=42.0, sale="ascending")  # fmt: skip
    kept = worth.keep_catalogue(shop, SALE.read_bytes(), said, kinds, **owner)
    worth.run_parts(
        shop, kept.id, kinds, Here(), worker="walk", clock=lambda: LOOKED_AT, seed=7, worlds=2000,
        **owner,
    )  # fmt: skip


def keep(place: Path) -> None:
    """A walked shop without its cache, packed; its files are those of the examples."""
    with contextlib.closing(sqlite3.connect(place)) as db:
        db.execute("delete from remembered")
        db.commit()
        db.execute("vacuum")
    known = set(examples()) | set(copies())
    files = [one for one in place.with_name(place.name + ".files").rglob("*") if one.is_file()]
    lost = [one.name for one in files if digest(one) not in known]
    assert lost == [], "a file of the invented lot is not among the examples"
    KEPT.write_bytes(lzma.compress(place.read_bytes(), preset=9))


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def examples() -> dict[str, Path]:
    """The example files by their hash."""
    return {digest(one): one for one in (HOME / "examples").rglob("*") if one.is_file()}


def copies() -> dict[str, bytes]:
    """What goes with a record of a machine: the example photographs made small, by their hash."""
    drawn = (one for one in (HOME / "examples" / "photographs").glob("*.jpg"))
    small = (shown(one.read_bytes(), longest_px=PICTURE_PX) for one in drawn)
    return {hashlib.sha256(one).hexdigest(): one for one in small}


def unpack(folder: Path) -> None:
    """The walked shop in a folder, with its files."""
    place = folder / "shop.sqlite"
    place.write_bytes(lzma.decompress(KEPT.read_bytes()))
    shop = open_shop(str(place), clock=lambda: LOOKED_AT)
    try:
        for path in examples().values():
            if path.suffix in {".jpg", ".png", ".txt", ".csv", ".wav"}:
                shop.keep_file(path.read_bytes())
        for copy in copies().values():
            shop.keep_file(copy)
    finally:
        shop.close()


@contextlib.contextmanager
def invented() -> Iterator[tuple[House, dict[str, str]]]:
    """A server of the walked shop at a fixed moment, and the places of its pages."""
    with tempfile.TemporaryDirectory() as folder:
        unpack(Path(folder))
        with serving(load(), Path(folder), clock=lambda: LOOKED_AT) as house:
            yield house, places_of(house.shop, house.address)


def shoot(browser: Browser, house: House, places: dict[str, str], shot: Shot) -> tuple[bytes, Any]:
    """One picture, and what it shows: words, and where its parts stand."""
    context = browser.new_context(
        viewport=PHONE if shot.phone else LAPTOP, locale="en-GB", reduced_motion="reduce",
        color_scheme="dark" if shot.night else "light", timezone_id="Europe/Brussels",
    )  # fmt: skip
    try:
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.goto(house.address + shot.path.format(**places))
        page.evaluate("document.fonts.ready")
        if shot.at:
            page.locator(shot.at).first.evaluate("e => e.scrollIntoView()")
        page.wait_for_function(LOADED)
        return page.screenshot(), seen(page)
    finally:
        context.close()


LOADED = """() => [...document.images].every(one => {
  const at = one.getBoundingClientRect();
  return one.complete || at.bottom < 0 || at.top > innerHeight;
})"""
SEEN = """() => {
  const inside = (r) => r.bottom > 0 && r.top < innerHeight && r.width > 0 && r.height > 0;
  const words = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const range = document.createRange();
    range.selectNodeContents(walk.currentNode);
    const text = walk.currentNode.data.replace(/\\s+/g, " ").trim();
    if (text && inside(range.getBoundingClientRect())) words.push(text);
  }
  const boxes = [...document.querySelectorAll("h1,h2,button,img,figure svg,table,.caution")]
    .map(e => [e.tagName.toLowerCase(), e.getBoundingClientRect()]).filter(([, r]) => inside(r))
    .map(([n, r]) => [n, ...[r.left, r.top, r.width, r.height].map(Math.round)]);
  return {words, boxes};
}"""


def seen(page: Page) -> dict[str, Any]:
    """The words and the boxes that stand in the window."""
    found: dict[str, Any] = page.evaluate(SEEN)
    return found


def unlike(kept: dict[str, Any], now: dict[str, Any]) -> list[str]:
    """What a picture shows that its page no longer does, and the other way round."""
    gone = [f"gone: {one}" for one in kept["words"] if one not in now["words"]]
    new = [f"new: {one}" for one in now["words"] if one not in kept["words"]]
    pairs = zip(kept["boxes"], now["boxes"], strict=False)
    moved = [f"moved: {a} to {b}" for a, b in pairs if not _alike(a, b)]
    if len(kept["boxes"]) != len(now["boxes"]):
        moved.append(f"parts: {len(kept['boxes'])}, now {len(now['boxes'])}")
    return [*gone, *new, *moved]


def _alike(one: list[Any], other: list[Any]) -> bool:
    if one[0] != other[0]:
        return False
    return all(abs(a - b) <= MOVED_PX for a, b in zip(one[1:], other[1:], strict=True))


def difference(kept: bytes, now: bytes) -> float:
    """How far two pictures differ once they are small and grey: mean grey levels of 255."""
    one, other = (Image.open(io.BytesIO(b)).convert("L").resize(SMALL) for b in (kept, now))
    return float(ImageStat.Stat(ImageChops.difference(one, other)).mean[0])


def packed(shot: bytes) -> bytes:
    """A picture in few colours, as small as PNG goes."""
    out = io.BytesIO()
    image = Image.open(io.BytesIO(shot)).convert("RGB")
    image.quantize(COLOURS, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
    return out.getvalue()


def remember(shown: dict[str, Any]) -> None:
    """Write down what pictures show, beside what is known of the others."""
    known = json.loads(SHOWN.read_text(encoding="utf-8")) if SHOWN.exists() else {}
    text = json.dumps(known | shown, ensure_ascii=False, indent=0, sort_keys=True)
    SHOWN.write_text(text + "\n", encoding="utf-8")


def refuse_stale(name: str, now: dict[str, Any]) -> None:
    """A picture shows what its page shows, or a test fails and says what to do."""
    found = unlike(json.loads(SHOWN.read_text(encoding="utf-8"))[name], now)
    assert found == [], f"{name}: run .venv/bin/python tests/house/take_pictures.py"


def main() -> None:
    """Take all of them."""
    if "--walk" in sys.argv or not KEPT.exists():
        walk()
    shown: dict[str, Any] = {}
    PICTURES.mkdir(exist_ok=True)
    with invented() as (house, places), sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        for name, shot in PAGES.items():
            picture, told = shoot(browser, house, places, shot)
            (PICTURES / f"{name}.png").write_bytes(packed(picture))
            shown[name] = told
            sys.stdout.write(f"{name}.png\n")
        browser.close()
    remember(shown)
    subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "tests/browser/test_example.py"],
        env=os.environ | {"RETRUE_PICTURES": str(PICTURES)}, cwd=HOME, check=True,
    )  # fmt: skip


if __name__ == "__main__":
    main()
