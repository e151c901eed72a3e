"""Bids of one sale as they are told: limits, bids, what is left out, what all of it comes to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ODDS = 0.9
TWICE = 2.0
TELLS = 0.1  # of the gain: a bound further above it says nothing that helps

LimitName = Literal["money", "floor", "hours"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What there is to spend; None: no limit.

    Attributes
    ----------
    money : float or None
        In the shop's currency, until the first good part of each machine (or its sale).
    floor_m2 : float or None
    hours : float or None
        Own hours.
    odds : float
        Chance that all limits hold together, whatever is won.
    """

    money: float | None = None
    floor_m2: float | None = None
    hours: float | None = None
    odds: float = ODDS


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """A lot that has gone.

    Attributes
    ----------
    number : str
        As in the catalogue.
    won : bool
        To us; else to another.
    amount : float
        Hammer price, in the lot's currency; counts only where it is won.
    """

    number: str
    won: bool
    amount: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BidLine:
    """One bid. Money in the shop's currency unless said.

    Attributes
    ----------
    number, title, sale : str
    bid : float
        In the lot's currency; of a lot that is won, what it was won at.
    walk_away : float or None
        Not to go above, in the lot's currency.
    currency : str
        Of the lot.
    wins : float
        Chance that the bid wins.
    pays : float
        Hammer price where it wins, in the lot's currency.
    gain : float
        What all bids together gain less without this one.
    money, hours, floor_m2 : float
        What the lot takes where it is won.
    won : bool
        Whether it is ours already.
    says : str
        What to do.
    held : float or None
        Chance that all limits hold where it is won; None: it never is.
    """

    number: str
    title: str
    sale: str
    bid: float
    walk_away: float | None
    currency: str
    wins: float
    pays: float
    gain: float
    money: float
    hours: float
    floor_m2: float
    won: bool
    says: str
    held: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A lot that is not bid on."""

    number: str
    title: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """One limit, and what the bids take of it.

    Attributes
    ----------
    name : str
        money, floor, hours.
    limit : float or None
    expected : float
        On average.
    likely : float
        Not above this, at the odds wanted.
    if_all : float
        Not above this at the odds wanted, if every bid wins at what is bid.
    over : float
        Chance that it is broken.
    """

    name: LimitName
    limit: float | None
    expected: float
    likely: float
    if_all: float
    over: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BidPlan:
    """What to bid on, and what that comes to. Money in the shop's currency.

    Attributes
    ----------
    lines : tuple of BidLine
        What is ours already, then bids, what gains most first.
    left_out : tuple of LeftOut
    limits : tuple of LimitLine
        Money, floor, hours.
    odds : float
        Wanted.
    held : float
        Chance that all limits hold.
    holds : bool
        Whether that is what was wanted; if not, what is ours already breaks them.
    gain, error : float
        Expected gain, and the standard error of the sum.
    at_most : float
        No choice of bids that holds the limits gains more.
    best : bool
        Whether it is proved to be the best there is.
    why : str
        Why nothing is bid; empty where something is.
    currency : str
        Of the shop.
    worlds, seed : int
    wins_some : float
        Chance that at least one bid wins.
    held_where_won : float or None
        Chance that all limits hold where at least one does; None: there is no bid.
    """

    lines: tuple[BidLine, ...]
    left_out: tuple[LeftOut, ...]
    limits: tuple[LimitLine, ...]
    odds: float
    held: float
    holds: bool
    gain: float
    error: float
    at_most: float
    best: bool
    why: str
    currency: str
    worlds: int
    seed: int
    schema: int = 1
    wins_some: float = 0.0
    held_where_won: float | None = None

    @property
    def bound(self) -> float | None:
        """What no choice of bids gains more than, where that is near what these gain; else None."""
        return self.at_most if self.at_most - self.gain <= TELLS * self.gain else None

    @property
    def is_limited(self) -> bool:
        """Whether anything is limited at all."""
        return any(one.limit is not None for one in self.limits)

    @property
    def rests_on_losing(self) -> bool:
        """Whether the limits hold as wanted only because often nothing is won.

        Where something is won they are broken twice as often as wanted (judgement).
        """
        held = self.held_where_won
        return self.is_limited and held is not None and 1.0 - held >= TWICE * (1.0 - self.odds)
