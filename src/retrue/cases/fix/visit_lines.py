"""A visit or one card as it goes on paper: cautions, hands, steps, what may be there besides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.left import hours_left
from retrue.cases.fix.licensed import without_live_steps
from retrue.cases.fix.lines import Card, Cards, LeftTo, Step
from retrue.kinds.judged import Three
from retrue.kinds.library import Kind

SURE = 0.99  # with that chance a card is printed whole, else as a line to look for
WORTH_PAPER = 0.5  # a place less likely to be opened is printed when it is asked for
DOORS = ("open", "before", "close")
ALWAYS, LIVE, SECOND_PERSON = "X01", "X05", "X32"
LICENSED = "electrician"


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLines:
    """One card that is printed whole.

    Attributes
    ----------
    under_power : bool
        Something is switched on in it: it has no steps here, but sheets of its own.
    licensed : bool
        All of it is left to a licensed electrician: it has no steps at all.
    """

    key: str
    title: str
    hours: Three
    left_hours: float
    spent_hours: float | None
    steps: tuple[Step, ...]
    left_to: tuple[LeftTo, ...] = ()
    under_power: bool = False
    licensed: bool = False
    dries_days: float = 0.0
    first: tuple[str, ...] = ()  # titles of what comes before it, outside this sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Perhaps:
    """A card that may be needed: what to look for while it is open."""

    key: str
    title: str
    chance: float
    hours: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitLines:
    """One sheet: a place opened and closed once, or one card.

    Attributes
    ----------
    key : str
        The place or the card.
    cautions : tuple of (text, what goes before it)
        All of the cards that are printed whole.
    stuck : float
        Chance of a stuck bolt when it is opened.
    chance : float
        That it is needed at all.
    later : tuple of str
        Titles of what is done there after first power, on sheets of its own.
    """

    key: str
    title: str
    machine: str
    lot: str
    place: str
    cautions: tuple[tuple[str, str], ...]
    people: int
    alone: bool
    hoist: bool
    unbroken: bool
    who: str
    hours: Three
    expected_hours: float
    stuck: float
    tools: tuple[str, ...]
    parts: tuple[Part, ...]
    currency: str
    cards: tuple[CardLines, ...]
    chance: float = 1.0
    perhaps: tuple[Perhaps, ...] = ()
    later: tuple[str, ...] = ()


def visit_of(cards: Cards, place: str, kind: Kind) -> VisitLines:
    """The sheet of one place: what is done there before first power.

    Parameters
    ----------
    cards : Cards
    place : str
        Its id.
    kind : Kind

    Returns
    -------
    VisitLines

    Raises
    ------
    Unknown
        Nothing is to be done there now.
    """
    mine = next((list(one.cards) for one in cards.visits if one.place == place), [])
    if not mine:
        name = kind.places[place].name if place in kind.places else place
        raise Unknown(
            say("there is nothing to do at {place} now", place=name or '""'),
            remedy=say("Places with cards: {places}.",
                       places=", ".join(one.place for one in cards.visits) or "-"),
        )  # fmt: skip
    powered = after_power(cards, kind)
    early = [one for one in mine if one.key not in powered]
    if not early or _opened_late(mine, powered):
        early = mine
    whole = [one for one in early if one.sort in DOORS or one.chance >= SURE] or early
    perhaps = [one for one in early if one not in whole]
    later = [one for one in mine if one not in early]
    return _lines(cards, place, mine[0].place_name, whole, perhaps, later, kind)


def _opened_late(mine: Sequence[Card], powered: frozenset[str]) -> bool:
    """Whether a place is opened only after first power: its visit is then whole by itself."""
    return any(one.sort == "open" and one.key in powered for one in mine)


def card_lines_of(cards: Cards, key: str, kind: Kind) -> VisitLines:
    """The sheet of one card.

    Parameters
    ----------
    cards : Cards
    key : str
    kind : Kind

    Returns
    -------
    VisitLines

    Raises
    ------
    Unknown
        There is no such card.
    """
    card = next((one for one in cards.cards if one.key == key), None)
    if card is None:
        raise Unknown(
            say("{machine} has no card {key}", machine=cards.machine_name, key=key or '""'),
            remedy=say("Open the list of cards again and choose from it."),
        )
    return _lines(cards, key, card.title, [card], (), (), kind)


def sheets_of(cards: Cards, kind: Kind) -> tuple[VisitLines, ...]:
    """Every sheet of a machine: its visits, then what comes after first power, card by card.

    Parameters
    ----------
    cards : Cards
    kind : Kind

    Returns
    -------
    tuple of VisitLines
        What is done has none, nor a place that is more likely left closed.
    """
    powered = after_power(cards, kind)
    early, late, within = [], [], set[str]()
    for one in cards.visits:
        whole = visit_of(cards, one.place, kind)
        if _opened_late(one.cards, powered):
            late.append(whole)
            within |= {card.key for card in one.cards}
        elif whole.chance >= WORTH_PAPER and any(c.key not in powered for c in one.cards):
            early.append(whole)
    alone = [
        card_lines_of(cards, one.key, kind) for one in cards.cards
        if one.key in powered - within and one.state != "done" and one.chance >= SURE
    ]  # fmt: skip
    place = {one.key: at for at, one in enumerate(cards.cards)}
    late = sorted([*late, *alone], key=lambda sheet: place[sheet.cards[0].key])
    return (*early, *late)


def after_power(cards: Cards, kind: Kind) -> frozenset[str]:
    """First power itself and all that waits for it.

    Parameters
    ----------
    cards : Cards
        In an order that may be worked.
    kind : Kind

    Returns
    -------
    frozenset of str
        Keys.

    Examples
    --------
    >>> from retrue.cases.fix.lines import Wait
    >>> from retrue.kinds.load import load
    >>> kind = load()["vertical_machining_centre"]
    >>> def card(key, waits=()):
    ...     return Card(key=key, lot="l", machine="m", machine_name="mill", sort="job", title=key,
    ...         place="", place_name="", steps=(), hours=Three(1, 1, 1), job=key, waits=waits)
    >>> every = (card("J18"), card("J20", (Wait(card="J18"),)), card("J22", (Wait(card="J20"),)))
    >>> cards = Cards(lot="l", lot_name="", machine="m", machine_name="mill", kind=kind.id,
    ...     aim="keep", level="right", cards=every, visits=(), hours=3.0)
    >>> sorted(after_power(cards, kind))
    ['J20', 'J22']
    """
    found: set[str] = set()
    for one in cards.cards:
        starts = one.job in kind.jobs and kind.jobs[one.job].sort == "start"
        if starts or any(wait.card in found for wait in one.waits):
            found.add(one.key)
    return frozenset(found)


def not_alone(card: Card) -> bool:
    """Whether a card is not for one alone in the house: nobody lifts alone.

    Parameters
    ----------
    card : Card

    Returns
    -------
    bool
    """
    return card.people > 1 or not card.alone or card.hoist


def _lines(
    cards: Cards,
    key: str,
    title: str,
    whole: Sequence[Card],
    perhaps: Sequence[Card],
    later: Sequence[Card],
    kind: Kind,
) -> VisitLines:
    whole = [without_live_steps(one, kind) for one in whole]
    printed = tuple(_cards(cards, whole, bool(perhaps)))
    named = {ALWAYS} | {id for one in whole for id in one.cautions}
    named |= {SECOND_PERSON} if any(not_alone(one) for one in whole) else set()
    if any(one.left_to or one.licensed or one.under_power for one in printed):
        named.add(LIVE)
    return VisitLines(
        key=key,
        title=title,
        machine=cards.machine_name,
        lot=cards.lot_name,
        place=next((one.place_name for one in whole if one.place_name), ""),
        cautions=tuple(
            (one.text, one.defers_to) for id, one in kind.cautions.items() if id in named
        ),
        people=max((one.people for one in whole), default=1),
        alone=not any(not_alone(one) for one in whole),
        hoist=any(one.hoist for one in whole),
        unbroken=any(one.unbroken for one in whole),
        who=_hardest(one.who for one in whole),
        hours=_sum([one.hours for one in whole]),
        expected_hours=sum(hours_left(one) for one in whole),
        stuck=max((one.stuck for one in whole), default=0.0),
        tools=tuple(dict.fromkeys(tool for one in whole for tool in one.tools)),
        parts=tuple(part for one in whole for part in one.parts),
        currency=cards.currency,
        cards=printed,
        chance=max((one.chance for one in whole), default=1.0),
        perhaps=tuple(
            Perhaps(key=one.key, title=one.title, chance=one.chance, hours=one.expected_hours)
            for one in sorted(perhaps, key=lambda one: -one.chance)
            if one.sort != "send"
        ),
        later=tuple(one.title for one in later),
    )


def _cards(cards: Cards, whole: Sequence[Card], listed: bool) -> Iterator[CardLines]:
    """Each card; what comes before it and what is read before are told once on a sheet."""
    by_key = {one.key: one for one in cards.cards}
    read: set[Step] = set()
    named = {one.key for one in whole}
    for card in whole:
        before = [by_key[one.card] for one in card.waits if one.card in by_key]
        undone = [one for one in before if one.state != "done" and one.chance >= SURE]
        first = [one for one in undone if one.key not in named]
        named |= {one.key for one in first}
        steps = [one for one in card.steps
                 if one not in read and not _told_elsewhere(one, card, whole, listed)]  # fmt: skip
        read |= {one for one in steps if one.sort == "before"}
        yield _card(card, steps, tuple(one.title for one in first))


def _told_elsewhere(step: Step, card: Card, whole: Sequence[Card], listed: bool) -> bool:
    """That its place is opened, below the opening; what to look for, where that is a list."""
    if card.sort in DOORS:
        return listed and step.sort == "measure"
    return len(whole) > 1 and step.sort == "open"


def _card(card: Card, steps: Sequence[Step], first: tuple[str, ...]) -> CardLines:
    return CardLines(
        key=card.key,
        title=card.title,
        hours=card.hours,
        left_hours=hours_left(card),
        spent_hours=card.spent_hours,
        steps=tuple(steps),
        left_to=card.left_to,
        under_power=card.under_power,
        licensed=card.licensed,
        dries_days=card.dries_days,
        first=first,
    )


def _hardest(who: Iterable[str]) -> str:
    said = set(who)
    return next((one for one in (LICENSED, "competent") if one in said), "anyone")


def _sum(hours: Sequence[Three]) -> Three:
    return Three(
        sum(one.low for one in hours),
        sum(one.likely for one in hours),
        sum(one.high for one in hours),
    )
