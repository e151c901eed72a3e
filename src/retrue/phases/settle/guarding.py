"""Guards and interlocks as they stand, and what goes with a machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.known import kind_doubt, nearest
from retrue.cases.settle.condition_kept import RecordKept, record_kept
from retrue.cases.settle.guards import guard_lines, guard_of
from retrue.cases.settle.record_lines import FACT, GuardLine
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.records.checking import problems_of
from retrue.records.facts import Machine
from retrue.records.hand import Hand
from retrue.records.knowing import said_unseen
from retrue.records.settling import Included
from retrue.records.shop import Record, RecordShop


def guards(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[GuardLine, ...]:
    """Every guard and interlock of a machine, as it stands.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    tuple of GuardLine
    """
    return guard_lines(kept_at(shop, lot, machine, kinds))


def include(
    shop: RecordShop, fact: Included, kinds: Mapping[str, Kind], **hand: Unpack[Hand]
) -> Record[Included]:
    """Keep what goes with a machine, or how a guard or interlock stands.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    fact : Included
        ``lot`` and ``machine`` as name or id.
    kinds : mapping of str to Kind
        The library.
    **hand
        Who writes.

    Returns
    -------
    Record of Included
        The newest word on a thing counts; taken back, the one before it counts again.

    Raises
    ------
    Unusable
        A field is wrong; a guard is called proved or not fitted by less than one's own eyes; one
        that every such machine has is called not fitted.
    """
    spot, kind = _at(shop, fact.lot, fact.machine, kinds)
    guard = guard_of(kind, fact.what) if fact.sort == "guard" else None
    told = replace(fact, lot=spot.lot, machine=spot.machine,
                   what=guard.name if guard else fact.what.strip())  # fmt: skip
    problems = [*problems_of(told), *_guard_problems(told, kind)]
    if problems:
        raise Unusable(
            say("this cannot be kept as it stands"),
            remedy=say("Mend what is named."),
            problems=tuple(problems),
        )
    same = [
        one
        for one in shop.current(Included, lot=told.lot, machine=told.machine, what=told.what)
        if (one.fact.sort == "guard") == (told.sort == "guard")
    ]
    said = said_unseen(shop, told, same[-1] if same else None)
    return shop.add(told, **hand) if said is None else said


def included_words(shop: RecordShop, lot: str, machine: str, id: str) -> str:
    """What was kept of a machine under an id, in words; empty where it does not count.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot, machine : str
        Ids.
    id : str
        Of what was kept.

    Returns
    -------
    str
    """
    for one in shop.current(Included, lot=lot, machine=machine):
        if one.id == id:
            how = (one.fact.state or one.fact.sort).replace("_", " ")
            return say("{what}: {how}", what=one.fact.what, how=how)
    return ""


def _guard_problems(fact: Included, kind: Kind) -> list[Problem]:
    if not fact.what.strip():
        return [Problem("what", say("is empty"), say("Say what it is."))]
    if fact.sort != "guard" or fact.state not in ("proved", "not_fitted"):
        return []
    problems = []
    if fact.grade < FACT:
        problems.append(Problem(
            "grade", say("is {grade}: nothing is proved by a picture or a word", grade=fact.grade),
            say("Open it at the machine, at idle and at slow axis; 3 saw it, 4 measured."),
        ))  # fmt: skip
    guard = guard_of(kind, fact.what)
    if fact.state == "not_fitted" and not (guard and guard.optional):
        may = [one.name for one in kind.guards.values() if one.optional]
        problems.append(Problem(
            "state", say("{guard}: every such machine has it", guard=fact.what),
            nearest(fact.what, may) or say("Say missing, if it is not there."),
        ))  # fmt: skip
    return problems


def kept_at(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> RecordKept:
    """Everything kept of a machine, for its record; Unknown where its kind is not known."""
    spot, kind = _at(shop, lot, machine, kinds)
    return record_kept(shop, spot, kind)


def _at(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> tuple[Spot, Kind]:
    spot = find(shop, lot, machine, kinds)
    if spot.kind is None:
        kept: Record[Machine] = shop.history(spot.machine)[-1]
        doubt = kind_doubt("kind", kept.fact.kind, kinds)
        raise Unknown(doubt.what, remedy=doubt.remedy)
    return spot, spot.kind
