"""The price on other worlds: tables that are worse, or a finding that was never made.

Only differences are taken from these: fewer worlds, compared with as many of the sheet's own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from multiprocessing import get_all_start_methods, get_context

import numpy as np
from numpy.typing import NDArray

from retrue.belief.network import Network
from retrue.cases.assume import settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.cases.plans import Plan
from retrue.cases.view import View, look, price_of
from retrue.choose.walkaway import down_to_step
from retrue.kinds.library import Kind

Floats = NDArray[np.float64]
Mapper = Callable[[Callable[["Redraw"], float], Sequence["Redraw"]], Iterable[float]]

WORLDS = 2_000
OPTIONS = 2  # the best ones; another can hardly overtake them all


@dataclass(frozen=True, slots=True, eq=False)
class Redraw:
    """What to look at again: a lot, how much worse its tables, without which finding."""

    case: LotCase
    kinds: Mapping[str, Kind]
    drawer: Drawer
    plans: tuple[tuple[Plan, ...], ...]
    worse: float = 1.0
    without: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Redrawer:
    """Compares a view with other worlds, each asked for apart, on one process or several."""

    view: View
    case: LotCase
    kinds: Mapping[str, Kind]
    processes: int = 1

    def prices(self, asked: Sequence[tuple[float, str]]) -> list[float]:
        """Hammer prices, each with tables worse by a factor and without one finding.

        Parameters
        ----------
        asked : sequence of (float, str)
            Factor on the odds of every fault (1 for none); id of the finding ("" for none).

        Returns
        -------
        list of float
            Rounded down to the bid step, in the order asked.
        """
        view, settled = self.view, self.view.settled
        worlds = min(WORLDS, view.gains.shape[1])
        kept = list(view.order[:OPTIONS])
        plans = tuple(tuple(o.plan for o in view.options[i].outcomes) for i in kept)
        mine = {m.kind: self.kinds[m.kind] for m in self.case.machines}
        shared = self.processes > 1 and len(asked) > 1
        whole = view.stage.drawer
        drawer = Drawer(whole.seed, whole.lot, worlds) if shared else whole.first(worlds)
        tasks = [Redraw(self.case, mine, drawer, plans, worse, without) for worse, without in asked]
        here = price_of(view.gains[kept, :worlds], settled)
        with _mapper(self.processes if shared else 1) as run:
            there = list(run(redrawn, tasks))
        return [
            down_to_step(max(0.0, view.price.exact + other - here), settled.step) for other in there
        ]


def redrawn(task: Redraw) -> float:
    """The best exact price on other worlds.

    Parameters
    ----------
    task : Redraw

    Returns
    -------
    float
        Before rounding, in the lot's currency.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> lathe = Machine(lot="14", name="lathe", kind="turning_centre", age_years=22)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=(lathe,))
    >>> kinds = load(only=("turning_centre",))
    >>> plans = ((Plan("keep", "right"),),)
    >>> redrawn(Redraw(case, kinds, Drawer(7, "14", 1000), plans, worse=2.0)) >= 0
    True
    """
    findings = tuple(kept for kept in task.case.findings if kept.id != task.without)
    case = replace(task.case, findings=findings)
    built = build(case, task.kinds)
    made, _ = evidence(case, built)
    if task.worse != 1.0:
        built = replace(built, network=doubted(built.network, task.worse))
    view = look(
        case,
        built,
        made,
        settle(case, built.kinds),
        drawer=task.drawer,
        only=task.plans,
    )
    return float(view.exact.max())


def doubted(network: Network, factor: float) -> Network:
    """The same network with every fault more likely by a factor in odds.

    Parameters
    ----------
    network : Network
    factor : float
        Above 0; below 1 every fault is less likely.

    Returns
    -------
    Network

    Examples
    --------
    >>> one = Network(("F",), np.zeros(0), ((),), (np.array(0.5),))
    >>> float(doubted(one, 3.0).tables[0])
    0.75
    """

    def shifted(table: Floats) -> Floats:
        odds = table / (1 - table) * factor
        return np.asarray(odds / (1 + odds))

    return replace(network, tables=tuple(shifted(table) for table in network.tables))


@contextmanager
def _mapper(processes: int) -> Iterator[Mapper]:
    """The built-in map, or one that shares the work out; the answers are the same."""
    if processes <= 1:
        yield map
        return
    way = "fork" if "fork" in get_all_start_methods() else None
    with ProcessPoolExecutor(processes, mp_context=get_context(way)) as pool:
        yield pool.map
