"""Published projects bound by resources alone: a reader of their text form, and how they end.

The folder holds files ``*.sm`` as the project scheduling library of Kolisch and Sprecher (1996)
publishes them, and beside them (or in ``optimum/``) their least lengths: ``optimum.csv`` with the
columns ``problem,optimum``, or a text of lines ``file optimum``. None is kept here.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

import numpy as np

from retrue.plan.calendar import quarter
from retrue.plan.jobs import After, Hands, Schedule, Shared, Task
from retrue.plan.network import network
from retrue.plan.priority import by_rule
from retrue.plan.solve import solve

START = datetime(2026, 1, 1, tzinfo=UTC)
NOBODY = Hands(name="nobody", evenings=())


def project(
    sizes: dict[int, int],
    needs: dict[int, tuple[int, ...]],
    after: dict[int, list[int]],
    have: tuple[int, ...],
) -> Schedule:
    """Jobs that run by themselves, one unit of time a quarter-hour."""
    tasks = tuple(
        Task(key=str(job), machine="project", hours=size / 4, people=0,
             needs=tuple((f"R{n}", count) for n, count in enumerate(needs[job]) if count),
             after=tuple(After(task=str(each)) for each in after[job]))
        for job, size in sizes.items()
    )  # fmt: skip
    shared = tuple(Shared(name=f"R{n}", count=count) for n, count in enumerate(have))
    return Schedule(start=START, tasks=tasks, hands=(NOBODY,), shared=shared)


def read(path: Path) -> Schedule:
    """One project from its text form."""
    text = path.read_text(encoding="latin-1")
    rows = {
        title: [[int(word) for word in line.split()] for line in block.splitlines()
                if re.fullmatch(r"[\s\d]+", line) and line.strip()]
        for title, block in re.findall(
            r"^(PRECEDENCE RELATIONS|REQUESTS/DURATIONS|RESOURCEAVAILABILITIES):(.*?)^\*{10}",
            text, re.MULTILINE | re.DOTALL)
    }  # fmt: skip
    after: dict[int, list[int]] = {row[0]: [] for row in rows["PRECEDENCE RELATIONS"]}
    for job, _, _, *following in rows["PRECEDENCE RELATIONS"]:
        for each in following:
            after[each].append(job)
    requests = rows["REQUESTS/DURATIONS"]
    have = tuple(rows["RESOURCEAVAILABILITIES"][-1])
    return project(
        {row[0]: row[2] for row in requests},
        {row[0]: tuple(row[3:]) for row in requests},
        after,
        have,
    )


def optima(folder: Path) -> dict[str, int]:
    """The published least length of every project that has one."""
    found = {}
    for path in sorted({*folder.rglob("optimum*.csv"), *folder.rglob("optimum*.txt")}):
        for line in path.read_text(encoding="utf-8").splitlines():
            words = re.split(r"[,;\s]+", line.strip())
            if len(words) >= 2 and words[1].isdigit():  # a range of an open one, or the title
                found[Path(words[0]).stem] = int(words[1])
    return found


def invented(seed: int, jobs: int = 30) -> Schedule:
    """A project of the same make: thirty jobs, four resources, up to three before each."""
    rng = np.random.default_rng(seed)
    names = range(1, jobs + 1)
    sizes = {job: int(rng.integers(1, 11)) for job in names}
    needs = {job: tuple(int(n) for n in rng.integers(0, 8, 4) * (rng.random(4) < 0.6))
             for job in names}  # fmt: skip
    after = {job: [int(each) for each in rng.choice(np.arange(max(1, job - 9), job),
             min(job - 1, int(rng.integers(0, 4)), 9), replace=False)] if job > 1 else []
             for job in names}  # fmt: skip
    return project(sizes, needs, after, (12, 11, 13, 12))


@dataclass(frozen=True, slots=True)
class Ended:
    """How one project was planned."""

    name: str
    length: int
    rule: int
    seconds: float
    proved: bool


def plan(name: str, made: Schedule, seconds: float = 8.0) -> Ended:
    """By the solver, and by the plain rule alone."""
    begun = time.perf_counter()
    order = solve(made, seconds=seconds)
    took = time.perf_counter() - begun
    rule = max(spot.ends for spot in by_rule(network(made)))
    length = max(quarter(made.start, placed.ends) for placed in order.placed)
    return Ended(name, length, rule, took, order.proved)


def by_library(made: Schedule, seconds: float = 10.0) -> tuple[float, float]:
    """Length and seconds of a general library's plan of the same project (PyJobShop)."""
    import pyjobshop  # for this comparison alone

    model = pyjobshop.Model()
    things = {each.name: model.add_renewable(capacity=each.count) for each in made.shared}
    rows = {task.key: model.add_task() for task in made.tasks}
    for task in made.tasks:
        names = [things[name] for name, _ in task.needs]
        model.add_mode(rows[task.key], names, round(task.hours * 4), [n for _, n in task.needs])
        for each in task.after:
            model.add_end_before_start(rows[each.task], rows[task.key])
    begun = time.perf_counter()
    found = model.solve(solver="ortools", time_limit=seconds, display=False, num_workers=2)
    return found.objective, time.perf_counter() - begun


def against_library(count: int) -> Iterator[str]:
    """Invented projects of the published make, side by side with the general library."""
    lengths, rules, ours, theirs = [], [], [], []
    for seed in range(count):
        made = invented(seed)
        mine = plan(str(seed), made)
        length, seconds = by_library(made)
        lengths.append(mine.length / length)
        rules.append(mine.rule / length)
        ours.append(mine.seconds)
        theirs.append(seconds)
    if count:
        yield (
            f"{count} invented projects of 30 jobs: our length over the general library's "
            f"{min(lengths):.3f} to {max(lengths):.3f}; the plain rule alone {np.mean(rules):.3f} "
            f"on average, at most {max(rules):.3f}; seconds {median(ours):.2f} against "
            f"{median(theirs):.2f}"
        )


def published(folder: Path | None) -> Iterator[str]:
    """Every published project against its least length."""
    if folder is None or not folder.is_dir():
        yield "published projects: NOT RUN, no folder of them was given (none is kept here)"
        return
    least = optima(folder)
    paths = [path for path in sorted(folder.rglob("*.sm")) if path.stem in least]
    if not paths:
        yield f"published projects: NOT RUN, {folder.name} holds no .sm file with a known optimum"
        return
    ended = [plan(path.stem, read(path)) for path in paths]
    missed = [each for each in ended if each.length != least[each.name]]
    late = [each for each in ended if each.seconds > 10]
    rule = [each.rule / least[each.name] for each in ended]
    proved = sum(each.proved for each in ended)
    seconds = [each.seconds for each in ended]
    yield (
        f"{len(ended)} published projects: optimum reached in {len(ended) - len(missed)}, proved "
        f"in {proved}; seconds {median(seconds):.2f}, at most {max(seconds):.2f}, over 10 s "
        f"{len(late)}; the plain rule alone {np.mean(rule):.4f} of the optimum, at most "
        f"{max(rule):.3f}"
    )
    for each in missed:
        yield f"  missed: {each.name} {each.length} instead of {least[each.name]}"
