"""What the wiring hands to every command: the shop, the kinds, the clock, the printer, the server.

The command door knows none of them by name; tests hand it others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from datetime import date

    from retrue.cases.fix.calendar_entries import CalendarEntry
    from retrue.cases.fix.visit_lines import VisitLines
    from retrue.cases.fix.week_lines import WeekLines
    from retrue.cases.prove.acceptance import Acceptance
    from retrue.cases.prove.proof import Proof
    from retrue.cases.prove.quiet import Quiet
    from retrue.cases.reckon.reckoning import Reckoning
    from retrue.cases.screen.bid_plan import BidPlan
    from retrue.cases.screen.here import Spread
    from retrue.cases.screen.listing import Listing
    from retrue.cases.screen.screened import ScreenedLot
    from retrue.cases.sheet import PriceSheet
    from retrue.kinds.library import Kind
    from retrue.paper.blank_sheet import BlankSheet
    from retrue.paper.label_sheet import LabelSheet
    from retrue.paper.proof_sheet import ProofSheet
    from retrue.phases.move import Arrival, Plan
    from retrue.phases.strip import StripLog
    from retrue.phases.wake import Ladder, StageStands
    from retrue.phases.worth import VisitPack
    from retrue.records.facts import File, Frozen
    from retrue.records.hand import Hand
    from retrue.records.shop import Record, RecordShop


class Server(Protocol):
    """Answers browsers until it is stopped."""

    def __call__(
        self,
        place: str | None,
        lan: bool,
        port: int,
        loggers: Sequence[Path] = (),
        tls: bool = False,
        banner: str = "",
    ) -> None:
        """Answer: this laptop alone, paired phones too, or phones behind a certificate."""
        ...


class Printer(Protocol):
    """Makes PDF of what was frozen or chosen."""

    def frozen(self, fact: Frozen, sheet: PriceSheet, by: str) -> bytes:
        """One page to hold while bidding."""
        ...

    def visit(self, pack: VisitPack, sheet: PriceSheet, by: str) -> bytes:
        """At most two pages to tick in pencil."""
        ...

    def strip_log(self, log: StripLog, by: str, *, blank: bool) -> bytes:
        """The log of taking apart, or the first night with its boxes."""
        ...

    def blank(self, sheet: BlankSheet) -> bytes:
        """A test to be measured with a pencil."""
        ...

    def proof(self, sheet: ProofSheet) -> bytes:
        """A result, with its picture in the colours of paper."""
        ...

    def picture(self, proof: Proof) -> str:
        """The picture of a result as SVG; nothing where it has none."""
        ...

    def acceptance(self, accepted: Acceptance, by: str) -> bytes:
        """What is proved of one machine, and what nobody has tested."""
        ...

    def quiet(self, view: Quiet, by: str) -> bytes:
        """Sound, vibration and light before and after."""
        ...

    def move(self, plan: Plan, by: str, kinds: Mapping[str, Kind]) -> bytes:
        """The method sheet of a move."""
        ...

    def layout(self, made: Reckoning, plan: Plan, by: str) -> bytes:
        """The floor plan to scale."""
        ...

    def stage(self, stands: StageStands, ladder: Ladder, by: str) -> bytes:
        """One stage of first power, to be signed."""
        ...

    def watch(self, stands: StageStands, ladder: Ladder, kind: Kind, by: str) -> bytes:
        """A run-in watch for a pencil and a kitchen timer."""
        ...

    def cards(self, sheets: Sequence[VisitLines], by: str) -> bytes:
        """Job cards, each visit of a place on a sheet of its own."""
        ...

    def week(self, lines: WeekLines, by: str) -> bytes:
        """One week: evenings, cards, whom to ring, what must be here."""
        ...

    def screened(self, listing: Listing, rows: Sequence[ScreenedLot], by: str) -> bytes:
        """The lots of a catalogue that are worth a call."""
        ...

    def bids(self, plan: BidPlan, name: str, by: str) -> bytes:
        """Bids of one sale, with boxes for how each lot went."""
        ...

    def calendar(self, entries: Sequence[CalendarEntry]) -> bytes:
        """The plan as a calendar file."""
        ...

    def damage(self, view: Arrival, pictures: Sequence[Record[File]], shop: str, by: str) -> bytes:
        """The note to the carrier."""
        ...

    def condition(
        self, content: Mapping[str, Any], pictures: Mapping[str, bytes], *, letter: bool = False
    ) -> bytes:
        """The condition record of a machine, with its file attached."""
        ...

    def labels(self, sheet: LabelSheet) -> bytes:
        """Labels of what was undone, to cut out."""
        ...

    def damage_text(
        self, view: Arrival, pictures: Sequence[Record[File]], shop: str, on: date
    ) -> str:
        """The note to the carrier as text; nothing where no damage is kept."""
        ...


def _here(processes: int | None, cluster: str | None) -> Spread:
    """Nobody but this process works."""
    from retrue.cases.screen.here import Here

    return Here()


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """The concrete things a command works with."""

    open_shop: Callable[[str | None], AbstractContextManager[RecordShop]]
    where: Callable[[str | None], tuple[str, Path | None]]  # of a shop, and of its files
    kinds: Callable[[], Mapping[str, Kind]]
    clock: Callable[[], datetime]
    prove: Callable[[bytes, str], Any]
    printer: Printer
    serve: Server
    by: str
    data_folder: Path
    examples: Path
    spread: Callable[[int | None, str | None], Spread] = _here  # processes, cluster

    @property
    def hand(self) -> Hand:
        """Who writes at this keyboard."""
        return {"by": self.by, "device": "laptop"}
