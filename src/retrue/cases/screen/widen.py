"""A listed lot seen in drawn worlds; wider where its kind or its age is not known here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import e

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import uniforms
from retrue.belief.network import Evidence, Impossible
from retrue.belief.worlds import draw
from retrue.cases.assume import Settled, settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import contradiction, evidence
from retrue.cases.landing import SPARE
from retrue.cases.network import CaseNetwork, build
from retrue.cases.options import Chooser
from retrue.cases.prepare import chooser, stage
from retrue.cases.redraw import doubted
from retrue.cases.view import View, look, valued
from retrue.kinds.library import Kind
from retrue.records.facts import Machine

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

# Judgement, no source: twice what a kind that is known here is given.
PRICE_LEVEL_LOG_SD = 0.5
PACE_LOG_SD = 0.45
RESALE_LOG_SD = 0.5  # beside its own scatter


def view_of(case: LotCase, kinds: Mapping[str, Kind], drawer: Drawer, *, stand_in: bool) -> View:
    """A lot in drawn worlds, as pricing sees it.

    Parameters
    ----------
    case : LotCase
        With at least one machine.
    kinds : mapping of kind id to Kind
    drawer : Drawer
        Its lot names the streams of chance.
    stand_in : bool
        Whether a kind stands in for one that is not known here. Then, and where a machine is older
        than the tables of its kind, every fault's odds are e times what the tables say in half of
        the worlds, and the e-th part in the other half; prices, own hours and resale scatter wider.

    Returns
    -------
    View

    Raises
    ------
    Unknown
        A machine's kind is not among ``kinds``.
    Unusable
        What was answered contradicts itself.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> lathe = Machine(lot="14", name="lathe", kind="turning_centre", age_years=22)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=(lathe,))
    >>> kinds = load(only=("turning_centre",))
    >>> known, other = (
    ...     view_of(case, kinds, Drawer(7, "14", 400), stand_in=said) for said in (False, True)
    ... )
    >>> bool(known.gains[known.best].std() < other.gains[other.best].std())
    True
    """
    built = build(case, kinds)
    settled = settle(case, built.kinds)
    found, _ = evidence(case, built)
    if stand_in or any(older_than_known(one, built.kinds[one.name]) for one in case.machines):
        return _wide(case, built, found, settled, drawer)
    return look(case, built, found, settled, drawer=drawer)


def tables_end(kind: Kind) -> float:
    """The age up to which something is known of a kind, years.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    float
        The last for which there is a share of the new price.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> tables_end(SimpleNamespace(as_found_share={2: 0.5, 30: 0.04}))
    30.0
    """
    return float(max(kind.as_found_share))


def older_than_known(machine: Machine, kind: Kind) -> bool:
    """Whether a machine is older than anything that is known of its kind.

    Parameters
    ----------
    machine : Machine
    kind : Kind

    Returns
    -------
    bool
        Not where nobody said its age.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> kind = SimpleNamespace(as_found_share={2: 0.5, 30: 0.04})
    >>> [older_than_known(SimpleNamespace(age_years=age), kind) for age in (None, 30, 31)]
    [False, False, True]
    """
    return machine.age_years is not None and machine.age_years > tables_end(kind)


def worse(worlds: int) -> Bools:
    """The worlds in which the faults of a stand-in are likelier than the tables say.

    Parameters
    ----------
    worlds : int

    Returns
    -------
    ndarray of bool, shape (worlds,)
        Half of them, and half of the even and of the odd ones, of the first and of the last:
        what is learnt on some worlds is judged on others, and neither may be the worse ones.

    Examples
    --------
    >>> worse(8).tolist()
    [True, False, False, True, True, False, False, True]
    """
    place = np.arange(worlds) % 4
    return np.asarray((place == 0) | (place == 3))


def _wide(
    case: LotCase,
    built: CaseNetwork,
    found: Sequence[Evidence],
    settled: Settled,
    drawer: Drawer,
) -> View:
    drawn, set_aside = _states(built, found, drawer)
    ready = replace(
        stage(case, built, built.there_now(drawn), settled, drawer),
        price_level=drawer.lognormal(SPARE, "price level", PRICE_LEVEL_LOG_SD),
        pace=drawer.lognormal(SPARE, "pace", PACE_LOG_SD),
    )
    known = chooser(ready)
    luck = _resale_luck(drawer)
    prospects = tuple(
        replace(one, resale_luck=one.resale_luck * luck, _resales={}, _fixed={})
        for one in known.prospects
    )
    choices = Chooser(prospects=prospects, shared=known.shared)
    return valued(choices, ready, set_aside, drawn)


def _states(
    built: CaseNetwork, found: Sequence[Evidence], drawer: Drawer
) -> tuple[Bools, tuple[str, ...]]:
    count = len(built.network.names)
    chances = uniforms(drawer.seed, drawer.lot, "belief", worlds=drawer.worlds, columns=count)
    likelier = worse(drawer.worlds)
    drawn = np.empty((count, drawer.worlds), dtype=np.bool_)
    aside: dict[str, None] = {}
    for half, factor in ((likelier, e), (~likelier, 1.0 / e)):
        network = doubted(built.network, factor)
        try:
            worlds = draw(network, found, np.ascontiguousarray(chances[:, half]))
        except Impossible:
            raise contradiction() from None
        drawn[:, half] = worlds.states
        aside.update(dict.fromkeys(worlds.set_aside))
    return drawn, tuple(aside)


def _resale_luck(drawer: Drawer) -> Floats:
    """A factor with mean one: not knowing the type makes it no dearer."""
    luck = drawer.lognormal(SPARE, "resale of a stand-in", RESALE_LOG_SD)
    return np.asarray(luck / luck.mean())
