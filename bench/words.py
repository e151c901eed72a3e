"""What finding by words costs: keeping a record with the index of words and without, and a search.

Run: ``python bench/words.py``
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from unittest.mock import patch

from retrue.records.facts import File, Finding, Note
from retrue.records.measuring import ReadingSet
from retrue.records.shop import ToAdd
from retrue.store import index
from retrue.store.shop import SqlShop, open_shop

FINDINGS, SETS, PHOTOGRAPHS, MACHINES = 20_000, 5_000, 10_000, 50
SENTENCE = "black dust behind the left cover, smells of burnt oil, wipe kept in bag W-{n:04}"
ASKED = (
    "dust",
    "black dust burnt",
    "W-0412",
    "C17",
    "img_0077",
    "nothing like it",
    "spindle",
    "bed",
)


def clock() -> datetime:
    """A clock that stands still: what is measured does not depend on it."""
    return datetime(2026, 11, 25, tzinfo=UTC)


def finding(n: int) -> ToAdd:
    """One finding with a sentence."""
    machine = n % MACHINES
    return ToAdd(
        fact=Finding(
            lot=f"lot{machine // 2}", machine=f"m{machine}", check=f"C{n % 120}", answer="seen",
            text=SENTENCE.format(n=n),
        )
    )  # fmt: skip


def fill(shop: SqlShop) -> None:
    """Findings, sets of readings, photographs."""
    shop.add_all([finding(n) for n in range(FINDINGS)], by="owner")
    sets = [
        ReadingSet(lot=f"lot{n % 25}", machine=f"m{n % MACHINES}", test="backlash", place="X axis")
        for n in range(SETS)
    ]
    shop.add_all([ToAdd(fact=one) for one in sets], by="owner")
    files = [
        File(sha256=f"{n:064x}", name=f"IMG_{n:04}.jpg", media_type="image/jpeg", size_bytes=1,
             lot=f"lot{n % 25}", machine=f"m{n % MACHINES}", caption="left side of the bed")
        for n in range(PHOTOGRAPHS)
    ]  # fmt: skip
    shop.add_all([ToAdd(fact=one) for one in files], by="owner")


def times_ms(deed: Callable[[], object], times: int) -> list[float]:
    """How long it took each time, in milliseconds, the shortest first."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        deed()
        taken.append((time.perf_counter() - start) * 1000)
    return sorted(taken)


def keeping(place: str) -> None:
    """Print what one record and five thousand take."""
    shop = open_shop(place, clock=clock)
    shop.add(Note(text="first"), by="owner")
    fact = finding(1).fact
    one = statistics.median(times_ms(lambda: shop.add(fact, by="owner"), 60))
    wanted = [finding(n) for n in range(5000)]
    (many,) = times_ms(lambda: shop.add_all(wanted, by="owner"), 1)
    print(f"  one kept: {one:.1f} ms; 5,000 in one go: {many / 1000:.2f} s")
    shop.close()


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--place", help="an empty place; else a temporary SQLite file")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        print("with the index of words")
        keeping(str(Path(folder) / "with.sqlite"))
        with patch.object(index, "line_of", lambda _: None):
            print("without it")
            keeping(str(Path(folder) / "without.sqlite"))
        shop = open_shop(asked.place or str(Path(folder) / "shop.sqlite"), clock=clock)
        fill(shop)
        print(f"{FINDINGS} findings, {SETS} sets, {PHOTOGRAPHS} photographs")
        for words in ASKED:
            taken = times_ms(partial(shop.found, words, most=40), 40)
            print(f"  {words}: {len(shop.found(words, most=40))} found, p95 {taken[37]:.1f} ms")
        (anew,) = times_ms(shop.rebuild, 1)
        print(f"  index made anew: {anew / 1000:.1f} s")
        shop.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
