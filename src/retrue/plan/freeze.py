"""A plan reduced to its order: who follows whom, and which piece goes from task to task."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.plan.calendar import CAP_DAYS, NEVER, QUARTERS_A_DAY, quarter
from retrue.plan.jobs import Order, Schedule
from retrue.plan.network import Network, network

LEAST_DAYS = 60
LONGEST_DAYS = 4 * CAP_DAYS  # where a run of the plan is cut off


@dataclass(frozen=True, slots=True, eq=False)
class Link:
    """One job of a frozen plan: who does it, and which single things pass through it.

    Attributes
    ----------
    number : int
        Of the job.
    crew : tuple of int
        Numbers of the hands that do it.
    takes, frees : tuple of int
        Tokens it waits for, and those it passes on at its end: people, and single pieces of
        what is shared.
    lets_go : tuple of (token, job)
        What was held until it ends, and by which job; -1: from the start.
    """

    number: int
    crew: tuple[int, ...]
    takes: tuple[int, ...]
    frees: tuple[int, ...]
    lets_go: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Frozen:
    """A plan whose order stands: only the times may still move.

    Attributes
    ----------
    net : Network
    links : tuple of Link
        In the order in which they are passed through.
    tokens : int
        How many people and single pieces there are.
    days : int
        How far the calendar is laid out at first.
    """

    net: Network
    links: tuple[Link, ...]
    tokens: int
    days: int


def freeze(schedule: Schedule, order: Order) -> Frozen:
    """Keep of a plan only its order: who follows whom, and which piece goes where.

    Parameters
    ----------
    schedule : Schedule
    order : Order
        A plan of this schedule.

    Returns
    -------
    Frozen

    References
    ----------
    Flow of what is shared from task to task: Artigues, Michelon and Reusser 2003; that pieces
    are told apart is our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Placed, Task
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0),))
    >>> shop = Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                 tasks=(Task(key="a", machine="V", hours=1.0),))
    >>> at = datetime(2026, 11, 26, 20)
    >>> plan = Order(placed=(Placed(key="a", people=("me",), begins=at, ends=at.replace(hour=21)),))
    >>> frozen = freeze(shop, plan)
    >>> frozen.links[0].crew, frozen.tokens
    ((0,), 1)
    """
    net = network(schedule)
    number = {job.key: at for at, job in enumerate(net.jobs)}
    placed = [
        (quarter(schedule.start, each.begins), quarter(schedule.start, each.ends),
         number[each.key], each.people)
        for each in order.placed if each.key in number
    ]  # fmt: skip
    return _Passing(net, sorted(placed)).frozen()


class _Passing:
    """Who passes what to whom, read off a plan."""

    def __init__(self, net: Network, placed: list[tuple[int, int, int, tuple[str, ...]]]) -> None:
        self.net = net
        self.placed = placed
        self.ends = {number: end for _, end, number, _ in placed}
        self.hands = {one.name: at for at, one in enumerate(net.schedule.hands)}
        first = len(self.hands)
        self.pieces: list[list[int]] = []
        for count in net.counts:
            self.pieces.append(list(range(first, first + count)))
            first += count
        self.tokens = first
        self.free = [net.start] * first
        self.held: dict[int, list[tuple[int, int]]] = {}
        for thing, count, until in net.held:
            self._keep(self._take(thing, count, net.start, self.ends.get(until, NEVER)), -1, until)

    def frozen(self) -> Frozen:
        links = tuple(self._link(*each) for each in self.placed)
        last = max((end for _, end, _, _ in self.placed), default=0)
        days = min(max(LEAST_DAYS, 3 * -(-last // QUARTERS_A_DAY)), LONGEST_DAYS)
        return Frozen(self.net, links, self.tokens, days)

    def _link(self, begin: int, end: int, number: int, people: tuple[str, ...]) -> Link:
        job = self.net.jobs[number]
        crew = tuple(sorted(self.hands[name] for name in people))
        for person in crew:
            self.free[person] = end
        frees = list(crew)
        if job.quarters:
            for thing, count in job.takes:
                frees += self._take(thing, count, begin, end)
        takes = list(frees)
        for thing, count in job.holds:
            took = self._take(thing, count, begin, self.ends.get(job.until, NEVER))
            takes += took
            self._keep(took, number, job.until)
        lets_go = tuple(self.held.pop(number, ()))
        takes += [token for token, _ in lets_go]
        return Link(number, crew, tuple(takes), tuple(frees), lets_go)

    def _take(self, thing: int, count: int, at: int, until: int) -> list[int]:
        free = [piece for piece in self.pieces[thing] if self.free[piece] <= at]
        took = sorted(free, key=lambda piece: (-self.free[piece], piece))[:count]
        for piece in took:
            self.free[piece] = until
        return took

    def _keep(self, took: list[int], holder: int, until: int) -> None:
        self.held.setdefault(until, []).extend((token, holder) for token in took)
