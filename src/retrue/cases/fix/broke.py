"""Which promises of the plan kept before are broken now, by how much, and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from retrue.base.say import say
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.plan_lines import Broke, MachineDates, PlanView

BROKEN_DAYS = 1.0
MOST_NAMED = 3


def broken(
    machines: Iterable[MachineDates], cards: Mapping[str, Cards], before: PlanView | None
) -> tuple[Broke, ...]:
    """Promises of the plan kept before that this one does not keep, and why.

    Parameters
    ----------
    machines : iterable of MachineDates
        As they are now.
    cards : mapping of machine to Cards
    before : PlanView or None

    Returns
    -------
    tuple of Broke
        Those that are a day later or more.

    Examples
    --------
    >>> broken((), {}, None)
    ()
    """
    if before is None:
        return ()
    was = {one.machine: one.promise_on for one in before.machines}
    found = []
    for one in machines:
        if one.machine in was:
            late = _days(was[one.machine], one.promise_on)
            if late >= BROKEN_DAYS:
                why = _why(cards[one.machine], before)
                found.append(_broke(one, was[one.machine], late, why))
    return tuple(found)


def broken_leads(
    machines: Iterable[MachineDates], was: Mapping[str, str], factor: float
) -> tuple[Broke, ...]:
    """By how much promises break where every delivery takes so many times as long.

    Parameters
    ----------
    machines : iterable of MachineDates
        With those deliveries.
    was : mapping of machine to ISO date
        Promises with deliveries as they are taken.
    factor : float

    Returns
    -------
    tuple of Broke
        One for every machine, whether late or not.
    """
    why = say("every delivery takes {factor} times as long", factor=f"{factor:g}")
    return tuple(
        _broke(one, was[one.machine], _days(was[one.machine], one.promise_on), why)
        for one in machines
        if one.machine in was
    )


def _broke(one: MachineDates, was_on: str, days: float, why: str) -> Broke:
    return Broke(machine_name=one.machine_name, was_on=was_on, now_on=one.promise_on, days=days,
                 why=why)  # fmt: skip


def _why(cards: Cards, before: PlanView) -> str:
    """What came since: found, stuck, put off, promised later; else the evenings themselves."""
    old = {row.card.key: row.card for row in before.rows if row.card.machine == cards.machine}
    new = [c for c in cards.cards if c.faults and c.state != "done" and c.chance >= 1.0
           and (c.key not in old or old[c.key].chance < 1.0)]  # fmt: skip
    if new:
        return say("found since: {what}", what=_once(new))
    for state, words in (("stuck", say("stuck")), ("not_now", say("put off"))):
        held = [
            c
            for c in cards.cards
            if c.state == state and (c.key not in old or old[c.key].state != state)
        ]
        if held:
            return say("{words}: {what}", words=words, what=_once(held))
    late = [c for c in cards.cards if c.key in old and _promised(c) > _promised(old[c.key]) != ""]
    if late:
        return say("promised later now: {what}", what=_once(late))
    return say("less was done than planned until today")


def _once(cards: Sequence[Card]) -> str:
    return "; ".join(list(dict.fromkeys(card.title for card in cards))[:MOST_NAMED])


def _promised(card: Card) -> str:
    return next((part.promised_on for part in card.parts if part.promised_on), "") or ""


def _days(was: str, now: str) -> float:
    return float((date.fromisoformat(now) - date.fromisoformat(was)).days)
