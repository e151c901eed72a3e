"""How long a shop of 50 machines and 20,000 findings takes to list what counts.

Run: ``python bench/page_store.py``
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import insert

from retrue.records.adding import link, wish
from retrue.records.chain import START
from retrue.records.facts import Finding
from retrue.store.index import rebuild
from retrue.store.shop import SqlShop, open_shop
from retrue.store.tables import records

MACHINES, LOTS, FINDINGS, EDITS = 50, 25, 20_000, 10


def clock() -> datetime:
    """A clock that stands still: what is measured does not depend on it."""
    return datetime(2026, 11, 25, tzinfo=UTC)


def fill(shop: SqlShop) -> None:
    """Put the findings in, one in ten a correction of the one before."""
    previous, rows = START, []
    for n in range(FINDINGS):
        machine = n % MACHINES
        fact = Finding(
            lot=f"lot{machine % LOTS}", machine=f"m{machine}", check=f"C{n % 120}", answer="seen"
        )
        replaces = f"f{n - MACHINES}" if n % EDITS == 0 and n >= MACHINES else None
        wanted = wish(fact, by="owner", device="", observed_at=None, id=f"f{n}", replaces=replaces)
        row = link(wanted, seq=n + 1, previous=previous, now=clock())
        previous = row.sha256
        rows.append({name: getattr(row, name) for name in row.__dataclass_fields__})
    with shop._gate.writing() as db:
        db.execute(insert(records), rows)
        rebuild(db)


def median_ms(deed: Callable[[], object], times: int = 20) -> float:
    """The middle of several runs, in milliseconds."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        deed()
        taken.append((time.perf_counter() - start) * 1000)
    return statistics.median(taken)


def main() -> int:
    """Fill a shop and print the times."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--place", help="an empty place; else a temporary SQLite file")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        place = asked.place or str(Path(folder) / "shop.sqlite")
        shop = open_shop(place, clock=clock)
        start = time.perf_counter()
        fill(shop)
        print(f"filled, index made anew: {time.perf_counter() - start:.2f} s")
        start = time.perf_counter()
        one = len(shop.current(Finding, lot="lot3"))
        first = (time.perf_counter() - start) * 1000
        print(
            f"a lot's {one} findings: {median_ms(lambda: shop.current(Finding, lot='lot3')):.1f} ms"
        )
        two = len(shop.current(Finding, machine="m3"))
        print(f"a machine's {two}: {median_ms(lambda: shop.current(Finding, machine='m3')):.1f} ms")
        print(f"the same lot's, the first time after opening: {first:.1f} ms")
        start = time.perf_counter()
        shop.current(Finding)
        print(f"all, the first time: {(time.perf_counter() - start) * 1000:.0f} ms")
        everything = len(shop.current(Finding))
        print(f"all {everything}: {median_ms(lambda: shop.current(Finding), 3):.0f} ms")
        shop.close()
        shop = open_shop(place, clock=clock)
        print(f"one by its id: {median_ms(lambda: shop.get(Finding, 'f777')):.2f} ms")
        numbers = iter(range(1000))
        fact = Finding(lot="lot3", machine="m3", check="C1", answer="seen")
        adding = median_ms(lambda: shop.add(fact, by="owner", id=f"new{next(numbers)}"))
        print(f"one added and on the disk: {adding:.1f} ms")
        shop.close()
        opening = median_ms(lambda: open_shop(place, clock=clock).close(), 5)
        print(f"shop opened: {opening:.1f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
