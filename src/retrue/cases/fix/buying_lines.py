"""What is to be bought, and what is known of each part: prices, quotes, days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from retrue.kinds.judged import Three
from retrue.records.fixing import Quoted
from retrue.records.shop import Record

PartState = Literal["to_buy", "asked", "ordered", "sent_out", "here", "no_vendor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A quote, in the shop's currency."""

    record: Record[Quoted]
    amount: float | None  # in the shop's currency, of all units; None: no rate is known
    why: str  # in words, where the amount is None or the quote has run out
    days: float | None
    cheapest: bool = False
    valid: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Something a card needs that is bought, sent out or hired.

    Attributes
    ----------
    line : str
        F15:local, J05, renew:belt, upgrade:lamp, or words of the owner's own.
    what : str
    money : Three
        In the shop's currency: the table's range, or what was quoted or paid.
    days : float
        Until it is here, from the day of the order.
    state : str
    offers : tuple of Offer
    promised_on : str or None
        Of what was ordered.
    source : str
        In words: table, quote of whom on which day, own figure.
    """

    line: str
    what: str
    money: Three
    days: float
    state: PartState = "to_buy"
    units: int = 1
    offers: tuple[Offer, ...] = ()  # cheapest first
    promised_on: str | None = None
    source: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyRow:
    """One line of the purchase list.

    Attributes
    ----------
    chance : float
        That it is needed.
    order_by_on : str or None
        Latest day to order without moving the date; None: not planned.
    ordered_for_on : str or None
        Day on which it is first needed.
    amount : float
        Expected, in the shop's currency.
    """

    machine: str
    machine_name: str
    part: Part
    chance: float
    amount: float
    order_by_on: str | None = None
    needed_on: str | None = None
    late: bool = False  # the day to order has passed
    cards: tuple[str, ...] = ()  # titles
    lot: str = ""  # its id
    lot_name: str = ""
    why: str = ""  # in words: where the days come from, or why there are none


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekCash:
    """Money of one week, in the shop's currency."""

    week_on: str  # its Monday
    amount: float
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRow:
    """Something on the shelf that runs out."""

    name: str
    amount: float
    unit: str
    least: float | None
    needed: float | None  # by the open cards
    low: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """The purchase list of a lot, or of all lots."""

    on: str
    currency: str
    rows: tuple[BuyRow, ...]  # most pressing first
    weeks: tuple[WeekCash, ...]
    stock: tuple[StockRow, ...]
    total: float
    no_vendor: tuple[str, ...] = ()  # lines nobody is named for: in words, with a remedy
    rates: Mapping[str, float] = field(default_factory=dict)  # shop currency for one of it, used
    undated: float = 0.0  # of the total: what no week can be told for
    cautions: tuple[str, ...] = ()  # before any of its figures
    uncounted: tuple[str, ...] = ()  # what is in no sum, because no rate is known: in words
