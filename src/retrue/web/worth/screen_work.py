"""Prices the lots of a catalogue in a thread of the server; a page asks how far it is."""

from __future__ import annotations

import contextlib
import hashlib
import json
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import copy_context
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import uuid4

from retrue.base.refusals import Refusal
from retrue.base.say import reader
from retrue.kinds.library import Kind
from retrue.records.hand import Hand
from retrue.records.shop import RecordShop
from retrue.web.called import in_turn

if TYPE_CHECKING:
    from retrue.cases.screen.listing import ListedLot, Listing
    from retrue.cases.screen.screened import AskFirst, ScreenedLot
    from retrue.web.security import Settings

WORLDS = 2000  # of each lot; the price of one that is taken into my lots has more
MOST_ASKED = 10  # lots of which it is said what to ask
END_S = 5.0  # that the server waits for a part in hand when it ends


@dataclass(frozen=True, slots=True)
class Working:
    """How it stands here with one catalogue.

    Attributes
    ----------
    going : bool
    waits : bool
        Another catalogue is worked at first.
    done, parts : int
        As far as this server was told.
    refusal : Refusal or None
        Why the last run ended.
    broken : bool
        The last run ended by an error of ours.
    """

    going: bool = False
    waits: bool = False
    done: int = 0
    parts: int = 0
    refusal: Refusal | None = None
    broken: bool = False


@dataclass(slots=True)
class Screener:
    """What it works with, and how far each catalogue is.

    Parameters
    ----------
    shop, settings, clock
        As the application has them.
    kinds : mapping of str to Kind
        In English, so that two people with two languages keep the same rows.
    spoken : mapping of str to Kind
        The same in the reader's language, for what to ask.
    """

    shop: RecordShop
    kinds: Mapping[str, Kind]
    spoken: Mapping[str, Kind]
    settings: Settings
    clock: Callable[[], datetime]
    worker: str = field(default_factory=lambda: uuid4().hex)  # of this run of the server
    _stands: dict[str, Working] = field(default_factory=dict)
    _asking: set[str] = field(default_factory=set)
    _threads: dict[str, threading.Thread] = field(default_factory=dict)
    _stopped: set[str] = field(default_factory=set)
    _turn: threading.Lock = field(default_factory=threading.Lock)
    _at_work: threading.Lock = field(default_factory=threading.Lock)
    _ended: threading.Event = field(default_factory=threading.Event)
    _open: bool = False

    @property
    def seed(self) -> int:
        """Of every screening of this server."""
        return self.settings.seed

    @property
    def worlds(self) -> int:
        """Of every screening of this server."""
        return min(WORLDS, self.settings.worlds)

    @contextmanager
    def working(self) -> Iterator[None]:
        """While the server runs; the part in hand is ended with it, what is done is kept."""
        self._open = True
        try:
            yield
        finally:
            self._ended.set()
            for thread in list(self._threads.values()):
                thread.join(END_S)

    def stands(self, catalogue: str) -> Working:
        """How it stands with one catalogue."""
        return self._stands.get(catalogue, Working())

    def begin(self, catalogue: str, hand: Hand) -> bool:
        """Work at a catalogue, or go on; False where that is done already.

        Parameters
        ----------
        catalogue : str
            Its id.
        hand : Hand
            Whose hand keeps the rows.
        """
        with self._turn:
            self._stopped.discard(catalogue)
            if self.stands(catalogue).going:
                return False
            self._stands[catalogue] = Working(going=True, waits=self._at_work.locked())
            thread = threading.Thread(
                target=copy_context().run,
                args=(self._work, catalogue, hand),
                name="screener",
                daemon=True,
            )
            self._threads[catalogue] = thread
            thread.start()
        return True

    def stop(self, catalogue: str) -> None:
        """Take no further part of a catalogue; the one in hand is ended."""
        self._stopped.add(catalogue)

    def wait(self, catalogue: str, seconds: float | None = None) -> None:
        """Until a catalogue is worked out or stopped, or so many seconds have passed."""
        thread = self._threads.get(catalogue)
        if thread is not None:
            thread.join(seconds)

    def _goes(self, catalogue: str) -> bool:
        return catalogue not in self._stopped and not self._ended.is_set()

    def _work(self, catalogue: str, hand: Hand) -> None:
        ended = Working(broken=True)
        try:
            with self._at_work:
                self._stands[catalogue] = Working(going=True)
                with in_turn:
                    from retrue.phases import worth
                worth.run_parts(
                    self.shop, catalogue, self.kinds, self.settings.spread, worker=self.worker,
                    clock=self.clock,
                    going=lambda: self._goes(catalogue), at_once=self.settings.parts_at_once,
                    told=lambda done, parts: self._tell(catalogue, done, parts),
                    **_bare(hand),
                )  # fmt: skip
                self._ask_ahead(catalogue)
            ended = Working()
        except Refusal as refusal:
            ended = Working(refusal=refusal)
        finally:  # also of an error of ours: the page must not wait for ever
            self._stands[catalogue] = ended

    def ask(self, catalogue: str) -> None:
        """Work out what to ask of the best, in a thread of its own; one at a time."""
        with self._turn:
            if catalogue in self._asking:
                return
            self._asking.add(catalogue)
            at = f"{catalogue} asked"
            self._threads[at] = threading.Thread(
                target=copy_context().run, args=(self._ask, catalogue), name="asking", daemon=True
            )
            self._threads[at].start()

    def _ask(self, catalogue: str) -> None:
        try:
            with contextlib.suppress(Refusal):  # the page itself says it
                self._ask_ahead(catalogue)
        finally:
            self._asking.discard(catalogue)

    def _ask_ahead(self, catalogue: str) -> None:
        """What to ask of the best, before the page is looked at."""
        with in_turn:
            from retrue.cases.screen.rank import ranked
            from retrue.cases.screen.worthy import has_price
            from retrue.phases import worth
        state = worth.state_of(self.shop, catalogue, self.kinds)
        if state.begun is None or not state.ready:
            return
        lots = by_number(worth.listing_of(self.shop, catalogue, self.kinds))
        best = ranked([row for row in state.rows if has_price(row)])
        for row in best[:MOST_ASKED]:
            if self._ended.is_set():
                return
            self.asked_of(row, lots[row.number], state.begun.fact.key)

    def _tell(self, catalogue: str, done: int, parts: int) -> None:
        self._stands[catalogue] = Working(going=True, done=done, parts=parts)

    def asked_of(self, row: ScreenedLot, listed: ListedLot, key: str) -> tuple[AskFirst, ...]:
        """What to ask first of one lot, worked out once.

        Parameters
        ----------
        row : ScreenedLot
        listed : ListedLot
            The same lot as it was read.
        key : str
            Of the screening: with another, it is asked anew.
        """
        known = self.known(row, key)
        if known is not None:
            return known
        with in_turn:
            from retrue.cases.screen.asking import ask_first
        asked = ask_first(listed, self.spoken, seed=self.seed, worlds=self.worlds)
        told = [[one.check, str(one.text), one.worth] for one in asked]
        self.shop.remember(_name(row, key), json.dumps(told).encode())
        return asked

    def known(self, row: ScreenedLot, key: str) -> tuple[AskFirst, ...] | None:
        """The same where it was worked out, in the reader's language; None where not yet."""
        if row.ask or row.walk_away is None:
            return row.ask
        told = self.shop.recall(_name(row, key))
        if told is None:
            return None
        with in_turn:
            from retrue.cases.screen.screened import AskFirst
        return tuple(AskFirst(check=id, text=text, worth=worth) for id, text, worth in
                     json.loads(told))  # fmt: skip

    def with_asked(
        self, rows: Sequence[ScreenedLot], listed: Mapping[str, ListedLot], key: str
    ) -> tuple[tuple[ScreenedLot, ...], bool]:
        """The same rows; what to ask stands in the first of them.

        Parameters
        ----------
        rows : sequence of ScreenedLot
            With a price, best first.
        listed : mapping of str to ListedLot
            By number.
        key : str
            Of the screening.

        Returns
        -------
        tuple of ScreenedLot
        bool
            Whether all of it is known. Where no server runs it is worked out at once, however long
            that takes.
        """
        told, whole = [], True
        for row in rows[:MOST_ASKED]:
            ask = self.known(row, key)
            if ask is None and not self._open:
                ask = self.asked_of(row, listed[row.number], key)
            whole = whole and ask is not None
            told.append(replace(row, ask=ask or ()))
        return (*told, *rows[MOST_ASKED:]), whole


def _name(row: ScreenedLot, key: str) -> str:
    """What the answers of a lot are remembered by."""
    whole = "\x1f".join((key, row.number, reader()))
    return "asked " + hashlib.sha256(whole.encode()).hexdigest()


def by_number(listing: Listing) -> dict[str, ListedLot]:
    """The lots of a catalogue by their numbers."""
    return {one.number: one for one in listing.lots}


def _bare(hand: Hand) -> Hand:
    """A hand without id and moment: each part that it keeps has its own."""
    return {"by": hand["by"], "device": hand["device"]}
