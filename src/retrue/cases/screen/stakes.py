"""One lot of a catalogue as something to bid on: what may be bid, where it wins, what it takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Refusal
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.landing import Lines
from retrue.cases.options import Option
from retrue.cases.pricing import why_nothing
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.others import Others, others_at
from retrue.cases.screen.sale_drawer import sale_drawer
from retrue.cases.screen.score import FLOOR
from retrue.cases.screen.widen import view_of
from retrue.cases.view import View
from retrue.choose.bids import bid_steps
from retrue.choose.commit import Candidate
from retrue.kinds.library import Kind

Floats = NDArray[np.float64]

WORLDS = 8_000  # half to choose on, half to hold against it
LEVELS = 12  # bids tried for each lot
MOST_NEEDS = 4  # of one lot; what further machines meet is not held against other lots


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stake:
    """One lot that may be bid on, drawn in worlds that it shares with the others of its sale.

    Attributes
    ----------
    number, line, title : str, int, str
        As in the catalogue.
    sale : str
        fixed_price, offer, ascending, sealed.
    currency : str
        Of the lot.
    shop_currency : str
    exchange : float
        Shop money for one unit of the lot's.
    k : float
        All that goes up with the hammer price, as a factor on it.
    walk_away : float or None
        Hammer price not to go above, in the lot's currency.
    why : str
        Why there is nothing to bid; empty where there is.
    candidate : Candidate or None
        Bids and what comes of them, in shop money; None where nothing can be priced.
    worlds : int
        In how many it was drawn.
    """

    number: str
    line: int
    title: str
    sale: str
    currency: str
    shop_currency: str
    exchange: float
    k: float
    walk_away: float | None
    why: str
    candidate: Candidate | None
    worlds: int = WORLDS

    def won(self, amount: float) -> Stake:
        """The same lot, won already.

        Parameters
        ----------
        amount : float
            Hammer price, in the lot's currency.

        Returns
        -------
        Stake

        Notes
        -----
        Of a lot that is no machine nothing is known but what it cost: that is counted at the
        hammer, and as worth it.
        """
        known, paid = self.candidate, amount * self.k * self.exchange
        worlds = self.worlds if known is None else known.worlds
        if known is None:
            zero = np.zeros((1, worlds))
            known = Candidate(np.zeros(0), np.zeros((0, worlds), np.bool_), np.zeros((0, worlds)),
                              zero + paid, zero, zero, zero[0])  # fmt: skip
        held = replace(
            known,
            bids=np.array([amount]),
            wins=np.ones((1, worlds), np.bool_),
            pays=np.full((1, worlds), paid),
            held=True,
        )
        return replace(self, candidate=held, why="")


def stake_of(
    listed: ListedLot,
    kinds: Mapping[str, Kind],
    *,
    seed: int = 7,
    worlds: int = WORLDS,
    ceiling: float | None = None,
) -> Stake:
    """What may be bid on one lot, and what comes of each bid in every world.

    Parameters
    ----------
    listed : ListedLot
    kinds : mapping of kind id to Kind
    seed, worlds : int
        The same for all lots of a sale.
    ceiling : float or None
        Hammer price not to go above, as the screening said; None: as these worlds say.

    Returns
    -------
    Stake
        Without a candidate, and with the reason, where nothing can be priced.

    Examples
    --------
    >>> cabinet = ListedLot(number="7", line=8, title="cabinet", case=None, why="is no machine",
    ...     kinds=(), stand_in=False, said=(), gaps=())
    >>> stake_of(cabinet, {}).why
    'is no machine'
    """
    case = listed.case
    if case is None or not case.machines:
        return _none(listed, worlds, listed.why or say("the lot has no machine"))
    try:
        drawer = sale_drawer(case, seed, worlds)
        view = view_of(case, kinds, drawer, stand_in=listed.stand_in)
    except Refusal as refusal:
        return _none(listed, worlds, refusal.reason)
    most = view.price.amount if ceiling is None else ceiling
    others = others_at(view, case)
    bids = _bids(others, most, view, case)
    why = "" if len(bids) else _why(view, case, others, most)
    settled = view.settled
    return replace(
        _none(listed, worlds, why),
        exchange=settled.exchange,
        k=settled.k,
        walk_away=most,
        candidate=_candidate(view, case, others, bids),
    )


def _none(listed: ListedLot, worlds: int, why: str) -> Stake:
    case = listed.case
    return Stake(
        number=listed.number,
        line=listed.line,
        title=listed.title,
        sale="" if case is None else case.terms.sale,
        currency="" if case is None else case.lot.currency,
        shop_currency="" if case is None else case.shop.currency,
        exchange=1.0,
        k=1.0,
        walk_away=None,
        why=why,
        candidate=None,
        worlds=worlds,
    )


def _bids(others: Others, most: float, view: View, case: LotCase) -> Floats:
    """Bids to try: evenly spread over their chance of winning, the highest among them."""
    if case.terms.sale == "fixed_price" and case.terms.asking is not None:
        asked = float(case.terms.asking)
        return np.array([asked] if asked <= most else [])
    steps = bid_steps(most, view.settled.step)
    wins = np.searchsorted(np.sort(others.price), steps, side="right") / others.price.size
    if not len(steps) or wins[-1] <= 0:
        return np.zeros(0)
    wanted = wins[-1] * (np.arange(LEVELS) + 1.0) / LEVELS
    return np.asarray(steps[np.unique(np.searchsorted(wins, wanted - 1e-12))])


def _why(view: View, case: LotCase, others: Others, most: float) -> str:
    if most <= 0:
        return why_nothing(view) or say(
            "even for nothing it is no better than the best alternative"
        )
    if case.terms.sale == "fixed_price" and case.terms.asking is not None:
        return say("the price asked is above yours: do not buy")
    if float(others.price.min()) > most:
        return say("it goes above your price")
    return say("no bid step is left below your price")


def _candidate(view: View, case: LotCase, others: Others, bids: Floats) -> Candidate:
    settled, worlds = view.settled, view.gains.shape[1]
    met = [others.meet(float(bid)) for bid in bids]
    needs = _needs(view)
    rows, option_of, meets = _by_needs(view, needs)
    options = [view.options[row] for row in rows]
    return Candidate(
        bids=bids,
        wins=np.array([won for won, _ in met], np.bool_).reshape(len(bids), worlds),
        pays=np.array([paid for _, paid in met]).reshape(len(bids), worlds)
        * (settled.k * settled.exchange),
        gain=np.array([option.gain for option in options]),
        money=np.array([option.money for option in options]),
        hours=np.array([_hours(view, option) for option in options]),
        floor=_floor(view, case),
        needs=needs,
        option_of=option_of,
        meets=meets,
    )


def _kept(view: View, option: Option) -> set[str]:
    """Kinds that stay and work: the needs an option meets."""
    return {
        prospect.kind.id
        for prospect, outcome in zip(view.chooser.prospects, option.outcomes, strict=True)
        if outcome.plan.keeps
    }


def _needs(view: View) -> tuple[str, ...]:
    kept = set[str]().union(*(_kept(view, option) for option in view.options))
    return tuple(sorted(kept))[:MOST_NEEDS]


def _by_needs(
    view: View, needs: Sequence[str]
) -> tuple[list[int], tuple[int, ...], tuple[int, ...]]:
    """For each set of needs met by others: the option that carries most and meets none of them."""
    bits = []
    for option in view.options:
        kept = _kept(view, option)
        bits.append(sum(1 << place for place, need in enumerate(needs) if need in kept))
    taken = [
        next((row for row in view.order if not bits[row] & met), _least(view, bits))
        for met in range(1 << len(needs))
    ]
    rows = list(dict.fromkeys(taken))
    return rows, tuple(rows.index(row) for row in taken), tuple(bits[row] for row in rows)


def _least(view: View, bits: Sequence[int]) -> int:
    """Where every option keeps something: the one that keeps least."""
    return min(view.order, key=lambda row: bits[row].bit_count())


def _hours(view: View, option: Option) -> Floats:
    """Own hours of an option, all of them."""
    shared = view.chooser.shared
    hours = shared.hours + sum(outcome.hours for outcome in option.outcomes)
    if any(outcome.plan.works for outcome in option.outcomes):
        hours = hours + shared.running_hours
    return np.asarray(hours)


def _floor(view: View, case: LotCase) -> Floats:
    """Floor of all machines of the lot, each stored with one walkway."""
    drawer = view.stage.drawer
    floor = np.zeros(drawer.worlds)
    for prospect in view.chooser.prospects:
        if FLOOR in prospect.kind.costs:
            lines = Lines(case, prospect.machine.name, prospect.kind, drawer)
            floor = floor + lines.money(FLOOR)
    return floor
