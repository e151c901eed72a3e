"""One lot of a catalogue, priced as any lot is, and what going for it may bring."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.refusals import Refusal
from retrue.base.say import ENGLISH, say, speaking
from retrue.cases.case import LotCase
from retrue.cases.machines import band
from retrue.cases.need import cannot_serve, fits
from retrue.cases.pricing import why_nothing
from retrue.cases.screen.like_drawer import Blocks, like_drawer
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.parts import Part, PartDone
from retrue.cases.screen.price_seen import Sale
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.tenths import error_of, tenths_of
from retrue.cases.screen.widen import tables_end, view_of
from retrue.cases.sheet import Band
from retrue.cases.view import View
from retrue.choose.walkaway import sorry_chance
from retrue.kinds.library import Kind

Floats = NDArray[np.float64]

FLOOR = "E31"  # the line of the tables that says what floor a machine takes
NO_DAYS = Band(p10=0.0, p50=0.0, p90=0.0)


def score_part(part: Part, kinds: Mapping[str, Kind]) -> PartDone:
    """Score every lot of a part; the same lots give the same rows wherever it is done.

    Its words are English, whoever works on it: they are turned when they are shown.

    Parameters
    ----------
    part : Part
    kinds : mapping of kind id to Kind

    Returns
    -------
    PartDone

    Examples
    --------
    >>> score_part(Part(number=3, lots=(), seed=7, worlds=2000), {})
    PartDone(number=3, rows=())
    """
    with speaking(ENGLISH):
        blocks: Blocks = {}
        rows = tuple(
            score(one, kinds, seed=part.seed, worlds=part.worlds, blocks=blocks)
            for one in part.lots
        )
    return PartDone(number=part.number, rows=rows)


def score(
    listed: ListedLot,
    kinds: Mapping[str, Kind],
    *,
    seed: int,
    worlds: int,
    blocks: Blocks | None = None,
) -> ScreenedLot:
    """Price one line of a catalogue, and say what bidding up to that price may bring.

    Parameters
    ----------
    listed : ListedLot
    kinds : mapping of kind id to Kind
    seed, worlds : int
        Of the sum; lots of which the same is said have the same rows.
    blocks : dict or None
        What was drawn for other lots of the same sum.

    Returns
    -------
    ScreenedLot
        Without a price, and with the reason, where there is nothing to price or it cannot be.

    Notes
    -----
    Gain is the mean over all worlds, nothing where the lot is lost to others; money at risk and own
    hours are means over the worlds in which it is won. Their ratio therefore falls with the chance
    of winning: a call about a lot that goes to others is a call for nothing.

    References
    ----------
    Price: `cases.pricing.price`. Gain of a bid over rivals: `cases.screen.price_seen.Sale`. Its
    error: `cases.screen.tenths.tenths_of`.

    Examples
    --------
    >>> cabinet = ListedLot(number="7", line=8, title="cabinet", case=None, why="is no machine",
    ...     kinds=(), stand_in=False, said=(), gaps=())
    >>> score(cabinet, {}, seed=7, worlds=2000).why
    'is no machine'
    """
    case = listed.case
    if case is None:
        return unpriced(listed, listed.why)
    if not case.machines:
        return unpriced(listed, say("the lot has no machine"))
    if all(cannot_serve(fits(case, machine)) for machine in case.machines):
        return unpriced(listed, say("no machine of the lot fits the work it must do"))
    try:
        drawer = like_drawer(case, seed, worlds, blocks)
        view = view_of(case, kinds, drawer, stand_in=listed.stand_in)
    except Refusal as refusal:
        return unpriced(listed, refusal.reason)
    return _priced(listed, case, view)


def unpriced(listed: ListedLot, why: str) -> ScreenedLot:
    """The row of a lot that has no price.

    Parameters
    ----------
    listed : ListedLot
    why : str

    Returns
    -------
    ScreenedLot
    """
    return ScreenedLot(
        number=listed.number,
        line=listed.line,
        title=listed.title,
        kinds=listed.kinds,
        stand_in=listed.stand_in,
        why=why,
        walk_away=None,
        currency="" if listed.case is None else listed.case.lot.currency,
        option="",
        pays=0.0,
        wins=0.0,
        gain=0.0,
        at_risk=0.0,
        hours=0.0,
        gain_per_risk=0.0,
        gain_per_hour=None,
        floor_m2=0.0,
        days=NO_DAYS,
        sorry=0.0,
        error=0.0,
        ask=(),
        assumed=(),
        wrong=listed.wrong,
    )


def _priced(listed: ListedLot, case: LotCase, view: View) -> ScreenedLot:
    settled, price, sale = view.settled, view.price, Sale(view, case)
    tries = sale.up_to(price.amount)
    tenths = tenths_of(view, sale) if price.amount > 0 else ()
    wins = float(tries.wins.mean())
    paid = tries.paid * settled.k  # in the lot's currency
    gains = (view.gains[view.best] * tries.wins - paid) * settled.exchange
    spent = view.option.money * tries.wins + paid * settled.exchange
    gain, at_risk = float(gains.mean()), _where_won(spent, wins)
    hours = _where_won(own_hours(view) * tries.wins, wins)
    return replace(
        unpriced(listed, why_nothing(view)),
        walk_away=price.amount,
        option=view.option.id,
        pays=_where_won(tries.paid, wins),
        wins=wins,
        gain=gain,
        at_risk=at_risk,
        hours=hours,
        gain_per_risk=gain / at_risk if at_risk > 0 else 0.0,
        gain_per_hour=gain / hours if hours > 0 else None,
        floor_m2=_floor(view),
        days=band(ready_days(view)),
        sorry=sorry_chance(view.gains[view.best], price.amount, k=settled.k),
        error=error_of(tenths) if tenths else 0.0,
        tenths=tenths,
        assumed=assumed(listed, case, view),
    )


def _where_won(values: Floats, wins: float) -> float:
    """Mean over the worlds in which it is won, given what each world adds to it."""
    return float(values.mean()) / wins if wins > 0 else 0.0


def own_hours(view: View) -> Floats:
    """Own hours that the option which carries most takes.

    Parameters
    ----------
    view : View

    Returns
    -------
    ndarray, shape (worlds,)
    """
    shared, outcomes = view.chooser.shared, view.option.outcomes
    hours = shared.hours + sum(outcome.hours for outcome in outcomes)
    if any(outcome.plan.works for outcome in outcomes):
        hours = hours + shared.running_hours
    return np.asarray(hours)


def ready_days(view: View) -> Floats:
    """Days until the first good part; where nothing stays, until the last of it is sold.

    Parameters
    ----------
    view : View

    Returns
    -------
    ndarray, shape (worlds,)
    """
    outcomes = view.option.outcomes
    keeping = [outcome.days for outcome in outcomes if outcome.plan.keeps]
    return np.asarray(np.max(keeping or [outcome.days for outcome in outcomes], axis=0))


def _floor(view: View) -> float:
    """Floor of all machines, as a mean, m2."""
    rows = [
        one.kind.costs[FLOOR].amount for one in view.chooser.prospects if FLOOR in one.kind.costs
    ]
    return sum((row.low + 4.0 * row.likely + row.high) / 6.0 for row in rows)


def assumed(listed: ListedLot, case: LotCase, view: View) -> tuple[str, ...]:
    """What nobody said of this lot and is taken wide; `cases.screen.of_all` has what holds for all.

    Parameters
    ----------
    listed : ListedLot
    case : LotCase
    view : View

    Returns
    -------
    tuple of str
    """
    return tuple(_assumed(listed, case, view.stage.built.kinds))


def _assumed(listed: ListedLot, case: LotCase, kinds: Mapping[str, Kind]) -> Iterator[str]:
    if listed.stand_in:
        names = ", ".join(dict.fromkeys(kind.name for kind in kinds.values()))
        yield say("its type is not known here: taken as {kind}, widely", kind=names)
    for machine in case.machines:
        end = tables_end(kinds[machine.name])
        if machine.age_years is None:
            yield say("age of {name}", name=machine.name)
        elif machine.age_years > end:
            yield say(
                "its age: {name} is {age} years old, and what is known here of its type ends at "
                "{end}: taken widely",
                name=machine.name,
                age=number(machine.age_years),
                end=number(end),
            )
    if case.terms.asking is None and case.terms.bid_now is None:
        yield say("asking price or bid")
