"""How long reading a bank file and keeping it take; the same file twice must add nothing.

Run: ``python bench/bring.py [--rows 5000] [--runs 5]``

Each run makes a shop of two machines on disk, reads an invented file (a semicolon between the
cells, decimal commas), keeps every row in one transaction, and reads and keeps the same file
again. The bar is 2 s for reading and keeping 5,000 rows. Printed are the median and the slowest
run by the wall clock, and the median of the processor's time, which other programs move less.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "src"))
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

from retrue.cases.settle.bring_lines import Choices  # noqa: E402
from retrue.kinds.library import Kind  # noqa: E402
from retrue.kinds.load import load  # noqa: E402
from retrue.phases import settle, worth  # noqa: E402
from retrue.records.chain import verify_chain  # noqa: E402
from retrue.records.facts import Lot, Machine, Terms  # noqa: E402
from retrue.store.shop import SqlShop, open_shop  # noqa: E402

BAR_S = 2.0
ROWS = 5000
ON = date(2026, 11, 26)
WHOM = ("Lagerwinkel", "Oliehandel Noord", "Buurman", "Kraan en Zoon", "Wikkelhuis", "Staal Gent")
WHAT = ("kogellagers freesmachine", "smeerolie 20 l", "huur stapelaar", "kraan", "wikkelen motor",
        "plaat 6 mm")  # fmt: skip


def table(rows: int) -> bytes:
    """An invented bank file."""
    lines = ["Boekdatum;Bedrag;Munt;Naam tegenpartij;Mededeling;Referte;Saldo"]
    for n in range(rows):
        day = date(2024, 1, 2) + timedelta(days=n // 7)
        amount = f"{'-' if n % 11 else ''}{1 + n % 900}.000,{n % 100:02d}"
        whom, what = WHOM[n % len(WHOM)], WHAT[n % len(WHAT)]
        lines.append(f"{day:%d/%m/%Y};{amount};EUR;{whom};{what} {n};R{n};1.000,00")
    return "\r\n".join(lines).encode("cp1252")


def fresh(folder: str) -> SqlShop:
    """A new shop with a lot of two machines."""
    shop = open_shop(f"{folder}/shop.sqlite", clock=lambda: datetime.now(UTC))
    machines = [
        Machine(lot="", name="bed mill", kind="vertical_machining_centre"),
        Machine(lot="", name="slant lathe", kind="turning_centre"),
    ]
    worth.new_lot(shop, Lot(name="school"), Terms(lot=""), machines, by="owner")
    return shop


def run(content: bytes, rows: int, kinds: dict[str, Kind]) -> Iterator[tuple[float, float]]:
    """Wall and processor seconds: read, kept, read again, kept again."""
    with tempfile.TemporaryDirectory() as folder:
        shop = fresh(folder)
        before = len(list(shop.rows()))
        for wanted in (rows, 0):
            at = time.perf_counter(), time.process_time()
            read = settle.read_import(shop, content, "bank.csv", kinds, on=ON)
            yield time.perf_counter() - at[0], time.process_time() - at[1]
            at = time.perf_counter(), time.process_time()
            kept = settle.keep_import(shop, read, Choices(), on=ON, by="owner")
            yield time.perf_counter() - at[0], time.process_time() - at[1]
            if len(kept) != wanted:
                sys.exit(f"{len(kept)} rows were kept, {wanted} should have been")
        if len(list(shop.rows())) != before + rows or verify_chain(shop):
            sys.exit("the chain of records is not whole")
        shop.close()


def main() -> None:
    """Measure, print, and say whether the bar is met."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", type=int, default=ROWS)
    parser.add_argument("--runs", type=int, default=5)
    asked = parser.parse_args()
    kinds, content = dict(load()), table(asked.rows)
    runs = [list(run(content, asked.rows, kinds)) for _ in range(asked.runs)]
    for at, name in enumerate(("read", "keep", "read again", "keep again")):
        wall, used = ([one[at][which] for one in runs] for which in (0, 1))
        print(f"{name:12} {statistics.median(wall):6.2f} s median, {max(wall):6.2f} s slowest, "
              f"{statistics.median(used):6.2f} s of the processor")  # fmt: skip
    both = statistics.median(one[0][0] + one[1][0] for one in runs)
    busy = statistics.median(one[0][1] + one[1][1] for one in runs)
    word = "met" if both <= BAR_S else "NOT met"
    print(f"read and keep {asked.rows} rows: {both:.2f} s, {busy:.2f} s of the processor; "
          f"bar {BAR_S:g} s for {ROWS}: {word}")  # fmt: skip


if __name__ == "__main__":
    main()
