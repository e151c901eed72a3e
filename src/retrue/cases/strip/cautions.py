"""Which cautions stand before a place is opened, cleaned or taken apart."""

from __future__ import annotations

import re
from collections.abc import Iterable

from retrue.kinds.library import Caution, Kind

ALWAYS = ("X01",)
HANDS = "X02"  # main switch locked off: before anything is opened
# What the needs of a place speak of, and the caution that belongs to it.
_NEEDS: tuple[tuple[str, str], ...] = (
    ("lockout", HANDS),
    ("proved dead", "X03"),
    ("electrician", "X05"),
    ("propped", "X06"),
    ("blocked", "X06"),
    ("gas", "X07"),
    ("to zero", "X08"),
    ("hoist", "X20"),
    ("jack", "X20"),
    ("second person", "X32"),
    ("wheel off", "X43"),
)
_SPLIT = re.compile(r"[;,]")


def words(caution: Caution) -> str:
    """A caution with what it defers to.

    Parameters
    ----------
    caution : Caution

    Returns
    -------
    str

    Examples
    --------
    >>> words(Caution(id="X", situation="s", text="Stop.", defers_to="the law", shown_before=""))
    'Stop. (the law)'
    """
    return f"{caution.text} ({caution.defers_to})"


def told(kind: Kind, ids: Iterable[str]) -> tuple[str, ...]:
    """The cautions of these ids in words, in the order of the kind's list, each once.

    Parameters
    ----------
    kind : Kind
    ids : iterable of str
        Those the kind does not have fall away.

    Returns
    -------
    tuple of str
    """
    wanted = set(ids)
    return tuple(words(one) for id, one in kind.cautions.items() if id in wanted)


def general(kind: Kind) -> tuple[str, ...]:
    """What stands before every list and sheet of taking apart.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    tuple of str
    """
    return told(kind, ALWAYS)


def of_place(kind: Kind, place: str) -> tuple[str, ...]:
    """What stands before one place.

    Parameters
    ----------
    kind : Kind
    place : str
        Id of one of its places.

    Returns
    -------
    tuple of str
        Those that name the place, and those that its needs speak of.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> any("brake is not a prop" in one for one in of_place(load()["turning_centre"], "axis_x"))
    True
    """
    needs = kind.places[place].needs.casefold()
    spoken = {id for word, id in _NEEDS if word in needs}
    named = {id for id, one in kind.cautions.items() if place in _strip_places(one)}
    return told(kind, spoken | named)


def _strip_places(caution: Caution) -> frozenset[str]:
    """The places that "shown before" names behind the word strip."""
    chunks = (chunk.split() for chunk in _SPLIT.split(caution.shown_before))
    return frozenset(word for chunk in chunks if chunk[:1] == ["strip"] for word in chunk[1:])
