"""What was told and tried of troubles and groups, as evidence over strands."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.belief.looks import look
from retrue.belief.network import Evidence, Seen
from retrue.cases.case import Happened, LotCase
from retrue.cases.complaint import MOST_CAUGHT
from retrue.cases.merging import telling
from retrue.cases.network import CaseNetwork
from retrue.cases.orders import must_go
from retrue.kinds.library import Kind
from retrue.records.facts import Machine
from retrue.records.seeking import Hunch, Trial, Trouble

HUNCH = "hunch_right"
RIGHT = 0.4  # share of hunches that are right, where the kind does not say (judgement)


def tried(case: LotCase, built: CaseNetwork) -> Iterator[Evidence]:
    """What troubles, trials and hunches say.

    Parameters
    ----------
    case : LotCase
    built : CaseNetwork
        Of the same case.

    Yields
    ------
    Evidence
        Keys are the ids of what happened.

    Notes
    -----
    A trouble that was told, or that still shows, says that something behind it is still there. A
    group that passed has no fault that its level does not bear; one that did not has at least
    one. Of several hunches of one informant on one trouble the newest counts.

    Examples
    --------
    >>> from retrue.cases.network import build
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> growls = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y01"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(growls,))
    >>> [len(one.faults) for one in tried(case, build(case, load()))]
    [4]
    """
    hunches: dict[tuple[str, str | None], tuple[int, Happened]] = {}
    kept = telling(case)
    for at, one in enumerate(case.happened):
        event = one.event
        if at not in kept:
            continue
        if isinstance(event, Trouble) and one.id in built.strands.complaints:
            yield _shows(one.id, one.id, at + 1, built, passes=False)
        elif isinstance(event, Trial) and event.trouble in built.strands.complaints:
            yield _shows(one.id, str(event.trouble), at, built, passes=event.passes)
        elif isinstance(event, Trial) and event.group is not None:
            yield from _group(one.id, event, at, case, built)
        elif isinstance(event, Hunch) and event.trouble in built.strands.complaints:
            hunches[event.trouble, event.informant] = (at, one)
    for at, one in hunches.values():
        yield from _hunch(one, at, built)


def _shows(key: str, trouble: str, time: int, built: CaseNetwork, *, passes: bool) -> Seen:
    """Whether a trouble shows, over all that can make it show at that time.

    What a try that failed misses is the same whatever is behind it, so it says no less than one
    that never misses; a try that passed may have missed it.
    """
    live = tuple(v for one in built.behind(trouble, time) for v in one.variables)
    caught = built.strands.complaints[trouble].caught
    link = caught if passes else 1.0
    return look(key, "not_seen" if passes else "seen", live, [link] * len(live), 0.0)


def _group(
    key: str, event: Trial, at: int, case: LotCase, built: CaseNetwork
) -> Iterator[Evidence]:
    """Whether a group is right at a level."""
    kind = built.kinds.get(event.machine)
    machine = next((m for m in case.machines if m.name == event.machine), None)
    if kind is None or machine is None or event.group not in kind.groups:
        return
    faults = _targets(event, kind, machine)
    live = [v for fault in faults for v in built.showing_at(machine.name, fault, at)]
    if live:
        link = MOST_CAUGHT if event.passes else 1.0
        yield look(key, "not_seen" if event.passes else "seen", live, [link] * len(live), 0.0)


def _targets(event: Trial, kind: Kind, machine: Machine) -> list[str]:
    subsystems = kind.groups[str(event.group)].subsystems
    level = kind.levels[event.level or "just_running"]
    return [
        fault.id
        for fault in kind.faults.values()
        if fault.subsystem in subsystems and must_go(kind, fault, level, machine.live_with)
    ]


def _hunch(one: Happened, at: int, built: CaseNetwork) -> Iterator[Evidence]:
    """A hunch is right more often than one of so many would be by chance."""
    event = one.event
    assert isinstance(event, Hunch)
    rows = built.behind(event.trouble, at)
    mine = [row for row in rows if row.fault == event.fault and row.machine == event.machine]
    known = built.kinds[event.machine].estimates.get(HUNCH)
    right = known.value if known else RIGHT
    wrong = (1.0 - right) / max(1, len(rows) - 1)
    if not mine or not 0.0 < wrong < right:
        return
    variables = mine[0].variables
    yield look(one.id, "seen", variables, [1.0] * len(variables), wrong / right)
