"""What the library knows, found by words: what may be wrong, looks, places, cautions, tests."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from retrue.base.say import later, reader, say
from retrue.cases.diary_pages import in_path
from retrue.cases.prove.deed import deeds
from retrue.kinds.library import Kind
from retrue.records.searching import Asked, matches, words_of_text

MOST_KEPT = 40  # types of machine in several languages whose words are held ready
MACHINE = "/lots/{lot}/machines/{machine}"
SORTS: Mapping[str, str] = {
    "fault": later("what may be wrong"),
    "symptom": later("what it does"),
    "check": later("look"),
    "place": later("place"),
    "history": later("past life"),
    "stage": later("stage of first power"),
    "test": later("test"),
    "card": later("job card"),
    "caution": later("caution"),
    "page": later("page"),
}
"""What an entry is called."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that can be found beside what was kept.

    Attributes
    ----------
    sort : str
        One of `SORTS`.
    id : str
        Of the library; empty: a page.
    words : str
        As a page says it.
    path : str
        Where it stands, with ``{lot}`` and ``{machine}`` where it is a machine's.
    """

    sort: str
    id: str
    words: str
    path: str


@dataclass(frozen=True, slots=True)
class Hit:
    """An entry that was found, with the machines it is of.

    Attributes
    ----------
    entry : Entry
    places : tuple of (str, str)
        Name of the machine and address; a page that is no machine's has one without a name.
    """

    entry: Entry
    places: tuple[tuple[str, str], ...]

    @property
    def sort_word(self) -> str:
        """What it is."""
        return say(SORTS[self.entry.sort])


def entries(kind: Kind) -> tuple[Entry, ...]:
    """Everything a type of machine knows that has a page of its machine.

    Parameters
    ----------
    kind : Kind
        A type of machine.

    Returns
    -------
    tuple of Entry
    """
    return tuple(_entries(kind))


def _entries(kind: Kind) -> Iterator[Entry]:
    for id, fault in kind.faults.items():
        yield Entry("fault", id, fault.name, _at(f"/fix/faults/{id}"))
    for id, symptom in kind.symptoms.items():
        yield Entry("symptom", id, symptom.words, _at("/find"))
    for id, check in kind.checks.items():
        yield Entry("check", id, check.text, _at(f"/looks/{id}"))
    for id, place in kind.places.items():
        yield Entry("place", id, place.name, _at(f"/strip/places/{in_path(id)}"))
    for id, history in kind.histories.items():
        yield Entry("history", id, history.name, _at(f"/looks#{id}"))
    for id, stage in kind.stages.items():
        yield Entry("stage", id, stage.title, _at(f"/wake/stages/{in_path(id)}"))
    for id, job in kind.jobs.items():
        yield Entry("card", id, job.name, _at(f"/fix/cards/{id}"))
    for deed in deeds():
        yield Entry("test", deed.id, deed.title, _at(f"/measure/{deed.id}/new"))
    yield from _cautions(kind)


def _cautions(kind: Kind) -> Iterator[Entry]:
    """A caution leads to the first look or stage that it stands before."""
    before = {one.caution: _at(f"/looks/{one.id}") for one in list(kind.checks.values())[::-1]}
    for stage in list(kind.stages.values())[::-1]:
        for id in stage.cautions:
            before[id] = _at(f"/wake/stages/{in_path(stage.id)}")
    for id, caution in kind.cautions.items():
        yield Entry("caution", id, caution.text, before.get(id, _at("/wake")))


def _at(end: str) -> str:
    return MACHINE + end


Held = tuple[tuple[Entry, frozenset[str]], ...]
_held: dict[tuple[str, str], Held] = {}


def with_words(kind: Kind) -> Held:
    """The entries of a type of machine, each with the words it is found by; made once.

    Parameters
    ----------
    kind : Kind
        A type of machine.

    Returns
    -------
    tuple of (Entry, frozenset of str)
        By id, by the words of the library, and by those of the reader's language.
    """
    key = (kind.hash, reader())
    found = _held.get(key)
    if found is None:
        if len(_held) >= MOST_KEPT:
            _held.clear()
        found = _held[key] = tuple((one, words_of_entry(one)) for one in entries(kind))
    return found


def words_of_entry(entry: Entry) -> frozenset[str]:
    """What an entry is found by: its id, its words, also as its reader says them.

    Parameters
    ----------
    entry : Entry
        Of the library, or a page.

    Returns
    -------
    frozenset of str
        Folded.

    Examples
    --------
    >>> sorted(words_of_entry(Entry("fault", "F12", "Gib worn", "")))
    ['12', 'f12', 'gib', 'worn']
    """
    return frozenset(words_of_text(f"{entry.id} {str.__str__(entry.words)} {say(entry.words)}"))


def hits(
    asked: Asked, machines: Iterable[tuple[str, str, str, Kind | None]], *, most: int
) -> list[Hit]:
    """What the types of these machines know of what is asked for.

    Parameters
    ----------
    asked : tuple
        As `retrue.records.searching.asked_for` has it.
    machines : iterable of (lot, machine, name, Kind or None)
        By ids; the first ones are named first.
    most : int
        Hits at most, and machines at most for each.

    Returns
    -------
    list of Hit
        By id first where an id was asked for, else in the order of the library.
    """
    found: dict[tuple[str, str, str], tuple[Entry, list[tuple[str, str]]]] = {}
    by_kind: dict[str, list[tuple[Entry, frozenset[str]]]] = {}
    for lot, machine, name, kind in machines:
        if kind is None:
            continue
        if kind.hash not in by_kind:
            by_kind[kind.hash] = [row for row in with_words(kind) if matches(asked, row[1])]
        for entry, _ in by_kind[kind.hash]:
            kept = found.setdefault((entry.sort, entry.id, entry.words), (entry, []))
            if len(kept[1]) < most:
                path = entry.path.format(lot=in_path(lot), machine=in_path(machine))
                kept[1].append((name, path))
    ids = {way[0].text for word in asked for way in word if len(way) == 1}
    ordered = sorted(found.values(), key=lambda row: row[0].id.casefold() not in ids)
    return [Hit(entry, tuple(places)) for entry, places in ordered][:most]
