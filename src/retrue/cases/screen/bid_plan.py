"""Which lots of a sale to bid on, and how high, where money, floor and own hours are limited."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from retrue.base.formatter import money
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.screen.bid_odds import held_where, where_some_won, why_left_out
from retrue.cases.screen.bid_shapes import (
    ODDS,
    BidLine,
    BidPlan,
    Ended,
    LeftOut,
    LimitLine,
    LimitName,
    Limits,
)
from retrue.cases.screen.stakes import Stake
from retrue.choose import commit
from retrue.choose.commit import Came, Candidate, came_of, each_of
from retrue.choose.commit_choice import Choice, choose

__all__ = [
    "ODDS", "BidLine", "BidPlan", "Ended", "LeftOut", "LimitLine", "Limits", "choose_bids",
]  # fmt: skip

NEXT_TO_NOTHING = 0.005  # money; below it nothing better is left


def choose_bids(
    stakes: Sequence[Stake],
    limits: Limits,
    ended: Sequence[Ended] = (),
    *,
    seed: int = 7,
    currency: str = "",
) -> BidPlan:
    """Choose bids for the highest expected gain, with the odds kept that all limits hold.

    Parameters
    ----------
    stakes : sequence of Stake
        Drawn with one seed, in the same worlds.
    limits : Limits
    ended : sequence of Ended
        Lots that have gone: what is won is spent, what is lost is free again.
    seed : int
        The one the stakes were drawn with.
    currency : str
        Of the shop, where no stake says it.

    Returns
    -------
    BidPlan

    Raises
    ------
    Unusable
        A lot that has gone is not among the stakes, or has gone twice; a limit below zero.

    Notes
    -----
    A need is met once: of several machines of one kind that are won, the one to which it is worth
    most is kept, the others bring what they would if the need were met already.

    References
    ----------
    ``retrue.choose.commit_choice.choose``.

    Examples
    --------
    >>> choose_bids((), Limits(money=40_000.0)).why
    'there is no lot to bid on'
    """
    _check(stakes, limits, ended)
    gone = {one.number: one for one in ended}
    shop = next((one.shop_currency for one in stakes if one.shop_currency), currency)
    standing = [
        _after(replace(one, currency=one.currency or shop), gone.get(one.number)) for one in stakes
    ]
    open_ = [one for one in standing if one.candidate is not None and not one.why]
    candidates = [one.candidate for one in open_ if one.candidate is not None]
    bounds = commit.Limits(
        money=_or_none(limits.money),
        hours=_or_none(limits.hours),
        floor=_or_none(limits.floor_m2),
        odds=limits.odds,
    )
    choice = choose(candidates, bounds)
    fresh = [one.within(slice(one.worlds // 2, None)) for one in candidates]
    lines = _lines(open_, fresh, choice, bounds)
    some = where_some_won(fresh, choice.levels, choice.came, bounds)
    return BidPlan(
        lines=lines,
        left_out=_left_out(standing, open_, fresh, choice, bounds, shop),
        limits=_limits(fresh, choice, bounds),
        odds=limits.odds,
        held=1.0 - choice.over,
        holds=choice.held,
        gain=choice.gain,
        error=choice.error,
        at_most=choice.gain + choice.short,
        best=choice.short < NEXT_TO_NOTHING,
        why=_why(stakes, open_, lines, choice),
        currency=shop,
        worlds=candidates[0].worlds if candidates else 0,
        seed=seed,
        wins_some=some.wins_some,
        held_where_won=some.held,
    )


def _or_none(limit: float | None) -> float:
    return math.inf if limit is None else limit


def _check(stakes: Sequence[Stake], limits: Limits, ended: Sequence[Ended]) -> None:
    """Refuse what cannot be, all at once."""
    wrong = []
    known, seen = {one.number for one in stakes}, set[str]()
    for one in ended:
        field = "won" if one.won else "lost"
        if one.number not in known:
            wrong.append(Problem(field, say("lot {number} is not among these lots",
                                            number=one.number),
                                 say("Write its number as the catalogue does.")))  # fmt: skip
        elif one.number in seen:
            wrong.append(Problem(field, say("lot {number} has gone twice", number=one.number),
                                 say("Say it once: won, or lost.")))  # fmt: skip
        elif not one.amount >= 0:
            wrong.append(Problem(field, say("lot {number} went below zero", number=one.number),
                                 say("Give the hammer price.")))  # fmt: skip
        seen.add(one.number)
    for name in ("money", "floor_m2", "hours"):
        value = getattr(limits, name)
        if value is not None and not value >= 0:
            wrong.append(Problem(name, say("is below zero"), say("Give what there is, or none.")))
    if not 0 < limits.odds < 1:
        wrong.append(Problem("odds", say("does not lie between 0 and 1"),
                             say("Give odds such as 0.9.")))  # fmt: skip
    if wrong:
        raise Unusable(
            say("bids cannot be chosen so"), remedy=str(wrong[0].remedy), problems=tuple(wrong)
        )


def _after(stake: Stake, ended: Ended | None) -> Stake:
    """A lot as it stands, now that it may have gone."""
    if ended is None:
        return stake
    if ended.won:
        return stake.won(ended.amount)
    return replace(stake, candidate=None, why=say("it has gone to another"))


def _lines(
    open_: Sequence[Stake], fresh: Sequence[Candidate], choice: Choice, bounds: commit.Limits
) -> tuple[BidLine, ...]:
    came = each_of(fresh, choice.levels)
    found = []
    for place, stake in enumerate(open_):
        level = choice.levels[place]
        if level:
            without = (*choice.levels[:place], 0, *choice.levels[place + 1 :])
            gain = choice.gain - float(came_of(fresh, without).gain.mean())
            line = _line(stake, fresh[place], level, came[place], gain)
            held = held_where(fresh[place].wins[level - 1], choice.came, bounds)
            found.append(replace(line, held=held))
    return tuple(sorted(found, key=lambda line: (not line.won, -line.gain)))


def _line(stake: Stake, one: Candidate, level: int, came: Came, gain: float) -> BidLine:
    wins, bid = float(one.wins[level - 1].mean()), float(one.bids[level - 1])

    def where_won(values: commit.Floats) -> float:
        return float(values.mean()) / wins if wins else 0.0

    return BidLine(
        number=stake.number,
        title=stake.title,
        sale=stake.sale,
        bid=bid,
        walk_away=stake.walk_away,
        currency=stake.currency,
        wins=wins,
        pays=where_won(one.pays[level - 1] * one.wins[level - 1]) / (stake.k * stake.exchange),
        gain=gain,
        money=where_won(came.money),
        hours=where_won(came.hours),
        floor_m2=where_won(came.floor),
        won=one.held,
        says=_says(stake, bid, won=one.held),
    )


def _says(stake: Stake, bid: float, *, won: bool) -> str:
    amount = money(bid, stake.currency)
    if won:
        return say("yours, at {amount}", amount=amount)
    if stake.sale == "sealed":
        return say("write down {amount}", amount=amount)
    if stake.sale == "fixed_price":
        return say("pay {amount}, no more", amount=amount)
    if stake.sale == "offer":
        return say("begin lower, go up to {amount} and no further", amount=amount)
    return say("bid in steps, stop at {most}", most=amount)


def _left_out(
    standing: Sequence[Stake],
    open_: Sequence[Stake],
    fresh: Sequence[Candidate],
    choice: Choice,
    bounds: commit.Limits,
    currency: str,
) -> tuple[LeftOut, ...]:
    places = {stake.number: place for place, stake in enumerate(open_)}
    found = []
    for stake in standing:
        why = stake.why
        if (place := places.get(stake.number)) is not None:
            if choice.levels[place]:
                continue
            why = why_left_out(fresh, choice, place, bounds, currency)
        found.append(LeftOut(number=stake.number, title=stake.title, why=why))
    return tuple(found)


def _limits(
    fresh: Sequence[Candidate], choice: Choice, bounds: commit.Limits
) -> tuple[LimitLine, ...]:
    came = choice.came
    every = came_of([_won_at_bid(one) for one in fresh], choice.levels)
    names: tuple[tuple[LimitName, str], ...] = (
        ("money", "money"), ("floor", "floor"), ("hours", "hours"),
    )  # fmt: skip
    found = []
    for name, field in names:
        spent: commit.Floats = getattr(came, field)
        limit: float = getattr(bounds, field)
        over = spent > commit.no_more_than(limit)
        found.append(
            LimitLine(
                name=name,
                limit=limit if math.isfinite(limit) else None,
                expected=_mean(spent),
                likely=_at_odds(spent, bounds.odds),
                if_all=_at_odds(getattr(every, field), bounds.odds),
                over=_mean(over.astype(np.float64)),
            )
        )
    return tuple(found)


def _mean(values: commit.Floats) -> float:
    return float(values.mean()) if values.size else 0.0


def _at_odds(values: commit.Floats, odds: float) -> float:
    """Not above this in that share of the worlds."""
    if not values.size:
        return 0.0
    place = min(values.size - 1, math.ceil(odds * values.size) - 1)
    return float(np.partition(values, place)[place])


def _won_at_bid(one: Candidate) -> Candidate:
    """Every bid wins, and costs the most it may."""
    dearest = np.broadcast_to(
        np.max(np.where(one.wins, one.pays, 0.0), axis=1, initial=0.0)[:, None], one.pays.shape
    )
    return replace(one, wins=np.ones_like(one.wins), pays=dearest)


def _why(
    stakes: Sequence[Stake], open_: Sequence[Stake], lines: Sequence[BidLine], choice: Choice
) -> str:
    """Why nothing is bid."""
    if not stakes:
        return say("there is no lot to bid on")
    if not choice.held:
        return say("with what is won your limits hold too seldom: bid on nothing more")
    if all(one.candidate is not None and one.candidate.held for one in open_):
        return say("no lot that is left is worth a bid")
    if not any(not line.won for line in lines):
        return say("no bid gains anything within your limits")
    return ""
