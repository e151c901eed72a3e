"""Fault-finding on practice machines: the advice against plain ways of going about it.

    python -m bench.finding [--quick] [--machines N] [--goals GOAL ...] [--file FILE]
                            [--processes N]

Every machine hides what is wrong: drawn from the tables, or from odds wrong by a factor e up or
down, fault by fault. Two goals: clear one trouble; bring the machine to "right". Five ways of
going about it play each machine with the same luck and the same prices. Counted is what it cost
less what who knew everything would have paid for the same machine: only what the way of going
about it can influence. Rules of danger are off for all five, so that prices alone are compared.

What is played is written to FILE line by line, with a mark of the code that played it; a run
that was stopped goes on where it was. Lines of other code are told apart and not counted.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

for variable in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(variable, "1")

import numpy as np  # noqa: E402

import retrue  # noqa: E402
from retrue.cases.find.policies import POLICIES, play  # noqa: E402
from retrue.cases.find.rehearsal import begin  # noqa: E402
from retrue.kinds.load import load  # noqa: E402

GOALS = ("clear", "right")
WORLDS = {"clear": 400, "right": 120}
MACHINES = 200
FIRST = 20000  # seeds of the bench; no test uses them
Job = tuple[str, bool, int]


def code() -> str:
    """A short mark of the code and the tables that play."""
    root = Path(retrue.__file__).parent
    files = [root / "base" / "chance.py"]
    for floor in ("belief", "choose", "cases", "kinds", "records"):
        files += [
            one for one in (root / floor).rglob("*") if one.suffix in (".py", ".toml", ".csv")
        ]
    told = hashlib.sha256()
    for one in sorted(files):
        told.update(one.read_bytes())
    return told.hexdigest()[:12]


def jobs(machines: int, goals: Sequence[str]) -> Iterator[Job]:
    """Goal by goal, machine by machine, right odds and wrong ones."""
    for goal in goals:
        for number in range(machines):
            for wrong in (False, True):
                yield goal, wrong, FIRST + number


def played(job: Job) -> dict[str, Any]:
    """All ways of going about one machine."""
    goal, wrong, seed = job
    kinds = load()
    kind = sorted(kinds)[seed % len(kinds)]
    row: dict[str, Any] = {"goal": goal, "wrong": wrong, "seed": seed, "kind": kind}
    for name, policy in POLICIES.items():
        one = begin(kinds, kind, seed=seed, goal=goal, wrong_priors=wrong)  # type: ignore[arg-type]  # a word of GOALS
        began = time.perf_counter()
        cost = play(one, kinds, policy, worlds=WORLDS[goal])
        row[name] = {
            "counted": cost - one.least(),
            "acts": len(one.bill.lines),
            "seconds": time.perf_counter() - began,
        }
    return row


def rows_of(file: Path) -> list[dict[str, Any]]:
    """What was played already; a half-written last line is left out."""
    rows = []
    for line in file.read_text(encoding="utf-8").splitlines() if file.exists() else ():
        try:
            rows.append(json.loads(line))
        except ValueError:
            continue
    return rows


def run(machines: int, goals: Sequence[str], file: Path, processes: int) -> list[dict[str, Any]]:
    """Play what is still missing."""
    mark = code()
    kept = rows_of(file)
    rows = [row for row in kept if row.get("code") == mark]
    if len(rows) < len(kept):
        print(f"{len(kept) - len(rows)} lines were played by other code: not counted")
    done = {(row["goal"], row["wrong"], row["seed"]) for row in rows}
    todo = [job for job in jobs(machines, goals) if job not in done]
    with ProcessPoolExecutor(processes) as pool, file.open("a", encoding="utf-8") as out:
        for number, row in enumerate(pool.map(played, todo), start=1):
            row["code"] = mark
            out.write(json.dumps(row, sort_keys=True) + "\n")
            out.flush()
            rows.append(row)
            print(f"\r{number} of {len(todo)}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    wanted = set(jobs(machines, goals))
    return [row for row in rows if (row["goal"], row["wrong"], row["seed"]) in wanted]


def report(rows: list[dict[str, Any]]) -> None:
    """Means, and paired differences to the advice with their 95 % intervals."""
    for goal in GOALS:
        for wrong in (False, True):
            mine = [row for row in rows if row["goal"] == goal and row["wrong"] == wrong]
            if mine:
                _table(goal, wrong, mine)


def _table(goal: str, wrong: bool, rows: list[dict[str, Any]]) -> None:
    odds = "odds wrong by a factor e" if wrong else "right odds"
    print(f"\ngoal {goal}, {odds}: {len(rows)} machines, counted EUR a machine")
    advice = np.array([row["advice"]["counted"] for row in rows])
    for name in POLICIES:
        cost = np.array([row[name]["counted"] for row in rows])
        more = cost - advice
        half = 1.96 * more.std(ddof=1) / len(more) ** 0.5 if len(more) > 1 else float("nan")
        acts = np.mean([row[name]["acts"] for row in rows])
        told = "" if name == "advice" else f"  dearer by {more.mean():8.0f} +- {half:5.0f}"
        print(f"  {name:28} {cost.mean():8.0f}  acts {acts:5.1f}{told}")


def main() -> None:
    """Play and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="eight machines")
    parser.add_argument("--machines", type=int, default=MACHINES)
    parser.add_argument("--goals", nargs="+", choices=GOALS, default=list(GOALS))
    parser.add_argument("--file", type=Path, default=Path("finding.jsonl"))
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    given = parser.parse_args()
    machines = 8 if given.quick else given.machines
    report(run(machines, given.goals, given.file, given.processes))


if __name__ == "__main__":
    main()
