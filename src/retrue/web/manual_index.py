"""The headings of the manual, found by their words."""

from __future__ import annotations

from functools import cache

from retrue.base.manual import Section
from retrue.base.manual_files import manual
from retrue.records.searching import Asked, matches, words_of_text


@cache
def headings() -> tuple[tuple[Section, frozenset[str]], ...]:
    """Every heading of the manual with its words and those of its page.

    Returns
    -------
    tuple of (Section, frozenset of str)
    """
    told = ((one, f"{one.title} {one.words}") for one in manual().sections)
    return tuple((one, frozenset(words_of_text(words))) for one, words in told)


def manual_hits(asked: Asked, *, most: int) -> list[Section]:
    """Headings that hold all that is asked for.

    Parameters
    ----------
    asked : tuple
        As `retrue.records.searching.asked_for` has it.
    most : int
        No more than so many.

    Returns
    -------
    list of Section
        Headings that have all words themselves first.
    """
    mine = [one for one, words in headings() if matches(asked, words)]
    own = {one for one in mine if matches(asked, words_of_text(one.words))}
    return sorted(mine, key=lambda one: one not in own)[:most]
