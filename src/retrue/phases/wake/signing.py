"""A stage ends: signed at its stop point, left for another day, aborted; and why it was aborted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, Unpack, cast

from retrue.base.refusals import NotYet, Problem
from retrue.base.say import say
from retrue.cases.spot import Spot
from retrue.cases.wake.ending import refuse_cause, refuse_signing
from retrue.cases.wake.kept import power_kept, progress_kept
from retrue.cases.wake.ladder import STOP_POINTS, unsigned_stages
from retrue.cases.wake.people import licence_problems, name_problems, same_person
from retrue.cases.wake.stands import stage_stands
from retrue.cases.wake.watch_kept import room_before
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage
from retrue.phases.wake.here import beside, empty, machine_at, refuse_fields, sent_as, stage_of
from retrue.records.hand import Hand
from retrue.records.seeking import Signed
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import CauseFound, StageBegun, StageEnded

How = Literal["signed", "aborted", "left"]


def sign(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    name: str,
    kinds: Mapping[str, Kind],
    *,
    licence: str = "",
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[StageEnded]:
    """Sign the stop point of a stage, or of the step of its run-in that is going on.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, stage : str
        Name or id; P3 or P3-V.
    name : str
        Who answers for it.
    kinds : mapping of str to Kind
        The library.
    licence : str
        Of whoever signs what only a licensed person may; empty: the one it was begun with, where
        he signs himself.
    text : str
        A word on it; needed where a reading lies outside of what was expected.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of StageEnded
        The last stage of the supply signed, the stop point of first power is signed with it; the
        first turn signed, the stop point of running.

    Raises
    ------
    NotYet
        It was not begun; a band has no reading, or one that holds it; a dead test is open.
    Unusable
        Nobody's name, or no licence where one is needed.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage)
    same = {"lot": spot.lot, "machine": spot.machine, "stage": of.id, "how": "signed"}
    record = sent_as(shop, StageEnded, hand, **same)
    if record is None:
        kept = power_kept(shop, spot, kind)
        begun = _begun(kept.progress[of.id].begun, of)
        himself = same_person(name, begun.fact.by_name)
        own = licence.strip() or (begun.fact.licence if himself else "")
        fact = _end(begun, "signed", name, text=text, licence=own)
        refuse_fields(fact, *_unnamed(of, name, own))
        refuse_signing(stage_stands(kept, of), text)
        record = shop.add(fact, **hand)
    write_power(shop, spot, kind, record, hand)
    return record


def abort(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    name: str,
    why: str,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[StageEnded]:
    """Call a stage off: stop, smell, growl; its cause is found before any second try.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, stage : str
        Name or id; P3 or P3-V.
    name, why : str
        Who called it off, and why.
    kinds : mapping of str to Kind
        The library.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of StageEnded

    Raises
    ------
    NotYet
        It is not going on.
    Unusable
        No name, or no reason.
    """
    return _ended(shop, lot, machine, stage, name, kinds, "aborted", why=why, **hand)


def leave(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    name: str,
    kinds: Mapping[str, Kind],
    *,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[StageEnded]:
    """Leave a stage for another day: nothing failed, nothing is signed.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, stage : str
        Name or id; P3 or P3-V.
    name : str
        Who leaves it.
    kinds : mapping of str to Kind
        The library.
    text : str
        A word on it.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of StageEnded
        Hours attended stay; readings are taken anew.

    Raises
    ------
    NotYet
        It is not going on.
    """
    return _ended(shop, lot, machine, stage, name, kinds, "left", text=text, **hand)


def found(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    name: str,
    cause: str,
    kinds: Mapping[str, Kind],
    *,
    nose_c: float | None = None,
    room_c: float | None = None,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[CauseFound]:
    """Keep why a stage was aborted; only then it may be tried again.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, stage : str
        Name or id; P8 or P8-V.
    name, cause : str
        Who found it, and what it is.
    kinds : mapping of str to Kind
        The library.
    nose_c, room_c : float or None
        Of a spindle: how far it has cooled, as measured. Within 5 K it goes on, two steps lower.
    text : str
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of CauseFound

    Raises
    ------
    NotYet
        It was not aborted, or the spindle is still warm.
    Unusable
        No name, no cause, or the temperatures of a spindle are missing or cannot be.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage)
    same = {"lot": spot.lot, "machine": spot.machine, "stage": of.id}
    sent = sent_as(shop, CauseFound, hand, **same)
    if sent is not None:
        return sent
    last = progress_kept(shop, spot, kind)[of.id].uncaused
    if last is None:
        raise NotYet(say("{stage} is not aborted, or its cause is kept", stage=of.stage),
                     remedy=say("Open it: it says what comes next."))  # fmt: skip
    fact = CauseFound(
        lot=spot.lot, machine=spot.machine, stage=of.id, ended=last.id, name=name.strip(),
        cause=cause.strip(), nose_c=nose_c, room_c=room_c, text=text.strip(),
    )  # fmt: skip
    refuse_fields(fact, *empty("cause", cause, say("Say what it was.")))
    refuse_cause(of, fact, room_before(shop, spot, of.id))
    return shop.add(fact, **hand)


def write_power(
    shop: RecordShop, spot: Spot, kind: Kind, record: Record[StageEnded], hand: Hand
) -> None:
    """With the last stage of it signed, a stop point of fault-finding is signed as well."""
    progress = progress_kept(shop, spot, kind)
    for stop in STOP_POINTS:
        have = shop.current(Signed, lot=spot.lot, machine=spot.machine, stage=stop)
        if have or unsigned_stages(progress.values(), stop):
            continue
        fact = Signed(
            lot=spot.lot, machine=spot.machine, name=record.fact.name,
            stage=cast(Literal["power_up", "running"], stop),
            text=say("first power, signed up to {stage}", stage=STOP_POINTS[stop]),
        )  # fmt: skip
        shop.add(fact, **beside(record, stop, hand))


def _ended(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    name: str,
    kinds: Mapping[str, Kind],
    how: How,
    *,
    why: str = "",
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[StageEnded]:
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage)
    same = {"lot": spot.lot, "machine": spot.machine, "stage": of.id, "how": how}
    sent = sent_as(shop, StageEnded, hand, **same)
    if sent is not None:
        return sent
    fact = _end(_begun(progress_kept(shop, spot, kind)[of.id].begun, of), how, name, why=why,
                text=text)  # fmt: skip
    refuse_fields(fact)
    return shop.add(fact, **hand)


def _begun(begun: Record[StageBegun] | None, stage: Stage) -> Record[StageBegun]:
    if begun is None:
        raise NotYet(
            say("{stage} is not going on", stage=stage.stage), remedy=say("Begin it first.")
        )
    return begun


def _end(
    begun: Record[StageBegun],
    how: How,
    name: str,
    *,
    why: str = "",
    text: str = "",
    licence: str = "",
) -> StageEnded:
    was = begun.fact
    return StageEnded(
        lot=was.lot, machine=was.machine, stage=was.stage, begun=begun.id, how=how,
        name=name.strip(), licence=licence, why=why.strip(), text=text.strip(),
    )  # fmt: skip


def _unnamed(stage: Stage, name: str, licence: str) -> tuple[Problem, ...]:
    """Why nobody answers for it: no name of anybody, no licence where one is needed."""
    named = tuple(name_problems("name", name)) if name.strip() else ()
    return (*named, *(licence_problems(licence, stage.who) if stage.licensed else ()))
