"""The run-in watch: its start, its screen beside the machine, readings from elsewhere, its end."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime
from typing import Any, Unpack

from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.wake.bands import run_in_of
from retrue.cases.wake.watch_kept import watch_kept
from retrue.paper.written import unit_words
from retrue.phases import note, wake
from retrue.phases.wake import WatchStands
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import WatchBegun, WatchReadings
from retrue.store import logger_file
from retrue.store.sound_file import read_sound
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.prove.where import Place, place_of
from retrue.web.strip.where import kept
from retrue.web.uploads import content
from retrue.web.wake.channels import NAMES, OPEN, RELATIVE
from retrue.web.wake.curve import drawn
from retrue.web.wake.follower import Follower
from retrue.web.wake.where import home_of, shape_of, show, watches_of

ALARMS = ("stop", "no_reading")
LAST = 20  # rows of the table on the screen
TYPED = 5  # readings that are offered to be taken back


def watch_of(place: Place, watch: str) -> str:
    """The screen of one watch."""
    return f"{home_of(place)}/watch/{watch}"


async def show_start(request: Request, /, **more: Any) -> Response:
    """Before a watch: the alarm is heard once, then the start opens; or paper and a timer."""
    place, settings = await place_of(request), request.app.state.settings
    asked = request.query_params
    stage, stands = asked.get("stage", ""), None
    if stage:
        at = (place.view.id, place.key, stage, request.app.state.kinds)
        stands = await deed(wake.stage, request, *at)
    return show(
        request,
        "watch_start.html",
        place,
        stage=stage,
        stands=stands,
        steps=run_in_of(place.kind, stands.stage) if stands and stands.step is None else (),
        loggers=list(logger_file.offered(settings.loggers)),
        beside=asked.get("beside", "") == "yes",
        **await watches_of(request, place),
        **more,
    )


@again(show_start)
async def post_start(request: Request) -> Response:
    """Begin a watch; refused before the alarm was heard, unless paper stands in for it."""
    form, place = await typed(request), await place_of(request)
    named: dict[str, Any] = {field: form.text(field) for field in ("stage", "what", "text")}
    named |= {
        "step": form.whole("step"),
        "room_c": form.real("room_c", signed=True),
        "expected_a": form.real("expected_a"),
        "alarm": "paper" if form.text("alarm") == "paper" else "laptop",
        "heard": form.yes_no("heard") is True,
        "logger": _offered(request, form),
    }
    if (silence := form.real("silence_minutes")) is not None:
        named["silence_minutes"] = silence
    form.check()
    at = (place.view.id, place.key, request.app.state.kinds)
    begun = await deed(wake.begin_watch, request, *at, **named, **hand(request, form))
    return kept(request, watch_of(place, begun.id), begun.id)


def _offered(request: Request, form: Typed) -> str:
    """A logger that this computer was started with; a page can name no other file."""
    name = form.text("logger")
    if name and name not in logger_file.offered(request.app.state.settings.loggers):
        what = say("no logger is called {name}", name=name)
        form.problems.append(Problem("logger", what, say("Choose one that is offered.")))
    return name


async def _stands(request: Request) -> tuple[WatchStands, Place]:
    place, state = await place_of(request), request.app.state
    id = request.path_params["watch"]
    stands: WatchStands = await deed(wake.watch_stands, request, id, state.clock(), state.kinds)
    if (stands.watch.fact.lot, stands.watch.fact.machine) != (place.view.id, place.key):
        raise Unknown(say("no such watch"), remedy=say("Open it from the page of first power."))
    return stands, place


def told(stands: WatchStands, now: datetime, trouble: str) -> dict[str, Any]:
    """What a page asks for every two seconds: the one state, and when a reading is due."""
    due = stands.next_reading_by
    seen = [stands.call, *stands.why, *stands.good, trouble, str(len(stands.rows)), str(due)]
    return {
        "alarm": stands.call in ALARMS,
        "call": stands.call,
        "due_s": None if due is None else round((due - now).total_seconds(), 1),
        "ended": stands.call == "ended",
        "mark": hashlib.sha256(json.dumps(seen).encode()).hexdigest()[:16],
        "now": now.isoformat(),
        "rows": len(stands.rows),
        "schema": "watch_state/1",
        "shape": shape_of(stands.call),
        "trouble": trouble,
        "why": list(stands.why),
        "words": stands.words,
    }


def _trouble(request: Request, watch: Record[WatchBegun]) -> str:
    return str(request.app.state.follower.troubles.get(watch.id, ""))


async def give_state(request: Request) -> Response:
    """The state of a watch as JSON, for the page that shows it."""
    stands, _ = await _stands(request)
    now = request.app.state.clock()
    return JSONResponse(told(stands, now, _trouble(request, stands.watch)))


async def _shown(
    request: Request, template: str, more: dict[str, Any], *, pictured: bool = False
) -> Response:
    stands, place = await _stands(request)
    said = told(stands, request.app.state.clock(), _trouble(request, stands.watch))
    here = watch_of(place, stands.watch.id)
    recorded = await deed(_recorded, request, stands.watch.id)
    given = {
        "stands": stands,
        "said": said,
        "this": here,
        "batches": await deed(_typed_last, request, stands.watch.id),
        "pictures": await deed(drawn, request, stands) if pictured else {},
        "last": stands.rows[-LAST:][::-1],
        "names": NAMES | (RELATIVE if recorded else {}),
        "open_channels": OPEN,
        "unit_words": unit_words,
    }
    return show(request, template, place, **given | more)


def _recorded(shop: RecordShop, watch: str) -> bool:
    return watch_kept(shop, watch).recorded


def _typed_last(shop: RecordShop, watch: str) -> list[Record[WatchReadings]]:
    """What was typed last, the newest first."""
    batches = [one for one in watch_kept(shop, watch).batches if one.fact.source == "typed"]
    return batches[-TYPED:][::-1]


async def show_watch(request: Request, /, **more: Any) -> Response:
    """The screen beside the machine: one state in words and shape, readable at three metres."""
    return await _shown(request, "watch.html", more, pictured=True)


async def show_readings(request: Request, /, **more: Any) -> Response:
    """Readings typed from where nothing turns within reach; the alarm sounds at the laptop."""
    return await _shown(request, "watch_readings.html", more)


@again(show_readings)
async def post_readings(request: Request) -> Response:
    """Keep typed readings; sent twice they are kept once."""
    form, place = await typed(request), await place_of(request)
    watch, at = request.path_params["watch"], _moment(request, form)
    values = {channel: form.real(channel, signed=True) for channel in NAMES}
    form.check()
    rows = tuple((at, channel, value) for channel, value in values.items() if value is not None)
    if not rows:
        raise Unusable(
            say("nothing was typed"), remedy=say("Type one number at least, then keep it.")
        )
    record = await deed(wake.add_readings, request, watch, rows, **hand(request, form))
    return kept(request, _came_from(request, place, form), record.id)


@again(show_readings)
async def post_sound(request: Request) -> Response:
    """Keep a recording's levels; it ended just now unless the form says when."""
    form, place = await typed(request), await place_of(request)
    sent = form.files("recording")
    if not sent:
        raise Unusable(
            say("no recording was chosen"), remedy=say("Choose a WAV or FLAC file, then keep it.")
        )
    ended, watch = datetime.fromisoformat(_moment(request, form)), request.path_params["watch"]
    record = await deed(_hear, request, watch, sent[0], ended, **hand(request, form))
    return kept(request, _came_from(request, place, form), record.id)


def _hear(
    shop: RecordShop, watch: str, sent: UploadFile, ended: datetime, **more: Unpack[Hand]
) -> Record[WatchReadings]:
    return wake.hear(shop, watch, read_sound(content(sent), sent.filename or ""), ended, **more)


@again(show_watch)
async def post_logger(request: Request) -> Response:
    """Keep what somebody says of a logger: °C or °F, and how far its clock is off."""
    form, place = await typed(request), await place_of(request)
    stands, _ = await _stands(request)
    offset_s = form.real("offset_s", signed=True) or 0.0
    form.check()
    degrees = form.text("degrees")
    fahrenheit = {"f": True, "c": False}.get(degrees)
    watch, name = stands.watch.id, stands.watch.fact.logger
    words = {"f": "°F", "c": "°C"}.get(degrees, say("as its heading says"))
    told = say("{name}: temperatures in {degrees}, its clock off by {seconds} s", name=name,
               degrees=words, seconds=short(offset_s))  # fmt: skip
    await deed(
        note.note, request, told, lot=place.view.id, machine=place.key, **hand(request, form)
    )
    await deed(_answer, request, request.app.state.follower, watch, fahrenheit, offset_s)
    return kept(request, watch_of(place, watch), form.text("id"))


@again(show_readings)
async def post_back(request: Request) -> Response:
    """Take a typed reading back; it stays readable and counts no more."""
    form, place = await typed(request), await place_of(request)
    record = form.text("record")
    await deed(wake.take_back, request, record, **hand(request, form))
    return kept(request, _came_from(request, place, form), record)


def _came_from(request: Request, place: Place, form: Typed) -> str:
    """The page of a watch that a form says it came from: the screen, or readings from elsewhere."""
    back = "/readings" if form.text("back") == "readings" else ""
    return watch_of(place, request.path_params["watch"]) + back


def _answer(
    _: object, follower: Follower, watch: str, fahrenheit: bool | None, offset_s: float
) -> None:
    follower.answer(watch, fahrenheit, offset_s)


def _moment(request: Request, form: Typed) -> str:
    """When it was read: what the device says by our clock, else now."""
    now: datetime = request.app.state.clock()
    try:
        said = datetime.fromisoformat(form.text("observed_at"))
    except ValueError:
        return now.isoformat()
    return said.astimezone(now.tzinfo).isoformat()


@again(show_watch)
async def post_end(request: Request) -> Response:
    """End the watch by name: it levelled, it was stopped, it was left."""
    form, place = await typed(request), await place_of(request)
    watch = request.path_params["watch"]
    at = (watch, form.text("how"), form.text("name"))
    named = {"text": form.text("text"), **hand(request, form)}
    await deed(wake.end_watch, request, *at, **named)
    return to(watch_of(place, watch))
