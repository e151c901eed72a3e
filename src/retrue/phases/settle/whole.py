"""What the rate and the comparison of one machine are made from, read from the shop."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.find.standing import standing
from retrue.cases.fix.agreed_kept import agreed_of
from retrue.cases.kept_case import kept_case
from retrue.cases.settle.cost_kept import arrived_in, known_of
from retrue.cases.settle.cost_still import Known, first_part_of
from retrue.cases.settle.hour_rate_figures import Figures, figures_of
from retrue.cases.settle.hour_rate_whole import Spent, Whole, spent_of, whole_of
from retrue.cases.settle.laid_out import LaidOut, laid_out
from retrue.cases.sheet_json import case_key, dumps
from retrue.cases.spot import Spot, first_id
from retrue.kinds.library import Kind
from retrue.phases.settle.book import book
from retrue.phases.settle.costing import cost, with_kept_rate
from retrue.phases.settle.hours import told_hours
from retrue.phases.settle.selling import spot_of
from retrue.records.facts import Machine
from retrue.records.moving import Arrived
from retrue.records.settling import CaseClosed, RunFigure
from retrue.records.shop import RecordShop

WORKS = "keeps_working"


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """One machine as it is kept, for its rate and its comparison."""

    spot: Spot
    case: LotCase
    kinds: Mapping[str, Kind]
    spent: Spent
    known: Known
    figures: Figures
    laid: LaidOut
    reached_on: str | None
    on: date
    seed: int
    worlds: int

    @property
    def ids(self) -> tuple[str, str, str, str]:
        """Lot, its name, machine, its name."""
        return self.spot.lot, self.spot.lot_name, self.spot.machine, self.spot.name

    @property
    def floor(self) -> tuple[bool | None, float | None]:
        """Whether the shop's floor costs money, and what a square metre takes a month."""
        return floor_of(self.case)

    def key(self, name: str, *more: Any) -> str:
        """By what a sum made of it is remembered."""
        told = (
            case_key(self.case, self.kinds, self.seed, self.worlds), self.ids, asdict(self.spent),
            self.known.lines, sorted(self.known.once.items()), sorted(self.known.arrived),
            sorted(map(repr, self.known.sums.items())), asdict(self.laid),
            sorted((id, asdict(one)) for id, one in self.figures.own.items()),
            self.reached_on, self.on.isoformat(), more,
        )  # fmt: skip
        return f"{name} {hashlib.sha256(dumps({'told': told}).encode()).hexdigest()}"

    def whole(self) -> Whole:
        """The machine in its worlds; where answers contradict each other, without them."""
        try:
            return self._whole(self.case)
        except Unusable:
            bare = self._whole(replace(self.case, findings=(), happened=()))
            why = say("What was answered contradicts itself: the tables alone are asked.")
            return replace(bare, assumed=(why, *bare.assumed))

    def _whole(self, case: LotCase) -> Whole:
        return whole_of(
            case, self.spot.name, self.kinds, spent=self.spent, known=self.known,
            laid=self.laid, on=self.on, reached_on=self.reached_on, seed=self.seed,
            worlds=self.worlds,
        )  # fmt: skip


def floor_of(case: LotCase) -> tuple[bool | None, float | None]:
    """Whether the floor of a case's shop costs money, and what it takes.

    Parameters
    ----------
    case : LotCase

    Returns
    -------
    tuple of (bool or None, float or None)
        Rented or not; money a square metre a month. None: nobody said.
    """
    month = case.shop.storage_eur_m2_month
    return case.shop.floor_rented, None if month is None else float(month)


def kept_whole(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], on: date,
    draws: tuple[int, int],
) -> Kept:  # fmt: skip
    """Read everything of one machine.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    draws : tuple of (int, int)
        Seed and number of worlds.

    Returns
    -------
    Kept

    Raises
    ------
    Unknown
        No such lot, machine or type of machine.
    """
    spot, kind = spot_of(shop, lot, machine, kinds)
    plain = with_kept_rate(shop, kept_case(shop, spot.lot), on)
    here = tuple(one for one in plain.machines if one.kind in kinds)
    case = agreed_of(shop, spot.lot, replace(plain, machines=here), kinds, on=on).case
    names = _names(shop, spot.lot, case)
    money = book(shop, on=on, lot=spot.lot)
    told = told_hours(shop, on=on).by_machine.get(spot.machine, 0.0)
    came = arrived_in(shop.current(Arrived, lot=spot.lot), names)
    seen = cost(shop, spot.lot, spot.machine, kinds, on=on, seed=draws[0], worlds=draws[1])
    spent = spent_of(money, spot.machine, told, on=on)
    own = shop.current(RunFigure, lot=spot.lot, machine=spot.machine)
    return Kept(
        spot=spot,
        case=case,
        kinds=kinds,
        spent=_ended(shop, spot, spent, seen.sold_on),
        known=known_of(money.lines, names, came),
        figures=figures_of((one.id, one.fact) for one in own),
        laid=laid_out(seen),
        reached_on=first_part_of(case, standing(case, spot.name, kind)),
        on=on,
        seed=draws[0],
        worlds=draws[1],
    )


def _ended(shop: RecordShop, spot: Spot, told: Spent, sold_on: str) -> Spent:
    """With when it was sold, how it was closed, and since when it works, where it is said."""
    spent = replace(told, sold_on=sold_on)
    closed = shop.current(CaseClosed, lot=spot.lot, machine=spot.machine)
    if not closed:
        return spent
    every = (one.fact for one in shop.history(closed[-1].id))
    works = [one.closed_on for one in every if one.end == WORKS]
    spent = replace(spent, worked_from=min(works, default=""))
    return replace(spent, ended=closed[-1].fact.end, ended_on=closed[-1].fact.closed_on)


def _names(shop: RecordShop, lot: str, case: LotCase) -> dict[str, str]:
    """Names of the machines whose type is known, by their keys."""
    known = {one.name for one in case.machines}
    here = shop.current(Machine, lot=lot)
    return {first_id(shop, one): one.fact.name for one in here if one.fact.name in known}
