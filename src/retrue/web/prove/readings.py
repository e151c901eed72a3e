"""Number after number: one field, its sign, what is typed already, and what it says so far."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Refusal, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Cell
from retrue.cases.prove.proof import Proof
from retrue.cases.prove.table import Table
from retrue.phases import prove
from retrue.phases.prove import Kept, SetView
from retrue.phases.prove.judging import table_of_set
from retrue.web.door import again, deed, fresh, gathering, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import wants_json
from retrue.web.prove.papers import given
from retrue.web.prove.where import set_of, show

FORM = "form"  # how a refusal calls a table that was typed
AHEAD = 120  # numbers that a page without connection can go on with
SIGNS = {"plus": "+", "minus": "-"}


@dataclass(frozen=True, slots=True)
class SoFar:
    """What the readings say so far, or what is still missing."""

    proof: Proof | None
    missing: str


def following(view: SetView, after: str) -> Cell | None:
    """The next number that is empty, from a place on; at the end those that were left."""
    ids = [cell.id for cell in view.cells]
    start = ids.index(after) + 1 if after in ids else 0
    ahead = [*view.cells[start:], *view.cells[:start]]
    return next((cell for cell in ahead if cell.id not in view.values), None)


def parted(text: str) -> tuple[str, str]:
    """A kept number as its sign and its size, as the form shows it."""
    bare = text.strip().replace("\u2212", "-")
    if bare[:1] in {"-", "+"}:
        return ("minus" if bare[0] == "-" else "plus"), bare[1:].strip()
    return "plus" if bare else "", bare


def sign_before(view: SetView, cell: Cell) -> str:
    """The sign pressed last: readings of one run mostly lie on one side."""
    ids = [one.id for one in view.cells]
    earlier = [view.values[id] for id in ids[: ids.index(cell.id)] if id in view.values]
    return parted(earlier[-1])[0] if earlier else ""


def newest_first(view: SetView) -> list[tuple[int, Cell, str]]:
    """What is typed already: number, place and text, the last of the form first."""
    numbered = enumerate(view.cells, 1)
    typed_in = [(n, one, view.values[one.id]) for n, one in numbered if one.id in view.values]
    return typed_in[::-1]


def the_cell(view: SetView, id: str) -> Cell | None:
    """The number asked for by the address, else the next one."""
    return next((cell for cell in view.cells if cell.id == id), view.next)


async def so_far(request: Request, view: SetView) -> SoFar:
    """The running result; what is missing is said, never refused."""
    if not view.done and not view.record.fact.file:
        return SoFar(None, "")
    try:
        kinds = request.app.state.kinds
        return SoFar(await deed(prove.work_out, request, view.record.id, kinds), "")
    except Refusal as refusal:
        named = [(one.where, one.what) for one in refusal.problems[:3]]
        more = [f"{what}." if where == FORM else f"{where}: {what}." for where, what in named]
        return SoFar(None, " ".join(map(str, [f"{refusal.reason}.", refusal.remedy, *more])))


def ahead_of(view: SetView, cell: Cell) -> list[dict[str, Any]]:
    """The numbers after this one, for a page that loses its connection."""
    ids = [one.id for one in view.cells]
    rest = view.cells[ids.index(cell.id) + 1 :]
    empty = [one for one in rest if one.id not in view.values][:AHEAD]
    return [{name: asdict(one)[name] for name in SHOWN} for one in empty]


SHOWN = ("id", "prompt", "unit", "signed", "group")


async def show_set(request: Request, /, **more: Any) -> Response:
    """One number, with what is typed already below it."""
    view, place = await set_of(request)
    if view.record.fact.file:
        return to(f"/sets/{view.record.id}/result")
    cell = the_cell(view, more.pop("cell", request.query_params.get("cell", "")))
    kept = view.values.get(cell.id, "") if cell else ""
    sign, size = parted(kept) if kept else (sign_before(view, cell) if cell else "", "")
    values = {
        "view": view,
        "cell": cell,
        "number": [one.id for one in view.cells].index(cell.id) + 1 if cell else 0,
        "kept": kept,
        "sign": sign,
        "size": size,
        "ahead": ahead_of(view, cell) if cell else [],
        "later": following(view, cell.id) if cell else None,
        "typed_so_far": newest_first(view),
        "so_far": await so_far(request, view),
        "paper": request.query_params.get("paper", ""),
        "question": "",
        "id": fresh(),
    }
    return show(request, "readings.html", place, **values | more)


def signed(form: Typed, name: str, sign: str, cell: Cell) -> str:
    """A number as it was typed, with the sign of its keys; a sign that was typed goes first."""
    text = form.text(name)
    if not text or not cell.signed or text[0] in "+-\u2212":
        return text
    if sign in SIGNS:
        return SIGNS[sign] + text
    if not text.strip("0.,"):
        return text
    problem = Problem(name, say("its sign is missing"), say("Press + or \u2212."))
    form.problems.append(problem)
    return text


async def show_again(request: Request, /, **more: Any) -> Response:
    """The same number again, as it was typed."""
    return await show_set(request, cell=(await typed(request)).text("cell"), **more)


@again(show_again)
async def post_reading(request: Request) -> Response:
    """Keep one number and ask the next; an odd one is asked about before it is kept."""
    form = await typed(request)
    view, _ = await set_of(request)
    cell = the_cell(view, form.text("cell"))
    here = f"/sets/{view.record.id}"
    if cell is None:
        return to(here)
    text = signed(form, "reading", form.text("sign"), cell)
    if not text:
        form.problems.append(
            Problem("reading", say("is empty"), say("Type the number, or leave it for later."))
        )
    form.check()
    kept = await _kept(request, view, cell, text, form)
    if kept.question:
        return await _asked(request, form, cell, kept.question)
    later = following(view, cell.id)
    return to(here if later is None or later.id == cell.id else f"{here}?cell={later.id}")


async def _kept(request: Request, view: SetView, cell: Cell, text: str, form: Typed) -> Kept:
    """Keep it; what is wrong with it stands at the one field of the page."""
    kinds, set_id = request.app.state.kinds, view.record.id
    named = {"sure": form.text("sure") == "yes", **hand(request, form)}
    try:
        kept: Kept = await deed(prove.keep_reading, request, set_id, cell.id, text, kinds, **named)
    except Unusable as wrong:
        problems = tuple(Problem("reading", one.what, one.remedy) for one in wrong.problems)
        raise Unusable(wrong.reason, remedy=wrong.remedy, problems=problems) from None
    return kept


async def _asked(request: Request, form: Typed, cell: Cell, question: str) -> Response:
    if wants_json(request):
        raise Unusable(question, remedy=say("Type it again: {what}", what=cell.prompt))
    return await show_set(request, cell=cell.id, question=question, typed=form.form, status=422)


async def show_all(request: Request, /, **more: Any) -> Response:
    """Every number of the set on one page, as on the paper."""
    view, place = await set_of(request)
    if view.record.fact.file:
        return to(f"/sets/{view.record.id}/result")
    groups: dict[str, list[tuple[int, Cell]]] = {}
    for place_in_set, cell in enumerate(view.cells, 1):
        groups.setdefault(cell.group, []).append((place_in_set, cell))
    return show(request, "all_readings.html", place, view=view, groups=groups, id=fresh(), **more)


def all_from(form: Typed, cells: Sequence[Cell]) -> dict[str, str]:
    """The numbers that were filled in, by cell."""
    pairs = ((cell.id, form.text(f"cell-{cell.id}")) for cell in cells)
    return {id: text for id, text in pairs if text}


@again(show_all)
async def post_all(request: Request) -> Response:
    """Keep the whole sheet; good numbers are kept even if others are not numbers."""
    form = await typed(request)
    view, _ = await set_of(request)
    new = changed(all_from(form, view.cells), view.values)
    kinds = request.app.state.kinds
    named = {"sure": form.text("sure") == "yes", **hand(request, form)}
    try:
        with gathering(request):
            await deed(prove.keep_readings, request, view.record.id, new, kinds, **named)
    except Refusal as refusal:
        problems = [Problem(f"cell-{p.where}", p.what, p.remedy) for p in refusal.problems]
        raise type(refusal)(
            refusal.reason, remedy=refusal.remedy, problems=(*refusal.problems, *problems)
        ) from None
    return to(f"/sets/{view.record.id}")


def changed(typed_in: Mapping[str, str], kept: Mapping[str, str]) -> dict[str, str]:
    """What says something new."""
    return {id: text for id, text in typed_in.items() if kept.get(id) != text}


async def readings_file(request: Request) -> Response:
    """What was typed, as the table that a file would have held."""
    view, place = await set_of(request)
    name = f"{place.machine.name}-{view.record.fact.test}.csv"
    table = await deed(table_of_set, request, view)
    return given(as_csv(table), name, "text/csv; charset=utf-8")


def as_csv(table: Table) -> str:
    """A table as text, its heading first."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(table.columns)
    writer.writerows(zip(*table.columns.values(), strict=True))
    return out.getvalue()
