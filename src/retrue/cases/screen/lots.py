"""What a line says becomes a lot that can be priced, or stays a line with the reason. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, cast

from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.screen.cells import MOST_OF_A_LOT
from retrue.cases.screen.kind_words import Sense
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.rows import Row
from retrue.cases.screen.terms import About, Sale
from retrue.kinds.library import Kind
from retrue.records.facts import Lot, Machine, Terms

LONGEST_NAME = 60  # characters of a machine's name, cut at a word
OF_A_MACHINE = ("age_years", "mass_kg", "new_price", "load_kg", "taper", "bar_mm", "speed_rpm",
                "tolerance_mm", "width_mm", "height_mm")  # fmt: skip
WIDE = ("age_years", "mass_kg", "new_price", "travel_mm")
WIDE_TERMS = ("asking", "premium", "tax_reclaimable", "distance_km", "removal_days")


@dataclass(frozen=True, slots=True, kw_only=True)
class Of:
    """What the lots of one catalogue have in common.

    Attributes
    ----------
    about : About
    kinds : mapping of str to Kind
    currency : str
        Of lines that name none.
    sale : str
        Of lines that say nothing else.
    """

    about: About
    kinds: Mapping[str, Kind]
    currency: str
    sale: Sale


def lot_of(row: Row, number: str, title: str, of: Of) -> ListedLot:
    """One line as a lot.

    Parameters
    ----------
    row : Row
    number : str
        No other lot has it.
    title : str
    of : Of

    Returns
    -------
    ListedLot
    """
    senses = _senses(row)
    why = _why_not(row, senses, of)
    case = None if why else _case(row, number, title, senses, of)
    kinds = tuple(one.kind for one in case.machines) if case is not None else ()
    return ListedLot(
        number=number,
        line=row.line.number,
        title=title,
        case=case,
        why=why,
        kinds=kinds,
        stand_in=case is not None and any(one.sure == "stand_in" for one in senses),
        said=tuple(row.said),
        gaps=_gaps(case) if case is not None else (),
    )


def currency_of(row: Row, of: Of) -> str:
    """The currency of a line.

    Parameters
    ----------
    row : Row
    of : Of

    Returns
    -------
    str
    """
    named = [money.currency for money in row.money.values() if money.currency]
    return row.values.get("currency") or next(iter(named), of.currency)


def _senses(row: Row) -> tuple[Sense, ...]:
    """Of each machine: several of one sort, or one of each."""
    count = row.values.get("count", 1)
    told = row.told.senses
    return told * count if len(told) == 1 and count <= MOST_OF_A_LOT else told


def _why_not(row: Row, senses: Sequence[Sense], of: Of) -> str:
    """Why a line cannot be priced; empty where it can."""
    if row.gone:
        return say("no longer for sale: {words}", words=row.gone)
    if not senses:
        return say("nothing says what it is")
    if not row.told.is_machine:
        words = {"thing": say("no machine: {what}", what=say(senses[0].what))}
        other = say("{what}: no type of machine here is like it", what=say(senses[0].what))
        return words.get(senses[0].sure, other)
    if row.values.get("count", 1) > MOST_OF_A_LOT:
        return say("{count} machines in one lot", count=row.values["count"])
    lacking = next((one.kind for one in senses if one.kind not in of.kinds), "")
    return say("the type {kind} is not loaded", kind=lacking) if lacking else ""


def _case(row: Row, number: str, title: str, senses: Sequence[Sense], of: Of) -> LotCase:
    about, currency = of.about, currency_of(row, of)
    foreign = currency != about.shop.currency
    lot = Lot(
        name=number,
        currency=currency,
        rate=about.rates.get(currency) if foreign else None,
        seller=row.values.get("seller", "seller"),
        listing=_listing(row),
    )
    kinds = {one.kind for one in senses}
    return LotCase(
        shop=about.shop,
        lot=lot,
        terms=_terms(row, number, senses, of),
        machines=_machines(row, number, title, senses),
        needs=tuple(one for one in about.needs if one.kind in kinds),
        alternatives=tuple(one for one in about.alternatives if one.kind in kinds),
    )


def _listing(row: Row) -> str:
    return "\n".join(
        dict.fromkeys(f"{one.heading}: {one.text}" if one.heading else one.text for one in row.said)
    )


def _machines(row: Row, number: str, title: str, senses: Sequence[Sense]) -> tuple[Machine, ...]:
    values = {name: row.values[name] for name in OF_A_MACHINE if name in row.values}
    travel = _travel(row, senses[0].kind)
    if len(set(senses)) > 1:  # what is said of the lot is said of no machine alone
        values = {name: values[name] for name in ("age_years",) if name in values}
        travel = ()
    name = _short(title)
    return tuple(
        Machine(
            lot=number,
            name=name if len(senses) == 1 else f"{name} ({at})",
            kind=sense.kind,
            travel_mm=travel,
            **values,
        )
        for at, sense in enumerate(senses, 1)
    )


def _short(title: str) -> str:
    if len(title) <= LONGEST_NAME:
        return title
    cut = title[:LONGEST_NAME].rsplit(" ", 1)[0]
    return cut.rstrip(" ,;.-(") or title[:LONGEST_NAME]


def _travel(row: Row, kind: str) -> tuple[float, ...]:
    values = row.values
    if "travel_mm" in values:
        return cast(tuple[float, ...], values["travel_mm"])
    axes = ("diameter", "length") if kind == "turning_centre" else ("x", "y", "z")
    found = [values.get(axis) for axis in axes]
    if kind == "turning_centre" and found[0] is None:
        found = [values.get(axis) for axis in ("x", "z")]
    return tuple(found) if all(one is not None for one in found) else ()


def _terms(row: Row, number: str, senses: Sequence[Sense], of: Of) -> Terms:
    about, values = of.about, row.values
    asking, start, bid = (_amount(row, role, len(senses)) for role in ("asking", "start", "bid"))
    given: dict[str, Any] = {
        name: values.get(name, getattr(about, name))
        for name in ("premium", "tax_rate", "tax_scheme", "distance_km")
    }
    sale = about.sale or ("offer" if _offers(row) else of.sale)
    return Terms(
        lot=number,
        sale=sale,
        asking=asking,
        bid_now=bid if bid is not None else start,
        bid_step=values.get("step"),
        tax_reclaimable=about.tax_reclaimable,
        removal_days=about.removal_days,
        removal_by=values.get("removal_by"),
        closes_at=about.closes_at,
        loader_fee=values.get("loader_fee"),
        **given,
    )


def _offers(row: Row) -> bool:
    return any(money.offer for money in row.money.values())


def _amount(row: Row, role: str, machines: int) -> Decimal | None:
    money = row.money.get(role)
    if money is None:
        return None
    return money.value * machines if money.each else money.value


def _gaps(case: LotCase) -> tuple[str, ...]:
    terms = case.terms
    machine = [name for name in WIDE if any(not getattr(one, name) for one in case.machines)]
    asked = {"asking": terms.asking if terms.asking is not None else terms.bid_now}
    sale = [name for name in WIDE_TERMS if asked.get(name, getattr(terms, name)) is None]
    return (*machine, *sale)
