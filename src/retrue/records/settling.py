"""The facts of money and sale: lines in the book, own hours, rates, offers, what was given away."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal

PostingSort = Literal[
    "bought", "paid", "deposit", "deposit_back", "sold", "received", "returned", "moved",
    "exchanged",
]  # fmt: skip
Scheme = Literal["", "ordinary", "margin", "private", "import"]
SoldAs = Literal["as_found", "running", "proven", "parts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Posting:
    """A line in the book: what was bought, paid, sold, returned or moved, and for which machine."""

    KIND: ClassVar[str] = "posting"
    SCHEMA: ClassVar[int] = 1
    sort: PostingSort
    posted_on: str  # ISO date of the paper, not of the typing
    what: str  # in words: bearings for the mill
    amount: Decimal  # 0 or more, in the currency of the paper
    currency: str = "EUR"
    rate: Decimal | None = None  # shop currency for one unit of it; None: the day's rate kept
    rate_on: str | None = None
    lot: str | None = None  # None: the shop as a whole
    machine: str | None = None  # None: the whole lot, shared by the rule
    bucket: str = ""  # where the money went, one of BUCKETS; empty: not yet placed
    line: str = ""  # F15:local, E11: what of the forecast it was for
    whom: str = ""
    paid_from: Literal["bank", "cash", "card", "own_pocket", "owed"] = "bank"
    tax_rate: Decimal | None = None  # a share: 0.21
    tax_in: bool = True  # whether the amount holds it
    tax_scheme: Scheme = ""  # empty: ordinary
    tax_reclaimable: bool | None = None  # None: as the scheme says
    split: Literal["", "value", "equal", "mass", "weights"] = ""  # of a shared line; empty: value
    shared_by: tuple[str, ...] = ()  # machine ids; empty: all of the lot
    weights: tuple[Decimal, ...] = ()  # one for each of shared_by
    from_stock: str = ""  # of moved: name on the shelf
    from_machine: str | None = None  # of moved: the donor
    units: float | None = None
    into_amount: Decimal | None = None  # of exchanged: what came in
    into_currency: str = ""
    # of exchanged: where it came in; empty: where the other went out
    into_place: Literal["", "bank", "cash", "card", "own_pocket"] = ""
    of: str | None = None  # first id of the line that is returned, or whose deposit comes back
    source: str = ""  # what it was made from: outcome:ID, out:ID, bank:HASH
    receipt: str | None = None  # SHA-256 of the kept file
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRate:
    """What one unit of another currency was worth on a day."""

    KIND: ClassVar[str] = "day_rate"
    SCHEMA: ClassVar[int] = 1
    currency: str
    rate_on: str  # ISO date
    rate: Decimal  # shop currency for one unit of it
    source: str = ""  # typed, or the file it came from
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BooksClosed:
    """Nothing is posted on or before that day any more."""

    KIND: ClassVar[str] = "books_closed"
    SCHEMA: ClassVar[int] = 1
    until_on: str  # ISO date
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursTold:
    """Own hours of one evening at one machine: guessed from traces and answered, or typed."""

    KIND: ClassVar[str] = "hours_told"
    SCHEMA: ClassVar[int] = 1
    lot: str | None = None
    machine: str | None = None  # None: the whole lot, or the shop
    worked_on: str  # ISO date
    begin: str = ""  # HH:MM, local
    end: str = ""
    hours: float  # 0: not mine
    worker: str = ""  # empty: whose shop it is
    answer: Literal["yes", "less", "more", "not_mine", "typed", "clock"] = "typed"
    guessed: float | None = None  # hours, as the page had it
    evening: str = ""  # key of the guess, so that one evening is answered once
    line: str = ""  # F15:local, J05: the card, where only one was worked at
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockRung:
    """Work begun or ended at a machine, for those who like to press a button."""

    KIND: ClassVar[str] = "clock_rung"
    SCHEMA: ClassVar[int] = 1
    how: Literal["start", "stop"]
    at: str  # moment with offset
    lot: str | None = None
    machine: str | None = None
    worker: str = ""
    line: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunFigure:
    """What running a machine takes in a year, or what it will be worth, as the owner knows it."""

    KIND: ClassVar[str] = "run_figure"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    item: str  # one of RUN_ITEMS or SALE_ITEMS
    low: Decimal
    likely: Decimal
    high: Decimal
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForSale:
    """A machine is offered: in what state, what is asked, what is taken, when it is let go."""

    KIND: ClassVar[str] = "for_sale"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    sold_as: SoldAs
    ask: Decimal
    take: Decimal | None = None
    dump: Decimal | None = None
    dump_on: str | None = None  # ISO date from which it goes for what it brings
    currency: str = "EUR"
    listed_on: str = ""  # ISO date; empty: not yet
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What somebody offers for a machine, and what was answered."""

    KIND: ClassVar[str] = "offered"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    whom: str
    offered_on: str  # ISO date
    amount: Decimal
    currency: str = "EUR"
    tax_held: Decimal | None = None  # share of tax in the amount: 0.21; None: without, as is asked
    answer: Literal["", "taken", "refused", "waiting"] = ""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Included:
    """What goes with a machine, what does not, and how its guards and interlocks stand."""

    KIND: ClassVar[str] = "included"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    what: str  # manual, data copy, chuck key; or door interlock, guard of the belt
    sort: Literal["goes_with", "stays", "missing", "guard"] = "goes_with"
    # of a guard: proved by opening it at idle and at slow axis, both channels, with its grade
    state: Literal["", "proved", "defeated", "missing", "not_tested", "not_fitted"] = ""
    grade: int = 1  # 0 told me ... 5 measured with a checked instrument
    file: str | None = None  # SHA-256 of a kept file: the data copy, the manual
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordGiven:
    """A condition record as it was given away; what it said never changes."""

    KIND: ClassVar[str] = "record_given"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    sold_as: SoldAs
    made_on: str  # ISO date
    content: str  # canonical JSON of the record
    content_sha256: str
    whom: str = ""  # to whom; empty: for anybody who asks
    version: str = ""
    language: str = "en"  # that its content is written in


@dataclass(frozen=True, slots=True, kw_only=True)
class Promised:
    """What was promised with a sale, until when; and whether it was kept."""

    KIND: ClassVar[str] = "promised"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    what: str
    whom: str
    promised_on: str  # ISO date
    until_on: str | None = None
    kept_on: str | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyerAsked:
    """A question of a buyer, and what was answered."""

    KIND: ClassVar[str] = "buyer_asked"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    whom: str
    asked_on: str  # ISO date
    question: str
    answer: str = ""
    answered_on: str | None = None
    text: str = ""  # what was open when it was answered


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseClosed:
    """A machine is done with: what was guessed against what was, as it stood that day."""

    KIND: ClassVar[str] = "case_closed"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    closed_on: str  # ISO date
    end: Literal["keeps_working", "sold", "parted_out", "scrapped"]
    compared: str  # canonical JSON of the table
    changes: str = ""  # what we change, in the owner's words
    version: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerTaken:
    """Somebody else's closed cases, without names, read from a file he gave."""

    KIND: ClassVar[str] = "ledger_taken"
    SCHEMA: ClassVar[int] = 1
    file_sha256: str
    taken_on: str  # ISO date
    content: str  # canonical JSON as it came
    cases: int
    text: str = ""


Settling = (
    Posting
    | DayRate
    | BooksClosed
    | HoursTold
    | ClockRung
    | RunFigure
    | ForSale
    | Offered
    | Included
    | RecordGiven
    | Promised
    | BuyerAsked
    | CaseClosed
    | LedgerTaken
)
"""Every fact of this room."""

BUCKETS = (
    "price", "premium", "tax", "removal", "move", "insurance", "hook_up", "storage",
    "consumables", "cleaning", "parts", "outside", "tooling", "hire", "visit", "sale",
    "running", "other",
)  # fmt: skip
"""Where the money goes: what was paid for a machine, by what it bought."""

RUN_ITEMS = (
    "hours_a_year", "maintenance_a_year", "energy_kw", "energy_price_kwh", "tooling_a_year",
    "insurance_a_year", "floor_m2", "floor_m2_year", "life_years", "resale_at_end",
    "down_days_a_year", "wage_an_hour", "work_cost_an_hour",
)  # fmt: skip
"""What the hour rate is made of, beside what was paid; each in its own unit or the shop's money."""

SALE_ITEMS = (
    "sell_days", "ask_over_share", "dealer_share", "film_share", "record_share",
    "record_quicker_share", "rebuilt_share", "no_tooling_share", "orphan_control_share",
    "supported_control_share", "no_chuck_share", "other_supply_share",
)  # fmt: skip
"""What a sale is judged by; days, or shares of the price."""
