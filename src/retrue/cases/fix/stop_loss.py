"""Go on, or stop here: what is still to come, never what is spent."""

from __future__ import annotations

import numpy as np

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.fix.amounts import about
from retrue.cases.fix.choice_lines import StopLoss
from retrue.cases.fix.far import Far, from_here, shared_from_here
from retrue.cases.options import Chooser
from retrue.cases.plans import Plan, carry_out
from retrue.cases.work import Floats

GO_ON, SELL, PARTS = "go_on", "sell_as_it_stands", "part_out"


def stop_loss_of(
    chooser: Chooser,
    index: int,
    plan: Plan,
    far: Far,
    *,
    currency: str = "EUR",
    hours_before: float = 0.0,
    more_money: float = 0.0,
) -> StopLoss:
    """Whether to go on with one machine, seen from today.

    Parameters
    ----------
    chooser : Chooser
        The lot in its worlds, as the price has it: ``view.chooser``.
    index : int
        Place of the machine in its lot.
    plan : Plan
        What it is worked for; one with a level.
    far : Far
        What is behind it.
    currency : str
        The shop's.
    hours_before : float
        Own hours another machine takes first.
    more_money : float
        Still to be spent beyond what the tables say.

    Returns
    -------
    StopLoss

    Notes
    -----
    The choice is made by means alone, given what is known today; no drawn cost, hour or success
    is read. What was spent stands on neither side.

    References
    ----------
    That only what is still to come counts: Howard 1966, Information Value Theory, IEEE
    Transactions on Systems Science and Cybernetics 2(1), and any text on sunk cost; by definition.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.scene import scene_of
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> seen = scene_of(case, "mill", load(), worlds=200, arrived=True)
    >>> stop = stop_loss_of(seen.view.chooser, 0, seen.plan, seen.far)
    >>> round(stop.ahead_by - (stop.stop_at - stop.still_money), 6)
    0.0
    """
    prospect = from_here(chooser.prospects[index], far)
    rate, worlds = prospect.settled.rate, len(prospect.age)
    outcome = carry_out(prospect, plan, chooser.work(index, plan), np.full(worlds, hours_before))
    extra, extra_hours = shared_from_here(chooser.shared, far, len(chooser.prospects))
    going = outcome.gain_through - extra - extra_hours * rate - more_money
    stopping = {SELL: prospect.as_found.gain, PARTS: prospect.in_parts.gain}
    means = {name: float(gain.mean()) for name, gain in stopping.items()}
    other = max(means, key=means.__getitem__)
    go_on = float(going.mean())
    ahead = go_on - means[other]
    money = float((outcome.money_through + extra).mean()) + more_money
    hours = float((outcome.hours_through + extra_hours).mean())
    odds = _odds(going, stopping[other])
    stop_at = max(0.0, money + ahead)
    return StopLoss(
        go_on=go_on,
        sell_as_it_stands=means[SELL],
        part_out=means[PARTS],
        ahead_by=ahead,
        stop_at=stop_at,
        best=GO_ON if ahead >= 0.0 else other,
        odds=odds,
        words=_words(ahead, other, odds, (money, hours), stop_at, currency),
        currency=currency,
        still_money=money,
        still_hours=hours,
    )


def _odds(going: Floats, stopping: Floats) -> float:
    return float((going > stopping).mean())


def _words(
    ahead: float,
    other: str,
    odds: float,
    still: tuple[float, float],
    stop_at: float,
    currency: str,
) -> str:
    instead = {SELL: say("selling it as it stands"), PARTS: say("parting it out")}[other]
    told = say(
        "From here on it still takes about {money} and {hours} h on average.",
        money=about(still[0], currency),
        hours=formatter.number(still[1]),
    )
    if ahead >= 0.0:
        verdict = say(
            "Going on is ahead of {instead} by about {ahead}; it turns out better in {odds}. "
            "Stopping would be as good if {stop_at} were still to spend.",
            instead=instead,
            ahead=about(ahead, currency),
            odds=formatter.odds(odds),
            stop_at=about(stop_at, currency),
        )
    else:
        verdict = say(
            "{instead} is ahead of going on by about {ahead}; going on turns out better in {odds}.",
            instead=instead[0].upper() + instead[1:],
            ahead=about(-ahead, currency),
            odds=formatter.odds(odds),
        )
    return f"{told} {verdict} " + say("What is spent so far counts for nothing in this.")
