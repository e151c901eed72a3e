"""The purchase list of what is worked for; as a table out, and in again with a look before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, Unpack

from retrue.base.refusals import Overtaken, Unusable
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.fix.buying import Lists, buying_of
from retrue.cases.fix.buying_lines import Buying
from retrue.cases.fix.buying_read import read_buying as read_table
from retrue.cases.fix.buying_table import table_rows
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.kept import FixKept, fix_kept, fix_of_case, outs_of
from retrue.cases.fix.known_lines import kinds_of, known_lines
from retrue.cases.fix.needed import needed
from retrue.cases.fix.preview import Preview, ToKeep
from retrue.cases.fix.quotes import change_of
from retrue.cases.fix.table_kept import Held, LotKept, TableKept
from retrue.cases.kept_case import kept_case
from retrue.cases.known import cost_lines
from retrue.cases.prove.table import MOST_NAMED
from retrue.cases.scope import paid_by_unit
from retrue.cases.spot import find_lot, first_id
from retrue.kinds.library import Kind
from retrue.phases.fix.here import lots_worked, stood
from retrue.phases.fix.out_amending import sent_before
from retrue.phases.fix.owned import worked_on
from retrue.phases.fix.waiting import days_planned
from retrue.records.facts import CostLine, Machine
from retrue.records.fixing import Out, Quoted, Stock
from retrue.records.hand import Hand, numbered
from retrue.records.shop import Record, RecordShop

Begins = Mapping[tuple[str, str], str]


def buying(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    lots: Sequence[str] | None = None,
    begins: Begins | None = None,
) -> Buying:
    """The purchase list, late ones first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    lots : sequence of str or None
        Names or ids; None: all that were not lost or walked away from.
    begins : mapping of (machine, card) to str or None
        Days on which cards begin; None: by the plan that is kept, where there is one.

    Returns
    -------
    Buying

    Raises
    ------
    Unknown
        No such lot.
    Unusable
        What was answered of a lot contradicts itself.
    """
    homes = worked_on(shop) if lots is None else [find_lot(shop, one)[0] for one in lots]
    kept = [fix_kept(shop, one, kinds, on=on) for one in homes]
    planned = days_planned(shop).begins if begins is None else begins
    return buying_of([_lists(one, kinds, on, planned) for one in kept], on=on)


def buying_file(case: LotCase, kinds: Mapping[str, Kind], *, on: date) -> Buying:
    """The purchase list of a lot from a file: nothing was quoted, ordered or put on a shelf.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.

    Returns
    -------
    Buying
    """
    return buying_of([_lists(fix_of_case(case, kinds), kinds, on, {})], on=on)


def _lists(kept: FixKept, kinds: Mapping[str, Kind], on: date, begins: Begins) -> Lists:
    mine = [one for one in kept.machines if one.worked_for]
    if not mine:
        return Lists(kept=kept)
    belief, stage = stood(kept, kinds)
    cards = [cards_of(kept, needed(kept, one, belief, stage), on) for one in mine]
    return Lists(kept=kept, cards=cards, begins=begins)


def table_kept(shop: RecordShop, kinds: Mapping[str, Kind]) -> TableKept:
    """What a purchase table compares itself with: every lot, the shelf.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    TableKept
    """
    return TableKept(
        lots=[_lot_kept(shop, home, kinds) for home in lots_worked(shop)],
        stock=[_held(shop, one) for one in shop.current(Stock)],
    )


def _lot_kept(shop: RecordShop, home: str, kinds: Mapping[str, Kind]) -> LotKept:
    machines = {first_id(shop, one): one.fact for one in shop.current(Machine, lot=home)}
    mine = kinds_of(machines.values(), kinds)
    lines = {key: known_lines(kinds_of([one], kinds)) for key, one in machines.items()}
    over = {one.first.id for one in outs_of(shop, home) if one.ended is not None}
    held = [
        _held(shop, record, over)
        for kind in (Quoted, CostLine, Out)
        for record in shop.current(kind, lot=home)
    ]
    return LotKept(
        id=home,
        name=find_lot(shop, home)[1],
        machines={key: one.name for key, one in machines.items()},
        lines={**lines, "": known_lines(mine)},
        priced=frozenset(cost_lines(mine)),
        by_unit=frozenset(
            line for one in mine for line in known_lines([one]) if paid_by_unit(one, line)
        ),
        change=change_of(kept_case(shop, home)),
        held=tuple(held),
    )


def _held(shop: RecordShop, record: Record[Any], over: set[str] | None = None) -> Held:
    versions = tuple(shop.history(record.id)) if record.replaces else (record,)
    return Held(versions, over=bool(over and versions[0].id in over))


def buying_table(shop: RecordShop, view: Buying, kinds: Mapping[str, Kind]) -> list[list[Any]]:
    """The purchase list as rows for CSV or XLSX, the heading first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    view : Buying
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    list of list
        The columns of :data:`retrue.cases.fix.buying_table.COLUMNS`.
    """
    return table_rows(view, table_kept(shop, kinds))


def read_buying(
    shop: RecordShop, content: bytes, name: str, kinds: Mapping[str, Kind], *, on: date
) -> Preview:
    """Look at a purchase table before anything of it is kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    content : bytes
        CSV; a spreadsheet is made that first.
    name : str
        Of the file, for refusals.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.

    Returns
    -------
    Preview
        Row by row what is new, changed, as it stands, or not understood.

    Raises
    ------
    Unreadable, Unusable
        It is no table at all.
    """
    return read_table(content, name, table_kept(shop, kinds), on=on)


def keep_buying(
    shop: RecordShop, preview: Preview, *, good_rows: bool = False, **hand: Unpack[Hand]
) -> tuple[Record[Any], ...]:
    """Keep what a purchase table tells.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    preview : Preview
        As it was looked at.
    good_rows : bool
        Keep what was understood although something was not.
    **hand : Hand
        Who keeps it; with an ``id`` they become id, id.2, id.3 ...

    Returns
    -------
    tuple of Record
        What was kept; the same table again keeps nothing.

    Raises
    ------
    Unusable
        A row was not understood, and the good ones alone were not asked for; nothing is kept.
    Overtaken
        Something was changed since it was looked at.
    """
    if preview.problems and not good_rows:
        raise Unusable(
            say("{count} rows of {name} were not understood, so none was kept",
                count=preview.count("refused"), name=preview.name),
            remedy=say("Correct the cells that are named, or keep the good rows alone."),
            problems=preview.problems[:MOST_NAMED],
        )  # fmt: skip
    keeps = [one for row in preview.rows for one in row.keeps]
    for place, one in enumerate(keeps):
        _refuse_stale(shop, one, numbered(hand, place))
    return tuple(_keep_rows(shop, preview, hand))


def _refuse_stale(shop: RecordShop, one: ToKeep, hand: Hand) -> None:
    """Before anything is kept: what was changed since the table was looked at."""
    fact: Any = one.fact
    if one.replaces is None or sent_before(shop, fact, hand) is not None:
        return
    newest = shop.history(one.replaces)[-1]
    if newest.id != one.replaces:
        raise Overtaken(
            say("{by} changed it since it was looked at", by=newest.by),
            remedy=say("Nothing was kept. Look at the table again."),
        )


def _keep_rows(shop: RecordShop, preview: Preview, hand: Hand) -> Iterator[Record[Any]]:
    place = 0
    for row in preview.rows:
        quote: Record[Any] | None = None
        for one in row.keeps:
            record, kept = _keep(shop, _linked(shop, one, quote), numbered(hand, place))
            place += 1
            quote = record if isinstance(one.fact, Quoted) else quote
            if kept:
                yield record


def _linked(shop: RecordShop, one: ToKeep, quote: Record[Any] | None) -> ToKeep:
    """An order with the quote it takes: that of its row, else the one kept before."""
    fact = one.fact
    if not one.takes or not isinstance(fact, Out):
        return one
    if quote is None:
        same = {"lot": fact.lot, "machine": fact.machine, "line": fact.line}
        mine = shop.current(Quoted, **same, vendor=fact.whom)
        quote = mine[-1] if mine else None
    if quote is None:
        return one
    return replace(one, fact=replace(fact, quote=first_id(shop, quote)))


def _keep(shop: RecordShop, one: ToKeep, hand: Hand) -> tuple[Record[Any], bool]:
    """Keep one fact; what stands already is given back, and is not kept again."""
    fact: Any = one.fact
    if (sent := sent_before(shop, fact, hand)) is not None:
        return sent, False
    if one.replaces is None:
        where = {} if isinstance(fact, Stock) else {"lot": fact.lot}
        same = [record for record in shop.current(type(fact), **where) if record.fact == fact]
        if same:
            return same[-1], False
    return shop.add(fact, replaces=one.replaces, **hand), True
