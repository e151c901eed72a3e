"""A small shop with a bit of everything, for the tests of keeping it; and disks that fail."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import Decimal

from retrue.records.chain import Row
from retrue.records.facts import File, Finding, Lot, Machine, Note, Withdrawn
from retrue.records.settling import Posting
from retrue.records.shop import ToAdd
from retrue.store.beside import Disk

NOW = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)
LOOK = Finding(lot="l1", machine="m1", check="C01", answer="seen", text="black dust")
PHOTOGRAPH = b"\xff\xd8\xff\xe0" + bytes(range(256)) * 40


def fill(shop) -> dict[str, str]:
    """A lot, two machines, looks of which one is corrected and one taken back, files, a receipt."""
    kept = {"photograph": shop.keep_file(PHOTOGRAPH), "receipt": shop.keep_file(b"paid 121.00")}
    kind = "vertical_machining_centre"
    every = [
        ToAdd(fact=Lot(name="School, hall 3"), id="l1"),
        ToAdd(fact=Machine(lot="l1", name="mill", kind=kind), id="m1"),
        ToAdd(fact=Machine(lot="l1", name="lathe", kind=kind), id="m2"),
        *(ToAdd(fact=replace(LOOK, text=f"dust {n}"), id=f"f{n}") for n in range(6)),
        ToAdd(fact=replace(LOOK, answer="slight"), id="f1b", replaces="f1"),
        ToAdd(fact=Withdrawn(of_kind="finding", reason="wrong machine"), replaces="f2"),
        ToAdd(fact=File(sha256=kept["photograph"], name="IMG_7.JPG", media_type="image/jpeg",
                        size_bytes=len(PHOTOGRAPH), lot="l1", machine="m1", place="cabinet",
                        caption="black dust"), id="p1"),
        ToAdd(fact=Posting(sort="bought", posted_on="2026-11-25", what="belts",
                           amount=Decimal("121.00"), receipt=kept["receipt"])),
        ToAdd(fact=Note(text="=1+1 oil, ça suinte"), id="n1"),
    ]  # fmt: skip
    shop.add_all(every, by="owner", device="phone-1")
    return kept


def rows_of(shop) -> list[Row]:
    return list(shop.rows())


@dataclass
class Full:
    """A disk that is full from some call on: of writing, of syncing, or of both together."""

    after: int
    calls: int = 0
    code: int = errno.ENOSPC

    def _count(self) -> None:
        self.calls += 1
        if self.calls > self.after:
            raise OSError(self.code, os.strerror(self.code))

    def write(self, handle: int, data) -> int:
        self._count()
        return os.write(handle, data)

    def sync(self, handle: int) -> None:
        self._count()
        os.fsync(handle)

    @property
    def disk(self) -> Disk:
        return Disk(self.write, self.sync)


def calls_of(deed: Callable[[Disk], object]) -> int:
    """How many times a deed asks the disk."""
    counting = Full(10**9)
    deed(counting.disk)
    return counting.calls


@contextmanager
def largest_file(size_bytes: int) -> Iterator[None]:
    """No file of this process may grow further: the system itself says so (setrlimit)."""
    import resource
    import signal

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    was = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size_bytes, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, was)


def without_rights(deed: Callable[[], object]) -> bool:
    """Do something in a process of its own, as a user whom rights bind; whether it went well."""
    child = os.fork()
    if child == 0:
        try:
            if os.geteuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            deed()
            os._exit(0)
        finally:
            os._exit(1)
    return os.waitpid(child, 0)[1] == 0
