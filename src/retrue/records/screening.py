"""The facts of a screened catalogue: the file, who works on which part, who bids on which lot."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal

SaleWay = Literal["fixed_price", "offer", "ascending", "sealed"]
TaxScheme = Literal["ordinary", "margin", "private", "import"]
ShareState = Literal["taken", "done", "left"]
BidResult = Literal["", "won", "lost"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """The list of a sale as it came, and what the owner says of the sale as a whole."""

    KIND: ClassVar[str] = "catalogue"
    SCHEMA: ClassVar[int] = 1
    name: str  # of the sale, as people call it
    content_sha256: str  # of the file as it came; it is kept as a CatalogueContent
    file_name: str
    year: int  # in which it was kept: ages are counted from it
    columns: tuple[tuple[str, str], ...] = ()  # what the owner says: role, heading as written
    currency: str | None = None  # of amounts that name none; None: as the file says
    rate_currencies: tuple[str, ...] = ()  # other currencies that stand in it
    rates: tuple[Decimal, ...] = ()  # shop currency for one unit of each of them
    rate_on: str | None = None  # ISO date of those rates
    premium: float | None = None  # share of the hammer
    tax_rate: float | None = None
    tax_reclaimable: bool | None = None
    tax_scheme: TaxScheme | None = None
    sale: SaleWay | None = None
    distance_km: float | None = None
    removal_days: float | None = None  # from the hammer to the deadline
    closes_at: str | None = None  # ISO 8601 with offset
    decimal: Literal["comma", "point"] | None = None  # the mark of its numbers; None: by the file
    dates: Literal["day", "month"] | None = None  # which goes first in 03/11/2026
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueContent:
    """The file of a catalogue, with the records: every computer of the shop reads the same."""

    KIND: ClassVar[str] = "catalogue_content"
    SCHEMA: ClassVar[int] = 1
    content_sha256: str
    content: str  # packed: DEFLATE (RFC 1950), then base64 (RFC 4648)


@dataclass(frozen=True, slots=True, kw_only=True)
class Screening:
    """A catalogue is screened: by what, in how many parts, and whether it goes on."""

    KIND: ClassVar[str] = "screening"
    SCHEMA: ClassVar[int] = 1
    catalogue: str
    key: str  # SHA-256 over all its answers rest on: file, columns, terms, shop, library, version
    seed: int
    worlds: int
    lot_count: int
    part_count: int
    state: Literal["on", "stopped"] = "on"


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One part of a catalogue is worked on, is done, or was left for somebody else."""

    KIND: ClassVar[str] = "share"
    SCHEMA: ClassVar[int] = 1
    catalogue: str
    key: str  # of the screening it is a part of
    part: int  # counted from 0
    worker: str  # name of one run on one computer: two runs of one person are two
    who: str  # whose run it is
    state: ShareState = "taken"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartScreened:
    """What a part says: a row for each of its lots, as it was worked out."""

    KIND: ClassVar[str] = "part_screened"
    SCHEMA: ClassVar[int] = 1
    catalogue: str
    key: str
    part: int
    content: str  # canonical JSON of its rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Bidder:
    """Who bids on a lot of a catalogue, up to what, and what came of it: one person a lot."""

    KIND: ClassVar[str] = "bidder"
    SCHEMA: ClassVar[int] = 1
    catalogue: str
    number: str  # of the lot, as the catalogue calls it
    who: str
    limit: Decimal | None = None  # hammer price, in the lot's currency; None: nobody has said
    currency: str = "EUR"
    result: BidResult = ""
    amount: Decimal | None = None  # hammer price at which it went
    text: str = ""  # why the limit rose; or one sentence about the end


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """What several bids of one sale may take together; the newest counts."""

    KIND: ClassVar[str] = "budget"
    SCHEMA: ClassVar[int] = 1
    catalogue: str
    money: Decimal | None = None  # in the shop's currency, until the first good part
    floor_m2: float | None = None
    hours: float | None = None  # own hours
    odds: float | None = None  # chance that none of the three is gone over
    short_list: int | None = None  # how many of the best lots are looked at
    only: tuple[str, ...] = ()  # numbers of lots; empty: the best


@dataclass(frozen=True, slots=True, kw_only=True)
class RowTaken:
    """A lot of a catalogue was taken into my lots."""

    KIND: ClassVar[str] = "row_taken"
    SCHEMA: ClassVar[int] = 1
    catalogue: str
    number: str
    lot: str


ScreeningFact = (
    Catalogue | CatalogueContent | Screening | Share | PartScreened | Bidder | Budget | RowTaken
)
"""Every fact of this room."""
