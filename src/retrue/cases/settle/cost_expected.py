"""What is expected line by line: costs of the tables, jobs, faults; the rest in one line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.fix.far import Far
from retrue.cases.landing import FEEDING, PASSING
from retrue.cases.move.needed import needed_costs
from retrue.cases.orders import plan_for
from retrue.cases.plans import CONTROL, NEW_CONTROL
from retrue.cases.restoration import OUTSIDE_WAYS
from retrue.cases.settle.cost_ranges import NOTHING
from retrue.cases.settle.cost_words import bucket_words
from retrue.cases.settle.cost_worlds import Worlds
from retrue.kinds.library import Kind, Three

HALF = 0.5
REST = ""  # what stands on no line
EITHER: tuple[frozenset[str], ...] = (
    frozenset(("E11", "E12")),
    frozenset(("E24", "E25")),
    frozenset(("E13", "E26")),
    frozenset(("E20", "E21", "E22")),
    frozenset(("E40", "E41")),
    frozenset(("E60", "E61")),
)
"""Costs of the tables of which one is paid: with the other, this one is not needed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """One line of what is expected.

    Attributes
    ----------
    line : str
        E11, J05, a fault (F15: all its ways), or empty for the rest of its bucket.
    mean : float
        Money, its chance counted in; shop's currency.
    chance : float
        That it is needed.
    low, high : float
        What it takes where it is needed.
    """

    line: str
    words: str
    bucket: str
    mean: float
    chance: float
    low: float
    high: float


def expected_lines(
    case: LotCase,
    worlds: Worlds,
    far: Far,
    chances: Mapping[tuple[str, str], float],
    machines: int,
    means: Mapping[str, float] | None = None,
) -> tuple[Expected, ...]:
    """What is expected of one machine, line by line.

    Parameters
    ----------
    case : LotCase
    worlds : Worlds
        Of the machine: its buckets are the sums.
    far : Far
        What is behind it has no line.
    chances : mapping of (machine, fault) to float
        That a fault is there.
    machines : int
        In the lot: they share the road.
    means : mapping of bucket to float, optional
        What the lines come to; None: the averages of the worlds.

    Returns
    -------
    tuple of Expected
        They add up to the averages, bucket by bucket; parts and outside work
        together. Where lines alone do not come to it, the rest has a line of its own.
    """
    kind = worlds.prospect.kind
    if means is None:
        means = {bucket: float(money.mean()) for bucket, money in worlds.buckets.items()}
    bought = list(_costs(case, worlds, far, machines))
    lines = [*_fitted(bought, means, kind)]
    if worlds.plan.works:
        lines += _jobs(worlds)
        lines += _faults(worlds, chances)
    lines = [*_capped(lines, means)]
    lines += _rest(lines, means)
    return tuple(one for one in lines if abs(one.mean) >= NOTHING)


def _costs(case: LotCase, worlds: Worlds, far: Far, machines: int) -> Iterator[Expected]:
    """Costs of the tables that the plan still meets, as the price meets them."""
    kind, name = worlds.prospect.kind, worlds.name
    needed = needed_costs(case, worlds.prospect.machine)
    if not far.here:
        yield from _pair(case, kind, name, "removal", ("E11", "E12"), case.shop.uses_rigger)
        yield from _loader(case, kind, name)
        yield from _pair(case, kind, name, "move", ("E24", "E25"), case.shop.uses_rigger)
        for id in PASSING:
            if id in needed:
                yield from _one(case, kind, name, "move", id)
        yield from _road(case, worlds, machines)
    if worlds.plan.works and not far.powered:
        yield from _pair(case, kind, name, "hook_up", ("E41", "E40"), case.shop.supply_outlet)
        for id in FEEDING:
            if id in needed:
                yield from _one(case, kind, name, "hook_up", id)
        dry = worlds.prospect.machine.wet is False
        for id in ("E52", "E53", "E54", "E55", "E56"):
            if not (dry and id == "E52"):
                yield from _one(case, kind, name, "consumables", id)
    if "tooling" in worlds.buckets and worlds.prospect.machine.tooling != "all":
        none = worlds.prospect.machine.tooling == "none"
        yield from _one(case, kind, name, "tooling", "E60" if none else "E61")
    if worlds.plan.name == NEW_CONTROL:
        yield from _one(case, kind, name, "parts", CONTROL)
    if "sale" in worlds.buckets:
        yield from _one(case, kind, name, "sale", "E95")


def _loader(case: LotCase, kind: Kind, name: str) -> Iterator[Expected]:
    terms = case.terms
    if terms.loader_fee is not None:
        fee = float(terms.loader_fee)
        yield Expected(
            line="E13", words=_item(kind, "E13"), bucket="removal", mean=fee, chance=1.0,
            low=fee, high=fee,
        )  # fmt: skip
    elif not (terms.loading_help and not terms.loader_named):
        yield from _one(
            case, kind, name, "removal", "E13" if terms.loader_named is not False else "E26"
        )


def _road(case: LotCase, worlds: Worlds, machines: int) -> Iterator[Expected]:
    """One truck for all: each machine's part of it."""
    kind, km = worlds.prospect.kind, worlds.prospect.settled.distance_km
    band = "E20" if km <= 100 else "E21" if km <= 300 else "E22"
    stretch = max(1.0, km / 500.0)
    for one in _one(case, kind, None, "move", band):
        yield _times(one, stretch / machines)
    if machines > 1:
        for one in _one(case, kind, None, "move", "E23"):
            yield _times(one, (machines - 1) / machines)


def _pair(
    case: LotCase, kind: Kind, name: str, bucket: str, ids: tuple[str, str], known: bool | None
) -> Iterator[Expected]:
    """One of two costs; even chances where nobody said which."""
    first = HALF if known is None else float(known)
    for id, chance in zip(ids, (first, 1.0 - first), strict=True):
        if chance:
            yield from _one(case, kind, name, bucket, id, chance)


def _one(
    case: LotCase, kind: Kind, name: str | None, bucket: str, id: str, chance: float = 1.0
) -> Iterator[Expected]:
    if id not in kind.costs:
        return
    three = kind.costs[id].amount
    own = next((c for c in case.cost_lines if c.line == id and c.machine == name), None)
    if own is not None:
        three = Three(float(own.amount), float(own.amount), float(own.amount))
    yield Expected(
        line=id,
        words=_item(kind, id),
        bucket=bucket,
        mean=chance * mean_of(three),
        chance=chance,
        low=three.low,
        high=three.high,
    )


def _item(kind: Kind, id: str) -> str:
    return kind.costs[id].item if id in kind.costs else id


def mean_of(three: Three) -> float:
    """The average of a judged range.

    Parameters
    ----------
    three : Three

    Returns
    -------
    float

    References
    ----------
    D. G. Malcolm, J. H. Roseboom, C. E. Clark, W. Fazar, Application of a technique for research
    and development program evaluation, Operations Research 7 (1959): (a + 4 m + b) / 6.

    Examples
    --------
    >>> mean_of(Three(300.0, 700.0, 1800.0))
    816.6666666666666
    """
    return (three.low + 4.0 * three.likely + three.high) / 6.0


def _fitted(
    lines: Iterable[Expected], means: Mapping[str, float], kind: Kind
) -> Iterator[Expected]:
    """Costs of the tables at the price level, size and pace of the worlds: by their bucket."""
    told = [*lines]
    for bucket in dict.fromkeys(one.bucket for one in told):
        mine = [one for one in told if one.bucket == bucket]
        whole = sum(one.mean for one in mine)
        whole_bucket = means.get(bucket, 0.0)
        by = whole_bucket / whole if whole > 0.0 and bucket != "parts" else 1.0
        yield from (_times(one, by) for one in mine)


def _times(one: Expected, by: float) -> Expected:
    return replace(one, mean=one.mean * by, low=one.low * by, high=one.high * by)


def _jobs(worlds: Worlds) -> Iterator[Expected]:
    """Base jobs of the level, as far as they are not done."""
    workshop, kind = worlds.prospect.workshop, worlds.prospect.kind
    for job, done in workshop.bench.jobs_done(kind.levels[worlds.plan.level].jobs):
        share = workshop.share_left(job)
        chance = 1.0 if done is None else float(done.mean())
        money, _ = workshop.job(job)
        weight = share if done is None else share * done
        yield Expected(
            line=job.id,
            words=job.name,
            bucket="cleaning",
            mean=float((money * weight).mean()),
            chance=chance,
            low=job.money.low * share,
            high=job.money.high * share,
        )


def _faults(worlds: Worlds, chances: Mapping[tuple[str, str], float]) -> Iterator[Expected]:
    """Faults of the machine, by the order of ways that the level allows."""
    bench, kind = worlds.prospect.workshop.bench, worlds.prospect.kind
    level, rate = kind.levels[worlds.plan.level], worlds.prospect.settled.rate
    price = float(bench.setting.price_level.mean())
    for steps, order in plan_for(bench, level, rate):
        fault = bench.faults[steps.row]
        chance = chances.get((worlds.name, fault.id), 0.0)
        way = order.steps[0] if order.steps else order.surest
        fix = next(one for one in kind.fixes[fault.id] if one.way == way)
        yield Expected(
            line=fault.id,
            words=fault.name,
            bucket="outside" if way in OUTSIDE_WAYS else "parts",
            mean=chance * order.money * steps.units * price,
            chance=chance,
            low=fix.money.low * steps.units,
            high=fix.money.high * steps.units,
        )


MENDED = ("parts", "outside")  # one fault's ways go into both


def _sums(means: Mapping[str, float]) -> dict[str, tuple[tuple[str, ...], float]]:
    """Buckets that lines are compared with, each with those it stands for."""
    sums: dict[str, tuple[tuple[str, ...], float]] = {
        bucket: ((bucket,), mean) for bucket, mean in means.items() if bucket not in MENDED
    }
    if any(bucket in means for bucket in MENDED):
        sums["parts"] = (MENDED, sum((means.get(bucket, 0.0) for bucket in MENDED), 0.0))
    return sums


def _capped(lines: Iterable[Expected], means: Mapping[str, float]) -> Iterator[Expected]:
    """Lines that come to more than the worlds do on average are taken down to it."""
    told = [*lines]
    known = {bucket for of, _ in _sums(means).values() for bucket in of}
    for of, whole in _sums(means).values():
        mine = [one for one in told if one.bucket in of]
        named = sum(one.mean for one in mine)
        by = min(1.0, whole / named) if named > 0.0 else 1.0
        yield from (replace(one, mean=one.mean * by) for one in mine)
    yield from (one for one in told if one.bucket not in known)


def _rest(lines: Iterable[Expected], means: Mapping[str, float]) -> Iterator[Expected]:
    """What no line holds: openings, floor, faults that come along; parts with outside work."""
    told = [*lines]
    for bucket, (of, whole) in _sums(means).items():
        named = sum(one.mean for one in told if one.bucket in of)
        left = whole - named
        words = bucket_words(bucket)
        if named:
            words = say("the rest of {what}", what=words)
        yield Expected(
            line=REST, words=words, bucket=bucket, mean=left, chance=1.0, low=left, high=left
        )
