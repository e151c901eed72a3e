"""Names that two people give the same thing without asking each other: the second one is told."""

from __future__ import annotations

import uuid
from itertools import count
from typing import TypeVar

from retrue.base.refusals import Unknown
from retrue.records.facts import Fact, Withdrawn
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

F = TypeVar("F", bound=Fact)
SPACE = uuid.UUID("0d7b5b0c-0b0e-5a52-9c1b-5d6f0a3f7c11")


def same_id(*words: object) -> str:
    """An id that everybody makes of the same words.

    Parameters
    ----------
    *words : object
        What it is of, in order.

    Returns
    -------
    str

    References
    ----------
    RFC 9562, section 5.5: UUID version 5, by SHA-1 of a name in a space of names.

    Examples
    --------
    >>> same_id("share", "c1", 3) == same_id("share", "c1", 3) != same_id("share", "c1", 4)
    True
    """
    return str(uuid.uuid5(SPACE, "\x1f".join(map(str, words))))


def standing(shop: RecordShop, kind: type[F], *words: object) -> tuple[str, Record[F] | None]:
    """What stands under the id of some words, or the id that is free for it.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    kind : type
    *words : object
        What it is of.

    Returns
    -------
    (str, Record or None)
        The first id of its line, and the newest of it. None: the id is free. One that was taken
        back stays taken: the next is tried.
    """
    for turn in count():
        id = same_id(kind.KIND, *words, turn)
        try:
            newest: Record[F] = shop.history(id)[-1]
        except Unknown:
            return id, None
        if not isinstance(newest.fact, Withdrawn):
            return id, newest
    raise AssertionError  # it counts on until an id is free


def named(hand: Hand, id: str) -> Hand:
    """The same hand for a record under an id that everybody makes alike.

    Examples
    --------
    >>> named(Hand(by="me", id="a"), "b")
    {'by': 'me', 'id': 'b'}
    """
    mine = hand.copy()
    mine["id"] = id
    return mine
