"""Sheets of first power on paper: one stage to be signed, a watch with a kitchen timer."""

from __future__ import annotations

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.recalled import recall
from retrue.base.say import say
from retrue.cases.wake.bands import run_in_of
from retrue.kinds.library import Kind
from retrue.kinds.waking import RunInStep
from retrue.paper.press import Paper
from retrue.paper.stage_sheet import (
    BandRow,
    CautionRow,
    ClosedRow,
    ReadRow,
    StageSheet,
    stage_sheet,
)
from retrue.paper.watch_sheet import WatchLimit, WatchSheet, WatchStep, watch_sheet
from retrue.phases import wake
from retrue.phases.wake import BandLine, StageStands
from retrue.web.door import deed
from retrue.web.pairing import on_the_network
from retrue.web.prove.papers import pdf
from retrue.web.prove.where import Place, place_of
from retrue.web.wake.where import STATES, home_of, stage_of

WATCHED = ("X33", "X30", "X31")  # cautions of a watch


def _paper(request: Request) -> Paper:
    return "us-letter" if request.query_params.get("paper") == "letter" else "a4"


async def _stands(request: Request, place: Place, stage: str) -> StageStands:
    kinds = request.app.state.kinds
    stands: StageStands = await deed(wake.stage, request, place.view.id, place.key, stage, kinds)
    return stands


async def stage_file(request: Request) -> Response:
    """One stage on paper, to be signed."""
    place, state = await place_of(request), request.app.state
    stands = await _stands(request, place, request.path_params["stage"])
    sheet = sheet_of_stage(
        stands, place.machine.name, place.view.name, by=state.settings.by,
        version=state.settings.edition.removeprefix("retrue "),
        address=on_the_network(state.settings, stage_of(place, stands.stage.id)),
    )  # fmt: skip
    made = await deed(
        lambda _: stage_sheet(sheet, at=state.clock(), paper=_paper(request)), request
    )
    return pdf(made, f"{place.machine.name}-{stands.stage.id}.pdf")


async def watch_file(request: Request) -> Response:
    """A run-in watch for a pencil and a kitchen timer; no alarm sounds from paper."""
    place, state = await place_of(request), request.app.state
    asked = request.query_params.get("stage", "")
    stands = await _stands(request, place, asked) if asked else None
    sheet = sheet_of_watch(
        stands, place.kind, place.machine.name, place.view.name, by=state.settings.by,
        version=state.settings.edition.removeprefix("retrue "),
        address=on_the_network(state.settings, home_of(place) + "/watch"),
    )  # fmt: skip
    made = await deed(
        lambda _: watch_sheet(sheet, at=state.clock(), paper=_paper(request)), request
    )
    return pdf(made, f"{place.machine.name}-watch.pdf")


def _cautions(named: tuple[tuple[str, str, str], ...]) -> tuple[CautionRow, ...]:
    return tuple(CautionRow(text, defers_to) for _, text, defers_to in named)


def _band(line: BandLine) -> BandRow:
    return BandRow(
        words=line.words,
        unit=line.unit,
        expected_low=line.expected_low,
        expected_high=line.expected_high,
        abort_low=line.abort_low,
        abort_high=line.abort_high,
        taken_by=line.taken_by,
        note=line.note,
        mark=line.mark,
        lacks=line.lacks_words,
        points=line.points,
        readings=tuple(
            ReadRow(reading=one.reading, unit=one.unit, point=recall(one.point), ruling=one.ruling)
            for one in line.readings
        ),
    )


def sheet_of_stage(
    stands: StageStands, machine: str, lot: str, *, by: str, version: str, address: str = ""
) -> StageSheet:
    """A stage as its sheet takes it; of live work no words on how."""
    stage, begun = stands.stage, stands.begun
    return StageSheet(
        stage=stage.id,
        title=stage.title,
        live=stands.live,
        energises=stage.energises,
        who=stands.who,
        alone_allowed=stage.alone,
        alone_instead=stage.alone_instead,
        why=stage.why,
        does="; ".join(map(str, stage.needs)),
        cautions=_cautions(stands.cautions),
        closed=tuple(
            ClosedRow(id=one.id, text=one.text, how=one.how, when=one.when, reading=one.reading,
                      by=one.by)
            for one in stands.closed
        ),
        wanting=tuple(one.what for one in stands.wanting),
        bands=tuple(_band(line) for line in stands.bands),
        abort_limits="; ".join(map(str, stage.abort_limits)),
        on_abort="; ".join(map(str, stage.on_abort)),
        hands_back="; ".join(map(str, stage.hands_back)),
        leave_it="; ".join(map(str, stage.leave_it)),
        machine=machine,
        lot=lot,
        by_name=begun.fact.by_name if begun else "",
        at_switch=begun.fact.at_switch if begun else "",
        licence=begun.fact.licence if begun else "",
        begun=begun.observed_at if begun else None,
        ended=say(STATES[stands.state][1]) if stands.ended else "",
        by=by,
        version=version,
        address=address,
    )  # fmt: skip


def sheet_of_watch(
    stands: StageStands | None, kind: Kind, machine: str, lot: str,
    *, by: str, version: str, address: str = "",
) -> WatchSheet:  # fmt: skip
    """A watch as its sheet takes it: with a stage, its whole table of steps before the start."""
    named = {id: kind.cautions[id] for id in WATCHED if id in kind.cautions}
    fixed = WatchSheet(
        what="",
        cautions=tuple(CautionRow(one.text, one.defers_to) for one in named.values()),
        machine=machine,
        lot=lot,
        by=by,
        version=version,
        address=address,
    )
    if stands is None:
        return fixed
    begun = stands.begun
    return replace(
        fixed,
        what=stands.stage.title,
        stage=stands.stage.id,
        steps=tuple(_step(one) for one in run_in_of(kind, stands.stage)),
        limits=tuple(
            WatchLimit(one.words, one.unit, one.expected_low, one.expected_high, one.abort_low,
                       one.abort_high)
            for one in stands.bands if one.step is None
        ),
        stop_rules="; ".join(map(str, stands.stage.abort_limits)),
        on_abort="; ".join(map(str, stands.stage.on_abort)),
        at_switch=begun.fact.at_switch if begun else "",
        by_name=begun.fact.by_name if begun else "",
    )  # fmt: skip


def _step(one: RunInStep) -> WatchStep:
    percent = f"{one.percent:g}"
    return WatchStep(
        number=one.step,
        words=say("{percent} % of the rapid", percent=percent)
        if one.ladder == "axis"
        else say("{percent} % of the highest speed", percent=percent),
        minutes=one.minutes,
        expected_rise_k=one.rise_k,
        abort_rise_k=one.abort_rise_k,
        note=one.text,
    )
