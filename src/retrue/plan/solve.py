"""The best order of all tasks by the solver; by the plain rule where there is none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from retrue.plan.bounds import Window, good_part_ends, window
from retrue.plan.calendar import moment
from retrue.plan.jobs import After, LeftOut, Order, Placed, Schedule
from retrue.plan.network import Network, network
from retrue.plan.priority import Bench, Spot, by_list, by_rule, cost, improve

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

WORKERS = 8  # the solver's searches are made to go together by eights
SWAPS = 1500
SETTLING = 1500  # adjacent swaps tried towards the order that was
WORK_A_SECOND = 2.0  # of the solver's own measure of work, which is the same on every machine
BACKSTOP = 6.0  # times the seconds asked for: then it is stopped by the clock, and says so
Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class _Found:
    """What the solver found."""

    order: tuple[int, ...]
    proved: bool
    gap: float
    by_clock: bool


def solve(
    schedule: Schedule,
    *,
    seed: int = 7,
    seconds: float = 5.0,
    deterministic_limit: float | None = None,
    progress: Progress | None = None,
    fixed: Sequence[str] = (),
    before: Order | None = None,
) -> Order:
    """Plan all tasks so that the machines make their first good parts soonest, by their worth.

    Parameters
    ----------
    schedule : Schedule
    seed : int
        Of the solver's search.
    seconds : float
        How long it may search: turned into the solver's own measure of work, so that the same
        input gives the same plan on every machine.
    deterministic_limit : float or None
        That measure itself.
    progress : callable or None
        Told a share from 0 to 1 and what is being done.
    fixed : sequence of str
        Keys of tasks that keep the order among each other which they had in ``before``.
    before : Order or None
        The plan until now; of plans equally good the one nearest to it.

    Returns
    -------
    Order
        What cannot be planned is left out, with the reason; all else is planned.

    References
    ----------
    Weighted completion of machines by constraint programming with intervals: Laborie, Rogerie,
    Shaw and Vilim 2018; of one person the order of machines as in Queyranne 1993.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.jobs import Hands, Task
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> tasks = (Task(key="short", machine="V", hours=1.0),
    ...          Task(key="send", machine="V", hours=1.0),
    ...          Task(key="refit", machine="V", hours=1.0, after=(After(task="send", days=1.0),)))
    >>> plan = solve(Schedule(start=datetime(2026, 11, 26), hands=(me,), tasks=tasks))
    >>> [each.key for each in plan.placed], plan.proved
    (['send', 'short', 'refit'], True)
    """
    tell = progress or (lambda share, what: None)
    tell(0.0, "rule")
    net = network(_kept(schedule, fixed, before))
    bench = Bench(net)
    spots = by_rule(net, swaps=SWAPS)
    spots = _earlier(net, bench, spots, before)
    tell(0.2, "solver")
    found = _solver(net, spots, seed, deterministic_limit or seconds * WORK_A_SECOND, seconds, tell)
    if found:
        spots = _joined(net, bench, spots, found.order)
    tell(0.9, "order")
    spots = _settled(net, bench, spots, before)
    tell(1.0, "done")
    return _order(schedule, net, spots, found)


def _kept(schedule: Schedule, fixed: Sequence[str], before: Order | None) -> Schedule:
    """The same schedule, with each fixed task after the one before it by the same hands."""
    if before is None or not fixed:
        return schedule
    keys = {task.key for task in schedule.tasks if not task.done}
    keys -= {each.key for each in network(schedule).left_out}
    last: dict[str, str] = {}
    more: dict[str, list[After]] = {}
    for placed in before.placed:
        if placed.key in keys and placed.key in fixed:
            for person in placed.people:
                if person in last:
                    more.setdefault(placed.key, []).append(After(task=last[person]))
                last[person] = placed.key
    tasks = tuple(replace(t, after=(*t.after, *more.get(t.key, ()))) for t in schedule.tasks)
    kept = replace(schedule, tasks=tasks)
    return kept if not _circles(kept) else schedule


def _circles(schedule: Schedule) -> bool:
    return any(each.why == "circular" for each in network(schedule).left_out)


def _ranks(net: Network, spots: Sequence[Spot], before: Order | None) -> dict[int, float]:
    """Where every job stood in the plan before; a new one where this plan has it."""
    was = {placed.key: at for at, placed in enumerate(before.placed)} if before else {}
    ranks: dict[int, float] = {}
    last = -1.0
    for at, spot in enumerate(spots):
        last = float(was.get(net.jobs[spot.job].key, last + 1e-4 * (at + 1) / len(spots)))
        ranks[spot.job] = last
    return ranks


def _earlier(
    net: Network, bench: Bench, spots: tuple[Spot, ...], before: Order | None
) -> tuple[Spot, ...]:
    """The plan until now, if by itself it is no worse."""
    if before is None:
        return spots
    ranks = _ranks(net, spots, before)
    old = by_list(bench, sorted(ranks, key=lambda job: ranks[job]))
    return old if cost(net, old)[:2] <= cost(net, spots)[:2] else spots


def _settled(
    net: Network, bench: Bench, spots: tuple[Spot, ...], before: Order | None
) -> tuple[Spot, ...]:
    """Of plans equally good the one nearest to the plan until now; without one, the earliest."""
    if before is None:
        return improve(net, bench, spots, swaps=SETTLING // 3)
    ranks = _ranks(net, spots, before)
    old = by_list(bench, sorted(ranks, key=lambda job: ranks[job]))
    value = cost(net, spots)[:2]
    if cost(net, old)[:2] <= value:
        return old
    order = [spot.job for spot in spots]
    tries, moved = SETTLING, True
    while moved and tries > 0:
        moved = False
        for at in range(len(order) - 1):
            if ranks[order[at]] > ranks[order[at + 1]] and tries > 0:
                tries -= 1
                swapped = [*order[:at], order[at + 1], order[at], *order[at + 2 :]]
                tried = by_list(bench, swapped)
                if cost(net, tried)[:2] <= value:
                    order, spots, moved = swapped, tried, True
    return spots


def _joined(
    net: Network, bench: Bench, spots: tuple[Spot, ...], order: Sequence[int]
) -> tuple[Spot, ...]:
    """The solver's order with all that it was not asked about behind; the better of both."""
    inside = set(order)
    rest = [spot.job for spot in spots if spot.job not in inside]
    new = by_list(bench, [*order, *rest])
    return new if cost(net, new) < cost(net, spots) else spots


def _order(schedule: Schedule, net: Network, spots: Sequence[Spot], found: _Found | None) -> Order:
    names = [one.name for one in schedule.hands]
    rows = sorted(spots, key=lambda spot: (spot.begins, spot.ends, spot.job))
    placed = tuple(
        Placed(
            key=net.jobs[spot.job].key,
            people=tuple(names[person] for person in spot.people),
            begins=moment(schedule.start, spot.begins),
            ends=moment(schedule.start, spot.ends),
        )
        for spot in rows
    )
    return Order(
        placed=placed,
        left_out=(*net.left_out, *_too_late(net, spots)),
        proved=found.proved if found else not net.jobs,
        by_rule=found is None and bool(net.jobs),
        gap=found.gap if found else 0.0,
    )


def _too_late(net: Network, spots: Sequence[Spot]) -> tuple[LeftOut, ...]:
    """What found no place before the calendar ends, and what waits for it."""
    inside = {spot.job for spot in spots}
    lost: list[LeftOut] = []
    for at, job in enumerate(net.jobs):
        if at in inside:
            continue
        waits = [before for before, _, _ in job.before if before not in inside]
        if waits:
            about = {"task": net.jobs[waits[0]].key}
            lost.append(LeftOut(key=job.key, why="waits_for_left_out", about=about))
        else:
            lost.append(LeftOut(key=job.key, why="no_end", about={}))
    return tuple(lost)


def _solver(
    net: Network, spots: tuple[Spot, ...], seed: int, work: float, seconds: float, tell: Progress
) -> _Found | None:
    """Ask the solver; None if it is not there, has nothing to do or finds nothing."""
    if len(net.axes) != 1 or len(net.schedule.hands) != 1 or len(spots) < len(net.jobs):
        return None
    if any(len(way.people) != 1 for job in net.jobs for way in job.ways):
        return None
    try:
        from ortools.sat.python import cp_model
    except ImportError:
        return None
    found = window(net, spots)
    if not found.machines:
        return _Found(tuple(spot.job for spot in spots), True, 0.0, False)
    model = _OnePerson(cp_model.CpModel(), net, found, spots)
    model.build()
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = WORKERS
    solver.parameters.random_seed = seed
    solver.parameters.interleave_search = True
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = BACKSTOP * seconds
    status = solver.solve(model.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    value, bound = solver.objective_value, solver.best_objective_bound
    return _Found(
        model.order(solver),
        status == cp_model.OPTIMAL,
        max(0.0, (value - bound) / value) if value > 0 and status != cp_model.OPTIMAL else 0.0,
        solver.wall_time >= BACKSTOP * seconds,
    )


class _OnePerson:
    """The model of one person: everything on his working time, one thing at a time."""

    def __init__(
        self, model: cp_model.CpModel, net: Network, found: Window, spots: Sequence[Spot]
    ) -> None:
        self.model, self.net, self.found = model, net, found
        self.axis = net.axes[0]
        self.spots = {spot.job: spot for spot in spots}
        self.start: dict[int, Any] = {}
        self.interval: dict[int, Any] = {}

    def build(self) -> None:
        for job in self.found.needed:
            self._place(job)
        self.model.add_no_overlap([self.interval[job] for job in self.found.needed])
        for job in self.found.needed:
            for before, lag, _ in self.net.jobs[job].before:
                self._follow(before, job, lag)
        self._share()
        self._finish()

    def order(self, solver: cp_model.CpSolver) -> tuple[int, ...]:
        """Jobs by their beginning."""
        return tuple(sorted(self.found.needed, key=lambda job: (solver.value(self.start[job]),
                                                                self.net.jobs[job].quarters, job)))  # fmt: skip

    def _hinted(self, low: int, high: int, hint: int) -> Any:
        new = self.model.new_int_var(low, high, "")
        self.model.add_hint(new, min(max(hint, low), high))
        return new

    def _begun(self, job: int) -> int:
        return int(self.axis.up[self.spots[job].begins])

    def _ended(self, job: int) -> int:
        return int(self.axis.up[self.spots[job].begins]) + self.net.jobs[job].quarters

    def _place(self, number: int) -> None:
        from ortools.sat.python import cp_model

        job, low = self.net.jobs[number], self.found.first[number]
        high = self.found.last
        if job.good_part and job.machine:
            high = min(high, int(self.axis.up[self.found.most[job.machine]]))
        high -= job.quarters
        starts = job.ways[0].starts if job.ways and job.quarters else None
        if starts is None:
            start = self.model.new_int_var(low, high, "")
        else:
            at = np.arange(low, high + 1)
            allowed = cp_model.Domain.from_values(at[starts[low : high + 1] == at].tolist())
            start = self.model.new_int_var_from_domain(allowed, "")
        self.model.add_hint(start, self._begun(number))
        self.start[number] = start
        self.interval[number] = self.model.new_fixed_size_interval_var(start, job.quarters, "")

    def _follow(self, before: int, job: int, lag: int) -> None:
        """A job begins so many calendar quarters after the end of another: steps by evenings."""
        end = self.start[before] + self.net.jobs[before].quarters
        if not lag:
            self.model.add(self.start[job] >= end)
            return
        ends = np.arange(self.found.first[before] + self.net.jobs[before].quarters,
                         self.found.last + 1)  # fmt: skip
        last = len(self.axis.up) - 1
        begins = self.axis.up[np.minimum(self.axis.ends[ends] + lag, last)]
        least = int((begins - ends).min())
        self.model.add(self.start[job] >= end + least)
        for first, until, level in _pieces(ends, begins):
            if level == least:
                continue
            reached = self._past(end, first, before)
            self.model.add(self.start[job] >= int(begins[first - ends[0]])).only_enforce_if(reached)
            if level is not None and until > first:
                passed = self._past(end, until + 1, before)
                self.model.add(self.start[job] >= end + level).only_enforce_if(~passed, reached)

    def _past(self, end: Any, at: int, job: int) -> Any:
        """True where a job ends at a working quarter or after it; false only where it does not."""
        past = self.model.new_bool_var("")
        self.model.add(end <= at - 1).only_enforce_if(~past)
        self.model.add_hint(past, self._ended(job) >= at)
        return past

    def _share(self) -> None:
        """Things held from one job to another; one person alone uses but one thing at a time."""
        kept: dict[int, list[tuple[Any, int]]] = {}
        for number in self.found.needed:
            job = self.net.jobs[number]
            for thing, count in job.holds:
                end = self.start[job.until] + self.net.jobs[job.until].quarters
                size = self._hinted(
                    0, self.found.last, self._ended(job.until) - self._begun(number)
                )
                held = self.model.new_interval_var(self.start[number], size, end, "")
                kept.setdefault(thing, []).append((held, count))
        for thing, count, until in self.net.held:
            end = self.start[until] + self.net.jobs[until].quarters
            size = self._hinted(0, self.found.last, self._ended(until))
            kept.setdefault(thing, []).append(
                (self.model.new_interval_var(0, size, end, ""), count)
            )
        for number in self.found.needed:
            for thing, count in self.net.jobs[number].takes:
                if thing in kept and self.net.jobs[number].quarters:
                    kept[thing].append((self.interval[number], count))
        for thing, rows in kept.items():
            self.model.add_cumulative(
                [row for row, _ in rows], [count for _, count in rows], self.net.counts[thing]
            )

    def _finish(self) -> None:
        """Weighted calendar ends; between two machines the later one has all the work behind it."""
        ends: dict[str, Any] = {}
        total: Any = 0
        upper = good_part_ends(self.net, tuple(self.spots.values()))
        for machine in self.found.machines:
            low = int(self.axis.up[self.found.least[machine] - 1]) + 1
            high = int(self.axis.up[self.found.most[machine]])
            hint = int(self.axis.up[upper[machine] - 1]) + 1
            end = self._hinted(low, high, hint)
            for number in self.found.needed:
                job = self.net.jobs[number]
                if job.machine == machine and job.good_part:
                    self.model.add(end >= self.start[number] + job.quarters)
            table = [int(at) for at in self.axis.ends[low : high + 1]]
            on = self._hinted(table[0], table[-1], upper[machine])
            place = self._hinted(0, high - low, hint - low)
            self.model.add(place == end - low)
            self.model.add_element(place, table, on)
            ends[machine] = end
            total += self.found.weight[machine] * on
        self._behind(ends, upper)
        self.model.minimize(total)

    def _behind(self, ends: dict[str, Any], upper: dict[str, int]) -> None:
        work = {
            machine: sum(self.net.jobs[at].quarters for at in self.found.needed
                         if self.net.jobs[at].machine == machine and self.net.jobs[at].good_part)
            for machine in ends
        }  # fmt: skip
        least: dict[str, Any] = dict(work)
        machines = list(ends)
        for place, one in enumerate(machines):
            for other in machines[:place]:
                sooner = self.model.new_bool_var("")
                self.model.add_hint(sooner, upper[one] <= upper[other])
                self.model.add(ends[one] <= ends[other]).only_enforce_if(sooner)
                self.model.add(ends[other] <= ends[one]).only_enforce_if(~sooner)
                least[other] = least[other] + work[one] * sooner
                least[one] = least[one] + work[other] * (1 - sooner)
        for machine, end in ends.items():
            self.model.add(end >= least[machine])


def _pieces(ends: np.ndarray, begins: np.ndarray) -> list[tuple[int, int, int | None]]:
    """Cut the steps of a wait into pieces: from, to, and how far behind it begins throughout.

    None stands for a piece throughout which it begins at the same moment.
    """
    level = begins - ends
    pieces: list[tuple[int, int, int | None]] = []
    at, count = 0, len(ends)
    steady = np.append(np.flatnonzero(np.diff(level)), count - 1)
    still = np.append(np.flatnonzero(np.diff(begins)), count - 1)
    while at < count:
        a = int(steady[np.searchsorted(steady, at)])
        b = int(still[np.searchsorted(still, at)])
        last = max(a, b)
        pieces.append((int(ends[at]), int(ends[last]), int(level[at]) if a >= b else None))
        at = last + 1
    return pieces
