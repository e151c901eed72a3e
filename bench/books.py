"""The book with 10,000 lines in four currencies over 40 machines: exact, and quick.

Run ``.venv/bin/python bench/books.py [--lines 10000]``. Prints whether every currency sums to
nothing and whether it agrees with sums made by other code in whole cents; how long the page of the
book takes from request to answer (p50, p95) while nothing changes and when a line is put in
before each; and how long a bank file of 5,000 rows takes to be read and kept, and the same file
again.
"""

from __future__ import annotations

import argparse
import asyncio
import random
import statistics
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import httpx

from retrue.base.currencies import minor_units
from retrue.cases.settle.bring_lines import Choices
from retrue.kinds.load import load
from retrue.phases import settle
from retrue.records.facts import Lot, Machine, Outcome, Terms
from retrue.records.settling import BUCKETS, DayRate, Posting, PostingSort
from retrue.records.shop import ToAdd
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app

LOTS, LINES, ROWS, PAGES = 20, 10_000, 5_000, 60
RATES = {"CHF": Decimal("1.0725"), "USD": Decimal("0.9213"), "JPY": Decimal("0.006125")}
CODES = ("EUR", *RATES)
SORTS: tuple[PostingSort, ...] = ("bought", "bought", "bought", "paid", "sold", "deposit")
ON, FIRST = date(2026, 11, 26), date(2025, 1, 1)
PAGE_BAR_MS, IMPORT_BAR_S = 150.0, 2.0
HERE = "http://127.0.0.1:8314"


def clock() -> datetime:
    """A clock that stands still."""
    return datetime(2026, 11, 26, 12, tzinfo=UTC)


def lots(shop: SqlShop) -> list[tuple[str, str]]:
    """Twenty lots of two machines, each won."""
    made = []
    for at in range(LOTS):
        lot = shop.add(Lot(name=f"lot {at}"), by="owner").id
        shop.add(Terms(lot=lot, premium=0.16, tax_rate=0.21), by="owner")
        shop.add(Outcome(lot=lot, result="won", amount=Decimal(6000 + at)), by="owner")
        for kind in ("vertical_machining_centre", "turning_centre"):
            fact = Machine(lot=lot, name=f"{kind} {at}", kind=kind, mass_kg=4000.0 + 100 * at)
            made.append((lot, shop.add(fact, by="owner").id))
    return made


def postings(machines: list[tuple[str, str]], count: int, seed: int = 5) -> list[Posting]:
    """Lines of every sort, shared and not, with and without tax."""
    draw = random.Random(seed)
    made = []
    for at in range(count):
        lot, machine = draw.choice(machines)
        code = draw.choice(CODES)
        amount = Decimal(draw.randrange(1, 500_000)).scaleb(-minor_units(code))
        sort = draw.choice(SORTS)
        taxed = sort != "deposit" and draw.random() < 0.7
        made.append(
            Posting(
                sort=sort, posted_on=(FIRST + timedelta(days=draw.randrange(690))).isoformat(),
                what=f"thing {at}", amount=amount, currency=code, lot=lot,
                machine=draw.choice((machine, machine, None)), bucket=draw.choice(BUCKETS),
                tax_rate=Decimal("0.21") if taxed else None, tax_in=draw.random() < 0.5,
                split=draw.choice(("", "equal", "mass")),
                paid_from=draw.choice(("bank", "cash", "card", "owed")),
            )
        )  # fmt: skip
    return made


def in_cents(facts: list[Posting]) -> dict[str, int]:
    """What left and came to bank, cash and card by currency, in whole coins, by other code."""
    sums: dict[str, int] = defaultdict(int)
    for one in facts:
        if one.paid_from == "owed":
            continue
        coins = int(one.amount.scaleb(minor_units(one.currency)))
        if one.tax_rate is not None and not one.tax_in:
            coins += (coins * 21 * 2 + 100) // 200  # half up, in whole numbers
        sums[one.currency] += coins if one.sort == "sold" else -coins
    return dict(sums)


def told(shop: SqlShop) -> dict[str, int]:
    """The same as the book has it."""
    sums: dict[str, int] = defaultdict(int)
    for one in settle.book(shop, on=ON).accounts:
        if one.account in ("bank", "cash", "card"):
            sums[one.currency] += int(one.amount.scaleb(minor_units(one.currency)))
    return dict(sums)


async def pages(shop: SqlShop, before: Callable[[int], None], count: int) -> list[float]:
    """Milliseconds from request to answer of the page of the book."""
    settings = Settings(secret="only for measuring", edition="bench", worlds=400)
    made = app(shop=shop, kinds=load(), clock=clock, settings=settings)
    way = httpx.ASGITransport(app=made, client=("127.0.0.1", 50_000))
    taken = []
    async with httpx.AsyncClient(transport=way, base_url=HERE, timeout=60) as client:
        for at in range(count + 1):
            before(at)
            start = time.perf_counter()
            answer = await client.get("/settle/book")
            taken.append((time.perf_counter() - start) * 1000)
            assert answer.status_code == 200
    return taken


def say_pages(name: str, taken: list[float]) -> None:
    """First, middle and 95th of a hundred."""
    rest = sorted(taken[1:])
    p95 = rest[min(len(rest) - 1, int(0.95 * len(rest)))]
    ok = "within" if p95 <= PAGE_BAR_MS else "ABOVE"
    print(f"{name}: first {taken[0]:.0f} ms, p50 {statistics.median(rest):.0f} ms, "
          f"p95 {p95:.0f} ms ({ok} {PAGE_BAR_MS:.0f} ms)")  # fmt: skip


def bank_file(rows: int) -> bytes:
    """A statement of one account."""
    draw = random.Random(9)
    lines = ["date,amount,currency,what,whom"]
    for at in range(rows):
        day = (FIRST + timedelta(days=draw.randrange(690))).isoformat()
        amount = Decimal(draw.randrange(-300_000, 100_000)).scaleb(-2)
        lines.append(f"{day},{amount},EUR,line {at},vendor {draw.randrange(90)}")
    return "\n".join(lines).encode()


def import_times(shop: SqlShop, rows: int) -> None:
    """A file of many rows read and kept, and read and kept again."""
    content, kinds = bank_file(rows), load()
    for time_of in ("first", "second"):
        start = time.perf_counter()
        preview = settle.read_import(shop, content, "bank.csv", kinds, on=ON)
        kept = settle.keep_import(shop, preview, Choices(), on=ON, by="owner")
        seconds = time.perf_counter() - start
        ok = "within" if seconds <= IMPORT_BAR_S else "ABOVE"
        print(f"import of {rows} rows, {time_of} time: {seconds:.2f} s ({ok} {IMPORT_BAR_S:.0f} s),"
              f" {len(kept)} new lines")  # fmt: skip


def main() -> None:
    """Fill a shop and print what was measured."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=LINES)
    parser.add_argument("--rows", type=int, default=ROWS)
    parser.add_argument("--pages", type=int, default=PAGES)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        shop = open_shop(str(Path(folder) / "shop.sqlite"), clock=clock)
        machines = lots(shop)
        rates = [
            ToAdd(fact=DayRate(currency=code, rate_on=(FIRST + timedelta(days=day)).isoformat(),
                               rate=rate))
            for code, rate in RATES.items()
            for day in range(0, 695, 5)
        ]  # fmt: skip
        shop.add_all(rates, by="owner")
        facts = postings(machines, asked.lines)
        start = time.perf_counter()
        shop.add_all([ToAdd(fact=fact) for fact in facts], by="owner")
        print(f"{len(facts)} lines over {len(machines)} machines in {len(CODES)} currencies "
              f"kept in {time.perf_counter() - start:.1f} s")  # fmt: skip
        start = time.perf_counter()
        book = settle.book(shop, on=ON)
        print(f"book made from nothing in {time.perf_counter() - start:.2f} s")
        print(f"balanced in every currency: {'yes' if book.balanced else 'NO'}; missing rates: "
              f"{len(book.missing_rates)}; the same in whole coins by other code: "
              f"{'yes' if told(shop) == in_cents(facts) else 'NO'}")  # fmt: skip
        say_pages("page, nothing changes", asyncio.run(pages(shop, lambda at: None, asked.pages)))

        def put(at: int) -> None:
            fact = Posting(sort="bought", posted_on="2026-11-20", what=f"new {at}",
                           amount=Decimal(at + 1), machine=machines[0][1])  # fmt: skip
            settle.post(shop, fact, on=ON, by="owner")

        say_pages("page, a line put in before each", asyncio.run(pages(shop, put, asked.pages)))
        import_times(shop, asked.rows)
        print(f"still balanced: {'yes' if settle.book(shop, on=ON).balanced else 'NO'}")
        shop.close()


if __name__ == "__main__":
    main()
