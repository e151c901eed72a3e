"""The page of one calculator: its cautions, the answer, the form with what is known already."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response

from retrue.cases.reckon.books import BOOKS
from retrue.cases.reckon.method import (
    Field,
    Method,
    book_of,
    in_book,
    method,
    short,
)
from retrue.cases.reckon.reckoning import answer_word
from retrue.figures.axes import Room
from retrue.figures.drawing import picture, rows
from retrue.figures.ink import PAGE
from retrue.paper.method_sheet import column_name
from retrue.phases import reckon
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import render
from retrue.web.prove.where import Place, place_of
from retrue.web.uploads import content

ROOMS: tuple[Room, ...] = ("phone", "wide")


PHASES = {"move": 1, "fix": 4, "wake": 5, "prove": 6}  # their places on the path
BEHIND = {"move": ("move",), "fix": ("fix", "match")}  # else book/reckon
SHAPES = {"go": "good", "get_first": "open", "no_go": "bad"}


def _behind(book: str) -> tuple[str, ...]:
    return BEHIND.get(book, (book, "reckon"))


def _under(place: Place, book: str) -> str:
    """Where the calculators of a phase stand below the machine."""
    return "/".join((place.path, *_behind(book)))


def _asked(request: Request) -> Method:
    """The calculator of the address; one of another phase is not found there."""
    parents = tuple(request.url.path.split("/")[:-1])
    book = next(one for one in BOOKS if parents[-len(_behind(one)) :] == _behind(one))
    return method(in_book(book, request.path_params["method"]))


def grouped(one: Method) -> list[tuple[str, list[Field]]]:
    """The fields under their headings, in order."""
    groups: dict[str, list[Field]] = {}
    for field in one.fields:
        groups.setdefault(field.group, []).append(field)
    return list(groups.items())


async def show_method(request: Request, /, **more: Any) -> Response:
    """Cautions, the answer, its picture and numbers; then the form."""
    place = await place_of(request)
    one = _asked(request)
    where = (place.view.id, place.key, one.id, request.app.state.kinds)
    made = await deed(reckon.stands, request, *where)
    drawing = made.reckoning.drawing
    drawn = {room: picture(drawing, theme=PAGE, room=room) if drawing else "" for room in ROOMS}
    book = book_of(one.id)
    return render(
        request,
        "reckon.html",
        place=place,
        phase=PHASES[book],
        here=f"{_under(place, book)}/{short(one.id)}",
        phase_path=f"{place.path}/{book}",
        shapes=SHAPES,
        answers={made.reckoning.answer: answer_word(made.reckoning)},
        id=fresh(),
        one=one,
        made=made.reckoning,
        known=made.known,
        touched=made.touched,
        groups=grouped(one),
        column=column_name,
        drawn=drawn,
        rows=rows(drawing) if drawing else (),
        **more,
    )


async def _fields(request: Request, one: Method, form: Typed) -> dict[str, str]:
    """The form as text by field; a file is kept and named by its hash."""
    made: dict[str, str] = {}
    for field in one.fields:
        text = form.text(field.id)
        if field.sort == "file":
            sent = form.files(field.id)
            kept = form.text(f"{field.id}-kept")
            text = await deed(_kept_table, request, sent[0]) if sent else kept
        if text:
            made[field.id] = text
    return made


def _kept_table(shop: RecordShop, sent: UploadFile) -> str:
    """A table as it came, kept; its hash."""
    return shop.keep_file(as_csv(content(sent), sent.filename or ""))


@again(show_method)
async def post_method(request: Request) -> Response:
    """Keep it as it was filled in; the page answers."""
    form, place = await typed(request), await place_of(request)
    one = _asked(request)
    fields = await _fields(request, one, form)
    where = (place.view.id, place.key, one.id, fields, request.app.state.kinds)
    await deed(reckon.keep_plan, request, *where, **hand(request, form))
    return to(f"{_under(place, book_of(one.id))}/{short(one.id)}#answer")
