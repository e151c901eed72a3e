"""Which cards a machine gets and what each comes after: opened once, closed once, then power."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from retrue.cases.find.dead import is_dead
from retrue.cases.fix.needed import LIKELY, FaultNeed, JobNeed, Needed
from retrue.cases.fix.places import chain, either, share_of_places
from retrue.kinds.library import Job, Kind

LATE_SORTS = ("start", "level", "measure", "finish")
# Ranks: of what may be done next, the lower one stands first on a list.
RECORD, OUTSIDE, OPEN, BEFORE, CLEAN, TEST, WORK, CLOSE, POWER = range(9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How the work of one machine is laid out.

    Attributes
    ----------
    opened : mapping of place to chance
        Places with a card of their own, in the kind's order.
    before : mapping of place to share of the as-found record
        Those read in a card of their own just before they come apart.
    early, late : tuple of JobNeed
        Before the machine is closed for first power; after, in their order.
    level_place : str
        Opened only for levelling; empty: none.
    after : mapping of job to tuple of FaultNeed
        Faults whose own way comes after a late pass: one that may cure them, levelling where an
        alignment means nothing before, first power where only a machine that runs shows them.
    """

    opened: Mapping[str, float]
    before: Mapping[str, float]
    early: tuple[JobNeed, ...]
    late: tuple[JobNeed, ...]
    level_place: str
    after: Mapping[str, tuple[FaultNeed, ...]]

    def is_late(self, need: FaultNeed) -> bool:
        """Whether a fault's own way comes after first power."""
        return any(
            one.line == need.line and one == need for group in self.after.values() for one in group
        )

    def inner(self, kind: Kind, place: str | None) -> str:
        """The innermost place with a card that must be open; empty: none."""
        return next((one for one in chain(kind, place) if one in self.opened), "")


def layout_of(need: Needed) -> Layout:
    """Lay out the work of one machine.

    Parameters
    ----------
    need : Needed

    Returns
    -------
    Layout
    """
    kind = need.kind
    early = tuple(one for one in need.jobs if not is_late(kind, one.job))
    late = tuple(sorted((one for one in need.jobs if is_late(kind, one.job)), key=_late_order))
    after: dict[str, tuple[FaultNeed, ...]] = {}
    for one in need.faults:
        own = one.after in {job.job.id for job in late}
        job = one.after if own else _ruled_after(one, kind, late)
        if job:
            after[job] = (*after.get(job, ()), one)
    level_place = _level_place(need, late)
    opened = _opened(need, after, level_place)
    shares = share_of_places(kind)
    sure = _opened(need, after, level_place, standing=False)
    before = {
        place: shares[place]
        for place in opened
        if sure.get(place, 0.0) >= 1.0 and place in shares and _unread(need, place)
        and place not in need.openings.closed
    }  # fmt: skip
    return Layout(
        opened=opened,
        before=before,
        early=early,
        late=late,
        level_place=level_place,
        after=after,
    )


def is_late(kind: Kind, job: Job) -> bool:
    """Whether a base job comes with first power or after it.

    Parameters
    ----------
    kind : Kind
    job : Job

    Returns
    -------
    bool
        A check is early where everything it shows can be looked at dead.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [id for id in ("J05", "J18", "J19", "J20", "J22") if is_late(mill, mill.jobs[id])]
    ['J19', 'J20', 'J22']
    """
    if job.sort != "check":
        return job.sort in LATE_SORTS
    return not all(is_dead(kind.checks[one]) for one in job.reveals if one in kind.checks)


def _ruled_after(need: FaultNeed, kind: Kind, late: Iterable[JobNeed]) -> str:
    """The late pass that the rules of a fault put before its work; empty: none."""
    said = {one.after for one in kind.card_rules if one.of == f"fault:{need.fault.id}"} - {""}
    return next((one.job.id for one in late if one.job.sort in said), "")


def is_outer(kind: Kind, place: str) -> bool:
    """Whether a place lies round others and is met first: the outside, the enclosure.

    Parameters
    ----------
    kind : Kind
    place : str

    Returns
    -------
    bool

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [id for id in mill.places if is_outer(mill, id)]
    ['outside', 'enclosure']
    """
    outer = {id for id, one in kind.places.items() if one.behind is None}
    first = kind.places[place].behind is None or kind.places[place].behind in outer
    return first and any(one.behind == place for one in kind.places.values())


def cleans_outside(kind: Kind, job: Job) -> bool:
    """Whether a pass takes dirt off the outside: before what lies within is opened.

    Parameters
    ----------
    kind : Kind
    job : Job

    Returns
    -------
    bool
        Else the dirt falls into open ways and cabinets.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [id for id in ("J02", "J03", "J05") if cleans_outside(mill, mill.jobs[id])]
    ['J02']
    """
    here = [one for one in job.places if one in kind.places]
    return job.sort == "clean" and bool(here) and all(is_outer(kind, one) for one in here)


def needs_power(kind: Kind, job: Job) -> bool:
    """Whether a base job is measured or tried on a machine that runs.

    Parameters
    ----------
    kind : Kind
    job : Job

    Returns
    -------
    bool
        Levelling and paint come after first power, and can be done without it.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [id for id in ("J18", "J19", "J24", "J25", "J26", "J27")
    ...  if needs_power(mill, mill.jobs[id])]
    ['J19', 'J25', 'J26']
    """
    return job.sort in ("check", "measure") and is_late(kind, job)


def _late_order(need: JobNeed) -> tuple[int, str, str]:
    """Start, data and stops, levelling, geometry, run-in with the first good part, finish."""
    job = need.job
    if job.sort == "measure" and _runs(job):
        return 4, "", job.id  # the last measuring of a good machine ends with the first good part
    rank = {"start": 0, "check": 1, "level": 2, "measure": 3, "finish": 5}[job.sort]
    return rank, job.when if job.sort == "measure" and job.when != "level:right" else "", job.id


def _runs(job: Job) -> bool:
    return "run-in" in job.name.casefold()


def _level_place(need: Needed, late: tuple[JobNeed, ...]) -> str:
    places = [one.job.places[0] for one in late if one.job.sort == "level" and one.job.places]
    return places[0] if places and chain(need.kind, places[0])[:1] == (places[0],) else ""


def _opened(
    need: Needed,
    after: Mapping[str, tuple[FaultNeed, ...]],
    level_place: str,
    *,
    standing: bool = True,
) -> dict[str, float]:
    """Chance of every place to be opened; small ones go with what nobody has seen yet.

    Without what is standing open: what was likely to be opened was read with its opening.
    """
    kind = need.kind
    late = {one.line for group in after.values() for one in group}
    wanted: dict[str, list[float]] = {}
    for job in need.jobs:
        for place in {one for of in job.job.places for one in chain(kind, of)}:
            wanted.setdefault(place, []).append(job.chance)
    for one in need.faults:
        for place in chain(kind, one.fix.opens) if one.line not in late else ():
            wanted.setdefault(place, []).append(1.0 if one.confirmed else one.chance)
    for id in need.machine.renewals:
        if id in kind.renewals:
            for place in chain(kind, kind.renewals[id].place):
                wanted.setdefault(place, []).append(1.0)
    for id in need.machine.upgrades:
        if id in kind.upgrades and kind.upgrades[id].sort != "finish":
            for place in chain(kind, kind.upgrades[id].place):
                wanted.setdefault(place, []).append(1.0)
    for place in need.openings.open_now if standing else ():
        wanted.setdefault(place, []).append(1.0)
    ring = {one for group in need.openings.circular for one in group}
    return {
        place: either(wanted[place])
        for place in kind.places
        if place in wanted
        and chain(kind, place)[:1] == (place,)
        and place not in ring
        and (either(wanted[place]) >= LIKELY or place == level_place)
    }


def _unread(need: Needed, place: str) -> bool:
    return any(
        one.place == place and one.before == "apart" and one.id not in need.machine.as_found
        for one in need.kind.as_found.values()
    )
