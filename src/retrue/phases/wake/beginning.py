"""A stage begins: only with everything closed, somebody at the switch, and its bands written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack

from retrue.base.say import say
from retrue.cases.wake.kept import power_kept, progress_kept
from retrue.cases.wake.people import name_problems
from retrue.cases.wake.starting import (
    CLAMPED,
    PRESSURE,
    Start,
    refuse_optional,
    refuse_start,
    refuse_tried,
    step_at,
    written_at,
)
from retrue.kinds.library import Kind
from retrue.phases.wake.here import beside, machine_at, refuse_fields, sent_as, stage_of
from retrue.phases.wake.signing import write_power
from retrue.phases.wake.views import Expected
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import StageBegun, StageEnded, StageReading


def begin(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    kinds: Mapping[str, Kind],
    *,
    by_name: str,
    at_switch: str = "",
    licence: str = "",
    cautions: tuple[str, ...] = (),
    heard: bool = False,
    laptop: bool | None = None,
    step: int | None = None,
    text: str = "",
    choice: str = "",
    pressure_bar: float | None = None,
    expected: tuple[Expected, ...] = (),
    **hand: Unpack[Hand],
) -> Record[StageBegun]:
    """Begin a stage; what it should read is written down with it and never worked out anew.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, stage : str
        Name or id; P3 or P3-V.
    kinds : mapping of str to Kind
        The library.
    by_name, at_switch : str
        Who does it, and who else stands at the main switch.
    licence : str
        Of whoever does what only a licensed person may.
    cautions : tuple of str
        Ids of the cautions that were ticked: all of the stage.
    heard : bool
        The alarm was heard once, at the machine.
    laptop : bool or None
        It stands beside the machine; False: paper and a kitchen timer.
    step : int or None
        Of the run-in; None: the next.
    text : str
    choice : str
        Of the stage's choices: jaws_off or clamped.
    pressure_bar : float or None
        Clamped: proved at the cylinder, held with the pump off.
    expected : tuple of Expected
        Bands typed with their reason, where the plate does not tell them.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of StageBegun

    Raises
    ------
    NotYet
        One problem for each thing that is wanting.
    Unusable
        Nobody's name, or a typed band that cannot be one.
    Unknown
        No such lot, machine or stage.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage)
    same = {"lot": spot.lot, "machine": spot.machine, "stage": of.id}
    sent = sent_as(shop, StageBegun, hand, **same)
    if sent is not None:
        _keep_pressure(shop, sent, choice, pressure_bar, hand)
        return sent
    kept = power_kept(shop, spot, kind)
    fact = StageBegun(
        lot=spot.lot, machine=spot.machine, stage=of.id, by_name=by_name.strip(),
        at_switch=at_switch.strip(), licence=licence.strip(), cautions=cautions, heard=heard,
        laptop=laptop, step=step, text=text.strip(),
    )  # fmt: skip
    start = Start(fact=fact, choice=choice, pressure_bar=pressure_bar, expected=expected)
    refuse_fields(fact)
    refuse_start(kept, of, start)
    written = written_at(kept, of, start)
    record = shop.add(replace(fact, bands=written, step=step_at(kept, of, step)), **hand)
    _keep_pressure(shop, record, choice, pressure_bar, hand)
    return record


def not_fitted(
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
    """Say by name that a machine does not have what a stage wakes.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, stage : str
        Name or id; P7 or P7-L.
    name : str
        Who says so.
    kinds : mapping of str to Kind
        The library.
    text : str
        A word on it: flat bed.
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of StageEnded

    Raises
    ------
    Unusable
        Every such machine has it; or nobody's name.
    NotYet
        It was begun once, whatever became of it: then it is there.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage)
    same = {"lot": spot.lot, "machine": spot.machine, "stage": of.id, "how": "signed"}
    sent = sent_as(shop, StageEnded, hand, **same)
    if sent is not None:
        return sent
    refuse_optional(of, [one.stage for one in kind.stages.values() if one.optional])
    refuse_tried(of, progress_kept(shop, spot, kind)[of.id])
    words = say("not fitted: {text}", text=text.strip()) if text.strip() else say("not fitted")
    fact = StageBegun(lot=spot.lot, machine=spot.machine, stage=of.id, by_name=name.strip(),
                      text=words)  # fmt: skip
    refuse_fields(fact, *name_problems("name", name))
    more: Hand = {**hand, "id": f"{hand['id']}.begun"} if "id" in hand else hand
    begun = shop.add(fact, **more)
    end = StageEnded(lot=spot.lot, machine=spot.machine, stage=of.id, begun=begun.id,
                     how="signed", name=name.strip(), text=words)  # fmt: skip
    record = shop.add(end, **hand)
    write_power(shop, spot, kind, record, hand)
    return record


def _keep_pressure(
    shop: RecordShop,
    begun: Record[StageBegun],
    choice: str,
    pressure_bar: float | None,
    hand: Hand,
) -> None:
    """The pressure that clamps is the first reading of its stage."""
    if choice != CLAMPED or pressure_bar is None:
        return
    fact = StageReading(
        lot=begun.fact.lot, machine=begun.fact.machine, stage=begun.fact.stage, begun=begun.id,
        name=PRESSURE, point=say("at the cylinder, pump off"), reading=pressure_bar, unit="bar",
        taken_by=begun.fact.by_name,
    )  # fmt: skip
    shop.add(fact, **beside(begun, "pressure", hand))
