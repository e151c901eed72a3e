"""Which promises of the plan kept before are broken now, by how much, and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from retrue.base.formatter import short
from retrue.base.say import say
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.plan_lines import Broke, MachineDates, PlanView

BROKEN_DAYS = 1.0
MOST_NAMED = 3


def broken(
    machines: Iterable[MachineDates],
    cards: Mapping[str, Cards],
    before: PlanView | None,
    made_of: Iterable[tuple[str, str]] = (),
) -> tuple[Broke, ...]:
    """Promises of the plan kept before that this one does not keep, and why.

    Parameters
    ----------
    machines : iterable of MachineDates
        As they are now.
    cards : mapping of machine to Cards
    before : PlanView or None
    made_of : iterable of (name, hash)
        Hands, gear and what was chosen, as they are now.

    Returns
    -------
    tuple of Broke
        Those that are a day later or more, or for which there is no date any more.

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
        was_on = was.get(one.machine)
        if was_on is None:
            continue
        late = _days(was_on, one.promise_on)
        if late is None and not (one.machine in cards and _left(cards[one.machine])):
            continue
        if late is None or late >= BROKEN_DAYS:
            why = _why(cards[one.machine], before, dict(made_of))
            found.append(_broke(one, was_on, late, why))
    return tuple(found)


def _left(cards: Cards) -> bool:
    return any(one.good_part and one.state != "done" for one in cards.cards)


def broken_leads(
    machines: Iterable[MachineDates], was: Mapping[str, str | None], factor: float
) -> tuple[Broke, ...]:
    """By how much promises break where every delivery takes so many times as long.

    Parameters
    ----------
    machines : iterable of MachineDates
        With those deliveries.
    was : mapping of machine to ISO date or None
        Promises with deliveries as they are taken.
    factor : float

    Returns
    -------
    tuple of Broke
        One for every machine that has a date without, whether late or not.
    """
    why = say("every delivery takes {factor} times as long", factor=short(factor))
    return tuple(
        _broke(one, was_on, _days(was_on, one.promise_on), why)
        for one in machines
        for was_on in (was.get(one.machine),)
        if was_on is not None
    )


def _broke(one: MachineDates, was_on: str, days: float | None, why: str) -> Broke:
    return Broke(machine_name=one.machine_name, was_on=was_on, now_on=one.promise_on, days=days,
                 why=why)  # fmt: skip


def _why(cards: Cards, before: PlanView, made_of: Mapping[str, str]) -> str:
    """All that came since: found, stuck, promised later; else hands, gear, choices; else time."""
    told = [*_came(cards, before), *_changed(before, made_of)]
    return "; ".join(map(str, told)) or say("less was done than planned until today")


def _changed(before: PlanView, made_of: Mapping[str, str]) -> Iterator[str]:
    was = dict(before.made_of)
    words = {
        "hands": say("the evenings were changed since"),
        "gear": say("hoist or other gear was changed since"),
        "chosen": say("something else was chosen since"),
    }
    for name, told in words.items():
        if name in was and name in made_of and was[name] != made_of[name]:
            yield told


def _came(cards: Cards, before: PlanView) -> Iterator[str]:
    old = {row.card.key: row.card for row in before.rows if row.card.machine == cards.machine}
    new = [c for c in cards.cards if c.faults and c.state != "done" and c.chance >= 1.0
           and (c.key not in old or old[c.key].chance < 1.0)]  # fmt: skip
    if new:
        yield say("found since: {what}", what=_once(new))
    for state, words in (("stuck", say("stuck")), ("not_now", say("put off"))):
        held = [
            c
            for c in cards.cards
            if c.state == state and (c.key not in old or old[c.key].state != state)
        ]
        if held:
            yield say("{words}: {what}", words=words, what=_once(held))
    late = [c for c in cards.cards if c.key in old and _promised(c) > _promised(old[c.key]) != ""]
    if late:
        yield say("promised later now: {what}", what=_once(late))


def _once(cards: Sequence[Card]) -> str:
    return "; ".join(map(str, list(dict.fromkeys(card.title for card in cards))[:MOST_NAMED]))


def _promised(card: Card) -> str:
    return next((part.promised_on for part in card.parts if part.promised_on), "") or ""


def _days(was: str, now: str | None) -> float | None:
    if now is None:
        return None
    return float((date.fromisoformat(now) - date.fromisoformat(was)).days)
