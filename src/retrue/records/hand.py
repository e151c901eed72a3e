"""Whose hand wrote a record, on what device, when that device says it was, under what id."""

from __future__ import annotations

from datetime import datetime
from typing import Required, TypedDict


class Hand(TypedDict, total=False):
    """The part of a record that is not the fact; passed on to the shop as it is.

    Attributes
    ----------
    by : str
        Who writes.
    device : str
        Which telephone or laptop.
    observed_at : datetime or None
        The device's claim, with its offset.
    id : str
        Made where the record is born, so that sending twice keeps once.
    """

    by: Required[str]
    device: str
    observed_at: datetime | None
    id: str


def without_id(hand: Hand) -> Hand:
    """The same hand, for records that follow the first; each gets an id of its own.

    Examples
    --------
    >>> without_id(Hand(by="me", id="a"))
    {'by': 'me'}
    """
    rest = hand.copy()
    rest.pop("id", None)
    return rest


def numbered(hand: Hand, place: int) -> Hand:
    """The same hand for one of several records sent together: id, id.2, id.3 ...

    Examples
    --------
    >>> numbered(Hand(by="me", id="a"), 0)["id"], numbered(Hand(by="me", id="a"), 2)["id"]
    ('a', 'a.3')
    """
    if "id" not in hand or place == 0:
        return hand
    rest = hand.copy()
    rest["id"] = f"{hand['id']}.{place + 1}"
    return rest
