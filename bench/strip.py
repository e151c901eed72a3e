"""Strip: a machine taken down to 120 labels, 40 bags and 300 photographs; how long its pages take.

Run ``.venv/bin/python bench/strip.py``. Prints the middle and the 95th of a hundred of each page,
in milliseconds, with its size, then the two sheets on paper. The shop is an SQLite file.
"""

from __future__ import annotations

import argparse
import io
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from statistics import median, quantiles
from typing import Any

import anyio
import httpx
from PIL import Image
from starlette.applications import Starlette

from retrue.kinds.library import Kind
from retrue.kinds.load import load
from retrue.phases import strip, worth
from retrue.records.facts import File, Lot, Machine, Terms
from retrue.records.hand import Hand
from retrue.store.proof import prove_picture
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app

LABELS, BAGS, PHOTOGRAPHS, TIMES = 120, 40, 300, 100
KIND, PLACE = "vertical_machining_centre", "cabinet"
ME: Hand = {"by": "owner", "device": "laptop"}
PAGES = ("", "/night", "/places/cabinet", "/places/axis_x", "/apart", "/remaining",
         "/cleaning", "/files", "/evening")  # fmt: skip


def clock() -> datetime:
    """A clock that stands still: what is measured does not depend on it."""
    return datetime(2026, 11, 26, 20, tzinfo=UTC)


def picture(number: int) -> bytes:
    """Another small photograph each time."""
    out = io.BytesIO()
    Image.new("RGB", (64 + number, 48), (number % 200, 90, 110)).save(out, "JPEG")
    return out.getvalue()


def taken_down(shop: SqlShop, kinds: Mapping[str, Kind]) -> tuple[str, str]:
    """A machine whose places are kept as found, and everything of it off; its lot and its id."""
    machine = Machine(lot="", name="Bed mill", kind=KIND)
    view = worth.new_lot(shop, Lot(name="Lot 14"), Terms(lot=""), (machine,), **ME)
    lot, key = view.id, view.machines[0][0]
    shots = as_found(shop, lot, key, kinds)
    codes = [off(shop, lot, key, kinds, number) for number in range(LABELS + BAGS)]
    first = strip.taken_line(shop, lot, key, codes[0], kinds)
    content = picture(shots)
    one: File = strip.keep_shot(
        shop, lot, key, PLACE, content, "p.jpg", prove_picture, kinds, taken=first.id, **ME
    ).fact
    for number in range(shots + 1, PHOTOGRAPHS):  # beside each label, as the shutter would keep it
        shop.add(replace(one, shot=codes[number % len(codes)], name=f"p{number}.jpg"), **ME)
    return lot, key


def as_found(shop: SqlShop, lot: str, key: str, kinds: Mapping[str, Kind]) -> int:
    """Every photograph of the list, and every reading; how many photographs."""
    shots = 0
    for place in strip.places(shop, lot, key, kinds):
        for line in place.entries:
            at = (shop, lot, key)
            if line.entry.what in ("shot", "wipe"):
                given = (picture(shots), f"a{shots}.jpg", prove_picture, kinds)
                strip.keep_shot(*at, place.id, *given, entry=line.entry.id, **ME)
                shots += 1
            elif line.entry.what in ("reading", "mark"):
                strip.say_entry(*at, line.entry.id, kinds, reading=12, unit="µm", **ME)
    return shots


def off(shop: SqlShop, lot: str, key: str, kinds: Mapping[str, Kind], number: int) -> str:
    """One wire, hose or plug, or from the hundred and twenty-first on one bag; its code."""
    bag = number >= LABELS
    sort = "bag" if bag else ("wire", "hose", "connector")[number % 3]
    ends: dict[str, Any] = {"from_end": f"-X1:{number}", "to_end": f"-A{number % 9}"}
    more = {"count": 8, "torque_nm": 9.5} if bag else ends
    record = strip.take_off(
        shop, lot, key, PLACE, sort, kinds, what=f"number {number}", **more, **ME
    )
    return record.fact.code


def asked(made: Starlette, path: str, times: int) -> tuple[list[float], int]:
    """Milliseconds of each answer, and the bytes of one."""

    async def ask() -> tuple[list[float], int]:
        way = httpx.ASGITransport(app=made, client=("127.0.0.1", 50_000))
        took, size = [], 0
        async with httpx.AsyncClient(transport=way, base_url="http://127.0.0.1:8314") as client:
            for _ in range(times):
                start = time.perf_counter()
                answer = await client.get(path)
                took.append((time.perf_counter() - start) * 1000)
                answer.raise_for_status()
                size = len(answer.content)
        return took, size

    return anyio.run(ask)


def main() -> int:
    """Fill a shop and print the times."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=TIMES, help="how often each page is asked")
    times = parser.parse_args().times
    kinds = load()
    with tempfile.TemporaryDirectory() as folder:
        shop = open_shop(str(Path(folder) / "shop.sqlite"), clock=clock)
        start = time.perf_counter()
        lot, key = taken_down(shop, kinds)
        print(f"filled: {time.perf_counter() - start:.1f} s")
        settings = Settings(secret="only for the bench", edition="bench")
        made = app(shop=shop, kinds=kinds, clock=clock, settings=settings)
        report(made, f"/lots/{lot}/machines/{key}/strip", times)
        shop.close()
    return 0


def report(made: Starlette, home: str, times: int, say: Callable[[str], None] = print) -> None:
    """One line for each page."""
    say(f"{'page':24}{'median':>9}{'p95':>9}{'kB':>8}")
    for path, often in [*((page, times) for page in PAGES), ("/labels.pdf", 5), ("/bags.pdf", 5)]:
        took, size = asked(made, home + path, often)
        late = quantiles(took, n=20)[-1]
        say(f"{path or '/':24}{median(took):>7.1f}ms{late:>7.1f}ms{size / 1000:>8.0f}")


if __name__ == "__main__":
    sys.exit(main())
