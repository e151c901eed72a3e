"""Sound, vibration and light of one machine on paper: every place that was read twice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from retrue.base.formatter import number
from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.prove.quiet import Quiet
from retrue.cases.prove.sensed import SensedLine
from retrue.cases.prove.sensed_aim import heard, hours_words
from retrue.cases.prove.sensed_pairs import Pair
from retrue.paper.before_after_sheet import (
    BeforeAfterSheet,
    SensedPart,
    SensedPicture,
    SensedSide,
    before_after_sheet,
)
from retrue.paper.stage_sheet import CautionRow


def quiet_sheet(
    view: Quiet,
    *,
    at: datetime,
    by: str = "",
    version: str = "",
    pictures: Mapping[str, SensedPicture] | None = None,
) -> bytes:
    """Print what was read before and after at one machine.

    Parameters
    ----------
    view : Quiet
        As put together.
    at : datetime
        When it was printed, with its offset.
    by, version : str
        For the title block.
    pictures : mapping of str to SensedPicture, optional
        Bands of a pair in the colours of paper, by the id of its reading "after".

    Returns
    -------
    bytes
        A PDF.

    Raises
    ------
    NotYet
        Nothing was read both before and after.
    """
    if not view.pairs:
        raise NotYet(
            say("nothing was read both before and after"),
            remedy=say("Read the same place once before and once after, in the same state."),
        )
    sheet = BeforeAfterSheet(
        machine=view.spot.name,
        lot=view.spot.lot_name,
        parts=tuple(_part(view, pair, pictures or {}) for pair in view.pairs),
        by=by,
        version=version,
    )
    return before_after_sheet(sheet, at=at)


def _part(view: Quiet, pair: Pair, pictures: Mapping[str, SensedPicture]) -> SensedPart:
    sort, drawn = pair.after.sense.sort, pictures.get(pair.after.id)
    both = (pair.before, pair.after)
    return SensedPart(
        sort=sort,
        point=pair.after.said.point,
        rows=(pair.change,),
        before=_side(pair.before),
        after=_side(pair.after),
        done=pair.after.said.text,
        indicative=sort == "sound" and not all(one.answer.get("calibrated") for one in both),
        cautions=tuple(CautionRow(text=text) for text in view.cautions[sort]),
        mind=pair.mind,
        notes=tuple(_notes(view, pair)),
        pictures=(drawn,) if drawn else (),
    )


def _side(line: SensedLine) -> SensedSide:
    return SensedSide(
        measured=line.record.observed_at,
        by=line.record.by,
        instrument=line.instrument,
        state=line.said.state,
        speed_rpm=line.said.speed_rpm,
    )


def _notes(view: Quiet, pair: Pair) -> Iterator[str]:
    """What both levels allow, rule by rule, where they were read at the ear."""
    both = heard(view.lines, (pair,))
    if len(both) < 2 or both[1].line.id != pair.after.id:
        return
    for was, now in zip(both[0].allowed, both[1].allowed, strict=True):
        yield say(
            "{words}: {was} before, {now} after.",
            words=was.words,
            was=_hours(was.hours),
            now=_hours(now.hours),
        )


def _hours(hours: float) -> str:
    value, unit = hours_words(hours)
    if value < hours and unit == "h":
        return say("all day")
    return f"{number(value, 1 if unit == 'h' else 0)} {unit}"
