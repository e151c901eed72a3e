"""The ways of every fault that is confirmed or likely, with all that each would do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from retrue.base.say import say
from retrue.cases.alternatives import DAYS_A_YEAR, later, resale_share
from retrue.cases.fix.cautions import cautions_before
from retrue.cases.fix.choice_lines import FaultOptions, WayOption
from retrue.cases.fix.explained import found_by, way_noun, why_this
from retrue.cases.fix.scene import Scene
from retrue.cases.orders import allowed, live_allowed, rank, trial_of
from retrue.cases.restoration import Bench
from retrue.kinds.fixing import WayEffect
from retrue.kinds.library import Fault, Fix, Level, Three
from retrue.plan.ways import Order, cheapest_order

LISTED = 0.15  # chance from which a fault nobody found is listed (judgement)
LIVE_WITH = "live_with"
_NOTHING = WayEffect(of="", again=0.0, again_years=5.0)
_order = lru_cache(maxsize=8192)(cheapest_order)


@dataclass(frozen=True, slots=True)
class Choice:
    """One way of one fault, with what it takes on average till the fault is gone.

    Attributes
    ----------
    money, hours, waiting : float
        Till it is gone if this way is tried first; waiting in money.
    penalty : float
        Resale given up.
    """

    option: WayOption
    money: float
    hours: float
    waiting: float
    penalty: float


@dataclass(frozen=True, slots=True, eq=False)
class Listed:
    """One fault with its choices, the chosen first."""

    fault: Fault
    options: FaultOptions
    choices: tuple[Choice, ...]
    worth: float  # expected resale at this level and age
    needed: float  # chance that its own way is needed: there, and no base job takes it along


def listed(scene: Scene) -> tuple[Listed, ...]:
    """Every fault that is confirmed or likely, confirmed first, then by what it costs.

    Parameters
    ----------
    scene : Scene

    Returns
    -------
    tuple of Listed
    """
    rows = [
        _listed(scene, bench, fault)
        for bench in scene.benches
        for fault in bench.faults
        if _counts(scene, fault) and scene.kind.fixes.get(fault.id)
    ]
    rows.sort(key=lambda one: (not one.options.confirmed, -_weight(one), one.fault.id))
    return tuple(rows)


def _counts(scene: Scene, fault: Fault) -> bool:
    if scene.gone(fault):
        return False
    return scene.confirmed(fault) or scene.chance(fault) >= LISTED


def _weight(one: Listed) -> float:
    return one.needed * one.options.ways[0].average


def _listed(scene: Scene, bench: Bench, fault: Fault) -> Listed:
    may = allowed(bench, fault, scene.level_of(bench))
    orders = scene.orders(bench)
    first = orders[fault.id][1].steps[0] if fault.id in orders else ""
    owner = bench.setting.ways.get(fault.id, "") == first and bool(first)
    worth = _resale(scene)
    choices = [_choice(scene, bench, fault, fix, may, worth) for fix in scene.kind.fixes[fault.id]]
    choices.sort(
        key=lambda one: (one.option.way != first, not one.option.allowed, one.option.average)
    )
    choices[0] = replace(
        choices[0],
        option=replace(choices[0].option, chosen=bool(first), by_owner=owner),
    )
    ways = tuple(one.option for one in choices)
    options = FaultOptions(
        fault=fault.id,
        name=fault.name,
        urgency=fault.urgency,
        chance=1.0 if scene.confirmed(fault) else scene.chance(fault),
        confirmed=scene.confirmed(fault),
        place=fault.place,
        consequence=fault.consequence,
        ways=ways,
        why=why_this(fault, ways, scene.currency),
        found_by=found_by(scene.case, scene.name, scene.kind, fault),
        cautions=cautions_before(scene.kind, fault),
    )
    return Listed(
        fault=fault,
        options=options,
        choices=tuple(choices),
        worth=worth,
        needed=options.chance * _left_by_jobs(bench, fault),
    )


def _left_by_jobs(bench: Bench, fault: Fault) -> float:
    """Share of the worlds with a fault in which the base jobs of every level leave it."""
    there = bench.setting.states(fault.id)
    assert there is not None
    before = int(there.sum())
    return float(bench.states[bench.row[fault.id]].sum()) / before if before else 1.0


def _choice(
    scene: Scene, bench: Bench, fault: Fault, fix: Fix, may: tuple[Fix, ...], worth: float
) -> Choice:
    first = (*may, fix) if fix not in may else may
    trials = tuple(trial_of(bench, fault, one) for one in first)
    order = _order(trials, scene.rate, fix.way)
    assert order is not None
    units = bench.setting.units.get(fault.id, 1)
    waiting = _waiting(scene, bench, fault, order)
    money, hours = order.money * units, order.hours * units
    average = money + hours * scene.rate + waiting + order.penalty
    return Choice(
        option=_option(scene, bench, fault, fix, fix in may, worth, average),
        money=money,
        hours=hours,
        waiting=waiting,
        penalty=order.penalty,
    )


def _waiting(scene: Scene, bench: Bench, fault: Fault, order: Order) -> float:
    """What the days of an order cost, each as often as its way is reached."""
    worth = scene.kind.estimates["day_worth"].value
    steps = zip(order.attempted, (*order.steps, order.surest), strict=True)
    return worth * sum(
        reached * bench.ways[bench.way[(fault.id, way)]].lead_days for reached, way in steps
    )


def _option(
    scene: Scene, bench: Bench, fault: Fault, fix: Fix, may: bool, worth: float, average: float
) -> WayOption:
    line = bench.setting.overtyped.get(f"{fix.fault}:{fix.way}")
    units = bench.setting.units.get(fault.id, 1)
    hours = fix.hours if line is None or line.hours is None else _sure(line.hours)
    effect = effect_of(scene, fix)
    return WayOption(
        way=fix.way,
        words=way_noun(fix.way, fault),
        money=_times(fix.money if line is None else _sure(float(line.amount)), units),
        hours=_times(hours, units),
        days=fix.lead_days if line is None or line.days is None else line.days,
        cures=fix.cures,
        average=average,
        again=effect.again,
        again_years=effect.again_years,
        accuracy=_accuracy(fault, fix, effect),
        noise=effect.noise,
        resale=0.0 - _resale_lost(scene, fault, fix, worth),
        good_for=fix.good_for,
        allowed=may,
        why_not="" if may else why_not(scene, bench, fault, fix),
        source=say("by the tables") if line is None else line.reason or say("your own figure"),
        note=fix.note,
        also=tuple(_also(scene, fix)),
        mark=fix.mark,
    )


def effect_of(scene: Scene, fix: Fix) -> WayEffect:
    """What a way does beside curing: of this fault, else of the way alone.

    Parameters
    ----------
    scene : Scene
    fix : Fix

    Returns
    -------
    WayEffect
    """
    effects = scene.kind.way_effects
    common = effects.get(fix.way, _NOTHING)
    own = effects.get(f"{fix.fault}:{fix.way}")
    if own is None:
        return common
    return replace(own, accuracy=own.accuracy or common.accuracy)


def why_not(scene: Scene, bench: Bench, fault: Fault, fix: Fix) -> str:
    """Why a level does not allow a way, in words.

    Parameters
    ----------
    scene : Scene
    bench : Bench
    fault : Fault
    fix : Fix
        One that is not allowed.

    Returns
    -------
    str
    """
    if fix.way in bench.setting.tried.get(fault.id, frozenset()):
        return say("It was tried, and did not cure it.")
    if fix.way != LIVE_WITH:
        return say("It is good enough only for {level}.", level=level_words(fix.good_for))
    return why_not_live(fault, fix, scene.aimed, bench.setting.live_with)


def why_not_live(fault: Fault, fix: Fix, level: Level, agreed: tuple[str, ...]) -> str:
    """Why a level does not let one live with a fault, in words; empty where it does.

    Parameters
    ----------
    fault : Fault
    fix : Fix
        Its way of living with it.
    level : Level
    agreed : tuple of str
        MUST faults the owner agreed to live with.

    Returns
    -------
    str
    """
    if fault.urgency == "STOP":
        return say("A stop item is never lived with.")
    rules = {"MUST": level.must, "SHOULD": level.should, "MAY": level.may}
    if live_allowed(fault, fix, level, agreed):
        return ""
    if rules[fault.urgency] == "cure":
        return say("At {level} this is put right.", level=level_words(level.id))
    if rules[fault.urgency] == "cure_or_live_if_owner_allows" and fault.id not in agreed:
        return say(
            "Only if you agree to it: tick it at the machine, or name {fault} in live_with.",
            fault=fault.id,
        )
    if fault.resale_drop_share > level.live_max_drop:
        share = round(100 * fault.resale_drop_share)
        return say(
            "At {level} only small things are left: this takes {share} % off the resale.",
            level=level_words(level.id),
            share=share,
        )
    return say("It is seldom good enough for ordinary work.")


def level_words(level: str) -> str:
    """A level as the page says it.

    Parameters
    ----------
    level : str

    Returns
    -------
    str

    Examples
    --------
    >>> level_words("right")
    'right'
    """
    return say(level.replace("_", " "))


def _accuracy(fault: Fault, fix: Fix, effect: WayEffect) -> str:
    """What is left of the fault's own note: gone with the cure, staying with living with it."""
    note = fault.accuracy_note
    if not of_accuracy(note):
        return say("no matter of accuracy")
    if fix.way == LIVE_WITH:
        return say("stays: {note}", note=note)
    return say("{note}: gone; {after}", note=note, after=effect.accuracy or say("measure after"))


def of_accuracy(note: str) -> bool:
    """Whether what a fault does to the work is a matter of accuracy.

    Parameters
    ----------
    note : str
        As the tables have it.

    Returns
    -------
    bool

    Examples
    --------
    >>> of_accuracy("none"), of_accuracy("pull force, not accuracy"), of_accuracy("float 5-30 um")
    (False, False, True)
    """
    return bool(note) and not note.startswith("none") and "not accuracy" not in note


def _resale(scene: Scene) -> float:
    """Expected resale at the level and the age it will have, in today's money."""
    return resale_at(scene, scene.level)


def resale_at(scene: Scene, level: str) -> float:
    """Expected resale at a level: at the horizon if it is kept, else now; in today's money.

    Parameters
    ----------
    scene : Scene
    level : str

    Returns
    -------
    float
        By the same figures as the price reckons what a drop costs.
    """
    prospect = scene.prospect
    settled = prospect.settled
    years = settled.horizon if scene.plan.keeps else 0.0
    share = resale_share(dict(scene.kind.levels[level].resale_share), prospect.age + years)
    return float((prospect.new * share * later(years * DAYS_A_YEAR, settled.interest)).mean())


def _resale_lost(scene: Scene, fault: Fault, fix: Fix, worth: float) -> float:
    """What living with it takes off; what is good for less only, at most as much."""
    drop = fault.resale_drop_share * worth
    if fix.way == LIVE_WITH:
        return drop
    if rank(fix.good_for) >= rank(scene.level):
        return 0.0
    return min(drop, max(0.0, worth - resale_at(scene, fix.good_for)))


def _also(scene: Scene, fix: Fix) -> Iterator[str]:
    for other in fix.also_cures:
        if other in scene.kind.faults:
            yield scene.kind.faults[other].name


def _sure(value: float) -> Three:
    return Three(value, value, value)


def _times(three: Three, units: int) -> Three:
    return Three(three.low * units, three.likely * units, three.high * units)
