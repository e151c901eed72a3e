"""Columns that are not read and look as if they said something that moves a price. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from retrue.base.say import say
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.money_words import says_nothing

Sort = Literal["years", "prices", "masses", "sizes"]

FEW = 3  # cells that look so, at the least
MOSTLY = 0.6  # of its cells that say anything
ROLE_OF: dict[Sort, str] = {"years": "year", "prices": "asking", "masses": "mass_kg",
                            "sizes": "travel"}  # fmt: skip
_LIKE: dict[Sort, re.Pattern[str]] = {
    "years": re.compile(
        r"(?i)^\W*(?:[a-z]{1,9}\.?\W{0,2})?(?:19[5-9]|20[0-4])[0-9](?:\W[0-9]{2,4})?\W*$"
    ),
    "prices": re.compile(
        r"[€£$]|\b(?:EUR|CHF|GBP|USD)\b|[0-9][.,][-\u2013]|"
        r"^[0-9]{1,3}[.,' ][0-9]{3}(?:[.,][0-9]{2})?$"
    ),
    "masses": re.compile(r"(?i)^\W*(?:ca\.?\s*)?[0-9][0-9., ]*\s?(?:kgs?|t|ton|tonn?en?)\.?$"),
    "sizes": re.compile(r"(?i)[0-9]\s*(?:mm)?\s*[x×/*]\s*[0-9]|^\W*[0-9][0-9., ]*\s?[cm]?m\.?$"),
}  # fmt: skip
"""How cells of a sort are commonly written: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """A column that is not read, and what it looks like.

    Attributes
    ----------
    heading : str
    sort : str
        years, prices, masses, sizes.
    example : str
        The first of its cells that looks so.
    count : int
        Of those cells.
    """

    heading: str
    sort: Sort
    example: str
    count: int


def unread_of(listing: Listing) -> tuple[Unread, ...]:
    """Columns that are not read although they look like years, prices, masses or sizes.

    Parameters
    ----------
    listing : Listing

    Returns
    -------
    tuple of Unread
        In the order of the file; only what no other column of the file is read as.

    References
    ----------
    By definition.

    Examples
    --------
    >>> unread_of(Listing(name="sale", currencies=(), columns=(), lots=(), others=()))
    ()
    """
    has = {one.role for one in listing.columns}
    cells: dict[str, list[str]] = {one.heading: [] for one in listing.columns if not one.role}
    for lot in listing.lots:
        for said in lot.said:
            if said.heading in cells and not says_nothing(said.text):
                cells[said.heading].append(said.text)
    found = (_looks(heading, texts) for heading, texts in cells.items())
    return tuple(one for one in found if one is not None and not has & LACKING[one.sort])


LACKING: dict[Sort, frozenset[str]] = {
    "years": frozenset({"year", "age"}),
    "prices": frozenset({"asking", "start", "bid"}),
    "masses": frozenset({"mass_kg"}),
    "sizes": frozenset({"travel", "x", "dimensions", "diameter"}),
}
"""Roles of which one is enough: nothing of that sort is lost then."""


def _looks(heading: str, texts: list[str]) -> Unread | None:
    for sort, like in _LIKE.items():
        alike = [text for text in texts if like.search(text[:60])]
        if len(alike) >= min(FEW, len(texts)) and alike and len(alike) >= MOSTLY * len(texts):
            return Unread(heading=heading, sort=sort, example=alike[0], count=len(alike))
    return None


def unread_lines(listing: Listing) -> Iterator[str]:
    """A sentence for each column that is not read and looks as if it moved a price.

    Parameters
    ----------
    listing : Listing

    Yields
    ------
    str
    """
    for one in unread_of(listing):
        yield say(
            "Caution: column {heading} is not read, and looks like {sort} ({example}): the order "
            "below does not know them. Say what it is: --columns {role}={typed}.",
            heading=f"“{one.heading}”",
            sort=named_sort(one.sort),
            example=one.example[:40],
            typed=f'"{one.heading}"' if " " in one.heading else one.heading,
            role=ROLE_OF[one.sort],
        )  # fmt: skip


def named_sort(sort: Sort) -> str:
    """What a column looks like, in words.

    Parameters
    ----------
    sort : str
        years, prices, masses, sizes.

    Returns
    -------
    str

    Examples
    --------
    >>> named_sort("years")
    'years of make'
    """
    words: dict[Sort, str] = {
        "years": say("years of make"),
        "prices": say("prices"),
        "masses": say("masses"),
        "sizes": say("sizes"),
    }
    return words[sort]
