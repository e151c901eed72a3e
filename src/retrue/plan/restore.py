"""One machine put right in many worlds at once: money, own hours, waiting, what is left alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.plan.inverse import Table

Floats32 = NDArray[np.float32]
Chances = NDArray[np.uint16]
Bools = NDArray[np.bool_]
Indices = NDArray[np.intp]

NOWHERE: Indices = np.empty(0, np.intp)


@dataclass(frozen=True, slots=True, eq=False)
class WayNumbers:
    """One way as numbers: what it costs, whether it cures, what it opens and heals beside.

    Attributes
    ----------
    money, hours : ndarray, shape (256,)
        Inverse tables, coarse.
    cures, paid_if_it_fails : float
    lead_days : float
        Waiting for parts or people.
    opens : int
        Bit mask of places.
    also : tuple of (fault row, chance)
    log_drop : float
        Logarithm of what is left of the resale if the fault is lived with (0 otherwise).
    bucket : str
        Where its money goes: parts, outside.
    donated : bool
        Whether a like machine could give the part (drives and boards).
    """

    key: str
    money: Table
    hours: Table
    cures: float
    paid_if_it_fails: float
    lead_days: float
    opens: int
    also: tuple[tuple[int, float], ...] = ()
    log_drop: float = 0.0
    bucket: str = "parts"
    donated: bool = False


@dataclass(frozen=True, slots=True)
class Steps:
    """What will be done about one fault at one level: ways in order, and the surest after all."""

    row: int  # of the fault states
    ways: tuple[int, ...]  # into the ways
    surest: int
    units: int = 1


@dataclass(frozen=True, slots=True, eq=False)
class Effort:
    """What the faults of one machine took, world by world, without openings and base jobs.

    Attributes
    ----------
    parts, outside : ndarray, shape (worlds,)
        Money, before the price level of the world.
    donated : ndarray, shape (worlds,)
        That part of it which a like machine could give.
    hours : ndarray, shape (worlds,)
        Own hours of the work itself, before the pace of the world.
    lead_days : ndarray, shape (worlds,)
        The longest wait.
    opened : ndarray of uint32, shape (worlds,)
        Bit mask of the places opened by the ways.
    log_drop : ndarray, shape (worlds,)
        Logarithm of what is left of the resale for what is lived with.
    """

    parts: Floats32
    outside: Floats32
    donated: Floats32
    hours: Floats32
    lead_days: Floats32
    opened: NDArray[np.uint32]
    log_drop: Floats32


@dataclass(frozen=True, slots=True, eq=False)
class Bill:
    """One fault's bill in the worlds that have it.

    Attributes
    ----------
    where : ndarray of int
        Those worlds; all other arrays have an entry for each.
    healed : list of (int, ndarray of int)
        Rows of other faults, and the worlds in which they were healed beside.
    used : set of str
        Lines that hold anything.
    """

    where: Indices
    parts: Floats32
    outside: Floats32
    donated: Floats32
    hours: Floats32
    lead_days: Floats32
    opened: NDArray[np.uint32]
    log_drop: Floats32
    healed: list[tuple[int, Indices]]
    used: set[str]


class Restorer:
    """Works out bills once and shares them between levels whose order is the same."""

    def __init__(
        self, states: Bools, ways: tuple[WayNumbers, ...], draw: Callable[[str], Chances]
    ) -> None:
        """Keep the faults that are left after the base jobs, and the numbers of the ways.

        Parameters
        ----------
        states : ndarray of bool, shape (faults, worlds)
        ways : tuple of WayNumbers
        draw : callable, name -> ndarray of uint16, shape (worlds, 2)
            Uniform numbers of a named quantity: ``F15:local`` (whether it cures; in one byte each
            its money and its hours) and ``F15:local heals`` (what it heals beside, two by two).
        """
        self._states = states
        self._ways = ways
        self._draw = draw
        self._known: dict[Steps, Bill] = {}

    def effort(
        self, plan: tuple[Steps, ...], *, already: Mapping[int, Bools] | None = None
    ) -> Effort:
        """Carry out a plan in every world.

        Parameters
        ----------
        plan : tuple of Steps
            One for each fault that is treated; ways that heal other faults beside come first.
        already : mapping of fault row to ndarray of bool, shape (worlds,)
            Where a fault is healed before its turn (a changed control takes it along).

        Returns
        -------
        Effort
        """
        worlds = self._states.shape[1]
        total = Effort(*_purses(worlds), np.zeros(worlds, np.uint32), np.zeros(worlds, np.float32))
        for _, bill in self.bills(plan, already=already):
            _add(total, bill)
        return total

    def bills(
        self, plan: tuple[Steps, ...], *, already: Mapping[int, Bools] | None = None
    ) -> Iterator[tuple[Steps, Bill]]:
        """The same, fault by fault.

        Parameters
        ----------
        plan : tuple of Steps
        already : mapping of fault row to ndarray of bool, shape (worlds,)

        Yields
        ------
        tuple of (Steps, Bill)
            In the order of the plan; what one heals beside is no longer there for the next.
        """
        worlds = self._states.shape[1]
        healed = {row: where.copy() for row, where in (already or {}).items()}
        for steps in plan:
            bill = self._bill(steps, healed.get(steps.row))
            for row, where in bill.healed:
                healed.setdefault(row, np.zeros(worlds, np.bool_))[where] = True
            yield steps, bill

    def _bill(self, steps: Steps, healed: Bools | None) -> Bill:
        if healed is not None and healed.any():
            return self._work(steps, np.flatnonzero(self._states[steps.row] & ~healed))
        if steps not in self._known:
            self._known[steps] = self._work(steps, np.flatnonzero(self._states[steps.row]))
        return self._known[steps]

    def _work(self, steps: Steps, where: Indices) -> Bill:
        count = len(where)
        opened, log_drop = np.zeros(count, np.uint32), np.zeros(count, np.float32)
        bill = Bill(where, *_purses(count), opened, log_drop, [], set())
        open_still: Indices | None = None  # None: all of them
        for way in steps.ways:
            open_still = self._try(way, bill, open_still, steps.units)
            if not len(open_still):
                break
        else:
            self._try(steps.surest, bill, open_still, steps.units, sure=True)
        return bill

    def _try(
        self, index: int, bill: Bill, slots: Indices | None, units: int, *, sure: bool = False
    ) -> Indices:
        """Try one way in the given slots of a bill; the slots still open come back."""
        way = self._ways[index]
        at: Indices | slice = slice(None) if slots is None else slots
        worlds = bill.where[at]
        chances = self._draw(way.key).take(worlds, axis=0)
        cured, failed = None, NOWHERE  # None: everywhere
        if not sure and way.cures < 1.0:
            cured = chances[:, 0] < np.uint16(way.cures * 65536)
            failed = (~cured).nonzero()[0]
        self._enter(bill, at, way, chances, failed, units)
        if way.log_drop:
            drop = np.float32(way.log_drop)
            bill.log_drop[at] += drop if cured is None else np.where(cured, drop, np.float32(0))
            bill.used.add("log_drop")
        for place, (row, chance) in enumerate(way.also):
            beside = self._draw(f"{way.key} heals {place // 2}").take(worlds, axis=0)
            lucky = beside[:, place % 2] < np.uint32(chance * 65536)
            bill.healed.append((row, worlds[lucky if cured is None else lucky & cured]))
        return failed if slots is None else slots[failed]

    def _enter(
        self,
        bill: Bill,
        at: Indices | slice,
        way: WayNumbers,
        chances: Chances,
        failed: Indices,
        units: int,
    ) -> None:
        """Write one attempt onto the bill, and remember which lines it has."""
        octets = chances.view(np.uint8)  # the second number's low and high byte come third, fourth
        if way.money[-1] > 0:
            money = way.money.take(octets[:, 3])
            if way.paid_if_it_fails != 1.0:
                money[failed] *= np.float32(way.paid_if_it_fails)
            if units != 1:
                money *= np.float32(units)
            (bill.outside if way.bucket == "outside" else bill.parts)[at] += money
            bill.used.add(way.bucket)
            if way.donated:
                bill.donated[at] += money
                bill.used.add("donated")
        if way.hours[-1] > 0:
            hours = way.hours.take(octets[:, 2])
            bill.hours[at] += hours if units == 1 else hours * np.float32(units)
            bill.used.add("hours")
        if way.lead_days:
            bill.lead_days[at] = np.maximum(bill.lead_days[at], np.float32(way.lead_days))
            bill.used.add("lead_days")
        if way.opens:
            bill.opened[at] |= np.uint32(way.opens)
            bill.used.add("opened")


def _add(total: Effort, bill: Bill) -> None:
    """Add a bill to the sum; lines it never had cost nothing to add."""
    where = bill.where
    for line in ("parts", "outside", "donated", "hours", "log_drop"):
        if line in bill.used:
            getattr(total, line)[where] += getattr(bill, line)
    if "lead_days" in bill.used:
        total.lead_days[where] = np.maximum(total.lead_days[where], bill.lead_days)
    if "opened" in bill.used:
        total.opened[where] |= bill.opened


def _purses(count: int) -> tuple[Floats32, Floats32, Floats32, Floats32, Floats32]:
    """Parts, outside, donated, hours and waiting, all nothing yet."""
    table = np.zeros((5, count), np.float32)
    return table[0], table[1], table[2], table[3], table[4]
