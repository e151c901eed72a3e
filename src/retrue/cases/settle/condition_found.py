"""What was found: at the start and since the work began, what is wrong, what is untested."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from retrue.base.formatter import odds, short
from retrue.base.say import later, say
from retrue.cases.find.dead import SHOWS_WELL
from retrue.cases.find.looked import earlier
from retrue.cases.find.standing import touched, troubles
from retrue.cases.passing import passes
from retrue.cases.prove.deed import deeds
from retrue.cases.settle.condition_against import doubts, finding_words
from retrue.cases.settle.condition_kept import RecordKept, day_of
from retrue.cases.settle.record_lines import FACT, WRITTEN, Claim, Part, Untested, part
from retrue.kinds.library import Check
from retrue.records.facts import Finding
from retrue.records.measuring import Result
from retrue.records.seeking import Act, Trial
from retrue.records.shop import Record
from retrue.records.stripping import AsFound

LIKELY = 0.5  # from here on a fault nobody looked for is called likely (judgement)
ELSEWHERE = later("Elsewhere, and the machine as a whole")
About = tuple[str, str, str]


def found_parts(kept: RecordKept) -> tuple[Part, Part]:
    """What was found at the start, and what was looked at since the work began.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of (Part, Part)
        Of what several findings say about one look, the newest of the highest grade stands; one
        that says otherwise is reported beside it, and a fact never comes of a report repeated.
    """
    begun = kept.begun
    early = [one for one in kept.findings if begun is None or not _since(one, begun)]
    late = [one for one in kept.findings if begun is not None and _since(one, begun)]
    first, aside = sorted_out(kept, early)
    then, against = sorted_out(kept, late)
    listed = list(_as_found(kept))
    return part([*first, *listed], aside), part(then, against)


def _since(record: Record[Finding], begun: datetime) -> bool:
    if record.observed_at == begun:
        return False
    return not earlier(record.observed_at, begun) and record.observed_at > begun


def sorted_out(
    kept: RecordKept, findings: Iterable[Record[Finding]]
) -> tuple[list[Claim], list[Claim]]:
    """What stands of findings that may contradict each other, and what stands against it.

    Parameters
    ----------
    kept : RecordKept
    findings : iterable of Record
        Oldest first.

    Returns
    -------
    tuple of (list of Claim, list of Claim)
        Without "can't tell", which says nothing.
    """
    groups: dict[About, list[Record[Finding]]] = {}
    for one in findings:
        fact = one.fact
        if fact.answer in ("cant_tell", "unknown"):
            continue
        about = (fact.check or "", fact.history or fact.fault or "", _point(fact))
        groups.setdefault(about, []).append(one)
    stands, aside = [], []
    for group in groups.values():
        top = _highest(kept, group)
        stands.append(_claim(kept, top))
        aside += [_claim(kept, one) for one in group if one is not top and _other(one, top)]
    return stands, aside


def _highest(kept: RecordKept, group: Sequence[Record[Finding]]) -> Record[Finding]:
    """The newest of the highest grade, of those since the last work on it."""
    era = _since_work(kept, group)
    return max(era, key=lambda one: (kept.grade(one.fact), one.observed_at, one.seq))


def _since_work(kept: RecordKept, group: Sequence[Record[Finding]]) -> Sequence[Record[Finding]]:
    """Those that were made after the last work that the look shows; all, where none was."""
    check = kept.kind.checks.get(group[0].fact.check or "")
    shown = {fault for fault, link in (check.links if check else {}).items() if link >= SHOWS_WELL}
    shown |= {group[0].fact.fault or ""}
    acts = [one.observed_at for one in kept.of(Act) if shown & set(touched(one.fact, kept.kind))]
    last = max(acts, default=None)
    after = [one for one in group if last is not None and one.observed_at > last]
    return after or group


def _point(fact: Finding) -> str:
    return " ".join(fact.text.casefold().split()) if fact.reading is not None else ""


def _other(one: Record[Finding], top: Record[Finding]) -> bool:
    """Whether a finding says something else than the one that stands."""
    mine, its = one.fact, top.fact
    return (mine.answer, mine.measure, mine.reading) != (its.answer, its.measure, its.reading)


def _claim(kept: RecordKept, record: Record[Finding]) -> Claim:
    return kept.claim(record, finding_words(kept, record))


def _as_found(kept: RecordKept) -> Iterator[Claim]:
    """Lines of the as-found list that carry a reading, or why they were not possible."""
    for one in kept.of(AsFound):
        entry = kept.kind.as_found.get(one.fact.entry)
        if entry is None or one.fact.state != "done" or one.fact.reading is None:
            continue
        what = say("{entry}: {value} {unit}", entry=entry.text, value=short(one.fact.reading),
                   unit=one.fact.unit)  # fmt: skip
        if one.fact.text.strip():  # free words: who read it is not known
            what = say("{what} ({text})", what=what.strip(), text=one.fact.text.strip())
            yield Claim(what=what, grade=0, by=one.by, on=day_of(one), source=WRITTEN)
            continue
        yield Claim(what=what.strip(), grade=FACT + 1, by=one.by, on=day_of(one))


def known_part(kept: RecordKept, shares: Mapping[str, float]) -> Part:
    """Faults that were found or are believed, and not cured.

    Parameters
    ----------
    kept : RecordKept
    shares : mapping of str to float
        Chance of each fault to be there now; empty: not reckoned.

    Returns
    -------
    Part
        Found by own eyes as facts; told, seen on a photograph or only likely as reports. A
        photograph or a word that came after a stop item was cleared is named as a doubt.
    """
    stands, likely = list(_found(kept)), list(_believed(kept, shares))
    return part([*stands, *doubts(kept), *_does(kept)], likely)


def _found(kept: RecordKept) -> Iterator[Claim]:
    state, kind = kept.power.state, kept.kind
    bad = [one for one in kept.findings if _is_bad(one.fact, kept)]
    for fault in sorted(state.present):
        said = [one for one in bad if one.fact.fault == fault]
        name = kind.faults[fault].name if fault in kind.faults else fault
        for record in _best(kept, said):
            yield kept.claim(record, say("{fault}: found", fault=name))
    for check in sorted({one.fact.check or "" for one in bad} - {""}):
        if check in state.answered and check not in state.failed:
            continue  # seen once, and put right or looked at again since
        said = [one for one in bad if one.fact.check == check]
        for record in _best(kept, said):
            if kept.grade(record.fact) < FACT or check in state.failed:
                yield _claim(kept, record)


def _is_bad(fact: Finding, kept: RecordKept) -> bool:
    if fact.fault:
        return fact.answer == "present"
    return fact.check in kept.kind.checks and passes(fact, kept.kind) is False


def _best(kept: RecordKept, said: Sequence[Record[Finding]]) -> Sequence[Record[Finding]]:
    """The newest of the highest grade, of those since the last work on it; none of none."""
    if not said:
        return ()
    return (
        max(
            _since_work(kept, said),
            key=lambda one: (kept.grade(one.fact), one.observed_at, one.seq),
        ),
    )


def _does(kept: RecordKept) -> Iterator[Claim]:
    """What it does, in its owner's words, and still does: told, never a fact."""
    for one in troubles(kept.power.case, kept.spot.name):
        symptom = kept.kind.symptoms.get(getattr(one.event, "symptom", ""))
        words = getattr(one.event, "words", "") or (symptom.words if symptom else "")
        on = one.at.date().isoformat() if one.at else ""
        yield Claim(what=words, grade=0, on=on, source=say("as it was told"))


def _believed(kept: RecordKept, shares: Mapping[str, float]) -> Iterator[Claim]:
    state, kind = kept.power.state, kept.kind
    links = [pair for check in state.answered for pair in kind.checks[check].links.items()]
    looked = {fault for fault, link in links if link >= SHOWS_WELL}
    for fault, share in sorted(shares.items(), key=lambda pair: (-pair[1], pair[0])):
        seen = fault in state.absent or fault in state.present or fault in looked
        if share < LIKELY or seen or fault not in kind.faults:
            continue
        source = say("likely by what was found, {odds}; nobody saw it", odds=odds(share))
        yield Claim(what=kind.faults[fault].name, grade=0, source=source)


def live_with(kept: RecordKept) -> tuple[str, ...]:
    """Faults that the owner agreed to live with, by name.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of str
    """
    faults = kept.kind.faults
    agreed = kept.power.machine.fact.live_with
    return tuple(faults[one].name if one in faults else one for one in agreed)


def untested(kept: RecordKept) -> tuple[tuple[Untested, ...], tuple[Untested, ...]]:
    """What nobody has tested at grade 3 or better, and what nobody looked at again after work.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of (tuple of Untested, tuple of Untested)
        By place, in the kind's order; tests of measuring stand with the machine as a whole.
    """
    looked = {
        one.fact.check
        for one in kept.findings
        if kept.grade(one.fact) >= FACT and one.fact.answer != "cant_tell"
    }
    fitted = [one for one in kept.kind.checks.values() if not _off_machine(one, kept)]
    never = [one for one in fitted if one.id not in looked]
    void = [one for one in fitted if one.id in looked - kept.power.state.answered]
    judged = {one.fact.test for one in kept.of(Result)}
    tests = [one.title for one in deeds() if one.id not in judged]
    return by_place(kept, never, tests), by_place(kept, void, [])


def by_place(
    kept: RecordKept, checks: Iterable[Check], tests: Sequence[str]
) -> tuple[Untested, ...]:
    """Looks by the place of the fault that each shows best.

    Parameters
    ----------
    kept : RecordKept
    checks : iterable of Check
    tests : sequence of str
        Of measuring, by name.

    Returns
    -------
    tuple of Untested

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.kinds.load import load
    >>> kept = SimpleNamespace(kind=load()["turning_centre"])
    >>> [one.place for one in by_place(kept, [kept.kind.checks["C62"]], ["Drift"])]
    ['Enclosure, door, window', 'Elsewhere, and the machine as a whole']
    """
    kind, groups = kept.kind, dict[str, list[str]]()
    for one in checks:
        best = max(one.links, key=lambda fault: one.links[fault], default="")
        place = kind.faults[best].place if best in kind.faults else ""
        groups.setdefault(place, []).append(one.text)
    named_ = [
        Untested(place=place.name, looks=tuple(groups[place.id]))
        for place in kind.places.values()
        if place.id in groups
    ]
    rest = [text for place, texts in groups.items() if place not in kind.places for text in texts]
    whole = (*(say("{test} (measured)", test=one) for one in tests), *rest)
    return (*named_, *((Untested(place=ELSEWHERE, looks=whole),) if whole else ()))


def _off_machine(check: Check, kept: RecordKept) -> bool:
    """Whether a look is only about what is not fitted."""
    gone = set(kept.power.machine.fact.not_fitted)
    return bool(check.links) and set(check.links) <= gone


def tried(kept: RecordKept) -> Iterator[Claim]:
    """Groups that were tried and passed their proof.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
    """
    for one in kept.power.case.happened:
        event = one.event
        if not isinstance(event, Trial) or event.machine != kept.spot.name or not event.group:
            continue
        group = kept.kind.groups.get(event.group)
        if group is None or not event.passes:
            continue
        if (event.group, event.level) in kept.power.state.proved:
            on = one.at.date().isoformat() if one.at else ""
            yield Claim(what=say("{group}: passed its proof: {proof}", group=group.name,
                                 proof=group.proof), grade=FACT, deed="done", on=on)  # fmt: skip
