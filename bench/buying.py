"""Does the tool buy better than plain rules? Simulated auctions of machines whose truth is hidden.

Run: ``python bench/buying.py [--quick] [--purchases 2000] [--worlds 4000] [--processes 2]``

Each purchase is an invented lot with a hidden truth, drawn from the tables or from tables that are
wrong by a factor e in odds, either way, fault by fault. The listing shows some photographs. The
tool asks what is worth asking, visits where a visit is worth its road, and bids up to its price;
four plain rules bid on the same lots. The last rival stops at what a dealer would pay on the same
photographs, scattered (log-sd 0.45, and half and double of it): never at what the truth is worth.
Rules with a number in them are tuned on other lots than those they are judged on.

Every purchase is one line of the file given by ``--file``; a run that was stopped goes on there.
The lines, and so the tables, do not depend on how many processes there are.
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
from functools import cache
from multiprocessing import get_context
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
for _folder in (ROOT / "bench", ROOT / "src"):
    sys.path.insert(0, str(_folder))
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

from buyer import SEED, TRUTHS, TUNE, Purchase, purchase  # noqa: E402
from rules import report  # noqa: E402
from twin import LATHE, MILL  # noqa: E402

from retrue.kinds.library import Kind  # noqa: E402
from retrue.kinds.load import load  # noqa: E402

CODE = ("buying.py", "buyer.py", "twin.py")
ROOMS = ("base", "belief", "books", "cases", "choose", "plan")  # what a line depends on


@cache
def _kinds() -> dict[str, Kind]:
    """The library, read once by each process."""
    return dict(load(only=(MILL, LATHE)))


def _line(job: tuple[str, int, int]) -> str:
    truth, index, worlds = job
    one = purchase(_kinds(), truth, index, worlds)
    fields = {name: getattr(one, name) for name in Purchase.__dataclass_fields__}
    return json.dumps(fields, sort_keys=True)


def jobs(purchases: int, worlds: int) -> list[tuple[str, int, int]]:
    """Tuning lots first (a fifth as many, at least two), then those that are judged."""
    tuning = max(2, purchases // 5)
    return [(f"{TUNE}{truth}", i, worlds) for i in range(tuning) for truth in TRUTHS] + [
        (truth, i, worlds) for i in range(purchases) for truth in TRUTHS
    ]


def head(worlds: int) -> str:
    """What the lines of a file have in common; lines of another run are not mixed in."""
    files = [ROOT / "bench" / name for name in CODE]
    files += sorted(file for room in ROOMS for file in (ROOT / "src/retrue" / room).glob("*.py"))
    code = b"".join(file.read_bytes() for file in files)
    return json.dumps(
        {
            "code": hashlib.sha256(code).hexdigest()[:16],
            "kinds": [kind.hash for kind in _kinds().values()],
            "seed": SEED,
            "worlds": worlds,
        },
        sort_keys=True,
    )


def run(file: Path, purchases: int, worlds: int, processes: int) -> list[Purchase]:
    """Go on with the file until every purchase wanted is in it, and read it."""
    first, kept = head(worlds), dict[tuple[str, int], Purchase]()
    text = file.read_text(encoding="utf-8") if file.exists() else ""
    whole = text[: text.rfind("\n") + 1]  # a line torn by a crash is done again
    lines = whole.splitlines()
    if lines and lines[0] != first:
        sys.exit(f"{file} holds another run: {lines[0]}\nGive another --file, or take it away.")
    file.write_text(whole or first + "\n", encoding="utf-8")
    for line in lines[1:]:
        one = Purchase(**json.loads(line))
        kept[one.truth, one.index] = one
    wanted = jobs(purchases, worlds)
    left = [job for job in wanted if job[:2] not in kept]
    start = time.monotonic()
    with file.open("a", encoding="utf-8") as out:
        for done, line in enumerate(_lines(left, processes), start=1):
            out.write(line + "\n")
            out.flush()
            one = Purchase(**json.loads(line))
            kept[one.truth, one.index] = one
            if done % 50 == 0:
                pace = (time.monotonic() - start) / done
                print(f"{done} of {len(left)}, {pace:.2f} s each", file=sys.stderr)
    return [kept[job[:2]] for job in wanted]


def _lines(left: list[tuple[str, int, int]], processes: int) -> Iterator[str]:
    if processes == 1:
        yield from map(_line, left)
        return
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        yield from pool.map(_line, left, chunksize=1)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--purchases", type=int, default=2000, help="lots judged, for each truth")
    parser.add_argument("--worlds", type=int, default=4000)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--file", type=Path, default=ROOT / "build" / "buying.jsonl")
    parser.add_argument("--quick", action="store_true", help="four lots, a thousand worlds each")
    given = parser.parse_args(arguments)
    purchases, worlds = (4, 1000) if given.quick else (given.purchases, given.worlds)
    given.file.parent.mkdir(parents=True, exist_ok=True)
    lots = run(given.file, purchases, worlds, given.processes)
    print("\n".join(report(lots)))


if __name__ == "__main__":
    main()
