"""How quickly a catalogue is screened: by one process, by several, by a Dask cluster.

Run: ``python bench/screen.py [--lots 2000] [--processes 2] [--worlds 2000] [--quick]``

Bars, on two cores: efficiency (the time of one process over that of two, by two) at least 0.85 by
processes and 0.8 by a local cluster in the same run; memory flat from 100 to all lots; with one
worker killed half-way every digit the same. One BLAS thread each.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import hashlib
import multiprocessing
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "src"))

from retrue.base.memory import keep_for_next  # noqa: E402
from retrue.cases.case import LotCase  # noqa: E402
from retrue.cases.lot_file import read_lot  # noqa: E402
from retrue.cases.screen.done_text import text_of  # noqa: E402
from retrue.cases.screen.listing import ListedLot  # noqa: E402
from retrue.cases.screen.parts import Here, Part, PartDone, Spread, Work, parts_of  # noqa: E402
from retrue.cases.screen.score import score_part  # noqa: E402
from retrue.kinds.library import Kind  # noqa: E402
from retrue.kinds.load import load  # noqa: E402
from retrue.spreading import Cluster, Processes  # noqa: E402

EXAMPLE = ROOT / "examples" / "ghent-school-lot.toml"
MARK = "RETRUE_BENCH_KILL"
BY_PROCESSES, BY_CLUSTER, FLAT = 0.85, 0.80, 1.10


def invented(count: int, kinds: Mapping[str, Kind]) -> tuple[ListedLot, ...]:
    """Lots of one machine each, as a catalogue of a large sale may have them; no makers."""
    case = read_lot(EXAMPLE.read_bytes(), EXAMPLE.name, kinds)
    return tuple(_lot(number, case) for number in range(1, count + 1))


def _lot(number: int, case: LotCase) -> ListedLot:
    name = str(number)
    machine = replace(
        case.machines[number % len(case.machines)],
        lot=name,
        age_years=None if number % 5 == 0 else float(8 + number * 7 % 27),
    )
    bid = None if number % 3 else Decimal(500 + number * 37 % 9000)
    one = replace(
        case,
        lot=replace(case.lot, name=name),
        terms=replace(case.terms, lot=name, bid_now=bid),
        machines=(machine,),
        findings=(),
        asked=(),
        plates=(),
    )
    return ListedLot(
        number=name, line=number + 1, title=f"{machine.name}, type {chr(97 + number % 26)}",
        case=one, why="", kinds=(machine.kind,), stand_in=number % 10 == 0, said=(), gaps=(),
    )  # fmt: skip


def killed_once(part: Part, kinds: Mapping[str, Kind]) -> PartDone:
    """The work, but whoever first takes the part that is marked is killed."""
    mark = Path(os.environ[MARK])
    if mark.suffix == f".{part.number}" and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return score_part(part, kinds)


def timed(
    spread: Spread, parts: Sequence[Part], kinds: Mapping[str, Kind], work: Work = score_part
) -> tuple[float, str]:
    """Seconds, and a hash of every row."""
    start = time.perf_counter()
    done = sorted(spread.run(work, parts, kinds), key=lambda one: one.number)
    taken = time.perf_counter() - start
    return taken, hashlib.sha256("\n".join(map(text_of, done)).encode()).hexdigest()


@contextmanager
def cluster(workers: int, folder: str) -> Iterator[str]:
    """A local Dask cluster; the address of its scheduler."""
    import dask
    from distributed import LocalCluster

    with (
        dask.config.set({"temporary-directory": folder}),
        LocalCluster(
            n_workers=workers, threads_per_worker=1, dashboard_address=None, silence_logs=50
        ) as made,
    ):
        yield made.scheduler_address


def peak_mb(who: int) -> float:
    """The most that this process, or any child that has ended, ever held."""
    return resource.getrusage(who).ru_maxrss / 1024


def flat(parts: Sequence[Part], kinds: Mapping[str, Kind], processes: int) -> None:
    """Memory of workers and of the first process: at 100 lots, then at all of them."""
    spread = Processes(processes, "spawn")
    few = parts[: max(processes, 100 // len(parts[0].lots))]
    seen = []
    for some in (few, parts):
        for _ in spread.run(score_part, some, kinds):
            pass
        seen.append((peak_mb(resource.RUSAGE_CHILDREN), peak_mb(resource.RUSAGE_SELF)))
    for place, what in enumerate(("a worker", "the first process")):
        before, after = seen[0][place], seen[1][place]
        lots = sum(len(part.lots) for part in few)
        print(
            f"memory of {what:<18} {before:6.0f} MB at {lots} lots, {after:6.0f} MB at all:"
            f" {after / before:4.2f} x (bar {FLAT})"
        )


def row(what: str, seconds: float, lots: int, ideal: float, bar: float) -> None:
    """Lots a second, and the efficiency against what one process would make of it."""
    told = f"{what:<24} {seconds:7.2f} s {lots / seconds:7.1f} lots/s"
    print(told + (f"  efficiency {ideal / seconds:4.2f} (bar {bar})" if bar else ""))


def main() -> None:
    """Print all rows; end with 1 if a digit differs."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--lots", type=int, default=2_000)
    words.add_argument("--worlds", type=int, default=2_000)
    words.add_argument("--processes", type=int, default=2)
    words.add_argument("--rounds", type=int, default=1, help="the shortest of so many counts")
    words.add_argument("--quick", action="store_true", help="100 lots, 500 worlds")
    words.add_argument("--without-cluster", action="store_true")
    asked = words.parse_args()
    lots, worlds = (100, 500) if asked.quick else (asked.lots, asked.worlds)
    kinds = load()
    parts = parts_of(invented(lots, kinds), seed=7, worlds=worlds)
    count, hashes = asked.processes, {}
    flat(parts, kinds, count)  # first: the first process has done nothing large yet
    keep_for_next()  # as its workers do
    for _ in Here().run(score_part, parts[:1], kinds):  # tables are filled in once
        pass
    alone = min(timed(Here(), parts, kinds) for _ in range(asked.rounds))
    hashes["one process"] = alone[1]
    row("one process", alone[0], lots, alone[0], 0.0)
    shared = min(timed(Processes(count, "fork"), parts, kinds) for _ in range(asked.rounds))
    hashes[f"{count} processes"] = shared[1]
    row(f"{count} processes", shared[0], lots, alone[0] / count, BY_PROCESSES)
    with tempfile.TemporaryDirectory() as folder:
        half = len(parts) // 2
        os.environ[MARK] = f"{folder}/processes.{half}"
        killed = timed(Processes(count, "fork"), parts, kinds, killed_once)
        hashes["one process killed"] = killed[1]
        row("the same, one killed", killed[0], lots, 0.0, 0.0)
        os.environ[MARK] = f"{folder}/cluster.{half}"
        if not asked.without_cluster:
            with cluster(count, folder) as address:
                timed(Cluster(address), parts[: 4 * count], kinds)  # its workers load the program
                there = min(timed(Cluster(address), parts, kinds) for _ in range(asked.rounds))
                hashes["cluster"] = there[1]
                row(f"cluster of {count}", there[0], lots, alone[0] / count, BY_CLUSTER)
                killed = timed(Cluster(address), parts, kinds, killed_once)
                hashes["one of the cluster killed"] = killed[1]
                row("the same, one killed", killed[0], lots, 0.0, 0.0)
    same = len(set(hashes.values())) == 1
    print(f"rows of {', '.join(hashes)}: {'the same to the last bit' if same else 'DIFFER'}")
    if not same:
        for what, hashed in hashes.items():
            print(f"  {hashed[:16]} {what}")
    assert not multiprocessing.active_children()
    sys.exit(0 if same else 1)


if __name__ == "__main__":
    main()
