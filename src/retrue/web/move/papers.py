"""Sheets of a move: how a plan, a layout and a damage note become paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from retrue.base.formatter import minute
from retrue.base.say import say
from retrue.cases.reckon.reckoning import Reckoning
from retrue.figures.drawing import picture
from retrue.figures.ink import PAPER
from retrue.figures.move.floor_plan import Scaled, to_scale
from retrue.kinds.library import Caution
from retrue.paper.damage_note import DamageNote, Photograph
from retrue.paper.layout_sheet import ROOM, LayoutPaper, LayoutSheet, layout_sheet
from retrue.paper.method_sheet import DataRow, MethodSheet, StepRow, method_sheet
from retrue.phases.move import Arrival, DataLine, Plan, StepLine
from retrue.records.facts import File
from retrue.records.shop import Record

INSURED = "insured"
SHEETS: tuple[LayoutPaper, ...] = ("a4", "a3")  # the larger if the smaller is hard to read
READABLE = 50  # one to that many


def method_pdf(
    plan: Plan, words: Mapping[str, Caution], *, by: str, version: str, at: datetime
) -> bytes:
    """The method sheet of a plan.

    Parameters
    ----------
    plan : Plan
    words : mapping of str to Caution
        The cautions of the library, for the steps.
    by, version : str
    at : datetime

    Returns
    -------
    bytes
        A PDF.
    """
    told = tuple(one.reckoning for one in plan.methods)
    drawn = {
        one.method: picture(one.drawing, theme=PAPER, room="paper") for one in told if one.drawing
    }
    asked = next((line.record for line in plan.steps if line.step.id == INSURED), None)
    insurance = f"{asked.fact.name}. {asked.fact.text}".strip(" .") if asked else ""
    sheet = MethodSheet(
        machine=plan.machine,
        lot=plan.lot,
        reckonings=told,
        steps=tuple(_step(place, line, words) for place, line in enumerate(plan.steps, 1)),
        data=tuple(_data(line) for line in plan.data if line.must or line.record),
        insurance=insurance,
        by=by,
        version=version,
    )
    return method_sheet(sheet, at=at, pictures=drawn)


def _step(place: int, line: StepLine, words: Mapping[str, Caution]) -> StepRow:
    told = [words[id].text for id in line.step.cautions if id in words]
    who = line.record.fact.name if line.record else ""
    return StepRow(
        number=place, text=say(line.step.text), who=who, caution=" ".join(map(str, told))
    )


def _data(line: DataLine) -> DataRow:
    fact = line.record.fact if line.record else None
    if fact is None:
        return DataRow(sort=line.name)
    read = {True: say("yes"), False: say("no, not the same"), None: ""}[fact.read_back]
    return DataRow(
        sort=line.name,
        how=fact.how,
        sha256_short=fact.sha256[:12],
        read_back=fact.none or read,
    )


def layout_pdf(
    made: Reckoning, machine: str, lot: str, *, by: str, version: str, at: datetime
) -> bytes:
    """The floor plan to scale.

    Parameters
    ----------
    made : Reckoning
        Of the floor plan.
    machine, lot : str
        Names.
    by, version : str
    at : datetime

    Returns
    -------
    bytes
        A PDF.
    """
    tried = [(paper, _scaled(made, paper)) for paper in SHEETS]
    fitting = [one for one in tried if one[1].scale <= READABLE]
    paper, drawn = (fitting or tried[-1:])[0]
    sheet = LayoutSheet(
        machine=machine, lot=lot, answer=made, plan=drawn.svg, scale=drawn.scale,
        wide_mm=drawn.wide_mm, high_mm=drawn.high_mm, by=by, version=version,
    )  # fmt: skip
    return layout_sheet(sheet, at=at, paper=paper)


def _scaled(made: Reckoning, paper: LayoutPaper) -> Scaled:
    wide, high = ROOM[paper]
    return to_scale(made.drawing, theme=PAPER, wide_mm=wide, high_mm=high)


def note_of(
    view: Arrival,
    pictures: Sequence[Record[File]],
    shop: str,
    *,
    by: str = "",
    version: str = "",
) -> DamageNote | None:
    """The note to the carrier.

    Parameters
    ----------
    view : Arrival
    pictures : sequence of Record of File
        Of the arrival.
    shop : str
        Who writes.
    by, version : str

    Returns
    -------
    DamageNote or None
        None where no damage is kept.
    """
    if view.record is None or view.dates is None:
        return None
    rows = tuple(
        Photograph(
            name=f"{one.fact.place}, {one.fact.shot}",
            sha256=one.fact.sha256,
            when=minute(one.observed_at),
        )
        for one in pictures
    )
    return DamageNote(
        arrived=view.record.fact, machine=view.machine, lot=view.lot, shop=shop, photographs=rows,
        by=by, version=version,
    )  # fmt: skip
