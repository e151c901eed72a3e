"""What a move needs beyond the usual, by the cost lines that pay for it."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.known import Doubt
from retrue.cases.reckon.method import method, values_of
from retrue.cases.reckon.prefill import prefilled
from retrue.cases.reckon.reckoning import Needed, Reckoning
from retrue.records.facts import Machine
from retrue.records.moving import Planned

PAYING = ("door", "supply")  # calculators whose needs cost money


def plan_doubts(planned: Planned) -> Iterator[Doubt]:
    """What is wrong with a calculator as it was filled in.

    Parameters
    ----------
    planned : Planned

    Yields
    ------
    Doubt

    Examples
    --------
    >>> typed = Planned(lot="14", machine="mill", method="lift", values=(("mass_kg", "4 hours"),))
    >>> [(one.field, one.what) for one in plan_doubts(typed)]
    [('values', 'mass_kg h measures time, not mass')]
    """
    try:
        values_of(method(planned.method), dict(planned.values))
    except Unknown as wrong:
        yield Doubt("method", wrong.reason, wrong.remedy)
    except Unusable as wrong:
        for problem in wrong.problems:
            what = say("{field} {what}", field=problem.where, what=problem.what)
            yield Doubt("values", what, problem.remedy)


def reckoned(case: LotCase, machine: Machine, id: str) -> Reckoning | None:
    """One calculator with what the case knows.

    Parameters
    ----------
    case : LotCase
    machine : Machine
    id : str
        Of the calculator.

    Returns
    -------
    Reckoning or None
        None where something that is known cannot be read (a plate in words).
    """
    one = method(id)
    plates = [plate for plate in case.plates if plate.machine == machine.name]
    planned = [plan for plan in case.planned if plan.machine == machine.name]
    known = prefilled(one, machine, plates, case.shop, planned)
    typed = {field: filled.value for field, filled in known.items()}
    try:
        return one.reckon(values_of(one, typed))
    except Unusable as wrong:
        readable = {k: v for k, v in typed.items() if k not in {p.where for p in wrong.problems}}
    try:
        return one.reckon(values_of(one, readable))
    except Unusable:
        return None


def needed_costs(case: LotCase, machine: Machine) -> tuple[str, ...]:
    """The cost lines that a move of this machine needs, each once.

    Parameters
    ----------
    case : LotCase
    machine : Machine

    Returns
    -------
    tuple of str
        Ids of the kind's cost table, sorted: a door too low, a transformer, a converter.

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> mill = Machine(lot="14", name="mill", kind="vertical_machining_centre", height_mm=2900.0)
    >>> low = Shop(door_height_mm=2600.0, supply_phases=1)
    >>> case = LotCase(shop=low, lot=Lot(name="14"), terms=Terms(lot="14"), machines=(mill,))
    >>> needed_costs(case, mill)
    ('E29', 'E42')
    """
    return tuple(sorted({need.cost for need in needed(case, machine) if need.cost}))


def needed(case: LotCase, machine: Machine) -> tuple[Needed, ...]:
    """What a move of this machine needs beyond the usual.

    Parameters
    ----------
    case : LotCase
    machine : Machine

    Returns
    -------
    tuple of Needed
        From the door and the supply, as far as they are known.
    """
    made = [reckoned(case, machine, id) for id in PAYING]
    return tuple(need for one in made if one is not None for need in one.needs)
