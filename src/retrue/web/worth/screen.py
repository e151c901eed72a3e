"""Catalogues: the list of a sale read, every lot of it priced, the few worth a call."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from pathlib import PurePath
from typing import Any, cast

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from retrue.base.refusals import Problem, Refusal, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.screen.drawing import screen_drawing
from retrue.phases import worth
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.records.screening import Catalogue
from retrue.records.shop import Record, RecordShop
from retrue.store.spreadsheet import as_csv
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.fix.drawn import each_drawn
from retrue.web.forms import Typed
from retrue.web.uploads import content
from retrue.web.worth.screen_board import (
    SCREEN,
    Board,
    board_of,
    screener_of,
    shop_currency,
    show,
)
from retrue.web.worth.screen_remedy import on_page

CURRENCIES = (1, 2, 3)  # rows of the form for other currencies
MOST, MOST_POOR = 20, 50  # lots shown before "the other ones"
TOML = ".toml"
WAYS = {"decimal": ("comma", "point"), "dates": ("day", "month")}


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueLine:
    """A catalogue on the list."""

    id: str
    name: str
    words: str
    closes: str | None
    kept: datetime


async def show_catalogues(request: Request, /, **more: Any) -> Response:
    """My catalogues, the newest first, and the form for one more."""
    every = await deed(_lines, request)
    currency = await shop_currency(request)
    kept, kept_name = getattr(request.state, "catalogue", ("", ""))  # of a form that was refused
    return show(request, "screen.html", every=every, currency=currency, kept=kept,
                kept_name=kept_name, **more)  # fmt: skip


def _lines(shop: RecordShop) -> list[CatalogueLine]:
    return [
        CatalogueLine(
            id=worth.catalogue_id(shop, one.id),
            name=one.fact.name or one.fact.file_name,
            words=_stands(shop, one),
            closes=one.fact.closes_at,
            kept=one.noted_at,
        )
        for one in reversed(worth.catalogues(shop))
    ]


def _stands(shop: RecordShop, one: Record[Catalogue]) -> str:
    """How far a catalogue is, from what is kept of it."""
    begun = worth.begun_of(shop, worth.catalogue_id(shop, one.id))
    if begun is None:
        return say("Not priced yet.")
    return say("{count} lots.", count=begun.fact.lot_count)


@again(show_catalogues)
async def post_catalogue(request: Request) -> Response:
    """Keep the file as it came, and what the sale asks; then show how it is read."""
    form = await typed(request)
    said = catalogue_from(form)
    table, name = await _sent(request, form)
    form.check()
    named = replace(said, name=said.name or PurePath(name).stem, file_name=name)
    try:
        kept = await deed(
            worth.keep_catalogue, request, table, named, request.app.state.kinds,
            **hand(request, form),
        )  # fmt: skip
    except Refusal as refusal:
        raise on_page(refusal) from None
    return to(f"{SCREEN}/{await deed(worth.catalogue_id, request, kept.id)}")


async def _sent(request: Request, form: Typed) -> tuple[bytes, str]:
    """The file as a table, and its name."""
    sent, kept = form.files("table"), form.text("kept")
    if not sent and HASH_IN_HEX.fullmatch(kept):
        request.state.catalogue = kept, form.text("kept_name") or "catalogue"
        return await deed(_kept_table, request, kept), request.state.catalogue[1]
    if not sent:
        what, remedy = say("no file was sent"), say("Pick a CSV, XLSX or TOML file.")
        raise Unusable(what, remedy=remedy, problems=(Problem("table", what, remedy),))
    name = sent[0].filename or "catalogue"
    whole = content(sent[0])
    table = whole if name.lower().endswith(TOML) else as_csv(whole, name, merged=True)
    request.state.catalogue = await deed(_keep_table, request, table), name
    return table, name


def _keep_table(shop: RecordShop, table: bytes) -> str:
    return shop.keep_file(table)


def _kept_table(shop: RecordShop, kept: str) -> bytes:
    return shop.file(kept)


def catalogue_from(form: Typed) -> Catalogue:
    """What is said of the sale as a whole, as far as it was typed."""
    pairs = _rates(form)
    return Catalogue(
        name=form.text("name"),
        content_sha256="",
        file_name="",
        year=0,
        currency=form.text("currency").upper() or None,
        rate_currencies=tuple(code for code, _ in pairs),
        rates=tuple(rate for _, rate in pairs),
        rate_on=form.day("rate_on"),
        premium=form.share("premium"),
        tax_rate=form.share("tax_rate"),
        tax_reclaimable=form.yes_no("tax_reclaimable"),
        tax_scheme=cast(Any, form.text("tax_scheme") or None),
        sale=cast(Any, form.text("sale") or None),
        distance_km=form.real("distance_km"),
        removal_days=form.real("removal_days"),
        closes_at=form.moment("closes_at"),
        decimal=cast(Any, _one_of(form, "decimal")),
        dates=cast(Any, _one_of(form, "dates")),
    )


def _one_of(form: Typed, field: str) -> str | None:
    """One of the two ways that numbers or days are written; None: as the file says."""
    said = form.text(field)
    return said if said in WAYS[field] else None


def _rates(form: Typed) -> list[tuple[str, Decimal]]:
    """Other currencies with their rates; one without the other is a problem of its field."""
    pairs = []
    for row in CURRENCIES:
        code = form.text(f"rate_currency-{row}").upper()
        rate = form.amount(f"rate-{row}")
        if code and rate is not None:
            pairs.append((code, rate))
        elif code and f"rate-{row}" not in {one.where for one in form.problems}:
            form.problems.append(
                Problem(f"rate-{row}", say("no rate was typed"), say("Type what one of it costs."))
            )
        elif rate is not None:
            form.problems.append(
                Problem(f"rate_currency-{row}", say("no currency was typed"),
                        say("Type its three letters."))
            )  # fmt: skip
    return pairs


async def show_one(request: Request, /, **more: Any) -> Response:
    """What is worth a call, best first; while it is worked out, how far that is."""
    board = await board_or_columns(request)
    if isinstance(board, Response):
        return board
    if board.working.refusal is not None and "refusal" not in more:
        more = more | {"refusal": board.working.refusal}
    works = works_of(board)
    if request.state.role != "owner":  # who works on what; the order of the lots is the owner's
        return show(request, "screen_help.html", view=board, works=works, **more)
    (drawn,) = await each_drawn(request, [screen_drawing(board.worthy, board.currency)])
    return show(
        request, "screen_one.html", view=board, drawn=drawn, sums=_sums(request, board),
        read_words=read_words(board), columns_words=columns_words(board), works=works,
        most=MOST, most_poor=MOST_POOR, **more,
    )  # fmt: skip


def _sums(request: Request, board: Board) -> tuple[int, int]:
    """Seed and worlds of what stands on the page, else of what would."""
    begun, screener = board.state.begun, screener_of(request)
    if begun is None:
        return screener.seed, screener.worlds
    return begun.fact.seed, begun.fact.worlds


async def board_or_columns(request: Request) -> Board | Response:
    """The catalogue; where its columns cannot be decided, the page that asks which is which."""
    try:
        return await board_of(request)
    except Refusal:
        if await _is_kept(request):
            return to(f"{SCREEN}/{request.path_params['catalogue']}/columns")
        raise


async def _is_kept(request: Request) -> bool:
    try:
        await deed(worth.find_catalogue, request, request.path_params["catalogue"])
    except Unknown:
        return False
    return True


def read_words(board: Board) -> str:
    """How much of it was understood, in one sentence."""
    said = [one.how for lot in board.listing.lots for one in lot.said]
    return say(
        "{lots} lots; {understood} cells understood, {guessed} guessed, {ignored} not used.",
        lots=board.lot_count, understood=said.count("understood"), guessed=said.count("guessed"),
        ignored=said.count("ignored"),
    )  # fmt: skip


def columns_words(board: Board) -> str:
    """Which headings are read as something, in one sentence."""
    used = [one.heading for one in board.listing.columns if one.role]
    unused = [one.heading for one in board.listing.columns if not one.role]
    if not unused:
        return say("Read: {used}.", used=", ".join(used)) if used else ""
    return say("Read: {used}. Not read: {unused}.", used=", ".join(used), unused=", ".join(unused))


def works_of(board: Board) -> list[dict[str, str]]:
    """Who did how many parts, and who has one in hand now."""
    done: dict[str, int] = {}
    for one in board.state.every_share:
        if one.fact.state == "done":
            done[one.fact.who] = done.get(one.fact.who, 0) + 1
    now = {one.fact.who for one in board.state.shares}
    return [
        {"who": who, "words": _work_words(done.get(who, 0), who in now)}
        for who in sorted({*done, *now})
    ]


def _work_words(done: int, now: bool) -> str:
    words = say("{count} parts done", count=done) if done != 1 else say("1 part done")
    return say("{words}, one in hand", words=words) if now else words


@again(show_one)
async def post_work(request: Request) -> Response:
    """Price the lots, go on with it, or stop; what is done is kept."""
    form = await typed(request)
    catalogue = request.path_params["catalogue"]
    screener = screener_of(request)
    if form.text("how") == "stop":
        screener.stop(catalogue)
        await deed(worth.stop_screening, request, catalogue, **hand(request, form))
        return to(f"{SCREEN}/{catalogue}")
    anew = form.text("how") == "again"
    begun = await deed(worth.begun_of, request, catalogue)
    sums = {"seed": screener.seed, "worlds": screener.worlds}
    if begun is not None and not anew:  # it goes on as it was begun, here or at the keyboard
        sums = {"seed": begun.fact.seed, "worlds": begun.fact.worlds}
    await deed(
        worth.begin_screening, request, catalogue, request.app.state.kinds, again=anew,
        seed=sums["seed"], worlds=sums["worlds"], **hand(request, form),
    )  # fmt: skip
    screener.begin(catalogue, hand(request))
    return to(f"{SCREEN}/{catalogue}")


async def give_progress(request: Request) -> Response:
    """How far it is, as JSON, for the page that shows it."""
    board = await board_of(request)
    told = {"done": board.done, "going": board.going, "schema": "screening/1",
            "share": round(board.share, 3), "words": board.words}  # fmt: skip
    return JSONResponse(told)
