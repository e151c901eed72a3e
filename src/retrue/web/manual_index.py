"""The headings of the manual, found by their words; the manual stands beside the program."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from retrue.records.searching import Asked, matches, words_of_text

MANUAL = Path(__file__).resolve().parents[3] / "docs"
PAGE = "/help/{page}"
_HEADING = re.compile(r"^(#{1,4}) (.+)$", re.MULTILINE)
_FENCED = re.compile(r"^```.*?^```", re.MULTILINE | re.DOTALL)
_SIGNS = re.compile(r"[^\w\- ]")


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of the manual.

    Attributes
    ----------
    page, title, words : str
        Name of its page, title of that page, the heading itself.
    anchor : str
        Of the heading, below the page.
    """

    page: str
    title: str
    words: str
    anchor: str

    @property
    def path(self) -> str:
        """Where the pages show it."""
        return f"{PAGE.format(page=self.page)}#{self.anchor}"


@cache
def headings(folder: Path = MANUAL) -> tuple[tuple[Heading, frozenset[str]], ...]:
    """Every heading of the manual with its words; none where the manual is not beside us.

    Parameters
    ----------
    folder : Path
        Where its pages are.

    Returns
    -------
    tuple of (Heading, frozenset of str)
    """
    found = []
    for path in sorted(folder.glob("*.md")):
        text = _FENCED.sub("", path.read_text(encoding="utf-8"))
        told = [match[2].replace("`", "").strip() for match in _HEADING.finditer(text)]
        for words in told:
            one = Heading(path.stem, told[0], words, anchor(words))
            found.append((one, frozenset(words_of_text(f"{told[0]} {words}"))))
    return tuple(found)


def anchor(words: str) -> str:
    """The anchor of a heading, as readers of such pages make it.

    Examples
    --------
    >>> anchor("Take back, bring back")
    'take-back-bring-back'
    """
    return _SIGNS.sub("", words.lower()).replace(" ", "-")


def manual_hits(asked: Asked, *, most: int, folder: Path = MANUAL) -> list[Heading]:
    """Headings that hold all that is asked for.

    Parameters
    ----------
    asked : tuple
        As `retrue.records.searching.asked_for` has it.
    most : int
        No more than so many.
    folder : Path
        Where the manual is.

    Returns
    -------
    list of Heading
        Headings that have all words themselves first.
    """
    mine = [one for one, words in headings(folder) if matches(asked, words)]
    own = {one for one in mine if matches(asked, words_of_text(one.words))}
    return sorted(mine, key=lambda one: one not in own)[:most]
