"""Places: what they open behind, how likely a bolt is stuck, what is read there first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product

from retrue.cases.find.standing import behind
from retrue.kinds.library import Kind, Place
from retrue.kinds.once import once_a_kind


def share_of_places(kind: Kind) -> dict[str, float]:
    """Which share of the as-found record is read at each place just before it comes apart.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    dict of str to float
        By place; the rest is done before anything is opened.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> shares = share_of_places(load()["vertical_machining_centre"])
    >>> sorted(shares)[:3], 0 < sum(shares.values()) < 0.5
    (['axis_motors', 'axis_x', 'axis_y'], True)
    """
    lines = [one for one in kind.as_found.values() if one.place in kind.places]
    apart = [one.place for one in lines if one.before == "apart"]
    return {place: apart.count(place) / len(lines) for place in dict.fromkeys(apart)}


def stuck_chance(place: Place, lives: Mapping[str, float]) -> float:
    """Chance of a stuck bolt where a place is opened, by the past lives as they are believed.

    Parameters
    ----------
    place : Place
    lives : mapping of str to float

    Returns
    -------
    float

    Notes
    -----
    Odds are multiplied world by world; the lives are taken as independent of each other here.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> table = load()["vertical_machining_centre"].places["axis_x"]
    >>> round(stuck_chance(table, {}), 2), round(stuck_chance(table, {"CN": 1.0, "DS": 1.0}), 2)
    (0.2, 0.5)
    """
    if place.stuck_chance <= 0:
        return 0.0
    known = [(lives[life], times) for life, times in place.stuck_raisers.items() if life in lives]
    total = 0.0
    for states in product((False, True), repeat=len(known)):
        share, odds = 1.0, place.stuck_chance / (1 - place.stuck_chance)
        for there, (chance, times) in zip(states, known, strict=True):
            share *= chance if there else 1 - chance
            odds *= times if there else 1.0
        total += share * odds / (1 + odds)
    return total


def either(chances: Iterable[float]) -> float:
    """Chance that at least one of several comes, if they are independent.

    Parameters
    ----------
    chances : iterable of float

    Returns
    -------
    float

    Examples
    --------
    >>> either([0.5, 0.5]), either([])
    (0.75, 0.0)
    """
    none = 1.0
    for chance in chances:
        none *= 1.0 - chance
    return 1.0 - none


@once_a_kind
def chain(kind: Kind, place: str | None) -> tuple[str, ...]:
    """A place and what must be open before it, as far as that takes any time to open or close.

    Parameters
    ----------
    kind : Kind
    place : str or None

    Returns
    -------
    tuple of str
        Itself first.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> chain(load()["vertical_machining_centre"], "spindle_head")
    ('spindle_head', 'enclosure')
    """
    return tuple(
        one
        for one in behind(kind, place)
        if kind.places[one].open_hours.high + kind.places[one].close_hours.high > 0
    )
