"""Chosen bids for other programs: as a table, and as one flat object."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from retrue import __version__
from retrue.base.say import say
from retrue.cases.screen.bid_plan import BidPlan

HEADINGS = (
    "number", "title", "sale", "stands", "bid", "do_not_go_above", "currency", "chance_of_winning",
    "goes_for", "gain", "money", "own_hours", "floor_m2", "shop_currency",
    "limits_hold_where_won", "what_to_do",
)  # fmt: skip
BID, OURS, LEFT = "bid", "won", "left out"


def bid_table(plan: BidPlan) -> list[list[Any]]:
    """Bids, and the lots that are left out, as rows.

    Parameters
    ----------
    plan : BidPlan

    Returns
    -------
    list of list
        The heading first; money to the cent, shares to a thousandth, None where there is nothing;
        then what all of it comes to.

    Examples
    --------
    >>> from retrue.cases.screen.bid_plan import Limits, choose_bids
    >>> bid_table(choose_bids((), Limits(money=40_000.0)))[1][:4]
    ['money', 'limit', 40000.0, 'expected']
    """
    rows: list[list[Any]] = [list(HEADINGS)]
    for line in plan.lines:
        rows.append([
            line.number, line.title, line.sale, OURS if line.won else BID, line.bid,
            line.walk_away, line.currency, round(line.wins, 3), round(line.pays, 2),
            round(line.gain, 2), round(line.money, 2), round(line.hours, 1),
            round(line.floor_m2, 1), plan.currency, _share(line.held), line.says,
        ])  # fmt: skip
    for one in plan.left_out:
        rows.append([one.number, one.title, "", LEFT, *[None] * 11, one.why])
    for limit in plan.limits:
        rows.append([
            limit.name, "limit", limit.limit, "expected", round(limit.expected, 2), "at the odds",
            round(limit.likely, 2), "if all win", round(limit.if_all, 2), "chance over",
            round(limit.over, 3),
        ])  # fmt: skip
    rows.append([
        "all limits", "hold", round(plan.held, 3), "something is won", round(plan.wins_some, 3),
        "hold where something is won", _share(plan.held_where_won),
    ])  # fmt: skip
    return rows


def _share(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def bid_json(plan: BidPlan) -> dict[str, Any]:
    """Bids as one flat object.

    Parameters
    ----------
    plan : BidPlan

    Returns
    -------
    dict
        Documented in docs/json.md; ``why`` says of each null why it is one.

    Examples
    --------
    >>> from retrue.cases.screen.bid_plan import Limits, choose_bids
    >>> told = bid_json(choose_bids((), Limits()))
    >>> told["lines"], told["why"]["limits.0.limit"]
    ((), 'nobody set one')
    """
    told = asdict(plan)
    nothing = told.pop("why")
    told["no_bid"] = nothing or None
    told["at_most"] = plan.bound
    told["version"] = __version__
    told["why"] = dict(_whys(plan))
    return told


def _whys(plan: BidPlan) -> Iterator[tuple[str, str]]:
    if not plan.why:
        yield "no_bid", say("there are bids")
    if plan.bound is None:
        yield "at_most", say("it is not known how much better another choice could be")
    if plan.held_where_won is None:
        yield "held_where_won", say("nothing is bid")
    for place, line in enumerate(plan.lines):
        if line.held is None:
            yield f"lines.{place}.held", say("it is won in none of these ways")
        if line.walk_away is None:
            yield f"lines.{place}.walk_away", say("no price was worked out")
    for place, limit in enumerate(plan.limits):
        if limit.limit is None:
            yield f"limits.{place}.limit", say("nobody set one")
