"""The parts of an open place that age: which are there, how old, how likely each fails."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from retrue.cases.alternatives import DAYS_A_YEAR
from retrue.cases.find.costs import Purse, mean
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.kinds.fixing import Renewal
from retrue.kinds.library import Kind
from retrue.records.seeking import Act
from retrue.science.ageing import chance_of_failing

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

RENEW = "renew:"  # key of its line and its card, before its id
NEW = "replace"  # the way that makes a part new
TURNED = ("done", "open_again")  # marks that say whether a card is done


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AgeingPart:
    """One part that could be renewed.

    Attributes
    ----------
    own_age_years : float or None
        Since it was renewed; None: it is as old as the machine.
    money, hours : float
        Of renewing it with the place open, expected or as the owner typed them.
    now : float
        Both together, own hours at their rate.
    failing : float
        What its failing costs without the opening: renewing it, the days it is waited for, and
        what breaks beside.
    life_years : ndarray, shape (worlds,)
        Characteristic life, past lives counted.
    kept, new : ndarray, shape (worlds,)
        Chance that it fails within the years asked for.
    fixed : bool or None
        As the owner chose; None: nothing was chosen.
    """

    renewal: Renewal
    own_age_years: float | None
    money: float
    hours: float
    now: float
    failing: float
    life_years: Floats
    kept: Floats
    new: Floats
    fixed: bool | None = None


def ageing_places(kind: Kind) -> tuple[str, ...]:
    """Places of a kind that have parts that age, in the order of its places.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    tuple of str
        Ids.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> ageing_places(load()["surface_grinder"])
    ('cabinet', 'panel', 'spindle_motor', 'tank')
    """
    with_parts = {one.place for one in kind.renewals.values()}
    return tuple(place for place in kind.places if place in with_parts)


def parts_here(
    machine: MachineKept, places: Sequence[str]
) -> tuple[tuple[Renewal, ...], tuple[Renewal, ...]]:
    """Parts of these places that age: those that work, and those whose fault is there already.

    Parameters
    ----------
    machine : MachineKept
    places : sequence of str
        Ids of places that stand open together.

    Returns
    -------
    tuple of Renewal, tuple of Renewal
        What is not fitted drops out of both.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre", not_fitted=("F34",))
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> working, failed = parts_here(fix_of_case(case, load()).machines[0], ["lube_unit"])
    >>> [part.id for part in working], failed
    (['lube_pump', 'lube_switch'], ())
    """
    gone = set(machine.machine.not_fitted)
    bad = machine.state.present
    here = [
        one
        for one in machine.kind.renewals.values()
        if one.place in places and not (one.faults and set(one.faults) <= gone)
    ]
    failed = tuple(one for one in here if set(one.faults) & bad)
    return tuple(one for one in here if one not in failed), failed


def ageing_parts(
    kept: FixKept,
    machine: MachineKept,
    renewals: Iterable[Renewal],
    *,
    purse: Purse,
    years: float,
    on: date,
    machine_age: Floats,
    lives: Mapping[str, Bools],
) -> tuple[AgeingPart, ...]:
    """Weigh each part in every world.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept
    renewals : iterable of Renewal
    purse : Purse
    years : float
        Ahead.
    on : date
        Today.
    machine_age : ndarray, shape (worlds,)
        Years.
    lives : mapping of past life to ndarray of bool, shape (worlds,)

    Returns
    -------
    tuple of AgeingPart
    """
    fixed = {
        one.what: one.yes
        for one in kept.case.chosen
        if one.sort == "renew" and one.machine == machine.name
        if not (one.yes and _renewed_on(machine, one.what))  # what was chosen is done by now
    }
    return tuple(
        _weighed(
            renewal,
            machine,
            purse,
            years,
            machine_age if own is None else np.full(machine_age.shape, own),
            own,
            lives,
            fixed.get(renewal.id),
        )
        for renewal, own in ((one, _own_age(one, kept, machine, on)) for one in renewals)
    )


def _weighed(
    renewal: Renewal,
    machine: MachineKept,
    purse: Purse,
    years: float,
    age: Floats,
    own_age: float | None,
    lives: Mapping[str, Bools],
    fixed: bool | None,
) -> AgeingPart:
    life = np.full(age.shape, renewal.life_years)
    for past, times in renewal.raisers.items():
        if past in lives:
            life = np.where(lives[past], life / times, life)
    line = purse.lines.get(f"{RENEW}{renewal.id}")
    money = float(line.amount) if line else mean(renewal.money)
    hours = line.hours if line and line.hours is not None else mean(renewal.hours)
    now = purse.spent(money, hours).cost
    breaks = mean(renewal.failing_money) if renewal.failing_money else 0.0
    return AgeingPart(
        renewal=renewal,
        own_age_years=own_age,
        money=money,
        hours=hours,
        now=now,
        failing=now + breaks + purse.spent(days=_waiting_days(renewal, machine)).cost,
        life_years=life,
        kept=chance_of_failing(age, years, renewal.shape, life),
        new=chance_of_failing(0.0, years, renewal.shape, life),
        fixed=fixed,
    )


def _waiting_days(renewal: Renewal, machine: MachineKept) -> float:
    """How long a new one is waited for when it fails unexpectedly."""
    days = [
        fix.lead_days
        for fault in renewal.faults
        for fix in machine.kind.fixes.get(fault, ())
        if fix.way == NEW
    ]
    return max(days, default=0.0)


def _renewed_on(machine: MachineKept, renewal: str) -> str:
    """The day its card was done; empty: it is open, or there is none."""
    marks = [m for m in machine.marks if m.fact.card == f"{RENEW}{renewal}"]
    done = [m.fact for m in sorted(marks, key=lambda m: m.seq) if m.fact.how in TURNED]
    return done[-1].marked_on if done and done[-1].how == "done" else ""


def _own_age(renewal: Renewal, kept: FixKept, machine: MachineKept, on: date) -> float | None:
    """Years since it was renewed, by its card or by an act that put a new one in."""
    days = [
        day
        for one in kept.case.happened
        if isinstance(one.event, Act)
        and one.event.machine == machine.name
        and one.event.fault in renewal.faults
        and NEW in (one.event.way, one.event.sort)
        for day in (one.on or on.isoformat(),)
    ]
    renewed = _renewed_on(machine, renewal.id)
    if renewed:
        days.append(renewed)
    if not days:
        return None
    return max(0.0, (on - date.fromisoformat(max(days))).days / DAYS_A_YEAR)
