"""What a machine brings when it is sold: its states, what each deed adds, offers, the line."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.cases.sheet import Band
from retrue.kinds.judged import Three
from retrue.records.settling import ForSale, Offered, SoldAs
from retrue.records.shop import Record


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHour:
    """One sum at the three values of an own hour, in the shop's currency."""

    zero: float
    alternative: float
    full: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SellDays:
    """Days until it is sold, from the day it is listed; None: later than the last day.

    Attributes
    ----------
    p10, p50, p90 : int or None
        In one, five, nine of ten ways it may turn out.
    unsold : float
        Chance that it stands there still on the last day.
    """

    p10: int | None
    p50: int | None
    p90: int | None
    unsold: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StateRow:
    """One state it could be sold in; money in the shop's currency, from today.

    Attributes
    ----------
    id : str
        as_it_stands, as_found, running, proven, parts.
    sold_as : SoldAs
        The word for the listing.
    brings : Band
        The price it goes for.
    money, hours, ready_days : float
        Still to be spent until it is in that state, on average: without the sale itself.
    net : ByHour
        What comes in less all that goes out, selling and waiting included, as worth today.
    ask, take, dump : float
        Rounded; the take is for the first day of the listing.
    days : SellDays or None
        None of parts, which go one by one.
    allowed : bool
        ``why_not`` in words otherwise.
    """

    id: str
    sold_as: SoldAs
    brings: Band
    money: float
    hours: float
    ready_days: float
    net: ByHour
    ask: float
    take: float
    dump: float
    days: SellDays | None
    allowed: bool = True
    why_not: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AddRow:
    """One thing that could still be done to it: what it adds against what it costs.

    Attributes
    ----------
    id : str
        to:running, F47, proof:film, extra:finish.
    sort : str
        step, fault, proof, extra, control, tooling.
    of_state : str
        The state in which it adds that.
    adds : Band
        To the price it goes for; ``adds_mean`` on average.
    money, hours, days : float
        On average.
    gain : ByHour
        What it adds less what it costs.
    per_euro : float
        What each euro put in brings, own hours counted at what they earn elsewhere, what is
        spared of waiting with it.
    pays : bool
        With all others that pay.
    together : bool
        Whether it is among what is worth doing before the sale.
    """

    id: str
    sort: str
    words: str
    of_state: str
    adds: Band
    adds_mean: float
    money: float
    hours: float
    days: float
    gain: ByHour
    per_euro: float
    pays: bool
    together: bool
    note: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TogetherRow:
    """All that pays done together: worked out as a whole, never summed."""

    state: str
    ids: tuple[str, ...]
    brings: Band
    money: float
    hours: float
    gain: ByHour  # against selling it as it stands
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthCost:
    """What a month of waiting costs at the start: floor, round, own hours, capital; in all."""

    floor: float
    round: float
    hours: float  # own hours at what they earn elsewhere, money
    capital: float

    @property
    def total(self) -> float:
        """In all."""
        return self.floor + self.round + self.hours + self.capital


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePoint:
    """One day of the line.

    Attributes
    ----------
    on : str
        ISO date.
    take : float
        The lowest new offer to take on it: what it says of the market is counted in.
    worth : float
        What waiting on is worth, where nothing comes up to then: what an offer in hand is held
        against.
    unsold : float
        Chance that it is still there.
    """

    on: str
    take: float
    worth: float
    unsold: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferLine:
    """One offer and what to answer.

    Attributes
    ----------
    id : str
        First id of its line.
    amount : float
        In the shop's currency; None where the day's rate is missing.
    say : str
        take, wait, refuse; empty where it cannot be told.
    until_on : str
        From that day on it is worth taking if he still stands by it; empty: never, or now.
    """

    id: str
    record: Record[Offered]
    amount: float | None
    say: str
    words: str
    until_on: str = ""
    best: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StopItem:
    """A stop item in the way of a sale."""

    id: str  # a fault, or the id of a guard's record
    name: str
    clears: str  # in words: what clears it
    known: bool  # found, or a guard defeated or missing; False: only not cleared yet


@dataclass(frozen=True, slots=True, kw_only=True)
class DonorLine:
    """What it means for the one that is kept if this one is taken apart."""

    keeper: str
    saves: Band
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """One judged figure of the sale: editable."""

    item: str
    words: str
    value: Three
    unit: str  # share, days
    applies: bool
    mark: str
    reason: str = ""  # the owner's, where he typed it


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """Everything of the sale of one machine, from today; money in the shop's currency.

    Attributes
    ----------
    state : str
        The state that is answered for: as found while stop items or guards are open, else as it is
        listed, else as it stands.
    kept : Record of ForSale or None
        What the owner set.
    by_on : str
        The day on which it goes for what it brings.
    waits : bool
        Whether waiting is worth more than letting it go at once.
    worth_waiting : float
        How much more.
    """

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    currency: str
    on: str
    state: str
    by_on: str
    states: tuple[StateRow, ...]
    adds: tuple[AddRow, ...]
    together: TogetherRow | None
    month: MonthCost
    line: tuple[LinePoint, ...]
    waits: bool
    worth_waiting: float
    offers: tuple[OfferLine, ...]
    stops: tuple[StopItem, ...]
    donor: DonorLine | None
    figures: tuple[FigureRow, ...]
    seed: int
    worlds: int
    kept: Record[ForSale] | None = None
    sold: str = ""  # in words, where it is sold
    cautions: tuple[str, ...] = ()

    @property
    def answer(self) -> StateRow:
        """The row of the state that is answered for."""
        return next(one for one in self.states if one.id == self.state)

    @property
    def best(self) -> str:
        """The state that leaves most on average, own hours at what they earn elsewhere."""
        able = [one for one in self.states if one.allowed]
        return max(able or self.states, key=lambda one: one.net.alternative).id

    @property
    def next(self) -> AddRow | None:
        """The one thing to do first: of all that pays together, what adds most where it stands.

        None where all of it together does not pay.
        """
        if self.together is None or self.together.gain.alternative <= 0.0:
            return None
        steps = [one for one in self.adds if one.together and one.sort == "step"]
        first = [one for one in steps if one.of_state == self.stands]
        paying = first or [one for one in self.adds if one.together and one.sort != "step"]
        return max(paying, key=lambda one: one.gain.alternative, default=None)

    @property
    def stands(self) -> str:
        """The state it is in today."""
        ids = [one.id for one in self.states]
        return "as_it_stands" if "as_it_stands" in ids else "as_found"
