"""The page of what it cost, in a shop with 10,000 lines over 40 machines.

Run ``.venv/bin/python bench/costs.py [--lines 10000]``. Prints how long the page of one lot and of
one machine takes from request to answer: the first time, while nothing changes (p50, p95), and
when a line of that machine is put in before each, so that what is to come is reckoned anew.
"""

from __future__ import annotations

import argparse
import asyncio
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import books
import httpx

from retrue.kinds.load import load
from retrue.phases import settle
from retrue.records.facts import Machine
from retrue.records.settling import DayRate, Posting
from retrue.records.shop import ToAdd
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app

PAGE_BAR_MS = 150.0
WORLDS = 2000


async def pages(shop: SqlShop, path: str, before: Callable[[int], None], count: int) -> list[float]:
    """Milliseconds from request to answer of one page."""
    settings = Settings(secret="only for measuring", edition="bench", worlds=WORLDS)
    made = app(shop=shop, kinds=load(), clock=books.clock, settings=settings)
    way = httpx.ASGITransport(app=made, client=("127.0.0.1", 50_000))
    taken = []
    async with httpx.AsyncClient(transport=way, base_url=books.HERE, timeout=60) as client:
        for at in range(count + 1):
            before(at)
            start = time.perf_counter()
            answer = await client.get(path)
            taken.append((time.perf_counter() - start) * 1000)
            assert answer.status_code == 200, answer.text
    return taken


def said(name: str, taken: list[float]) -> None:
    """First, middle and 95th of a hundred."""
    rest = sorted(taken[1:])
    p95 = rest[min(len(rest) - 1, int(0.95 * len(rest)))]
    ok = "within" if p95 <= PAGE_BAR_MS else "above"
    print(f"{name}: first {taken[0]:.0f} ms, p50 {statistics.median(rest):.0f} ms, "
          f"p95 {p95:.0f} ms ({ok} {PAGE_BAR_MS:.0f} ms)")  # fmt: skip


def filled(path: Path, lines: int) -> tuple[SqlShop, list[tuple[str, str]]]:
    """A shop with rates and lines."""
    shop = open_shop(str(path), clock=books.clock)
    machines = books.lots(shop)
    rates = [
        ToAdd(fact=DayRate(currency=code, rate=rate,
                           rate_on=(books.FIRST + timedelta(days=day)).isoformat()))
        for code, rate in books.RATES.items()
        for day in range(0, 695, 5)
    ]  # fmt: skip
    shop.add_all(rates, by="owner")
    shop.add_all([ToAdd(fact=one) for one in books.postings(machines, lines)], by="owner")
    return shop, machines


def main() -> None:
    """Fill a shop and print what was measured."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=books.LINES)
    parser.add_argument("--pages", type=int, default=30)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        shop, machines = filled(Path(folder) / "shop.sqlite", asked.lines)
        lot, key = machines[0]
        print(f"{asked.lines} lines, {len(shop.current(Machine))} machines")

        def put(at: int) -> None:
            where = {"lot": lot, "machine": key, "bucket": "hook_up"}
            fact = Posting(sort="bought", posted_on="2026-11-20", what=f"new {at}",
                           amount=Decimal(at + 1), **where)  # fmt: skip
            settle.post(shop, fact, on=books.ON, by="owner")

        for name, path in (
            ("lot", f"/lots/{lot}/settle/cost"),
            ("machine", f"/lots/{lot}/machines/{key}/settle/cost"),
        ):
            said(f"{name}, nothing changes",
                 asyncio.run(pages(shop, path, lambda at: None, asked.pages)))  # fmt: skip
        said("machine, a line put in before each", asyncio.run(pages(shop, path, put, asked.pages)))
        shop.close()


if __name__ == "__main__":
    main()
