"""How the guards and interlocks of one machine stand: proved, or open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from retrue.base.say import later, say
from retrue.cases.settle.condition_against import doubt_words, speaking, touches
from retrue.cases.settle.condition_kept import RecordKept, bare, day_of
from retrue.cases.settle.record_lines import FACT, MEASURED, Claim, GuardLine, Reported, told
from retrue.cases.wake.progress import WIRING
from retrue.kinds.guarding import Guard
from retrue.kinds.library import Kind
from retrue.records.facts import Note
from retrue.records.seeking import Act, PartMoved
from retrue.records.settling import Included
from retrue.records.shop import Record
from retrue.records.stripping import Taken

CLOSES = ("proved", "not_fitted")
TAKES_AWAY = (
    "bypass", "by-pass", "bridg", "override", "interlock", "keep relay", "door", "guard", "safety",
    "limit", "over-travel", "overtravel", "stop", "defeat", "jumper",
)  # fmt: skip
"""Words of a setting that may take a guard away; judgement, no source."""


def guard_of(kind: Kind, what: str) -> Guard | None:
    """A guard of a kind by its id or its name, in whatever case.

    Parameters
    ----------
    kind : Kind
    what : str

    Returns
    -------
    Guard or None
        None where the kind has none of that name: one of the owner's own.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> guard_of(mill, "door interlock").id, guard_of(mill, "fence")
    ('door_interlock', None)
    """
    wanted = bare(what)
    return next((one for one in kind.guards.values() if wanted in (one.id, bare(one.name))), None)


def guard_lines(kept: RecordKept) -> tuple[GuardLine, ...]:
    """Every guard the kind has and every one the owner named, as it stands.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of GuardLine
        The kind's first, in its order. One is closed only by a proof at grade 3 or better that
        nothing was done or found against after, or by not being fitted where such a machine may
        lack it.
    """
    said = newest_by_guard(kept.kind, kept.of(Included))
    lines = [_line(kept, one, said.get(one.id)) for one in kept.kind.guards.values()]
    own = [record for key, record in said.items() if key not in kept.kind.guards]
    return (*lines, *(_line(kept, None, record) for record in own))


def newest_by_guard(
    kind: Kind, included: Iterable[Record[Included]]
) -> dict[str, Record[Included]]:
    """What was said last of each guard: by its id, or by the owner's own words for it.

    Parameters
    ----------
    kind : Kind
    included : iterable of Record
        In the order of keeping, whatever day a device put on them.

    Returns
    -------
    dict of str to Record
        A later word of a lower grade counts: a doubt is a doubt. One that would close a guard
        on a lower grade than what stands does not take its place.
    """
    newest: dict[str, Record[Included]] = {}
    guards = [one for one in included if one.fact.sort == "guard"]
    for record in sorted(guards, key=lambda one: one.seq):
        key = _key(kind, record.fact.what)
        old = newest.get(key)
        weaker = record.fact.state in CLOSES and record.fact.grade < FACT
        if old is None or not (weaker and old.fact.grade >= FACT):
            newest[key] = record
    return newest


def _line(kept: RecordKept, guard: Guard | None, record: Record[Included] | None) -> GuardLine:
    name = guard.name if guard else record.fact.what if record else ""
    line = GuardLine(
        id=guard.id if guard else bare(name),
        name=name,
        state="not_tested",
        words=_STATES["not_tested"],
        proves=guard.how if guard else _ANY,
        cautions=guard.cautions if guard else (),
        optional=bool(guard and guard.optional),
    )
    return line if record is None else _said(kept, guard, record, line)


def _said(
    kept: RecordKept, guard: Guard | None, record: Record[Included], line: GuardLine
) -> GuardLine:
    """A guard of which something was said: closed only by a proof that is a fact."""
    fact, on = record.fact, day_of(record)
    grade = min(fact.grade, MEASURED)  # no instrument is named
    claim = told(Claim(what=line.name, grade=grade, by=record.by, on=on))
    line = replace(line, grade=grade, on=on)
    plain = f"{_STATES[fact.state]} {_sentence(claim.how)}"
    if fact.state not in CLOSES:
        return replace(line, state=fact.state, words=plain)
    if isinstance(claim, Reported):
        words = say("Not tested. That it is {state} is only {how}.",
                    state=_WORDS[fact.state], how=claim.how)  # fmt: skip
        return replace(line, words=words)
    since = _since(kept, guard, record)
    if since:
        words = say("Proved on {day}, and not again since: {what}.", day=on, what=since)
        return replace(line, words=words)
    if fact.state == "not_fitted" and not (guard and guard.optional):
        words = say("Said not to be fitted; every such machine has it.")
        return replace(line, state="missing", words=words)
    return replace(line, state=fact.state, words=plain, open=False)


def _since(kept: RecordKept, guard: Guard | None, proof: Record[Included]) -> str:
    """What came after a proof and opens it again: a finding, work, a wire, a setting, a word."""
    told = _found_since(kept, guard, proof) if guard and proof.fact.state == "proved" else ""
    return (
        told or _done_since(kept, guard, proof) or _set_since(kept, proof) or _unsaid(kept, proof)
    )


def _found_since(kept: RecordKept, guard: Guard, proof: Record[Included]) -> str:
    """A finding of whatever grade that speaks against it: a doubt is enough."""
    found = speaking(kept, guard.faults, guard.checks, proof.seq)
    return doubt_words(kept, found[-1]) if found else ""


def _done_since(kept: RecordKept, guard: Guard | None, proof: Record[Included]) -> str:
    """What was done since that it hangs on."""
    faults = set(guard.faults) if guard else set()
    for one in (*kept.of(Act), *kept.of(PartMoved)):
        if one.seq > proof.seq and touches(one.fact, kept) & faults:
            return say("work on it, {day}", day=day_of(one))
    for one in kept.of(Taken):
        here = guard is not None and one.fact.place == guard.place
        if one.seq > proof.seq and (here or one.fact.sort in WIRING):
            return say("{what} was undone, {day}", what=one.fact.what or one.fact.code,
                       day=day_of(one))  # fmt: skip
    return ""


def _set_since(kept: RecordKept, proof: Record[Included]) -> str:
    """A setting of the control that may take a guard away, and was not put back."""
    for one in kept.of(Note):
        fact = one.fact
        if one.seq <= proof.seq or not fact.setting or fact.put_back:
            continue
        words = bare(f"{fact.setting} {fact.why} {fact.text}")
        if any(word in words for word in TAKES_AWAY):
            return say("{setting} was changed and not put back, {day}", setting=fact.setting,
                       day=day_of(one))  # fmt: skip
    return ""


def _unsaid(kept: RecordKept, proof: Record[Included]) -> str:
    """A word against it whose record now speaks of something else."""
    for old in kept.unsaid:
        mine = _key(kept.kind, old.fact.what) == _key(kept.kind, proof.fact.what)
        if mine and old.seq > proof.seq and old.fact.state not in CLOSES:
            words = _STATES[old.fact.state].rstrip(".").lower()
            return say("it was called {state}, and that was written over", state=words)
    return ""


def open_guards(lines: Sequence[GuardLine]) -> tuple[GuardLine, ...]:
    """Those that keep a record closed.

    Parameters
    ----------
    lines : sequence of GuardLine

    Returns
    -------
    tuple of GuardLine
    """
    return tuple(one for one in lines if one.open)


def _key(kind: Kind, what: str) -> str:
    guard = guard_of(kind, what)
    return guard.id if guard else bare(what)


def _sentence(how: str) -> str:
    return how[:1].upper() + how[1:] + "."


_ANY = later("Opened at idle and at slow axis, both channels: it stops.")
_WORDS = {"proved": later("proved"), "not_fitted": later("not fitted")}
_STATES = {
    "proved": later("Proved."),
    "defeated": later("Defeated."),
    "missing": later("Missing."),
    "not_tested": later("Not tested."),
    "not_fitted": later("Not fitted."),
}
