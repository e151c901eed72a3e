"""The sale of one machine put together: every state, what each deed adds, the line, what to do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from retrue.base.say import say
from retrue.cases.fix.scene import Scene
from retrue.cases.machines import band
from retrue.cases.options import alike
from retrue.cases.plans import AS_FOUND, KEEP, PARTS_HOURS, PARTS_SHARE, Plan
from retrue.cases.settle.sale_behind import from_behind
from retrue.cases.settle.sale_figures import SaleFigures
from retrue.cases.settle.sale_lines import (
    DonorLine,
    LinePoint,
    MonthCost,
    Sale,
    StateRow,
    StopItem,
    TogetherRow,
)
from retrue.cases.settle.surplus import LIKE_NEW, PARTS, PROVEN, RUNNING, STANDS, states_of
from retrue.cases.settle.surplus_adds import (
    add_rows,
    extras_of,
    proof_rows,
    step_rows,
    worth_doing,
)
from retrue.cases.settle.surplus_market import (
    Heard,
    Market,
    listened,
    market_of,
    product,
    scrap_of,
)
from retrue.cases.settle.surplus_net import Net, Priced, by_hour, priced, with_capital
from retrue.cases.settle.surplus_proofs import Extra
from retrue.kinds.library import Three
from retrue.records.settling import ForSale, SoldAs

DAYS_ON_OFFER = 365  # where the owner names no day (judgement, no source)
CAUTIONS = ("X01",)
ASK_STEP, TAKE_STEP = 100.0, 50.0
OF_SOLD_AS: Mapping[SoldAs, str] = {
    "as_found": AS_FOUND, "running": RUNNING, "proven": PROVEN, "parts": AS_FOUND,
}  # fmt: skip


class Asked(NamedTuple):
    """What is asked beside the machine.

    Attributes
    ----------
    on : date
        Today.
    by : date or None
        The day by which it must be gone.
    listing : ForSale or None
        As the owner listed it.
    heard : Heard or None
        Offers that came since.
    stops : tuple of StopItem
        Open stop items.
    done : frozenset of str
        What is behind it: it was powered, ran, has a record, a film.
    """

    on: date
    by: date | None = None
    listing: ForSale | None = None
    heard: Heard | None = None
    stops: tuple[StopItem, ...] = ()
    done: frozenset[str] = frozenset()


def sale_of(
    scene: Scene, figures: SaleFigures, asked: Asked, ids: tuple[str, str] = ("", "")
) -> Sale:
    """Everything of the sale of one machine.

    Parameters
    ----------
    scene : Scene
    figures : SaleFigures
    asked : Asked
    ids : (lot, machine)
        By which records name them; empty: their names.

    Returns
    -------
    Sale
        Without the offers' answers, which read its line.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.scene import scene_of
    >>> from retrue.cases.settle.sale_figures import sale_figures
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> scene = scene_of(case, "mill", load(), worlds=200, arrived=True)
    >>> sale = sale_of(scene, sale_figures(mill, scene.kind), Asked(on=date(2026, 11, 26)))
    >>> sale.state, sale.by_on, [one.id for one in sale.states]
    ('as_found', '2027-11-26', ['as_found', 'running', 'proven', 'parts'])
    >>> sorted(one.id for one in sale.adds if one.sort == "proof")
    ['proof:film', 'proof:record']
    """
    by = asked.by or _dump_day(asked.listing) or asked.on + timedelta(days=DAYS_ON_OFFER)
    until = max(1, (by - asked.on).days)
    scene = from_behind(scene, asked.done)
    proofs = frozenset() if asked.stops else asked.done  # no record stands while something is open
    states, market = states_of(scene, figures, proofs), market_of(scene)
    if asked.stops:
        states.pop(STANDS, None)  # that it ran once sells nothing while something is open
    told = states[_listed(states, asked)]
    market = replace(market, weights=listened(market, told.price, told.days, asked.heard))
    dump = asked.listing.dump if asked.listing else None
    rows = {
        id: priced(
            scene, market, figures, state, until,
            dump=float(dump) if dump is not None and state is told else None,
        )
        for id, state in states.items()
    }  # fmt: skip
    market = with_capital(market, rows[told.id].selling.value)
    target, extras, chosen = _target(scene, market, figures, rows, proofs)
    answered = told.id
    adds = [
        *step_rows(scene, market, rows, target),
        *add_rows(scene, market, extras, chosen, rows[target]),
        *proof_rows(scene, market, figures, rows, target, proofs),
    ]
    return Sale(
        lot=ids[0] or scene.case.lot.name,
        lot_name=scene.case.lot.name,
        machine=ids[1] or scene.name,
        machine_name=scene.name,
        currency=scene.currency,
        on=asked.on.isoformat(),
        state=answered,
        by_on=by.isoformat(),
        states=tuple(_state_rows(scene, market, figures, rows, asked.stops)),
        adds=tuple(sorted(adds, key=lambda one: -one.per_euro)),
        together=_together(scene, market, figures, rows, target, chosen, until),
        month=_month(market, rows[answered]),
        line=_line(asked.on, market, rows[answered]),
        waits=rows[answered].selling.value > rows[answered].selling.last,
        worth_waiting=rows[answered].selling.value - rows[answered].selling.last,
        offers=(),
        stops=asked.stops,
        donor=_donor(scene),
        figures=tuple(figures.rows.values()),
        seed=scene.view.stage.drawer.seed,
        worlds=scene.view.stage.drawer.worlds,
        cautions=_cautions(scene, asked.stops),
    )


def _dump_day(listing: ForSale | None) -> date | None:
    return date.fromisoformat(listing.dump_on) if listing and listing.dump_on else None


def _listed(states: Mapping[str, object], asked: Asked) -> str:
    """The state it is listed in; as found while something is open: it goes in no other.

    One that ran already is not made to run again.
    """
    if asked.stops:
        return AS_FOUND
    if asked.listing is None:
        return STANDS if STANDS in states else AS_FOUND
    wanted = OF_SOLD_AS[asked.listing.sold_as]
    return STANDS if wanted == RUNNING and STANDS in states else wanted


def _target(
    scene: Scene,
    market: Market,
    figures: SaleFigures,
    rows: Mapping[str, Priced],
    done: frozenset[str],
) -> tuple[str, tuple[Extra, ...], tuple[Extra, ...]]:
    """The state that is best with all that pays in it, what may be done in it, and what pays."""
    made = {}
    for id in (STANDS, RUNNING, PROVEN):
        if id in rows:
            extras = extras_of(scene, figures, id, done)
            chosen = worth_doing(scene, market, extras, rows[id])
            net = _with(scene, market, rows[id], chosen)
            made[id] = (net, extras, chosen)
    best = max(made, key=lambda id: made[id][0])
    return best, made[best][1], made[best][2]


def _with(scene: Scene, market: Market, at: Priced, chosen: Sequence[Extra]) -> float:
    """Roughly what a state leaves with its extras: enough to tell which state is best."""
    factor = product([one.share[market.pick] for one in chosen]) - 1.0
    more = market.mean(at.selling.price * factor)
    return at.net.at(scene.rate) + more - sum(one.money + one.hours * scene.rate for one in chosen)


def _together(
    scene: Scene,
    market: Market,
    figures: SaleFigures,
    rows: Mapping[str, Priced],
    target: str,
    chosen: Sequence[Extra],
    until: int,
) -> TogetherRow | None:
    """The state with all that pays in it, as a whole, against selling it as it stands."""
    money, hours = sum(one.money for one in chosen), sum(one.hours for one in chosen)
    quicker = 1.0 - math.prod(1.0 - one.quicker for one in chosen)
    whole = priced(
        scene, market, figures, rows[target].state, until,
        factor=product([one.share for one in chosen]),
        quicker=quicker,
        more=Net(-money, hours),
    )  # fmt: skip
    stands = rows[STANDS if STANDS in rows else AS_FOUND]
    gain = by_hour(whole.net.less(stands.net), scene)
    return TogetherRow(
        state=target,
        ids=tuple(one.id for one in chosen),
        brings=market.band(whole.selling.price),
        money=whole.money + money,
        hours=whole.hours + hours,
        gain=gain,
        words=_verdict(gain.zero, gain.alternative, gain.full),
    )


def _verdict(zero: float, alternative: float, full: float) -> str:
    if full > 0.0:
        return say("It pays, whatever your hours are worth.")
    if alternative > 0.0:
        return say("It pays while your hours earn no more elsewhere than you said.")
    if zero > 0.0:
        return say("It pays only where your hours cost nothing.")
    return say("It does not pay: sell it as it stands.")


def _state_rows(
    scene: Scene,
    market: Market,
    figures: SaleFigures,
    rows: Mapping[str, Priced],
    stops: Sequence[StopItem],
) -> Iterator[StateRow]:
    over, least = _mean(figures.share("ask_over_share")), figures.share("ask_over_share").low
    for id, one in rows.items():
        if id == LIKE_NEW:
            continue
        price = market.mean(one.selling.price)
        take = _down(float(one.selling.line.take[0]), TAKE_STEP)
        yield StateRow(
            id=id,
            sold_as=one.state.sold_as,
            brings=market.band(one.selling.price),
            money=one.money,
            hours=one.hours,
            ready_days=one.ready_days,
            net=by_hour(one.net, scene),
            ask=math.ceil(max(price * (1.0 + over), take * (1.0 + least)) / ASK_STEP) * ASK_STEP,
            take=take,
            dump=min(take, _down(one.selling.last, TAKE_STEP)),
            days=one.selling.days,
            allowed=one.in_time,
            why_not=_why_not(id, one, stops),
        )
    yield _parts(scene, over)


def _why_not(id: str, one: Priced, stops: Sequence[StopItem]) -> str:
    if not one.in_time:
        return say("It is not in that state by then.")
    known = sum(stop.known for stop in stops)
    if not stops:
        return ""
    if id == AS_FOUND:
        return say("Only for parts or repair, in words: {count} stop items or guards are open.",
                   count=len(stops))  # fmt: skip
    if known:
        return say("Not before {known} stop items that were found are cleared, and {rest} more "
                   "are proved not to be there.", known=known, rest=len(stops) - known)  # fmt: skip
    return say("Not before {count} stop items or guards are proved.", count=len(stops))


def _parts(scene: Scene, over: float) -> StateRow:
    """Taken apart and sold part by part: no market of one price."""
    prospect = scene.prospect
    outcome, drawer = prospect.in_parts, scene.view.stage.drawer
    sound = 1.0 - prospect.workshop.bench.states.mean(axis=0)
    share = drawer.pert(scene.name, "parts share", PARTS_SHARE)
    brings = band(prospect.new * share * sound + scrap_of(scene))
    net = Net(
        float((outcome.gain + outcome.hours * scene.rate).mean()), float(outcome.hours.mean())
    )
    return StateRow(
        id=PARTS,
        sold_as="parts",
        brings=brings,
        money=float(prospect.floor_money.mean()),
        hours=float(drawer.pert(scene.name, "parts hours", PARTS_HOURS).mean()),
        ready_days=0.0,
        net=by_hour(net, scene),
        ask=math.ceil(brings.p50 * (1.0 + over) / ASK_STEP) * ASK_STEP,
        take=_down(brings.p50, TAKE_STEP),
        dump=_down(scrap_of(scene), TAKE_STEP),
        days=None,
    )


def _month(market: Market, at: Priced) -> MonthCost:
    share = (1.0 + market.interest) ** (1.0 / 12.0) - 1.0
    return replace(market.month, capital=max(0.0, at.selling.value) * share)


def _line(on: date, market: Market, at: Priced) -> tuple[LinePoint, ...]:
    """From the day it can be listed to the last one."""
    first = on + timedelta(days=round(at.ready_days))
    unsold = market.weights @ at.selling.line.followed.unsold
    there = (1.0, *unsold[:-1].tolist())
    line = at.selling.line
    days = zip(line.take.tolist(), line.worth.tolist(), there, strict=True)
    return tuple(
        LinePoint(
            on=(first + timedelta(days=day)).isoformat(),
            take=round(take, 2),
            worth=round(worth, 2),
            unsold=round(left, 6),
        )
        for day, (take, worth, left) in enumerate(days)
    )


def _donor(scene: Scene) -> DonorLine | None:
    """What a machine alike that is kept would save if this one is taken apart for it."""
    chooser = scene.view.chooser
    mine = chooser.prospects[scene.index]
    for index, other in enumerate(chooser.prospects):
        if index != scene.index and alike(mine, other):
            work = chooser.work(index, Plan(KEEP, "right"))
            saves = band(chooser.shared.donor_share * work.donated)
            words = say(
                "Taken apart for {keeper} it gives drives and boards: a part in a day in the "
                "place of weeks.", keeper=other.machine.name,
            )  # fmt: skip
            return DonorLine(keeper=other.machine.name, saves=saves, words=words)
    return None


def _cautions(scene: Scene, stops: Sequence[StopItem]) -> tuple[str, ...]:
    known = scene.kind.cautions
    told = [f"{known[id].text} ({known[id].defers_to})" for id in CAUTIONS if id in known]
    told.append(
        say("What a buyer may claim goes by local law, for a trader and for a consumer: a lawyer "
            "first. State only what was seen or measured; promise no fitness.")
    )  # fmt: skip
    if stops:
        told.append(
            say("Stop items or guards are open: sell it only for parts or repair, and say so in "
                "words.")
        )  # fmt: skip
    return tuple(told)


def _mean(three: Three) -> float:
    return (three.low + 4.0 * three.likely + three.high) / 6.0


def _down(value: float, step: float) -> float:
    """Rounded down to what is said across a counter."""
    return math.floor(value / step) * step if value >= 10.0 * step else float(math.floor(value))
