"""What counts of one machine when its next step is chosen: how each phase stands, in few words."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

Ruling = Literal["", "proved_good", "not_proved", "proved_bad"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """The open question worth asking most, as the price that is remembered has it."""

    check: str
    text: str
    machine: str
    channel: str
    worth: float
    costs: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bid:
    """What to pay.

    Attributes
    ----------
    outcome : str
        won, lost or walked; empty: nobody has said.
    ours : bool
        Won, or on the way, or here.
    reckoned : bool
        The price of the lot as it stands is remembered.
    walk_away : float or None
        Not to go above; None: not reckoned yet, or ``why``.
    clear_first : tuple of (what, why)
        Before money goes.
    closes_on : str
        ISO date; empty: nobody has said.
    days_left : int or None
        Until then.
    frozen : Decimal or None
        The hammer price that was frozen.
    visit : (worth, costs) or None
        Where no single question is worth it and a visit is.
    unjudged : int
        Photographs that nobody has looked through.
    """

    outcome: str = ""
    ours: bool = False
    reckoned: bool = False
    walk_away: float | None = None
    why: str = ""
    question: Question | None = None
    visit: tuple[float, float] | None = None
    unjudged: int = 0
    clear_first: tuple[tuple[str, str], ...] = ()
    closes_on: str = ""
    days_left: int | None = None
    frozen: Decimal | None = None
    findings: int = 0
    pictures: int = 0
    stamped: int = 0
    to_stamp: int = 0
    asked: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Moving:
    """Move and place.

    Attributes
    ----------
    lacking : (method, what, how) or None
        The first number that a lift, the door or the supply lacks.
    unsaved : tuple of (sort, name)
        Data that no copy was read back of, while the plug is in.
    step : (id, words) or None
        The next that waits for nothing.
    here : bool
        It came, or something was kept of it that is kept only of a machine that is here.
    damage_left, round_left : int or None
        Days to the last day to write to a carrier, to the next round; below zero: late.
    """

    done: int = 0
    steps: int = 0
    lacking: tuple[str, str, str] | None = None
    unsaved: tuple[tuple[str, str], ...] = ()
    step: tuple[str, str] | None = None
    here: bool = False
    came_on: str = ""
    damage: str = ""
    damage_left: int | None = None
    damage_words: str = ""
    floor_pictures: int = 0
    sides: int = 0
    resting: bool = False
    round_left: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """As found and apart.

    Attributes
    ----------
    open_place : (id, name, line, words) or None
        The first place that is not kept as found, and the first line that it lacks.
    kept, places : int
        Places kept as found, of how many.
    ticks : (open, all)
        Of the first night.
    off : int
        What is not back.
    """

    open_place: tuple[str, str, str, str] | None = None
    kept: int = 0
    places: int = 0
    ticks: tuple[int, int] = (0, 0)
    tick_words: str = ""
    off: int = 0
    undone: int = 0

    @property
    def settled(self) -> bool:
        """The first night is ticked, and every place is kept as found."""
        return self.open_place is None and not self.ticks[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seeking:
    """Fault-finding: its open troubles; one that means off stands first."""

    trouble: str = ""  # id
    title: str = ""
    means_off: bool = False
    found: str = ""  # fault behind it, where it was opened and there, and no way is chosen yet
    found_name: str = ""
    open: int = 0
    told: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CardAhead:
    """The first card of tonight at one machine, and how many there are."""

    key: str = ""
    title: str = ""
    place: str = ""
    hours: float = 0.0
    people: int = 1
    hoist: bool = False
    why: str = ""
    begun: bool = False
    planned: bool = False
    rank: int | None = None  # its place in the plan that was kept
    nothing: str = ""
    done: int = 0
    cards: int = 0
    aim: str = "keep"


@dataclass(frozen=True, slots=True, kw_only=True)
class Owing:
    """What is out: the first that is late, or is to be rung up about, or judged."""

    out: str = ""  # id of its first record
    what: str = ""
    whom: str = ""
    state: str = ""
    days_late: int = 0
    waiting: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Power:
    """First power.

    Attributes
    ----------
    watch : str
        Id of the one that runs.
    stage, title, who, alone_instead : str
        Of the lowest that is not signed; where somebody stands at the main switch ``alone`` is
        False.
    state : str
        open, begun, closed, aborted, strip; empty: all are signed.
    wants : (id, words, what helps) or None
        The first thing that keeps it closed.
    """

    watch: str = ""
    watch_called: str = ""
    stage: str = ""
    title: str = ""
    who: str = ""
    alone: bool = True
    live: bool = False
    alone_instead: str = ""
    state: str = ""
    wants: tuple[str, str, str] | None = None
    wanting: int = 0
    signed: int = 0
    stages: int = 0
    begun: bool = False  # something of it was begun once


@dataclass(frozen=True, slots=True, kw_only=True)
class Proving:
    """Measure: the next test, by the order of the bench."""

    test: str = ""
    name: str = ""
    set: str = ""  # the set that goes on
    minutes: float | None = None
    level: str = ""  # why it does not count as level
    judged: int = 0
    daily: int = 0
    daily_judged: int = 0
    tests: int = 0
    good: int = 0
    bad: int = 0
    rulings: tuple[tuple[str, Ruling], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Settling:
    """Money and sale."""

    offer: tuple[str, str, Decimal, str] | None = None  # id, whom, amount, currency
    listed: str = ""  # sold as; empty: not listed
    sold: bool = False
    closed: bool = False
    records: int = 0
    promise: tuple[str, str, str] | None = None  # what, whom, until (may be empty)
    promise_left: int | None = None
    asked: tuple[str, str] | None = None  # whom, question
    blocked: tuple[str, int] | None = None  # what keeps its condition record closed, how many


@dataclass(frozen=True, slots=True, kw_only=True)
class Along:
    """One machine, with how every phase of it stands today.

    Attributes
    ----------
    lot, machine : str
        Ids of the first records.
    kind : str
        In words.
    picture : str or None
        Id of the photograph that stands for it.
    """

    lot: str
    lot_name: str
    machine: str
    name: str
    kind: str = ""
    currency: str = "EUR"
    picture: str | None = None
    bid: Bid = field(default_factory=Bid)
    move: Moving = field(default_factory=Moving)
    apart: Apart = field(default_factory=Apart)
    seek: Seeking = field(default_factory=Seeking)
    card: CardAhead = field(default_factory=CardAhead)
    owing: Owing = field(default_factory=Owing)
    power: Power = field(default_factory=Power)
    prove: Proving = field(default_factory=Proving)
    settle: Settling = field(default_factory=Settling)

    @property
    def path(self) -> str:
        """Where its own page is."""
        return f"/lots/{self.lot}/machines/{self.machine}"

    @property
    def over(self) -> bool:
        """Nothing is to be done at it any more: lost, walked away from, sold, or closed."""
        return self.bid.outcome in ("lost", "walked") or self.settle.sold or self.settle.closed
