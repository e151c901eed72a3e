"""How the guards and interlocks of one machine stand: proved, or open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from retrue.base.say import say
from retrue.cases.find.standing import touched
from retrue.cases.settle.condition_kept import RecordKept, day_of
from retrue.cases.settle.record_lines import FACT, Claim, GuardLine, Reported, told
from retrue.cases.wake.progress import WIRING
from retrue.kinds.guarding import Guard
from retrue.kinds.library import Kind
from retrue.records.seeking import Act, PartMoved
from retrue.records.settling import Included
from retrue.records.shop import Record
from retrue.records.stripping import Taken

CLOSES = ("proved", "not_fitted")


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
    bare = _bare(what)
    return next((one for one in kind.guards.values() if bare in (one.id, _bare(one.name))), None)


def guard_lines(kept: RecordKept) -> tuple[GuardLine, ...]:
    """Every guard the kind has and every one the owner named, as it stands.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of GuardLine
        The kind's first, in its order. One is closed only by a proof at grade 3 or better that
        nothing was done after, or by not being fitted where such a machine may lack it.
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
        Oldest first.

    Returns
    -------
    dict of str to Record
        A later word of a lower grade counts: a doubt is a doubt. One that would close a guard
        on a lower grade than what stands does not take its place.
    """
    newest: dict[str, Record[Included]] = {}
    guards = [one for one in included if one.fact.sort == "guard"]
    for record in sorted(guards, key=lambda one: (one.observed_at, one.seq)):
        guard = guard_of(kind, record.fact.what)
        key = guard.id if guard else _bare(record.fact.what)
        old = newest.get(key)
        weaker = record.fact.state in CLOSES and record.fact.grade < FACT
        if old is None or not (weaker and old.fact.grade >= FACT):
            newest[key] = record
    return newest


def _line(kept: RecordKept, guard: Guard | None, record: Record[Included] | None) -> GuardLine:
    name = guard.name if guard else record.fact.what if record else ""
    line = GuardLine(
        id=guard.id if guard else _bare(name),
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
    claim = told(Claim(what=line.name, grade=fact.grade, by=record.by, on=on))
    line = replace(line, grade=fact.grade, on=on)
    plain = f"{_STATES[fact.state]} {_sentence(claim.how)}"
    if fact.state not in CLOSES:
        return replace(line, state=fact.state, words=plain)
    if isinstance(claim, Reported):
        words = say("Not tested. That it is {state} is only {how}.",
                    state=_WORDS[fact.state], how=claim.how)  # fmt: skip
        return replace(line, words=words)
    since = "" if guard is None else _since(kept, guard, record)
    if since:
        words = say("Proved on {day}, and not again since: {what}.", day=on, what=since)
        return replace(line, words=words)
    if fact.state == "not_fitted" and not (guard and guard.optional):
        words = say("Said not to be fitted; every such machine has it.")
        return replace(line, state="missing", words=words)
    return replace(line, state=fact.state, words=plain, open=False)


def _since(kept: RecordKept, guard: Guard, proof: Record[Included]) -> str:
    """What was done since that it hangs on."""
    for one in (*kept.of(Act), *kept.of(PartMoved)):
        if _after(one, proof) and _touches(one.fact, kept) & set(guard.faults):
            return say("work on it, {day}", day=day_of(one))
    for one in kept.of(Taken):
        here = one.fact.place == guard.place or one.fact.sort in WIRING
        if _after(one, proof) and here:
            return say("{what} was undone, {day}", what=one.fact.what or one.fact.code,
                       day=day_of(one))  # fmt: skip
    return ""


def _after(one: Record[Any], proof: Record[Included]) -> bool:
    return (one.observed_at, one.seq) > (proof.observed_at, proof.seq)


def _touches(fact: Act | PartMoved, kept: RecordKept) -> set[str]:
    """Faults that an act may have changed, or that a part took along or brought."""
    if isinstance(fact, Act):
        return set(touched(fact, kept.kind))
    mine = kept.spot.machine in (fact.machine, fact.from_machine)
    part = kept.kind.swappable.get(fact.part) if mine else None
    return set(part.goes_along) if part else set()


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


def _bare(what: str) -> str:
    return " ".join(what.casefold().split())


def _sentence(how: str) -> str:
    return how[:1].upper() + how[1:] + "."


_ANY = say("Opened at idle and at slow axis, both channels: it stops.")
_WORDS = {"proved": say("proved"), "not_fitted": say("not fitted")}
_STATES = {
    "proved": say("Proved."),
    "defeated": say("Defeated."),
    "missing": say("Missing."),
    "not_tested": say("Not tested."),
    "not_fitted": say("Not fitted."),
}
