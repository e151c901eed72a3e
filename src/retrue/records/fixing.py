"""The facts of what to do: what was chosen, who owes what, what was quoted, who works when."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal

ChosenSort = Literal["aim", "way", "renew", "upgrade"]
OutSort = Literal["ordered", "sent_out", "asked", "borrowed", "hired"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What the owner chose; the newest of a machine, sort and thing counts."""

    KIND: ClassVar[str] = "chosen"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    sort: ChosenSort
    what: str = ""  # of a way: the fault; of renew or upgrade: its id; of an aim: empty
    # of an aim: keep, new_control, sell_running, sell_proven, sell_as_found, part_out; of a way:
    # one of the fault's ways; empty: what is reckoned best again
    way: str = ""
    level: Literal["", "just_running", "right", "like_new"] = ""  # of an aim that is worked for
    yes: bool = True  # of renew and upgrade: whether it is done
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quoted:
    """What somebody asks for a part or a service: who, when, how much, how long."""

    KIND: ClassVar[str] = "quoted"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str | None = None
    line: str  # F15:local, or words of what it is for
    vendor: str
    quoted_on: str  # ISO date
    amount: Decimal
    currency: str = "EUR"
    rate: Decimal | None = None  # shop currency for one unit of it, typed and dated
    rate_on: str | None = None
    units: int = 1  # the amount is for each
    days: float | None = None  # until it is here
    valid_until_on: str | None = None
    tax: Literal["", "incl", "excl"] = ""  # whether the amount holds it; empty: nobody said
    by_telephone: bool = False
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Out:
    """Something that is awaited: ordered, sent out, asked, borrowed, hired."""

    KIND: ClassVar[str] = "out"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str | None = None
    sort: OutSort
    line: str = ""  # F15:local: what it is for
    what: str  # in words: spindle motor
    whom: str  # who has it, or who owes it
    reach: str = ""  # telephone or address
    since_on: str  # ISO date
    promised_on: str | None = None
    ring_on: str | None = None
    amount: Decimal | None = None
    currency: str = "EUR"
    deposit: Decimal | None = None  # paid, to come back
    parcel: str = ""  # how it went and how it comes back
    serial: str = ""
    quote: str | None = None  # id of the quote that was taken
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """Rung up about something that is out: what was said, what is promised now."""

    KIND: ClassVar[str] = "rung"
    SCHEMA: ClassVar[int] = 1
    lot: str
    out: str  # id of the first record of what is out
    rung_on: str  # ISO date
    promised_on: str | None = None  # the new promise
    ring_on: str | None = None  # when next
    nobody: bool = False  # nobody answered
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutEnded:
    """It came back, came wrong, or was called off; what came back is judged afterwards."""

    KIND: ClassVar[str] = "out_ended"
    SCHEMA: ClassVar[int] = 1
    lot: str
    out: str  # id of the first record of what is out
    ended_on: str  # ISO date
    how: Literal["back", "wrong", "called_off"]
    judged: Literal["", "good", "bad"] = ""  # empty: not yet
    deposit_back: bool | None = None
    paid: Decimal | None = None  # in the currency of what is out
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardMarked:
    """A job card touched: begun, done, stuck, put off, or something was found on the way."""

    KIND: ClassVar[str] = "card_marked"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    card: str  # its key: F15:local, J05, open:cabinet
    how: Literal["begun", "done", "stuck", "found", "not_now", "open_again"]
    marked_on: str  # ISO date
    hours: float | None = None  # spent this time
    left_hours: float | None = None  # still to do, as the owner sees it
    until_on: str | None = None  # not now: not before that day
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """A pair of hands: on which evenings, from when to when, what it may do."""

    KIND: ClassVar[str] = "worker"
    SCHEMA: ClassVar[int] = 1
    name: str
    evenings: tuple[tuple[str, str, str], ...] = ()  # (mon, 19:30, 22:00)
    away: tuple[tuple[str, str], ...] = ()  # from day to day, ISO, both away
    also: tuple[tuple[str, str, str], ...] = ()  # one more day: ISO date, from, to
    # anyone's work; work that local rules leave to the competent; to a licensed electrician
    may: Literal["anyone", "competent", "electrician"] = "competent"
    helps_only: bool = False  # a second pair of hands, no work alone
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """Lifting gear and floor: how many there are, or where and on which days they are hired."""

    KIND: ClassVar[str] = "gear"
    SCHEMA: ClassVar[int] = 1
    name: str  # hoist, floor_place, or an instrument's tool word
    have: Literal["owned", "borrowed", "hired", "none"] = "owned"
    count: int = 1
    days: tuple[str, ...] = ()  # ISO dates on which it is here; empty: any
    day_costs: Decimal | None = None  # in the shop's currency
    whom: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What is on the shelf: the newest of a name counts."""

    KIND: ClassVar[str] = "stock"
    SCHEMA: ClassVar[int] = 1
    name: str  # way oil, rags, nitrile gloves; or a line such as F06:replace
    amount: float
    unit: str = ""
    least: float | None = None  # below it: buy
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanKept:
    """A plan as it was chosen: the same until it is planned again."""

    KIND: ClassVar[str] = "plan_kept"
    SCHEMA: ClassVar[int] = 1
    lots: tuple[str, ...]  # ids
    at: str  # moment it was planned from, ISO with offset
    seed: int
    worlds: int
    inputs: str  # hash of what it was made of
    plan: str  # canonical JSON: order of cards, hands, dates, promises
    why: str = ""  # planned again because
    version: str = ""


Fixing = Chosen | Quoted | Out | Rung | OutEnded | CardMarked | Worker | Gear | Stock | PlanKept
"""Every fact of this room."""
