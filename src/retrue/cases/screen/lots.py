"""What lines say becomes a lot that can be priced, or stays a line with the reason. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar, cast

from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.screen.amounts import amounts_of, currency_of
from retrue.cases.screen.cells import MOST_OF_A_LOT
from retrue.cases.screen.kind_words import Sense
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.row import Row, shown
from retrue.cases.screen.said_wrong import wrong_words
from retrue.cases.screen.terms import Of
from retrue.records.checking import problems_of
from retrue.records.facts import Lot, Machine, Terms

F = TypeVar("F", Lot, Machine, Terms)

LONGEST_NAME = 44  # characters of a machine's name, cut at a word
_PIECE = re.compile(r"[,;(|\n]|\s[-\u2013/]\s")
OF_A_MACHINE = ("age_years", "mass_kg", "load_kg", "taper", "bar_mm", "speed_rpm", "tolerance_mm",
                "width_mm", "height_mm")  # fmt: skip
WIDE = ("age_years", "mass_kg", "new_price", "travel_mm")
WIDE_TERMS = ("premium", "tax_reclaimable", "distance_km", "removal_days")


def lot_of(rows: Sequence[Row], number: str, title: str, of: Of) -> ListedLot:
    """Lines that are one lot.

    Parameters
    ----------
    rows : sequence of Row
        One; several where the cell of their number is one.
    number : str
        No other lot has it.
    title : str
    of : Of

    Returns
    -------
    ListedLot

    Examples
    --------
    >>> from retrue.cases.screen.terms import About
    >>> from retrue.cases.settle.bring_sheet import Line
    >>> from retrue.records.facts import Shop
    >>> of = Of(about=About(shop=Shop(), year=2026), kinds={}, currency="EUR", guessed=True,
    ...         sale="ascending")
    >>> lot = lot_of([Row(line=Line(2, ("diverse",)))], "line 2", "diverse", of)
    >>> lot.case, lot.why
    (None, 'nothing says what it is')
    """
    first = rows[0]
    for row in rows:
        _say_count(row)
    senses = [(row, sense) for row in rows for sense in _senses(row)]
    machines = [pair for pair in senses if pair[1].sure in PRICED]
    why = _why_not(rows, of)
    case = None if why else _case(rows, number, machines, of)
    return ListedLot(
        number=number,
        line=first.line.number,
        title=title,
        case=case,
        why=why,
        kinds=tuple(one.kind for one in case.machines) if case is not None else (),
        stand_in=case is not None and any(sense.sure == "stand_in" for _, sense in machines),
        said=tuple(one for row in rows for one in row.said),
        gaps=tuple(_gaps(case)) if case is not None else (),
        wrong=wrong_words(cell for row in rows for cell in row.line.cells),
    )


PRICED = frozenset({"known", "likely", "stand_in"})


def _senses(row: Row) -> tuple[Sense, ...]:
    """Of each machine of a line: several of one sort, or one of each."""
    count: int = row.values.get("count", 1)
    told = row.told.senses
    if len(told) == 1 and row.told.is_machine:
        return told * min(count, MOST_OF_A_LOT)
    return told


def _say_count(row: Row) -> None:
    """Several sorts, and a number that is not theirs: one of each is taken, and it is told."""
    kinds, count = len(row.told.senses), row.values.get("count", 1)
    if kinds > 1 and count not in (1, kinds):
        why = say("it says {count}, and names {kinds} sorts: one of each", count=count, kinds=kinds)
        row.tell("count", str(kinds), "", "", why)


def _why_not(rows: Sequence[Row], of: Of) -> str:
    """Why lines cannot be priced; empty where they can."""
    gone = next((row.gone for row in rows if row.gone), "")
    if gone:
        return say("no longer for sale: {words}", words=gone)
    told = [row for row in rows if row.told.senses]
    if not told:
        return say("nothing says what it is")
    machines = [row for row in told if row.told.is_machine]
    if not machines:
        sense = told[0].told.senses[0]
        if sense.sure == "thing":
            return say("no machine: {what}", what=sense.what)
        return say("{what}: no type of machine here is like it", what=sense.what)
    count = sum(row.values.get("count", 1) for row in machines)
    if count > MOST_OF_A_LOT:
        return say("{count} machines in one lot are not priced", count=count)
    kinds = [one.kind for row in machines for one in row.told.senses]
    lacking = next((kind for kind in kinds if kind not in of.kinds), "")
    return say("the type {kind} is not loaded", kind=lacking) if lacking else ""


def _case(rows: Sequence[Row], number: str, senses: Sequence[tuple[Row, Sense]], of: Of) -> LotCase:
    about, currency = of.about, currency_of(rows, of)
    foreign = currency != about.shop.currency
    money = amounts_of(rows, of)
    machines = tuple(
        _checked(machine, rows[0]) for machine in _machines(number, senses, money.get("new_price"))
    )
    lot = Lot(
        name=number,
        currency=currency,
        rate=about.rates.get(currency) if foreign else None,
        seller=_first(rows, "seller") or "seller",
        listing="\n".join(_listing(rows)),
    )
    kinds = {one.kind for one in machines}
    return LotCase(
        shop=about.shop,
        lot=_checked(lot, rows[0]),
        terms=_checked(_terms(rows, number, money, of), rows[0]),
        machines=machines,
        needs=tuple(one for one in about.needs if one.kind in kinds),
        alternatives=tuple(one for one in about.alternatives if one.kind in kinds),
    )


def _first(rows: Sequence[Row], field: str) -> Any:
    return next((row.values[field] for row in rows if field in row.values), None)


def _listing(rows: Sequence[Row]) -> Iterator[str]:
    """Every cell once, with its heading."""
    for row in rows:
        told = (f"{one.heading}: {one.text}" if one.heading else one.text for one in row.said)
        yield from dict.fromkeys(one for one in told if one)


def _machines(
    number: str, senses: Sequence[tuple[Row, Sense]], new_price: Decimal | None
) -> Iterator[Machine]:
    taken: set[str] = set()
    for row, sense in senses:
        mixed = len(set(row.told.senses)) > 1  # what is said of several is said of none alone
        names = ("age_years",) if mixed else OF_A_MACHINE
        values = {name: row.values[name] for name in names if name in row.values}
        name, count = _short(row.values["called"]), 1
        while (called := name if count == 1 else f"{name} ({count})") in taken:
            count += 1
        taken.add(called)
        yield Machine(
            lot=number,
            name=called,
            kind=sense.kind,
            new_price=None if mixed else new_price,
            travel_mm=() if mixed else _travel(row, sense.kind),
            **values,
        )


def _short(title: str) -> str:
    """The first piece of a title that says something: what one calls the machine."""
    piece = next((one.strip() for one in _PIECE.split(title) if len(one.strip()) > 2), title)
    if len(piece) <= LONGEST_NAME:
        return piece
    cut = piece[:LONGEST_NAME].rsplit(" ", 1)[0].rstrip(" ,;.-(")
    return cut or piece[:LONGEST_NAME]


def _travel(row: Row, kind: str) -> tuple[float, ...]:
    """X, Y, Z; of a lathe its diameter and length."""
    values = row.values
    if "travel_mm" in values:
        return cast(tuple[float, ...], values["travel_mm"])
    rows = (("diameter", "length"), ("x", "z")) if kind == "turning_centre" else (("x", "y", "z"),)
    for axes in rows:
        if all(axis in values for axis in axes):
            return tuple(values[axis] for axis in axes)
    return ()


def _terms(rows: Sequence[Row], number: str, money: Mapping[str, Decimal], of: Of) -> Terms:
    about = of.about
    given = {
        name: told if (told := _first(rows, name)) is not None else getattr(about, name)
        for name in ("premium", "tax_rate", "tax_scheme", "distance_km", "closes_at")
    }
    sale = _sale(rows, of)
    own = _first(rows, "removal_by")
    until = own or about.removal_by
    days = about.removal_days
    if own is not None and given["closes_at"] is not None:
        days = None  # the lot's own day stands before the days of the sale
    return Terms(
        lot=number,
        sale=sale,
        asking=_asking(rows, money, sale),
        bid_now=money.get("bid"),
        bid_step=money.get("step") or None,
        tax_reclaimable=about.tax_reclaimable,
        removal_days=_removal_days(until, given["closes_at"], days),
        removal_by=until,
        loader_fee=money.get("loader_fee"),
        **given,
    )


def _removal_days(until: str | None, closes_at: Any, typed: float | None) -> float | None:
    """Days from the hammer until it must be gone: as typed, else from when the lot closes."""
    if typed is not None or until is None or closes_at is None:
        return typed
    closes = datetime.fromisoformat(closes_at).date()
    return float(max((date.fromisoformat(until) - closes).days, 0))


def _asking(rows: Sequence[Row], money: Mapping[str, Decimal], sale: str) -> Decimal | None:
    """What is asked; where others bid up, the lowest first bid: nobody has bid that yet."""
    asked, start = money.get("asking"), money.get("start")
    if sale != "ascending" or start is None:
        return start if asked is None else asked
    if asked not in (None, start):
        why = say("bids begin at {start}: what is asked beside it is not used", start=shown(start))
        rows[0].tell("asking", shown(start), "", "", why)
    return start


def _sale(rows: Sequence[Row], of: Of) -> Any:
    """As the owner says; else an offer where the price says that one may be made; else as all."""
    if of.about.sale is not None:
        return of.about.sale
    told = [money for row in rows for money in row.money.values()]
    if any(money.offer for money in told):
        return "offer"
    return "fixed_price" if any(money.fixed for money in told) else of.sale


def _checked(fact: F, row: Row) -> F:
    """A fact without the values that cannot be; each is told."""
    defaults: dict[str, Any] = {field.name: field.default for field in fields(fact)}
    for problem in tuple(problems_of(fact)):
        value = getattr(fact, problem.where)
        row.leave(shown(value), "", f"{problem.where} {problem.what}")
        fact = replace(fact, **{problem.where: defaults[problem.where]})
    return fact


def _gaps(case: LotCase) -> Iterator[str]:
    """Fields that nobody said, of the machines and of the sale."""
    for name in WIDE:
        if any(not getattr(one, name) for one in case.machines):
            yield name
    terms = case.terms
    if terms.asking is None and terms.bid_now is None:
        yield "asking"
    yield from (name for name in WIDE_TERMS if getattr(terms, name) is None)
