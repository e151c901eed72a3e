"""What can be done tonight: what is free, what is here, what the date hangs on."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.left import hours_left, tails
from retrue.cases.fix.lines import Card, Cards, NotTonight, Pick, Tonight
from retrue.cases.fix.looks_first import look_words, looks_first
from retrue.cases.fix.rules import DOORS
from retrue.cases.fix.states import Marked, freed_by, marked

MOST_PICKS = 6
MOST_NOT = 5
LEAST_PART = 0.5  # hours: less of a long card is not worth the coat
LEAST = 0.04  # hours: with less left nothing more is offered
SHORT = 0.25  # hours: what takes less is no evening's work by itself
ROUND = 1e-9
LAST = 1e6
SLACK_DAYS = 1.0  # with less the date hangs on a card


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """One machine tonight: what is kept of it, its cards, their place in the kept plan."""

    kept: FixKept
    machine: MachineKept
    cards: Cards
    order: Mapping[str, int] = field(default_factory=dict)  # by card; empty: not planned
    slack_days: Mapping[str, float] = field(default_factory=dict)
    listed: Mapping[str, Card] = field(init=False)  # its cards by their keys
    ways: Mapping[str, float] = field(init=False)  # days from each card to the end

    def __post_init__(self) -> None:
        """Count once what every list of an evening asks for."""
        object.__setattr__(self, "listed", {card.key: card for card in self.cards.cards})
        object.__setattr__(self, "ways", tails(self.cards.cards))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Free:
    """A card that could be next, with what it is weighed by."""

    card: Card
    left: float
    tail: float  # days from it to the end of its machine
    hangs: bool
    rank: float | None
    frees: int  # cards that wait for it
    follows: str = ""  # in words, where another card of tonight makes it free


def tonight_of(
    machines: Sequence[Here], *, hours: float, alone: bool, hoist: bool, worked_on: str = ""
) -> Tonight:
    """What to do in so many hours.

    Parameters
    ----------
    machines : sequence of Here
        Worked for.
    hours : float
    alone, hoist : bool
        Whether nobody else is in the house; whether the hoist is here.
    worked_on : str
        Key of the machine that was worked on last: of equals it goes first.

    Returns
    -------
    Tonight
        What was begun comes first, then by the kept plan; without one what the date hangs on.

    Examples
    --------
    >>> tonight_of((), hours=2.0, alone=True, hoist=False).nothing[:36]
    'Nothing is worked for: say of each m'
    """
    free = [one for here in machines for one in _free(here)]
    planned = any(here.order for here in machines)

    def weight(one: _Free) -> tuple[bool, float, float, bool, str]:
        return _weight(one, planned, worked_on)

    free.sort(key=weight)
    stages = {here.machine.key: here.machine for here in machines}

    def why_not(one: _Free) -> str:
        return _blocked(one, hours, alone, hoist, stages[one.card.machine])

    fits = [one for one in free if not why_not(one)]
    blocked = [(one, why_not(one)) for one in free if why_not(one)]
    picks = _Evening(fits, machines, lambda one: not why_not(one), weight).filled(hours)
    chosen = {(pick.card.machine, pick.card.key) for pick in picks}
    left_over = [
        (one, say("after tonight's hours"))
        for one in fits
        if (one.card.machine, one.card.key) not in chosen
    ]
    waiting = [(one, one.state_why) for here in machines for one in here.cards.cards
               if one.state in ("waiting", "out", "stuck", "not_now")]  # fmt: skip
    not_tonight = [NotTonight(card=card, why=card.state_why) for card in _to_look(machines)]
    not_tonight += [NotTonight(card=one.card, why=why) for one, why in blocked]
    not_tonight += [NotTonight(card=card, why=why) for card, why in waiting]
    not_tonight += [NotTonight(card=one.card, why=why) for one, why in left_over]
    said = {id for pick in picks for id in pick.card.cautions}
    return Tonight(
        hours=hours,
        alone=alone,
        hoist=hoist,
        picks=picks,
        not_tonight=tuple(not_tonight[:MOST_NOT]),
        nothing="" if picks else _nothing(machines, blocked, hours),
        planned=planned,
        cautions=tuple(sorted(said | {"X01"})),
        evening=_evening(machines, picks),
    )


def _free(here: Here, states: Collection[str] = ("open", "begun")) -> list[_Free]:
    """Cards that could be begun or gone on with, as far as the machine is concerned."""
    ways = here.ways
    longest = max(ways.values(), default=0.0)
    known = sorted((ways[key], rank) for key, rank in here.order.items() if key in ways)
    frees: dict[str, int] = {}
    for card in here.cards.cards:
        for wait in card.waits:
            if card.state != "done":
                frees[wait.card] = frees.get(wait.card, 0) + 1
    return _differing(
        _Free(
            card=card,
            left=hours_left(card),
            tail=ways[card.key],
            hangs=here.slack_days[card.key] <= SLACK_DAYS if card.key in here.slack_days
            else ways[card.key] >= longest - SLACK_DAYS,
            rank=_rank(card.key, here.order, ways[card.key], known),
            frees=frees.get(card.key, 0),
        )
        for card in here.cards.cards
        if card.state in states
    )  # fmt: skip


def _differing(cards: Iterable[_Free]) -> list[_Free]:
    """Where the date hangs on every one of several cards, that says nothing of any of them."""
    found = list(cards)
    if len(found) > 1 and all(one.hangs for one in found):
        return [replace(one, hangs=False) for one in found]
    return found


def _rank(
    key: str, order: Mapping[str, int], tail: float, known: Sequence[tuple[float, int]]
) -> float | None:
    """Its place in the plan; what the plan does not know goes before all with a shorter way."""
    if key in order or not known:
        return order.get(key)
    shorter = [rank for way, rank in known if way <= tail]
    return min(shorter) - 0.5 if shorter else max(rank for _, rank in known) + 0.5


def _weight(one: _Free, planned: bool, worked_on: str) -> tuple[bool, float, float, bool, str]:
    """Begun first; then the plan; cards it does not know by the longest way to the end."""
    rank = (LAST if one.rank is None else one.rank) if planned else 0.0
    return (one.card.state != "begun", rank, -one.tail, one.card.machine != worked_on, one.card.key)


def _blocked(one: _Free, hours: float, alone: bool, hoist: bool, machine: MachineKept) -> str:
    """Why a free card is not for tonight, in words; empty: it is."""
    card = one.card
    if card.who == "electrician":
        return say("for a licensed electrician")
    if card.sort == "job" and machine.kind.jobs[card.job].sort == "start":
        coming = next((stage for stage in machine.stages.values() if not stage.signed), None)
        if coming is not None and coming.stage.live:
            return say("next is {stage}: for a licensed electrician", stage=coming.stage.stage)
    if alone and (card.people > 1 or not card.alone):
        return say("not alone: somebody has to be there")
    if card.hoist and not hoist:
        return say("needs the hoist")
    if hours < min(card.least_hours, one.left):
        return say("takes at least {hours} h at a stretch", hours=number(card.least_hours, 1))
    if card.unbroken and one.left > hours:
        return say("takes {hours} h in one go", hours=number(one.left, 1))
    return ""


class _Evening:
    """The hours of one evening, filled: what a card makes free the same evening may follow it."""

    def __init__(
        self,
        fits: Sequence[_Free],
        machines: Sequence[Here],
        may: Callable[[_Free], bool],
        weight: Callable[[_Free], tuple[bool, float, float, bool, str]],
    ) -> None:
        self.may, self.weight = may, weight
        self.waiting = [(here, one) for here in machines for one in _not_yet(here)]
        self.listed = {here.machine.key: here.listed for here in machines}
        self.done: dict[str, set[str]] = {here.machine.key: set() for here in machines}
        self.picks: list[Pick] = []
        self.queue = self.ordered(fits)

    def ordered(self, cards: Iterable[_Free]) -> list[_Free]:
        """By their weight; what opens the way to nothing goes last."""
        return sorted(cards, key=lambda one: (self._idle(one), self.weight(one)))

    def filled(self, hours: float) -> tuple[Pick, ...]:
        """Whole cards in their order; a long one takes what is left at the end."""
        left: float = hours
        long: _Free | None = None
        queue = self.queue
        while queue and left >= LEAST and len(self.picks) < max(MOST_PICKS, hours):
            one = queue.pop(self._next(queue))
            if long is not None and (one.follows or one.card.sort == "open"):
                continue  # what is left is for the long one, which is free already
            if one.left <= left + ROUND:
                left -= one.left
                freed = self._take(one)
                queue = self._joined(freed, queue, at_once=one.left < SHORT)
            elif not one.card.unbroken and long is None and left >= one.card.least_hours:
                long = one
                if one.card.state == "begun" or all(pick.hours < SHORT for pick in self.picks):
                    break
        if long is not None and left >= max(LEAST_PART, long.card.least_hours):
            self.picks.append(Pick(card=long.card, hours=left, whole=False, why=_why(long),
                                   part=_part(long, left)))  # fmt: skip
        return tuple(self.picks)

    def _next(self, queue: Sequence[_Free]) -> int:
        """The first of them; no further place is opened while there is work at tonight's."""
        first = queue[0].card
        opened = {one.card.place for one in self.picks
                  if one.card.sort == "open" and one.card.machine == first.machine}  # fmt: skip
        if first.sort != "open" or not opened:
            return 0
        return next((at for at, one in enumerate(queue) if one.card.machine == first.machine
                     and one.card.place in opened and one.card.sort != "open"), 0)  # fmt: skip

    def _joined(
        self, freed: Sequence[_Free], queue: Sequence[_Free], *, at_once: bool
    ) -> list[_Free]:
        """What follows minutes comes at once; else by the plan; without one after what was free."""
        if at_once:
            return [*freed, *queue]
        planned = [one for one in freed if one.rank is not None]
        return [*self.ordered([*queue, *planned]), *(one for one in freed if one.rank is None)]

    def _take(self, one: _Free) -> list[_Free]:
        """Pick a card whole; what it makes free and may be done tonight."""
        self.picks.append(Pick(card=one.card, hours=one.left, whole=True, why=_why(one)))
        self.done[one.card.machine].add(one.card.key)
        return self._freed(one)

    def _freed(self, one: _Free) -> list[_Free]:
        done = self.done[one.card.machine] | {one.card.key}
        listed = self.listed[one.card.machine]
        said = say("it can follow at once: {title}", title=one.card.title)
        return [replace(each, follows=said) for here, each in self.waiting
                if here.machine.key == one.card.machine and each.card.key not in done
                and any(wait.card == one.card.key for wait in each.card.waits)
                and freed_by(each.card, listed, done) and self.may(each)]  # fmt: skip

    def _idle(self, one: _Free) -> bool:
        """Something of minutes that opens the way to nothing tonight: it goes last."""
        short = one.left < SHORT and one.card.state != "begun"
        return short and not self._freed(one)


def _not_yet(here: Here) -> list[_Free]:
    """What waits only for other cards; what was put right before is looked at again first."""
    marks = marked(here.machine)
    return [one for one in _free(here, ("not_yet",))
            if marks.get(one.card.key, Marked()).how != "done"
            and not looks_first(one.card, here.listed, here.machine)]  # fmt: skip


def _part(one: _Free, hours: float) -> str:
    told = {"hours": number(hours, 1), "left": number(one.left, 1)}
    if one.card.state == "begun":
        return say("go on with it: {hours} of {left} h", **told)
    return say("begin it: {hours} of {left} h", **told)


def _why(one: _Free) -> str:
    """Why a card is offered, in words."""
    card = one.card
    if one.follows:
        return one.follows
    if card.state == "begun":
        return say("begun already")
    if card.sort == "send":
        return say("the sooner it goes, the sooner it is back")
    if one.hangs:
        return say("{machine}'s date hangs on it", machine=card.machine_name)
    if card.sort in DOORS and one.frees:
        return say("{count} cards wait for it", count=one.frees)
    if one.frees:
        return say("it makes room for {count} more", count=one.frees)
    return say("it fits the hours")


def _nothing(machines: Sequence[Here], blocked: Sequence[tuple[_Free, str]], hours: float) -> str:
    """What helps where nothing can be done: whom to ring, what to order, whom to ask."""
    if not any(here.cards.cards for here in machines):
        return say("Nothing is worked for: say of each machine what it is for, under its options.")
    if hours < LEAST:
        return say("No time tonight.")
    if not any(card.state != "done" for here in machines for card in here.cards.cards):
        return say("Nothing is open: every card is done.")
    lines = []
    order = [
        card
        for here in machines
        for card in here.cards.cards
        if card.state == "waiting" and any(p.state in ("to_buy", "asked") for p in card.parts)
    ]
    ring = [out for here in machines[:1] for out in here.kept.outs if out.open]
    if order:
        lines.append(say("Order first: {what}.", what=order[0].title))
    if ring:
        lines.append(say("Ring {whom} about {what}.", whom=ring[0].out.whom, what=ring[0].out.what))
    look = _to_look(machines)
    if look and not order:
        why = look[0].state_why
        lines.append(say("Before “{title}”: {why}.", title=look[0].title, why=why))
    if blocked and not lines:
        one, why = blocked[0]
        lines.append(say("Nearest is “{title}”: {why}.", title=one.card.title, why=why))
    if not lines:
        lines.append(say("Look at what nobody has seen yet, and keep what you saw."))
    return " ".join([say("Nothing can be worked tonight."), *lines])


def _to_look(machines: Sequence[Here]) -> list[Card]:
    """What is held only because nobody has looked: one card a machine, the first that could be."""
    found = []
    for here in machines:
        listed = here.listed
        for card in here.cards.cards:
            looks = looks_first(card, listed, here.machine) if card.state == "not_yet" else ()
            if looks and card.state_why == look_words(looks):
                found.append(card)
                break
    return found


def _evening(machines: Sequence[Here], picks: Sequence[Pick]) -> str:
    """What to do before leaving, in one line; empty where nothing is worked."""
    if not picks:
        return ""
    machine = next(h.machine for h in machines if h.machine.key == picks[0].card.machine)
    ticks = [one.text for one in machine.kind.ticks.values() if one.list == "evening"]
    return say("Before you leave: {ticks}.", ticks="; ".join(map(str, ticks))) if ticks else ""
