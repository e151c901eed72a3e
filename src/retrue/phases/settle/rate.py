"""What an hour of a machine costs, remembered while nothing changes; figures of one's own."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, replace
from datetime import date
from typing import Unpack

import msgspec

from retrue.base.refusals import Problem, Unknown
from retrue.base.say import say, spelled
from retrue.cases.case import LotCase
from retrue.cases.known import nearest
from retrue.cases.settle.hour_rate import hour_rate_view
from retrue.cases.settle.hour_rate_blank import Ids, blank_rate
from retrue.cases.settle.hour_rate_figures import Figures, figure_doubts
from retrue.cases.settle.hour_rate_inputs import inputs_of
from retrue.cases.settle.hour_rate_whole import Whole, whole_of
from retrue.cases.settle.laid_out import laid_out
from retrue.cases.settle.rate_lines import HourRateView
from retrue.kinds.library import Kind
from retrue.phases.settle.costing import cost_file
from retrue.phases.settle.keeping import put, refuse
from retrue.phases.settle.selling import spot_of
from retrue.phases.settle.whole import floor_of, kept_whole
from retrue.records.hand import Hand
from retrue.records.settling import RunFigure
from retrue.records.shop import Record, RecordShop

SEED, WORLDS = 7, 2000


def rate(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    margin: float | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> HourRateView:
    """What an hour of one machine of the shop costs.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    margin : float or None
        Share of the price that is to be left.
    seed, worlds : int
        Of the draws.

    Returns
    -------
    HourRateView

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        A margin of the whole price; answers that contradict each other.
    """
    refuse(_margin_doubts(margin))
    kept = kept_whole(shop, lot, machine, kinds, on, (seed, worlds))
    key = kept.key("settle rate 3", margin)
    known = shop.recall(key)
    if known is not None:
        return msgspec.convert(json.loads(known), HourRateView)
    made = _made(kept.ids, kept.whole(), kept.figures, kept.floor, margin)
    shop.remember(key, json.dumps(spelled(asdict(made))).encode())
    return made


def rate_case(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    margin: float | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> HourRateView:
    """The same for a lot that stands in a file.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    margin : float or None
        Share of the price of an hour that is to be left.
    seed, worlds : int

    Returns
    -------
    HourRateView

    Raises
    ------
    Unknown
        The lot has no such machine.
    Unusable
        The margin is no share below 1.
    """
    refuse(_margin_doubts(margin))
    refuse_unknown(case, machine)
    seen = cost_file(case, None, "", machine, kinds, on=on, seed=seed, worlds=worlds)
    whole = whole_of(case, machine, kinds, laid=laid_out(seen), seed=seed, worlds=worlds)
    ids = (case.lot.name, case.lot.name, machine, machine)
    return _made(ids, whole, Figures({}), floor_of(case), margin)


def _made(
    ids: Ids,
    whole: Whole,
    figures: Figures,
    floor: tuple[bool | None, float | None],
    margin: float | None,
) -> HourRateView:
    inputs = inputs_of(whole, figures, floor)
    blank = blank_rate(ids, whole, inputs, margin=margin)
    if blank.why:
        return blank
    return hour_rate_view(inputs, blank, wage_known=figures.has("wage_an_hour"))


def set_figure(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    figure: RunFigure,
    **hand: Unpack[Hand],
) -> Record[RunFigure]:
    """Put your own figure in place of what is assumed.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    figure : RunFigure
        Its lot and machine are not read.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of RunFigure
        A second figure for the same thing takes the place of the first; the same adds nothing.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        No such figure; below zero; not rising; nothing where it is divided by.
    """
    spot, _ = spot_of(shop, lot, machine, kinds)
    refuse(figure_doubts(figure.item, figure.low, figure.likely, figure.high))
    fact = replace(figure, lot=spot.lot, machine=spot.machine, reason=figure.reason.strip())
    old = shop.current(RunFigure, lot=spot.lot, machine=spot.machine, item=fact.item)
    return put(shop, fact, old[-1] if old else None, hand)


def refuse_unknown(case: LotCase, machine: str) -> None:
    """Refuse a machine that a lot in a file has not.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.

    Raises
    ------
    Unknown
        With the nearest name.
    """
    names = [one.name for one in case.machines]
    if machine not in names:
        raise Unknown(
            say("the lot has no machine {name}", name=machine), remedy=nearest(machine, names)
        )


def _margin_doubts(margin: float | None) -> tuple[Problem, ...]:
    if margin is None or 0.0 <= margin < 1.0:
        return ()
    what = say("is no share of the price below all of it")
    return (Problem("margin", what, say("Give per cent below 100: 20.")),)
