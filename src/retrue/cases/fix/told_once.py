"""Steps that belong to another card are said there, once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from retrue.cases.fix.lines import Card, Step


def told_once(cards: Iterable[Card]) -> Iterator[Card]:
    """Cards without what an earlier card of the same place says already.

    Parameters
    ----------
    cards : iterable of Card
        In an order that may be worked.

    Yields
    ------
    Card
        What is read and marked before a place comes apart stands on the card that opens it or
        reads it, not on every card that works there; what to look for while it stands open, on
        its opening.

    Examples
    --------
    >>> from retrue.kinds.judged import Three
    >>> wires = Step(sort="before", text="Photograph every wire.")
    >>> cards = [Card(key=key, lot="l", machine="m", machine_name="mill", sort="job", title=key,
    ...               place="cabinet", place_name="", steps=(wires,), hours=Three(1, 1, 1))
    ...          for key in ("before:cabinet", "J19")]
    >>> [len(one.steps) for one in told_once(cards)]
    [1, 0]
    """
    said: set[tuple[str, Step]] = set()
    for card in cards:
        mine = [(card.place, step) for step in card.steps]
        left = tuple(step for at, step in mine if (at, step) not in said)
        once = ("before", "measure") if card.sort == "open" else ("before",)
        said |= {(at, step) for at, step in mine if step.sort in once}
        yield card if len(left) == len(mine) else replace(card, steps=left)
