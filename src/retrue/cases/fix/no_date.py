"""Why a machine has no date: what of the way to its first good part cannot be planned."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.cases.fix.left_words import causes, left_reason
from retrue.cases.fix.lines import Card
from retrue.cases.fix.schedule import Bundle, Laid, unsupplied
from retrue.plan.jobs import LeftOut

Marks = NDArray[np.bool_]
MOST_NAMED = 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lost:
    """Runs that never come to a first good part, and why.

    Attributes
    ----------
    runs : ndarray of bool, shape (worlds,)
    why : str
        Empty where nothing is left out.
    """

    runs: Marks
    why: str = ""


def lost_of(bundle: Bundle, laid: Laid, left_out: Sequence[LeftOut]) -> Lost:
    """Runs of one machine that need what cannot be planned.

    Parameters
    ----------
    bundle : Bundle
        Of the machine.
    laid : Laid
    left_out : sequence of LeftOut
        Of the order.

    Returns
    -------
    Lost

    Examples
    --------
    >>> from datetime import datetime
    >>> from types import SimpleNamespace
    >>> from retrue.plan.jobs import Draws, Schedule, Task
    >>> lift = Task(key="m/lift", machine="m", hours=1.0)
    >>> laid = SimpleNamespace(
    ...     schedule=Schedule(start=datetime(2026, 11, 26), tasks=(lift,), hands=()),
    ...     draws=Draws(worlds=2, hours={"m/lift": np.array([1.0, 0.0])}), cards_of={})
    >>> bundle = SimpleNamespace(cards=SimpleNamespace(machine="m", cards=()))
    >>> gone = LeftOut(key="m/lift", why="no_day", about={"thing": "hoist", "count": "0"})
    >>> lost = lost_of(bundle, laid, (gone,))
    >>> lost.runs.tolist(), lost.why
    ([True, False], 'no date before there is a hoist')
    """
    machine = bundle.cards.machine
    runs = np.zeros(laid.draws.worlds, dtype=bool)
    needs = {task.key for task in laid.schedule.tasks
             if task.machine == machine and task.good_part and not task.done}  # fmt: skip
    gone = [one for one in left_out if one.key in needs]
    for one in gone:
        drawn = laid.draws.hours.get(one.key)
        runs |= True if drawn is None else drawn > 0
    bare = [card for card in bundle.cards.cards if unsupplied(card) and card.good_part]
    for card in bare:
        drawn = bundle.draws.hours.get(card.key)
        runs |= True if drawn is None else drawn > 0
    told = [*_left(causes(left_out, [one.key for one in gone]), laid.cards_of), *_bare(bare)]
    return Lost(runs=runs, why="; ".join(map(str, list(dict.fromkeys(told))[:MOST_NAMED])))


def _left(roots: Sequence[LeftOut], cards_of: Mapping[str, tuple[Card, ...]]) -> Iterator[str]:
    for one in roots:
        about = dict(one.about)
        if one.why == "no_day" and about.get("count") == "0":
            yield say("no date before there is a {thing}",
                      thing=about.get("thing", "").replace("_", " "))  # fmt: skip
        elif one.why == "nobody" and about.get("people"):
            yield say("no date before somebody comes to help")
        elif one.why == "no_end":
            yield say("no date within three years of these evenings")
        else:
            cards = cards_of.get(one.key, ())
            title = cards[0].title if cards else one.key
            why = left_reason(one, cards_of)
            yield say("no date as long as this cannot be planned: {title}: {why}", title=title,
                      why=why)  # fmt: skip


def _bare(cards: Sequence[Card]) -> Iterator[str]:
    for card in cards:
        if card.chance >= 1.0:
            yield say("no date before somebody supplies it: {what}", what=card.title)
        else:
            yield say("nobody supplies what may be needed: {what}", what=card.title)
