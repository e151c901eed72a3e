"""What each repair and each proof adds to the price, against what it costs."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.fix.scene import Scene
from retrue.cases.orders import plan_for
from retrue.cases.plans import AS_FOUND, CONTROL, DAYS_A_MONTH
from retrue.cases.settle.sale_behind import ADDS_TO, FILM, RECORD
from retrue.cases.settle.sale_figures import SaleFigures
from retrue.cases.settle.sale_lines import AddRow
from retrue.cases.settle.surplus import LIKE_NEW, PROVEN, RUNNING, STANDS
from retrue.cases.settle.surplus_market import Market
from retrue.cases.settle.surplus_net import Net, Priced, by_hour
from retrue.cases.settle.surplus_proofs import Extra, film_of, record_of
from retrue.kinds.library import Three

Floats = NDArray[np.float64]
TOOLING = "E60"
LEAST_SHARE = 0.0005  # of the price: what adds less is not told


def extras_of(
    scene: Scene, figures: SaleFigures, state: str, done: Collection[str] = ()
) -> tuple[Extra, ...]:
    """All that may be done beside, once it is in a state that runs.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures
    state : str
        as_it_stands, running, proven.
    done : collection of str
        A record that was given, a film that is kept: they are in the price already.

    Returns
    -------
    tuple of Extra
        A film and a record only where the price of the state does not hold them.
    """
    proofs = {FILM: film_of, RECORD: record_of}
    return (
        *(
            make(scene, figures)
            for what, make in proofs.items()
            if what not in done and state in ADDS_TO[what]
        ),
        *_faults(scene, state),
        *_finish(scene),
        *_whole(scene, figures),
    )


def _faults(scene: Scene, state: str) -> Iterator[Extra]:
    """Faults that are lived with in a state: what curing each would add."""
    bench, rate, levels = scene.prospect.workshop.bench, scene.rate, scene.kind.levels
    level = levels["right" if state == PROVEN else "just_running"]
    cures = {steps.row: (steps, order) for steps, order in plan_for(bench, levels[LIKE_NEW], rate)}
    for steps, _ in plan_for(bench, level, rate):
        if steps.row not in cures or bench.fixes[steps.ways[0]].way != "live_with":
            continue
        fault, there = bench.faults[steps.row], bench.states[steps.row]
        chance, drop = float(there.mean()), min(0.99, fault.resale_drop_share)
        cure, order = cures[steps.row]
        if chance * drop < LEAST_SHARE or bench.fixes[cure.ways[0]].way == "live_with":
            continue
        yield Extra(
            id=fault.id,
            sort="fault",
            words=fault.name,
            share=there * (1.0 / (1.0 - drop) - 1.0),
            money=order.money * cure.units * chance,
            hours=order.hours * cure.units * chance,
            days=chance * max(bench.fixes[way].lead_days for way in cure.ways),
            note="" if scene.confirmed(fault) else say(
                "there in {count} of 10 ways it may be; looked at first",
                count=number(10 * chance, 1),
            ),
        )  # fmt: skip


def _finish(scene: Scene) -> Iterator[Extra]:
    worlds = len(scene.prospect.age)
    for one in scene.kind.upgrades.values():
        share = one.adds.get("resale_share", 0.0)
        if share:
            yield Extra(
                id=f"extra:{one.id}",
                sort="extra",
                words=one.name,
                share=np.full(worlds, share),
                money=_mean(one.money),
                hours=_mean(one.hours),
                mark=one.mark,
            )


def _whole(scene: Scene, figures: SaleFigures) -> Iterator[Extra]:
    """What lowers the price of the whole machine, undone: tooling put with it, another control."""
    drawer, name, costs = scene.view.stage.drawer, scene.name, scene.kind.costs
    for item, line, id, sort, words in (
        (
            "no_tooling_share",
            TOOLING,
            "tooling",
            "tooling",
            say("A set of holders or jaws with it"),
        ),
        ("orphan_control_share", CONTROL, "control", "control", say("Another control")),
    ):
        row, cost = figures.rows[item], costs.get(line)
        if not row.applies or cost is None:
            continue
        drop = drawer.pert(name, f"sale {item}", row.value)
        yield Extra(
            id=id,
            sort=sort,
            words=words,
            share=1.0 / (1.0 - drop) - 1.0,
            money=_mean(cost.amount),
            hours=_mean(cost.hours),
            mark=row.mark,
        )


def worth_doing(
    scene: Scene, market: Market, extras: tuple[Extra, ...], at: Priced
) -> tuple[Extra, ...]:
    """The extras that pay with each other: each is held against all others that pay.

    Parameters
    ----------
    scene : Scene
    market : Market
    extras : tuple of Extra
    at : Priced
        The state they are done in.

    Returns
    -------
    tuple of Extra
    """
    chosen: set[str] = set()
    for _ in range(len(extras) + 1):
        factor = {one.id: 1.0 + one.share[market.pick] for one in extras if one.id in chosen}
        now = {
            one.id
            for one in extras
            if gain_of(scene, market, one, at, _product(factor, one.id)).at(scene.rate) > 0.0
        }
        if now == chosen:
            break
        chosen = now
    return tuple(one for one in extras if one.id in chosen)


def gain_of(
    scene: Scene, market: Market, extra: Extra, at: Priced, others: Floats | float = 1.0
) -> Net:
    """What one extra adds less what it costs, on average, beside others.

    Parameters
    ----------
    scene : Scene
    market : Market
    extra : Extra
    at : Priced
    others : float or ndarray, shape (markets,)
        What the others do to the price.

    Returns
    -------
    Net
    """
    adds = at.selling.price * others * extra.share[market.pick]
    spared = extra.quicker * at.selling.standing_days - extra.days
    month = market.month.floor + market.month.round + market.month.capital
    return Net(
        money=market.mean(adds) - extra.money + month * spared / DAYS_A_MONTH,
        hours=extra.hours - market.round_hours * spared / DAYS_A_MONTH,
    )


def add_rows(
    scene: Scene,
    market: Market,
    extras: tuple[Extra, ...],
    chosen: tuple[Extra, ...],
    at: Priced,
) -> Iterator[AddRow]:
    """Each extra in its state, beside all others that pay: what it adds there, and whether it pays.

    Parameters
    ----------
    scene : Scene
    market : Market
    extras, chosen : tuple of Extra
        All, and those that pay.
    at : Priced

    Yields
    ------
    AddRow
    """
    factors = {one.id: 1.0 + one.share[market.pick] for one in chosen}
    for one in extras:
        others = _product(factors, one.id)
        adds = at.selling.price * others * one.share[market.pick]
        gain = gain_of(scene, market, one, at, others)
        cost = one.money + one.hours * scene.rate
        yield AddRow(
            id=one.id,
            sort=one.sort,
            words=one.words,
            of_state=at.state.id,
            adds=market.band(adds),
            adds_mean=market.mean(adds),
            money=one.money,
            hours=one.hours,
            days=one.days,
            gain=by_hour(gain, scene),
            per_euro=_per_euro(gain.at(scene.rate) + cost, cost),
            pays=one.id in factors,
            together=one.id in factors,
            note=one.note,
            mark=one.mark,
        )


def proof_rows(
    scene: Scene,
    market: Market,
    figures: SaleFigures,
    rows: Mapping[str, Priced],
    target: str,
    done: Collection[str] = (),
) -> Iterator[AddRow]:
    """Film and record for who sells it before it is proven; the price of a proven one holds them.

    Parameters
    ----------
    scene : Scene
    market : Market
    figures : SaleFigures
    rows : mapping of str to Priced
    target : str
        The state that is aimed at; nothing where it is not proven.
    done : collection of str
        What is there already.

    Yields
    ------
    AddRow
    """
    if target != PROVEN:
        return
    low = rows[STANDS if STANDS in rows else RUNNING]
    every = extras_of(scene, figures, low.state.id, done)
    proofs = tuple(one for one in every if one.sort == "proof")
    for row in add_rows(scene, market, proofs, worth_doing(scene, market, proofs, low), low):
        held = say("where it is sold so: the price of a proven one holds it")
        yield replace(row, together=False, note=f"{row.note}; {held}")


def step_rows(
    scene: Scene, market: Market, states: Mapping[str, Priced], target: str
) -> Iterator[AddRow]:
    """From one state to the next: running, proven, like new.

    Parameters
    ----------
    scene : Scene
    market : Market
    states : mapping of str to Priced
    target : str
        The state that is aimed at.

    Yields
    ------
    AddRow
    """
    first = STANDS if STANDS in states else AS_FOUND
    path = (first, RUNNING, PROVEN, LIKE_NEW)
    reached = path.index(target) if target in path else 0
    for place, (lower, id) in enumerate(pairwise(path), start=1):
        below, above = states[lower], states[id]
        gain = above.net.less(below.net)
        money, hours = above.money - below.money, above.hours - below.hours
        adds = above.selling.price - below.selling.price
        yield AddRow(
            id=f"to:{id}",
            sort="step",
            words=_step_words(id),
            of_state=lower,
            adds=market.band(adds),
            adds_mean=market.mean(adds),
            money=money,
            hours=hours,
            days=max(0.0, above.ready_days - below.ready_days),
            gain=by_hour(gain, scene),
            per_euro=_per_euro(
                gain.at(scene.rate) + money + hours * scene.rate, money + hours * scene.rate
            ),
            pays=gain.at(scene.rate) > 0.0,
            together=place <= reached,
            note=say("gone through with, whatever is found when it stands apart"),
        )


def _step_words(id: str) -> str:
    return {
        RUNNING: say("Make it run: clean it, level it, cure what stops it and what must be"),
        PROVEN: say("Prove it: make it right, measured and written down"),
        LIKE_NEW: say("Rebuild all of it, like new"),
    }[id]


def _per_euro(adds: float, cost: float) -> float:
    """What each euro brings; 0 where it adds nothing, and never more than a hundred.

    Examples
    --------
    >>> _per_euro(500.0, 200.0), _per_euro(-5.0, 2.0), _per_euro(5.0, 0.0)
    (2.5, 0.0, 100.0)
    """
    if adds <= 0.0:
        return 0.0
    return min(100.0, adds / cost) if cost > 0.0 else 100.0


def _product(factors: Mapping[str, Floats], but: str) -> Floats | float:
    made: Floats | float = 1.0
    for id, factor in factors.items():
        if id != but:
            made = made * factor
    return made


def _mean(three: Three) -> float:
    return (three.low + 4.0 * three.likely + three.high) / 6.0
