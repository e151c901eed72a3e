"""The surplus one: what to ask, take, let it go for; offers and what to answer; the sale itself."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, replace
from datetime import date
from typing import Any, Unpack

import msgspec

from retrue import __version__
from retrue.base.refusals import Problem, Unknown
from retrue.base.say import reader, say, spelled
from retrue.cases.case import LotCase
from retrue.cases.fix.agreed_kept import agreed_of
from retrue.cases.fix.scene import scene_of
from retrue.cases.known import kind_doubt, nearest
from retrue.cases.settle.condition import condition
from retrue.cases.settle.condition_kept import record_kept
from retrue.cases.settle.sale_answers import answers
from retrue.cases.settle.sale_behind import behind
from retrue.cases.settle.sale_figures import sale_figures
from retrue.cases.settle.sale_kept import SaleKept, sale_kept, stops_of_kind
from retrue.cases.settle.sale_lines import Sale
from retrue.cases.settle.sale_stops import stops_kept
from retrue.cases.settle.sale_text import listing_text
from retrue.cases.settle.surplus_view import Asked, sale_of
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.phases.settle.keeping import put, refuse
from retrue.phases.settle.may_sell import open_stops, refuse_open, refuse_sold, sold_words
from retrue.phases.settle.may_sell import spot_of as spot_of  # from here as well
from retrue.records.hand import Hand
from retrue.records.moving import Arrived
from retrue.records.settling import ForSale, RecordGiven, RunFigure
from retrue.records.shop import Record, RecordShop

SEED, WORLDS = 7, 2000


def sale(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    by: date | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Sale:
    """Everything of the sale of one machine of the shop; worked out once for the same state.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    by : date or None
        The day by which it must be gone; None: as it is listed, else in a year.
    seed, worlds : int
        Of the draws.

    Returns
    -------
    Sale

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        The day is past; what was answered contradicts itself.
    """
    spot, kind = spot_of(shop, lot, machine, kinds)
    refuse_past(by, on)
    kept = sale_kept(shop, spot.lot, spot.machine)
    here = record_kept(shop, spot, kind)
    given = shop.current(RecordGiven, lot=spot.lot, machine=spot.machine)
    listing = kept.listing.fact if kept.listing else None
    asked = Asked(on=on, by=by, listing=listing, heard=kept.heard(on), stops=stops_kept(here),
                  done=behind(here, given))  # fmt: skip
    made = _made(shop, spot, here.power.case, kinds, asked, kept, (seed, worlds))
    made = replace(made, kept=kept.listing, sold=sold_words(kept))
    return replace(made, offers=answers(made, kept))


def _of(kinds: Mapping[str, Kind], word: str) -> Kind:
    """A kind; Unknown where the library does not have it."""
    if word in kinds:
        return kinds[word]
    doubt = kind_doubt("kind", word, kinds)
    raise Unknown(doubt.what, remedy=doubt.remedy)


def _made(
    shop: RecordShop,
    spot: Spot,
    plain: LotCase,
    kinds: Mapping[str, Kind],
    asked: Asked,
    kept: SaleKept,
    draws: tuple[int, int],
) -> Sale:
    """Worked out, or remembered from the same findings, figures, offers and day."""
    told = agreed_of(shop, spot.lot, plain, kinds, on=asked.on)
    arrived = bool(shop.current(Arrived, lot=spot.lot, machine=spot.machine))
    hashes = [_of(kinds, one.kind).hash for one in told.case.machines]
    key = "settle sale 9 " + _hash(
        told.case,
        hashes,
        draws,
        __version__,
        reader(),
        spot.name,
        arrived,
        kept.figures,
        asked._replace(done=frozenset()),
        sorted(asked.done),
    )
    known = shop.recall(key)
    if known is not None:
        return msgspec.convert(json.loads(known), Sale)
    made = _fresh(told.case, spot.name, kinds, asked, arrived, draws, kept.figures,
                  (spot.lot, spot.machine))  # fmt: skip
    shop.remember(key, json.dumps(spelled(asdict(made))).encode())
    return made


def _fresh(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    asked: Asked,
    arrived: bool,
    draws: tuple[int, int],
    figures: tuple[RunFigure, ...] = (),
    ids: tuple[str, str] = ("", ""),
) -> Sale:
    seed, worlds = draws
    scene = scene_of(case, machine, kinds, arrived=arrived, seed=seed, worlds=worlds)
    said = next(one for one in case.machines if one.name == machine)
    return sale_of(scene, sale_figures(said, scene.kind, figures), asked, ids)


def sale_case(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    by: date | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Sale:
    """The same for a lot that stands in a file.

    Parameters
    ----------
    case : LotCase
    machine : str
        Its name.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    by : date or None
        The day by which it must be gone; None: in a year.
    seed, worlds : int
        Of the draws.

    Returns
    -------
    Sale

    Raises
    ------
    Unknown
        The lot has no such machine.
    Unusable
        The day is past.
    """
    refuse_past(by, on)
    of = {one.name: one for one in case.machines}
    if machine not in of:
        raise Unknown(
            say("the lot has no machine {name}", name=machine), remedy=nearest(machine, of)
        )
    asked = Asked(on=on, by=by, stops=stops_of_kind(kinds[of[machine].kind], (), ()))
    return _fresh(case, machine, kinds, asked, False, (seed, worlds))


def put_up(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    listing: ForSale,
    *,
    on: date,
    **hand: Unpack[Hand],
) -> Record[ForSale]:
    """List a machine: in what state, what is asked, taken, let go for. The newest counts.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    listing : ForSale
        Its lot and machine are not read; without a day it is listed since it first was.
    on : date
        Today.
    **hand : Hand
        Who lists it.

    Returns
    -------
    Record of ForSale

    Raises
    ------
    Unknown
        No such lot or machine.
    NotYet
        Stop items or guards are open and it is not listed for parts or repair; or it is sold.
    Unusable
        A sum that cannot be; a day that is past.
    """
    spot, kind = spot_of(shop, lot, machine, kinds)
    kept = sale_kept(shop, spot.lot, spot.machine)
    fact = _dated(replace(listing, lot=spot.lot, machine=spot.machine), kept, on)
    refuse(_listing_problems(fact, kept, on))
    refuse_sold(kept)
    refuse_open(open_stops(shop, spot, kind, fact.sold_as), fact.sold_as)
    return put(shop, fact, kept.listing, hand)


def _dated(fact: ForSale, kept: SaleKept, on: date) -> ForSale:
    """Listed since the day that was said, else since it was first listed, else since today."""
    if fact.listed_on:
        return fact
    before = kept.listing.fact.listed_on if kept.listing else ""
    return replace(fact, listed_on=before or on.isoformat())


def _listing_problems(fact: ForSale, kept: SaleKept, on: date) -> list[Problem]:
    problems = []
    if fact.currency != kept.currency:
        remedy = say("List it in {currency}; an offer may come in any.", currency=kept.currency)
        problems.append(Problem("currency", say("is not the shop's"), remedy))
    if fact.dump_on is not None and fact.dump_on <= on.isoformat():
        remedy = say("Name a day to come.")
        problems.append(Problem("dump_on", say("is {day}, and past", day=fact.dump_on), remedy))
    if fact.listed_on > on.isoformat():
        remedy = say("Write the day on which it was listed.")
        problems.append(Problem("listed_on", say("is still to come"), remedy))
    return problems


def set_sale_figure(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    figure: RunFigure,
    **hand: Unpack[Hand],
) -> Record[RunFigure]:
    """Put your own figure in place of one from memory, with the reason.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    figure : RunFigure
        Its lot and machine are not read.
    **hand : Hand
        Who says so.

    Returns
    -------
    Record of RunFigure

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        No such figure, or low, likely and high do not rise.
    """
    spot, _ = spot_of(shop, lot, machine, kinds)
    fact = replace(figure, lot=spot.lot, machine=spot.machine)
    old = shop.current(RunFigure, lot=spot.lot, machine=spot.machine, item=fact.item)
    return put(shop, fact, old[-1] if old else None, hand)


def sale_text(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    language: str = "en",
    by: str = "",
) -> str:
    """The listing in plain words: what the condition record states, and nothing more.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    on : date
        Today.
    language : str
        en, nl, fr, de: of the sentences around.
    by : str
        Whose text.

    Returns
    -------
    str

    Raises
    ------
    Unknown
        No such lot, machine or language.
    """
    spot, kind = spot_of(shop, lot, machine, kinds)
    listing = sale_kept(shop, spot.lot, spot.machine).listing
    here = record_kept(shop, spot, kind)
    sold_as = listing.fact.sold_as if listing else "as_found"
    if stops_kept(here, sold_as):
        sold_as = "parts"
    made = condition(here, on=on, sold_as=sold_as, by=by)
    ask = None if listing is None else float(listing.fact.ask)
    return listing_text(made, ask, listing.fact.currency if listing else "EUR", language=language)


def refuse_past(by: date | None, on: date) -> None:
    """Unusable where the day by which it must be gone is not to come."""
    if by is not None and by <= on:
        what = say("is {day}, and past", day=by.isoformat())
        refuse((Problem("by_on", what, say("Name a day to come.")),))


def _hash(*told: Any) -> str:
    return hashlib.sha256(msgspec.json.encode(told, enc_hook=str)).hexdigest()
