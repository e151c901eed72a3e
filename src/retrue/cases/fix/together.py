"""While you're in there: what to renew now that a place stands open, and what keeping it costs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import uniforms
from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.belief.network import Impossible
from retrue.belief.worlds import draw
from retrue.cases.alternatives import ages
from retrue.cases.assume import AGE_YEARS
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import contradiction, evidence
from retrue.cases.find.costs import Purse
from retrue.cases.find.standing import behind
from retrue.cases.fix.ageing_parts import AgeingPart, ageing_parts, ageing_places, parts_here
from retrue.cases.fix.choice_lines import RenewRow, Together
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.reopening import openings
from retrue.cases.fix.together_words import how_sure, told, why
from retrue.cases.fix.which import machine_kept, prices_of
from retrue.cases.known import nearest
from retrue.cases.network import build
from retrue.cases.strip.cautions import general, of_place
from retrue.choose.together import Opening, Parts, Renewed, cheapest
from retrue.kinds.fixing import Renewal
from retrue.kinds.library import Kind
from retrue.science.ageing import renewing

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_YEARS = 50.0


@dataclass(frozen=True, slots=True, eq=False)
class _Weighed:
    """Parts and openings, with what was chosen of them."""

    parts: tuple[AgeingPart, ...]
    openings: tuple[Opening, ...]
    best: Renewed
    alone: Renewed  # without what the owner fixed


def together(
    kept: FixKept,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    place: str,
    years: float,
    on: date,
    seed: int = 7,
    worlds: int = 2000,
) -> Together:
    """What to renew of a place and of all that stands open with it.

    Parameters
    ----------
    kept : FixKept
        Everything of the lot.
    machine : str
        Its key or name.
    kinds : mapping of kind id to Kind
    place : str
        Id of the place that stands open.
    years : float
        How far ahead.
    on : date
        Today.
    seed, worlds : int
        Of the draws of past lives and, where nobody said it, of the machine's age.

    Returns
    -------
    Together

    Raises
    ------
    Unknown
        No such machine, or it has no such place.
    Unusable
        Years that are none; or what was answered contradicts itself.

    References
    ----------
    Weibull lives conditional on the age; joint renewal with shared set-ups, see
    :func:`retrue.choose.together.cheapest`.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre", age_years=20)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> found = together(fix_of_case(case, load()), "A", load(), place="cabinet", years=5,
    ...                  on=date(2026, 11, 26), worlds=200)
    >>> found.cost <= min(found.cost_none, found.cost_all)
    True
    """
    here = machine_kept(kept, machine)
    _check(here.kind, place, years)
    chain = behind(here.kind, place)
    working, failed = parts_here(here, chain)
    _, money = prices_of(kept, here)
    lives, age = _worlds(kept, here, kinds, seed, worlds)
    parts = ageing_parts(
        kept, here, working, purse=money, years=years, on=on, machine_age=age, lives=lives
    )
    weighed = _weigh(kept, here.kind, money, chain, parts, worlds)
    reopening = float(sum(one.cost.mean() for one in weighed.openings))
    currency = kept.case.shop.currency
    return Together(
        machine_name=here.name,
        place=place,
        place_name=here.kind.places[place].name,
        years=years,
        rows=tuple(
            _row(weighed, at, here, years, currency)
            for at in np.argsort(~weighed.best.renew, kind="stable")
        ),
        cost=weighed.best.cost,
        cost_none=weighed.best.cost_none,
        cost_all=weighed.best.cost_all,
        reopening=reopening,
        exact=weighed.best.exact,
        currency=currency,
        words=told(weighed.parts, weighed.best, years, currency),
        sure=weighed.best.sure,
        how_sure=how_sure(weighed.best),
        owner_costs=max(0.0, weighed.best.cost - weighed.alone.cost),
        cautions=tuple(dict.fromkeys((*general(here.kind), *_cautions(here.kind, chain)))),
        assumed=_assumed(here, failed),
    )


def _check(kind: Kind, place: str, years: float) -> None:
    if place not in kind.places:
        raise Unknown(
            say("{name} has no place {place}", name=kind.name, place=place),
            remedy=nearest(place, kind.places)
            or say(
                "Places with parts that age: {places}.",
                places=", ".join(map(str, ageing_places(kind))),
            ),
        )
    if not 0 < years <= MOST_YEARS or not math.isfinite(years):
        raise Unusable(
            say("{years} years cannot be looked ahead", years=short(years)),
            remedy=say("Say over zero and up to {most}.", most=short(MOST_YEARS)),
            problems=(Problem("years", say("{years} years", years=short(years))),),
        )


def _cautions(kind: Kind, chain: Sequence[str]) -> list[str]:
    return [caution for place in chain for caution in of_place(kind, place)]


def _worlds(
    kept: FixKept, here: MachineKept, kinds: Mapping[str, Kind], seed: int, worlds: int
) -> tuple[dict[str, Bools], Floats]:
    """Past lives and the age of a machine in every world, as the price draws them."""
    built = build(kept.case, kinds)
    found, _ = evidence(kept.case, built)
    lot = kept.case.lot.name
    chances = uniforms(seed, lot, "belief", worlds=worlds, columns=len(built.network.names))
    try:
        states = built.there_now(draw(built.network, found, chances).states)
    except Impossible:
        raise contradiction() from None
    lives = {life: states[at] for (name, life), at in built.histories.items() if name == here.name}
    age = np.rint(ages(here.machine, Drawer(seed, lot, worlds)))
    said = here.machine.age_years
    return lives, age if said is None else np.full(worlds, float(said))


def _weigh(
    kept: FixKept,
    kind: Kind,
    money: Purse,
    chain: Sequence[str],
    parts: tuple[AgeingPart, ...],
    worlds: int,
) -> _Weighed:
    opened = openings(kept, kind, money, chain, [one.renewal.place for one in parts], worlds)
    numbers = Parts(
        money=np.array([one.now for one in parts]),
        failing=np.array([one.failing for one in parts]),
        kept=np.array([one.kept for one in parts]).reshape(len(parts), worlds),
        new=np.array([one.new for one in parts]).reshape(len(parts), worlds),
        weight=np.full(worlds, 1.0 / worlds),
    )
    alone = cheapest(numbers, opened)
    fixed = [one.fixed for one in parts]
    said = any(one is not None for one in fixed)
    return _Weighed(parts, opened, cheapest(numbers, opened, fixed=fixed) if said else alone, alone)


def _row(weighed: _Weighed, at: int, here: MachineKept, years: float, currency: str) -> RenewRow:
    part, best = weighed.parts[at], weighed.best
    renew, by_owner = bool(best.renew[at]), part.fixed is not None
    opening = sum(float(one.cost.mean()) for one in weighed.openings if one.parts[at])
    renewal = part.renewal
    age = part.own_age_years
    alone = renewing(
        renewal.shape, float(part.life_years.mean()), max(part.now, 1e-9), part.failing + opening
    )
    return RenewRow(
        id=renewal.id,
        name=renewal.name,
        place=renewal.place,
        renew=renew,
        risk=float(part.kept.mean()),
        age_years=here.machine.age_years if age is None else age,
        money=part.money,
        hours=part.hours,
        if_kept=float(best.if_kept[at]),
        if_renewed=float(best.if_renewed[at]),
        renew_at_years=alone.age,
        why=why(part, best, at, years, currency, against=bool(weighed.alone.renew[at]) != renew),
        by_owner=by_owner,
        mark=renewal.mark,
    )


def _assumed(here: MachineKept, failed: Sequence[Renewal]) -> tuple[str, ...]:
    lines = [
        say("Weighed for parts that work now, each failing at most once, used one shift a day."),
        say("A part of which nobody said when it was renewed is taken as old as the machine."),
    ]
    if here.machine.age_years is None:
        low, _, high = AGE_YEARS
        said = {"low": number(low), "high": number(high)}
        lines.append(
            say("Nobody said how old the machine is: {low} to {high} years are taken.", **said)
        )
    lines += [
        say("{name}: its fault is there already, and has a card of its own.", name=one.name)
        for one in failed
    ]
    return tuple(lines)
