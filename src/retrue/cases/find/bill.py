"""What a rehearsal costs: a bill line by line, and what who knew everything would have paid."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from retrue.base.chance import stream
from retrue.cases.drawing import range_table
from retrue.cases.find.costs import Purse
from retrue.kinds.library import Fix, Job, Three


@dataclass(frozen=True, slots=True)
class BillLine:
    """One act and what it took, in the shop's currency; ``cost`` holds all of it."""

    text: str
    money: float
    hours: float
    days: float
    cost: float


@dataclass(frozen=True, slots=True)
class Bill:
    """All lines of a rehearsal."""

    lines: tuple[BillLine, ...] = ()

    @property
    def cost(self) -> float:
        """Money, own hours at their rate, hire and days."""
        return sum(line.cost for line in self.lines)

    @property
    def money(self) -> float:
        """What left the purse."""
        return sum(line.money for line in self.lines)

    @property
    def hours(self) -> float:
        """Own hours."""
        return sum(line.hours for line in self.lines)

    def with_line(self, line: BillLine) -> Bill:
        """The bill with one more line."""
        return Bill((*self.lines, line))


class Luck:
    """What chance holds for each act of one practice machine, whoever does it and when.

    Examples
    --------
    >>> one, again = Luck(7), Luck(7)
    >>> one.share("cures F15:local") == again.share("cures F15:local")
    True
    """

    def __init__(self, seed: int) -> None:
        """Take the seed of the practice machine."""
        self._seed = seed

    def share(self, name: str) -> float:
        """A uniform number of that name, 0 to 1."""
        return float(stream(self._seed, "practice", name).random())

    def amount(self, name: str, three: Three) -> float:
        """A figure from a judged range."""
        if three.low == three.high:
            return three.likely
        table = range_table(three.low, three.likely, three.high)
        return float(table[min(len(table) - 1, int(self.share(name) * len(table)))])

    def way(self, fix: Fix, purse: Purse, *, cured: bool) -> BillLine:
        """What one way takes this time."""
        name = f"{fix.fault}:{fix.way}"
        money = self.amount(f"money {name}", fix.money)
        money *= 1.0 if cured else fix.paid_if_it_fails
        return _line(name, purse, money, self.amount(f"hours {name}", fix.hours), fix.lead_days)

    def job(self, job: Job, purse: Purse) -> BillLine:
        """What a base job takes this time."""
        money = self.amount(f"money {job.id}", job.money)
        return _line(job.id, purse, money, self.amount(f"hours {job.id}", job.hours), 0.0)


def _line(text: str, purse: Purse, money: float, hours: float, days: float) -> BillLine:
    spent = purse.spent(money, hours, days=days)
    return BillLine(text, money, hours, days, spent.cost)


def knowing_everything(
    faults: Iterable[str], fixes: dict[str, tuple[Fix, ...]], luck: Luck, purse: Purse
) -> float:
    """What who knew every fault and the luck of every way would have paid for the repairs.

    Parameters
    ----------
    faults : iterable of str
        That had to go.
    fixes : dict of fault to ways
        Allowed ones.
    luck : Luck
        Of the same practice machine.
    purse : Purse

    Returns
    -------
    float
        For each fault the cheapest way that cures it this time; where none does, help's parts.

    References
    ----------
    By definition; nobody can pay less for these faults one by one.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> kind = load()["vertical_machining_centre"]
    >>> purse = Purse(kind, 15.0, {}, frozenset())
    >>> knowing_everything([], dict(kind.fixes), Luck(1), purse)
    0.0
    """
    total = 0.0
    for fault in faults:
        ways = fixes.get(fault, ())
        lucky = [w for w in ways if luck.share(f"cures {w.fault}:{w.way}") < w.cures]
        costs = [luck.way(w, purse, cured=True).cost for w in lucky]
        total += min(costs) if costs else 0.0
    return total
