"""What was done: acts, parts that change places, stop points that are signed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Literal, Unpack, cast

from retrue.base.refusals import NotYet, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.find.standing import standing
from retrue.cases.kept_case import kept_case
from retrue.cases.known import nearest
from retrue.cases.spot import Spot, find
from retrue.cases.strip.kept import taken_of
from retrue.cases.strip.order import refuse_power
from retrue.cases.wake.ladder import refuse_stop_point
from retrue.cases.wake.replaced import signatures_fallen
from retrue.kinds.library import Kind, Swappable
from retrue.phases.find.lines import (
    machine_at,
    one_of,
    placed,
    refuse,
    sent_before,
    trouble_line,
)
from retrue.records.checking import problems_of
from retrue.records.facts import Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Act, PartMoved, Signed
from retrue.records.shop import Record, RecordShop

STAGES = ("apart", "power_up", "running")


def did(
    shop: RecordShop,
    lot: str,
    machine: str,
    act: Act,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[Act]:
    """Keep an act: what was expected, seen, decided, what it cost, what was bought.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id; those of the act are set here.
    act : Act
        Its ``trouble`` by any id of that line.
    kinds : mapping of str to Kind
        The library.
    **hand : Hand
        Whose hand did it.

    Returns
    -------
    Record of Act
        What was done is kept whatever the advice was.

    Raises
    ------
    Unknown
        No such lot, machine or trouble.
    Unusable
        The kind has no such fault, way or job; all are named.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    trouble = trouble_line(shop, act.trouble).first.id if act.trouble else None
    fact = replace(placed(act, spot), trouble=trouble)
    refuse(say("this cannot be kept as an act"), [*_act_doubts(fact, kind), *problems_of(fact)])
    record = shop.add(fact, **hand)
    _shut_power(shop, record, spot, kind, hand)
    return record


def swap(
    shop: RecordShop, moved: PartMoved, kinds: Mapping[str, Kind], **hand: Unpack[Hand]
) -> Record[PartMoved]:
    """Keep that a part changed places; with it its serial number.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    moved : PartMoved
        ``lot``, ``machine`` and ``from_machine`` as name or id; a donor part may come from
        somewhere else, in one's own words.
    kinds : mapping of str to Kind
        The library.
    **hand : Hand
        Whose hand did it.

    Returns
    -------
    Record of PartMoved

    Raises
    ------
    Unknown
        No such lot or machine; the kind has no such part.
    NotYet
        Type, rating and settings were not read as the same on both plates, or a look that comes
        first (motor and cable) has not passed yet. Moving a part back needs neither.
    """
    spot, kind = machine_at(shop, moved.lot, moved.machine, kinds)
    one_of(moved.part, kind.swappable, say("part that can change places"))
    other = _other(shop, moved, spot, kinds)
    fact = replace(
        placed(moved, spot), from_machine=other[0].machine if other else moved.from_machine
    )
    sent = sent_before(shop, fact, hand)
    if sent is not None:
        return sent
    refuse(say("this cannot be kept as a part that moved"), list(problems_of(fact)))
    if fact.why != "back":
        ends = [(spot, kind), *([other] if other else [])]
        _may_move(shop, fact, kind.swappable[fact.part], ends)
    record = shop.add(fact, **hand)
    for end, of in [(spot, kind), *([other] if other else [])]:
        _shut_power(shop, record, end, of, hand)
    return record


def _shut_power(
    shop: RecordShop,
    record: Record[Act] | Record[PartMoved],
    spot: Spot,
    kind: Kind,
    hand: Hand,
) -> None:
    """With another motor, drive or cable, what was signed for power is of another machine."""
    for one in signatures_fallen(shop, record, spot.lot, spot.machine, kind):
        gone = Withdrawn(of_kind=one.kind, reason=say("motor, drive or cable was changed"))
        shop.add(gone, replaces=one.id, **without_id(hand))


def sign(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    name: str,
    text: str = "",
    kinds: Mapping[str, Kind] | None = None,
    **hand: Unpack[Hand],
) -> Record[Signed]:
    """Keep a stop point as signed: from here on the looks and steps of this stage are open.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    stage : str
        apart, power_up or running.
    name : str
        Who signs, by name.
    text : str
        What was closed before, and the reading it was proved by.
    kinds : mapping of str to Kind, optional
        The library; power is never signed without it.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of Signed

    Raises
    ------
    Unusable
        Nobody's name stands under it, or there is no such stop point.
    NotYet
        First power, or what comes after it, while something that was undone is not back, or while
        a stage of first power up to there is not signed; each is named.
    """
    problems = list(_unsigned(stage, name))
    if problems:
        raise Unusable(
            say("this stop point is not signed"),
            remedy=say("It stays closed until somebody signs it by name."),
            problems=tuple(problems),
        )
    spot = find(shop, lot, machine, kinds or {})
    stop = cast(Literal["apart", "power_up", "running"], stage)
    fact = Signed(
        lot=spot.lot, machine=spot.machine, stage=stop, name=name.strip(), text=text.strip()
    )
    if stage != "apart" and sent_before(shop, fact, hand) is None:  # each of them means power
        refuse_power(taken_of(shop, spot))
        _, kind = machine_at(shop, spot.lot, spot.machine, kinds or {})
        refuse_stop_point(shop, spot, kind, stage)
    return shop.add(fact, **hand)


def _unsigned(stage: str, name: str) -> Iterator[Problem]:
    """Why a stop point is not signed by this."""
    if not name.strip():
        yield Problem("name", say("is empty"), say("Whoever answers for it writes his name."))
    if stage not in STAGES:
        can_be = ", ".join(STAGES)
        what = say("is {stage}", stage=repr(stage))
        yield Problem("stage", what, say("It can be {can_be}.", can_be=can_be))


def _act_doubts(act: Act, kind: Kind) -> Iterator[Problem]:
    """Look up what an act names."""
    if act.fault is not None and act.fault not in kind.faults:
        what = say("{word} is no fault of a {kind}", word=act.fault, kind=kind.name)
        yield Problem("fault", what, nearest(act.fault, kind.faults))
    elif act.way and act.fault is not None:
        ways = [fix.way for fix in kind.fixes.get(act.fault, ())]
        if act.way not in ways:
            what = say("{word} is no way to put it right", word=act.way)
            yield Problem("way", what, nearest(act.way, ways))
    if act.job is not None and act.job not in kind.jobs:
        what = say("{word} is no job of a {kind}", word=act.job, kind=kind.name)
        yield Problem("job", what, nearest(act.job, kind.jobs))


def _other(
    shop: RecordShop, moved: PartMoved, spot: Spot, kinds: Mapping[str, Kind]
) -> tuple[Spot, Kind] | None:
    """The machine the part came from; None where it is a slot of the same, or somewhere else."""
    try:
        other = machine_at(shop, spot.lot, moved.from_machine, kinds)
    except Unknown:
        if moved.why == "donor":
            return None
        raise
    return other


def _may_move(
    shop: RecordShop, moved: PartMoved, part: Swappable, ends: Sequence[tuple[Spot, Kind]]
) -> None:
    """Like with like only, and motor and cable first: a part is not burnt to find a fault."""
    if not moved.same_type:
        raise NotYet(
            say("like with like only: the two plates were not read as the same"),
            remedy=say("Read type, rating and settings on both plates, then say that they agree."),
        )
    case = kept_case(shop, moved.lot)
    wanting = dict.fromkeys(
        (spot.name, kind.checks[check].text)
        for spot, kind in (ends if moved.why == "swap" else ends[:1])
        for check in part.first
        if check in kind.checks and check not in standing(case, spot.name, kind).passed
    )
    if wanting:
        problems = tuple(Problem(name, text) for name, text in wanting)
        raise NotYet(
            say("motor and cable come first: a dead one kills the next part as well"),
            remedy=say("Do the looks that are named, then move the part."),
            problems=problems,
        )
