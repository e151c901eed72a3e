"""What one machine still needs: faults with their way, base jobs, looks, with their chances."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from retrue.base.say import say
from retrue.cases.find.standing import Standing
from retrue.cases.fix.belief import Belief, bench_of, shared_bench
from retrue.cases.fix.job_lists import all_clean, open_lines, open_share, started
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.lines import Refused
from retrue.cases.fix.openings import Openings, openings_of
from retrue.cases.fix.places import either
from retrue.cases.orders import plan_for
from retrue.cases.prepare import Stage
from retrue.cases.restoration import DIRT, Bench
from retrue.cases.work import Workshop
from retrue.kinds.library import Check, Fault, Fix, Job, Kind
from retrue.plan.restore import Steps

LIKELY = 0.05  # from here on a fault has a card of its own (judgement)
LIVE_WITH = "live_with"
SENT = ("outside", "local")
AFTER_PASS = 0.5  # a pass that cures more often than that comes before the fault's own way


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultNeed:
    """One fault and what is done about it.

    Attributes
    ----------
    chance : float
        That its own way is needed: there, and not cured by a pass before.
    confirmed : bool
        Said to be there, nothing done to it since: so in every run.
    held : bool
        A stop item that was found once and that no look has cleared since.
    fix : Fix
        The first of its order that is work at all.
    steps : tuple of str
        Ways in the order they are tried; ``surest`` pays in the end.
    once : bool
        Of the shop or the lot: done with the first machine, for all.
    after : str
        The base job that may cure it first.
    """

    fault: Fault
    chance: float
    confirmed: bool
    fix: Fix
    steps: tuple[str, ...]
    surest: str
    units: int = 1
    once: bool = False
    after: str = ""
    held: bool = False

    @property
    def listed(self) -> bool:
        """Whether it has a card of its own."""
        return self.confirmed or self.held or self.chance >= LIKELY

    @property
    def sent(self) -> bool:
        """Whether somebody else does the work."""
        return self.fix.way in SENT

    @property
    def line(self) -> str:
        """F15:local."""
        return f"{self.fault.id}:{self.fix.way}"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobNeed:
    """A base job that is still to do: how likely, and which share of it is left."""

    job: Job
    chance: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Needed:
    """All that one machine needs at one level.

    Attributes
    ----------
    faults : tuple of FaultNeed
        With a card of their own.
    rare : tuple of FaultNeed
        Together in one card.
    jobs : tuple of JobNeed
        With a card of their own.
    rare_jobs : tuple of JobNeed
        Passes that are hardly needed: they go with what nobody has seen yet.
    clearing : tuple of Check
        Looks that clear STOP faults and belong to no base job, not made yet.
    bench, shared : Bench
        That decided the orders; ``shared`` is of the first machine of a lot alone.
    """

    machine: MachineKept
    level: str
    faults: tuple[FaultNeed, ...]
    rare: tuple[FaultNeed, ...]
    jobs: tuple[JobNeed, ...]
    clearing: tuple[Check, ...]
    bench: Bench
    openings: Openings
    shared: Bench | None = None
    refused: tuple[Refused, ...] = ()
    plan: tuple[Steps, ...] = ()
    shared_plan: tuple[Steps, ...] = ()
    lives: Mapping[str, float] = field(default_factory=dict)
    rare_jobs: tuple[JobNeed, ...] = ()

    @property
    def kind(self) -> Kind:
        """Of the machine."""
        return self.machine.kind


def needed(
    kept: FixKept,
    machine: MachineKept,
    belief: Belief,
    on: Stage,
    level: str | None = None,
    *,
    first_lot: bool = True,
) -> Needed:
    """What a machine needs now.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept
        One of its machines.
    belief : Belief
    on : Stage
        Drawn or not: orders do not depend on it.
    level : str, optional
        The level it is worked for, where none is said.
    first_lot : bool
        Whether what belongs to the shop itself is done with this lot.

    Returns
    -------
    Needed
    """
    to = level or machine.level
    gone = gone_of(machine)
    done = done_jobs(machine)
    openings = openings_of(kept, machine)
    bench = bench_of(on, machine, done, openings.open_now, gone)
    shared = _shared(kept, machine, on, gone, first_lot)
    lives = {life: p for (name, life), p in belief.lives.items() if name == machine.name}
    jobs = tuple(_jobs(machine, bench, to, done, lives))
    found, plans, refused = [], [], list(openings.refused)
    for one in (bench, shared):
        if one is None:
            continue
        one_level = machine.kind.levels[to if one is bench else "right"]
        plan = plan_for(one, one_level, on.settled.rate)
        plan = tuple(pair for pair in plan if not _lived_with(pair[0], one, machine))
        plans.append(tuple(steps for steps, _ in plan))
        rows = {steps.row: (steps, order) for steps, order in plan}
        for fault in one.faults:
            need = _fault(fault, one, rows, machine, belief, jobs)
            if isinstance(need, FaultNeed):
                found.append(need)
            elif need is not None and _there(fault, machine, belief) >= LIKELY:
                refused.append(need)
    placed = [one for one in found if not openings.bad_place(one.fix.opens)]
    refused += [openings.refusal(one.line, one.fault.name, one.fix.opens) for one in found
                if openings.bad_place(one.fix.opens)
                and one.listed]  # fmt: skip
    return Needed(
        machine=machine,
        level=to,
        faults=tuple(one for one in placed if one.listed),
        rare=tuple(one for one in placed if not one.listed),
        jobs=tuple(one for one in jobs if one.chance >= LIKELY),
        rare_jobs=tuple(one for one in jobs if one.chance < LIKELY),
        clearing=tuple(Workshop(bench).clearing_checks()),
        bench=bench,
        shared=shared,
        openings=openings,
        refused=tuple(refused),
        plan=plans[0],
        shared_plan=plans[1] if len(plans) > 1 else (),
        lives=lives,
    )


def _shared(
    kept: FixKept, machine: MachineKept, on: Stage, gone: frozenset[str], first_lot: bool
) -> Bench | None:
    """What is paid once goes with the first machine that is worked for."""
    worked = [one.key for one in kept.machines if one.worked_for]
    if worked[:1] != [machine.key]:
        return None
    of_shop = {one.id for one in machine.kind.faults.values() if one.scope == "shop"}
    return shared_bench(on, machine, gone if first_lot else gone | of_shop)


def gone_of(machine: MachineKept) -> frozenset[str]:
    """Faults that were put right, or seen not to be there.

    Parameters
    ----------
    machine : MachineKept

    Returns
    -------
    frozenset of str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> state = SimpleNamespace(treated={"F06"}, absent={"F15"}, present={"F06"})
    >>> sorted(gone_of(SimpleNamespace(state=state)))
    ['F15']
    """
    return (machine.state.treated | machine.state.absent) - machine.state.present


def confirmed_in(state: Standing, fault: str) -> bool:
    """Whether a fault is certain: said to be there, and nothing was done to it since.

    Parameters
    ----------
    state : Standing
    fault : str

    Returns
    -------
    bool
        Then it is there in every run. A look that failed makes it likely, not certain: other
        faults show in it as well.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> state = SimpleNamespace(present={"F06"}, found={"F06", "F14"}, absent=set())
    >>> [(confirmed_in(state, one), held_in(state, one)) for one in ("F06", "F14")]
    [(True, False), (False, True)]
    """
    return fault in state.present


def held_in(state: Standing, fault: str) -> bool:
    """Whether a stop item was found once, and no look has cleared it since.

    Parameters
    ----------
    state : Standing
    fault : str

    Returns
    -------
    bool
        It may be put right already; power waits until it is looked at.
    """
    return fault in state.found - state.present - state.absent


def done_jobs(machine: MachineKept) -> frozenset[str]:
    """Base jobs that are behind us: as acts say, as the list of places and the ladder show.

    Parameters
    ----------
    machine : MachineKept

    Returns
    -------
    frozenset of str
    """
    kind = machine.kind
    done = set(machine.state.jobs_done)
    for job in kind.jobs.values():
        shown = {
            "record": bool(kind.as_found) and not open_lines(machine),
            "start": started(machine),
            "clean": job.when in DIRT and job.when != "dirty" and all_clean(machine, job),
        }
        if shown.get(job.sort, False):
            done.add(job.id)
    return frozenset(done)


def _jobs(
    machine: MachineKept, bench: Bench, level: str, done: frozenset[str], lives: Mapping[str, float]
) -> Iterator[JobNeed]:
    words = machine.kind.levels[level].jobs
    shop = Workshop(bench)
    for job in machine.kind.jobs.values():
        if job.id in done:
            continue
        if job.when in words:
            chance = 1.0
        elif job.when in DIRT:
            chance = either(lives.get(life, 0.0) for life in DIRT[job.when])
        else:
            continue
        yield JobNeed(job=job, chance=chance, share=shop.share_left(job) * open_share(machine, job))


def _fault(
    fault: Fault,
    bench: Bench,
    rows: Mapping[int, tuple[Steps, object]],
    machine: MachineKept,
    belief: Belief,
    jobs: tuple[JobNeed, ...],
) -> FaultNeed | Refused | None:
    """What is done about one fault; None where there is nothing to do."""
    kind = machine.kind
    if bench.row[fault.id] not in rows:
        if kind.fixes.get(fault.id):
            return None  # lived with, by choice
        return Refused(
            card=fault.id,
            title=fault.name,
            why=say("nothing is known that would put it right"),
            remedy=say("Give your kind of machine a way for it, or keep that it is not there."),
        )
    steps, _ = rows[bench.row[fault.id]]
    names = tuple(bench.fixes[way].way for way in steps.ways)
    surest = bench.fixes[steps.surest]
    work = [bench.fixes[way] for way in steps.ways if bench.fixes[way].way != LIVE_WITH]
    fix = work[0] if work else surest
    if fix.way == LIVE_WITH:
        return None
    confirmed, held = confirmed_in(machine.state, fault.id), held_in(machine.state, fault.id)
    there = 1.0 if confirmed else _there(fault, machine, belief)
    before, after = 1.0, ""
    for one in jobs:
        cures = one.job.cures.get(fault.id, 0.0)
        before *= 1.0 - cures * one.chance
        after = one.job.id if cures > AFTER_PASS and one.chance >= LIKELY else after
    if names[:1] == (LIVE_WITH,):
        before *= 1.0 - bench.fixes[steps.ways[0]].cures
    return FaultNeed(
        fault=fault,
        chance=there * before,
        confirmed=confirmed,
        held=held,
        fix=fix,
        steps=names,
        surest=surest.way,
        units=steps.units,
        once=fault.scope == "shop" or fault.paid == "once",
        after=after,
    )


def _there(fault: Fault, machine: MachineKept, belief: Belief) -> float:
    return belief.faults.get((machine.name, fault.id), 0.0)


def _lived_with(steps: Steps, bench: Bench, machine: MachineKept) -> bool:
    """Whether the owner himself said that it is lived with: then nothing is planned for it."""
    return machine.ways.get(bench.faults[steps.row].id) == LIVE_WITH
