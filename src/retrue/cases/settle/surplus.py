"""The states a machine could be sold in, in the same worlds as its price."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.cases.fix.far import shared_from_here
from retrue.cases.fix.levels import through
from retrue.cases.fix.scene import Scene
from retrue.cases.plans import AS_FOUND, KEEP, Plan
from retrue.cases.settle.sale_behind import shown
from retrue.cases.settle.sale_figures import LOWERS, RAISES, SaleFigures
from retrue.cases.settle.surplus_market import product, sell_days
from retrue.records.settling import SoldAs

Floats = NDArray[np.float64]
STANDS, RUNNING, PROVEN, LIKE_NEW, PARTS = (
    "as_it_stands", "running", "proven", "like_new", "parts",
)  # fmt: skip
LEVEL_OF = {RUNNING: "just_running", PROVEN: "right", LIKE_NEW: "like_new"}


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """One state: what the tables say it brings, and what it takes to have it there.

    Attributes
    ----------
    price, days : ndarray, shape (worlds,)
        Of the tables: realised price, days to sell.
    money, hours, ready : ndarray, shape (worlds,)
        Still to come until it is in that state.
    left : ndarray, shape (worlds,)
        Share of the price left for what is lived with.
    """

    id: str
    sold_as: SoldAs
    price: Floats
    days: Floats
    money: Floats
    hours: Floats
    ready: Floats
    left: Floats


def factor_of(scene: Scene, figures: SaleFigures) -> Floats:
    """What this machine brings against one of its sort in the tables.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures

    Returns
    -------
    ndarray, shape (worlds,)
        A factor.

    Examples
    --------
    A tenth off without tooling, a tenth on with a supported control:

    >>> from types import SimpleNamespace as Plain
    >>> stage = Plain(drawer=Plain(pert=lambda name, item, three: three))
    >>> scene = Plain(name="mill", view=Plain(stage=stage), prospect=Plain(age=np.zeros(2)))
    >>> figures = Plain(applied=lambda items: [(items[0], 0.1)])
    >>> factor_of(scene, figures).round(3).tolist()
    [0.99, 0.99]
    """
    drawer, worlds = scene.view.stage.drawer, len(scene.prospect.age)
    shares: list[Floats | float] = []
    for sign, items in ((-1.0, LOWERS), (1.0, RAISES)):
        for item, three in figures.applied(items):
            shares.append(sign * drawer.pert(scene.name, f"sale {item}", three))
    return np.broadcast_to(np.asarray(product(shares), dtype=np.float64), (worlds,))


def states_of(scene: Scene, figures: SaleFigures, done: Collection[str] = ()) -> dict[str, State]:
    """As found, as it stands where it ran already, running, proven, like new.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures
    done : collection of str
        A record that was given, a film that is kept: in the price of a state that lacks them.

    Returns
    -------
    dict of str to State
        In that order. Parts go one by one and are no state of a market.
    """
    factor, prospect = factor_of(scene, figures), scene.prospect
    worlds = len(prospect.age)
    none, one = np.zeros(worlds), np.ones(worlds)
    untouched = State(
        id=AS_FOUND,
        sold_as="as_found",
        price=prospect.resale(AS_FOUND) * factor,
        days=sell_days(scene, figures, AS_FOUND),
        money=prospect.floor_money + none,
        hours=prospect.landing.floor_hours + none,
        ready=none,  # it may be offered from today on, wherever it stands
        left=one,
    )
    states = {AS_FOUND: untouched}
    if scene.far.running:
        left = np.asarray(prospect.left_now) * one
        runs = prospect.resale(prospect.stands) * left * factor
        price = np.maximum(runs, untouched.price)  # it may always go as found
        days = np.where(runs > untouched.price, sell_days(scene, figures, RUNNING), untouched.days)
        states[STANDS] = replace(
            untouched, id=STANDS, sold_as="running", price=price, days=days, left=left
        )
    for id in (RUNNING, PROVEN, LIKE_NEW):
        states[id] = _worked(scene, figures, id, factor)
    states[LIKE_NEW] = _rebuilt(scene, figures, states)
    return {id: _shown(scene, figures, one, done) for id, one in states.items()}


def _shown(scene: Scene, figures: SaleFigures, state: State, done: Collection[str]) -> State:
    """With the record and the film that are there already."""
    factor, quicker = shown(scene, figures, state.id, done)
    return replace(state, price=state.price * factor, days=state.days * (1.0 - quicker))


def _rebuilt(scene: Scene, figures: SaleFigures, states: Mapping[str, State]) -> State:
    """Like new: the tables' price is one owner's with records; a rebuild brings part of the way."""
    three = figures.share("rebuilt_share")
    share = scene.view.stage.drawer.pert(scene.name, "sale rebuilt_share", three)
    proven, new = states[PROVEN].price, states[LIKE_NEW].price
    return replace(states[LIKE_NEW], price=proven + share * (new - proven))


def _worked(scene: Scene, figures: SaleFigures, id: str, factor: Floats) -> State:
    """A state that takes work, as the price has it from today."""
    plan, prospect, land = Plan(KEEP, LEVEL_OF[id]), scene.prospect, scene.prospect.landing
    chooser = scene.view.chooser
    outcome, work = through(scene, plan), chooser.work(scene.index, plan)
    extra, extra_hours = shared_from_here(chooser.shared, scene.far, len(chooser.prospects))
    costs = [
        value for name, value in outcome.costs.items() if name not in ("storage", "tooling up")
    ]
    return State(
        id=id,
        sold_as="running" if id == RUNNING else "proven",
        price=prospect.resale(LEVEL_OF[id]) * work.resale_left * factor,
        days=sell_days(scene, figures, RUNNING if id == RUNNING else PROVEN),
        money=np.asarray(sum(costs)) + extra,
        hours=outcome.hours_through - land.tooling_hours + extra_hours,
        ready=outcome.days_through,
        left=work.resale_left,
    )
