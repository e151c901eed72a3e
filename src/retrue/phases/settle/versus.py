"""Was it worth it, against each other way: remembered while nothing changes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, replace
from datetime import date

import msgspec

from retrue.base.say import say, spelled
from retrue.cases.case import LotCase
from retrue.cases.settle.hour_rate_blank import Ids
from retrue.cases.settle.hour_rate_figures import Figures
from retrue.cases.settle.hour_rate_whole import Whole, whole_of
from retrue.cases.settle.laid_out import laid_out
from retrue.cases.settle.versus import blank_versus, versus_of
from retrue.cases.settle.versus_lines import VersusView
from retrue.kinds.library import Kind
from retrue.phases.settle.costing import cost_file
from retrue.phases.settle.rate import SEED, WORLDS, refuse_unknown
from retrue.phases.settle.whole import floor_of, kept_whole
from retrue.records.shop import RecordShop


def versus(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> VersusView:
    """Whether one machine of the shop was worth it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    seed, worlds : int
        Of the draws.

    Returns
    -------
    VersusView
        What is spent counts as it was, what is to come as drawn.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        Answers that contradict each other.
    """
    kept = kept_whole(shop, lot, machine, kinds, on, (seed, worlds))
    key = kept.key("settle versus 3")
    known = shop.recall(key)
    if known is not None:
        return msgspec.convert(json.loads(known), VersusView)
    made = _made(kept.ids, kept.whole(), kept.figures, kept.floor)
    shop.remember(key, json.dumps(spelled(asdict(made))).encode())
    return made


def versus_case(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> VersusView:
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
    seed, worlds : int

    Returns
    -------
    VersusView

    Raises
    ------
    Unknown
        The lot has no such machine.
    """
    refuse_unknown(case, machine)
    seen = cost_file(case, None, "", machine, kinds, on=on, seed=seed, worlds=worlds)
    whole = whole_of(case, machine, kinds, laid=laid_out(seen), seed=seed, worlds=worlds)
    ids = (case.lot.name, case.lot.name, machine, machine)
    made = _made(ids, whole, Figures({}), floor_of(case))
    return replace(made, next=say("Bid no more than it can carry: retrue worth price."), next_at="")


def _made(
    ids: Ids, whole: Whole, figures: Figures, floor: tuple[bool | None, float | None]
) -> VersusView:
    return versus_of(whole, figures, blank_versus(ids, whole), floor=floor)
