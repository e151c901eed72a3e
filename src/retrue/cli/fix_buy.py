"""What to buy: the list, its table out and in, quotes kept and taken, the shelf."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.fix.buying_json import flat, flat_preview, flat_spoken
from retrue.cases.fix.buying_lines import Buying
from retrue.cases.fix.buying_table import table_rows
from retrue.cases.fix.table_kept import TableKept
from retrue.cases.fix.typed import currency_of
from retrue.cases.lot_file import read_lot
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_buy_lines import buying_lines, preview_lines, spoken_lines, stock_line
from retrue.cli.fix_days import today
from retrue.cli.fix_waiting import ON, kept
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, is_file, json_option, shop_option
from retrue.cli.strip_options import machine_of, machine_option
from retrue.cli.strip_rows import write_tables
from retrue.phases import fix, worth
from retrue.phases.fix.here import lots_worked
from retrue.records.fixing import Stock
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)
LOT = click.option("--lot", metavar="NAME", help="Which lot; else the only one.")
PATH = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@click.option("--write", "to", type=PATH, help="Write the list to this CSV or XLSX.")
@click.option("--read", "source", type=PATH, help="Read a list again, and say what it would do.")
@click.option("--keep", "keeping", is_flag=True, help="With --read: keep it.")
@click.option("--good-rows", is_flag=True, help="With --keep: what was understood alone.")
@click.option("--all", "whole", is_flag=True, help="Every row, not the first few.")
@ON
@json_option
@shop_option
@pass_house
def buy(
    house: House, /, lot: str | None, to: Path | None, source: Path | None, keeping: bool,
    good_rows: bool, whole: bool, on: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """What is to be bought, by when to order it, and the money of each week.

    LOT is a lot in the shop, or a lot file; left out, all lots that are worked on. Money is what
    it comes to on average: an estimate for planning.
    """
    if source is not None:
        _read(house, source, keeping, good_rows, on, as_json, shop)
        return
    view, rows = _listed(house, lot, on, shop)
    if to is not None:
        _write(to, rows)
    if as_json:
        click.echo(dumps(flat(view)))
        return
    put(buying_lines(view, whole=whole))
    if to is not None:
        click.echo(str(to))


def _listed(
    house: House, lot: str | None, on: str | None, shop: str | None
) -> tuple[Buying, list[list[Any]]]:
    kinds, day = house.kinds(), today(house, on)
    if lot is not None and is_file(lot):
        view = fix.buying_file(read_lot(content_of(lot), lot, kinds), kinds, on=day)
        return view, table_rows(view, TableKept())
    with house.open_shop(shop) as opened:
        view = fix.buying(opened, kinds, on=day, lots=None if lot is None else [lot])
        return view, fix.buying_table(opened, view, kinds)


def _write(to: Path, rows: list[list[Any]]) -> None:
    ending = to.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        remedy = say("Name it list.csv or list.xlsx.")
        what = say("{path} is neither CSV nor XLSX", path=to.name)
        raise Unusable(what, remedy=remedy, problems=(Problem("write", what, remedy),))
    write_tables(rows, to if ending == ".csv" else None, to if ending == ".xlsx" else None)


def _read(
    house: House, source: Path, keeping: bool, good_rows: bool, on: str | None, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    content = as_csv(content_of(str(source), say("Check the path of the table.")), source.name)
    with house.open_shop(shop) as opened:
        at = today(house, on)
        preview = fix.read_buying(opened, content, source.name, house.kinds(), on=at)
        done: int | None = None
        if keeping:
            records = fix.keep_buying(opened, preview, good_rows=good_rows, **house.hand)
            done = len(records)
    if as_json:
        click.echo(dumps(flat_preview(preview, done)))
    else:
        put(preview_lines(preview))
        click.echo(say("Kept: {count}", count=done) if keeping else say("Nothing is kept yet."))
    click.get_current_context().exit(2 if preview.problems and not keeping else 0)


@click.command()
@click.argument("words", metavar='"LINE WHO, WHEN, HOW MUCH, HOW LONG"')
@LOT
@machine_option
@click.option("--currency", help="Where none was said; else the shop's.")
@click.option("--look", is_flag=True, help="Say what was understood; keep nothing.")
@ON
@json_option
@shop_option
@pass_house
def quote(
    house: House, /, words: str, lot: str | None, machine: str | None, currency: str | None,
    look: bool, on: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep a quote as it was spoken: "F15:local winder in Ghent, Tuesday, 600 incl, 3 weeks".

    What was understood is said back; what was not is named.
    """
    kinds, id = house.kinds(), None
    with house.open_shop(shop) as opened:
        home = _lot(opened, lot)
        key = machine_of(opened, home, machine)[1] if machine else None
        spoken = fix.read_quote(opened, home, words, kinds, on=today(house, on), machine=machine)
        mine = worth.my_shop(opened)
        code = currency_of(currency, field="currency") if currency else ""
        money = spoken.currency or code or (mine.fact.currency if mine is not None else "EUR")
        if not look:
            id = fix.quote_said(opened, home, spoken, kinds, machine=key, currency=money,
                                **house.hand).id  # fmt: skip
    if as_json:
        click.echo(dumps(flat_spoken(replace(spoken, currency=money), id)))
        return
    put(spoken_lines(spoken, money))
    for problem in spoken.problems:
        click.echo(str(problem))
    if id is not None:
        click.echo(say("Kept: {id}", id=id))


@click.command()
@click.argument("wanted", metavar="QUOTE")
@machine_option
@ON
@json_option
@shop_option
@pass_house
def take(
    house: House, wanted: str, machine: str | None, on: str | None, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Take QUOTE, by its id or by who quoted: it is ordered, and its price stands for its line."""
    with house.open_shop(shop) as opened:
        key = machine_of(opened, _lot(opened, None), machine)[1] if machine else None
        record = fix.take(opened, wanted, on=today(house, on), kinds=house.kinds(),
                          machine=key, today=today(house), **house.hand)  # fmt: skip
    fact = record.fact
    kept(record.id, as_json, what=fact.what, whom=fact.whom, promised_on=fact.promised_on)


@click.command()
@click.argument("name", metavar="[NAME]", required=False)
@click.argument("amount", metavar="[AMOUNT]", required=False)
@click.option("--unit", default="", help="l, cans; empty: pieces.")
@click.option("--least", metavar="AMOUNT", help="Below it, buy.")
@click.option("--text", default="", help="Where it stands.")
@ON
@json_option
@shop_option
@pass_house
def stock(
    house: House, /, name: str | None, amount: str | None, unit: str, least: str | None,
    text: str, on: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep how much of NAME is on the shelf; without a name, the shelf as it stands."""
    with house.open_shop(shop) as opened:
        if name is None:
            view = fix.buying(opened, house.kinds(), on=today(house, on))
            told = {"rows": flat(view)["stock"], "schema": "fix.stock.1", "why": {}}
            shelf = [stock_line(row) for row in view.stock] or [say("Nothing is on the shelf.")]
            put(iter([dumps(told)] if as_json else shelf))
            return
        if amount is None:
            what = say("how much of {name} there is was not said", name=name)
            remedy = say("Say it behind the name: retrue fix stock rags 200.")
            raise Unusable(what, remedy=remedy, problems=(Problem("amount", what, remedy),))
        fact = Stock(
            name=name, amount=float(number(amount, field="amount")), unit=unit, text=text,
            least=None if least is None else float(number(least, field="least")),
        )  # fmt: skip
        record = fix.set_stock(opened, fact, **house.hand)
    kept(record.id, as_json, name=record.fact.name, amount=record.fact.amount)


def _lot(shop: RecordShop, lot: str | None) -> str:
    """The lot that was named, or the only one that is worked on."""
    if lot is not None:
        return lot
    every = lots_worked(shop)
    if len(every) != 1:
        raise Unknown(
            say("{count} lots are worked on", count=len(every)),
            remedy=say("Say which with --lot; retrue lot list names them."),
        )
    return every[0]
