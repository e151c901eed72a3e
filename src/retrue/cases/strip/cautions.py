"""Which cautions stand before a place is opened, cleaned or taken apart."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from retrue.kinds.library import Caution, Kind
from retrue.kinds.once import once_a_kind

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
    return told(kind, ids_of_place(kind, place))


@once_a_kind
def ids_of_place(kind: Kind, place: str) -> frozenset[str]:
    """The ids of what stands before one place.

    Parameters
    ----------
    kind : Kind
    place : str
        Id of one of its places.

    Returns
    -------
    frozenset of str

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> sorted(ids_of_place(load()["turning_centre"], "cabinet"))[:2]
    ['X02', 'X03']
    """
    needs = kind.places[place].needs.casefold()
    spoken = {id for word, id in _NEEDS if word in needs}
    return frozenset(spoken | ids_named(kind, "strip", place))


@once_a_kind
def ids_named(kind: Kind, deed: str, name: str) -> frozenset[str]:
    """The cautions that name something behind a deed's word: ``fix F03 F60``.

    Parameters
    ----------
    kind : Kind
    deed : str
        strip, fix.
    name : str
        A place, a fault.

    Returns
    -------
    frozenset of str

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> sorted(ids_named(load()["vertical_machining_centre"], "fix", "F03"))
    ['X09', 'X32']
    """
    return frozenset(
        id for id, one in kind.cautions.items() if name in _behind(one.shown_before, deed)
    )


@cache
def _behind(shown_before: str, deed: str) -> frozenset[str]:
    """What "shown before" names behind a word."""
    chunks = (chunk.split() for chunk in _SPLIT.split(shown_before))
    return frozenset(word for chunk in chunks if chunk[:1] == [deed] for word in chunk[1:])
