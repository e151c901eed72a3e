"""Ranges of money, hours and days moved by what they came to: all of them, a family, one line.

What the owner gave himself stays; learned numbers stand before the shipped ones.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from retrue.belief.ratios import group_shifts, spread_after
from retrue.kinds.judged import Three
from retrue.kinds.learned import LEARNED
from retrue.kinds.library import Cost, Fix, Job, Kind
from retrue.kinds.load import content_hash

What = Literal["money", "hours", "days"]
ENDS = 3.2897  # standard deviations between the 5th and the 95th percentile of a normal
BEYOND = 4.0  # no outcome counts as further outside its range than this factor (judgement)
FURTHEST = math.log(4.0)  # that a range is moved in all (judgement)


@dataclass(frozen=True, slots=True)
class Spent:
    """One line that was paid, worked or waited for.

    Attributes
    ----------
    line : str
        E11, F15:local, J05.
    what : str
        money, hours, days.
    said : Three
        What the tables said of it that day, nothing learned.
    was : float
        What it came to, in the same unit.
    weight : float
        What it counts: one of one's own 1.
    """

    line: str
    what: What
    said: Three
    was: float
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class MovedRange:
    """A range before and after what the outcomes said."""

    line: str
    what: What
    outcomes: int
    before: Three
    after: Three


def middle(three: Three) -> float:
    """The even chance of a judged range.

    Parameters
    ----------
    three : Three

    Returns
    -------
    float
        In its unit.

    References
    ----------
    Kerman 2011, A closed-form approximation for the median of the beta distribution (arXiv
    1111.0433), of the beta with weight 4 that a judged range stands for.

    Examples
    --------
    >>> middle(Three(2.0, 5.0, 14.0))
    5.75
    """
    return (three.low + 6.0 * three.likely + three.high) / 8.0


def log_ratio(spent: Spent) -> float:
    """How far an outcome lies from what was said, as a logarithm.

    Parameters
    ----------
    spent : Spent

    Returns
    -------
    float
        An outcome counts as no further outside its range than a factor of four; nothing at all
        counts as that, too.

    Examples
    --------
    >>> round(log_ratio(Spent("E11", "money", Three(300.0, 700.0, 1800.0), 1800.0)), 3)
    0.827
    """
    centre = middle(spent.said)
    low = spent.said.low / BEYOND if spent.said.low > 0 else centre / BEYOND**2
    return math.log(min(max(spent.was, low), spent.said.high * BEYOND) / centre)


def moved_ranges(kinds: Mapping[str, Kind], spent: Sequence[Spent]) -> tuple[MovedRange, ...]:
    """The ranges of lines that were paid or worked, before and after.

    Parameters
    ----------
    kinds : mapping of str to Kind
        The library before anything was learned.
    spent : sequence of Spent

    Returns
    -------
    tuple of MovedRange
        By line; each line of the outcomes once, where a kind has it.

    Examples
    --------
    >>> moved_ranges({}, [])
    ()
    """
    found = _Found.of(kinds, spent)
    rows = {}
    for kind in kinds.values():
        for line, what in found.told():
            before = range_of(kind, line, what)
            if before is not None and (line, what) not in rows:
                after = found.after(kind, line, what, before)
                count = len(found.misses.get((line, what), ()))
                rows[line, what] = MovedRange(line, what, count, before, after)
    return tuple(rows[key] for key in sorted(rows))


def with_ranges(kinds: Mapping[str, Kind], spent: Sequence[Spent]) -> Mapping[str, Kind]:
    """The library with learned ranges of money, hours and days laid over the shipped ones.

    Parameters
    ----------
    kinds : mapping of str to Kind
        The library, the owner's own numbers laid over it; these stay.
    spent : sequence of Spent
        None: the same kinds.

    Returns
    -------
    mapping of str to Kind
        With hashes of their own.

    Examples
    --------
    >>> with_ranges({}, [])
    {}
    """
    if not spent:
        return kinds
    found = _Found.of(kinds, spent)
    return {name: _taught(kind, found) for name, kind in kinds.items()}


@dataclass(frozen=True, slots=True)
class _Found:
    """Shifts by group, and how far each line's own outcomes lay from its shifted middle."""

    shifts: Mapping[str, float]
    misses: Mapping[tuple[str, What], tuple[tuple[float, float], ...]]  # miss, weight

    @classmethod
    def of(cls, kinds: Mapping[str, Kind], spent: Sequence[Spent]) -> _Found:
        """Solve for the shares of all groups at once."""
        told = [(one, name) for one in spent if (name := _family(kinds, one.line)) is not None]
        chains = [_chain(one.what, name, one.line) for one, name in told]
        ratios = [log_ratio(one) for one, _ in told]
        shifts = group_shifts(ratios, chains, [one.weight for one, _ in told])
        misses: dict[tuple[str, What], tuple[tuple[float, float], ...]] = {}
        for (one, _), chain, ratio in zip(told, chains, ratios, strict=True):
            off = ratio - _sum(shifts, chain)
            misses[one.line, one.what] = (*misses.get((one.line, one.what), ()), (off, one.weight))
        return cls(shifts, misses)

    def told(self) -> Iterator[tuple[str, What]]:
        """Lines that have an outcome."""
        yield from self.misses

    def after(self, kind: Kind, line: str, what: What, three: Three) -> Three:
        """A range moved and, where the line has outcomes of its own, widened or narrowed."""
        family = _family({kind.id: kind}, line)
        if family is None or three.low == three.high == 0.0:
            return three
        shift = _sum(self.shifts, _chain(what, family, line))
        times = math.exp(min(max(shift, -FURTHEST), FURTHEST))
        mine = self.misses.get((line, what), ())
        if not mine or three.low <= 0.0:
            return Three(three.low * times, three.likely * times, three.high * times)
        judged = math.log(three.high / three.low) / ENDS
        if judged == 0.0:
            return Three(three.low * times, three.likely * times, three.high * times)
        wider = spread_after(judged, [off for off, _ in mine], [of for _, of in mine]) / judged
        likely = three.likely * times
        low = likely * (three.low / three.likely) ** wider
        return Three(low, likely, likely * (three.high / three.likely) ** wider)


def _sum(shifts: Mapping[str, float], chain: tuple[str, ...]) -> float:
    return sum(shifts.get(name, 0.0) for name in chain)


def _chain(what: What, family: str, line: str) -> tuple[str, ...]:
    return (what, f"{what} {family}", f"{what} {family} {line}")


def _family(kinds: Mapping[str, Kind], line: str) -> str | None:
    """What a line is a sort of: the group of a cost, the way of a repair, the sort of a job."""
    for kind in kinds.values():
        if line in kind.costs:
            return _of_spending(kind.costs[line])
        if line in kind.jobs:
            return kind.jobs[line].sort
        if _fix(kind, line) is not None:
            return line.partition(":")[2]
    return None


def _of_spending(cost: Cost) -> str | None:
    """Its group; asking prices, shares and amounts of oil are not what a shop spends better at."""
    spent = cost.unit.startswith("EUR") and cost.group != "price"
    return cost.group if spent else None


def _fix(kind: Kind, line: str) -> Fix | None:
    fault, _, way = line.partition(":")
    return next((one for one in kind.fixes.get(fault, ()) if one.way == way), None)


def range_of(kind: Kind, line: str, what: What) -> Three | None:
    """What a kind says of one line.

    Parameters
    ----------
    kind : Kind
    line : str
        E11, F15:local, J05.
    what : str
        money, hours, days; days are waited for.

    Returns
    -------
    Three or None
        None: it has no such line.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> range_of(load(only=("turning_centre",))["turning_centre"], "E11", "money")
    Three(low=300.0, likely=700.0, high=1800.0)
    """
    one: Cost | Job | Fix | None = kind.costs.get(line) or kind.jobs.get(line) or _fix(kind, line)
    if one is None:
        return None
    if what == "hours":
        return one.hours
    if what == "days":
        days = one.lead_days if isinstance(one, Fix) else 0.0
        return Three(days, days, days)
    return one.amount if isinstance(one, Cost) else one.money


def _moved_fix(one: Fix, moved: Callable[[str, str, What, Three], Three]) -> Fix:
    line = f"{one.fault}:{one.way}"
    days = Three(one.lead_days, one.lead_days, one.lead_days)
    return replace(
        one,
        money=moved(f"fix.{line}.money", line, "money", one.money),
        hours=moved(f"fix.{line}.hours", line, "hours", one.hours),
        lead_days=moved(f"fix.{line}.lead_days", line, "days", days).likely,
    )


def _taught(kind: Kind, found: _Found) -> Kind:
    marks = dict(kind.marks)

    def moved(name: str, line: str, what: What, three: Three) -> Three:
        if any(key == name or key.startswith(f"{name}.") for key in kind.marks):
            return three
        after = found.after(kind, line, what, three)
        if after != three:
            marks[name] = LEARNED
        return after

    costs = {
        id: replace(
            one,
            amount=moved(f"cost.{id}.amount", id, "money", one.amount),
            hours=moved(f"cost.{id}.hours", id, "hours", one.hours),
        )
        for id, one in kind.costs.items()
    }
    jobs = {
        id: replace(
            one,
            money=moved(f"job.{id}.money", id, "money", one.money),
            hours=moved(f"job.{id}.hours", id, "hours", one.hours),
        )
        for id, one in kind.jobs.items()
    }
    fixes = {
        fault: tuple(_moved_fix(one, moved) for one in ways) for fault, ways in kind.fixes.items()
    }
    changed = replace(kind, costs=costs, jobs=jobs, fixes=fixes, marks=marks)
    return replace(changed, hash=content_hash(changed))
