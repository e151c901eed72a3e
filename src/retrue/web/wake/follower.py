"""Follows every running watch at the server: its logger's file, its call, the server's own bell.

One thread; each pass takes new rows of a logger's file, lets the watch call, and rings. It reads
files that were named when the server was started, and no others. It never controls the machine.
"""

from __future__ import annotations

import contextlib
import json
import logging
import threading
from collections.abc import Callable, Iterator, Mapping
from contextvars import copy_context
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from retrue.base.formatter import minute
from retrue.base.refusals import Refusal
from retrue.base.say import say
from retrue.kinds.library import Kind
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import WatchBegun, WatchEnded
from retrue.store import logger_file
from retrue.web.called import in_turn

DEVICE = "logger"
EVERY_S = 2.0
STILL = timedelta(seconds=60)  # a file that has not grown for so long is named
BELL = timedelta(seconds=10)  # between two rings of a stop that nobody has ended
LOUD = frozenset({"stop", "no_reading"})

_log = logging.getLogger(__name__)


def in_words(refusal: Refusal) -> str:
    """A refusal on one line: what is wrong, each thing that is named, what helps."""
    named = [f"{one.what}. {one.remedy}".strip() for one in refusal.problems]
    return " ".join(map(str, [f"{refusal.reason}.", *named, refusal.remedy]))


def _key(watch: str) -> str:
    return f"watch-logger:{watch}"


def running(shop: RecordShop) -> list[Record[WatchBegun]]:
    """Every watch of every machine that nobody has ended."""
    ended = {one.fact.watch for one in shop.current(WatchEnded)}
    return [one for one in shop.current(WatchBegun) if one.id not in ended]


@dataclass(slots=True)
class Follower:
    """What it works with, and what it knows of each watch.

    Parameters
    ----------
    shop, kinds, clock
        As the application has them.
    loggers : mapping of str to Path
        Files and folders named when the server was started.
    by : str
        Whose name stands on what it keeps.
    ring : callable
        Rings the bell of the server's terminal once.
    troubles : dict of str to str
        Why a watch's logger cannot be read now, by the id of the watch; shown on its page.
    """

    shop: RecordShop
    kinds: Mapping[str, Kind]
    clock: Callable[[], datetime]
    loggers: Mapping[str, Path]
    by: str
    ring: Callable[[], None]
    troubles: dict[str, str] = field(default_factory=dict)
    _seen: dict[str, tuple[int, int]] = field(default_factory=dict)
    _grew: dict[str, datetime] = field(default_factory=dict)
    _rung: dict[str, datetime] = field(default_factory=dict)

    def once(self) -> None:
        """One pass over all running watches."""
        for watch in running(self.shop):
            self._follow(watch)
            self._call(watch)

    def answer(self, watch: str, fahrenheit: bool | None, offset_s: float) -> None:
        """What somebody said of a logger: its temperatures are in °F or not, its clock is off."""
        said = json.dumps({"fahrenheit": fahrenheit, "offset_s": offset_s})
        self.shop.remember(_key(watch), said.encode())
        self._seen.pop(watch, None)  # the whole file is asked again

    def _answered(self, watch: str) -> dict[str, Any]:
        said = self.shop.recall(_key(watch))
        return dict(json.loads(said)) if said else {}

    def _follow(self, watch: Record[WatchBegun]) -> None:
        """New rows of its logger's file; a file that has not changed is not read again."""
        with in_turn:
            from retrue.phases import wake
        name, now = watch.fact.logger, self.clock()
        if not name:
            return
        path = logger_file.offered(self.loggers).get(name)
        stamp = (0, 0) if path is None else logger_file.stamp(path)
        if path is not None and self._seen.get(watch.id) == stamp:
            self._still(watch.id, name, now)
            return
        self._seen[watch.id], self._grew[watch.id] = stamp, now
        try:
            content = logger_file.read(self.loggers, name)
            wake.follow(self.shop, watch.id, name, content, now, **self._answered(watch.id),
                        **self._hand())  # fmt: skip
        except Refusal as refusal:
            self.troubles[watch.id] = in_words(refusal)
        else:
            self.troubles.pop(watch.id, None)

    def _still(self, watch: str, name: str, now: datetime) -> None:
        since = self._grew[watch]
        if now - since >= STILL and watch not in self.troubles:
            self.troubles[watch] = say(
                "{name} has not grown since {at}: does the logger still write?",
                name=name, at=minute(since),
            )  # fmt: skip

    def _call(self, watch: Record[WatchBegun]) -> None:
        """A stop is kept once; the bell rings then, and again until somebody ends the watch."""
        with in_turn:
            from retrue.phases import wake
        now = self.clock()
        wake.call(self.shop, watch.id, now, self.kinds, **self._hand())
        if wake.watch_stands(self.shop, watch.id, now, self.kinds).call not in LOUD:
            self._rung.pop(watch.id, None)
        elif (last := self._rung.get(watch.id)) is None or now - last >= BELL:
            self._rung[watch.id] = now
            self.ring()

    def _hand(self) -> Hand:
        return {"by": self.by, "device": DEVICE}

    @contextlib.contextmanager
    def following(self, every_s: float = EVERY_S) -> Iterator[None]:
        """Follow in a thread of its own until the block ends."""
        stop = threading.Event()

        def work() -> None:
            while not stop.wait(every_s):
                try:
                    self.once()
                except Exception:  # noqa: BLE001 -- a watch must not die of one bad pass: it rings
                    _log.exception("a pass over the running watches failed")
                    self.ring()

        alike = copy_context()  # it speaks the language in which it was begun
        thread = threading.Thread(target=alike.run, args=(work,), name="follower", daemon=True)
        thread.start()
        try:
            yield
        finally:
            stop.set()
            thread.join()
