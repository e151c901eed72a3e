"""When it will cut: planned, kept, read back, planned again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Unpack

from retrue import __version__
from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.assume import settle
from retrue.cases.case import LotCase
from retrue.cases.fix.hands import Staff, staff, staff_of
from retrue.cases.fix.kept import FixKept, fix_kept, fix_of_case
from retrue.cases.fix.plan_json import from_text, inputs_of, to_text
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.planned import Wish, plan_of_all
from retrue.cases.spot import find_lot
from retrue.kinds.library import Kind
from retrue.phases.fix.here import lots_worked
from retrue.phases.fix.owned import worked_on
from retrue.records.fixing import Gear, PlanKept, Worker
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

Progress = Callable[[float, str], None]
SECONDS = 5.0
AGAIN_SECONDS = 1.5  # planned again somebody stands there and waits


def plan(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    *,
    now: datetime,
    lots: Sequence[str] | None = None,
    seed: int = 7,
    worlds: int = 2000,
    seconds: float | None = None,
    why: str = "",
    progress: Progress | None = None,
    lead_times: float = 1.0,
) -> PlanView:
    """Plan every machine that is worked for, from now on, with what is done.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    now : datetime
        With its offset.
    lots : sequence of str, optional
        Names or ids; else all that were not lost or walked away from.
    seed, worlds : int
        The same give the same plan.
    seconds : float, optional
        How long the solver may search; else five, and fewer where it is planned again.
    why : str
        Planned again because.
    progress : callable, optional
        Told a share from 0 to 1 and what is being done.
    lead_times : float
        As if every delivery took so many times as long.

    Returns
    -------
    PlanView
        Promises of the plan kept before that it does not keep stand under ``broke``.

    Raises
    ------
    Unknown
        No such lot.
    NotYet
        No machine is worked for.
    """
    kept = _lots(shop, kinds, lots, now.date())
    before = _newest(shop, tuple(one.lot for one in kept))
    usual = SECONDS if before is None else AGAIN_SECONDS
    wish = Wish(now=now, seed=seed, worlds=worlds, lead_times=lead_times,
                seconds=usual if seconds is None else seconds)  # fmt: skip
    view = plan_of_all(
        kept, kinds, _staff(kept, kinds), wish,
        before=from_text(before.fact.plan) if before else None, progress=progress,
    )  # fmt: skip
    return replace(view, why=why.strip(), inputs=inputs_of(kept, kinds))


def keep_plan(shop: RecordShop, view: PlanView, **hand: Unpack[Hand]) -> Record[PlanKept]:
    """Keep a plan as it was made: it stays the same until it is planned again.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    view : PlanView
    **hand : Hand
        Who chose it.

    Returns
    -------
    Record of PlanKept
    """
    fact = PlanKept(
        lots=view.lots,
        at=view.at,
        seed=view.seed,
        worlds=view.worlds,
        inputs=view.inputs,
        plan=to_text(view),
        why=view.why,
        version=__version__,
    )
    return shop.add(fact, **hand)


def kept_plan(shop: RecordShop, kinds: Mapping[str, Kind], *, now: datetime) -> PlanView | None:
    """The plan that was kept last, as it was kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    now : datetime
        With its offset.

    Returns
    -------
    PlanView or None
        None where none was kept. ``stale`` where something it was made of has changed since.
    """
    records = shop.current(PlanKept)
    if not records:
        return None
    fact = records[-1].fact
    lots = [one for one in lots_worked(shop) if one in fact.lots]
    inputs = inputs_of([fix_kept(shop, one, kinds, on=now.date()) for one in lots], kinds)
    return replace(from_text(fact.plan), kept=True, stale=inputs != fact.inputs)


def plan_file(
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    now: datetime,
    hands: Sequence[Worker] = (),
    gear: Sequence[Gear] = (),
    seed: int = 7,
    worlds: int = 2000,
    seconds: float | None = None,
    progress: Progress | None = None,
    lead_times: float = 1.0,
) -> PlanView:
    """The same of a lot from a file, without a shop.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of str to Kind
    now : datetime
        With its offset.
    hands, gear : sequence
        As a shop would keep them; none: as assumed.
    seed, worlds : int
    seconds : float
    progress : callable, optional
    lead_times : float

    Returns
    -------
    PlanView
    """
    kept = fix_of_case(case, kinds)
    _refuse_nothing([kept])
    wish = Wish(now=now, seed=seed, worlds=worlds, lead_times=lead_times,
                seconds=SECONDS if seconds is None else seconds)  # fmt: skip
    hours = settle(case, {one.name: one.kind for one in kept.machines}).hours_a_week
    return plan_of_all([kept], kinds, staff(hands, gear, hours), wish, progress=progress)


def _lots(
    shop: RecordShop, kinds: Mapping[str, Kind], lots: Sequence[str] | None, on: date
) -> list[FixKept]:
    ids = worked_on(shop) if lots is None else [find_lot(shop, one)[0] for one in lots]
    kept = [fix_kept(shop, one, kinds, on=on) for one in dict.fromkeys(ids)]
    _refuse_nothing(kept)
    return [one for one in kept if any(m.worked_for for m in one.machines)]


def _refuse_nothing(kept: Sequence[FixKept]) -> None:
    if not any(machine.worked_for for one in kept for machine in one.machines):
        raise NotYet(
            say("there is no machine to work for"),
            remedy=say("Keep a lot with a machine, and choose what it is worked for."),
        )


def _staff(kept: Sequence[FixKept], kinds: Mapping[str, Kind]) -> Staff:
    first = kept[0]
    of = {one.name: one.kind for one in first.machines}
    return staff_of(kept, settle(first.case, of).hours_a_week)


def _newest(shop: RecordShop, lots: tuple[str, ...]) -> Record[PlanKept] | None:
    """The newest plan kept that speaks of any of these lots."""
    mine = [one for one in shop.current(PlanKept) if set(one.fact.lots) & set(lots)]
    return mine[-1] if mine else None
