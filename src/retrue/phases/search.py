"""Search over everything: machines and lots, what was kept, what the library knows, pages.

What was kept is found by the words somebody typed, whenever that was. The newest are read as well,
as their reader sees them: by the words of the library in the reader's language, by their amounts
and readings.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from retrue.base.codes import read_code
from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import reader, say
from retrue.cases.diary_record import About, headline
from retrue.cases.search_kinds import Hit, hits
from retrue.cases.search_pages import page_hits
from retrue.kinds.library import Kind
from retrue.records.facts import Fact, Lot, Machine
from retrue.records.packing import KINDS
from retrue.records.searching import asked_for, matches, words_of, words_of_line
from retrue.records.shop import Record, RecordShop

MOST_KEPT = 30  # of what was kept
MOST_LOOKED = 120  # records that are found before those of another reader are left out
MOST_BESIDE = 12  # of what the library knows
MOST_PAGES = 10
MOST_PLACES = 3  # machines that are named with one entry
LONGEST = 200  # signs of what is asked for
MOST_READ = 2000  # of the newest whose lines are read: amounts, readings, words of the library
MOST_HELD = 3 * MOST_READ  # lines whose words are held ready, in all languages
OWN_WORDS = frozenset({"note", "file", "reading", "withdrawn", "lot", "machine"})
"""Kinds whose line is only what somebody typed, or that stand on another page."""
LONG_AGO = datetime(1900, 1, 1, tzinfo=UTC)
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
    unread : bool
        Whether there are older records than those that were read as their reader sees them.
    beside : tuple of Hit
        What may be wrong, looks, places, tests, cautions.
    pages : tuple of Hit
        Pages by their title.
    """

    words: str = ""
    places: tuple[Record[Any], ...] = ()
    kept: tuple[Record[Any], ...] = ()
    more: bool = False
    unread: bool = False
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
    if not (asked := asked_for(words)):
        return Found(words=words.strip())
    newest = _newest(shop)
    read = (one for one in newest if matches(asked, _words(one, about)))
    typed = shop.found(words, most=MOST_LOOKED)
    found = {one.id: one for one in (*typed, *read) if one.kind not in hidden}
    every = sorted(found.values(), key=lambda one: -one.seq)
    kept = [one for one in every if one.kind not in PLACES]
    machines = _machines(about)
    beside = hits(asked, machines, most=MOST_BESIDE)
    named = [one[:3] for one in machines[:MOST_PLACES]]
    return Found(
        words=words.strip(),
        places=tuple(one for one in every if one.kind in PLACES)[:MOST_KEPT],
        kept=tuple(kept[:MOST_KEPT]),
        more=len(kept) > MOST_KEPT,
        unread=len(newest) == MOST_READ,
        beside=tuple(_few(one) for one in beside if may(_route(one.entry.path))),
        pages=tuple(_few(one) for one in page_hits(asked, named, may=may, most=MOST_PAGES)),
    )


_Held = tuple[Fact, str, frozenset[str]]
_held: dict[tuple[str, str], _Held] = {}


def _newest(shop: RecordShop) -> list[Record[Any]]:
    """Those that are read as their reader sees them."""
    kinds = [KINDS[kind] for kind in sorted(frozenset(KINDS) - OWN_WORDS)]
    return [one for _, one in shop.seen_since(LONG_AGO, kinds, most=MOST_READ)]


def _words(record: Record[Any], about: About) -> frozenset[str]:
    """The words of a record's line; held, for a record is never altered."""
    fact: Fact = record.fact
    kind = about.kind_of(fact)
    key, version = (record.id, reader()), kind.hash if kind else ""
    held = _held.get(key)
    if held is None or held[:2] != (fact, version):
        words = words_of_line(headline(fact, about)) | frozenset(words_of(fact))
        if len(_held) >= MOST_HELD:
            _held.clear()
        held = _held[key] = (fact, version, words)
    return held[2]


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
