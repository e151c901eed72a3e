"""Search over everything: machines and lots, what was kept, what the library knows, pages."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base.codes import read_code
from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.cases.diary_record import About
from retrue.cases.search_kinds import Hit, hits
from retrue.cases.search_pages import page_hits
from retrue.kinds.library import Kind
from retrue.records.facts import Lot, Machine
from retrue.records.searching import asked_for
from retrue.records.shop import Record, RecordShop

MOST_KEPT = 30  # of what was kept
MOST_LOOKED = 120  # records that are found before those of another reader are left out
MOST_BESIDE = 12  # of what the library knows
MOST_PAGES = 10
MOST_PLACES = 3  # machines that are named with one entry
LONGEST = 200  # signs of what is asked for
PLACES = (Lot.KIND, Machine.KIND)


@dataclass(frozen=True, slots=True)
class Found:
    """What was found.

    Attributes
    ----------
    words : str
        As asked for.
    places : tuple of Record
        Lots and machines, the newest first.
    kept : tuple of Record
        What else was kept, the newest first.
    more : bool
        Whether more was kept that fits.
    beside : tuple of Hit
        What may be wrong, looks, places, tests, cautions.
    pages : tuple of Hit
        Pages by their title.
    """

    words: str = ""
    places: tuple[Record[Any], ...] = ()
    kept: tuple[Record[Any], ...] = ()
    more: bool = False
    beside: tuple[Hit, ...] = ()
    pages: tuple[Hit, ...] = ()

    @property
    def is_nothing(self) -> bool:
        """Whether nothing fits."""
        return not (self.places or self.kept or self.beside or self.pages)


def search(
    shop: RecordShop,
    words: str,
    about: About,
    *,
    hidden: Collection[str] = (),
    may: Callable[[str], bool] = lambda _: True,
) -> Found:
    """Everything that holds all the words.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    words : str
        As typed; a word of three signs or more is found by its beginning.
    about : About
        Names of lots, machines, types.
    hidden : collection of str
        Kinds of records that are not shown to who asks.
    may : callable
        Whether who asks may open an address, as the routes name it.

    Returns
    -------
    Found

    Raises
    ------
    Unusable
        There is more than anybody types.
    """
    if len(words) > LONGEST:
        raise Unusable(
            say("there are more than {most} signs to look for", most=LONGEST),
            remedy=say("Type one word, a code, or the beginning of a number."),
        )
    asked = asked_for(words)
    if not asked:
        return Found(words=words.strip())
    every = [one for one in shop.found(words, most=MOST_LOOKED) if one.kind not in hidden]
    kept = [one for one in every if one.kind not in PLACES]
    machines = _machines(about)
    beside = hits(asked, machines, most=MOST_BESIDE)
    named = [(lot, machine, name) for lot, machine, name, _ in machines][:MOST_PLACES]
    return Found(
        words=words.strip(),
        places=tuple(one for one in every if one.kind in PLACES)[:MOST_KEPT],
        kept=tuple(kept[:MOST_KEPT]),
        more=len(kept) > MOST_KEPT,
        beside=tuple(_few(one) for one in beside if may(_route(one.entry.path))),
        pages=tuple(_few(one) for one in page_hits(asked, named, may=may, most=MOST_PAGES)),
    )


def _few(hit: Hit) -> Hit:
    return Hit(hit.entry, hit.places[:MOST_PLACES])


def _route(path: str) -> str:
    """The address of an entry as the routes name it: its last part is whatever it is."""
    base = path.partition("#")[0]
    for end, name in ENDS.items():
        head, found, _ = base.partition(end)
        if found:
            return f"{head}{end}{name}"
    return base


ENDS: Mapping[str, str] = {
    "/fix/faults/": "{fault}",
    "/looks/": "{check}",
    "/strip/places/": "{place}",
    "/wake/stages/": "{stage}",
    "/fix/cards/": "{card}",
    "/measure/": "{test}/new",
}


def _machines(about: About) -> list[tuple[str, str, str, Kind | None]]:
    """Lot, machine, name, type; the newest first."""
    rows = [
        (about.homes[id], id, name, about.kinds.get(id))
        for id, name in about.machines.items()
        if about.homes[id] in about.lots
    ]
    return rows[::-1]


Finder = Callable[[str], str]


def straight(words: str, finders: Mapping[str, Finder]) -> str:
    """Where a code that stands on paper leads, if it is one of this shop.

    Parameters
    ----------
    words : str
        As typed.
    finders : mapping of str to callable
        Label, visit, set, card: each takes a code and gives an address, or refuses it.

    Returns
    -------
    str
        An address; empty where it is no code, or none that is known.

    Examples
    --------
    >>> straight("belt", {"label": str})
    ''
    """
    try:
        code = read_code(words)
    except Unusable:
        return ""
    for find in finders.values():
        try:
            return find(code)
        except (Unknown, Unusable):
            continue
    return ""
