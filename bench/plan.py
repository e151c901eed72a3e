"""Plans and dates: how fast, how good, and whether a promise is kept.

Run ``.venv/bin/python bench/plan.py [FOLDER]``. Prints twenty invented lots of two machines with
sixty cards each (seconds, proved or not), how long ten thousand runs of a plan take, how it grows
from one machine to eight, our plans beside those of a general library (for development alone), and
five hundred restorations lived through evening by evening, by code that shares nothing with that
which promised their dates. FOLDER holds published projects (see ``projects.py``); without it those
are NOT RUN.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median

import numpy as np
from evenings import Life
from projects import against_library, published
from restorations import FRIEND, ME, SON, luck, restoration
from taking_turns import Shop

from retrue.plan.freeze import freeze
from retrue.plan.jobs import Draws, Order, Schedule
from retrue.plan.network import network
from retrue.plan.player import Player
from retrue.plan.priority import by_rule, cost
from retrue.plan.promise import longer_leads, promises
from retrue.plan.replay import prepare, run
from retrue.plan.solve import solve

LIVES = 500
RUNS = 2000  # behind every promise
HOPE, CARE = 1, 2  # seeds: of what is promised, of what then happens


@dataclass(frozen=True, slots=True)
class Solved:
    """One lot planned."""

    made: Schedule
    order: Order
    seconds: float
    cpu: float


def solved(made: Schedule, seconds: float = 5.0) -> Solved:
    begun, cpu = time.perf_counter(), time.process_time()
    order = solve(made, seconds=seconds)
    return Solved(made, order, time.perf_counter() - begun, time.process_time() - cpu)


def twenty(count: int) -> Iterator[str]:
    plans = [solved(restoration(seed)) for seed in range(count)]
    ratios = []
    for plan in plans:
        net = network(plan.made)
        spots = {spot.job: spot for spot in by_rule(net)}
        ends = {placed.key: placed.ends for placed in plan.order.placed}
        best = tuple(spot for spot in spots.values())
        ours = _value(plan.made, ends)
        ratios.append(cost(net, best)[1] * max(plan.made.day_worth.values()) / ours)
    proved = sum(plan.order.proved for plan in plans)
    slow = sum(plan.seconds > 5 for plan in plans)
    yield (f"{count} lots of 2 machines x 60 cards: proved {proved} of {count}; seconds "
           f"{median(p.seconds for p in plans):.2f}, at most {max(p.seconds for p in plans):.2f} "
           f"(of the processor {median(p.cpu for p in plans):.2f}, at most "
           f"{max(p.cpu for p in plans):.2f}); over 5 s {slow}")  # fmt: skip
    yield (f"  the plain rule alone costs {np.mean(ratios):.3f} of the proved plan on average, "
           f"at most {max(ratios):.3f}")  # fmt: skip


def _value(made: Schedule, ends: dict[str, datetime]) -> float:
    total = 0.0
    for machine, worth in made.day_worth.items():
        last = max(ends[task.key] for task in made.tasks
                   if task.machine == machine and task.good_part and task.key in ends)  # fmt: skip
        days = (last - made.start) / timedelta(days=1)
        total += worth * (days + made.run_in_days[machine])
    return total


def replayed(plan: Solved, worlds: int = 10_000) -> tuple[float, float]:
    """Milliseconds of a replay once frozen, and of bringing the draws into quarters."""
    frozen, draws = freeze(plan.made, plan.order), luck(plan.made, worlds, HOPE)
    begun = time.perf_counter()
    ready = prepare(frozen, draws)
    before = time.perf_counter() - begun
    took, played = [], run(ready)
    for _ in range(15):
        begun = time.perf_counter()
        run(ready, out=(played.ends_at, played.starts_at))
        took.append(time.perf_counter() - begun)
    return min(took) * 1000, before * 1000


def growth(most: int) -> Iterator[str]:
    for machines in range(1, most + 1):
        plan = solved(restoration(100 + machines, machines))
        ms, _ = replayed(plan)
        how = "proved" if plan.order.proved else f"gap at most {plan.order.gap:.1%}"
        yield (f"  {machines} machines, {len(plan.made.tasks)} cards: {plan.seconds:.1f} s "
               f"(processor {plan.cpu:.1f}), {how}; 10,000 runs {ms:.1f} ms")  # fmt: skip
    for names, hands in (("two", (ME, SON)), ("three", (ME, FRIEND, SON))):
        plan = solved(_lifted_by_two(restoration(100, 2, hands=hands, hired=True)))
        player, drawn = Player(plan.made, plan.order), luck(plan.made, RUNS, HOPE)
        begun = time.perf_counter()
        player.play(drawn)
        took = time.perf_counter() - begun
        yield (
            f"  2 machines, {names} people, a lift on some Saturdays: {plan.seconds:.1f} s, "
            f"walked, left out {len(plan.order.left_out)}; {RUNS} runs {took:.2f} s"
        )


def kept(lives: int) -> Iterator[str]:
    """Dates promised, then lived: as drawn, and with every wait twice as long."""
    lots, each = max(1, lives // 25), min(25, max(lives, 1))
    promised = []
    for seed in range(lots):
        made = restoration(200 + seed)
        order = solve(made, seconds=2.0)
        nine = {p.machine: (p.nine_of_ten - made.start) / timedelta(days=1)
                for p in promises(made, order, luck(made, RUNS, HOPE + 10 * seed))}  # fmt: skip
        promised.append((made, order, nine))
    for factor, name in ((1.0, "as promised"), (2.0, "with every wait twice as long")):
        late: list[float] = []
        for seed, (made, order, nine) in enumerate(promised):
            drawn = longer_leads(made, luck(made, each, CARE + 10 * seed), factor)
            late += [day - nine[machine] for machine, day in _lived(made, order, drawn)]
        kept_by = float(np.mean(np.array(late) <= 1e-6))
        broken = np.array([days for days in late if days > 1e-6])
        yield (f"{lots * each} restorations of two machines lived through, {name}: first good part "
               f"by the nine-in-ten date in {kept_by:.1%}; where the promise broke it broke by "
               f"{np.median(broken):.1f} days, nine in ten by at most "
               f"{np.quantile(broken, 0.9):.1f}")  # fmt: skip


def _lifted_by_two(made: Schedule) -> Schedule:
    """What needs the hoist, and first power with all behind it, needs the helper too."""
    both = ("power", "stops", "level", "geometry")
    tasks = tuple(replace(t, people=2, unbroken=False) if t.needs or t.key.endswith(both) else t
                  for t in made.tasks)  # fmt: skip
    return replace(made, tasks=tasks)


def kept_by_two(lives: int) -> Iterator[str]:
    """Dates promised by a shop of two, then lived quarter-hour by quarter-hour."""
    lots, each = max(1, lives // 25), min(25, lives)
    late: list[float] = []
    took: list[float] = []
    for seed in range(lots):
        made = _lifted_by_two(restoration(200 + seed, hands=(ME, SON)))
        begun = time.perf_counter()
        order = solve(made)
        promised = Player(made, order).promises(luck(made, RUNS, HOPE + 10 * seed))
        took.append(time.perf_counter() - begun)
        nine = {p.machine: (p.nine_of_ten - made.start) / timedelta(days=1) for p in promised}
        life, clock = Shop(made, order.priority), made.start.hour / 24 + made.start.minute / 1440
        drawn = luck(made, each, CARE + 10 * seed)
        for world in range(each):
            ended = life.live(*(
                {key: float(row[world]) for key, row in rows.items()}
                for rows in (drawn.hours, drawn.days, drawn.not_before)
            )).ended  # fmt: skip
            for machine, by in nine.items():
                last = max(ended[task.key] for task in made.tasks
                           if task.machine == machine and task.good_part)  # fmt: skip
                late.append(last / 96 - clock + made.run_in_days[machine] - by)
    kept_by = float(np.mean(np.array(late) <= 1e-6))
    yield (f"{lots * each} restorations of two machines by two people lived through: first good "
           f"part by the nine-in-ten date in {kept_by:.1%}; plan and dates of {RUNS} runs take "
           f"{median(took):.1f} s, at most {max(took):.1f}")  # fmt: skip


def _lived(made: Schedule, order: Order, drawn: Draws) -> Iterator[tuple[str, float]]:
    life = Life(made, order)
    clock = made.start.hour / 24 + made.start.minute / 1440
    for world in range(drawn.worlds):
        ended = life.live(
            {key: float(hours[world]) for key, hours in drawn.hours.items()},
            {key: float(days[world]) for key, days in drawn.days.items()},
            {key: float(days[world]) for key, days in drawn.not_before.items()},
        )
        for machine in made.day_worth:
            last = max(ended[task.key] for task in made.tasks
                       if task.machine == machine and task.good_part)  # fmt: skip
            yield machine, last / 96 - clock + made.run_in_days[machine]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path, help="published projects")
    parser.add_argument("--lots", type=int, default=20)
    parser.add_argument("--machines", type=int, default=8)
    parser.add_argument("--projects", type=int, default=20)
    parser.add_argument("--lives", type=int, default=LIVES)
    asked = parser.parse_args()
    for line in twenty(max(asked.lots, 1)):
        print(line, flush=True)
    ms, before = replayed(solved(restoration(0)))
    print(f"10,000 runs of 120 cards, one person: {ms:.1f} ms once frozen and prepared; "
          f"preparing {before:.0f} ms")  # fmt: skip
    print("growth, sixty cards a machine:")
    for line in (*growth(asked.machines), *against_library(asked.projects)):
        print(line, flush=True)
    for line in (*kept(asked.lives), *kept_by_two(asked.lives), *published(asked.folder)):
        print(line, flush=True)


if __name__ == "__main__":
    main()
