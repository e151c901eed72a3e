"""The fine print of a plan: what was assumed, who is called, how good it is, what comes last."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from retrue.base.formatter import day
from retrue.base.say import say
from retrue.cases.fix.hands import Staff
from retrue.cases.fix.schedule import Laid
from retrue.plan.jobs import Order

LATER = timedelta(
    days=28
)  # so long after a first good part what it does not need is told (judgement)


def fine_print(staff: Staff, laid: Laid, order: Order, worlds: int) -> tuple[str, ...]:
    """Sentences below a plan.

    Parameters
    ----------
    staff : Staff
    laid : Laid
    order : Order
    worlds : int
        Ways it was played through.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from datetime import datetime
    >>> from types import SimpleNamespace
    >>> from retrue.plan.jobs import Schedule
    >>> none = Schedule(start=datetime(2026, 11, 26), tasks=(), hands=())
    >>> laid = SimpleNamespace(schedule=none, called=(), cards_of={})
    >>> nobody = Staff(hands=(), shared=())
    >>> fine_print(nobody, laid, Order(placed=(), proved=True), 500)
    ('Estimate for planning, from 500 ways it could go.',)
    """
    lines = list(staff.fine)
    if laid.called:
        called = "; ".join(map(str, dict.fromkeys(laid.called)))
        lines.append(say("An electrician is called for: {what}.", what=called))
    lines += _last(laid, order)
    if order.priority:
        lines.append(say("Whoever is there takes the most pressing card that can be done; nobody "
                         "waits while there is one."))  # fmt: skip
    elif order.by_rule:
        lines.append(say("The order is by a plain rule: what the date hangs on first."))
    elif not order.proved:
        lines.append(say("A better order may exist; this one is the best that was found."))
    lines.append(say("Estimate for planning, from {worlds} ways it could go.", worlds=worlds))
    return tuple(lines)


def _last(laid: Laid, order: Order) -> Iterator[str]:
    """What no first good part needs, where it comes long after its machine cuts."""
    good = {task.key: task.good_part for task in laid.schedule.tasks}
    for machine in laid.schedule.day_worth:
        mine = [
            one
            for one in order.placed
            if laid.cards_of.get(one.key) and laid.cards_of[one.key][0].machine == machine
        ]
        cuts = max((one.ends for one in mine if good[one.key]), default=None)
        rest = [one for one in mine if not good[one.key]]
        begins = min((one.begins for one in rest), default=None)
        if cuts is not None and begins is not None and begins - cuts > LATER:
            first = laid.cards_of[rest[0].key][0]
            yield say(
                "{machine}: what its first good part does not need begins on {day} ({what}): "
                "it holds up no date, and the other machine goes first.",
                machine=first.machine_name,
                day=day(begins.date()),
                what=first.title,
            )
