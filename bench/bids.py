"""Several bids under limits: how near to the best, how often over the limits, how long it takes.

Small sales are held against every choice of bids there is; larger ones against two habits: bid on
everything up to its price, and bid only on what can be paid if all of it is won.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from tests.choose.invented_sales import every_choice, sale, tight

from retrue.choose.commit import Candidate, Limits, came_of
from retrue.choose.commit_bound import bounded
from retrue.choose.commit_choice import choose
from retrue.choose.commit_search import Table, climb

SMALL = ((4, 3), (5, 2), (3, 4), (5, 3))


def small(cases: int) -> None:
    """Against every choice of bids."""
    short, climbing, bounding = [], 0.0, 0.0
    for case in range(cases):
        rng = np.random.Generator(np.random.Philox(case))
        lots, levels = SMALL[case % len(SMALL)]
        candidates = sale(rng, lots, levels, worlds=200)
        limits = tight(rng, candidates)
        best = every_choice(candidates, limits)
        table = Table(tuple(candidates), limits)
        begun = time.perf_counter()
        levels_ = climb(table, limits.over)
        climbed = time.perf_counter()
        found = bounded(table, limits.over, levels_)
        bounding += time.perf_counter() - climbed
        climbing += climbed - begun
        gain = table.whole(levels_).gain
        short.append((1 - gain / best, 1 - found.gain / best) if best > 1e-9 else (0.0, 0.0))
    climb_, both = np.array(short).T
    print(f"{cases} small sales against every choice of bids, short of the best:")
    print(f"  climb alone   mean {climb_.mean():.4%}  worst {climb_.max():.3%}  "
          f"{1000 * climbing / cases:.1f} ms each")  # fmt: skip
    print(f"  with bound    mean {both.mean():.4%}  worst {both.max():.3%}  "
          f"{1000 * bounding / cases:.1f} ms more")  # fmt: skip


def large(sales: int, lots: int, worlds: int, auctions: int) -> None:
    """Against two habits, in auctions that had no say in the choice."""
    rows: dict[str, list[tuple[float, float, float]]] = {}
    took, shorts = 0.0, []
    for case in range(sales):
        rng = np.random.Generator(np.random.Philox(1000 + case))
        every = sale(rng, lots, 12, worlds + auctions)
        limits = tight(rng, every)
        seen = [one.within(slice(0, worlds)) for one in every]
        unseen = [one.within(slice(worlds, None)) for one in every]
        begun = time.perf_counter()
        choice = choose(seen, limits)
        took += time.perf_counter() - begun
        shorts.append(choice.short / choice.gain if choice.gain > 0 else 0.0)
        plans = {"chosen": choice.levels, "everything": tuple(len(o.bids) for o in every),
                 "what can be paid": payable(seen, limits)}  # fmt: skip
        for name, levels in plans.items():
            came = came_of(unseen, levels)
            over = float(came.breaks(limits).mean())
            room = limits.over + 3 * math.sqrt(limits.over * limits.odds / auctions)
            rows.setdefault(name, []).append((float(came.gain.mean()), over, float(over > room)))
    print(f"{sales} sales of {lots} lots, {worlds} worlds; {auctions} auctions each:")
    best = np.array(rows["chosen"])[:, 0].sum()
    for name, told in rows.items():
        gain, over, broken = np.array(told).T
        print(f"  {name:17} gain {gain.sum() / best:6.1%}  limits broken {over.mean():6.2%} of "
              f"auctions  odds not held in {broken.sum():.0f} of {sales} sales")  # fmt: skip
    print(f"  {took / sales:.2f} s a sale; at most {np.mean(shorts):.1%} short of the best "
          f"(median {np.median(shorts):.1%})")  # fmt: skip


def payable(candidates: Sequence[Candidate], limits: Limits) -> tuple[int, ...]:
    """Bids on what gains most for its money first, as long as all of it could be won."""
    rated = []
    for place, one in enumerate(candidates):
        won, last = one.wins[-1], one.gain[0] - one.pays[-1]
        money = float((one.pays[-1] + one.money[0]).max())
        rated.append((float((won * last).mean()) / money, place, money))
    levels, left = [0] * len(candidates), [limits.money, limits.hours, limits.floor]
    for rate, place, money in sorted(rated, reverse=True):
        one = candidates[place]
        takes = (money, float(one.hours[0].mean()), float(one.floor.max()))
        if rate > 0 and all(take <= room for take, room in zip(takes, left, strict=True)):
            levels[place] = len(one.bids)
            left = [room - take for take, room in zip(takes, left, strict=True)]
    return tuple(levels)


def main() -> None:
    """Run all of it."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--cases", type=int, default=200)
    options.add_argument("--sales", type=int, default=10)
    options.add_argument("--lots", type=int, default=20)
    options.add_argument("--worlds", type=int, default=8000)
    options.add_argument("--auctions", type=int, default=10_000)
    asked = options.parse_args()
    small(asked.cases)
    large(asked.sales, asked.lots, asked.worlds, asked.auctions)


if __name__ == "__main__":
    main()
