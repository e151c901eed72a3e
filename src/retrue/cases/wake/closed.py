"""What must be closed before a stage: each thing with what closes it, read off the records."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from retrue.base.formatter import short
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.find.clearing import moment
from retrue.cases.find.dead import SHOWS_WELL, is_dead
from retrue.cases.find.off import stays_off
from retrue.cases.find.standing import touched
from retrue.cases.passing import passes
from retrue.cases.strip.order import not_back, title
from retrue.cases.wake.kept import PowerKept, may_be_missing
from retrue.cases.wake.lines import ClosedLine, How
from retrue.kinds.library import Kind
from retrue.kinds.once import once_a_kind
from retrue.kinds.waking import Stage
from retrue.records.facts import Finding
from retrue.records.shop import Record

BACK = "back"
Of = Callable[[Finding], bool]


@once_a_kind
def clearing_looks(kind: Kind, fault: str) -> tuple[str, ...]:
    """The looks that clear a fault: its stop look, its severe look, else those that show it well.

    Parameters
    ----------
    kind : Kind
    fault : str

    Returns
    -------
    tuple of str
        The best first; of those that only show it well the dead ones first.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> clearing_looks(mill, "F86"), clearing_looks(mill, "F25")[0]
    (('C35',), 'C33')
    """
    found = []
    if fault in kind.stop_cover:
        found.append(kind.stop_cover[fault].check)
    if fault in kind.severe:
        own = kind.severe[fault].check
        if kind.checks[own].links.get(fault, 0.0) >= SHOWS_WELL:
            found.append(own)
    if found:
        return tuple(dict.fromkeys(found))
    links = {one.id: one.links.get(fault, 0.0) for one in kind.checks.values()}
    good = [id for id, link in links.items() if link >= SHOWS_WELL]
    return tuple(sorted(good, key=lambda id: (not is_dead(kind.checks[id]), -links[id], id)))


def closed_lines(kept: PowerKept, stage: Stage) -> tuple[ClosedLine, ...]:
    """Everything that must be closed before a stage, as it stands.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
        Of the machine's kind.

    Returns
    -------
    tuple of ClosedLine
        Earlier stages, what keeps the machine off, what is not back, looks in the order of the
        stage, faults, jobs. A fault is closed by a look of one's own that passed and still
        stands, by having been cured and looked at again, or by not being fitted, by name.
    """
    lines = [*_earlier(kept, stage), *_off(kept, stage), _back(kept)]
    faults = _faults(kept, stage)
    looks = {fault: clearing_looks(kept.kind, fault) for fault in faults}
    shown = {look for group in looks.values() for look in group}
    rank = {check: at for at, check in enumerate(stage.checks)}
    last = len(rank)
    placed = [(rank[c], _check(kept, c)) for c in stage.checks if c not in shown]
    placed += [
        (min((rank.get(look, last) for look in looks[fault]), default=last), _fault(kept, fault))
        for fault in faults
    ]
    lines += [line for _, line in sorted(placed, key=lambda pair: pair[0])]
    lines += [_job(kept, job) for job in stage.jobs]
    return tuple(lines)


def open_problems(lines: Iterable[ClosedLine], kept: PowerKept) -> tuple[Problem, ...]:
    """Why a stage stays closed: one problem for each open thing, for each thing that is off.

    Parameters
    ----------
    lines : iterable of ClosedLine
    kept : PowerKept

    Returns
    -------
    tuple of Problem
    """
    found = []
    for line in lines:
        if line.how != "open":
            continue
        if line.id == BACK:
            found += [
                Problem(one.code, say("{thing} is not back", thing=title(one)))
                for one in not_back(kept.taken)
            ]
        else:
            found.append(Problem(line.id, line.text))
    return tuple(found)


def _faults(kept: PowerKept, stage: Stage) -> tuple[str, ...]:
    """Faults the stage names, and every stop item that was found and would hurt by then.

    One that was repaired stays among them until the look that clears it has passed again.
    """
    kind, state = kept.kind, kept.state
    if stage.stage == "P0":
        return stage.faults
    now = moment(stage.stage)
    found = [
        fault
        for fault, cover in kind.stop_cover.items()
        if fault in state.found and moment(cover.danger_at) <= now and cover.done_at != stage.stage
    ]
    return tuple(dict.fromkeys([*stage.faults, *found]))


def _earlier(kept: PowerKept, stage: Stage) -> Iterator[ClosedLine]:
    for id, one in kept.progress.items():
        if id == stage.id:
            return
        title_of = f"{one.stage.stage}: {one.stage.title}"
        if one.signed and one.ended is not None:
            fact = one.ended.fact
            yield ClosedLine(id=id, text=title_of, how="signed", when=one.ended.observed_at,
                             by=fact.name, record=one.ended.id)  # fmt: skip
        else:
            yield ClosedLine(id=id, text=say("{title}: not signed", title=title_of), how="open")


def _off(kept: PowerKept, stage: Stage) -> Iterator[ClosedLine]:
    """Troubles that mean: switch it off."""
    if stage.stage == "P0":
        return
    for one in stays_off(kept.case, kept.state):
        words = getattr(one.event, "words", "")
        symptom = kept.kind.symptoms.get(getattr(one.event, "symptom", ""))
        told = words or (symptom.words if symptom else "")
        text = say("{told}: it stays off until that is cleared dead", told=told)
        yield ClosedLine(id=one.id, text=text, how="open")


def _back(kept: PowerKept) -> ClosedLine:
    off = not_back(kept.taken)
    if off:
        text = say("of what was undone, {count} not back yet", count=len(off))
        return ClosedLine(id=BACK, text=text, how="open")
    return ClosedLine(id=BACK, text=say("everything that was undone is back"), how="signed")


def _fault(kept: PowerKept, fault: str) -> ClosedLine:
    kind, state = kept.kind, kept.state
    name = kind.faults[fault].name
    if _left_out(kept, fault):
        return _not_fitted(kept, fault, name)
    looks = clearing_looks(kind, fault)
    text = kind.checks[looks[0]].text if looks else ""
    if fault in state.present or set(looks) & state.failed:
        told = say("{name}: found, and not put right since. Look again: {look}", name=name,
                   look=text)  # fmt: skip
        return ClosedLine(id=fault, text=told, how="open")
    passed = [look for look in looks if look in state.passed]
    if passed:
        how: How = "cured" if _worked_on(kept, fault) else "look"
        return _looked(kept, fault, name, how, lambda one: one.check in passed)
    if fault in state.absent:
        return _looked(kept, fault, name, "look", lambda one: one.fault == fault)
    told = say("{name}: not cleared. Look: {look}", name=name, look=text)
    if _worked_on(kept, fault) or fault in state.treated:
        told = say("{name}: put right, and not looked at since. Look again: {look}", name=name,
                   look=text)  # fmt: skip
    return ClosedLine(id=fault, text=told, how="open")


def _left_out(kept: PowerKept, fault: str) -> bool:
    """Said not to be fitted: of a part that may be missing, and never of what was found."""
    said = fault in kept.machine.fact.not_fitted and may_be_missing(fault, kept.spot)
    return said and fault not in kept.state.found and fault not in kept.state.present


def _check(kept: PowerKept, check: str) -> ClosedLine:
    text = kept.kind.checks[check].text
    clears = [fault for fault, one in kept.kind.stop_cover.items() if one.check == check]
    fitted = [fault for fault in clears if not _left_out(kept, fault)]
    if clears and not fitted:
        return _not_fitted(kept, check, text)
    if check in kept.state.passed:
        return _looked(kept, check, text, "look", lambda one: one.check == check)
    if check in kept.state.failed:
        told = say("{look}: seen, and not put right since", look=text)
        return ClosedLine(id=check, text=told, how="open")
    return ClosedLine(id=check, text=say("{look}: not looked at yet", look=text), how="open")


def _job(kept: PowerKept, job: str) -> ClosedLine:
    name = kept.kind.jobs[job].name
    done = [one for one in kept.acts if one.fact.job == job]
    if not done:
        return ClosedLine(id=job, text=say("{job}: not done yet", job=name), how="open")
    newest = done[-1]
    return ClosedLine(id=job, text=name, how="job", when=newest.observed_at, by=newest.by,
                      record=newest.id)  # fmt: skip


def _not_fitted(kept: PowerKept, id: str, text: str) -> ClosedLine:
    return ClosedLine(
        id=id, text=say("{text}: not fitted", text=text), how="not_fitted",
        when=kept.machine.observed_at, by=kept.machine.by, record=kept.machine.id,
    )  # fmt: skip


def _worked_on(kept: PowerKept, fault: str) -> bool:
    return any(fault in touched(one.fact, kept.kind) for one in kept.acts)


def _looked(kept: PowerKept, id: str, text: str, how: How, of: Of) -> ClosedLine:
    """A line with the newest finding of one's own that says so."""
    found: list[Record[Finding]] = [
        kept.findings[one.id]
        for one in kept.looked
        if of(one.finding) and passes(one.finding, kept.kind) is not False
    ]
    if not found:  # nobody, and no day: that closes nothing
        told = say("{text}: nobody looked", text=text)
        return ClosedLine(id=id, text=told, how="open")
    newest = max(found, key=lambda one: (one.observed_at, one.seq))
    fact = newest.fact
    measure = kept.kind.measures.get(fact.measure or "")
    reading = ""
    if fact.reading is not None:
        reading = f"{short(fact.reading)} {measure.unit if measure else ''}".strip()
    return ClosedLine(id=id, text=text, how=how, when=newest.observed_at, reading=reading,
                      by=fact.informant or newest.by, record=newest.id)  # fmt: skip
