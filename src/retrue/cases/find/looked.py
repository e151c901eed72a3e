"""What looks and words say of a machine by now: newest by date, point by point, until worked on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, time

from retrue.cases.case import Kept, LotCase
from retrue.cases.find.dead import SHOWS_WELL, dead_looks_at
from retrue.cases.passing import passes
from retrue.kinds.library import Kind
from retrue.kinds.once import once_a_kind
from retrue.records.facts import Finding

OWN = 3  # grade from which one saw it oneself


@dataclass(frozen=True, slots=True)
class Worked:
    """Work on a machine: how many findings were kept before it, what it touched, and when."""

    place: int
    faults: frozenset[str]
    at: datetime | None = None


def earlier(one: datetime | None, other: datetime | None) -> bool:
    """Whether one moment is dated before another.

    Parameters
    ----------
    one, other : datetime or None
        None: nobody said.

    Returns
    -------
    bool
        A day without an hour is that whole day: nothing of it is earlier or later.

    Examples
    --------
    >>> from datetime import UTC
    >>> day, noon = datetime(2026, 11, 26, tzinfo=UTC), datetime(2026, 11, 26, 12, tzinfo=UTC)
    >>> earlier(day, noon), earlier(noon.replace(hour=9), noon), earlier(None, noon)
    (False, True, False)
    """
    if one is None or other is None:
        return False
    if time() in (one.time(), other.time()):
        return one.date() < other.date()
    return one < other


def points_of(finding: Finding, kind: Kind) -> tuple[str, ...]:
    """Where a reading was taken, of what is measured at several points.

    Parameters
    ----------
    finding : Finding
        Its text names the point; several stand apart by a semicolon, the worst one first.
    kind : Kind

    Returns
    -------
    tuple of str
        One empty point, where it is no such reading or no point is named.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> read = Finding(lot="a", machine="A", check="C31", measure="M07", reading=0.3, grade=4,
    ...                text="Spindle  motor")
    >>> points_of(read, mill)
    ('spindle motor',)
    """
    if finding.reading is None or finding.measure not in measured_at_points(kind):
        return ("",)
    return tuple(bare(part) for part in finding.text.split(";") if part.strip()) or ("",)


def measured_at_points(kind: Kind) -> frozenset[str]:
    """Measures that first power reads at several points.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    frozenset of str
    """
    every = (band for bands in kind.stage_readings.values() for band in bands)
    return frozenset(band.measure for band in every if band.least)


def bare(point: str) -> str:
    """A point without capitals and double blanks.

    Parameters
    ----------
    point : str

    Returns
    -------
    str

    Examples
    --------
    >>> bare(" X  Motor ")
    'x motor'
    """
    return " ".join(point.casefold().split())


def looks_of(
    case: LotCase, machine: str, kind: Kind, worked: Sequence[Worked]
) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    """Looks that passed, that failed, and all that were answered and still stand.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.
    kind : Kind
    worked : sequence of Worked

    Returns
    -------
    tuple of frozenset of str
        Work makes a look worth making again where it shows the fault well; where the look clears a
        danger, a motor or a trouble that means off, where it shows it at all. The newest own
        answer by its date counts, at each point: a good motor does not speak for a bad one.
    """
    newest: dict[tuple[str, str], tuple[bool, datetime | None]] = {}
    answered: set[str] = set()
    clears = _clearing(kind)
    for place, kept in _own(case, machine):
        check = kept.finding.check
        if check is None or check not in kind.checks:
            continue
        least = 0.0 if check in clears else SHOWS_WELL
        shown = {f for f, link in kind.checks[check].links.items() if link >= least}
        said = passes(kept.finding, kind)
        if _undone(place, kept.at, shown, worked, good=said is not False):
            continue
        answered.add(check)
        if said is None:
            continue
        points = points_of(kept.finding, kind)
        for point in points if said else points[:1]:
            old = newest.get((check, point))
            if old is None or not earlier(kept.at, old[1]):
                newest[check, point] = (said, kept.at)
    bad = frozenset(check for (check, _), (said, _) in newest.items() if not said)
    return frozenset(check for check, _ in newest) - bad, bad, frozenset(answered)


def seen_of(
    case: LotCase, machine: str, worked: Sequence[Worked]
) -> tuple[frozenset[str], frozenset[str]]:
    """Faults seen by oneself not to be there, and said by anybody to be there.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.
    worked : sequence of Worked

    Returns
    -------
    tuple of frozenset of str
        Somebody else's word that a fault is absent closes nothing.
    """
    said: dict[str, tuple[bool, datetime | None]] = {}
    for place, kept in enumerate(case.findings):
        finding = kept.finding
        if finding.fault is None or finding.machine not in (machine, None):
            continue
        present = finding.answer == "present"
        if not present and (finding.grade < OWN or finding.informant):
            continue
        old = said.get(finding.fault)
        if _undone(place, kept.at, {finding.fault}, worked, good=not present):
            continue
        if old is None or not earlier(kept.at, old[1]):
            said[finding.fault] = (present, kept.at)
    there = frozenset(fault for fault, (present, _) in said.items() if present)
    return frozenset(said) - there, there


def found_of(
    case: LotCase,
    machine: str,
    kind: Kind,
    looks: tuple[frozenset[str], frozenset[str]],
    seen: tuple[frozenset[str], frozenset[str]],
) -> frozenset[str]:
    """Stop items that were ever found, and whose clearing look has not passed since.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.
    kind : Kind
    looks : tuple of frozenset of str
        Those that passed and those that failed.
    seen : tuple of frozenset of str
        Faults seen not to be there, and to be there.

    Returns
    -------
    frozenset of str
        What was repaired stays among them until it is looked at again.
    """
    (passed, failed), (absent, present) = looks, seen
    said_there = {
        kept.finding.fault
        for kept in case.findings
        if kept.finding.machine in (machine, None) and kept.finding.answer == "present"
    }
    seen_bad = {
        kept.finding.check
        for _, kept in _own(case, machine)
        if kept.finding.check in kind.checks and passes(kept.finding, kind) is False
    }
    ever = {
        fault
        for fault, cover in kind.stop_cover.items()
        if fault in said_there or cover.check in seen_bad
    }
    return frozenset(
        fault
        for fault in ever
        if fault in present
        or kind.stop_cover[fault].check in failed
        or not (fault in absent or kind.stop_cover[fault].check in passed)
    )


def _undone(
    place: int,
    at: datetime | None,
    faults: Iterable[str],
    worked: Sequence[Worked],
    *,
    good: bool,
) -> bool:
    """Whether work since makes an answer void; a good one also by its date, a bad one by both."""
    mine = [one for one in worked if one.faults.intersection(faults)]
    if good:
        return any(place < one.place or earlier(at, one.at) for one in mine)
    return any(place < one.place and not earlier(one.at, at) for one in mine)


@once_a_kind
def _clearing(kind: Kind) -> frozenset[str]:
    """Looks that clear a danger, a motor, or a trouble that means off."""
    clears = {cover.check for cover in kind.stop_cover.values()}
    clears |= {severe.check for severe in kind.severe.values()}
    clears |= {one for part in kind.swappable.values() for one in part.first}
    means_off = [one for one in kind.symptoms.values() if one.switch_off_first]
    return frozenset(clears | {look.id for one in means_off for look in dead_looks_at(one, kind)})


def _own(case: LotCase, machine: str) -> Iterator[tuple[int, Kept]]:
    for place, kept in enumerate(case.findings):
        finding = kept.finding
        if finding.machine in (machine, None) and finding.grade >= OWN:
            yield place, kept
