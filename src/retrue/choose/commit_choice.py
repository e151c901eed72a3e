"""The choice of bids to make: found on some worlds, held against others, tightened if need be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.choose.commit import CLOSE, Came, Candidate, Levels, Limits, came_of, nothing
from retrue.choose.commit_bound import NODES, bounded
from retrue.choose.commit_search import Table, at, climb

ROUGH = 1_000  # worlds that are climbed on first, where there are more
TRIES = 16  # times the limits are tightened before nothing more is bid
SLOWEST = 0.5  # of what was allowed, the least that is allowed next


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """What to bid, and what it comes to.

    Attributes
    ----------
    levels : tuple of int
        Which bid of each candidate: 0 none, else counted from 1.
    came : Came
        On the worlds that were not used for choosing.
    gain, error : float
        Mean gain there, and its standard error, money.
    over : float
        Share of those worlds in which a limit is broken.
    short : float
        On the worlds it was chosen on, no choice that holds the limits gains more than this above
        it, money.
    held : bool
        Whether the odds hold there; if not, what is won already breaks them.
    """

    levels: Levels
    came: Came
    gain: float
    error: float
    over: float
    short: float
    held: bool


def choose(candidates: Sequence[Candidate], limits: Limits, *, nodes: int = NODES) -> Choice:
    """Choose bids for the highest mean gain, with the odds of holding all limits kept.

    Parameters
    ----------
    candidates : sequence of Candidate
        Drawn in the same worlds: the first half is chosen on, the second is held against it.
    limits : Limits
    nodes : int
        Choices gone on from by branch and bound; a quarter of it when the choice is made anew.

    Returns
    -------
    Choice

    Raises
    ------
    Unusable
        Candidates drawn in different worlds, or in fewer than two.

    Notes
    -----
    What is best on drawn worlds looks better there than it is, and breaks limits less often there
    than it will. So the share in which they may be broken is lowered, and the choice made anew,
    until it is kept on worlds that had no say in it, with one standard error to spare. Bids that
    over all worlds bring nothing are then left out.

    References
    ----------
    Kleywegt, Shapiro and Homem-de-Mello 2002, The sample average approximation method for
    stochastic discrete optimization, SIAM Journal on Optimization 12(2); Luedtke and Ahmed 2008,
    A sample approximation approach for optimization with probabilistic constraints, SIAM Journal
    on Optimization 19(2).

    Examples
    --------
    Two lots surely won at 60 each, with 100 to spend: the one that brings more.

    >>> import numpy as np
    >>> def lot(brings):
    ...     row = np.full((1, 4), brings)
    ...     return Candidate(np.array([60.0]), row > 0, row * 0 + 60, row, row * 0, row * 0,
    ...         np.zeros(4))
    >>> choose([lot(90.0), lot(100.0)], Limits(money=100.0)).levels
    (0, 1)
    """
    worlds = _worlds(candidates)
    if not worlds:
        return Choice((), nothing(0), 0.0, 0.0, 0.0, 0.0, held=True)
    half = worlds // 2
    table = Table(tuple(one.within(slice(0, half)) for one in candidates), limits)
    fresh = [one.within(slice(half, None)) for one in candidates]
    found, at_most = bounded_climb(table, limits.over, nodes)
    levels, allowed = found, limits.over
    for _ in range(TRIES):
        came = came_of(fresh, levels)
        over, error = _share(came, limits)
        if over + error <= limits.over + CLOSE or levels == table.least():
            break
        broken = table.over(table.whole(levels).spent)
        allowed = min(broken, allowed) * max(SLOWEST, (limits.over - error) / over) - CLOSE
        levels, _ = bounded_climb(table, max(0.0, allowed), nodes // 4, levels)
    else:
        levels = table.least()
        came = came_of(fresh, levels)
    kept = _worth_making(candidates, levels)
    if kept != levels:
        fewer = came_of(fresh, kept)
        if _share(fewer, limits)[0] <= max(_share(came, limits)[0], limits.over):
            levels, came = kept, fewer
    return _choice(table, levels, came, limits, at_most)


def _worth_making(candidates: Sequence[Candidate], levels: Levels) -> Levels:
    """Without the bids that bring nothing over all worlds: in the few they were chosen for luck."""
    while True:
        gain = float(came_of(candidates, levels).gain.mean())
        less = {
            place: float(came_of(candidates, at(levels, place, 0)).gain.mean())
            for place, one in enumerate(candidates)
            if levels[place] and not one.held
        }
        worst = max(less, key=lambda place: less[place], default=None)
        if worst is None or less[worst] < gain:
            return levels
        levels = at(levels, worst, 0)


def bounded_climb(
    table: Table, allowed: float, nodes: int = NODES, begin: Levels | None = None
) -> tuple[Levels, float]:
    """Climb, first on a few of the worlds where there are many, then branch and bound.

    Parameters
    ----------
    table : Table
    allowed : float
        Share of the worlds in which a limit may be broken.
    nodes : int
    begin : tuple of int or None
        Where to begin; None: from nothing.

    Returns
    -------
    tuple
        The best choice found, and what no choice gains more than, money.
    """
    if begin is None and table.worlds > ROUGH:
        few = tuple(one.within(slice(0, ROUGH)) for one in table.candidates)
        begin = climb(Table(few, table.limits), allowed)
    climbed = climb(table, allowed, begin)
    if not table.holds(table.whole(climbed).spent, allowed):
        return climbed, table.whole(climbed).gain
    searched = bounded(table, allowed, climbed, nodes=nodes)
    return searched.levels, searched.at_most


def _choice(table: Table, levels: Levels, came: Came, limits: Limits, at_most: float) -> Choice:
    over, _ = _share(came, limits)
    size = max(1, came.gain.size)
    return Choice(
        levels=levels,
        came=came,
        gain=float(came.gain.mean()),
        error=float(came.gain.std()) / math.sqrt(size),
        over=over,
        short=max(0.0, at_most - table.whole(levels).gain),
        held=over <= limits.over + CLOSE,
    )


def _share(came: Came, limits: Limits) -> tuple[float, float]:
    """Share of worlds in which a limit is broken, and its standard error at the odds wanted."""
    over = float(came.breaks(limits).mean())
    if not over:
        return 0.0, 0.0
    return over, math.sqrt(limits.over * limits.odds / came.gain.size)


def _worlds(candidates: Sequence[Candidate]) -> int:
    sizes = {one.worlds for one in candidates}
    if len(sizes) > 1 or (sizes and min(sizes) < 2):
        raise Unusable(
            f"candidates cover {', '.join(map(str, sorted(sizes)))} worlds",
            remedy="Draw all of them in the same worlds, at least two.",
        )
    return sizes.pop() if sizes else 0
