"""What is said of a sale as a whole, and of the shop that would buy: the same for every lot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from retrue.cases.settle.bring_amounts import DecimalMark
from retrue.cases.settle.bring_days import DayOrder
from retrue.kinds.library import Kind
from retrue.records.facts import Alternative, Need, Shop

Sale = Literal["fixed_price", "offer", "ascending", "sealed"]
Scheme = Literal["ordinary", "margin", "private", "import"]


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a catalogue does not say of itself; None: nobody said, so the file is asked, then wide.

    What a line of the catalogue says of itself counts before it; what it says of the sale as a
    whole counts after it.

    Attributes
    ----------
    shop : Shop
    year : int
        This year: an age is counted back from it.
    needs : tuple of Need
    alternatives : tuple of Alternative
    own : mapping of str to str
        What a column is read as, to its heading, as the owner says: ``{"asking": "Startpreis"}``.
    currency : str or None
        Of amounts that name none; None: by the file, else the shop's.
    rates : mapping of str to Decimal
        The shop's currency for one unit of another.
    premium, tax_rate : float or None
        Shares of the hammer price.
    tax_reclaimable, prices_hold_tax : bool or None
    tax_scheme : str or None
        ordinary, margin, private, import.
    sale : str or None
        fixed_price, offer, ascending, sealed.
    distance_km, removal_days : float or None
    removal_by : str or None
        ISO date.
    closes_at : str or None
        ISO 8601 with offset.
    decimal : str or None
        comma, point: the mark before the decimals of every number; None: by the file.
    dates : str or None
        day, month: which goes first in 03/11/2026; None: by the file.
    """

    shop: Shop
    year: int
    needs: tuple[Need, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    own: Mapping[str, str] = field(default_factory=dict)
    currency: str | None = None
    rates: Mapping[str, Decimal] = field(default_factory=dict)
    premium: float | None = None
    tax_rate: float | None = None
    tax_reclaimable: bool | None = None
    prices_hold_tax: bool | None = None
    tax_scheme: Scheme | None = None
    sale: Sale | None = None
    distance_km: float | None = None
    removal_days: float | None = None
    removal_by: str | None = None
    closes_at: str | None = None
    decimal: DecimalMark | None = None
    dates: DayOrder | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Of:
    """What the lots of one catalogue have in common.

    Attributes
    ----------
    about : About
        With what the file says of the sale as a whole.
    kinds : mapping of str to Kind
    currency : str
        Of lines that name none.
    guessed : bool
        Whether it is the shop's because nobody says it.
    sale : str
        Of lines that say nothing else.
    """

    about: About
    kinds: Mapping[str, Kind]
    currency: str
    guessed: bool
    sale: Sale
