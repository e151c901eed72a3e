"""What keeps a condition record closed: stop items, guards and interlocks, first power."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from retrue.base.refusals import Problem
from retrue.base.say import later, say
from retrue.cases.settle.condition_against import NEVER, against, cleared_at, doubt_words
from retrue.cases.settle.condition_kept import RecordKept
from retrue.cases.settle.guards import guard_lines, open_guards
from retrue.cases.settle.record_lines import OpenItem, OpenSort
from retrue.cases.strip.order import not_back, title
from retrue.cases.wake.closed import clearing_looks
from retrue.cases.wake.kept import may_be_missing

HEADINGS: dict[OpenSort, str] = {
    "stop": later("Stop items that nobody cleared"),
    "guard": later("Guards and interlocks"),
    "power": later("First power and what was undone"),
}


def open_items(kept: RecordKept) -> tuple[OpenItem, ...]:
    """Everything that is open: a record stays closed until nothing is.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of OpenItem
        Stop items of the kind that are not cleared by a look of grade 3 or better that passed
        and still stands, or that something of one's own eyes speaks for since; guards that are
        defeated, missing or not tested; what it does that means "switch it off"; aborts without a
        cause; what was undone and is not back.
    """
    return (*_stops(kept), *_guards(kept), *_power(kept))


def _stops(kept: RecordKept) -> Iterator[OpenItem]:
    state, kind = kept.power.state, kept.kind
    for fault in kind.faults.values():
        if fault.urgency != "STOP":
            continue
        there = fault.id in state.present or fault.id in state.found
        if not there and _not_fitted(kept, fault.id):
            continue
        looks = clearing_looks(kind, fault.id)
        failed = set(looks) & state.failed
        stands = set(looks) & state.passed or fault.id in state.absent
        own = cleared_at(kept, fault.id) != NEVER
        since = against(kept, fault.id) if own else ()
        if stands and own and not there and not failed and not since:
            continue
        clears = kind.checks[looks[0]].text if looks else say("Nothing the library knows.")
        what = say("{name}: found", name=fault.name) if there or failed else fault.name
        if since and not there and not failed:
            what = say("{name}: cleared, and open again: {seen}", name=fault.name,
                       seen=doubt_words(kept, since[-1]))  # fmt: skip
        yield OpenItem(id=fault.id, sort="stop", what=what, clears=clears)


def _not_fitted(kept: RecordKept, fault: str) -> bool:
    return fault in kept.power.machine.fact.not_fitted and may_be_missing(fault, kept.spot)


def _guards(kept: RecordKept) -> Iterator[OpenItem]:
    for one in open_guards(guard_lines(kept)):
        what = f"{one.name}: {one.words[:1].lower()}{one.words[1:].rstrip('.')}"
        yield OpenItem(id=one.id, sort="guard", what=what, clears=one.proves)


def _power(kept: RecordKept) -> Iterator[OpenItem]:
    for words in kept.off:
        what = say("{words}: it stays off until that is cleared dead", words=words)
        yield OpenItem(id="off", sort="power", what=what)
    for id, one in kept.power.progress.items():
        if one.uncaused is not None or one.strip:
            why = one.uncaused.fact.why if one.uncaused else say("twice")
            what = say("{stage}: aborted ({why}), and nobody has found the cause",
                       stage=one.stage.title, why=why)  # fmt: skip
            yield OpenItem(id=id, sort="power", what=what)
    for thing in not_back(kept.power.taken):
        yield OpenItem(id=thing.code, sort="power", what=say("{thing}: not back",
                       thing=title(thing)))  # fmt: skip


def as_problems(items: Sequence[OpenItem]) -> tuple[Problem, ...]:
    """Why a record stays closed, one problem for each open thing.

    Parameters
    ----------
    items : sequence of OpenItem

    Returns
    -------
    tuple of Problem
    """
    return tuple(Problem(one.id, one.what, one.clears) for one in items)


def drawn(items: Sequence[OpenItem]) -> tuple[str, ...]:
    """What is open as a drawn tree: one line each.

    Parameters
    ----------
    items : sequence of OpenItem

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> for line in drawn([OpenItem(id="F21", sort="stop", what="Accumulator not drained"),
    ...                    OpenItem(id="window", sort="guard", what="Door window: not tested")]):
    ...     print(line)
    ├─ Stop items that nobody cleared: 1
    │  └─ F21  Accumulator not drained
    └─ Guards and interlocks: 1
       └─ window  Door window: not tested
    """
    groups = [(sort, [one for one in items if one.sort == sort]) for sort in HEADINGS]
    groups = [(sort, group) for sort, group in groups if group]
    lines = []
    for at, (sort, group) in enumerate(groups):
        last = at == len(groups) - 1
        lines.append(f"{'└─' if last else '├─'} {HEADINGS[sort]}: {len(group)}")
        stem = "   " if last else "│  "
        for place, one in enumerate(group):
            branch = "└─" if place == len(group) - 1 else "├─"
            lines.append(f"{stem}{branch} {one.id}  {one.what}")
    return tuple(lines)
