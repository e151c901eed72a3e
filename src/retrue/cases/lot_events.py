"""What happened in fault-finding as sections of a lot file: read in the order of its lines."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from retrue.base.say import say
from retrue.cases.case import Event, Happened
from retrue.cases.known import Doubt, nearest
from retrue.cases.known_events import event_doubts
from retrue.cases.lot_fields import Report, WrongError, make, value_of
from retrue.kinds.library import Kind
from retrue.records.seeking import Act, Hunch, PartMoved, Signed, Trial, Trouble

EVENTS: dict[str, type[Event]] = {
    "trouble": Trouble,
    "hunch": Hunch,
    "trial": Trial,
    "act": Act,
    "part_moved": PartMoved,
    "signed": Signed,
}
OWN_KEYS = ("id", "on")


@dataclass(frozen=True, slots=True)
class Told:
    """One section of a file that tells something that happened.

    Attributes
    ----------
    section : str
        ``act``.
    place : int
        Which one of its sort.
    line : int
        Where it stands in the file.
    table : mapping
        As parsed.
    """

    section: str
    place: int
    line: int
    table: Mapping[str, Any]


Reporter = Callable[[Told], Report]  # what notes the problems of one section


def read_events(
    told: Iterable[Told], lot: str, finding_lines: list[int], taken: Iterable[str], wrong: Reporter
) -> list[tuple[Told, Happened]]:
    """Read what happened, oldest first: the file's own order.

    Parameters
    ----------
    told : iterable of Told
        All sections of :data:`EVENTS`.
    lot : str
        Its name.
    finding_lines : list of int
        Lines of the findings, rising: which of them came before.
    taken : iterable of str
        Ids that the findings have.
    wrong : callable
        Gives what notes the problems of one section.

    Returns
    -------
    list of (Told, Happened)
        Those that could be made, each with the section it comes from.

    Examples
    --------
    >>> off = Told("trouble", 0, 5, {"machine": "mill", "symptom": "Y01", "on": "2026-11-25"})
    >>> (_, one), = read_events([off], "14", [3, 9], [], lambda told: print)
    >>> one.id, one.place, one.on
    ('mill.Y01', 1, '2026-11-25')
    """
    rows = sorted(told, key=lambda one: (one.line, list(EVENTS).index(one.section), one.place))
    ids = set(taken)
    ids.update(one.table["id"] for one in rows if isinstance(one.table.get("id"), str))
    seen = set(taken)
    read: list[tuple[Told, Happened]] = []
    for one in rows:
        report = wrong(one)
        rest = {key: value for key, value in one.table.items() if key not in OWN_KEYS}
        event = make(EVENTS[one.section], rest, report, {"lot": lot})
        id, on = _id(one.table.get("id"), seen, report), _day(one.table.get("on"), report)
        if event is None:
            continue
        name = id or _free(_stem(event), ids)
        ids.add(name)
        before = sum(line < one.line for line in finding_lines)
        read.append((one, Happened(id=name, event=event, place=before, on=on)))
    return read


def look_up_events(
    read: Iterable[tuple[Told, Happened]], kinds: Mapping[str, Kind | None]
) -> Iterator[tuple[Told, Doubt]]:
    """Look up machines, troubles, and what the kinds must know.

    Parameters
    ----------
    read : iterable of (Told, Happened)
        Oldest first.
    kinds : mapping of str to (Kind or None)
        By the name of each machine of the lot; None where its kind is not known.

    Yields
    ------
    (Told, Doubt)
    """
    troubles: dict[str, str] = {}
    for told, happened in read:
        event = happened.event
        if event.machine not in kinds:
            what = say("the lot has no machine {name}", name=event.machine)
            yield told, Doubt("machine", what, nearest(event.machine, kinds))
            continue
        yield from ((told, doubt) for doubt in _of_trouble(event, troubles))
        if isinstance(event, Trouble):
            troubles[happened.id] = event.machine
        if (
            isinstance(event, PartMoved)
            and event.why != "donor"
            and event.from_machine not in kinds
        ):
            what = say("the lot has no machine {name}", name=event.from_machine)
            yield told, Doubt("from_machine", what, nearest(event.from_machine, kinds))
        kind = kinds[event.machine]
        if kind is not None:
            yield from ((told, doubt) for doubt in event_doubts(event, kind))


def new_id(event: Event, taken: Iterable[str]) -> str:
    """An id for something new that happened: machine and what it is about, counted.

    Parameters
    ----------
    event : Event
        Its machine by name.
    taken : iterable of str
        Ids that stand.

    Returns
    -------
    str

    Examples
    --------
    >>> new_id(Signed(lot="14", machine="mill", stage="apart", name="An"), ["mill.signed.apart"])
    'mill.signed.apart.2'
    """
    return _free(_stem(event), set(taken))


def _of_trouble(event: Event, troubles: Mapping[str, str]) -> Iterator[Doubt]:
    """Refuse a trouble that nobody told before, or that another machine has."""
    trouble = event.trouble if isinstance(event, Hunch | Trial | Act) else None
    if trouble is None:
        return
    if trouble not in troubles:
        what = say("no trouble {id} is told above", id=trouble)
        yield Doubt("trouble", what, nearest(trouble, troubles) or say("Tell it first."))
    elif troubles[trouble] != event.machine:
        what = say("{id} is a trouble of {machine}", id=trouble, machine=troubles[trouble])
        yield Doubt("trouble", what, say("Name one of this machine's own."))


def _stem(event: Event) -> str:
    about: str
    match event:
        case Trouble():
            about = event.symptom
        case Hunch():
            about = f"hunch.{event.fault}"
        case Trial():
            about = f"trial.{event.group}" if event.group else "trial"
        case Act():
            about = f"act.{event.fault or event.job or event.sort}"
        case PartMoved():
            about = f"moved.{event.serial}"
        case _:
            about = f"signed.{event.stage}"
    return f"{event.machine}.{about}"


def _free(stem: str, taken: set[str]) -> str:
    id, count = stem, 1
    while id in taken:
        count += 1
        id = f"{stem}.{count}"
    return id


def _id(given: Any, seen: set[str], report: Report) -> str | None:
    if given is None:
        return None
    if not isinstance(given, str) or not given or given in seen:
        what = say("the id {id} is empty or stands twice", id=repr(given))
        report("id", what, say("Leave it out, or make it new."))
        return None
    seen.add(given)
    return given


def _day(given: Any, report: Report) -> str:
    if given is None:
        return ""
    try:
        day: str = value_of(str, given)
        if date.fromisoformat(day).isoformat() == day:
            return day
    except (WrongError, ValueError):
        pass
    report("on", say("is {value}, which is not a date", value=repr(given)),
           say("Write it as 2026-11-25."))  # fmt: skip
    return ""
