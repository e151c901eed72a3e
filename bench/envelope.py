"""Envelope: made-up bearings with a known defect, how often the right part is named, or none.

Run ``.venv/bin/python bench/envelope.py``. Impacts with a slip of 1 to 3 % ring through two
resonances under three noises; shaft, belt, mains, stray knocks and what touches once a turn stand
beside them; a quarter of the recordings is of healthy bearings. The seeds are others than those
the thresholds were set on. Wrong is: another part is named, or a healthy one, or nothing is found
where a defect is. The bar: under 1 in 100.

Then healthy bearings beside something that knocks or hums by itself: lobes, also at a speed typed
up to 3 % wrong, hum of both mains while nobody said which, a pump of nine uneven pistons, a gear;
each with what else turns said, and with nobody having said it. Where nobody said it, a part is
only named "if nothing else turns near this frequency"; that is counted by itself, for it is right
in what it says, and the belief does not learn it. A defect at a speed typed wrong counts as well.
"""

# ruff: noqa: E402  (the linear algebra reads its number of threads when NumPy is first imported)
from __future__ import annotations

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import argparse
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

for folder in ("src", ""):
    sys.path.insert(0, str(Path(__file__).resolve().parents[1] / folder))

from tests.science.bearings import BESIDE, DEFECTS, NOISES_DB, beside, recording

from retrue.science.bearing import Bearing
from retrue.science.envelope import diagnose

FIRST_SEED = 400_000
BAR = 0.01


def said(truth: str, noise_db: float, seed: int) -> tuple[str, float, float]:
    """Conclusion, seconds it took, seconds of the recording; every other one knows its belt."""
    made = recording(seed, truth, noise_db)
    others = {"belt": made.belt_hz} if seed % 2 else None
    start = time.perf_counter()
    bearing = Bearing(*made.geometry)
    found = diagnose(
        made.acceleration, made.rate_hz, made.shaft_hz, bearing, others_hz=others
    ).conclusion
    return found, time.perf_counter() - start, len(made.acceleration) / made.rate_hz


def said_beside(sort: str, is_said: bool, seed: int) -> str:
    """Conclusion on a healthy bearing beside something else."""
    made, others = beside(seed, sort)
    return diagnose(
        made.acceleration, made.rate_hz, made.shaft_hz, Bearing(*made.geometry),
        others_hz=others if is_said else None,
    ).conclusion  # fmt: skip


def said_mistyped(truth: str, seed: int) -> str:
    """Conclusion on a defect at a speed typed 3 % too high or too low."""
    made = recording(seed, truth, 0.0)
    typed = made.shaft_hz * (1.03 if seed % 2 else 0.97)
    found = diagnose(
        made.acceleration, made.rate_hz, typed, Bearing(*made.geometry),
        others_hz={"belt": made.belt_hz},
    )  # fmt: skip
    return found.conclusion


def is_wrong(truth: str, conclusion: str) -> bool:
    if conclusion in (truth, "not_conclusive"):
        return False
    return not (truth == "healthy" and conclusion == "nothing_found")


def count_defects(pool: ProcessPoolExecutor, seeds: range) -> tuple[int, int]:
    """Wrong and all, of recordings with a defect or none."""
    wrong = named = total = 0
    spent, lasted = [], 0.0
    print(f"{'truth':16s} {'impacts over noise':>18s}  named  not conclusive  nothing found  wrong")
    for truth in DEFECTS:
        for noise in NOISES_DB:
            told = list(pool.map(partial(said, truth, noise), seeds, chunksize=8))
            spent += [seconds for _, seconds, _ in told]
            lasted += sum(seconds for *_, seconds in told)
            count = Counter(conclusion for conclusion, *_ in told)
            bad = sum(n for conclusion, n in count.items() if is_wrong(truth, conclusion))
            wrong, total = wrong + bad, total + len(told)
            named += count[truth]
            print(
                f"{truth:16s} {noise:15.0f} dB  {count[truth]:5d}  "
                f"{count['not_conclusive']:14d}  {count['nothing_found']:13d}  {bad:5d}"
            )
    damaged = total * 3 // 4
    print(f"conclusive, of recordings with a defect: {named} of {damaged} ({named / damaged:.1%})")
    print(f"one recording of 4 s: {1000 * sum(spent) / len(spent):.0f} ms, "
          f"{lasted / sum(spent):.0f} times as fast as it lasted")  # fmt: skip
    return wrong, total


def count_beside(pool: ProcessPoolExecutor, seeds: range) -> tuple[int, int]:
    """Wrong and all, of healthy bearings beside something else, and of speeds typed wrong."""
    wrong = total = 0
    print(f"{'healthy, beside':16s} {'what else turns':>18s}  nothing found  not conclusive  named")
    for sort in BESIDE:
        for is_said in (True, False):
            told = Counter(pool.map(partial(said_beside, sort, is_said), seeds, chunksize=8))
            bad = sum(n for conclusion, n in told.items() if is_wrong("healthy", conclusion))
            if is_said or sort in ("lobes", "lobes_mistyped", "hum"):  # none of these is excused
                wrong, total = wrong + bad, total + len(seeds)
            print(
                f"{sort:16s} {'said' if is_said else 'nobody said':>18s}  "
                f"{told['nothing_found']:13d}  {told['not_conclusive']:14d}  {bad:5d}"
            )
    for truth in DEFECTS[:3]:
        told = Counter(pool.map(partial(said_mistyped, truth), seeds, chunksize=8))
        bad = sum(n for one, n in told.items() if is_wrong(truth, one) and one != "nothing_found")
        wrong, total = wrong + bad, total + len(seeds)
        print(f"{truth}, speed typed 3 % wrong: named {told[truth]}, wrong {bad}")
    return wrong, total


def main() -> None:
    """Count; exit 1 where the bar is not met."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--each", type=int, default=250, help="Recordings of each sort.")
    options.add_argument("--workers", type=int, default=2)
    options.add_argument("--first", type=int, default=FIRST_SEED, help="First seed.")
    options.add_argument("--only-beside", action="store_true", help="Healthy bearings only.")
    chosen = options.parse_args()
    seeds = range(chosen.first, chosen.first + chosen.each)
    met = True
    counts = (count_beside,) if chosen.only_beside else (count_defects, count_beside)
    with ProcessPoolExecutor(chosen.workers) as pool:
        for count in counts:
            wrong, total = count(pool, seeds)
            print(f"wrong: {wrong} of {total} ({wrong / total:.2%}; bar: under {BAR:.0%})")
            met = met and wrong < BAR * total
    sys.exit(not met)


if __name__ == "__main__":
    main()
