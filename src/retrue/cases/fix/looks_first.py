"""Nothing is closed, and nothing switched on, over a danger that nobody has looked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from retrue.base.say import say
from retrue.cases.find.dead import is_dead
from retrue.cases.fix.kept import MachineKept
from retrue.cases.fix.licensed import is_his
from retrue.cases.fix.lines import Card
from retrue.cases.wake.closed import clearing_looks
from retrue.kinds.library import Check

PRESSING = ("STOP", "MUST")
SEEN = 1.0  # chance from which somebody has seen it
MOST_NAMED = 3


def look_to_make(card: Card, machine: MachineKept) -> Check | None:
    """The look with everything off that is still to be made for a fault nobody has seen.

    Parameters
    ----------
    card : Card
        Of a fault.
    machine : MachineKept

    Returns
    -------
    Check or None
        None where it does not press, was seen or cleared, or can only be looked for by a licensed
        electrician or on a machine that runs.
    """
    likely = card.sort == "work" and card.faults and card.chance < SEEN and card.state != "done"
    if not likely or card.urgency not in PRESSING:
        return None
    looks = [machine.kind.checks[one] for one in clearing_looks(machine.kind, card.faults[0])]
    dead = [one for one in looks if is_dead(one) and not is_his(one)]
    if any(one.id in machine.state.answered for one in dead):
        return None
    return next(iter(dead), None)


def looks_first(
    card: Card, listed: Mapping[str, Card], machine: MachineKept
) -> tuple[tuple[Card, Check], ...]:
    """What has to be looked for before a place is closed or anything is switched on.

    Parameters
    ----------
    card : Card
    listed : mapping of key to Card
        Those before it at least, with their states.
    machine : MachineKept

    Returns
    -------
    tuple of (Card, Check)
        Only of a closing and of first power.
    """
    if card.sort != "close" and not card.under_power:
        return ()
    before = (listed[wait.card] for wait in card.waits if wait.card in listed)
    found = ((one, look_to_make(one, machine)) for one in before)
    return tuple((one, look) for one, look in found if look is not None)


def look_words(looks: Iterable[tuple[Card, Check]]) -> str:
    """In words what to look for first.

    Parameters
    ----------
    looks : iterable of (Card, Check)

    Returns
    -------
    str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> look_words([(None, SimpleNamespace(text="Belt and springs seen"))])
    'look first, and keep what you see: Belt and springs seen'
    """
    named = list(dict.fromkeys(look.text.rstrip(".") for _, look in looks))
    what = "; ".join(map(str, named[:MOST_NAMED]))
    more = len(named) - MOST_NAMED
    if more > 0:
        return say("look first, and keep what you see: {what}; and {count} more", what=what,
                   count=more)  # fmt: skip
    return say("look first, and keep what you see: {what}", what=what)
