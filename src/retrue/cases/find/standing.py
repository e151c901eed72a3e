"""How a machine stands in its fault-finding: what was signed, passed, failed, tried, left open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from retrue.cases.case import Happened, LotCase
from retrue.cases.find.looked import OWN, Worked, found_of, looks_of, seen_of
from retrue.kinds.library import Fix, Kind
from retrue.records.facts import Machine
from retrue.records.seeking import Act, PartMoved, Signed, Trial, Trouble

__all__ = ["OWN", "Standing", "behind", "standing", "touched", "troubles", "way_of"]

STAGES = ("apart", "power_up", "running")  # stop points, in their order
NOT_DOING = ("observe", "measure", "call_for_help")


@dataclass(frozen=True, slots=True)
class Standing:
    """What is so by now, without any chances.

    Attributes
    ----------
    signed : frozenset of str
        Stages that are open; a later one signed opens the earlier ones.
    passed, failed : frozenset of str
        Looks whose newest own answer still stands: nothing it shows well was worked on since, and
        of a look that clears a danger, nothing it shows at all.
    answered : frozenset of str
        Those and the ones that could not be told: not asked again.
    ways_tried : mapping of str to frozenset of str
        By fault.
    jobs_done : frozenset of str
    treated : frozenset of str
        Faults worked on, with no bad look since.
    absent, present : frozenset of str
        Faults seen by oneself not to be there, said by anybody to be there, nothing done to them
        since.
    found : frozenset of str
        Stop items that were found, repaired or not, and not cleared by their look since.
    proved : frozenset of (str, str)
        Group and level that passed its proof, with nothing done to the group since.
    open_places : frozenset of str
    swapped : frozenset of str
        Parts that changed places already.
    """

    machine: Machine
    kind: Kind
    signed: frozenset[str]
    passed: frozenset[str]
    failed: frozenset[str]
    answered: frozenset[str]
    ways_tried: Mapping[str, frozenset[str]]
    jobs_done: frozenset[str]
    treated: frozenset[str]
    absent: frozenset[str]
    present: frozenset[str]
    found: frozenset[str]
    proved: frozenset[tuple[str, str]]
    open_places: frozenset[str]
    swapped: frozenset[str]


def standing(case: LotCase, machine: str, kind: Kind) -> Standing:
    """Read off how a machine stands.

    Parameters
    ----------
    case : LotCase
        With what happened, oldest first.
    machine : str
        Its name.
    kind : Kind
        Of the machine.

    Returns
    -------
    Standing

    Notes
    -----
    Places opened for acts of the newest day stay open until a stage of power is signed or a
    trial passes after them. Where nobody said the day, all acts count as of one day.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> signed = Signed(lot="a", machine="A", stage="power_up", name="J. Peeters")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(Happened(id="1", event=signed, place=0),))
    >>> sorted(standing(case, "A", load()[mill.kind]).signed)
    ['apart', 'power_up']
    """
    mine = [h for h in case.happened if h.event.machine == machine]
    acts = [(h.place, h.event) for h in mine if isinstance(h.event, Act)]
    worked = _worked(case, machine, kind)
    passed, failed, answered = looks_of(case, machine, kind, worked)
    absent, present = seen_of(case, machine, worked)
    bad = {f for check in failed for f in kind.checks[check].links}
    return Standing(
        machine=next(m for m in case.machines if m.name == machine),
        kind=kind,
        signed=_signed(mine),
        passed=passed,
        failed=failed,
        answered=answered,
        ways_tried=_ways_tried(acts),
        jobs_done=frozenset(act.job for _, act in acts if act.job),
        treated=frozenset(f for one in worked for f in one.faults) - bad - present,
        absent=absent,
        present=present,
        found=found_of(case, machine, kind, (passed, failed), (absent, present)),
        proved=_proved(mine, kind),
        open_places=_open_places(mine, kind),
        swapped=frozenset(
            h.event.part for h in mine if isinstance(h.event, PartMoved) and h.event.why == "swap"
        ),
    )


def touched(act: Act, kind: Kind) -> Iterator[str]:
    """Faults that an act may have changed.

    Parameters
    ----------
    act : Act
    kind : Kind

    Yields
    ------
    str
        The fault it was for, what its way cures beside, what its job cures.
    """
    if act.sort in ("observe", "measure"):
        return
    if act.fault:
        yield act.fault
        fix = way_of(kind, act.fault, act.way)
        if fix is not None:
            yield from fix.also_cures
    if act.job and act.job in kind.jobs:
        yield from kind.jobs[act.job].cures


def way_of(kind: Kind, fault: str, way: str) -> Fix | None:
    """A fault's way of that name.

    Parameters
    ----------
    kind : Kind
    fault, way : str

    Returns
    -------
    Fix or None
        None where the kind has no such way.
    """
    return next((fix for fix in kind.fixes.get(fault, ()) if fix.way == way), None)


def troubles(case: LotCase, machine: str) -> tuple[Happened, ...]:
    """Troubles of a machine that are not met: their last trial did not pass, or none was made.

    Parameters
    ----------
    case : LotCase
    machine : str

    Returns
    -------
    tuple of Happened
        Oldest first.
    """
    last: dict[str, bool] = {}
    for one in case.happened:
        if isinstance(one.event, Trial) and one.event.trouble:
            last[one.event.trouble] = one.event.passes
    return tuple(
        one
        for one in case.happened
        if isinstance(one.event, Trouble)
        and one.event.machine == machine
        and not last.get(one.id, False)
    )


def _worked(case: LotCase, machine: str, kind: Kind) -> list[Worked]:
    """What was done to a machine; a part that left it, or came, is work as well."""
    found = []
    for one in case.happened:
        event = one.event
        if isinstance(event, Act) and event.machine == machine:
            found.append(Worked(one.place, frozenset(touched(event, kind)), one.at))
        elif isinstance(event, PartMoved) and machine in (event.machine, event.from_machine):
            part = kind.swappable.get(event.part)
            goes = frozenset(part.goes_along) if part else frozenset[str]()
            found.append(Worked(one.place, goes, one.at))
    return found


def _signed(mine: list[Happened]) -> frozenset[str]:
    last = max(
        (STAGES.index(h.event.stage) for h in mine if isinstance(h.event, Signed)), default=-1
    )
    return frozenset(STAGES[: last + 1])


def _ways_tried(acts: list[tuple[int, Act]]) -> dict[str, frozenset[str]]:
    tried: dict[str, frozenset[str]] = {}
    for _, act in acts:
        if act.fault and act.sort not in NOT_DOING:
            tried[act.fault] = tried.get(act.fault, frozenset()) | {act.way or act.sort}
    return tried


def _proved(mine: list[Happened], kind: Kind) -> frozenset[tuple[str, str]]:
    """Groups and levels that passed, with nothing done to them since."""
    proved: set[tuple[str, str]] = set()
    for one in mine:
        event = one.event
        if isinstance(event, Trial) and event.group:
            proved.discard((event.group, event.level))
            if event.passes:
                proved.add((event.group, event.level))
        elif isinstance(event, Act):
            worked = {kind.faults[f].subsystem for f in touched(event, kind) if f in kind.faults}
            proved = {
                (group, level)
                for group, level in proved
                if group not in kind.groups or not worked & set(kind.groups[group].subsystems)
            }
    return frozenset(proved)


def _open_places(mine: list[Happened], kind: Kind) -> frozenset[str]:
    days = [h.on for h in mine if h.on]
    today = days[-1] if days else ""
    opened: set[str] = set()
    for one in mine:
        event = one.event
        shut = isinstance(event, Trial) and event.passes
        if shut or (isinstance(event, Signed) and event.stage != "apart"):
            opened.clear()
        elif isinstance(event, Act) and one.on in ("", today):
            fix = way_of(kind, event.fault, event.way) if event.fault else None
            if fix is not None and fix.opens:
                opened |= set(behind(kind, fix.opens))
            if event.job and event.job in kind.jobs:
                for place in kind.jobs[event.job].places:
                    opened |= set(behind(kind, place))
    return frozenset(opened)


def behind(kind: Kind, place: str | None) -> tuple[str, ...]:
    """A place and all that must be open before it, itself first.

    Parameters
    ----------
    kind : Kind
    place : str or None

    Returns
    -------
    tuple of str
        Empty for no place, or one the kind does not have.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> behind(load()["vertical_machining_centre"], "spindle_head")
    ('spindle_head', 'enclosure', 'outside')
    """
    found: list[str] = []
    while place is not None and place in kind.places and place not in found:
        found.append(place)
        place = kind.places[place].behind
    return tuple(found)
