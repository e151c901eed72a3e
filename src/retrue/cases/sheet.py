"""The price sheet: what a lot is worth to this shop, and why; ``cases.pricing`` makes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Good luck, even chance, bad luck: 10th, 50th and 90th percentile."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One in five below, even chance, one in five above: the band of three chances in five."""

    low: float
    even: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HourValues:
    """One figure with own hours valued three ways."""

    zero: float | None
    alternative: float | None
    full: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkAway:
    """The number to act on: hammer price, rounded down to the bid step."""

    amount: float | None  # None when no price can stand (does not fit); see why
    why: str
    all_in: float | None  # landed: on the floor at that hammer price, mean
    restored: float | None  # all money until the first good part (or the sale), mean
    option: str  # id of the option that carries it
    odds: float
    error: float  # standard error of the sum itself (Monte Carlo), in money
    prices_third_low: float | None  # the same if all our prices are a third too low
    tables_wrong: float | None  # the same if every fault is more likely by a factor e in odds
    by_hour_value: HourValues
    spread: Spread  # what the lot is worth at the hammer
    mean: float  # mean worth at the hammer
    sorry: float  # chance of being sorry at that price
    bid_step: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionRow:
    """One thing that could be done with the lot."""

    id: str
    name: str
    walk_away: float
    mean_gain: float  # against the best alternative, at the asking price (else bid, else 0)
    regret_odds: float  # chance that it is worse than the alternative at that price


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelRow:
    """One machine brought to one level, if it is gone through with."""

    level: str
    money: Band
    own_hours: Band
    days: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A fault as it is believed now."""

    fault: str
    name: str
    urgency: str
    before: float  # prior probability
    now: float
    money: float  # mean money if present, at the level used


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """Does the machine fit a need: fits, does_not_fit, unknown."""

    need: str
    answer: str
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineRow:
    """One machine in the best option."""

    name: str
    kind: str
    plan: str  # keep, sell_as_found, sell_running, sell_proven, part_out, donor, new_control
    level: str  # just_running, right, like_new, or "" where nothing is repaired
    walk_away: float | None  # for this machine alone
    cost: Band  # money until the first good part (or the sale), without the hammer price
    own_hours: Band
    days: Band
    buckets: Mapping[str, float]  # where the money goes, means
    levels: tuple[LevelRow, ...]
    suspects: tuple[Suspect, ...]  # those that carry the money, most first
    fits: tuple[Fit, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionRow:
    """An open look or question and what its answer is worth."""

    machine: str
    check: str
    text: str
    channel: str
    worth: float
    asking_costs: float
    net: float
    error: float
    tie: bool  # cannot be told from the best one


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitRow:
    """A visit as one joint answer: travel once."""

    worth: float
    costs: float
    net: float
    error: float
    minutes: float
    checks: tuple[tuple[str, str], ...]  # (machine, check) in the order of their share


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """What would move the price, and how far: the price if it is less, and if it is more."""

    what: str
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedRow:
    """What one finding did to the price."""

    finding: str  # record id, or the finding's key in the file
    text: str
    before: float
    after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearRow:
    """What must be cleared before money goes."""

    what: str
    why: str
    machine: str | None
    check: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumedRow:
    """A field nobody filled, and what was taken in its place."""

    field: str
    value: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BidRow:
    """How to bid for this sort of sale."""

    sale: str
    bid: float | None  # what to write down, where the sort of sale asks for one
    opening: float | None
    says: str
    warning: str  # one line about the last bidder


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnRow:
    """What the money put in brings, own hours not counted, at the price not to go above."""

    present_value: float  # of all payments, at the cost of money
    rate: float | None  # share a year; None where there is none, or more than one
    why: str
    payback_years: float | None  # None where it does not come back within the years looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceSheet:
    """All of it. Money is float in ``currency``; the JSON form is documented in docs/json.md."""

    lot: str
    currency: str
    walk_away: WalkAway
    options: tuple[OptionRow, ...]
    machines: tuple[MachineRow, ...]
    questions: tuple[QuestionRow, ...]
    visit: VisitRow | None
    all_answers: float  # what knowing everything would be worth: no answer is worth more
    returns: ReturnRow | None
    moves: tuple[Move, ...]
    moved: tuple[MovedRow, ...]
    clear_first: tuple[ClearRow, ...]
    assumed: tuple[AssumedRow, ...]
    set_aside: tuple[str, ...]  # findings left out of the exact sum, and so not in the price
    not_used: tuple[str, ...]  # findings whose check this kind does not have
    bid: BidRow
    cautions: tuple[str, ...]
    seed: int
    worlds: int
    kind_hash: str
    version: str
    schema: int = 1
