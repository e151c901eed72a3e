"""Everything that is ever written, one write of each sort at a time; for ``bench/kill.py``."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

from retrue.records.facts import Finding
from retrue.records.measuring import Reading
from retrue.records.shop import ToAdd
from retrue.store.backup import back_up
from retrue.store.beside import DISK, Disk
from retrue.store.shop import SqlShop

MANY = 40  # records in one go
BATCH = 8  # readings sent together
SORTS = (0, 0, 1, 0, 5, 3, 0, 2, 0, 4, 0, 1, 5, 0, 3, 0, 2, 6)


def clock() -> datetime:
    """The machine's clock."""
    return datetime.now(UTC)


def finding(words: str) -> Finding:
    return Finding(lot="l1", machine="m1", check="C01", answer="seen", text=words)


def one_of_all(
    shop: SqlShop, files: Path, key: str, sort: int, before: str, disk: Disk = DISK
) -> list[str]:
    """One write of one sort; what may be told once it is kept.

    Parameters
    ----------
    shop, files
        Where to.
    key : str
        Its id, and the beginning of the ids of a batch.
    sort : int
        Which of the sorts.
    before : str
        Id of a single record that nothing has replaced; empty: none.
    disk
        What writes a backup.
    """
    if sort == 1 and before:
        shop.add(finding(f"corrected {key}"), by="owner", id=key, replaces=before)
    elif sort == 2 and before:
        shop.withdraw(before, by="owner", reason="wrong machine", withdrawal=key)
    elif sort == 3:
        some = [reading(n) for n in range(BATCH)]
        shop.add_all([ToAdd(fact=one, id=f"{key}.{n}") for n, one in enumerate(some)], by="owner")
        return [f"record {key}.{n}" for n in range(BATCH)]
    elif sort == 4:
        shop.add_all(
            [ToAdd(fact=finding(f"{key} {n}"), id=f"{key}.{n}") for n in range(MANY)], by="owner"
        )
        return [f"record {key}.{n}" for n in range(MANY)]
    elif sort == 5:
        return [f"file {shop.keep_file(f'picture {key}'.encode() * 1000)}"]
    elif sort == 6:
        target = files.with_name(f"{files.name}-{os.getpid()}.zip")
        made = back_up(shop, target, version="bench", now=clock(), disk=disk)
        return [f"backup {target}:{made.records}"]
    else:
        shop.add(finding(key), by="owner", id=key)
    return [f"record {key}"]


def reading(number: int) -> Reading:
    return Reading(set="s1", cell=str(number), text="+0.02")
