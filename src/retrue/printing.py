"""What makes paper of what was kept: the press, pictures in its colours, title blocks filled in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

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
    from retrue.records.shop import Record


@dataclass(frozen=True, slots=True)
class Paper:
    """Makes PDF with the press.

    Attributes
    ----------
    clock : callable
        The moment it is, for title blocks.
    version : str
        Of the program.
    """

    clock: Callable[[], datetime]
    version: str

    def frozen(self, fact: Frozen, sheet: PriceSheet, by: str) -> bytes:
        """One page to hold while bidding."""
        from retrue.figures.ink import PAPER
        from retrue.figures.rule import rule
        from retrue.paper.freeze_sheet import freeze_sheet

        walk = sheet.walk_away
        picture = rule(walk.spread, float(fact.hammer), sheet.currency, theme=PAPER)
        return freeze_sheet(fact, sheet, picture=picture, by=by, at=self.clock())

    def visit(self, pack: VisitPack, sheet: PriceSheet, by: str) -> bytes:
        """At most two pages to tick in pencil."""
        from retrue.paper.visit_pack import visit_pack
        from retrue.web.worth.visit import on_paper

        return visit_pack(on_paper(pack, pack.name, sheet, by=by), at=self.clock())

    def labels(self, sheet: LabelSheet) -> bytes:
        """Labels of what was undone, to cut out."""
        from retrue.paper.label_sheet import label_sheet

        return label_sheet(replace(sheet, version=self.version), at=self.clock())

    def strip_log(self, log: StripLog, by: str, *, blank: bool) -> bytes:
        """The log of taking apart, or the first night with its boxes."""
        from retrue.paper.strip_sheet import first_night_sheet, strip_sheet
        from retrue.web.strip.papers import log_sheet

        printing = first_night_sheet if blank else strip_sheet
        return printing(log_sheet(log, by=by, version=self.version), at=self.clock())

    def blank(self, sheet: BlankSheet) -> bytes:
        """A test to be measured with a pencil."""
        from retrue.paper.blank_sheet import blank_sheet

        return blank_sheet(replace(sheet, version=self.version), at=self.clock())

    def proof(self, sheet: ProofSheet) -> bytes:
        """A result, with its picture in the colours of paper."""
        from retrue.figures.ink import PAPER
        from retrue.figures.prove.picture import picture
        from retrue.paper.proof_sheet import proof_sheet

        drawn = picture(sheet.proof, theme=PAPER, room="paper")
        return proof_sheet(
            replace(sheet, version=self.version), picture=drawn or None, at=self.clock()
        )

    def picture(self, proof: Proof) -> str:
        """The picture of a result as SVG; nothing where it has none."""
        from retrue.figures.ink import PAPER
        from retrue.figures.prove.picture import picture

        return picture(proof, theme=PAPER, room="wide")

    def acceptance(self, accepted: Acceptance, by: str) -> bytes:
        """What is proved of one machine, and what nobody has tested."""
        from retrue.paper.acceptance_sheet import acceptance_sheet

        return acceptance_sheet(accepted, at=self.clock(), by=by, version=self.version)

    def quiet(self, view: Quiet, by: str) -> bytes:
        """Sound, vibration and light before and after."""
        from retrue.web.prove.quiet_paper import quiet_pdf

        return quiet_pdf(view, by=by, version=self.version, at=self.clock())

    def move(self, plan: Plan, by: str, kinds: Mapping[str, Kind]) -> bytes:
        """The method sheet of a move."""
        from retrue.web.move.papers import method_pdf

        words = next(iter(kinds.values())).cautions
        return method_pdf(plan, words, by=by, version=self.version, at=self.clock())

    def layout(self, made: Reckoning, plan: Plan, by: str) -> bytes:
        """The floor plan to scale."""
        from retrue.web.move.papers import layout_pdf

        return layout_pdf(
            made, plan.machine, plan.lot, by=by, version=self.version, at=self.clock()
        )

    def stage(self, stands: StageStands, ladder: Ladder, by: str) -> bytes:
        """One stage of first power, to be signed."""
        from retrue.paper.stage_sheet import stage_sheet
        from retrue.web.wake.papers import sheet_of_stage

        sheet = sheet_of_stage(stands, ladder.name, ladder.lot_name, by=by, version=self.version)
        return stage_sheet(sheet, at=self.clock())

    def watch(self, stands: StageStands, ladder: Ladder, kind: Kind, by: str) -> bytes:
        """A run-in watch for a pencil and a kitchen timer."""
        from retrue.paper.watch_sheet import watch_sheet
        from retrue.web.wake.papers import sheet_of_watch

        named = {"by": by, "version": self.version}
        sheet = sheet_of_watch(stands, kind, ladder.name, ladder.lot_name, **named)
        return watch_sheet(sheet, at=self.clock())

    def cards(self, sheets: Sequence[VisitLines], by: str) -> bytes:
        """Job cards, each visit of a place on a sheet of its own."""
        from retrue.paper.card_sheet import CardSheet, card_sheet

        version = self.version
        return card_sheet(
            [CardSheet(lines=one, by=by, version=version) for one in sheets], at=self.clock()
        )

    def week(self, lines: WeekLines, by: str) -> bytes:
        """One week: evenings, cards, whom to ring, what must be here."""
        from retrue.paper.week_sheet import WeekSheet, week_sheet

        return week_sheet(WeekSheet(lines=lines, by=by, version=self.version), at=self.clock())

    def screened(self, listing: Listing, rows: Sequence[ScreenedLot], by: str) -> bytes:
        """The lots of a catalogue that are worth a call."""
        from retrue.cases.screen.drawing import screen_drawing
        from retrue.figures.drawing import picture
        from retrue.figures.ink import PAPER
        from retrue.paper.screen_sheet import screen_sheet, sheet_of

        sheet = sheet_of(listing, rows, by=by, version=self.version)
        drawing = screen_drawing(sheet.rows, sheet.currency)
        drawn = picture(drawing, theme=PAPER, room="paper")
        return screen_sheet(sheet, picture=drawn or None, at=self.clock())

    def bids(self, plan: BidPlan, name: str, by: str) -> bytes:
        """Bids of one sale, with boxes for how each lot went."""
        from retrue.paper.bid_sheet import BidSheet, bid_sheet

        sheet = BidSheet(plan=plan, name=name, by=by, version=self.version)
        return bid_sheet(sheet, at=self.clock())

    def calendar(self, entries: Sequence[CalendarEntry]) -> bytes:
        """The plan as a calendar file."""
        from dataclasses import asdict

        from retrue.base.say import say
        from retrue.paper.calendar_file import Entry, calendar_file

        made = [Entry(**asdict(one)) for one in entries]
        return calendar_file(made, name=say("What to do"), at=self.clock(), version=self.version)

    def damage(self, view: Arrival, pictures: Sequence[Record[File]], shop: str, by: str) -> bytes:
        """The note to the carrier."""
        from retrue.paper.damage_note import damage_note
        from retrue.web.move.papers import note_of

        note = note_of(view, pictures, shop, by=by, version=self.version)
        return damage_note(note, at=self.clock()) if note else b""

    def condition(
        self, content: Mapping[str, Any], pictures: Mapping[str, bytes], *, letter: bool = False
    ) -> bytes:
        """The condition record of a machine, with its file attached."""
        from retrue.paper.condition_record import condition_record

        return condition_record(content, pictures, paper="us-letter" if letter else "a4")

    def damage_text(
        self, view: Arrival, pictures: Sequence[Record[File]], shop: str, on: date
    ) -> str:
        """The note to the carrier as text; nothing where no damage is kept."""
        from retrue.paper.damage_note import damage_text
        from retrue.web.move.papers import note_of

        note = note_of(view, pictures, shop, version=self.version)
        return damage_text(note, on=on) if note else ""
