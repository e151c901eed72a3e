"""What is still to come of a lot, seen from today; what is paid or owed counts no more."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

import numpy as np

from retrue.cases.assume import Settled
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.find.standing import Standing, standing
from retrue.cases.fix.belief import belief_of
from retrue.cases.fix.choice_lines import StopLoss
from retrue.cases.fix.far import Far, far_of
from retrue.cases.fix.kept import fix_of_case
from retrue.cases.fix.scene import aim_of
from retrue.cases.fix.stop_loss import stop_loss_of
from retrue.cases.plans import KEEP, Plan
from retrue.cases.scope import belongs_to_all
from retrue.cases.settle.cost_expected import Expected, expected_lines
from retrue.cases.settle.cost_lines import Range
from retrue.cases.settle.cost_ranges import range_of, sure
from retrue.cases.settle.cost_words import LANDED
from retrue.cases.settle.cost_worlds import Floats, Worlds, aimed, carried
from retrue.cases.view import look
from retrue.kinds.library import Kind
from retrue.records.facts import CostLine

ONCE = ("removal", "move", "insurance", "hook_up", "consumables", "tooling", "sale")
"""Bought once: what is paid there without a line is taken off what is still to come there."""

PAID, CENT = Decimal(0), Decimal("0.01")
PART = 0.5  # less than so much of what was agreed is a part payment (judgement)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Money that is in the book or known beside it.

    Attributes
    ----------
    lines : tuple of (machine name or None, line)
        Lines of the tables that are paid or owed.
    once : mapping of (machine name, bucket) to float
        Money on no line, of what is bought once.
    arrived : frozenset of str
        Machines that are known to have come.
    closed : frozenset of str
        Machines that are done with: nothing is to come.
    sums : mapping of (machine name or None, line) to float
        What is paid and owed of ``lines``; a line without one is paid in full.
    """

    lines: tuple[tuple[str | None, str], ...] = ()
    once: Mapping[tuple[str, str], float] = field(default_factory=dict)
    arrived: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()
    sums: Mapping[tuple[str | None, str], float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineStill:
    """What is still to come of one machine; shop's currency.

    Attributes
    ----------
    buckets : mapping of bucket to Range
    stop : StopLoss or None
        None: nothing is worked for.
    gone : mapping of fault to str
        absent, treated, lived_with: faults that ask for nothing more.
    done : tuple of str
        Jobs.
    here, powered : bool
    first_part_on : str or None
        ISO date; the job that ends with the first good part was done that day.
    """

    name: str
    aim: str
    level: str
    money: Range
    landed: Range
    hours: Range
    days: Range
    brings: Range
    floor_a_month: float
    buckets: Mapping[str, Range]
    lines: tuple[Expected, ...]
    stop: StopLoss | None
    gone: Mapping[str, str]
    done: tuple[str, ...]
    here: bool
    powered: bool
    first_part_on: str | None
    closed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """Of one lot: each machine, and all of them in the same worlds."""

    machines: tuple[MachineStill, ...]
    money: Range
    landed: Range
    hours: Range
    brings: Range
    buckets: Mapping[str, Range]
    rate: float
    rate_full: float
    seed: int
    worlds: int
    assumed: tuple[str, ...] = ()


def still_of(
    case: LotCase,
    kinds: Mapping[str, Kind],
    known: Known,
    *,
    seed: int = 7,
    worlds: int = 2000,
) -> Still:
    """What is still to come.

    Parameters
    ----------
    case : LotCase
        As it stands, with what is quoted and agreed as own figures.
    kinds : mapping of kind id to Kind
    known : Known
        What counts no more.
    seed, worlds : int

    Returns
    -------
    Still

    Raises
    ------
    Unknown
        A machine's kind is not among ``kinds``.
    Unusable
        What was answered contradicts itself.

    References
    ----------
    That only what is still to come counts: by definition.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> seen = still_of(case, load(), Known(), worlds=300).machines[0]
    >>> come = still_of(case, load(), Known(arrived=frozenset(("mill",))), worlds=300).machines[0]
    >>> "removal" in seen.buckets, "removal" in come.buckets
    (True, False)
    """
    case = paid_off(case, kinds, known.lines, known.sums)
    belief = belief_of(fix_of_case(case, kinds), kinds)
    built, settled = belief.built, belief.settled
    if not case.machines:
        return _nothing(settled, seed, worlds)
    found, _ = evidence(case, built)
    keep = tuple(Plan(KEEP, "right") for _ in case.machines)
    view = look(case, built, found, settled, drawer=Drawer(seed, case.lot.name, worlds),
                only=(keep,))  # fmt: skip
    states = [standing(case, one.name, built.kinds[one.name]) for one in case.machines]
    fars = [
        far_of(state, arrived=one.name in known.arrived)
        for one, state in zip(case.machines, states, strict=True)
    ]
    aims = [aim_of(case.chosen, one.name) for one in case.machines]
    plans = [
        aimed(built.kinds[one.name], *aim) for one, aim in zip(case.machines, aims, strict=True)
    ]
    carried_out = carried(view.chooser, plans, fars, through=True)
    left = [less_paid(one, known.once) for one in carried_out]
    left = [_over(one) if one.name in known.closed else one for one in left]
    before = _hours_before(left)
    machines = []
    for at, (one, state, far) in enumerate(zip(left, states, fars, strict=True)):
        stop = None
        if one.plan.works and one.name not in known.closed:
            stop = stop_loss_of(view.chooser, at, one.plan, far, currency=case.shop.currency,
                                hours_before=before[at])  # fmt: skip
        lines = expected_lines(case, one, far, belief.faults, len(left)) if one.buckets else ()
        over = one.name in known.closed
        machines.append(_machine(case, one, state, far, stop, lines, aims[at], over))
    return Still(
        machines=tuple(machines),
        money=range_of(_sum([one.money for one in left])),
        landed=range_of(_sum([_landed(one) for one in left])),
        hours=range_of(_sum([one.hours for one in left])),
        brings=range_of(_sum([one.brings for one in left])),
        buckets=_buckets_of_all(left),
        rate=settled.rate,
        rate_full=settled.rate_full,
        seed=seed,
        worlds=worlds,
    )


def _nothing(settled: Settled, seed: int, worlds: int) -> Still:
    """Of a lot without machines."""
    none = sure(0.0)
    return Still(
        machines=(), money=none, landed=none, hours=none, brings=none, buckets={},
        rate=settled.rate, rate_full=settled.rate_full, seed=seed, worlds=worlds,
    )  # fmt: skip


def paid_off(
    case: LotCase,
    kinds: Mapping[str, Kind],
    lines: Iterable[tuple[str | None, str]],
    sums: Mapping[tuple[str | None, str], float] | None = None,
) -> LotCase:
    """The same lot with lines that are paid or owed at nothing: their hours and days stay.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of kind id to Kind
    lines : iterable of (machine name or None, line)
    sums : mapping of (machine name or None, line) to float, optional
        What was paid; of a line that has a figure of its own, a small part of it is a part
        payment, and the rest is still to come.

    Returns
    -------
    LotCase

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=())
    >>> paid_off(case, {}, [(None, "E20")]).cost_lines[0].amount
    Decimal('0')
    """
    names = {one.name: kinds.get(one.kind) for one in case.machines}
    own = {(one.machine, one.line): one for one in case.cost_lines}
    for machine, line in lines:
        kind = names.get(machine or "")
        place = None if kind is not None and belongs_to_all(kind, line) else machine
        if place is not None and place not in names:
            continue
        stands = own.get((place, line))
        if stands is None:
            stands = CostLine(lot=case.lot.name, machine=place, line=line, amount=PAID)
        paid = (sums or {}).get((machine, line), float(stands.amount))
        part = paid < PART * float(stands.amount)
        left = (stands.amount - Decimal(repr(paid))).quantize(CENT) if part else PAID
        own[place, line] = replace(stands, amount=left, reason="paid")
    return replace(case, cost_lines=tuple(own.values()))


def less_paid(one: Worlds, once: Mapping[tuple[str, str], float]) -> Worlds:
    """What is paid on no line is taken off what is bought once, never below nothing.

    Parameters
    ----------
    one : Worlds
    once : mapping of (machine name, bucket) to float

    Returns
    -------
    Worlds
    """
    buckets = {
        bucket: np.maximum(0.0, money - once.get((one.name, bucket), 0.0))
        if bucket in ONCE
        else money
        for bucket, money in one.buckets.items()
    }
    return replace(one, buckets={name: money for name, money in buckets.items() if money.any()})


def _over(one: Worlds) -> Worlds:
    """A machine that is done with."""
    none = np.zeros(len(one.hours))
    return replace(one, buckets={}, hours=none, days=none, brings=none)


def _hours_before(left: Iterable[Worlds]) -> list[float]:
    """Own hours that other machines take first, on average."""
    told = [*left]
    order = sorted(range(len(told)), key=lambda at: (not told[at].plan.keeps, at))
    before, spent = [0.0] * len(told), 0.0
    for at in order:
        if told[at].plan.works:
            before[at] = spent
            spent += float(told[at].hours.mean())
    return before


def _machine(
    case: LotCase,
    one: Worlds,
    state: Standing,
    far: Far,
    stop: StopLoss | None,
    lines: tuple[Expected, ...],
    aim: tuple[str, str],
    closed: bool,
) -> MachineStill:
    first_part = first_part_of(case, state)
    return MachineStill(
        name=one.name,
        aim=aim[0],
        level=aim[1],
        money=range_of(one.money),
        landed=range_of(_landed(one)),
        hours=range_of(one.hours),
        days=range_of(one.days),
        brings=range_of(one.brings),
        floor_a_month=float(one.prospect.landing.storage_a_month.mean()),
        buckets={bucket: range_of(money) for bucket, money in one.buckets.items()},
        lines=lines,
        stop=stop,
        gone=_gone(case, state),
        done=tuple(sorted(state.jobs_done)),
        here=far.here,
        powered=far.powered,
        first_part_on=first_part,
        closed=closed,
    )


def _gone(case: LotCase, state: Standing) -> dict[str, str]:
    """Faults that ask for nothing more, and why."""
    name = state.machine.name
    chosen = {
        one.what
        for one in case.chosen
        if one.sort == "way" and one.way == "live_with" and one.machine in (name, None)
    }
    told = dict.fromkeys(sorted(chosen), "lived_with")
    told |= dict.fromkeys(sorted(state.absent - state.present), "absent")
    return told | dict.fromkeys(sorted(state.treated - state.present), "treated")


def first_part_of(case: LotCase, state: Standing) -> str | None:
    """The day on which the job that ends with the first good part was done.

    Parameters
    ----------
    case : LotCase
    state : Standing

    Returns
    -------
    str or None
        ISO date.
    """
    ends = {
        job.id
        for job in state.kind.jobs.values()
        if job.sort == "measure" and "first good part" in job.name.casefold()
    }
    days = [
        one.on
        for one in case.happened
        if one.event.machine == state.machine.name and getattr(one.event, "job", None) in ends
    ]
    return max(days) if days else None


def _landed(one: Worlds) -> Floats:
    none = np.zeros(len(one.hours))
    mine = (money for bucket, money in one.buckets.items() if bucket in LANDED)
    return np.asarray(sum(mine, start=none))


def _sum(values: list[Floats]) -> Floats:
    return np.asarray(sum(values))


def _buckets_of_all(left: Iterable[Worlds]) -> dict[str, Range]:
    sums: dict[str, Floats] = {}
    for one in left:
        for bucket, money in one.buckets.items():
            sums[bucket] = sums[bucket] + money if bucket in sums else money
    return {bucket: range_of(money) for bucket, money in sums.items()}
