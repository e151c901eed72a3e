"""What a machine or a lot cost, beside what was expected; the dear part is remembered."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TypeVar

import msgspec

from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.books.rates import Rates
from retrue.cases.case import LotCase
from retrue.cases.fix.agreed_kept import agreed_of
from retrue.cases.kept_case import kept_case
from retrue.cases.known import kind_doubt, nearest
from retrue.cases.settle.book_file import read_book
from retrue.cases.settle.cost import Seen, cost_of
from retrue.cases.settle.cost_kept import (
    arrived_in,
    case_then,
    dated_of,
    known_of,
    plan_days,
    plan_of_shop,
)
from retrue.cases.settle.cost_lines import CostView
from retrue.cases.settle.cost_still import Known, Still, still_of
from retrue.cases.settle.forecast import Forecast, forecast_of
from retrue.cases.settle.hour_lines import HoursRow
from retrue.cases.settle.kept import BookKept, LotHere, MachineHere, stood_when_won
from retrue.cases.settle.laid_out import sold_on
from retrue.cases.settle.ledger import book_of
from retrue.cases.settle.lines import Book, BookLine
from retrue.cases.sheet_json import case_key, dumps, from_json
from retrue.cases.spot import find, find_lot, first_id
from retrue.kinds.library import Kind
from retrue.phases.settle.book import book
from retrue.phases.settle.hours import told_hours
from retrue.records.facts import Frozen, Machine, Outcome
from retrue.records.moving import Arrived
from retrue.records.settling import CaseClosed, DayRate
from retrue.records.shop import Record, RecordShop

SEED = 7
WORLDS = 2000
M = TypeVar("M", Forecast, Still)
Sums = tuple[int, int]  # seed, worlds


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot as it is kept.

    Attributes
    ----------
    case : LotCase
        With the machines whose type is known.
    names, others : mapping of key to name
        Of those, and of the rest.
    frozen, won : Record or None
        The number that stood when it was won, and the outcome.
    """

    id: str
    name: str
    case: LotCase
    names: Mapping[str, str]
    others: Mapping[str, str]
    frozen: Record[Frozen] | None
    won: Record[Outcome] | None


def cost(
    shop: RecordShop,
    lot: str,
    machine: str | None,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> CostView:
    """What a lot cost, or one machine of it, beside what was expected.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    machine : str or None
        Name or key; None: the whole lot.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    seed, worlds : int
        Of what is still to come, and of a forecast that nobody froze.

    Returns
    -------
    CostView

    Raises
    ------
    Unknown
        No such lot or machine, or its type of machine is not in the library.
    """
    here = _lot(shop, lot, kinds, on)
    key = None if machine is None else _key(shop, here, machine, kinds)
    return cost_of(_seen(shop, here, kinds, on, (seed, worlds)), key)


def cost_file(
    case: LotCase,
    content: bytes | None,
    name: str,
    machine: str | None,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> CostView:
    """The same of a lot that stands in a file, with a book that stands in another.

    Parameters
    ----------
    case : LotCase
    content : bytes or None
        A table of lines as the book writes it; None: nothing was paid yet.
    name : str
        Of that file, for refusals.
    machine : str or None
        By name; None: the whole lot.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    seed, worlds : int
        Of the sums.

    Returns
    -------
    CostView

    Raises
    ------
    Unreadable, Unusable
        The table is none, or a row of it cannot be.
    Unknown
        The lot has no such machine.
    """
    money = file_book(case, content, name, on)
    names = {one.name: one.name for one in case.machines}
    if machine is not None and machine not in names:
        raise Unknown(
            say("the lot has no machine {name}", name=machine), remedy=nearest(machine, names)
        )
    told = _sure(lambda then: forecast_of(
        then, kinds, sheet=None, hammer=_asked(case), seed=seed, worlds=worlds),
        replace(case, happened=(), chosen=()))  # fmt: skip
    sold = _sold(money.lines, names)
    known = known_of(money.lines, names, (), [names[key] for key in sold])
    return cost_of(Seen(
        lot=case.lot.name, lot_name=case.lot.name, currency=case.shop.currency, on=on, keys=names,
        kinds={one.name: kinds[one.kind] for one in case.machines}, lines=money.lines,
        forecast=told, sold_on=sold,
        still=_sure(lambda now: still_of(now, kinds, known, seed=seed, worlds=worlds), case),
        missing_rates=money.missing_rates,
    ), machine)  # fmt: skip


def file_book(case: LotCase, content: bytes | None, name: str, on: date) -> Book:
    """The lines of a table, shared out over the machines of a case.

    Parameters
    ----------
    case : LotCase
    content : bytes or None
        A table of lines as the book writes it; None: it has none.
    name : str
        Of the file, for refusals.
    on : date
        Today.

    Returns
    -------
    Book

    Raises
    ------
    Unreadable, Unusable
        The table is none, or a row of it cannot be.
    """
    kept = BookKept(shop=case.shop)
    if content is not None:
        kept = read_book(content, name, currency=case.shop.currency, on=on).kept
    lot = case.lot.name
    mine = {
        one.name: MachineHere(key=one.name, name=one.name, lot=lot, mass_kg=one.mass_kg)
        for one in case.machines
    }
    return book_of(replace(
        kept,
        shop=case.shop,
        lots=dict(kept.lots) | {lot: LotHere(id=lot, name=lot)},
        machines=dict(kept.machines) | mine,
    ), on=on)  # fmt: skip


def _seen(shop: RecordShop, here: Lot, kinds: Mapping[str, Kind], on: date, sums: Sums) -> Seen:
    """Everything it is told from."""
    money, told = book(shop, on=on, lot=here.id), told_hours(shop, on=on)
    came = arrived_in(shop.current(Arrived, lot=here.id), here.names)
    then = _forecast(shop, here, kinds, sums)
    sold = _sold(money.lines, here.names)
    over = [*arrived_in(shop.current(CaseClosed, lot=here.id), here.names),
            *(here.names[key] for key in sold)]  # fmt: skip
    known, plan = known_of(money.lines, here.names, came, over), plan_of_shop(shop)
    rows = [row for row in told.rows if row.lot == here.id]
    agreed = agreed_of(shop, here.id, here.case, kinds, on=on)
    return Seen(
        lot=here.id, lot_name=here.name, currency=here.case.shop.currency, on=on,
        keys={name: key for key, name in here.names.items()}, others=tuple(here.others),
        kinds={one.name: kinds[one.kind] for one in here.case.machines},
        forecast=then, sold_on=sold,
        still=_still(shop, agreed.case, kinds, known, sums), lines=money.lines,
        hours=_hours(rows, here.others), hours_note=told.note,
        hours_by_card=sum(row.hours for row in rows if row.how == "card"),
        open_evenings=len(told.guesses), frozen_on=_day(here.frozen), begun_on=_won(here.won),
        plan_days=plan_days(plan), dated=dated_of(plan, agreed, known, here.names, on=on),
        missing_rates=money.missing_rates, assumed=tuple(_others(here)),
    )  # fmt: skip


def _lot(shop: RecordShop, lot: str, kinds: Mapping[str, Kind], on: date) -> Lot:
    home, name = find_lot(shop, lot)
    case = with_kept_rate(shop, kept_case(shop, home), on)
    keys = {first_id(shop, one): one.fact for one in shop.current(Machine, lot=home)}
    frozen, won = shop.current(Frozen, lot=home), shop.current(Outcome, lot=home)
    first = shop.history(won[-1].id)[0].seq if won else None
    return Lot(
        id=home,
        name=name,
        case=replace(case, machines=tuple(one for one in case.machines if one.kind in kinds)),
        names={key: one.name for key, one in keys.items() if one.kind in kinds},
        others={key: one.name for key, one in keys.items() if one.kind not in kinds},
        frozen=stood_when_won(shop, frozen[-1], first) if frozen else None,
        won=won[-1] if won else None,
    )


def with_kept_rate(shop: RecordShop, case: LotCase, on: date) -> LotCase:
    """A case whose lot has no rate of its own, with the one that is kept; the book takes it too."""
    lot, home = case.lot, case.shop.currency
    if lot.rate is not None or lot.currency == home:
        return case
    kept = ((one.fact.currency, one.fact.rate_on, one.fact.rate) for one in shop.current(DayRate))
    found = Rates(home, kept).on(lot.currency, on.isoformat())
    if found is None:
        return case
    return replace(case, lot=replace(lot, rate=found.rate, rate_on=found.day))


def _key(shop: RecordShop, here: Lot, machine: str, kinds: Mapping[str, Kind]) -> str:
    """The key of a machine; Unknown where the lot or the library does not have it."""
    spot = find(shop, here.id, machine, kinds)
    if spot.kind is None:
        doubt = kind_doubt("kind", shop.history(spot.machine)[-1].fact.kind, kinds)
        raise Unknown(doubt.what, remedy=doubt.remedy)
    return spot.machine


def _forecast(shop: RecordShop, here: Lot, kinds: Mapping[str, Kind], sums: Sums) -> Forecast:
    """What was expected; remembered by all it depends on."""
    stands = here.frozen or here.won
    case = case_then(shop, here.id, here.case, stands.seq if stands else None, here.names)
    fact = here.frozen.fact if here.frozen else None

    def made(then: LotCase) -> Forecast:
        return forecast_of(
            then, kinds, sheet=from_json(fact.sheet) if fact else None,
            hammer=float(fact.hammer) if fact else _asked(then), others=others, seed=sums[0],
            worlds=sums[1],
        )  # fmt: skip

    others = tuple(here.others.values())
    told = (case_key(case, kinds, *sums), here.frozen.sha256 if here.frozen else "", others)
    return _remembered(shop, "settle forecast 2", told, Forecast, made, case)


def _asked(case: LotCase) -> float | None:
    """The price that stands where nobody froze one: asked, else bid; in the lot's currency."""
    terms = case.terms
    asked = terms.asking if terms.asking is not None else terms.bid_now
    return None if asked is None else float(asked)


def _sold(lines: Iterable[BookLine], keys: Iterable[str]) -> dict[str, str]:
    """The day of each machine that is sold: nothing of it is to come."""
    every = tuple(lines)
    days = {key: sold_on(every, key) for key in keys}
    return {key: day for key, day in days.items() if day}


def _still(
    shop: RecordShop, case: LotCase, kinds: Mapping[str, Kind], known: Known, sums: Sums
) -> Still:
    """What is to come; remembered by all it depends on."""

    def made(now: LotCase) -> Still:
        return still_of(now, kinds, known, seed=sums[0], worlds=sums[1])

    paid = [sorted(map(repr, one.items())) for one in (known.once, known.sums)]
    paid += [sorted(known.arrived), sorted(known.closed)]
    return _remembered(
        shop, "settle still", (case_key(case, kinds, *sums), paid), Still, made, case
    )


def _remembered(
    shop: RecordShop,
    name: str,
    told: object,
    sort: type[M],
    make: Callable[[LotCase], M],
    case: LotCase,
) -> M:
    """The sum as it was remembered, or made anew."""
    key = f"{name} {hashlib.sha256(dumps({'told': told}).encode()).hexdigest()}"
    kept = shop.recall(key)
    if kept is not None:
        return msgspec.json.decode(kept, type=sort)
    made: M = _sure(make, case)
    shop.remember(key, msgspec.json.encode(made, enc_hook=str))
    return made


def _sure(make: Callable[[LotCase], M], case: LotCase) -> M:
    """A sum although what was answered contradicts itself: without the answers, and said so."""
    try:
        return make(case)
    except Unusable:
        bare: M = make(replace(case, findings=(), happened=()))
    why = say("What was answered contradicts itself: the tables alone are asked.")
    return replace(bare, assumed=(*bare.assumed, why))


def _hours(rows: Iterable[HoursRow], others: Mapping[str, str]) -> dict[str, float]:
    """Own hours of a lot by key; of no machine, or one of an unknown type, under none."""
    made: dict[str, float] = {}
    for row in rows:
        key = "" if row.machine in others else row.machine
        made[key] = made.get(key, 0.0) + row.hours
    return made


def _others(here: Lot) -> Iterable[str]:
    for name in here.others.values():
        yield say("{name}: its type of machine is not known here, so nothing was expected of it.",
                  name=name)  # fmt: skip


def _day(record: Record[Frozen] | None) -> str:
    return f"{record.observed_at:%Y-%m-%d}" if record is not None else ""


def _won(record: Record[Outcome] | None) -> str:
    """The day on which the lot was won."""
    if record is None or record.fact.result != "won":
        return ""
    return f"{record.observed_at:%Y-%m-%d}"
