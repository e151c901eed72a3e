"""What the lists of what to do are made of: cards, tonight, who owes what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from retrue.cases.fix.buying_lines import Part
from retrue.kinds.judged import Three
from retrue.records.fixing import Out, OutEnded, Rung
from retrue.records.shop import Record

CardSort = Literal[
    "open", "before", "clean", "work", "send", "measure", "close", "job", "renew", "upgrade",
    "unseen",
]  # fmt: skip
CardState = Literal["open", "waiting", "out", "stuck", "begun", "not_now", "done", "not_yet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of a card, in the order of the hand."""

    sort: Literal["open", "before", "work", "clean", "measure", "close"]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftTo:
    """A look that is left to a licensed electrician: what he hands back, and no word on how."""

    id: str
    hands_back: tuple[str, ...]  # names of readings with their units; none: his finding in words


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """A card comes after another; ``days`` of waiting between, for a part or for drying."""

    card: str
    days: float = 0.0
    part: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One job card.

    Attributes
    ----------
    key : str
        Unique within its machine: F15:local, J05, open:cabinet, close:cabinet, before:cabinet,
        renew:belt, upgrade:lamp, unseen.
    lot, machine : str
        Ids of the first records; ``machine_name`` is what people say.
    title : str
    place, place_name : str
        Where; cards of one place make one visit, opened and closed once.
    hours : Three
        Own work, without opening and closing, which are cards of their own.
    chance : float
        That it is needed: 1 for what is confirmed, chosen or always done.
    stuck : float
        Chance of a stuck bolt when its place is opened, by the past life; 0 where it is open.
    faults : tuple of str
        What it puts right.
    way, job : str
    urgency : str
        The most urgent of its faults; empty for a base job.
    people : int
        Hands at once; ``alone`` is whether it may be done with nobody else in the house.
    hoist, unbroken : bool
    least_hours : float
        Not begun, nor gone on with, where less of an evening is left.
    dries_days : float
        Before anything that comes after it.
    who : str
        anyone, competent, electrician.
    cautions : tuple of str
        Ids; they stand before everything else.
    tools : tuple of str
    parts : tuple of Part
    waits : tuple of Wait
    state : str
    state_why : str
        In words: what it waits for.
    spent_hours, left_hours : float or None
        As marked by the owner; None: nobody said.
    until_on : str or None
        Put off to that day.
    good_part : bool
        Whether the first good part needs it.
    left_to : tuple of LeftTo
        Looks of it that are a licensed electrician's; they have no step.
    licensed : bool
        All of it is his: it has no steps at all.
    under_power : bool
        Something is switched on in it: it has no steps here, but sheets of its own.
    """

    key: str
    lot: str
    machine: str
    machine_name: str
    sort: CardSort
    title: str
    place: str
    place_name: str
    steps: tuple[Step, ...]
    hours: Three
    chance: float = 1.0
    stuck: float = 0.0
    faults: tuple[str, ...] = ()
    way: str = ""
    job: str = ""
    urgency: str = ""
    people: int = 1
    alone: bool = True
    hoist: bool = False
    unbroken: bool = False
    least_hours: float = 0.0
    dries_days: float = 0.0
    who: Literal["anyone", "competent", "electrician"] = "anyone"
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    waits: tuple[Wait, ...] = ()
    state: CardState = "open"
    state_why: str = ""
    spent_hours: float | None = None
    left_hours: float | None = None
    until_on: str | None = None
    good_part: bool = True
    left_to: tuple[LeftTo, ...] = ()
    licensed: bool = False
    under_power: bool = False

    @property
    def expected_hours(self) -> float:
        """Hours to expect, or what the owner says is left."""
        if self.left_hours is not None:
            return self.left_hours
        return (self.hours.low + 4 * self.hours.likely + self.hours.high) / 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One place of one machine, opened and closed once: its cards in order."""

    place: str
    place_name: str
    cards: tuple[Card, ...]
    hours: float  # expected, opening and closing included


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A card or part that cannot be planned: what is wrong, and what helps."""

    card: str
    title: str
    why: str  # in words
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cards:
    """All cards of one machine.

    Attributes
    ----------
    aim, level : str
        What the machine is worked for: keep, sell_running ...; right.
    """

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    kind: str
    aim: str
    level: str
    cards: tuple[Card, ...]  # in an order that may be worked
    visits: tuple[Visit, ...]
    hours: float  # expected, of what is open, chances counted
    refused: tuple[Refused, ...] = ()
    currency: str = "EUR"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """A card offered for tonight: what of it can be done, and why it is offered."""

    card: Card
    hours: float  # of tonight
    whole: bool  # it can be finished tonight
    why: str  # in words: the turning centre's date hangs on it
    part: str = ""  # in words, where it cannot be finished: begin it, 2.0 of 9.5 h


@dataclass(frozen=True, slots=True, kw_only=True)
class NotTonight:
    """A card that could be next but not tonight, and why."""

    card: Card
    why: str  # in words: needs the hoist


@dataclass(frozen=True, slots=True, kw_only=True)
class Tonight:
    """What to do in these hours.

    Attributes
    ----------
    picks : tuple of Pick
        In the order to do them, three as a rule, more where they are short.
    not_tonight : tuple of NotTonight
        At most five.
    nothing : str
        In words, where nothing can be done; else empty.
    planned : bool
        Ordered by the plan that was kept; False: by the plain rule, until it is planned.
    evening : str
        In words: what to do before leaving.
    """

    hours: float
    alone: bool
    hoist: bool
    picks: tuple[Pick, ...]
    not_tonight: tuple[NotTonight, ...] = ()
    nothing: str = ""
    planned: bool = False
    cautions: tuple[str, ...] = ()
    evening: str = ""
    refused: tuple[Refused, ...] = ()  # lots that contradict themselves


OutState = Literal["out", "late", "ring", "back_not_judged", "ended"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """Something that is out: how it stands today.

    Attributes
    ----------
    first : Record of Out
        Its id is what others refer to; ``out`` is the newest of its line.
    state : str
        late: past its promise; ring: its day to ring has come.
    promised_on, ring_on : str or None
        The newest of them.
    days_late : int
    broken : int
        How often the promise moved.
    holds_up : tuple of str
        Titles of the cards that wait for it.
    """

    first: Record[Out]
    out: Out
    lot_name: str
    machine_name: str
    state: OutState
    promised_on: str | None
    ring_on: str | None
    days_late: int = 0
    broken: int = 0
    rung: tuple[Record[Rung], ...] = ()
    ended: Record[OutEnded] | None = None
    holds_up: tuple[str, ...] = ()
    pressing: bool = False  # what it holds up is what the date hangs on
    deposit: Decimal | None = None  # still out; an ended one stays on the list until it is back
    return_owed: bool = False  # the wrong thing came; it is listed until that is settled


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A day of the move that does not wait: the last day to write to a carrier, a round due."""

    sort: Literal["damage", "round"]
    lot: str
    lot_name: str
    machine: str
    machine_name: str
    on: str  # ISO date
    days_left: int  # below zero: so many days late
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """Waiting for, chase: the most pressing first."""

    on: str  # ISO date
    owed: tuple[Owed, ...]  # out, late, ring, not judged, deposit still out
    deposits: Mapping[str, Decimal] = field(default_factory=dict)  # by currency, still out
    due: tuple[Due, ...] = ()  # soonest first
