"""The result: the answer, what to turn, what should then be read, the picture, the numbers."""

from __future__ import annotations

import re
import threading
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.formatter import minute
from retrue.base.refusals import Refusal, Unknown
from retrue.base.say import reader, say
from retrue.cases.prove.proof import Proof, Quantity
from retrue.figures.axes import Room
from retrue.figures.ink import PAGE, PAPER, Theme
from retrue.figures.prove.picture import picture
from retrue.paper.proof_sheet import ProofSheet, proof_sheet
from retrue.phases import note, prove, worth
from retrue.phases.prove import BenchView, Judgement, SetView
from retrue.phases.prove.sets import fingerprint
from retrue.phases.worth import Said
from retrue.records.facts import Note
from retrue.records.measuring import Result
from retrue.records.shop import Record, RecordShop
from retrue.web.door import again, deed, fresh, hand, sum_of, to, typed
from retrue.web.prove.papers import given, pdf
from retrue.web.prove.where import set_of, show

NAMED = re.compile(r'(\bid="|\bhref="#|url\(#)([^")]+)')
ONE_AT_A_TIME = threading.Lock()  # what draws the pictures keeps its settings for all threads


def drawn(_: object, proof: Proof, theme: Theme, room: Room) -> str:
    """The picture of a result; nothing where it has none."""
    return (
        "" if proof.drawing is None else _picture(proof.deed, proof.drawing, theme, room, reader())
    )


@lru_cache(maxsize=64)  # what is drawn is a plain value: drawn once in each language
def _picture(deed: str, drawing: object, theme: Theme, room: Room, _language: str) -> str:
    shown = Proof(deed=deed, title="", headline="", quantities=(), drawing=drawing)
    with ONE_AT_A_TIME:
        return own_names(picture(shown, theme=theme, room=room), room)


def own_names(svg: str, room: Room) -> str:
    """The parts of a drawing under names of their own: a page holds the same picture twice."""
    return NAMED.sub(lambda found: f"{found[1]}{room}-{found[2]}", svg)


def judged_quantity(proof: Proof) -> Quantity | None:
    """The number that the answer is about: the judged one, else the first that is defined."""
    key = proof.verdict.key if proof.verdict else ""
    defined = [one for one in proof.quantities if one.value is not None]
    return next((one for one in defined if one.key == key), defined[0] if defined else None)


async def _proof(request: Request, view: SetView) -> Proof:
    kinds = request.app.state.kinds
    made: Proof = await deed(prove.work_out, request, view.record.id, kinds)
    return made


@dataclass(frozen=True, slots=True)
class PriceMoved:
    """What a kept result did to the price of its lot."""

    before: float
    after: float


def price_moved(said: list[Said], view: SetView, kept: Record[Result]) -> PriceMoved | None:
    """The price before and after what the belief learned from a result; None: it learned nothing.

    Its findings bear the name of the test and its place, and were kept after the result.
    """
    place, title = view.record.fact.place, view.deed.title
    named = f"{title}, {place}" if place else title
    steps = [
        (row.before, row.after)
        for row in said
        if row.record.seq > kept.seq and row.record.fact.text == named
        if row.record.fact.machine == view.record.fact.machine and not row.withdrawn
    ]
    known = [(was, now) for was, now in steps if was is not None and now is not None]
    return PriceMoved(known[0][0], known[-1][1]) if known else None


def entered_already(notes: list[Record[Note]], view: SetView, proof: Proof) -> list[int]:
    """Which moves of the remedy, from 1, stand in the notes as a changed setting."""
    fact = view.record.fact
    stand = {
        (one.fact.setting, one.fact.new)
        for one in notes
        if one.fact.machine == fact.machine and one.seq > view.record.seq
    }
    settings = [(number, one.setting) for number, one in enumerate(proof.remedy, 1)]
    return [n for n, one in settings if one and (one.name, one.new) in stand]


async def show_result(request: Request, /, **more: Any) -> Response:
    """What the readings of one set mean; to be looked at before it is judged, and after."""
    view, place = await set_of(request)
    kinds, id = request.app.state.kinds, view.record.id
    try:
        proof = await _proof(request, view)
    except Refusal as refusal:
        values = {"view": view, "why": refusal, "status": 409} | more | {"refusal": None}
        return show(request, "no_result.html", place, **values)
    bench: BenchView = await deed(prove.bench, request, place.view.id, place.key, kinds)
    results = await deed(prove.results, request, place.view.id, place.key)
    mine = [one for one in results if one.fact.set == id]
    kept = [one for one in mine if one.fact.readings == fingerprint(view)]
    said = await deed(worth.findings, request, place.view.id, kinds)
    values = {
        "view": view,
        "proof": proof,
        "answer": judged_quantity(proof),
        "wide": await deed(drawn, request, proof, PAGE, "wide"),
        "phone": await deed(drawn, request, proof, PAGE, "phone"),
        "compared": await deed(prove.compare, request, id, kinds),
        "kept": kept[-1] if kept else None,
        "moved": price_moved(said, view, kept[-1]) if kept else None,
        "after": bench.next,
        "corrected": bool(mine),
        "entered": entered_already(await deed(note.notes, request), view, proof),
        "id": fresh(),
    }
    return show(request, "result.html", place, **values | more)


@again(show_result)
async def post_judge(request: Request) -> Response:
    """Keep the result, and let the price learn from it."""
    form = await typed(request)
    view, place = await set_of(request)
    named = {**sum_of(request), **hand(request, form)}
    await deed(judged, request, view, place.view.id, request.app.state.kinds, named)
    return to(f"/sets/{view.record.id}/result")


def judged(
    shop: RecordShop, view: SetView, lot: str, kinds: Any, named: dict[str, Any]
) -> Judgement:
    """Judge a set, then hand over what was found of its machine."""
    writer = {key: named[key] for key in ("by", "device", "id", "observed_at") if key in named}
    made = prove.judge(shop, view.record.id, kinds, **writer)
    if made.findings:
        rest = {key: value for key, value in named.items() if key != "id"}
        worth.keep_findings(shop, lot, made.findings, kinds, **rest)
    return made


@again(show_result)
async def post_entered(request: Request) -> Response:
    """A value of the remedy was entered at the control: a line of its own in the notes."""
    form = await typed(request)
    view, _ = await set_of(request)
    number = form.whole("number") or 0
    form.check()
    kinds, named = request.app.state.kinds, hand(request, form)
    await deed(prove.entered, request, view.record.id, number, kinds, **named)
    return to(f"/sets/{view.record.id}/result#remedy")


async def result_file(request: Request) -> Response:
    """The result on paper."""
    view, place = await set_of(request)
    proof = await _proof(request, view)
    state, fact = request.app.state, view.record.fact
    sheet = ProofSheet(
        proof=proof,
        lot=place.view.name,
        machine=place.machine.name,
        place=fact.place,
        instrument=view.instrument.name if view.instrument else "",
        air_c=fact.air_c,
        machine_c=fact.machine_c,
        state=fact.state,
        measured=minute(view.record.observed_at),
        code=fact.code,
        by=state.settings.by,
        version=state.settings.edition,
    )

    def printed(_: object) -> bytes:
        on_paper = drawn(None, proof, PAPER, "paper") or None
        return proof_sheet(sheet, picture=on_paper, at=state.clock())

    return pdf(await deed(printed, request), f"{place.machine.name}-{fact.test}.pdf")


async def table_file(request: Request) -> Response:
    """A finished table of a result, as it is entered at a control."""
    view, _ = await set_of(request)
    proof, name = await _proof(request, view), request.path_params["name"]
    if name not in proof.files:
        raise Unknown(
            say("This result has no file {name}", name=name),
            remedy=say("Choose one that its page lists."),
        )
    return given(proof.files[name], name, "text/csv; charset=utf-8")
