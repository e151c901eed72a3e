"""Setting up: what to do, in what order, with what; then the first reading."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import say
from retrue.cases.prove.deed import Deed, Option
from retrue.cases.prove.deed import deed as the_deed
from retrue.phases import prove
from retrue.phases.prove import InstrumentLine
from retrue.records.measuring import ReadingSet
from retrue.store.spreadsheet import as_csv
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.prove.papers import new_code
from retrue.web.prove.where import place_of, show
from retrue.web.uploads import content

AT_ONCE = 6
OPTION = "option-"  # before the name of an option's field, so that it is never one of ours


def asked(test: Deed) -> list[Option]:
    """The options that a form asks for."""
    return [one for one in test.options if one.form and one.sort != "file"]


def at_once(test: Deed) -> list[Option]:
    """The few that are shown at once: the first ones, and those that are needed."""
    return [one for place, one in enumerate(asked(test)) if place < AT_ONCE or one.needed]


def choice_words(choice: str) -> str:
    """A ready answer as a page says it: blanks inside it, a sign at its end kept."""
    return re.sub(r"(?<=\w)[-_](?=\w)", " ", choice)


def fitting(test: Deed, owned: list[InstrumentLine]) -> list[InstrumentLine]:
    """The instruments that this test can be made with, else all of them."""
    return [one for one in owned if test in one.serves] or owned


def picked(test: Deed, owned: list[InstrumentLine], before: ReadingSet | None) -> str:
    """The instrument of the reading before, else the only one that serves this test."""
    if before:
        return before.instrument or ""
    serving = [one.id for one in owned if test in one.serves and one.record.fact.way == "owned"]
    return serving[0] if len(serving) == 1 else ""


def defaults(test: Deed, before: ReadingSet | None) -> dict[str, Any]:
    """What stands in the fields at first: as it was measured before, else the usual values."""
    values = {one.id: one.default for one in test.options}
    return values | dict(before.options) if before else values


async def show_begin(request: Request, /, **more: Any) -> Response:
    """Cautions, steps, a few options, the instrument, the temperatures, one button."""
    place = await place_of(request)
    test = the_deed(request.path_params["test"])
    kinds, owned = request.app.state.kinds, await deed(prove.instruments, request)
    earlier = await deed(prove.results, request, place.view.id, place.key)
    before = request.query_params.get("before", "")
    old = (await deed(prove.open_set, request, before, kinds)).record.fact if before else None
    wrong = more.pop("wrong", {})
    return show(
        request,
        "begin.html",
        place,
        test=test,
        options=at_once(test),
        rarely=[one for one in asked(test) if one not in at_once(test)],
        choice_words=choice_words,
        defaults=defaults(test, old),
        old=old,
        before=before,
        earlier=[one for one in earlier if one.fact.test == test.id],
        instruments=fitting(test, owned),
        picked=picked(test, owned, old),
        code=request.query_params.get("code", ""),
        id=fresh(),
        wrong=wrong | {OPTION + name: problem for name, problem in wrong.items()},
        **more,
    )


def options_from(form: Typed, test: Deed) -> dict[str, str]:
    """The options as they were typed; empty ones take what is usual."""
    pairs = ((one.id, form.text(OPTION + one.id)) for one in asked(test))
    return {id: text for id, text in pairs if text}


def beside_from(form: Typed) -> dict[str, Any]:
    """What stands beside the readings: where, with what, how warm, in what state."""
    return {
        "place": form.text("place"),
        "instrument": form.text("instrument") or None,
        "air_c": form.real("air_c", signed=True),
        "machine_c": form.real("machine_c", signed=True),
        "state": form.text("state"),
        "before": form.text("before") or None,
    }


@again(show_begin)
async def post_begin(request: Request) -> Response:
    """Begin a set, or keep a whole table as it came; the page asks number after number."""
    form, place = await typed(request), await place_of(request)
    test = the_deed(request.path_params["test"])
    options, beside = options_from(form, test), beside_from(form)
    form.check()
    named = beside | hand(request, form)
    kinds = request.app.state.kinds
    files = form.files("table")
    where: tuple[Any, ...] = (place.view.id, place.key, test.id)
    if files:
        name = files[0].filename or say("readings")
        whole = await deed(content_of, request, files[0])
        kept = await deed(prove.keep_table, request, *where, whole, name, options, kinds, **named)
        return to(f"/sets/{kept.id}/result")
    code = form.text("code") or new_code(form.text("id") or fresh())
    kept = await deed(prove.begin, request, *where, options, kinds, code=code, **named)
    return to(f"/sets/{kept.id}" + WAYS.get(form.text("way"), ""))


def content_of(_: object, upload: Any) -> bytes:
    """The bytes of a table; a spreadsheet becomes the text it holds."""
    return as_csv(content(upload), upload.filename or say("readings"))


WAYS: Mapping[str, str] = {"sheet": "/all", "paper": "?paper=yes"}
