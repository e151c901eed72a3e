"""What a step costs: money, own hours at their rate, hire, days; openings apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from retrue.cases.assume import Settled
from retrue.cases.case import LotCase
from retrue.cases.find.standing import behind
from retrue.cases.work import STUCK_MONEY, STUCK_STRETCH
from retrue.kinds.library import Check, Fix, Job, Kind, Stage, Three
from retrue.records.facts import CostLine

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spent:
    """What one act takes, in the shop's currency; ``cost`` holds all of it."""

    money: float
    hours: float
    hire: float
    days: float
    cost: float


@dataclass(frozen=True, eq=False)
class Purse:
    """The prices of one machine's owner.

    Attributes
    ----------
    rate : float
        What an own hour is worth, money an hour.
    lines : mapping of str to CostLine
        Overtyped by the owner: ``F15:local``, ``J07``.
    owned : frozenset of str
        Instruments.
    """

    kind: Kind
    rate: float
    lines: Mapping[str, CostLine]
    owned: frozenset[str]

    def estimate(self, id: str) -> float:
        """A judged number of the kind."""
        return self.kind.estimates[id].value

    def spent(
        self, money: float = 0.0, hours: float = 0.0, hire: float = 0.0, days: float = 0.0
    ) -> Spent:
        """Put together what one act takes."""
        cost = money + hire + hours * self.rate + days * self.estimate("day_worth")
        return Spent(money, hours, hire, days, cost)

    def of_way(self, fix: Fix) -> Spent:
        """One way of putting a fault right; what is paid back if it fails is averaged in."""
        line = self.lines.get(f"{fix.fault}:{fix.way}")
        money = float(line.amount) if line else mean(fix.money)
        hours = line.hours if line and line.hours is not None else mean(fix.hours)
        days = line.days if line and line.days is not None else fix.lead_days
        paid = money * (fix.cures + (1.0 - fix.cures) * fix.paid_if_it_fails)
        return self.spent(paid, hours, days=days)

    def of_job(self, job: Job) -> Spent:
        """A base job or cleaning pass."""
        line = self.lines.get(job.id)
        money = float(line.amount) if line else mean(job.money)
        hours = line.hours if line and line.hours is not None else mean(job.hours)
        return self.spent(money, hours)

    def of_look(self, check: Check, stage: Stage) -> Spent:
        """A look; an instrument that is owned costs no hire, an electrician costs his hour."""
        hours = check.minutes / 60.0
        if stage in ("photo", "call"):
            return self.spent(hours=min(hours, 0.05))
        hire = 0.0 if set(check.tools) <= self.owned else check.tool_hire
        money = hours * self.estimate("call_out_hour_money") if check.who == "electrician" else 0.0
        return self.spent(money, hours, hire)

    def help(self, parts: float) -> Spent:
        """Somebody who comes, finds it and clears it, with the parts it takes."""
        hours = self.estimate("call_out_hours")
        money = self.estimate("call_out_money") + hours * self.estimate("call_out_hour_money")
        return self.spent(money + parts, hours, days=self.estimate("call_out_days"))

    @cached_property
    def opening(self) -> Floats:
        """What opening and closing each place costs, shape (places,), in the kind's order."""
        return np.array([self._open(place) for place in self.kind.places], dtype=np.float64)

    def open_cost(self, opens: int, open_now: int = 0) -> float:
        """What opening and closing all places of a bit mask costs, less what stands open."""
        todo = opens & ~open_now
        return sum(float(cost) for i, cost in enumerate(self.opening) if todo >> i & 1)

    def _open(self, id: str) -> float:
        place = self.kind.places[id]
        opened = mean(place.open_hours)
        stuck = place.stuck_chance * opened * (STUCK_STRETCH - 1.0)
        money = place.stuck_chance * mean(STUCK_MONEY) if opened else 0.0
        return self.spent(money, opened + stuck + mean(place.close_hours)).cost


def purse(case: LotCase, machine: str, kind: Kind, settled: Settled) -> Purse:
    """The prices that hold for one machine of a case.

    Parameters
    ----------
    case : LotCase
    machine : str
    kind : Kind
    settled : Settled

    Returns
    -------
    Purse
    """
    lines = {line.line: line for line in case.cost_lines if line.machine in (machine, None)}
    return Purse(kind, settled.rate, lines, frozenset(case.shop.instruments))


def mean(three: Three) -> float:
    """The mean of a judged range.

    Parameters
    ----------
    three : Three

    Returns
    -------
    float
        A sixth of low, four times likely, high.

    References
    ----------
    Malcolm, Roseboom, Clark and Fazar 1959, Operations Research 7(5), 646-669 (from memory).

    Examples
    --------
    >>> mean(Three(2, 5, 14))
    6.0
    """
    return (three.low + 4.0 * three.likely + three.high) / 6.0


def mask(kind: Kind, places: tuple[str, ...]) -> int:
    """The bits of places and of all that must be open before them.

    Parameters
    ----------
    kind : Kind
    places : tuple of str

    Returns
    -------
    int
        Bit i is the kind's place i; a place it does not have has none.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mask(load()["vertical_machining_centre"], ("cabinet",))
    5
    """
    order = {id: i for i, id in enumerate(kind.places)}
    bits = 0
    for place in places:
        for one in behind(kind, place):
            bits |= 1 << order[one]
    return bits
