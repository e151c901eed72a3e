"""Sound, vibration, light of one machine: before and after, which source first, one form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, reader, say, usual
from retrue.base.units import number
from retrue.cases.prove.proof import Verdict
from retrue.cases.prove.quiet import Quiet
from retrue.cases.prove.sense_drawing import BandsDrawing, SenseDrawing
from retrue.cases.prove.sensed import LUX, SENSES, Sense, SensedLine, sense
from retrue.cases.prove.sensed_aim import aim, heard, hours_words
from retrue.cases.prove.sensed_file import KNOWN, asked_options, options_known
from retrue.figures.axes import Room
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE, Theme
from retrue.figures.prove.bands import table
from retrue.phases import prove
from retrue.phases.prove import InstrumentLine
from retrue.store.sound_file import sound_or_table
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.prove.begin import choice_words
from retrue.web.prove.result import NAMED, ONE_AT_A_TIME
from retrue.web.prove.where import Place, place_of, show
from retrue.web.uploads import content

CALCULATORS = (
    ("exposure", later("Hours in noise")),
    ("treatment", later("What a treatment gains")),
    ("soundpower", later("Sound power")),
    ("bearing", later("Bearing")),
    ("balance", later("Balance")),
    ("belt", later("Belt")),
    ("lamps", later("Lamps")),
)
AT_ONCE = ("balls", "ball_mm", "pitch_mm", "angle_deg", "task")  # asked before all others
ACCEPTED = {
    "sound": ".wav,.flac,.ogg,.csv,.xlsx,audio/*,text/csv",
    "vibration": ".wav,.flac,.csv,.xlsx,audio/*,text/csv",
    "light": ".csv,.xlsx,text/csv",
}
FILE_WORDS = {
    "sound": later("A recording (WAV, FLAC, OGG), or a table (CSV, XLSX) of frequency_hz and "
                 "level_db, of time and level_a_db, or of switched_off and level_a_db."),
    "vibration": later("A recording of acceleration (WAV, FLAC) or a table (CSV, XLSX) of it."),
    "light": later("A table (CSV, XLSX) of lux, one point a line."),
}  # fmt: skip
MEASURED = 12  # readings of one sort shown at once; older ones are folded


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture for both widths, with its numbers beside it."""

    wide: str
    phone: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """One sort as the page shows it."""

    sense: Sense
    lines: tuple[SensedLine, ...]  # newest first
    newest: SensedLine | None  # at its own place, with a number
    verdict: Verdict | None
    drawn: tuple[Drawn, ...]


def drawn(_: object, drawing: SenseDrawing, name: str) -> Drawn:
    """The picture of bands or of a spectrum, its parts under names of their own."""
    heads, lines = table(drawing) if isinstance(drawing, BandsDrawing) else ((), rows(drawing))
    return Drawn(
        wide=_one_picture(drawing, PAGE, "wide", name, reader()),
        phone=_one_picture(drawing, PAGE, "phone", name, reader()),
        heads=heads,
        rows=lines,
    )


@lru_cache(maxsize=64)  # what is drawn is a plain value: drawn once in each language
def _one_picture(drawing: SenseDrawing, theme: Theme, room: Room, name: str, _language: str) -> str:
    with ONE_AT_A_TIME:
        svg = picture(drawing, theme=theme, room=room)
    return NAMED.sub(lambda found: f"{found[1]}{name}-{room}-{found[2]}", svg)


async def show_quiet(request: Request, /, **more: Any) -> Response:
    """What was heard, felt and seen: before and after, which source first, hours; one form."""
    place = await place_of(request)
    kinds = request.app.state.kinds
    view: Quiet = await deed(prove.quiet, request, place.view.id, place.key, kinds)
    owned: list[InstrumentLine] = await deed(prove.instruments, request)
    asked: Mapping[str, Any] = more.get("typed") or request.query_params
    wanted = sense(str(asked.get("sort", "")) or view.next.sort)
    shown = [await _shown(request, view, one) for one in SENSES.values()]
    return show(
        request,
        "quiet.html",
        place,
        path=quiet_path(place),
        view=view,
        shown=shown,
        heard=heard(view.lines, view.pairs, _hours(request)),
        hours=request.query_params.get("hours", ""),
        hours_words=hours_words,
        wanted=wanted,
        when=asked.get("when", "") or (view.next.when if wanted.sort == view.next.sort else ""),
        instruments=[one for one in owned if one.record.fact.sort == wanted.meter],
        last=next(iter(view.of(wanted.sort)), None),
        measured=MEASURED,
        calculators=CALCULATORS,
        accepted=ACCEPTED,
        file_words=FILE_WORDS,
        beside=asked_options(wanted),
        at_once=AT_ONCE,
        choice_words=choice_words,
        id=fresh(),
        **more,
    )


def quiet_path(place: Place) -> str:
    """Where this page is."""
    return f"{place.path}/prove/quiet"


async def _shown(request: Request, view: Quiet, one: Sense) -> Shown:
    lines = view.of(one.sort)
    usual = [line for line in lines if line.value is not None and not line.without]
    newest = usual[0] if usual else None
    pictures = [
        await deed(drawn, request, pair.bands, f"bands{place}")
        for place, pair in enumerate(view.pairs)
        if pair.bands is not None and pair.after.sense is one
    ]
    return Shown(
        sense=one,
        lines=lines,
        newest=newest,
        verdict=aim(newest, view.spot.kind) if newest else None,
        drawn=tuple(pictures),
    )


def _hours(request: Request) -> float | None:
    """The person's own hours, if the page was asked with them; what is no number says nothing."""
    try:
        hours = float(number(request.query_params.get("hours", ""), field="hours"))
    except Unusable:
        return None
    return hours if 0 < hours <= 24 else None


def readings_from(form: Typed, one: Sense) -> list[tuple[str, float]]:
    """The typed numbers; of light several, with a blank between them."""
    read: list[tuple[str, float]] = []
    for key in one.typed:
        for text in form.text(key).split() if key == LUX else [form.text(key)]:
            try:
                read += [(key, float(number(text, field=key)))] if text else []
            except Unusable as wrong:
                form.problems.append(Problem(key, wrong.reason, wrong.remedy))
    return read


def options_from(form: Typed, one: Sense) -> dict[str, str]:
    """What stands beside the numbers or the file."""
    return {name: form.text(name) for name in options_known(one) if name != KNOWN}


def sensed_from(form: Typed, one: Sense) -> dict[str, Any]:
    """Everything that was typed of one measuring."""
    return {
        "readings": readings_from(form, one),
        "options": options_from(form, one),
        "when": form.text("when"),
        "point": usual(form.text("point"), one.points),
        "state": usual(form.text("state"), one.states),
        "speed_rpm": form.real("speed_rpm"),
        "text": form.text("text"),
    }


def content_of(_: object, upload: UploadFile) -> bytes:
    """The bytes of a file as it came."""
    return content(upload)


@again(show_quiet)
async def post_sensed(request: Request) -> Response:
    """Keep what was measured; a file that cannot be worked out is kept, and the page says why."""
    form, place = await typed(request), await place_of(request)
    one, kinds = sense(form.text("sort")), request.app.state.kinds
    named = sensed_from(form, one)
    form.check()
    if files := form.files("file"):
        named["content"] = await deed(content_of, request, files[0])
        named["name"] = files[0].filename or say("recording")
    if known := form.files("known"):
        named["known"] = await deed(content_of, request, known[0])
    where = (place.view.id, place.key, one.sort, kinds)
    named |= {"hear": sound_or_table, **hand(request, form)}
    kept = await deed(prove.keep_sensed, request, *where, **named)
    if kept.refused is not None:
        raise kept.refused
    return to(f"{quiet_path(place)}?sort={one.sort}#{one.sort}")


@again(show_quiet)
async def post_back(request: Request) -> Response:
    """Take one measuring back, with what was learned from it."""
    form, place = await typed(request), await place_of(request)
    named = hand(request, form)
    await deed(prove.take_back_sensed, request, form.text("record"), form.text("why"), **named)
    return to(quiet_path(place))


async def show_one(request: Request, /, **more: Any) -> Response:
    """One thing that was measured: its numbers, its picture, what it means, what it cannot tell."""
    place = await place_of(request)
    record = request.path_params["record"]
    made = await deed(prove.sensed_proof, request, record, sound_or_table)
    drawing = made.proof.drawing if made.proof else None
    view: Quiet = await deed(
        prove.quiet, request, place.view.id, place.key, request.app.state.kinds
    )
    return show(
        request,
        "quiet_one.html",
        place,
        path=quiet_path(place),
        made=made,
        line=made.line,
        proof=made.proof,
        cautions=view.cautions[made.line.sense.sort],
        picture=await deed(drawn, request, drawing, "one") if drawing else None,
        id=fresh(),
        **more,
    )


async def to_quiet(request: Request) -> Response:
    """The calculators of measuring are reached from the page of sound, vibration and light."""
    return to(quiet_path(await place_of(request)))
