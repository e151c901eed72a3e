"""From the hammer to the floor: removal, loading, road, rig-in, hook-up, fills, storage."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Unusable
from retrue.base.units import amount
from retrue.cases.assume import Settled
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.move.needed import needed_costs
from retrue.kinds.library import Kind, Three
from retrue.records.facts import CostLine, Machine

Floats = NDArray[np.float64]

FEEDING = ("E42", "E43", "E44")  # converter or transformer
PASSING = ("E28", "E29")  # taken off at the top; the opening itself
WEIGHT_ENTRY = "N03"
SPARE = "the lot"  # the name under which shared quantities are drawn
ORGANISE_DAYS = Three(4.0, 12.0, 35.0)  # from the hammer to the truck (judgement)


@dataclass(frozen=True, slots=True, eq=False)
class Landing:
    """What it takes to have one machine on the floor, and to give it power; shape (worlds,).

    Buckets hold money in the shop's currency; ``power`` is spent only if it is to run.
    """

    floor: Mapping[str, Floats]
    floor_hours: Floats
    power: Mapping[str, Floats]
    power_hours: Floats
    tooling: Floats
    tooling_hours: Floats
    storage_a_month: Floats
    selling: Floats
    selling_hours: Floats


class Lines:
    """Cost lines of one machine or of the lot, drawn by id, overtyped ones taken as typed."""

    def __init__(self, case: LotCase, machine: str | None, kind: Kind, drawer: Drawer) -> None:
        """Take the owner's own figures for this machine, or for the lot where machine is None."""
        self._kind, self._drawer = kind, drawer
        self._name = machine or SPARE
        self._own: dict[str, CostLine] = {
            line.line: line for line in case.cost_lines if line.machine == machine
        }

    def money(self, id: str) -> Floats:
        """One cost in every world."""
        if id in self._own:
            return np.full(self._drawer.worlds, float(self._own[id].amount))
        return self._drawer.pert(self._name, id, self._kind.costs[id].amount)

    def hours(self, id: str) -> Floats:
        """The own hours that go with it."""
        own = self._own.get(id)
        if own is not None and own.hours is not None:
            return np.full(self._drawer.worlds, own.hours)
        return self._drawer.pert(self._name, id, self._kind.costs[id].hours, column=1)

    def either(
        self, first: str, second: str, known: bool | None, what: Callable[[str], Floats]
    ) -> Floats:
        """The first cost if it is known to be so, the second if not, even chances if unknown."""
        if known is not None:
            return what(first if known else second)
        side = self._drawer.happens(self._name, f"{first} or {second}", 0.5)
        return np.where(side, what(first), what(second))


def land(case: LotCase, machine: Machine, kind: Kind, settled: Settled, drawer: Drawer) -> Landing:
    """One machine from the seller's floor to ours.

    Parameters
    ----------
    case : LotCase
    machine : Machine
    kind : Kind
    settled : Settled
    drawer : Drawer

    Returns
    -------
    Landing
    """
    lines = Lines(case, machine.name, kind, drawer)
    rigger = case.shop.uses_rigger
    loading, heavier = _loading(case, lines, drawer), _heavier(case, machine, kind)
    removal = lines.either("E11", "E12", rigger, lines.money) * heavier
    rig_in = lines.either("E24", "E25", rigger, lines.money) * heavier
    needed = needed_costs(case, machine)
    power, power_hours = _power(case, machine, kind, lines, drawer, needed)
    door, door_hours = _door(lines, kind, drawer, needed)
    tooling, tooling_hours = _tooling(machine, lines, drawer)
    storage = lines.money("E30") * lines.money("E31")
    if case.shop.storage_eur_m2_month is not None:
        storage = float(case.shop.storage_eur_m2_month) * lines.money("E31")
    if case.shop.floor_rented is False:
        storage = np.zeros(drawer.worlds)
    return Landing(
        floor={"removal and loader": removal + loading, "move": rig_in + door},
        floor_hours=lines.either("E11", "E12", rigger, lines.hours)
        + lines.either("E24", "E25", rigger, lines.hours)
        + door_hours,
        power=power,
        power_hours=power_hours,
        tooling=tooling,
        tooling_hours=tooling_hours,
        storage_a_month=storage + lines.money("E32"),
        selling=lines.money("E95"),
        selling_hours=lines.hours("E95"),
    )


def _loading(case: LotCase, lines: Lines, drawer: Drawer) -> Floats:
    terms = case.terms
    if terms.loader_fee is not None:
        return np.full(drawer.worlds, float(terms.loader_fee))
    if terms.loading_help and not terms.loader_named:
        return np.zeros(drawer.worlds)
    return lines.money("E13" if terms.loader_named is not False else "E26")


def _door(
    lines: Lines, kind: Kind, drawer: Drawer, needed: tuple[str, ...]
) -> tuple[Floats, Floats]:
    """What it takes to get it through the door, where the door is known to be too small."""
    zero = np.zeros(drawer.worlds)
    ids = [id for id in needed if id in PASSING and id in kind.costs]
    money = sum((lines.money(id) for id in ids), start=zero)
    return money, sum((lines.hours(id) for id in ids), start=zero)


def _power(
    case: LotCase,
    machine: Machine,
    kind: Kind,
    lines: Lines,
    drawer: Drawer,
    needed: tuple[str, ...],
) -> tuple[dict[str, Floats], Floats]:
    """Hook-up, transformer or converter, fills and waste: only if the machine is to run."""
    shop = case.shop
    hook_up = lines.either("E41", "E40", shop.supply_outlet, lines.money)
    hours = lines.either("E41", "E40", shop.supply_outlet, lines.hours)
    for id in needed:
        if id in FEEDING and id in kind.costs:
            hook_up, hours = hook_up + lines.money(id), hours + lines.hours(id)
    fills = [id for id in ("E53", "E55", "E56") if id in kind.costs]
    if machine.wet is not False and "E52" in kind.costs:
        fills.append("E52")
    if "E54" in kind.costs:
        fills.append("E54")
    zero = np.zeros(drawer.worlds)
    consumables = sum((lines.money(id) for id in fills), start=zero)
    hours = hours + sum((lines.hours(id) for id in fills), start=zero)
    return {"hook-up": hook_up, "consumables and waste": consumables}, hours


def stamped_number(case: LotCase, machine: Machine, entry: str, unit: str) -> float | None:
    """A number stamped on the machine, as typed last, in a unit.

    Parameters
    ----------
    case : LotCase
    machine : Machine
    entry : str
        Of the plate table.
    unit : str
        In which it is wanted; a bare number is in it.

    Returns
    -------
    float or None
        None if nobody typed one, or what was typed is no quantity of that sort over zero.

    Examples
    --------
    >>> from retrue.records.facts import Lot, Plate, Shop, Terms
    >>> mill = Machine(lot="14", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="14"), terms=Terms(lot="14"), machines=(mill,),
    ...     plates=(Plate(machine="mill", entry="N03", value="4.2 t"),))
    >>> stamped_number(case, mill, "N03", "kg")
    4200.0
    """
    typed = [p.value for p in case.plates if p.machine == machine.name and p.entry == entry]
    if not typed:
        return None
    try:
        alone = typed[-1].strip().removesuffix(f" {unit}")  # 1/min begins like a number
        stamped = float(amount(alone, unit, field=entry))
    except Unusable:
        return None
    return stamped if stamped > 0 else None


def _heavier(case: LotCase, machine: Machine, kind: Kind) -> float:
    """Move money against that of a usual machine: as the root of the mass (judgement)."""
    mass = stamped_number(case, machine, WEIGHT_ENTRY, "kg") or machine.mass_kg
    return 1.0 if not mass else float(np.clip((mass / kind.mass_kg) ** 0.5, 0.5, 2.5))


def _tooling(machine: Machine, lines: Lines, drawer: Drawer) -> tuple[Floats, Floats]:
    if machine.tooling == "all":
        return np.zeros(drawer.worlds), np.zeros(drawer.worlds)
    id = "E60" if machine.tooling == "none" else "E61"
    return lines.money(id), lines.hours(id)


def road(
    case: LotCase, kind: Kind, settled: Settled, drawer: Drawer, machines: int
) -> tuple[Floats, Floats]:
    """One truck for all machines moved.

    Parameters
    ----------
    case : LotCase
    kind : Kind
    settled : Settled
    drawer : Drawer
    machines : int

    Returns
    -------
    tuple of two ndarray, shape (worlds,)
        Money and own hours.
    """
    zero = np.zeros(drawer.worlds)
    if machines == 0:
        return zero, zero
    lines = Lines(case, None, kind, drawer)
    km = settled.distance_km
    band = "E20" if km <= 100 else "E21" if km <= 300 else "E22"
    stretch = max(1.0, km / 500.0)  # beyond the last band money grows with the road
    money = lines.money(band) * stretch + lines.money("E23") * (machines - 1)
    return money, lines.hours(band) * stretch + lines.hours("E23") * (machines - 1)


def lateness(case: LotCase, settled: Settled, drawer: Drawer, kind: Kind) -> tuple[Floats, Floats]:
    """Days from the hammer to the floor, and the fine for being late.

    Parameters
    ----------
    case : LotCase
    settled : Settled
    drawer : Drawer
    kind : Kind

    Returns
    -------
    tuple of two ndarray, shape (worlds,)
        Days and money.
    """
    wait = drawer.pert(SPARE, "days to organise", ORGANISE_DAYS)
    late = np.maximum(0.0, wait - settled.removal_days)
    if case.terms.late_fine_per_day is not None:
        return wait, late * float(case.terms.late_fine_per_day)
    if case.terms.removal_days is None:
        return wait, np.zeros(drawer.worlds)
    return wait, late * Lines(case, None, kind, drawer).money("E14")
