"""The best order of all tasks by the solver; by the plain rule where there is none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from retrue.plan.bounds import Window, soonest, weighted, window
from retrue.plan.by_walk import by_walk, many_hands
from retrue.plan.jobs import After, Order, Schedule
from retrue.plan.network import Network, network
from retrue.plan.one_axis import OneAxis
from retrue.plan.placed import order_of
from retrue.plan.priority import Bench, Spot, by_list, by_rule, cost, improve

WORKERS = 8  # the solver's searches are made to go together by eights
# Searches with their shares of the work. For one person first eight together, shortly, for a good
# plan; then in the narrower room that it leaves one search that raises the bound step by step.
ALONE = ((WORKERS, 0.06), (1, 0.79), (WORKERS, 0.15))
TOGETHER = ((WORKERS, 1.0),)
SWAPS = 1000
SETTLING = 1500  # adjacent swaps tried towards the order that was
WORK_A_SECOND = 1.2  # of the solver's own measure of work, which is the same on every machine
BACKSTOP = 6.0  # times the seconds asked for: then it is stopped by the clock, and says so
PATIENCE_S = 30.0  # before that in no case: a short search of a busy machine is searched out too
Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class _Found:
    """What the solver found."""

    window: Window
    order: tuple[int, ...]
    value: float  # of its own model
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
        What cannot be planned is left out, with the reason; all else is planned. Where people
        keep different hours nobody keeps to an order: the plan is a list of what is most pressing
        (`by_walk`), which no clock limits, and ``gap`` is against a bound that gives every machine
        all hands at once.

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
    kept = _kept(schedule, fixed, before)
    net = network(kept)
    if many_hands(net):
        return by_walk(kept, seed=seed, before=before, progress=tell)
    bench = Bench(net)
    spots = by_rule(net, swaps=SWAPS)
    spots = _earlier(net, bench, spots, before)
    tell(0.2, "solver")
    found = _solver(net, spots, seed, deterministic_limit or seconds * WORK_A_SECOND, seconds, tell)
    if found:
        spots = _joined(net, bench, spots, found.order)
        if weighted(found.window, net, spots) > found.value:  # what it proved, we cannot lay out
            found = replace(found, proved=False)
    tell(0.9, "order")
    spots = _settled(net, bench, spots, before)
    tell(1.0, "done")
    return _order(net, spots, found)


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


def _order(net: Network, spots: Sequence[Spot], found: _Found | None) -> Order:
    return order_of(
        net,
        spots,
        proved=found.proved if found else not net.jobs,
        by_rule=found is None and bool(net.jobs),
        gap=found.gap if found else _gap(net, spots),
        by_clock=found.by_clock if found else False,
    )


def _gap(net: Network, spots: Sequence[Spot]) -> float:
    """How far the rule's plan is from what no plan can undercut."""
    value = cost(net, spots)[1]
    return max(0.0, 1 - soonest(net) / value) if value > 0 else 0.0


def _solver(
    net: Network, spots: tuple[Spot, ...], seed: int, work: float, seconds: float, tell: Progress
) -> _Found | None:
    """Ask the solver; None if it is not there, has nothing to do or finds nothing."""
    if len(net.axes) != 1 or len(spots) < len(net.jobs):
        return None
    try:
        from ortools.sat.python import cp_model
    except ImportError:
        return None
    found = window(net, spots)
    if not found.machines:
        return _Found(found, tuple(spot.job for spot in spots), 0.0, True, 0.0, False)
    bench, spent, most_s = Bench(net), 0.0, max(BACKSTOP * seconds, PATIENCE_S)
    model: OneAxis | None = None
    status, solver = cp_model.UNKNOWN, cp_model.CpSolver()
    solver.parameters.random_seed = seed
    solver.parameters.interleave_search = True
    solver.parameters.linearization_level = 0
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    for workers, share in ALONE if found.alone else TOGETHER:
        found = window(net, spots)  # the better the plan so far, the less room there is to search
        model = OneAxis(cp_model.CpModel(), cp_model.Domain.from_values, net, found, spots)
        model.build()
        solver.parameters.num_workers = workers
        solver.parameters.optimize_with_core = workers == 1
        solver.parameters.max_deterministic_time = work * share
        solver.parameters.max_time_in_seconds = max(most_s - spent, 0.1)
        status = solver.solve(model.model)
        spent += solver.wall_time
        if status == cp_model.OPTIMAL:
            break
        if status == cp_model.FEASIBLE:
            spots = _joined(net, bench, spots, model.order(solver))
        tell(0.6, "solver")
    if model is None or status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    value, bound = solver.objective_value, solver.best_objective_bound
    proved = status == cp_model.OPTIMAL
    gap = 0.0 if proved or value <= 0 else max(0.0, (value - bound) / value)
    return _Found(found, model.order(solver), value, proved, gap, spent >= most_s)
