"""What can be chosen: ways of every fault, levels, another control, renewals, extras."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from retrue.cases.sheet import Band
from retrue.kinds.judged import Three


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOption:
    """One way of putting one fault right.

    Attributes
    ----------
    money : Three
        In the shop's currency; a quote or an own figure in its place is named in ``source``.
    average : float
        What it costs on average till the fault is gone, own hours and waiting included, if it is
        tried first.
    again : float
        Chance that the same fails again within ``again_years``.
    resale : float
        What it changes in the resale, expected, in the shop's currency.
    allowed : bool
        At the level asked for; ``why_not`` in words otherwise.
    """

    way: str
    words: str
    money: Three
    hours: Three
    days: float
    cures: float
    average: float
    again: float
    again_years: float
    accuracy: str
    noise: str
    resale: float
    good_for: str
    allowed: bool
    why_not: str = ""
    chosen: bool = False
    by_owner: bool = False
    source: str = ""
    note: str = ""
    also: tuple[str, ...] = ()  # names of the faults it cures beside
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultOptions:
    """One fault that is confirmed or likely, and what can be done about it."""

    fault: str
    name: str
    urgency: str
    chance: float
    confirmed: bool
    place: str
    consequence: str
    ways: tuple[WayOption, ...]  # the chosen first
    why: str  # in words: why that way is chosen
    found_by: str = ""  # in words: what showed it
    cautions: tuple[str, ...] = ()  # before any of its figures


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlOption:
    """Another control: what it costs, which faults it takes along, what that saves."""

    money: Band
    hours: Band
    saves_money: float
    saves_hours: float
    removes: tuple[tuple[str, str, float], ...]  # fault, name, chance that it is there
    worth: float  # expected gain against mending the old one; negative: it does not pay
    words: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelSum:
    """What one level takes from here on, what is done not counted."""

    level: str
    says: str
    money: Band
    hours: Band
    days: Band
    resale: float
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StopLoss:
    """Whether to go on: what going on still costs and brings, against stopping here.

    Attributes
    ----------
    go_on, sell_as_it_stands, part_out : float
        Expected, from today: what comes in less what still goes out, own hours at their rate.
    ahead_by : float
        Of going on against the better of the two others.
    stop_at : float
        Money still to spend at which stopping would be as good.
    best : str
        go_on, sell_as_it_stands, part_out.
    odds : float
        Chance that going on turns out better.
    still_money, still_hours : float
        What going on still takes on average.
    """

    go_on: float
    sell_as_it_stands: float
    part_out: float
    ahead_by: float
    stop_at: float
    best: str
    odds: float
    words: str
    currency: str = "EUR"
    still_money: float = 0.0
    still_hours: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A fault that is left out, and what that costs."""

    fault: str
    name: str
    resale: float  # what it takes off the resale
    accuracy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What a budget or a day allows.

    Attributes
    ----------
    holds : bool
        Every stop and must that is confirmed or likely is put right within it.
    money : float
        Expected, from here on, of all that is picked and of what comes anyway.
    anyway : float
        That part of it which no choice of ways changes: jobs, openings, faults nobody has seen.
    gives_up : float
        Expected cost beyond the best choice, own hours, waiting and resale counted; of what is
        left out, the resale it takes.
    short : float
        Money missing where it does not hold.
    picks : tuple of (fault, way)
    left : tuple of Left
        No money for them.
    late : tuple of Left
        Nothing for them can be had by the day; their best way comes later.
    """

    holds: bool
    money: float
    anyway: float
    gives_up: float
    short: float
    picks: tuple[tuple[str, str], ...]
    left: tuple[Left, ...]
    words: str
    late: tuple[Left, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """All choices of one machine."""

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    level: str
    aim: str
    currency: str
    faults: tuple[FaultOptions, ...]  # confirmed first, then by what they cost on average
    levels: tuple[LevelSum, ...]
    control: ControlOption | None
    stop_loss: StopLoss | None
    budget: float | None = None
    by_on: str | None = None
    fits: str = ""  # in words: what the budget or the day allows, what it leaves out
    fit: Fit | None = None
    seed: int = 7
    worlds: int = 0
    cautions: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()  # faults that were put right, or seen not to be there


@dataclass(frozen=True, slots=True, kw_only=True)
class RenewRow:
    """One part that could be renewed while its place is open.

    Attributes
    ----------
    risk : float
        Chance that it fails within the years asked for.
    age_years : float or None
        Its own, where known; else that of the machine is taken.
    if_kept, if_renewed : float
        Expected cost in the shop's currency: of one more opening and the repair; of renewing it.
    renew_at_years : float or None
        Age at which renewing by age alone pays; None: never.
    """

    id: str
    name: str
    place: str
    renew: bool
    risk: float
    age_years: float | None
    money: float
    hours: float
    if_kept: float
    if_renewed: float
    renew_at_years: float | None
    why: str
    by_owner: bool = False
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """While you're in there: what to renew now that a place is open."""

    machine_name: str
    place: str
    place_name: str
    years: float
    rows: tuple[RenewRow, ...]
    cost: float  # expected, of the best choice
    cost_none: float  # of renewing nothing
    cost_all: float  # of renewing all
    reopening: float  # what opening it again costs
    exact: bool  # by the sorted rule; False: over worlds, because a past life ties them
    currency: str = "EUR"
    words: str = ""
    sure: bool = True  # no choice is cheaper: by the rule, or every one was weighed
    how_sure: str = ""  # the same in words
    owner_costs: float = 0.0  # what the owner's own choices cost more than the cheapest
    cautions: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()  # in words: what nobody said


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeRow:
    """An extra: what it costs, what it adds, chosen or not."""

    id: str
    name: str
    money: Three
    hours: Three
    adds: tuple[tuple[str, str], ...]  # (exposure, "from 5.0 to 6.5 h a day"), in words
    resale: float
    pays: bool  # the resale alone pays for it
    chosen: bool
    place: str
    words: str
    cautions: tuple[str, ...] = ()
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrades:
    """Upgrades and finish of one machine."""

    machine_name: str
    currency: str
    rows: tuple[UpgradeRow, ...]
    chosen_money: float
    chosen_hours: float
    values: Mapping[str, float] = field(default_factory=dict)  # what was read: level_a_db, lux
    cautions: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()  # in words: what nobody said or read
