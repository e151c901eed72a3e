"""The book at the keyboard: its lines, what stands where, rates, closing, taking back."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from retrue.base.currencies import known_code
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.book_json import flat
from retrue.cases.settle.ledger import summed
from retrue.cases.settle.lines import Book
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import AMOUNT, content_of, json_option, shop_option
from retrue.cli.settle_book_lines import account_lines, book_lines, warnings
from retrue.cli.strip_rows import write_tables
from retrue.phases import settle
from retrue.records.settling import BUCKETS
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)
PATH = click.Path(dir_okay=False, path_type=Path)
TABLES = (".csv", ".xlsx")
MONTH = re.compile(r"\d{4}-(0[1-9]|1[0-2])")


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@click.option("--machine", metavar="NAME", help="Of one machine: its lines and its shares.")
@click.option("--bucket", type=click.Choice((*BUCKETS, "none")), default=None,
              help="Where the money went; none: not yet placed.")  # fmt: skip
@click.option("--month", metavar="YEAR-MONTH", help="Of one month: 2026-11.")
@click.option("--balance", is_flag=True, help="What stands where, in every currency.")
@click.option("--write", "to", type=PATH, help="Write the lines to this CSV or XLSX.")
@click.option("--currency", default="EUR", metavar="CODE", show_default=True,
              help="Of a FILE: the shop's own.")  # fmt: skip
@click.option("--all", "whole", is_flag=True, help="Every line, not the newest few.")
@click.option("--on", "on", metavar="DAY", help="As of that day; else today.")
@json_option
@shop_option
@pass_house
def book(
    house: House, /, lot: str | None, machine: str | None, bucket: str | None, month: str | None,
    balance: bool, to: Path | None, currency: str, whole: bool, on: str | None, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """The book: its lines newest first, what is missing, what stands where.

    LOT is a lot in the shop; left out, all. A FILE is a table of lines, CSV or XLSX, with the
    columns that --write writes: it is booked and balanced without a shop.
    """
    at, rows, left_out = today(house, on), None, 0
    if lot is not None and Path(lot).suffix.lower() in TABLES:
        content = as_csv(content_of(lot, say("Check the path of the table.")), lot)
        view, left_out = settle.book_file(
            content, Path(lot).name, currency=known_code(currency), on=at, machine=machine
        )
        view = _picked(view, bucket, month)
    else:
        with house.open_shop(shop) as opened:
            view = _picked(settle.book(opened, on=at, lot=lot, machine=machine), bucket, month)
            rows = settle.book_table(opened, view) if to is not None else None
    if to is not None and rows is not None:
        _write(to, rows)
    if as_json:
        click.echo(dumps(flat(view)))
        return
    put(account_lines(view) if balance else book_lines(view, whole=whole))
    if balance:
        put(warnings(view))
    if left_out:
        click.echo(say("{count} rows were only expected: left out.", count=left_out))
    if to is not None and rows is not None:
        click.echo(str(to))


def _picked(view: Book, bucket: str | None, month: str | None) -> Book:
    """The lines of one bucket, of one month."""
    if month is not None and not MONTH.fullmatch(month):
        what = say("is {value}, no month", value=repr(month))
        remedy = say("Write it as 2026-11.")
        raise Unusable(what, remedy=remedy, problems=(Problem("month", what, remedy),))
    if bucket is None and month is None:
        return view
    wanted = "" if bucket == "none" else bucket
    lines = tuple(
        line
        for line in view.lines
        if wanted in (None, line.bucket) and line.posted_on.startswith(month or "")
    )
    return summed(replace(view, lines=lines))


def _write(to: Path, rows: list[list[Any]]) -> None:
    ending = to.suffix.lower()
    if ending not in TABLES:
        what = say("{path} is neither CSV nor XLSX", path=to.name)
        remedy = say("Name it book.csv or book.xlsx.")
        raise Unusable(what, remedy=remedy, problems=(Problem("write", what, remedy),))
    write_tables(rows, to if ending == ".csv" else None, to if ending == ".xlsx" else None)


@click.command("day-rate")
@click.argument("currency", metavar="[CURRENCY]", required=False)
@click.argument("rate", type=AMOUNT, metavar="[RATE]", required=False)
@click.option("--on", "on", metavar="DAY", help="Day it is of; else today.")
@click.option("--read", "source", type=PATH, help="A CSV or XLSX with date, currency, rate.")
@click.option("--sure", is_flag=True, help="It is right, however far it is from the last one.")
@click.option("--text", default="", help="Where it is from, in a sentence.")
@json_option
@shop_option
@pass_house
def day_rate(
    house: House, /, currency: str | None, rate: Decimal | None, on: str | None,
    source: Path | None, sure: bool, text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep what one unit of CURRENCY was worth on a day, in the shop's own; or read a file of it.

    Without anything, the rates that are kept.
    """
    at = today(house)
    with house.open_shop(shop) as opened:
        if source is not None:
            content = as_csv(content_of(str(source)), source.name)
            kept = settle.import_rates(opened, content, source.name, on=at, sure=sure,
                                       **house.hand)  # fmt: skip
            _kept_all([one.id for one in kept], as_json)
            return
        if currency is None:
            _rates(opened, as_json)
            return
        if rate is None:
            what = say("how much {currency} was worth was not said", currency=currency)
            remedy = say("Say it behind the currency: retrue settle day-rate CHF 1.07.")
            raise Unusable(what, remedy=remedy, problems=(Problem("rate", what, remedy),))
        record = settle.day_rate(opened, currency, rate, rate_on=today(house, on), on=at,
                                 text=text, sure=sure, **house.hand)  # fmt: skip
    _kept(record.id, as_json, rate=float(record.fact.rate), rate_on=record.fact.rate_on,
          of=record.fact.currency)  # fmt: skip


def _rates(shop: Any, as_json: bool) -> None:
    every = settle.kept_rates(shop)
    if as_json:
        rows = [
            {"id": one.id, "rate": float(one.fact.rate)}
            | {name: getattr(one.fact, name) for name in ("currency", "rate_on", "source")}
            for one in every
        ]
        click.echo(dumps({"rates": rows, "schema": "settle.rates.1", "why": {}}))
        return
    if not every:
        click.echo(say("No rate is kept: retrue settle day-rate CHF 1.07 --on 2026-11-25."))
    for one in every:
        click.echo(
            say("{day}  1 {currency} = {rate}",
                day=one.fact.rate_on, currency=one.fact.currency, rate=one.fact.rate)
        )  # fmt: skip


@click.command()
@click.argument("until", metavar="[DAY]", required=False)
@click.option("--text", default="", help="Why, in one sentence.")
@json_option
@shop_option
@pass_house
def lock(house: House, until: str | None, text: str, as_json: bool, shop: str | None) -> None:
    """Close the book up to DAY: nothing is put, corrected or taken back there any more.

    Without a day, up to when it is closed. A closing is taken back like any line: take-back ID.
    """
    with house.open_shop(shop) as opened:
        if until is not None:
            record = settle.lock(opened, today(house, until), on=today(house), text=text,
                                 **house.hand)  # fmt: skip
            _kept(record.id, as_json, until_on=record.fact.until_on)
            return
        every = settle.closings(opened)
    if as_json:
        rows = [{"id": one.id, "text": one.fact.text, "until_on": one.fact.until_on}
                for one in every]  # fmt: skip
        click.echo(dumps({"closings": rows, "schema": "settle.closings.1", "why": {}}))
        return
    for one in every:
        click.echo(say("Closed up to {day}: {id}", day=one.fact.until_on, id=one.id))
    if not every:
        click.echo(say("The book is open."))


@click.command("take-back")
@click.argument("record", metavar="ID")
@click.option("--reason", default="", help="Why, in one sentence.")
@json_option
@shop_option
@pass_house
def take_back(house: House, record: str, reason: str, as_json: bool, shop: str | None) -> None:
    """Take back a line, a rate, a closing, an hour, an offer, a promise; it counts no more.

    ID is that of the record; of a line in the book its first signs are enough.
    """
    with house.open_shop(shop) as opened:
        gone = settle.take_back(opened, record, reason, **house.hand)
    _kept(gone.id, as_json, of=gone.fact.of_kind)


def _kept(id: str, as_json: bool, **more: Any) -> None:
    if as_json:
        click.echo(dumps({"kept": id, **more, "schema": "settle.kept.1", "why": {}}))
    else:
        click.echo(say("Kept: {id}", id=id))


def _kept_all(ids: list[str], as_json: bool) -> None:
    if as_json:
        click.echo(dumps({"kept": ids, "schema": "settle.kept.1", "why": {}}))
    else:
        click.echo(say("Kept: {count}", count=len(ids)))
