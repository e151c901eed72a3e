"""A lot seen through one drawing of worlds: its options and their gains, ready to be priced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import uniforms
from retrue.belief.network import Evidence, Impossible
from retrue.belief.worlds import draw
from retrue.cases.assume import Settled
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import contradiction
from retrue.cases.landing import road
from retrue.cases.network import CaseNetwork
from retrue.cases.options import Chooser, Option
from retrue.cases.plans import Plan
from retrue.cases.prepare import Stage, chooser, stage
from retrue.choose.walkaway import WalkAway, down_to_step, prices, walk_away

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One drawing of worlds, all options in it. Money in the currency of the lot."""

    stage: Stage
    chooser: Chooser
    options: tuple[Option, ...]
    gains: Floats  # (options, worlds)
    means: Floats  # (options,)
    exact: Floats  # (options,): hammer price before rounding, 0 where nothing is gained
    order: tuple[int, ...]  # options, the one that carries most first
    price: WalkAway
    set_aside: tuple[str, ...]
    drawn: Bools  # of the parted network: what findings speak of

    @property
    def states(self) -> Bools:
        """Variables by worlds."""
        return self.stage.states

    @property
    def settled(self) -> Settled:
        """The numbers of shop and sale."""
        return self.stage.settled

    @property
    def best(self) -> int:
        """The option that carries most."""
        return self.order[0]

    @property
    def option(self) -> Option:
        """The option that carries most."""
        return self.options[self.best]


def look(
    case: LotCase,
    built: CaseNetwork,
    evidence: Sequence[Evidence],
    settled: Settled,
    *,
    drawer: Drawer,
    only: Sequence[tuple[Plan, ...]] = (),
) -> View:
    """Draw worlds given what was found, and value every option in each.

    Parameters
    ----------
    case : LotCase
    built : CaseNetwork
    evidence : sequence of Evidence
    settled : Settled
    drawer : Drawer
        Holds seed and number of worlds.
    only : sequence of tuple of Plan
        Options to value, a plan for each machine; all that make sense if empty.

    Returns
    -------
    View
    """
    count = len(built.network.names)
    chances = uniforms(drawer.seed, drawer.lot, "belief", worlds=drawer.worlds, columns=count)
    try:
        drawn = draw(built.network, evidence, chances)
    except Impossible:
        raise contradiction() from None
    ready = stage(case, built, built.there_now(drawn.states), settled, drawer)
    return valued(chooser(ready), ready, drawn.set_aside, drawn.states, only)


def price_of(gains: Floats, settled: Settled) -> float:
    """The best option's hammer price before rounding.

    Parameters
    ----------
    gains : ndarray, shape (options, worlds), money
    settled : Settled

    Returns
    -------
    float
        Money.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> gains = np.array([[9_000.0, 10_000.0, 12_000.0, 14_000.0, 15_000.0]])
    >>> price_of(gains, SimpleNamespace(odds=0.8, k=1.25))
    7200.0
    """
    return float(prices(gains, odds=settled.odds, k=settled.k).max())


def valued(
    choices: Chooser,
    ready: Stage,
    set_aside: tuple[str, ...],
    drawn: Bools,
    only: Sequence[tuple[Plan, ...]] = (),
) -> View:
    """Value every option of a lot in worlds that are drawn already.

    Parameters
    ----------
    choices : Chooser
    ready : Stage
    set_aside : tuple of str
        Findings left out of the exact sum.
    drawn : ndarray of bool, shape (variables, worlds)
        Of the parted network.
    only : sequence of tuple of Plan
        As for `look`.

    Returns
    -------
    View
    """
    options = choices.options(only)
    settled = ready.settled
    gains = np.array([option.gain for option in options]) / settled.exchange
    exact = prices(gains, odds=settled.odds, k=settled.k)
    means = gains.mean(axis=1)
    order = sorted(range(len(options)), key=lambda i: (-exact[i], -means[i], i))
    return View(
        stage=ready,
        chooser=choices,
        options=options,
        gains=gains,
        means=means,
        exact=exact,
        order=tuple(order),
        price=walk_away(gains[order[0]], odds=settled.odds, k=settled.k, step=settled.step),
        set_aside=set_aside,
        drawn=drawn,
    )


def alone(view: View, index: int) -> float:
    """Hammer price not to go above for one machine, as if it were the whole lot.

    Parameters
    ----------
    view : View
    index : int
        Place of the machine in its lot.

    Returns
    -------
    float
        Money in the lot's currency.
    """
    case, settled, ready = view.stage.case, view.settled, view.stage
    kind = ready.built.kinds[case.machines[index].name]
    money, hours = road(case, kind, settled, ready.drawer, 1)
    shared = money * ready.price_level + hours * ready.pace * settled.rate + ready.fine
    options = view.chooser.alone(index, shared, settled.rate)
    gains = np.array([option.gain for option in options]) / settled.exchange
    return down_to_step(price_of(gains, settled), settled.step)
