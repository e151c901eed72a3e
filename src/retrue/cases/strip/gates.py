"""The gates of a place: what must be kept of it before it is cleaned, and before it comes apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from retrue.base.refusals import NotYet, Problem
from retrue.base.say import say
from retrue.cases.strip import cautions
from retrue.cases.strip.lines import EntryLine, EntryState, PlaceStands
from retrue.kinds.library import Kind
from retrue.kinds.stripping import AsFoundEntry
from retrue.records.stripping import AsFound

PICTURED = ("shot", "wipe")  # only a photograph makes these done


@dataclass(frozen=True, slots=True)
class Said:
    """What was said of one line, and the id of the newest record that says it."""

    fact: AsFound
    record: str


@dataclass(frozen=True, slots=True)
class Pictured:
    """A kept photograph of a place: the id of its first record, and what it shows."""

    id: str
    place: str
    shot: str | None


def entry_line(entry: AsFoundEntry, said: Said | None, files: Sequence[str]) -> EntryLine:
    """One line of the list as it stands.

    Parameters
    ----------
    entry : AsFoundEntry
    said : Said or None
        None: nobody has said anything of it.
    files : sequence of str
        Ids of its photographs, oldest first.

    Returns
    -------
    EntryLine
        A photograph makes any line done. A shot or a wipe is done by nothing else; a reading or a
        mark by what was read or written as well.

    Examples
    --------
    >>> entry = AsFoundEntry(id="A01", place="outside", what="shot", text="", needed="needed")
    >>> entry_line(entry, None, []).state, entry_line(entry, None, ["f1"]).state
    ('open', 'done')
    """
    fact = said.fact if said else None
    state: EntryState = fact.state if fact else "open"
    if files:
        state = "done"
    elif fact and state == "done" and bare(entry, fact):
        state = "open"
    return EntryLine(
        entry=entry,
        state=state,
        why=fact.why if fact else "",
        files=tuple(files),
        reading=fact.reading if fact else None,
        unit=fact.unit if fact else "",
        text=fact.text if fact else "",
        record=said.record if said else None,
    )


def bare(entry: AsFoundEntry, fact: AsFound) -> bool:
    """Whether what was said of a line shows nothing by itself.

    Parameters
    ----------
    entry : AsFoundEntry
    fact : AsFound

    Returns
    -------
    bool
        A photograph that is asked for is never a word; else a number or a word shows it.

    Examples
    --------
    >>> mark = AsFoundEntry(id="A49", place="x", what="mark", text="", needed="needed")
    >>> [bare(mark, AsFound(lot="l", machine="m", entry="A49", text=said)) for said in ("", "red")]
    [True, False]
    """
    if entry.what in PICTURED:
        return True
    return fact.reading is None and not fact.text.strip()


def place_stands(
    kind: Kind,
    place: str,
    said: Mapping[str, Said],
    pictures: Iterable[Pictured],
    cleaned: Iterable[str] = (),
) -> PlaceStands:
    """One place with its gates.

    Parameters
    ----------
    kind : Kind
    place : str
        Id of one of its places.
    said : mapping of str to Said
        By the ids of the list.
    pictures : iterable of Pictured
        Of the whole machine, oldest first.
    cleaned : iterable of str
        Sorts of muck that were taken off this place.

    Returns
    -------
    PlaceStands
        Cleaning is shut while a needed line is open, or only put off until later. Taking apart is
        shut while a line that is lost by it is open or put off.
    """
    here = [one for one in pictures if one.place == place]
    entries = [entry for entry in kind.as_found.values() if entry.place == place]
    by_line: dict[str | None, list[str]] = {}
    for one in here:
        by_line.setdefault(one.shot, []).append(one.id)
    lines = tuple(entry_line(one, said.get(one.id), by_line.get(one.id, ())) for one in entries)
    wipes = sum(len(line.files) for line in lines if line.entry.what == "wipe")
    known = {None, *(entry.id for entry in entries)}  # the others belong to a label
    clean = tuple(one for one in lines if one.entry.needed == "needed" and not one.settled)
    apart = tuple(one for one in lines if one.entry.before == "apart" and not one.settled)
    return PlaceStands(
        id=place,
        name=kind.places[place].name,
        needs=kind.places[place].needs,
        cautions=cautions.of_place(kind, place),
        entries=lines,
        shots=sum(one.shot in known for one in here) - wipes,
        wipes=wipes,
        wanted_shots=_wanted(entries, "shot"),
        wanted_wipes=_wanted(entries, "wipe"),
        before_clean=clean,
        before_apart=apart,
        may_clean=not clean,
        may_take_apart=not apart,
        cleaned=tuple(dict.fromkeys(cleaned)),
        next=next_picture(lines),
        files=tuple(one.id for one in here),
    )


def next_shot(lines: Iterable[EntryLine]) -> EntryLine | None:
    """The first shot that is still open, those needed before cleaning first.

    Parameters
    ----------
    lines : iterable of EntryLine
        Of one place.

    Returns
    -------
    EntryLine or None
        What a shutter that says nothing belongs to.
    """
    return _first_open(lines, "shot")


def next_picture(lines: Iterable[EntryLine]) -> EntryLine | None:
    """What is photographed next: the shots, then the wipes, those needed first.

    Parameters
    ----------
    lines : iterable of EntryLine
        Of one place.

    Returns
    -------
    EntryLine or None
    """
    every = list(lines)
    needed = [line for line in every if line.entry.needed == "needed"]
    for group in (needed, every):
        found = _first_open(group, "shot") or _first_open(group, "wipe")
        if found:
            return found
    return None


def refuse_cleaning(stands: PlaceStands) -> None:
    """Refuse to clean a place while its gate is shut.

    Parameters
    ----------
    stands : PlaceStands

    Raises
    ------
    NotYet
        With one problem for each line that is open. What is always allowed is not cleaning.
    """
    if stands.may_clean:
        return
    raise NotYet(
        say("{place} is not cleaned before it is kept as found", place=stands.name),
        remedy=say("Take these first, or say why one is not possible. Oiling bare iron, catching "
                   "a leak, mopping the floor and oily rags out are always allowed."),
        problems=open_lines(stands.before_clean),
    )  # fmt: skip


def refuse_taking_apart(stands: PlaceStands) -> None:
    """Refuse to undo something while what is lost by it is not read.

    Parameters
    ----------
    stands : PlaceStands

    Raises
    ------
    NotYet
        With one problem for each reading or mark that is open.
    """
    if stands.may_take_apart:
        return
    raise NotYet(
        say("{place} does not come apart before it is read", place=stands.name),
        remedy=say("Read or mark these first, or say why one is not possible."),
        problems=open_lines(stands.before_apart),
    )


def open_lines(lines: Iterable[EntryLine]) -> tuple[Problem, ...]:
    """The open lines of a gate as problems.

    Parameters
    ----------
    lines : iterable of EntryLine

    Returns
    -------
    tuple of Problem
        Where: the id; what: its words, and that it was put off if it was.
    """
    return tuple(
        Problem(
            line.entry.id,
            say("{what} (put off until later)", what=line.entry.text)
            if line.state == "later"
            else line.entry.text,
        )
        for line in lines
    )


def _wanted(entries: Iterable[AsFoundEntry], what: str) -> int:
    return sum(entry.what == what and entry.needed == "needed" for entry in entries)


def _first_open(lines: Iterable[EntryLine], what: str) -> EntryLine | None:
    still = [line for line in lines if line.entry.what == what and line.state == "open"]
    needed = (line for line in still if line.entry.needed == "needed")
    return next(needed, still[0] if still else None)
