"""Chosen bids as a terminal tells them: what to bid, what it takes of the limits, what is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from retrue.base import formatter
from retrue.base.say import later, say
from retrue.cases.screen.bid_plan import BidLine, BidPlan, LimitLine

FEW = 10  # lots left out that are told
LIMITS = {"money": later("Money"), "floor": later("Floor"), "hours": later("Own hours")}


def bid_lines(plan: BidPlan, top: Sequence[str] = ()) -> Iterator[str]:
    """The answer, each bid, each limit, and what was left out.

    Parameters
    ----------
    plan : BidPlan
    top : sequence of str
        What would change every price of the sale.

    Yields
    ------
    str
    """
    yield say("Caution: estimate for planning. Nobody has seen these machines.")
    yield from top
    if plan.rests_on_losing:
        yield say("These limits hold mostly because often nothing is won.")
    yield _answer(plan)
    yield from _where_won(plan)
    for place, line in enumerate(plan.lines, 1):
        yield ""
        yield say("{place}. Lot {number}: {title}", place=place, number=line.number,
                  title=line.title)  # fmt: skip
        yield from (f"   {each}" for each in _line(line, plan))
    yield ""
    yield from (_limit(one, plan) for one in plan.limits)
    yield from _left_out(plan)
    yield from _fine(plan)


def _answer(plan: BidPlan) -> str:
    if plan.why:
        return say("Do not bid: {why}.", why=plan.why)
    return say(
        "Bid on {count}: together they may bring {gain}; all limits hold {held}.",
        count=sum(not line.won for line in plan.lines),
        gain=formatter.money(plan.gain, plan.currency),
        held=formatter.odds(plan.held),
    )


def _where_won(plan: BidPlan) -> Iterator[str]:
    """How often anything is won at all, and whether the limits hold then."""
    if plan.held_where_won is None:
        return
    some = formatter.odds(plan.wins_some)
    if not plan.is_limited:
        yield say("Something is won {some}.", some=some)
        return
    yield say(
        "Something is won {some}; where it is, all limits hold {held}.",
        some=some,
        held=formatter.odds(plan.held_where_won),
    )


def _line(line: BidLine, plan: BidPlan) -> Iterator[str]:
    currency = plan.currency
    if line.won:
        yield f"{line.says}."
    else:
        yield say(
            "{says}; it is yours {wins}, then for about {pays}.",
            says=line.says,
            wins=formatter.odds(line.wins),
            pays=formatter.money(line.pays, line.currency),
        )
    takes = {
        "money": formatter.money(line.money, currency),
        "hours": formatter.number(line.hours),
        "floor": formatter.number(line.floor_m2),
        "gain": formatter.money(line.gain, currency),
    }
    if line.won:
        yield say("It takes {money}, {hours} own hours, {floor} m²; it adds {gain}.", **takes)
    else:
        yield say("It takes {money}, {hours} own hours, {floor} m² where it is won; it adds "
                  "{gain}.", **takes)  # fmt: skip
    if plan.is_limited and line.held is not None and not line.won:
        yield say("Where it is won, all limits hold {held}.", held=formatter.odds(line.held))


def _limit(one: LimitLine, plan: BidPlan) -> str:
    told = {
        name: _amount(one, value, plan)
        for name, value in (
            ("expected", one.expected), ("likely", one.likely), ("every", one.if_all),
        )
    }  # fmt: skip
    told |= {"name": str(LIMITS[one.name]), "odds": formatter.odds(plan.odds)}
    if one.limit is None:
        return say("{name}: no limit. On average {expected}; {odds} not above {likely}, and not "
                   "above {every} if every bid wins.", **told)  # fmt: skip
    told["limit"] = _amount(one, one.limit, plan)
    return say("{name}: limit {limit}. On average {expected}; {odds} not above {likely}, and not "
               "above {every} if every bid wins.", **told)  # fmt: skip


def _amount(one: LimitLine, value: float, plan: BidPlan) -> str:
    if one.name == "money":
        return formatter.money(value, plan.currency)
    unit = "h" if one.name == "hours" else "m²"
    return f"{formatter.number(value)} {unit}"


def _left_out(plan: BidPlan) -> Iterator[str]:
    for one in plan.left_out[:FEW]:
        yield say("Not lot {number}, {title}: {why}.", number=one.number, title=one.title,
                  why=one.why)  # fmt: skip
    if len(plan.left_out) > FEW:
        yield say("And {count} more: --json.", count=len(plan.left_out) - FEW)


def _fine(plan: BidPlan) -> Iterator[str]:
    if plan.lines and not plan.holds:
        yield say("With what is won, all limits hold only {held}.",
                  held=formatter.odds(plan.held))  # fmt: skip
    if not plan.why:
        if plan.best:
            yield say("No other choice of these bids within the limits brings more.")
        elif plan.bound is not None:
            yield say("No choice of bids within the limits brings more than {most}.",
                      most=formatter.money(plan.bound, plan.currency))  # fmt: skip
        else:
            yield say("It is not known how much better another choice of bids could be.")
        yield say("As the sale goes on, say how each lot went: --won 14=7200, --lost 9.")
    yield say("Fine print: {worlds} ways it may turn out, seed {seed}; error of the gain {error}.",
              worlds=formatter.number(plan.worlds), seed=plan.seed,
              error=formatter.money(plan.error, plan.currency))  # fmt: skip
