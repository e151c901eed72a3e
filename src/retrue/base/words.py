"""The words of the pages: each of our code words as its reader says it.

A page never says what only we say (posterior, world, regret); it asks here.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from retrue.base.refusals import Unknown
from retrue.base.say import say


@dataclass(frozen=True, slots=True)
class Word:
    """One code word: what a page says instead, and what it means.

    Attributes
    ----------
    code : str
        What we call it.
    page : str
        What a page says; empty for what is never shown.
    explanation : str
        One sentence for who asks.
    """

    code: str
    page: str
    explanation: str


@cache
def words() -> Mapping[str, Word]:
    """Every word we have, by code word.

    Returns
    -------
    mapping of str to Word
        In the order of the table.

    Examples
    --------
    >>> words()["history"].page
    'past life'
    """
    text = (files("retrue.base") / "data" / "words.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines())
    return MappingProxyType({row["code"]: _word(row) for row in rows})


def word(code: str, *, language: str = "en") -> str:
    """Say a code word as the page says it.

    Parameters
    ----------
    code : str
        Our own word for it.
    language : str
        Two letters; a word without a translation is shown in English.

    Returns
    -------
    str
        The page's word.

    Raises
    ------
    Unknown
        There is no such word, or it is never shown.

    Examples
    --------
    >>> word("odds of regret"), word("walk-away price")
    ("chance you'd be sorry", 'do not go above')
    """
    found = words().get(code)
    if found is None or not found.page:
        raise Unknown(
            say("there is no word on a page for “{code}”", code=code),
            remedy=say("Say it in the words of the table base/data/words.csv, or add a line."),
        )
    return say(found.page, language=language)


def _word(row: Mapping[str, str]) -> Word:
    page = "" if row["page"].startswith("(") else row["page"]
    return Word(row["code"], page, row["explanation"])
