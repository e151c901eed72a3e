"""The treatments of one goal laid in a row, as arrays, with the looks that may come before them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from retrue.choose.order import LEAST_COST, blocks_of
from retrue.choose.seeking import Search, Treatment

Floats = NDArray[np.float64]
Rule = Literal["ratio", "likely", "cheap"]


@dataclass(frozen=True, slots=True)
class Glance:
    """The test that tells most of one item: look first, treat if it shows.

    Attributes
    ----------
    test : int
        Which.
    cost : float
    shows, false : float
        Chance that it shows if the item is active, and if it is not.
    opens : int
        Bit mask of the places that must be open for it.
    rows : tuple of int
        Outcomes, among those of all tests, that count as showing.
    """

    test: int
    cost: float
    shows: float
    false: float
    opens: int
    rows: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """All treatments of one goal laid in a row, as arrays.

    An item with a glance has one step more, before its chain: look, and treat if it shows.

    Attributes
    ----------
    item : ndarray of int, shape (steps,)
        Place of the item in the goal.
    cost, cures : ndarray, shape (steps,)
        Trying again is in the cost.
    extra, vain : ndarray, shape (steps,)
        What a glance costs more where it shows and its item is active: the whole chain, until the
        look shows it no more; and where it shows though the item is not: its first treatment.
    false : ndarray, shape (steps,)
        Chance that a glance shows where its item is not active.
    shows : ndarray, shape (steps,)
        Chance that it shows where the item is active.
    look : ndarray of int, shape (steps,)
        The test of a glance; -1 for a plain treatment.
    rows : tuple of tuple of int
        Outcomes by which a glance shows.
    opens : ndarray of bool, shape (steps, places)
    ratio : ndarray, shape (steps,)
        Cured share over cost of the step's block, for an item that is active for certain.
    first : ndarray of int, shape (items,)
        The first step of each item that is not done yet; -1: none is left.
    treatments : tuple of Treatment
    """

    item: NDArray[np.intp]
    cost: Floats
    cures: Floats
    extra: Floats
    vain: Floats
    shows: Floats
    false: Floats
    look: NDArray[np.intp]
    rows: tuple[tuple[int, ...], ...]
    opens: NDArray[np.bool_]
    ratio: Floats
    first: NDArray[np.intp]
    treatments: tuple[Treatment, ...]


def line_of(
    search: Search,
    goal: int,
    done: Sequence[int] = (),
    glances: Mapping[int, Glance] | None = None,
) -> Line:
    """Lay the treatments of one goal in a row.

    Parameters
    ----------
    search : Search
    goal : int
        Which.
    done : sequence of int
        How many treatments of each of its items were done already; none if empty.
    glances : mapping of item to Glance, optional

    Returns
    -------
    Line

    References
    ----------
    Sidney, Operations Research 23 (1975) 283-298, for the blocks (from memory); laying out is
    by definition.

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.seeking import Goal
    >>> one = Search(np.ones(1), np.ones((1, 1), bool), (Goal((0,)),),
    ...     ((Treatment("a", 2.0, 1.0),),), (), np.zeros(0))
    >>> line_of(one, 0).ratio.tolist()
    [0.5]
    """
    row = _Row(search)
    target = search.goals[goal]
    done = tuple(done) or (0,) * len(target.items)
    first = []
    for place, name in enumerate(target.items):
        chain = search.chains[name][done[place] :]
        glance = (glances or {}).get(name)
        if chain and glance is not None:
            row.glance(place, glance, chain, target.again)
        first.append(len(row.rest) if chain else -1)
        row.chain(place, chain, target.again)
    return row.line(np.array(first, dtype=np.intp))


class _Row:
    """Steps laid one after the other."""

    def __init__(self, search: Search) -> None:
        self.search = search
        self.places = len(search.opening)
        self.shut = search.opening * ~bits_of(search.open_now, self.places)
        self.item: list[int] = []
        self.figures: list[tuple[float, ...]] = []
        self.look: list[int] = []
        self.rows: list[tuple[int, ...]] = []
        self.opens: list[NDArray[np.bool_]] = []
        self.rest: list[Treatment] = []

    def glance(self, place: int, glance: Glance, chain: Sequence[Treatment], again: float) -> None:
        """Look, and treat if it shows, until it shows no more."""
        opens = bits_of(glance.opens, self.places)
        shut = self.shut * ~opens
        through, left = 0.0, 1.0
        for one in chain:
            new = bits_of(one.opens, self.places)
            through += left * (one.cost + again + float(new @ shut))
            left *= 1.0 - one.cures
            shut = shut * ~new
        first = float(bits_of(chain[0].opens, self.places) @ (self.shut * ~opens))
        cures = glance.shows * (1.0 - left)
        figures = (glance.cost, cures, cures, through, chain[0].cost + again + first)
        self._add(place, (*figures, glance.shows, glance.false), glance.test, opens, glance.rows)
        self.rest.append(chain[0])

    def chain(self, place: int, chain: Sequence[Treatment], again: float) -> None:
        """The treatments of one item."""
        opens = [bits_of(one.opens, self.places) for one in chain]
        spent = [one.cost + again for one in chain]
        whole = [price + float(row @ self.shut) for price, row in zip(spent, opens, strict=True)]
        ratio = blocks_of(whole, [one.cures for one in chain]).ratio
        for one, price, row, gain in zip(chain, spent, opens, ratio, strict=True):
            self._add(place, (price, one.cures, gain, 0.0, 0.0, 0.0, 0.0), -1, row)
        self.rest += chain

    def _add(
        self,
        place: int,
        figures: tuple[float, ...],
        look: int,
        opens: NDArray[np.bool_],
        rows: tuple[int, ...] = (),
    ) -> None:
        self.item.append(place)
        self.figures.append(figures)
        self.look.append(look)
        self.opens.append(opens)
        self.rows.append(rows)

    def line(self, first: NDArray[np.intp]) -> Line:
        """All of them as arrays."""
        table = np.array(self.figures, dtype=np.float64).reshape(-1, 7)
        return Line(
            item=np.array(self.item, dtype=np.intp),
            cost=table[:, 0],
            cures=table[:, 1],
            ratio=table[:, 2],
            extra=table[:, 3],
            vain=table[:, 4],
            shows=table[:, 5],
            false=table[:, 6],
            look=np.array(self.look, dtype=np.intp),
            rows=tuple(self.rows),
            opens=np.array(self.opens, dtype=np.bool_).reshape(len(table), self.places),
            first=first,
            treatments=tuple(self.rest),
        )


def keys_by(
    line: Line,
    marginal: Floats,
    rule: Rule,
    without: NDArray[np.intp] | None = None,
    shut: Floats | None = None,
) -> tuple[Floats, NDArray[np.bool_]]:
    """What the steps are sorted by, highest first, and which of them are done at all.

    Parameters
    ----------
    line : Line
    marginal : ndarray, shape (columns, items)
        Chance that each item is active.
    rule : {"ratio", "likely", "cheap"}
        Chance over cost; the most likely item first; the cheapest item first.
    without : ndarray of int, shape (columns, tests), optional
        Tests that each belief has used up; -1: none.
    shut : ndarray, shape (places,), optional
        What it costs to open each place.

    Returns
    -------
    ndarray, shape (columns, steps)
    ndarray of bool, shape (columns, steps)

    Notes
    -----
    Steps of one chain keep their order under a stable sort. By "likely" and "cheap" a chain is
    gone through whole before the next begins, as who buys part after part does it. A glance is
    done only where it gains more for its cost than treating at once.

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.seeking import Goal
    >>> two = Search(np.ones(1), np.ones((2, 1), bool), (Goal((0, 1)),),
    ...     ((Treatment("a", 2.0, 1.0),), (Treatment("b", 8.0, 1.0),)), (), np.zeros(0))
    >>> keys_by(line_of(two, 0), np.array([[0.4, 0.6]]), "likely")[0].tolist()
    [[0.4, 0.6]]
    """
    share = marginal[:, line.item]
    used = np.ones(share.shape, dtype=np.bool_)
    if rule == "likely":
        return share, used
    if rule == "cheap":
        cheapest = np.array([line.cost[at] if at >= 0 else 0.0 for at in line.first])
        return np.broadcast_to(-cheapest[line.item], share.shape), used
    keys = share * line.ratio
    for step in np.flatnonzero(line.look >= 0):
        chance = share[:, step]
        opening = 0.0 if shut is None else float(line.opens[step] @ shut)
        spent = line.cost[step] + opening + line.shows[step] * line.extra[step] * chance
        spent = spent + line.false[step] * line.vain[step] * (1.0 - chance)
        glance = chance * line.ratio[step] / np.maximum(spent, LEAST_COST)
        worth = glance > keys[:, step + 1]
        if without is not None:
            worth &= (without != line.look[step]).all(axis=1)
        used[:, step] = worth
        keys[:, step] = np.where(worth, glance, keys[:, step + 1])
        later = (line.item == line.item[step]) & (line.look < 0)
        keys[:, later] *= np.where(worth, 1.0 - line.cures[step], 1.0)[:, None]
    return keys, used


def bare_of(line: Line) -> Line:
    """The same line without its looks.

    Parameters
    ----------
    line : Line

    Returns
    -------
    Line

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.seeking import Goal
    >>> one = Search(np.ones(1), np.ones((1, 1), bool), (Goal((0,)),),
    ...     ((Treatment("a", 2.0, 1.0),),), (), np.zeros(0))
    >>> looked = line_of(one, 0, (), {0: Glance(0, 1.0, 0.9, 0.1, 0)})
    >>> len(looked.cost), len(bare_of(looked).cost)
    (2, 1)
    """
    plain = np.flatnonzero(line.look < 0)
    before = np.cumsum(line.look >= 0)
    return Line(
        item=line.item[plain],
        cost=line.cost[plain],
        cures=line.cures[plain],
        extra=line.extra[plain],
        vain=line.vain[plain],
        shows=line.shows[plain],
        false=line.false[plain],
        look=line.look[plain],
        rows=tuple(line.rows[step] for step in plain),
        opens=line.opens[plain],
        ratio=line.ratio[plain],
        first=np.array([at - before[at] if at >= 0 else -1 for at in line.first], dtype=np.intp),
        treatments=tuple(line.treatments[step] for step in plain),
    )


def bits_of(mask: int, places: int) -> NDArray[np.bool_]:
    """A bit mask of places as an array.

    Parameters
    ----------
    mask : int
    places : int
        How many there are.

    Returns
    -------
    ndarray of bool, shape (places,)

    Examples
    --------
    >>> bits_of(5, 3).tolist()
    [True, False, True]
    """
    return np.array([bool(mask >> place & 1) for place in range(places)], dtype=np.bool_)
