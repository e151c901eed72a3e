"""A bank file or a parts list: shown before it is kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, cast

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Refusal, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.settle.book_words import SORTS
from retrue.cases.settle.bring import Wanted
from retrue.cases.settle.bring_choices import sorts_of
from retrue.cases.settle.bring_columns import ROLE_WORDS, ROLES_OF, FileKind
from retrue.cases.settle.bring_lines import BroughtRow, Choices, Deed, Preview
from retrue.cases.settle.bring_tax import tax_share
from retrue.cases.settle.bring_template import template_rows
from retrue.cases.settle.bring_told import counted
from retrue.cases.settle.cost_words import bucket_words
from retrue.phases import settle
from retrue.records.settling import BUCKETS, PostingSort
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv
from retrue.store.table_out import csv_of, xlsx_of
from retrue.web.door import deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import wants_json
from retrue.web.prove.papers import given
from retrue.web.refusals import STATUS
from retrue.web.settle.post import every_for
from retrue.web.settle.where import show, today
from retrue.web.uploads import content

IMPORT = "/settle/import"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MOST_SHOWN = 200  # rows with fields of their own; the rest is kept as guessed
PICKED = ("decimal", "dates", "unsigned", "kind")
ALLOWED = {
    "decimal": ("comma", "point"),
    "dates": ("day", "month"),
    "unsigned": ("out", "in"),
    "kind": tuple(ROLES_OF),
}
ORDER = {"probable": 0, "new": 1, "left": 2}  # in which rows are shown
DEEDS = ("add", "take", "leave")


async def show_import(request: Request, /, **more: Any) -> Response:
    """Which file, and how it is read where it does not say itself."""
    every = await deed(_every_for, request)
    known = {"kept": "", "name": "", "stopped": None} | more
    return show(
        request,
        "bring.html",
        every_for=every,
        done=request.query_params.get("kept", ""),
        id=fresh(),
        **known,
    )


def _every_for(shop: RecordShop) -> list[tuple[str, str]]:
    """What a row may be for, a machine by its own name first: narrow fields show no more."""
    found = []
    for value, name in every_for(shop):
        lot, _, machine = name.rpartition(": ")
        found.append((value, f"{machine}, {lot}" if "|" in value and lot else name))
    return found


async def post_read(request: Request) -> Response:
    """Show what a file would do; nothing of it is kept in the book yet."""
    form = await typed(request)
    kept, name = form.text("kept"), form.text("name") or "table"
    try:
        kept, name = await _sent(request, form) or (kept, name)
        if not kept:
            what, remedy = say("no file was sent"), say("Pick a CSV or XLSX file.")
            raise Unusable(what, remedy=remedy, problems=(Problem("table", what, remedy),))
        read = await _read(request, form, kept, name)
    except Refusal as refusal:
        if wants_json(request):
            raise
        wrong = {problem.where: problem for problem in refusal.problems}
        return await show_import(
            request, status=STATUS[type(refusal)], stopped=refusal, typed=form.form, wrong=wrong,
            kept=kept, name=name,
        )  # fmt: skip
    return await _show_read(request, form, read, kept)


async def _sent(request: Request, form: Typed) -> tuple[str, str] | None:
    """The hash and the name of the file that was sent, if one was."""
    sent = form.files("table")
    if not sent:
        return None
    name = sent[0].filename or "table"
    table = as_csv(content(sent[0]), name)
    return await deed(_keep, request, table), name


def _keep(shop: RecordShop, table: bytes) -> str:
    return shop.keep_file(table)


def _kept_table(shop: RecordShop, kept: str) -> bytes:
    return shop.file(kept)


async def _read(request: Request, form: Typed, kept: str, name: str) -> Preview:
    table = await deed(_kept_table, request, kept)
    kinds, on = request.app.state.kinds, today(request)
    read: Preview = await deed(
        settle.read_import, request, table, name, kinds, on=on, wanted=_wanted(form)
    )
    return read


def _wanted(form: Typed) -> Wanted:
    """What was said of the file as a whole."""
    picked: dict[str, Any] = {name: _one_of(form, name) for name in PICKED}
    lot, machine = _belongs(form.text("for"))
    headings, roles = form.form.getlist("heading"), form.form.getlist("role")
    columns = {
        str(role): str(heading) for heading, role in zip(headings, roles, strict=False) if role
    }
    return Wanted(
        columns=columns, only=bool(roles), lot=lot, machine=machine,
        account=form.text("account"), **picked,
    )  # fmt: skip


def _one_of(form: Typed, name: str) -> str | None:
    said = form.text(name)
    return said if said in ALLOWED[name] else None


async def _show_read(
    request: Request, form: Typed, read: Preview, kept: str, **more: Any
) -> Response:
    rows = [row for row in read.rows if row.state in ("new", "probable", "left")]
    rows.sort(key=lambda row: (ORDER[row.state], row.number))
    said = form.form if more else {}
    told = {"stopped": None} | more
    return show(
        request,
        "bring_read.html",
        read=read,
        kept=kept,
        counted=counted(read),
        shown=rows[:MOST_SHOWN],
        left=max(len(rows) - MOST_SHOWN, 0),
        roles=[(role, say(ROLE_WORDS[role])) for role in ROLES_OF[read.kind]],
        buckets=[("", bucket_words("")), *((one, bucket_words(one)) for one in BUCKETS)],
        sorts=_sorts,
        asked={name: form.text(name) for name in (*PICKED, "for", "account")},
        every_for=await deed(_every_for, request),
        id=fresh(),
        said=said,
        **told,
    )


def _sorts(row: BroughtRow) -> list[tuple[str, str]]:
    return [(sort, say(SORTS[sort])) for sort in sorts_of(row)]


async def post_keep(request: Request) -> Response:
    """Keep what was ticked; all of it or nothing, and the same file twice adds nothing."""
    form = await typed(request)
    kept, name = form.text("kept"), form.text("name") or "table"
    read = await _read(request, form, kept, name)
    try:
        made = await deed(
            settle.keep_import, request, read, _choices(form), on=today(request),
            kinds=request.app.state.kinds, **hand(request, form),
        )  # fmt: skip
    except Refusal as refusal:
        if wants_json(request):
            raise
        return await _show_read(
            request, form, read, kept, status=STATUS[type(refusal)], stopped=refusal
        )
    return to(f"{IMPORT}?kept={len(made)}")


def _choices(form: Typed) -> Choices:
    """What was said of the rows that were shown; the others are as guessed."""
    numbers = [int(one) for one in form.many("row") if one.isascii() and one.isdigit()]
    deeds = {number: form.text(f"deed-{number}") or "leave" for number in numbers}
    return Choices(
        deeds={number: cast("Deed", deed) for number, deed in deeds.items() if deed in DEEDS},
        sorts=cast("dict[int, PostingSort]", _said(form, numbers, "sort")),
        buckets=_said(form, numbers, "bucket"),
        belongs={number: _belongs(value) for number, value in _said(form, numbers, "for").items()},
        taxes=_taxes(form, numbers),
        good_rows=form.text("good_rows") == "yes",
    )


def _taxes(form: Typed, numbers: list[int]) -> dict[int, Decimal | None]:
    """Per cent of tax in the amount, as typed; Unusable, with its line, where it is none."""
    told: dict[int, Decimal | None] = {}
    wrong = []
    for number, said in _said(form, numbers, "tax").items():
        share = tax_share(f"{said} %", "comma" if "," in said else "point") if said else None
        if said and share is None:
            where = say("line {number}", number=number)
            what = say("{value} is no tax in per cent", value=repr(said))
            wrong.append(Problem(where, what, say("Type 21 for 21 %.")))
        told[number] = share
    if wrong:
        raise Unusable(say("the tax of a row cannot be kept"), remedy=say("Mend the lines named."),
                       problems=tuple(wrong))  # fmt: skip
    return told


def _said(form: Typed, numbers: list[int], field: str) -> dict[int, str]:
    return {
        number: form.text(f"{field}-{number}") for number in numbers
        if f"{field}-{number}" in form.form
    }  # fmt: skip


def _belongs(value: str) -> tuple[str | None, str | None]:
    lot, _, machine = value.partition("|")
    return lot or None, machine or None


def _template(request: Request) -> FileKind:
    kind = request.path_params["kind"]
    if kind not in ROLES_OF:
        what = say("there is no empty table {kind}", kind=kind)
        raise Unknown(what, remedy=say("There are: {named}.", named=", ".join(map(str, ROLES_OF))))
    return cast("FileKind", kind)


async def template_csv(request: Request) -> Response:
    """An empty table to fill in, as CSV."""
    kind = _template(request)
    return given(csv_of(template_rows(kind)), f"{kind}.csv", "text/csv; charset=utf-8")


async def template_xlsx(request: Request) -> Response:
    """An empty table to fill in, as a spreadsheet."""
    kind = _template(request)
    made = await deed(lambda _: xlsx_of(template_rows(kind)), request)
    return given(made, f"{kind}.xlsx", XLSX)
