"""Where money goes, in words; which names of the price sheet are which of the book's."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.say import say
from retrue.records.settling import BUCKETS

LANDED = ("price", "premium", "tax", "removal", "move", "insurance", "visit")
"""On the floor: what is paid until the machine stands there, and nothing of what makes it run."""

RUNNING = "running"  # in no sum of what it cost: it earns by then
UNPLACED = ""

OF_SHEET: Mapping[str, str] = {
    "removal and loader": "removal",
    "move": "move",
    "hook-up": "hook_up",
    "consumables and waste": "consumables",
    "storage": "storage",
    "cleaning, openings, tests": "cleaning",
    "parts": "parts",
    "outside work": "outside",
    "tooling up": "tooling",
    "sale": "sale",
    "spent before giving up": "other",
}
"""The price sheet's names of where money goes, and the book's."""


def bucket_of_sheet(name: str) -> str:
    """The bucket of the book for a name on a price sheet.

    Parameters
    ----------
    name : str

    Returns
    -------
    str
        One of BUCKETS; what an older or newer sheet calls otherwise is other.

    Examples
    --------
    >>> bucket_of_sheet("outside work"), bucket_of_sheet("gold leaf")
    ('outside', 'other')
    """
    return OF_SHEET.get(name, "other")


def bucket_words(bucket: str) -> str:
    """A bucket in the words of a page.

    Parameters
    ----------
    bucket : str
        One of BUCKETS, or empty.

    Returns
    -------
    str

    Examples
    --------
    >>> bucket_words("hook_up"), bucket_words("")
    ('hook-up', 'not yet placed')
    """
    words = {
        "price": say("price"),
        "premium": say("buyer's premium"),
        "tax": say("tax that does not come back"),
        "removal": say("removal and loader"),
        "move": say("move"),
        "insurance": say("insurance of the move"),
        "hook_up": say("hook-up"),
        "storage": say("floor and rounds"),
        "consumables": say("fills and waste"),
        "cleaning": say("cleaning, openings, tests"),
        "parts": say("parts"),
        "outside": say("outside work"),
        "tooling": say("tooling up"),
        "hire": say("hire"),
        "visit": say("visit"),
        "sale": say("selling"),
        "running": say("running it"),
        "other": say("other"),
        UNPLACED: say("not yet placed"),
    }
    return words.get(bucket, bucket.replace("_", " "))


def in_order(bucket: str) -> int:
    """The place of a bucket in every table: as money goes from purchase to use.

    Parameters
    ----------
    bucket : str

    Returns
    -------
    int

    Examples
    --------
    >>> sorted(["parts", "", "price"], key=in_order)
    ['price', 'parts', '']
    """
    return BUCKETS.index(bucket) if bucket in BUCKETS else len(BUCKETS)


def state_words(state: str) -> str:
    """How a line stands, in words.

    Parameters
    ----------
    state : str
        A RowState.

    Returns
    -------
    str

    Examples
    --------
    >>> state_words("not_foreseen")
    'not foreseen'
    """
    return {
        "spent": say("spent"),
        "to_come": say("still to come"),
        "not_foreseen": say("not foreseen"),
        "not_in_book": say("nothing in the book"),
        "not_needed": say("not needed"),
        "done_for_nothing": say("done, nothing paid"),
    }[state]


def against_words(against: str) -> str:
    """How an end stands to what was expected, in words.

    Parameters
    ----------
    against : str

    Returns
    -------
    str

    Examples
    --------
    >>> against_words("above"), against_words("")
    ('above it', '')
    """
    return {
        "within": say("within it"),
        "above": say("above it"),
        "below": say("below it"),
        "": "",
    }[against]
