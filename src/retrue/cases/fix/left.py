"""How much of a card is left, and how long the way from it to the end is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from retrue.cases.fix.lines import Card

LEAST_LEFT = 0.25  # share of its hours that a begun card keeps, whatever was spent (judgement)
HOURS_A_DAY = 2.0  # own hours on an average day, only to weigh waits against work (judgement)


def hours_left(card: Card) -> float:
    """Hours to expect yet: as the owner says, else what was spent comes off.

    Parameters
    ----------
    card : Card

    Returns
    -------
    float

    Examples
    --------
    >>> from retrue.kinds.judged import Three
    >>> card = Card(key="J05", lot="l", machine="m", machine_name="mill", sort="clean", title="t",
    ...             place="", place_name="", steps=(), hours=Three(4, 4, 4), spent_hours=3.5)
    >>> hours_left(card)
    1.0
    """
    if card.state == "done":
        return 0.0
    whole = card.expected_hours
    if card.left_hours is not None or card.spent_hours is None:
        return whole
    return max(LEAST_LEFT * whole, whole - card.spent_hours)


def share_left(card: Card) -> float:
    """What is left of a card as a share of its hours.

    Parameters
    ----------
    card : Card

    Returns
    -------
    float
        Above 1 where the owner says that more is left than was thought.
    """
    whole = (card.hours.low + 4 * card.hours.likely + card.hours.high) / 6
    return hours_left(card) / whole if whole > 0 else 1.0


def tails(cards: Sequence[Card]) -> dict[str, float]:
    """Days from the beginning of each card to the end of all, by expected figures.

    Parameters
    ----------
    cards : sequence of Card
        In an order that may be worked.

    Returns
    -------
    dict of str to float
        By key; the longest is what the date hangs on.
    """
    found: dict[str, float] = {}
    after: dict[str, list[tuple[str, float]]] = {}
    for card in cards:
        for wait in card.waits:
            after.setdefault(wait.card, []).append((card.key, wait.days))
    by_key: Mapping[str, Card] = {card.key: card for card in cards}
    for card in reversed(cards):
        own = card.chance * hours_left(card) / HOURS_A_DAY
        rest = max(
            (
                by_key[later].chance * days + found.get(later, 0.0)
                for later, days in after.get(card.key, ())
            ),
            default=0.0,
        )
        found[card.key] = own + rest
    return found
