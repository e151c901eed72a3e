"""A catalogue as its pages show it: what is worked out, by whom, what is worth a call."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.say import later, say
from retrue.cases.diary_pages import in_path
from retrue.cases.screen.heading_words import ROLE_WORDS
from retrue.cases.screen.listing import ListedLot, Listing, Said
from retrue.cases.screen.of_all import (
    AskedOfAll,
    TakenForAll,
    asked_of_all,
    no_work_known,
    taken_for_all,
    together,
)
from retrue.cases.screen.places import places, tied_first
from retrue.cases.screen.rank import By, ranked
from retrue.cases.screen.sale_shown import field_said
from retrue.cases.screen.sale_shown import value_said as of_sale_said
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.unread import Unread, named_sort, unread_of
from retrue.cases.screen.worthy import first_prices, has_price, is_never_won, is_worthy
from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.phases.worth import Came, ScreenState
from retrue.records.screening import Bidder, Catalogue
from retrue.records.shop import Record, RecordShop
from retrue.web.door import deed, fresh
from retrue.web.pages import render
from retrue.web.worth.screen_work import Screener, Working, by_number

SCREEN = "/screen"
ROLES_OF = {"age_years": "age", "travel_mm": "travel", "tax_rate": "tax"}  # fields of columns
OTHER_FIELDS = {
    "tax_reclaimable": later("whether its tax comes back"),
    "removal_days": later("days from the hammer until it is out"),
    "tax_scheme": later("sort of tax"),
}
NO_ADDRESS = frozenset({".", ".."})  # what a browser takes for a step on the way
LINE = "line {line}"  # how a lot is addressed whose number cannot stand in an address


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Everything of one catalogue, as far as it is worked out.

    Attributes
    ----------
    id : str
        Of the catalogue.
    listing : Listing
    state : ScreenState
    working : Working
        How it stands at this server.
    by : str
        risk or hour: what best first means.
    worthy, perhaps, poor : tuple of ScreenedLot
        Best first: worth a bid; with a price, and bringing nothing as they are known now; not to
        be bid on.
    bidders : mapping of str to Record[Bidder]
    taken : mapping of str to str
        Ids of my lots, by the number of the lot.
    came : mapping of str to Came
        What came of a lot, by its number.
    others : tuple of str
        Who else has a part of it in hand.
    currency : str
        Of the shop.
    kinds : mapping of str to Kind
        In the reader's language.
    asking : bool
        Whether it is still worked out what to ask of the best.
    """

    id: str
    listing: Listing
    state: ScreenState
    working: Working
    by: By
    worthy: tuple[ScreenedLot, ...]
    perhaps: tuple[ScreenedLot, ...]
    poor: tuple[ScreenedLot, ...]
    bidders: Mapping[str, Record[Bidder]]
    taken: Mapping[str, str]
    came: Mapping[str, Came]
    others: tuple[str, ...]
    currency: str
    kinds: Mapping[str, Kind]
    asking: bool = False

    @property
    def ranked(self) -> tuple[ScreenedLot, ...]:
        """Every lot with a price, best first."""
        return (*self.worthy, *self.perhaps)

    @property
    def alike(self) -> int:
        """Lots that may be the best, by the luck of the draw alone."""
        return tied_first(places(self.worthy, self.by))

    @property
    def no_work(self) -> bool:
        """Whether nobody said what work must be done."""
        return no_work_known(self.listing)

    @property
    def asked_of_all(self) -> tuple[AskedOfAll, ...]:
        """What lines of the file say of the whole sale, and is not counted before it is typed."""
        return together(asked_of_all(self.listing))

    @property
    def taken_for_all(self) -> tuple[TakenForAll, ...]:
        """What was taken for every lot as nobody said it."""
        return taken_for_all(self.listing, self.kinds)

    @property
    def unread(self) -> tuple[Unread, ...]:
        """Columns that are not read and look as if they moved a price."""
        return unread_of(self.listing)

    @property
    def fact(self) -> Catalogue:
        """What is kept of it."""
        return self.state.record.fact

    @property
    def name(self) -> str:
        """Of the sale."""
        return self.fact.name or self.listing.name

    @property
    def here(self) -> str:
        """Where its pages begin."""
        return f"{SCREEN}/{self.id}"

    @property
    def asked(self) -> str:
        """What the address asks for."""
        return "?by=hour" if self.by == "hour" else ""

    @property
    def mine(self) -> bool:
        """Whether this server works at it now."""
        return self.working.going

    @property
    def going(self) -> bool:
        """Whether somebody works at it now."""
        return self.mine or self.asking or bool(self.others)

    @property
    def whole(self) -> bool:
        """Whether every lot is worked out."""
        return self.state.ready

    @property
    def done(self) -> int:
        """Lots that are worked out."""
        return len(self.state.rows)

    @property
    def lot_count(self) -> int:
        """Lots of the catalogue."""
        return len(self.listing.lots)

    @property
    def left(self) -> int:
        """Lots that are not worked out."""
        return self.lot_count - self.done

    @property
    def share(self) -> float:
        """Of the lots that are worked out."""
        return self.done / self.lot_count if self.lot_count else 1.0

    @property
    def words(self) -> str:
        """How far it is."""
        if self.working.waits:
            return say("Another catalogue is worked at first.")
        if self.asking or (self.mine and self.whole):
            return say("What to ask of the best is worked out.")
        return say("{done} of {lots} lots.", done=self.done, lots=self.lot_count)

    @property
    def priced(self) -> int:
        """Lots that can be priced."""
        return sum(one.case is not None for one in self.listing.lots)

    @property
    def unpriced(self) -> list[tuple[ListedLot, str]]:
        """Lots without a price, each with its reason."""
        without = {row.number: row.why for row in self.state.rows if row.walk_away is None}
        return [
            (one, one.why or without.get(one.number, ""))
            for one in self.listing.lots
            if one.case is None or one.number in without
        ]

    def lot_path(self, lot: ListedLot | ScreenedLot) -> str:
        """Where the page of a lot is."""
        return f"{self.here}/lot/{in_path(address_of(lot))}"

    def number_path(self, number: str) -> str:
        """The same, by its number."""
        return self.lot_path(lot_of(self.listing, number))


def address_of(lot: ListedLot | ScreenedLot) -> str:
    """A lot as an address names it: by its number, else by its line.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> address_of(SimpleNamespace(number="12", line=40))
    '12'
    >>> address_of(SimpleNamespace(number="12/2", line=41))
    'line 41'
    """
    cannot = "/" in lot.number or "\\" in lot.number or lot.number in NO_ADDRESS
    return LINE.format(line=lot.line) if cannot else lot.number


def lot_of(listing: Listing, named: str) -> ListedLot:
    """The lot of a number, or of an address.

    Raises
    ------
    Unknown
        The catalogue has no such lot.
    """
    found = [one for one in listing.lots if address_of(one) == named]
    return found[0] if found else worth.lot_of(listing, named)


def screener_of(request: Request) -> Screener:
    """Who works at the catalogues of this server."""
    made: Screener = request.app.state.screener
    return made


def by_of(request: Request) -> By:
    """What best first means, as the address asks."""
    return "hour" if request.query_params.get("by") == "hour" else "risk"


async def shop_currency(request: Request) -> str:
    """The currency of my shop."""
    mine = await deed(worth.my_shop, request)
    return mine.fact.currency if mine else "EUR"


async def board_of(request: Request) -> Board:
    """The catalogue of the address."""
    catalogue = request.path_params["catalogue"]
    screener = screener_of(request)
    currency = await shop_currency(request)
    look = Look(
        screener=screener, by=by_of(request), currency=currency, kinds=request.app.state.kinds,
        now=request.app.state.clock(),
    )  # fmt: skip
    board: Board = await deed(_board, request, catalogue, look)
    return board


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What a look at a catalogue needs beside the shop."""

    screener: Screener
    by: By
    currency: str
    kinds: Mapping[str, Kind]
    now: datetime


def _board(shop: RecordShop, catalogue: str, look: Look) -> Board:
    state = worth.state_of(shop, catalogue, look.kinds)
    listing = worth.listing_of(shop, catalogue, look.kinds)
    working = look.screener.stands(state.id)
    every = ranked([row for row in state.rows if row.walk_away is not None], look.by)
    board = Board(
        id=state.id,
        listing=listing,
        state=state,
        working=working,
        by=look.by,
        worthy=tuple(row for row in every if is_worthy(row)),
        perhaps=tuple(row for row in every if has_price(row) and not is_worthy(row)),
        poor=tuple(row for row in every if not has_price(row)),
        bidders=worth.bidders_of(shop, catalogue),
        taken=worth.taken_of(shop, catalogue),
        came=worth.came_of_lots(shop, catalogue),
        others=others_of(state, look),
        currency=look.currency,
        kinds=look.kinds,
    )
    return with_asked(board, look.screener) if board.whole and not working.going else board


def others_of(state: ScreenState, look: Look) -> tuple[str, ...]:
    """Who else has a part in hand, and took it not so long ago that it is free again."""
    worker = look.screener.worker
    live = [
        one.fact.who
        for one in state.shares
        if one.fact.worker != worker and not worth.may_be_taken(one, look.now)
    ]
    return tuple(sorted(set(live)))


def with_asked(board: Board, screener: Screener) -> Board:
    """The same; what to ask stands in the best."""
    begun = board.state.begun
    assert begun is not None
    told, whole = screener.with_asked(board.ranked, by_number(board.listing), begun.fact.key)
    count = len(board.worthy)
    if not whole:
        screener.ask(board.id)
    return replace(board, worthy=told[:count], perhaps=told[count:], asking=not whole)


def bidder_words(one: Record[Bidder]) -> str:
    """Who bids on a lot, or what came of it."""
    fact = one.fact
    if fact.result == "won":
        return say("won by {who}", who=fact.who)
    if fact.result == "lost":
        return say("lost")
    return say("{who} bids", who=fact.who)


def roles_said(field: str) -> str:
    """What a cell is read as, in words."""
    role = ROLES_OF.get(field, field)
    if role in ROLE_WORDS:
        return say(ROLE_WORDS[role])
    return say(OTHER_FIELDS[field]) if field in OTHER_FIELDS else field.replace("_", " ")


def cells_of(lot: ListedLot) -> list[tuple[str, str, list[Said]]]:
    """Heading and text of each cell, once, with all that it was read as."""
    told: dict[tuple[str, str], list[Said]] = {}
    for one in lot.said:
        told.setdefault((one.heading, one.text), []).append(one)
    return [(heading, text, every) for (heading, text), every in told.items()]


def value_said(one: Said, names: Mapping[str, str]) -> str:
    """As what a cell is taken; types of machine by their names in the reader's language."""
    if one.field != "kind":
        return one.value
    return ", ".join(f"{names.get(told, told)}" for told in one.value.split(", "))


def names_of(request: Request) -> dict[str, str]:
    """What a type of machine is called, by its id and by its English name."""
    kinds, english = request.app.state.kinds, screener_of(request).kinds
    return {told: kinds[id].name for id in kinds for told in (id, english[id].name)}


def show(request: Request, template: str, /, **values: Any) -> Response:
    """A page of catalogues."""
    names = names_of(request)
    known = {
        "fresh": fresh,
        "first_prices": first_prices,
        "is_never_won": is_never_won,
        "named_sort": named_sort,
        "bidder_words": bidder_words,
        "roles_said": roles_said,
        "cells_of": cells_of,
        "value_said": lambda one: value_said(one, names),
        "field_said": field_said,
        "of_sale_said": of_sale_said,
    }
    return render(request, f"worth/{template}", **known | values)
