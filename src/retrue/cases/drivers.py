"""What moved the price, and what would move it most: the same worlds, weighed anew."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.belief.likelihood import likelihood, spread
from retrue.belief.network import Evidence
from retrue.cases.case import LotCase
from retrue.cases.network import CaseNetwork
from retrue.cases.said import finding_words
from retrue.cases.sheet import Move, MovedRow
from retrue.cases.view import View
from retrue.choose.moving import condition_moves, price_without, rank, shifted_price
from retrue.choose.walkaway import Ranked, down_to_step

Floats = NDArray[np.float64]

MOST_CONDITIONS = 30  # looked at, by how they go with the gain
MOST_MOVES = 12  # shown
MOST_OPTIONS = 5  # that could become the best one when weights shift
QUARTER = 0.25
LEAST_SPREAD = 0.005  # a finding nearly sure of something leaves no worlds without it to weigh up


def leading(view: View, most: int) -> list[int]:
    """Options that could carry the price: half by the price itself, half by their mean.

    Parameters
    ----------
    view : View
    most : int

    Returns
    -------
    list of int
        Places in ``view.options``.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> leading(SimpleNamespace(options="abc", means=[1.0, 3.0, 2.0], order=(0, 1, 2)), 2)
    [0, 1]
    """
    by_mean = sorted(range(len(view.options)), key=lambda i: (-view.means[i], i))
    half = most // 2
    return list(dict.fromkeys([*view.order[:half], *by_mean[: most - half]]))


def moves(view: View) -> tuple[Move, ...]:
    """What would move the price most: odds halved and doubled, costs a quarter less and more.

    Parameters
    ----------
    view : View

    Returns
    -------
    tuple of Move
        Prices if it is less and if it is more, widest first.
    """
    rows = [*_conditions(view), *_figures(view)]
    rows.sort(key=lambda row: (-abs(row.high - row.low), row.what))
    return tuple(row for row in rows if row.high != row.low)[:MOST_MOVES]


def _conditions(view: View) -> list[Move]:
    settled, states = view.settled, view.states
    share = states.mean(axis=1)
    open_ones = np.flatnonzero((share > 0.004) & (share < 0.996))
    if not len(open_ones):
        return []
    gain = view.gains[view.best] - view.gains[view.best].mean()
    together = np.abs(states[open_ones] @ gain) / len(gain)
    kept = open_ones[np.argsort(-together, kind="stable")[:MOST_CONDITIONS]]
    ranked = rank(view.gains[leading(view, MOST_OPTIONS)])
    prices = condition_moves(ranked, states[kept], odds=settled.odds, k=settled.k)
    names = _names(view)
    return [
        Move(
            what=names.get(int(variable), ""),
            low=down_to_step(float(less), settled.step),
            high=down_to_step(float(more), settled.step),
        )
        for variable, (less, more) in zip(kept, prices, strict=True)
        if int(variable) in names
    ]


def _names(view: View) -> dict[int, str]:
    """Variables in words: faults and past lives of each machine, and who can be relied on."""
    built, names = view.stage.built, {}
    several = len(view.stage.case.machines) > 1
    for (machine, life), variable in built.histories.items():
        name = built.kinds[machine].histories[life].name
        shared = list(built.histories.values()).count(variable) > 1
        names[variable] = name if shared or not several else f"{machine}: {name}"
    for (machine, fault), variable in built.faults.items():
        name = built.kinds[machine].faults[fault].name
        shared = list(built.faults.values()).count(variable) > 1
        names[variable] = name if shared or not several else f"{machine}: {name}"
    for informant, variable in built.candid.items():
        names[variable] = say("{who} tells it straight", who=informant)
    return names


def _figures(view: View) -> list[Move]:
    """Repair and move prices, own hours, resale and the alternative's price, a quarter each way."""
    kept = leading(view, MOST_OPTIONS)
    gains = view.gains[kept]
    scale = QUARTER / view.settled.exchange
    options = [view.options[i] for i in kept]
    rate = view.settled.rate
    money = np.array([o.money for o in options]) * scale
    hours = np.array([sum(x.hours for x in o.outcomes) for o in options]) * rate * scale
    brings = np.array([sum(x.brings for x in o.outcomes) for o in options]) * scale
    others = np.array([_alternatives(view, i) for i in kept]) * scale
    return [
        _figure(view, say("what repairs and moving cost, a quarter less or more"), gains, -money),
        _figure(view, say("your own hours, a quarter less or more"), gains, -hours),
        _figure(
            view, say("what a machine brings at resale, a quarter less or more"), gains, brings
        ),
        _figure(view, say("the price of the alternative, a quarter less or more"), gains, others),
    ]


def _alternatives(view: View, index: int) -> Floats:
    """Price of the alternatives whose place the kept machines take."""
    total = np.zeros(view.gains.shape[1])
    for prospect, outcome in zip(view.chooser.prospects, view.options[index].outcomes, strict=True):
        if outcome.plan.keeps:
            total = total + prospect.worth.price * outcome.went_on
    return total


def _figure(view: View, what: str, gains: Floats, shift: Floats) -> Move:
    settled = view.settled
    less, more = (
        shifted_price(gains, sign * shift, odds=settled.odds, k=settled.k) for sign in (-1.0, 1.0)
    )
    return Move(
        what=what, low=down_to_step(less, settled.step), high=down_to_step(more, settled.step)
    )


@dataclass(frozen=True, slots=True, eq=False)
class Moving:
    """What each finding does to the price: as it would stand without it, and as it stands.

    A finding is taken out by weighing the same worlds anew; one so sure of something that no
    world without it is left has to be drawn anew.
    """

    view: View
    case: LotCase
    built: CaseNetwork
    found: tuple[Evidence, ...]

    def _evidence(self, id: str) -> list[Evidence]:
        return [e for e in self.found if e.key == id or e.key.startswith(f"{id}@")]

    @property
    def hard(self) -> tuple[str, ...]:
        """Ids of findings that have to be drawn anew."""
        return tuple(
            kept.id
            for kept in self.case.findings
            if kept.id not in self.view.set_aside
            and any(spread(each) < LEAST_SPREAD for each in self._evidence(kept.id))
        )

    def rows(self, redrawn: Mapping[str, float]) -> tuple[MovedRow, ...]:
        """All findings that count, in their order.

        Parameters
        ----------
        redrawn : mapping of str to float
            Prices without the hard ones.

        Returns
        -------
        tuple of MovedRow
        """
        ranked = rank(self.view.gains[leading(self.view, MOST_OPTIONS)])
        rows = []
        for kept in self.case.findings:
            mine = self._evidence(kept.id)
            if mine and kept.id not in self.view.set_aside:
                known = redrawn.get(kept.id)
                before = self._without(mine, ranked) if known is None else known
                text = finding_words(kept.finding, dict(self.built.kinds))
                now = self.view.price.amount
                rows.append(MovedRow(finding=kept.id, text=text, before=before, after=now))
        return tuple(rows)

    def _without(self, mine: list[Evidence], ranked: tuple[Ranked, ...]) -> float:
        settled, chance = self.view.settled, np.ones(self.view.gains.shape[1])
        for each in mine:
            chance = chance * likelihood(each, self.view.drawn)
        weighed = price_without(ranked, np.maximum(chance, 1e-12), odds=settled.odds, k=settled.k)
        return down_to_step(weighed.price, settled.step)
