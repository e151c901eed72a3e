"""Backup, check and export in a thread of their own, one at a time; a page asks how far it is."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Literal

import retrue
from retrue.base.refusals import Refusal
from retrue.base.say import reader, speaking
from retrue.phases import keeping
from retrue.records.shop import RecordShop
from retrue.store.backup import back_up
from retrue.store.export import Taken, export
from retrue.store.inside import Inside
from retrue.store.kept import Progress, kept
from retrue.store.whole import Whole, look_over

_log = logging.getLogger(__name__)
Deed = Literal["backup", "export", "check"]


@dataclass(frozen=True, slots=True)
class Made:
    """A file that waits to be handed out.

    Attributes
    ----------
    deed : str
        What made it.
    path : Path
        Where it waits: beside the shop's files, until it is handed out or made anew.
    name : str
        As a device is to call it.
    size_bytes : int
        How large it is.
    inside : Inside or Taken
        What is in it.
    """

    deed: Deed
    path: Path
    name: str
    size_bytes: int
    inside: Inside | Taken


@dataclass(frozen=True, slots=True)
class Stands:
    """How far it is.

    Attributes
    ----------
    going : str
        What is being done; empty where nothing is.
    words : str
        The step it is at.
    share : float
        Of that step, 0 to 1.
    refusal : Refusal or None
        Why the last one came to nothing.
    broken : bool
        The last one ended by an error of ours.
    made : tuple of Made
        Files that wait to be handed out, the newest first; one of each deed.
    whole : Whole or None
        What the last check showed.
    """

    going: Deed | Literal[""] = ""
    words: str = ""
    share: float = 0.0
    refusal: Refusal | None = None
    broken: bool = False
    made: tuple[Made, ...] = ()
    whole: Whole | None = None


@dataclass(slots=True)
class Keeper:
    """What it works with, and how far it is.

    Parameters
    ----------
    shop, clock
        As the application has them.
    """

    shop: RecordShop
    clock: Callable[[], datetime]
    stands: Stands = field(default_factory=Stands)
    _turn: threading.Lock = field(default_factory=threading.Lock)
    _thread: threading.Thread | None = None

    def begin(self, deed: Deed, *, last: str | None = None) -> bool:
        """Begin; False where something is being done already.

        Parameters
        ----------
        deed : str
            backup, export or check.
        last : str or None
            Of a check: the hash that was noted on paper.
        """
        with self._turn:
            if self.stands.going:
                return False
            self._discard(deed)
            self.stands = Stands(going=deed, made=self.stands.made, whole=self.stands.whole)
            self._thread = threading.Thread(
                target=self._work, args=(deed, last, reader()), name="keeper", daemon=True
            )
            self._thread.start()
        return True

    def wait(self, seconds: float | None = None) -> None:
        """Until it is done, or so many seconds have passed."""
        thread = self._thread
        if thread is not None:
            thread.join(seconds)

    def handed_out(self, made: Made) -> None:
        """A file has been handed out whole: it need not wait any longer."""
        with self._turn:
            if made in self.stands.made:
                self._discard(made.deed)

    def _discard(self, deed: Deed) -> None:
        """Let go of the file that this deed made before; the others wait on."""
        for one in self.stands.made:
            if one.deed == deed:
                one.path.unlink(missing_ok=True)
        left = tuple(one for one in self.stands.made if one.deed != deed)
        self.stands = replace(self.stands, made=left)

    def _work(self, deed: Deed, last: str | None, language: str) -> None:
        before = Stands(made=self.stands.made, whole=self.stands.whole)
        ended = replace(before, broken=True)
        try:
            with speaking(language):
                if deed == "check":
                    whole = look_over(self.shop, last=last, progress=self._tell)
                    ended = replace(before, whole=whole)
                else:
                    made = self._made(deed, self._tell)
                    ended = replace(before, made=(made, *before.made))
        except Refusal as refusal:
            ended = replace(before, refusal=refusal)
        except Exception:  # noqa: BLE001 -- the page must not wait for ever
            _log.exception("%s failed", deed)
        finally:
            with self._turn:  # what was handed out meanwhile is gone
                there = tuple(one for one in ended.made if one.path.exists())
                self.stands = replace(ended, made=there)

    def _made(self, deed: Deed, progress: Progress) -> Made:
        now = self.clock()
        path = kept(self.shop).files.folder.parent / f".handed-{deed}.zip"
        path.unlink(missing_ok=True)
        inside: Inside | Taken
        if deed == "backup":
            inside = back_up(
                self.shop, path, version=retrue.__version__, now=now, progress=progress
            )
        else:
            inside = export(self.shop, path, version=retrue.__version__, now=now, progress=progress)
        name = f"shop-{deed}-{now.astimezone():%Y-%m-%d-%H%M}.zip"
        return Made(deed, path, name, path.stat().st_size, inside)

    def _tell(self, what: str, done: int, of: int) -> None:
        share = min(1.0, done / of) if of else 0.0
        words = keeping.step_words(what, done, of)
        with self._turn:
            self.stands = replace(self.stands, words=words, share=share)
