"""How long a price takes: in process, as a command, and lot after lot.

Run: ``python bench/worth.py [--lots 1000] [--quick]``

Bars: a lot of two at 20,000 worlds with all open questions 0.3 s in process, the whole command
1.5 s, ``--help`` 150 ms; the cost of a lot flat from 10 to 1,000 lots. One BLAS thread.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "src"))

from retrue.cases.case import LotCase  # noqa: E402
from retrue.cases.lot_file import read_lot  # noqa: E402
from retrue.cases.pricing import price  # noqa: E402
from retrue.kinds.load import load  # noqa: E402

EXAMPLE = ROOT / "examples" / "ghent-school-lot.toml"
COMMAND = ROOT / ".venv" / "bin" / "retrue"


def seconds(act: Callable[[], object], times: int) -> list[float]:
    """Wall seconds of each time it is done."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        taken.append(time.perf_counter() - start)
    return taken


def row(what: str, taken: list[float], bar: float) -> None:
    """One line: median, worst, bar, and how much of the bar is used."""
    median, worst = statistics.median(taken), max(taken)
    print(f"{what:<58} {median:7.3f} s  worst {worst:7.3f}  bar {bar:5.2f}  {median / bar:5.2f} x")


def in_process(case: LotCase, times: int) -> None:
    """The two machines of the example, 20,000 worlds, all open questions."""
    kinds = load()
    price(case, kinds)
    row(
        "price in process, 20,000 worlds, all questions",
        seconds(lambda: price(case, kinds), times),
        0.3,
    )
    few = seconds(lambda: price(case, kinds, worlds=4_000), times)
    row("the same at 4,000 worlds", few, 0.3)


def commands(times: int) -> None:
    """As a person waits for it, from the shell."""

    def run(*words: str) -> None:
        subprocess.run([str(COMMAND), *words], check=True, capture_output=True)

    run("worth", "price", str(EXAMPLE), "--json")
    row(
        "retrue worth price LOT --json",
        seconds(lambda: run("worth", "price", str(EXAMPLE), "--json"), times),
        1.5,
    )
    row("retrue --help", seconds(lambda: run("--help"), 2 * times), 0.15)


def many(case: LotCase, lots: int) -> None:
    """Lot after lot: the thousandth should cost what the tenth costs."""
    kinds, taken = load(), []
    for number in range(lots):
        other = replace(case, lot=replace(case.lot, name=f"lot {number}"))
        start = time.perf_counter()
        price(other, kinds, worlds=1_000, seed=number)
        taken.append(time.perf_counter() - start)
        if number + 1 in (10, 100, 1_000):
            last = taken[-10:] if number == 9 else taken[number - 89 :]
            peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            now, first = statistics.median(last), statistics.median(taken[:10])
            print(
                f"{number + 1:>5} lots at 1,000 worlds: {now * 1000:6.1f} ms a lot"
                f" ({now / first:4.2f} x the first ten), peak memory {peak:5.0f} MB"
            )


def main() -> None:
    """Print all rows."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--lots", type=int, default=1_000)
    words.add_argument(
        "--quick", action="store_true", help="three times instead of eleven, 10 lots"
    )
    asked = words.parse_args()
    case = read_lot(EXAMPLE.read_bytes(), EXAMPLE.name, load())
    times = 3 if asked.quick else 11
    in_process(case, times)
    commands(times)
    many(case, 10 if asked.quick else asked.lots)


if __name__ == "__main__":
    main()
