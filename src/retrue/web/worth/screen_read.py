"""How a catalogue is read: which column is which, and what was made of every cell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Refusal, Unusable
from retrue.base.say import say
from retrue.cases.screen.columns import CATALOGUE, sheet_of
from retrue.cases.screen.heading_two import headed
from retrue.cases.screen.heading_words import ROLE_WORDS
from retrue.cases.screen.listing import ListedColumn, ListedLot, Listing, Said
from retrue.cases.screen.merged import taken_off
from retrue.cases.settle.bring_sheet import Sheet, read_sheet
from retrue.phases import worth
from retrue.records.screening import Catalogue
from retrue.records.shop import Record, RecordShop
from retrue.web.door import again, deed, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.worth.screen import TOML, board_or_columns, catalogue_from
from retrue.web.worth.screen_board import SCREEN, shop_currency, show
from retrue.web.worth.screen_remedy import on_page

EXAMPLES = 3  # cells shown of each column
LOTS_SHOWN = 40  # of which every cell stands on one page
OTHERS_SHOWN = 100
HOWS = ("understood", "guessed", "ignored")


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnLine:
    """One column on the page: what it is read as, and the first things in it."""

    at: int
    heading: str
    role: str
    said: bool
    examples: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Cells of one column that were guessed or not used for one reason."""

    how: str
    heading: str
    why: str
    count: int
    example: str


async def show_columns(request: Request, /, **more: Any) -> Response:
    """What each column is read as, and what is said of the sale; both can be changed."""
    catalogue = request.path_params["catalogue"]
    record = await deed(worth.find_catalogue, request, catalogue)
    listing: Listing | None = None
    try:
        listing = await deed(worth.listing_of, request, catalogue, request.app.state.kinds)
        columns = columns_of(listing.columns, listing.lots)
    except Refusal as refusal:
        columns = await deed(_headings, request, record.fact)
        asks = on_page(refusal)
        more = {"asks": asks, "wrong": {one.where: one for one in asks.problems}} | more
    return show(
        request, "screen_columns.html", here=f"{SCREEN}/{catalogue}", name=_name(record),
        fact=record.fact, columns=columns, roles=[(key, say(words)) for key, words in
                                                  ROLE_WORDS.items()],
        currencies=listing.currencies if listing is not None else (),
        said=listing.sale if listing is not None else (),
        currency=await shop_currency(request), **more,
    )  # fmt: skip


def _name(record: Record[Catalogue]) -> str:
    return record.fact.name or record.fact.file_name


def columns_of(columns: Sequence[ListedColumn], lots: Sequence[ListedLot]) -> list[ColumnLine]:
    """The columns with the first things that stand in them."""
    found: dict[str, list[str]] = {}
    for lot in lots:
        for one in lot.said:
            told = found.setdefault(one.heading, [])
            if one.text and len(told) < EXAMPLES and one.text not in told:
                told.append(one.text)
    return [
        ColumnLine(at=one.at, heading=one.heading, role=one.role, said=one.said,
                   examples=tuple(found.get(one.heading, ())))
        for one in columns
    ]  # fmt: skip


def _headings(shop: RecordShop, fact: Catalogue) -> list[ColumnLine]:
    """The headings of a file of which nobody knows yet which is which."""
    if fact.file_name.lower().endswith(TOML):
        return []
    content, merged = taken_off(worth.catalogue_content(shop, fact))
    try:
        sheet = headed(_sheet(content, fact.file_name), merged).sheet
    except Refusal:
        return []
    own = {heading: role for role, heading in fact.columns}
    return [
        ColumnLine(at=at, heading=heading, role=own.get(heading, ""), said=heading in own,
                   examples=tuple(row.cell(at) for row in sheet.rows[:EXAMPLES] if row.cell(at)))
        for at, heading in enumerate(sheet.heading.cells)
        if heading
    ]  # fmt: skip


def _sheet(content: bytes, name: str) -> Sheet:
    """The table by the line that names its columns; where none does, by its first."""
    with suppress(Unusable):
        return sheet_of(content, name, {})
    return read_sheet(content, name, len, CATALOGUE)


@again(show_columns)
async def post_columns(request: Request) -> Response:
    """Read the file again so; what was worked out by another reading is worked out anew."""
    form = await typed(request)
    catalogue = request.path_params["catalogue"]
    said = catalogue_from(form)
    columns = _columns_from(form)
    form.check()
    fields = {name: getattr(said, name) for name in FIELDS}
    fields |= {"name": said.name} if said.name else {}
    await deed(
        worth.correct_catalogue, request, catalogue, columns=columns, **fields,
        **hand(request, form),
    )  # fmt: skip
    return to(f"{SCREEN}/{catalogue}")


FIELDS = ("currency", "rate_currencies", "rates", "rate_on", "premium", "tax_rate",
          "tax_reclaimable", "tax_scheme", "sale", "distance_km", "removal_days", "closes_at",
          "decimal", "dates")  # fmt: skip


def _columns_from(form: Typed) -> tuple[tuple[str, str], ...]:
    """Role and heading of each column that the owner gave another meaning, or kept as said."""
    told: dict[str, str] = {}
    for field in sorted(name for name in form.form if name.startswith("role-")):
        place = field.removeprefix("role-")
        role, heading = form.text(field), form.text(f"heading-{place}")
        was, said = form.text(f"was-{place}"), form.text(f"said-{place}") == "yes"
        if not role or (role == was and not said):
            continue
        if role in told:
            form.problems.append(
                Problem(field, say("two columns are read as the same"),
                        say("Let one of them be something else."))
            )  # fmt: skip
        told[role] = heading
    return tuple(told.items())


async def show_read(request: Request, /, **more: Any) -> Response:
    """What was understood, guessed and not used, with its reason; nothing is dropped."""
    board = await board_or_columns(request)
    if isinstance(board, Response):
        return board
    listing = board.listing
    first = _first(request.query_params.get("from", ""), len(listing.lots))
    cells = [one for lot in listing.lots for one in lot.said]
    return show(
        request, "screen_read.html", view=board, reasons=reasons_of(cells),
        counts={how: sum(one.how == how for one in cells) for how in HOWS},
        gaps=Counter(gap for lot in listing.lots for gap in lot.gaps).most_common(),
        lots=listing.lots[first : first + LOTS_SHOWN], first=first, step=LOTS_SHOWN,
        most=OTHERS_SHOWN, **more,
    )  # fmt: skip


def _first(text: str, count: int) -> int:
    """The first lot of the page that is asked for."""
    asked = int(text[:9]) if text.isascii() and text.isdecimal() else 0
    return asked if asked < count else 0


def reasons_of(cells: Sequence[Said]) -> list[Reason]:
    """What was guessed or not used, by column and reason, the most frequent first."""
    counted = Counter((one.how, one.heading, one.why) for one in cells if one.how != "understood")
    shown = {(one.how, one.heading, one.why): one.text for one in reversed(cells)}
    return [
        Reason(how=how, heading=heading, why=why, count=count, example=shown[how, heading, why])
        for (how, heading, why), count in counted.most_common()
    ]
