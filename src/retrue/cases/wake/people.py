"""Who answers at first power: a name that names somebody, two people who are two, a licence."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from retrue.base.refusals import Problem
from retrue.base.say import say

LEAST_LETTERS = 2
LEAST_OF_A_LICENCE = 3
NOBODY = frozenset(
    ("nobody", "noone", "none", "no", "niemand", "personne", "nemand", "unknown", "onbekend",
     "anybody", "anyone", "whoever", "me", "myself", "self", "same", "idem", "ditto", "na", "nn",
     "tbd", "xx", "xxx")
)  # fmt: skip


def names_somebody(text: str) -> bool:
    """Whether a text can be somebody's name.

    Parameters
    ----------
    text : str

    Returns
    -------
    bool
        Two letters at least, and no word for nobody.

    Examples
    --------
    >>> [names_somebody(one) for one in ("An Peeters", "Bo", "?", "-", " nobody ", "A.")]
    [True, True, False, False, False, False]
    """
    bare = "".join(_words(text))
    return len(bare) >= LEAST_LETTERS and bare not in NOBODY


def same_person(one: str, other: str) -> bool:
    """Whether two names are one person's, however they are written.

    Parameters
    ----------
    one, other : str

    Returns
    -------
    bool
        Capitals, accents, marks, blanks and the order of words do not make two people; a letter
        alone may stand for any word that begins with it.

    Examples
    --------
    >>> [same_person("An Peeters", one) for one in ("PEETERS,  an.", "A. Peeters", "Bea Maes")]
    [True, True, False]
    """
    mine, others = sorted(_words(one)), sorted(_words(other))
    if not mine or not others:
        return False
    return "".join(mine) == "".join(others) or _paired(mine, others)


def licence_problems(text: str, who: str) -> Iterator[Problem]:
    """Why a licence is none: it is empty, or has fewer than three letters or digits.

    Parameters
    ----------
    text : str
    who : str
        Whose it is: licensed electrician.

    Yields
    ------
    Problem

    Examples
    --------
    >>> [one.where for text in ("B-1234", "-", "") for one in licence_problems(text, "electrician")]
    ['licence', 'licence']
    """
    if sum(letter.isalnum() for letter in text) >= LEAST_OF_A_LICENCE:
        return
    if text.strip():
        told = say("is {text}: that is the number of no licence", text=repr(text.strip()))
    else:
        told = say("is empty: this is for a {who}", who=who)
    yield Problem("licence", told, say("Write the number of his licence."))


def name_problems(field: str, text: str) -> Iterator[Problem]:
    """Why a name names nobody.

    Parameters
    ----------
    field : str
        Where it stands.
    text : str

    Yields
    ------
    Problem

    Examples
    --------
    >>> [one.where for text in ("An", "?") for one in name_problems("name", text)]
    ['name']
    """
    if names_somebody(text):
        return
    told = say("names nobody: {text}", text=repr(text.strip())) if text.strip() else say("is empty")
    yield Problem(field, told, say("Whoever answers for it writes his name."))


def _words(text: str) -> list[str]:
    """Words of letters only, without capitals, accents and marks."""
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", text))
    letters = "".join(one for one in plain if not unicodedata.combining(one)).casefold()
    return re.findall(r"[^\W\d_]+", letters)


def _paired(mine: list[str], others: list[str]) -> bool:
    """Whether each word of one has its own in the other."""
    if len(mine) != len(others):
        return False
    if not mine:
        return True
    first, rest = mine[0], mine[1:]
    return any(
        _alike(first, word) and _paired(rest, others[:at] + others[at + 1 :])
        for at, word in enumerate(others)
    )


def _alike(one: str, other: str) -> bool:
    short, long = sorted((one, other), key=len)
    return one == other or (len(short) == 1 and long.startswith(short))
