"""Sheets of a move: how a plan, a layout and a damage note become paper."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from retrue.base.say import say
from retrue.cases.move.reckoning import Reckoning
from retrue.figures.ink import PAPER
from retrue.figures.move.picture import picture
from retrue.kinds.library import Kind
from retrue.paper.layout_sheet import layout_sheet
from retrue.paper.method_sheet import DataRow, MethodSheet, StepRow, method_sheet
from retrue.phases.move import DataLine, Plan, StepLine

INSURED = "insured"


def method_pdf(plan: Plan, kind: Kind, *, by: str, version: str, at: datetime) -> bytes:
    """The method sheet of a plan.

    Parameters
    ----------
    plan : Plan
    kind : Kind
        For the cautions of the steps.
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
        steps=tuple(_step(place, line, kind) for place, line in enumerate(plan.steps, 1)),
        data=tuple(_data(line) for line in plan.data if line.must or line.record),
        insurance=insurance,
        by=by,
        version=version,
    )
    return method_sheet(sheet, at=at, pictures=drawn)


def _step(place: int, line: StepLine, kind: Kind) -> StepRow:
    words = [kind.cautions[id].text for id in line.step.cautions if id in kind.cautions]
    who = line.record.fact.name if line.record else ""
    return StepRow(number=place, text=say(line.step.text), who=who, caution=" ".join(words))


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
    return layout_sheet(made, machine=machine, lot=lot, by=by, version=version, at=at)


def damage_rows(pictures: Sequence[tuple[str, str, str]]) -> tuple[tuple[str, str, str], ...]:
    """Photographs of a damage as rows: what, short hash, when."""
    return tuple((name, sha256[:12], when) for name, sha256, when in pictures)
