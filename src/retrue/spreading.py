"""Parts of a catalogue shared out: to the cores of this machine, or to a cluster of machines.

Nothing here decides anything: every part has the same rows wherever it is done. A worker that is
lost costs time and changes no digit; its part is given to another.
"""

from __future__ import annotations

import contextlib
import functools
import os
import pickle
import signal
import threading
import zlib
from collections import deque
from collections.abc import Generator, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import connection, get_all_start_methods, get_context, parent_process
from typing import TYPE_CHECKING, Literal

from retrue import __version__
from retrue.base.memory import keep_for_next
from retrue.base.refusals import NotYet, Unreadable
from retrue.base.say import say
from retrue.cases.screen.here import Here, Spread
from retrue.kinds.library import Kind

if TYPE_CHECKING:
    from distributed import Client

    from retrue.cases.screen.listing import ListedLot
    from retrue.cases.screen.parts import Part, PartDone, Work
    from retrue.records.facts import Machine

Begin = Literal["fork", "spawn"]

TRIES = 3  # of a part whose worker is lost each time
ANSWERS_IN_S = 10.0  # a cluster that is there


def spread_of(processes: int | None, cluster: str | None = None) -> Spread:
    """Who does the work: a cluster, some processes, or this one alone.

    Parameters
    ----------
    processes : int or None
        None: one for each core this program may use.
    cluster : str or None
        Address of the scheduler of a Dask cluster: ``tcp://office:8786``.

    Returns
    -------
    Spread
    """
    if cluster:
        return Cluster(cluster)
    count = cores() if processes is None else processes
    return Processes(count) if count > 1 else Here()


def cores() -> int:
    """Cores that this program may use.

    Returns
    -------
    int
    """
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


Kinds = Mapping[str, Kind]


def _used(parts: Sequence[Part], kinds: Kinds) -> Kinds:
    """Those kinds alone that a lot needs: every worker is given them once."""
    used = {machine.kind for part in parts for lot in part.lots for machine in _machines(lot)}
    return {id: kind for id, kind in kinds.items() if id in used}


def _machines(lot: ListedLot) -> Sequence[Machine]:
    return () if lot.case is None else lot.case.machines


_held: dict[str, Kind] = {}  # in a worker: the kinds it was given


def _hold(kinds: Kinds) -> None:
    """Make ready in a worker: Ctrl-C is the first process's, and without it there is no work."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _held.update(kinds)
    keep_for_next()
    threading.Thread(target=_end_with_the_first, daemon=True).start()


def _end_with_the_first() -> None:
    first = parent_process()
    if first is not None:
        connection.wait([first.sentinel])
        os._exit(1)


def _work(work: Work, part: Part) -> PartDone:
    return work(part, _held)


class Processes:
    """Parts shared out to processes of this machine."""

    def __init__(self, count: int, begin: Begin | None = None) -> None:
        """Say how many.

        Parameters
        ----------
        count : int
        begin : str or None
            How a process begins: as a copy of this one (fork), or anew (spawn). None: a copy
            where that is possible and this process has one thread.
        """
        self.count = count
        self._begin = begin

    def run(
        self, work: Work, parts: Sequence[Part], kinds: Kinds
    ) -> Generator[PartDone, None, None]:
        """Every part once, as it is ready.

        Where a worker is lost, the parts that were at work are given out again one at a time, so
        that a part which ends its worker each time is told from those beside it.

        Raises
        ------
        NotYet
            A part lost its worker three times.
        """
        shared, waiting = _used(parts, kinds), deque(parts)
        while waiting:
            lost: list[Part] = []
            yield from self._round(work, waiting, shared, min(self.count, len(waiting)), lost)
            for part in lost:
                yield self._alone(work, part, shared)

    def _round(
        self, work: Work, waiting: deque[Part], shared: Kinds, count: int, lost: list[Part]
    ) -> Iterator[PartDone]:
        """One pool until everything is done, or until it breaks."""
        at_work: dict[Future[PartDone], Part] = {}
        with self._pool(count, shared) as pool:
            while (waiting or at_work) and not lost:
                with contextlib.suppress(BrokenProcessPool):  # seen by what is at work
                    while waiting and len(at_work) <= count:
                        at_work[pool.submit(_work, work, waiting[0])] = waiting[0]
                        waiting.popleft()
                for future in wait(at_work, return_when=FIRST_COMPLETED).done:
                    yield from self._of(future, at_work.pop(future), lost)
            wait(at_work)  # of a pool that is broken: what was ready all the same
            for future, part in at_work.items():
                yield from self._of(future, part, lost)

    def _of(self, future: Future[PartDone], part: Part, lost: list[Part]) -> Iterator[PartDone]:
        """What came of one part, or nothing where its pool broke."""
        if isinstance(future.exception(), BrokenProcessPool):
            lost.append(part)
        else:
            yield future.result()

    def _alone(self, work: Work, part: Part, shared: Kinds) -> PartDone:
        """One part that lost its worker once already, with a worker of its own."""
        for _ in range(TRIES - 1):
            with self._pool(1, shared) as pool, contextlib.suppress(BrokenProcessPool):
                return pool.submit(_work, work, part).result()
        raise given_up(part)

    @contextlib.contextmanager
    def _pool(self, count: int, shared: Kinds) -> Iterator[ProcessPoolExecutor]:
        pool = ProcessPoolExecutor(
            count, mp_context=get_context(self._way()), initializer=_hold, initargs=(shared,)
        )
        try:
            yield pool
        finally:
            pool.shutdown(cancel_futures=True)

    def _way(self) -> Begin:
        if self._begin is not None:
            return self._begin
        alone = threading.active_count() == 1
        return "fork" if alone and "fork" in get_all_start_methods() else "spawn"


def given_up(part: Part) -> NotYet:
    """Say which part could not be done.

    Parameters
    ----------
    part : Part

    Returns
    -------
    NotYet
        To be raised.
    """
    return NotYet(
        say(
            "lots {first} to {last} could not be worked out: the worker was lost {times} times",
            first=part.lots[0].number,
            last=part.lots[-1].number,
            times=TRIES,
        ),
        remedy=say("What is done is kept. Look whether memory is short, and start again."),
    )


def edition() -> str:
    """What must be the same on every machine for the same digits."""
    import numpy as np

    return f"retrue {__version__}, NumPy {np.__version__}"


def _packed(kinds: Kinds) -> bytes:
    return zlib.compress(pickle.dumps(dict(kinds), protocol=5))


@functools.lru_cache(maxsize=2)
def _unpacked(packed: bytes) -> Kinds:
    """In a worker: unpacked once, however many parts it works on."""
    kinds: dict[str, Kind] = pickle.loads(zlib.decompress(packed))
    return kinds


def _work_there(work: Work, part: Part, packed: bytes, wanted: str) -> PartDone:
    """One part, on whatever machine this is.

    The kinds go with every part: what is handed out once is gone with the worker that has it.
    """
    if edition() != wanted:
        raise NotYet(
            say("a worker has {theirs}, this machine has {ours}", theirs=edition(), ours=wanted),
            remedy=say("Set up the same edition on every machine: only then digits are the same."),
        )
    keep_for_next()
    return work(part, _unpacked(packed))


class Cluster:
    """Parts shared out to a Dask cluster: a scheduler and workers on as many machines as wanted."""

    def __init__(self, address: str) -> None:
        """Say where its scheduler is: ``tcp://office:8786``."""
        self.address = address

    def run(
        self, work: Work, parts: Sequence[Part], kinds: Kinds
    ) -> Generator[PartDone, None, None]:
        """Every part once, as it is ready; the scheduler gives a lost worker's to another.

        Raises
        ------
        Unreadable
            Nothing answers there, or Dask is not installed.
        NotYet
            A part lost its worker too often, or a worker has another edition.
        """
        with self._client() as client:
            yield from self._done(client, work, parts, _packed(_used(parts, kinds)))

    def _done(
        self, client: Client, work: Work, parts: Sequence[Part], packed: bytes
    ) -> Iterator[PartDone]:
        from distributed import KilledWorker, as_completed

        at_work = {
            client.submit(_work_there, work, part, packed, edition(), pure=False): part
            for part in parts
        }
        try:
            for future in as_completed(list(at_work), loop=client.loop):
                part = at_work.pop(future)
                try:
                    yield future.result()
                except KilledWorker:
                    raise given_up(part) from None
        finally:
            client.cancel(list(at_work))

    @contextlib.contextmanager
    def _client(self) -> Iterator[Client]:
        try:
            from distributed import Client
        except ImportError:
            raise Unreadable(
                say("Dask is not installed here"),
                remedy=say("Install it with: pip install 'retrue[cluster]'."),
            ) from None
        try:
            client = Client(self.address, timeout=ANSWERS_IN_S, set_as_default=False)
        except (OSError, ValueError) as wrong:
            raise Unreadable(
                say("no cluster answers at {address}", address=self.address),
                remedy=say("Start its scheduler, or leave --cluster away: this machine suffices."),
            ) from wrong
        try:
            yield client
        finally:
            client.close()
