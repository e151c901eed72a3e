"""What speaks against a cleared stop item or a proved guard, and was kept after it.

Order is that of keeping, never that of a device's clock. A finding of one's own eyes opens again
what it speaks against; one on a photograph, or a word, is a doubt.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from retrue.base.formatter import short
from retrue.base.say import say
from retrue.cases.find.dead import SHOWS_WELL
from retrue.cases.find.standing import touched
from retrue.cases.passing import passes
from retrue.cases.said import answer_words, looked_at
from retrue.cases.settle.condition_kept import RecordKept, day_of, named
from retrue.cases.settle.record_lines import FACT, Claim
from retrue.cases.wake.closed import clearing_looks
from retrue.records.facts import Finding
from retrue.records.seeking import Act, PartMoved
from retrue.records.shop import Record

NEVER = -1


def speaking(
    kept: RecordKept, faults: Collection[str], looks: Collection[str], since: int
) -> tuple[Record[Finding], ...]:
    """Findings kept after a moment that speak for one of several faults.

    Parameters
    ----------
    kept : RecordKept
    faults : collection of str
        Ids.
    looks : collection of str
        Looks that speak for them whatever their link.
    since : int
        Number of the record after which they were kept.

    Returns
    -------
    tuple of Record
        In the order of keeping: a fault found, or a look that did not pass and whose link to one
        of the faults is 0.5 or more (judgement).
    """
    return tuple(
        sorted(
            (
                one
                for one in kept.findings
                if one.seq > since and speaks_for(kept, one.fact, faults, looks)
            ),
            key=lambda one: one.seq,
        )
    )


def speaks_for(
    kept: RecordKept, fact: Finding, faults: Collection[str], looks: Collection[str]
) -> bool:
    """Whether a finding says that one of several faults is there.

    Parameters
    ----------
    kept : RecordKept
    fact : Finding
    faults, looks : collection of str

    Returns
    -------
    bool

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.kinds.load import load
    >>> kept = SimpleNamespace(kind=load()["vertical_machining_centre"])
    >>> bridged = Finding(lot="a", machine="A", check="C05", answer="seen")
    >>> speaks_for(kept, bridged, ["F102"], []), speaks_for(kept, bridged, ["F101"], [])
    (True, False)
    """
    if fact.fault in faults and fact.answer == "present":
        return True
    check = kept.kind.checks.get(fact.check or "")
    if check is None or passes(fact, kept.kind) is not False:
        return False
    shows = any(check.links.get(fault, 0.0) >= SHOWS_WELL for fault in faults)
    return shows or check.id in looks


def cleared_at(kept: RecordKept, fault: str) -> int:
    """When a fault was cleared last, by own eyes and after the last work on it.

    Parameters
    ----------
    kept : RecordKept
    fault : str

    Returns
    -------
    int
        Number of the finding that cleared it; below 0: none did.
    """
    looks = clearing_looks(kept.kind, fault)
    found = NEVER
    for one in kept.findings:
        fact = one.fact
        clears = fact.check in looks and passes(fact, kept.kind) is True
        clears = clears or (fact.fault == fault and fact.answer == "absent")
        if clears and kept.grade(fact) >= FACT:
            found = max(found, one.seq)
    return found if found > _worked_at(kept, fault) else NEVER


def _worked_at(kept: RecordKept, fault: str) -> int:
    """When a fault was last worked on, or a part that carries it moved."""
    work = (*kept.of(Act), *kept.of(PartMoved))
    return max((one.seq for one in work if fault in touches(one.fact, kept)), default=NEVER)


def touches(fact: Act | PartMoved, kept: RecordKept) -> set[str]:
    """Faults that an act may have changed, or that a part took along or brought.

    Parameters
    ----------
    fact : Act or PartMoved
    kept : RecordKept

    Returns
    -------
    set of str
    """
    if isinstance(fact, Act):
        return set(touched(fact, kept.kind))
    mine = kept.spot.machine in (fact.machine, fact.from_machine)
    part = kept.kind.swappable.get(fact.part) if mine else None
    return set(part.goes_along) if part else set()


def against(kept: RecordKept, fault: str) -> tuple[Record[Finding], ...]:
    """Findings of own eyes that came after a stop item was cleared, and speak for it.

    Parameters
    ----------
    kept : RecordKept
    fault : str

    Returns
    -------
    tuple of Record
    """
    return tuple(one for one in _after(kept, fault) if kept.grade(one.fact) >= FACT)


def _after(kept: RecordKept, fault: str) -> tuple[Record[Finding], ...]:
    looks = clearing_looks(kept.kind, fault)
    return speaking(kept, (fault,), looks, cleared_at(kept, fault))


def doubts(kept: RecordKept) -> Iterator[Claim]:
    """Photographs and words that came after a stop item was cleared, and speak for it.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
        Below grade 3: reported, each once, with what it casts doubt on.
    """
    about: dict[str, tuple[Record[Finding], list[str]]] = {}
    for fault in kept.kind.faults.values():
        if fault.urgency != "STOP" or cleared_at(kept, fault.id) == NEVER:
            continue
        for one in _after(kept, fault.id):
            if kept.grade(one.fact) < FACT:
                about.setdefault(one.id, (one, []))[1].append(fault.name)
    for record, names in about.values():
        said = finding_words(kept, record)
        yield kept.claim(
            record,
            say("Doubt: {said}; said after this was cleared: {faults}", said=said,
                faults="; ".join(map(str, names))),
        )  # fmt: skip


def finding_words(kept: RecordKept, record: Record[Finding]) -> str:
    """A finding in the library's words; what was written beside it is left out.

    Parameters
    ----------
    kept : RecordKept
    record : Record of Finding

    Returns
    -------
    str
        A look that found nothing says that it was looked for.
    """
    kinds = {kept.spot.name: kept.kind}
    fact = named(record, kept)
    what, answer = looked_at(fact, kinds), answer_words(fact, kinds)
    if fact.check and fact.answer == "not_seen":
        answer = say("looked for, none found")
    if fact.reading is not None:
        answer = _reading(fact, kept)
    words = say("{what}: {answer}", what=what, answer=answer)
    if fact.reading is not None and fact.text:
        words = say("{words} ({point})", words=words, point=fact.text)
    if fact.machine is None:
        words = say("{words}, said of all machines of the lot", words=words)
    return words


def _reading(fact: Finding, kept: RecordKept) -> str:
    """A reading to four figures, and whether it passes its look."""
    measure = kept.kind.measures.get(fact.measure or "")
    told = f"{short(fact.reading or 0.0, '.4g')} {measure.unit if measure else ''}".strip()
    held = passes(fact, kept.kind) if measure else None
    if held is None:
        return told
    return say("{value}, passes", value=told) if held else say("{value}, does not pass", value=told)


def doubt_words(kept: RecordKept, record: Record[Finding]) -> str:
    """A finding that speaks against something, with its day.

    Parameters
    ----------
    kept : RecordKept
    record : Record of Finding

    Returns
    -------
    str
    """
    words = finding_words(kept, record)
    return say("{what}, {day}", what=words, day=day_of(record))
