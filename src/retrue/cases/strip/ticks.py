"""Ticks of the lists, as they stand."""

from __future__ import annotations

from collections.abc import Iterable

from retrue.cases.strip import cautions
from retrue.cases.strip.lines import TickLine
from retrue.kinds.library import Kind
from retrue.records.shop import Record
from retrue.records.stripping import Ticked

ALLOWED = "allowed"


def items_of(kind: Kind, list: str) -> dict[str, tuple[str, tuple[str, ...]]]:
    """What a list holds: the words of each item, and the ids of its cautions.

    Parameters
    ----------
    kind : Kind
    list : str
        first_night, evening, dies_first; or allowed.

    Returns
    -------
    dict of str to (str, tuple of str)
        By the id of the item; empty for a list nobody knows.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [len(items_of(mill, list)) for list in ("first_night", "evening", "dies_first", "allowed")]
    [6, 5, 3, 10]
    """
    if list == ALLOWED:
        acts = (entry for entry in kind.as_found.values() if entry.needed == "allowed")
        return {entry.id: (entry.text, ()) for entry in acts}
    return {one.id: (one.text, one.cautions) for one in kind.ticks.values() if one.list == list}


def tick_lines(kind: Kind, list: str, ticked: Iterable[Record[Ticked]]) -> tuple[TickLine, ...]:
    """A list with what was ticked of it.

    Parameters
    ----------
    kind : Kind
    list : str
    ticked : iterable of Record of Ticked
        That count; of this list and others, oldest first.

    Returns
    -------
    tuple of TickLine
        The newest tick of each item counts. What is always allowed is done again, never undone:
        its line names no record to take back.
    """
    newest = {one.fact.item: one for one in ticked if one.fact.list == list}
    made = []
    for id, (text, ids) in items_of(kind, list).items():
        mine = newest.get(id)
        made.append(
            TickLine(
                id=id,
                text=text,
                caution=" ".join(map(str, cautions.told(kind, ids))),
                done=mine is not None,
                at=mine.observed_at if mine else None,
                record=mine.id if mine and list != ALLOWED else None,
            )
        )
    return tuple(made)
