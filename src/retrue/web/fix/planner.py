"""Plans in a thread of its own, one plan at a time; a page asks how far it is."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Mapping
from contextvars import copy_context
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from retrue.base.refusals import Refusal
from retrue.base.say import say
from retrue.kinds.library import Kind
from retrue.records.hand import Hand
from retrue.records.shop import RecordShop
from retrue.web.called import in_turn

if TYPE_CHECKING:
    from retrue.cases.fix.plan_lines import PlanView

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Going:
    """How far planning is.

    Attributes
    ----------
    going : bool
    share : float
        0 to 1.
    words : str
        What it does now; empty where it does nothing.
    refusal : Refusal or None
        Why the last one came to nothing.
    broken : bool
        The last one ended by an error of ours.
    tried : PlanView or None
        Made only to see what would be; not kept.
    """

    going: bool = False
    share: float = 0.0
    words: str = ""
    refusal: Refusal | None = None
    broken: bool = False
    tried: PlanView | None = None


@dataclass(slots=True)
class Planner:
    """What it works with, and how far it is.

    Parameters
    ----------
    shop, kinds, clock
        As the application has them.
    """

    shop: RecordShop
    kinds: Mapping[str, Kind]
    clock: Callable[[], datetime]
    stands: Going = field(default_factory=Going)
    _turn: threading.Lock = field(default_factory=threading.Lock)
    _thread: threading.Thread | None = None

    def begin(self, asked: Mapping[str, Any], hand: Hand, *, keep: bool = True) -> bool:
        """Begin to plan; False where a plan is being made already.

        Parameters
        ----------
        asked : mapping of str to Any
            Fields of ``fix.plan``: why, lots, seed, lead_times.
        hand : Hand
            Whose hand keeps the plan.
        keep : bool
            False: only to see what would be.
        """
        with self._turn:
            if self.stands.going:
                return False
            self.stands = Going(going=True, words=say("begins"))
            self._thread = threading.Thread(
                target=copy_context().run,
                args=(self._work, dict(asked), hand, keep),
                name="planner",
                daemon=True,
            )
            self._thread.start()
        return True

    def wait(self, seconds: float | None = None) -> None:
        """Until it is done, or so many seconds have passed."""
        thread = self._thread
        if thread is not None:
            thread.join(seconds)

    def _work(self, asked: dict[str, Any], hand: Hand, keep: bool) -> None:
        ended = Going(broken=True)
        try:
            with in_turn:
                from retrue.phases import fix
            view = fix.plan(self.shop, self.kinds, now=self.clock(), progress=self._tell, **asked)
            if keep:
                fix.keep_plan(self.shop, view, **hand)
            ended = Going(tried=None if keep else view)
        except Refusal as refusal:
            ended = Going(refusal=refusal)
        except Exception:  # noqa: BLE001 -- the page must not wait for ever
            _log.exception("planning failed")
        finally:
            self.stands = ended

    def _tell(self, share: float, words: str) -> None:
        self.stands = Going(going=True, share=min(1.0, max(0.0, share)), words=words)
