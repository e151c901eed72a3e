"""Behind the pages: what the front page needs of every lot is worked out before somebody asks."""

from __future__ import annotations

import contextlib
import gc
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import ParamSpec

from retrue.base.memory import give_back, resident_mb
from retrue.base.refusals import Refusal
from retrue.base.say import ENGLISH, NAMES, reader, sentences, speaking
from retrue.kinds.library import Kind
from retrue.records.shop import RecordShop
from retrue.web.called import in_turn, load_all
from retrue.web.security import Settings

FIRST_S = 1.0  # for the first page, which is then answered alone; not where it is the front page
LOOK_S = 2.0  # whether another day has begun, something was kept, how much memory is held
BREATH_S = 0.02  # after each lot, so that pages are answered meanwhile
TIDY_MB = 250.0
LANGUAGE = "language of the front page"
P = ParamSpec("P")


@dataclass(slots=True)
class Behind:
    """Works ahead at the start, after midnight, after what was kept; gives memory back.

    Parameters
    ----------
    shop, kinds, clock, settings
        As the application has them.
    """

    shop: RecordShop
    kinds: Mapping[str, Kind]
    clock: Callable[[], datetime]
    settings: Settings
    share: float = 0.0  # of the lots of what it works at
    _languages: list[str] = field(default_factory=list)  # that are wanted, each once
    _ready: set[tuple[str, date]] = field(default_factory=set)
    _asked: bool = False  # for the front page
    _kept: str = ""
    _seen: int = -1  # the newest record a look ago: what is being written is waited for
    _changed: threading.Condition = field(default_factory=threading.Condition)
    _ended: threading.Event = field(default_factory=threading.Event)

    @contextmanager
    def working(self) -> Iterator[None]:
        """Work in a thread of its own, until the server ends."""
        self._kept = (self.shop.recall(LANGUAGE) or b"").decode("ascii", "replace")
        self._languages.append(self._kept if self._kept in NAMES else ENGLISH)
        thread = threading.Thread(target=self._run, name="behind", daemon=True)
        thread.start()
        try:
            yield
        finally:
            self._ended.set()
            with self._changed:
                self._changed.notify_all()
            thread.join(1)

    def ready(self, seconds: float) -> bool:
        """Whether the front page can be told at once, in the reader's language; waits so long.

        Where nobody works ahead it is told at once, however long that takes.
        """
        language, today = reader(), self._today()
        if not self._languages or (language, today) in self._ready:
            return True
        with self._changed:
            self._asked = True
            if language not in self._languages:
                self._languages.append(language)
            self._changed.notify_all()
            return self._changed.wait_for(lambda: (language, today) in self._ready, seconds)

    def read_in(self, shop: RecordShop, language: str) -> None:
        """The front page is read in this language: the next start works ahead in it."""
        if language != self._kept:
            self._kept = language
            with self._changed:
                if language in self._languages:  # the one that is read comes last
                    others = [one for one in self._languages if one != language]
                    self._languages = [*others, language]
            shop.remember(LANGUAGE, language.encode("ascii"))

    def _today(self) -> date:
        return self.clock().astimezone().date()

    def _run(self) -> None:
        held, newest = TIDY_MB, -1
        with self._changed:
            self._changed.wait_for(lambda: self._asked or self._ended.is_set(), FIRST_S)
        self._begin(_load)
        while not self._ended.is_set():
            today = self._today()
            ahead = next((one for one in self._languages if (one, today) not in self._ready), None)
            if ahead is not None:
                self._begin(self._work, ahead, today)
                gc.freeze()  # it lasts: looking for waste shall not go through it again
                with self._changed:
                    self._ready.add((ahead, today))
                    self._changed.notify_all()
            elif (now := self.shop.newest()) != newest and now == self._seen:
                newest = now
                self._begin(self._again, self._languages[-1], today)
            elif resident_mb() > held:
                give_back()
                held = max(TIDY_MB, 1.1 * resident_mb())
            else:
                self._seen = now
                with self._changed:
                    self._changed.wait(LOOK_S)

    @staticmethod
    def _begin(work: Callable[P, None], *given: P.args, **named: P.kwargs) -> None:
        """In a thread of its own: what breaks there is told and ends it, not the one that waits."""
        thread = threading.Thread(target=work, args=given, kwargs=named, daemon=True)
        thread.start()
        thread.join()

    def _work(self, language: str, on: date) -> None:
        with in_turn:
            from retrue.cases.spot import first_id
            from retrue.phases import through, worth
            from retrue.web.through import ASKS
        shop, kinds, sums = self.shop, self.kinds, self.settings
        self.share = 0.0
        with speaking(language), contextlib.suppress(Refusal):  # the page itself says it
            lots = [first_id(shop, one) for one in worth.lots(shop)]
            for n, lot in enumerate(lots, 1):
                through.machines(
                    shop, kinds, ASKS, on=on, lot=lot, seed=sums.seed, worlds=sums.worlds
                )
                self.share = n / len(lots)
                if self._ended.wait(BREATH_S):
                    return
        self._again(language, on)

    def _again(self, language: str, on: date) -> None:
        """What was kept since changed one lot: only that one is made anew."""
        with in_turn:
            from retrue.phases import fix, through
            from retrue.web.through import ASKS
        shop, kinds, sums = self.shop, self.kinds, self.settings
        with speaking(language), contextlib.suppress(Refusal):
            through.machines(shop, kinds, ASKS, on=on, seed=sums.seed, worlds=sums.worlds)
            fix.tonight(shop, kinds, on=on, lots=fix.in_hand(shop))
            fix.waiting(shop, on=on, kinds=kinds)


def _load() -> None:
    """What the first page did not need: all other pages, and what is said in other languages."""
    load_all()
    for language in NAMES:
        if language != ENGLISH:
            sentences(language)
