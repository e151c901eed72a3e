"""A bank file or a parts list at the keyboard: shown first, kept when asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, cast

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.bring import Wanted
from retrue.cases.settle.bring_columns import ROLES_OF, FileKind
from retrue.cases.settle.bring_lines import Choices, Deed, Preview
from retrue.cases.settle.bring_template import template_rows
from retrue.cases.settle.bring_told import flat, preview_lines
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, json_option, shop_option
from retrue.cli.strip_rows import write_tables
from retrue.phases import settle
from retrue.records.settling import BUCKETS, PostingSort
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)
PATH = click.Path(dir_okay=False, path_type=Path)
SORTS = ("paid", "bought", "deposit", "received", "sold", "returned", "deposit_back")
LINE = click.IntRange(min=1)
TAX = "12=0.21"


@click.command("import")
@click.argument("source", metavar="[FILE]", required=False)
@click.option("--keep", "keeping", is_flag=True, help="Keep it; else it is only shown.")
@click.option("--good-rows", is_flag=True, help="With --keep: what was understood alone.")
@click.option("--as", "kind", type=click.Choice(tuple(ROLES_OF)), help="Else by its columns.")
@click.option("--column", "columns", multiple=True, metavar="ROLE=HEADING",
              help="Which column is which: date=Datum.")  # fmt: skip
@click.option("--decimal", type=click.Choice(("comma", "point")), help="Else by all the amounts.")
@click.option("--dates", type=click.Choice(("day", "month")),
              help="Which goes first; else by all the days.")  # fmt: skip
@click.option("--unsigned", type=click.Choice(("out", "in")),
              help="What an amount without a sign is.")  # fmt: skip
@click.option("--lot", metavar="NAME", help="Every row is for this lot.")
@click.option("--machine", metavar="NAME", help="Every row is for this machine.")
@click.option("--account", default="", metavar="NAME",
              help="Own account, of several, that the file does not name.")  # fmt: skip
@click.option("--add", "adding", multiple=True, type=LINE, metavar="LINE", help="Add this row.")
@click.option("--take", "taking", multiple=True, type=LINE, metavar="LINE",
              help="It takes the place of the line it looks like, or pays it.")  # fmt: skip
@click.option("--leave", "leaving", multiple=True, type=LINE, metavar="LINE", help="Leave it out.")
@click.option("--sort", "sorts", multiple=True, metavar="LINE=SORT", help="12=sold")
@click.option("--bucket", "buckets", multiple=True, metavar="LINE=BUCKET", help="12=parts")
@click.option("--tax", "taxes", multiple=True, metavar="LINE=SHARE",
              help="Tax in the amount: 12=0.21; 12=0: there is none.")  # fmt: skip
@click.option("--for", "machines", multiple=True, metavar="LINE=MACHINE", help="12=lathe")
@click.option("--write", "to", type=PATH, help="Write an empty table to fill in: CSV or XLSX.")
@click.option("--all", "whole", is_flag=True, help="Every row, not the first few.")
@click.option("--on", "on", metavar="DAY", help="As of that day; else today.")
@json_option
@shop_option
@pass_house
def import_(
    house: House, /, source: str | None, to: Path | None, on: str | None, shop: str | None,
    **given: Any,
) -> None:  # fmt: skip
    """Read a bank file or a parts list, and say what it would do to the book.

    FILE is CSV or XLSX; its first lines name the columns. LINE is a line of the file, counted
    from 1. A row that looks like a line in the book is not added twice: take, add or leave it.
    """
    kind = cast("FileKind | None", given["kind"])
    if to is not None:
        _write(to, kind or "bank")
        return
    if source is None:
        what = say("no file was named")
        remedy = say("Name a CSV or XLSX file, or write an empty one with --write.")
        raise Unusable(what, remedy=remedy, problems=(Problem("file", what, remedy),))
    content = as_csv(content_of(source, say("Check the path of the file.")), Path(source).name)
    at, done = today(house, on), None
    with house.open_shop(shop) as opened:
        preview = settle.read_import(
            opened, content, Path(source).name, house.kinds(), on=at, wanted=_wanted(given, kind)
        )
        if given["keeping"]:
            choices = _choices(given)
            done = len(settle.keep_import(opened, preview, choices, on=at,
                                           kinds=house.kinds(), **house.hand))  # fmt: skip
    _told(preview, done, given)


def _told(preview: Preview, done: int | None, given: Mapping[str, Any]) -> None:
    if given["as_json"]:
        click.echo(dumps(flat(preview, done)))
    else:
        put(preview_lines(preview, whole=given["whole"]))
        click.echo(say("Nothing is kept yet: --keep.") if done is None
                   else say("Kept: {count}", count=done))  # fmt: skip
    click.get_current_context().exit(2 if preview.problems and done is None else 0)


def _wanted(given: Mapping[str, Any], kind: FileKind | None) -> Wanted:
    return Wanted(
        columns=dict(_pairs(given["columns"], "column", "date=Datum")),
        kind=kind,
        **{name: given[name] for name in
           ("decimal", "dates", "unsigned", "lot", "machine", "account")},
    )  # fmt: skip


def _choices(given: Mapping[str, Any]) -> Choices:
    deeds: dict[int, Deed] = {}
    said: tuple[tuple[str, Deed], ...] = (("adding", "add"), ("taking", "take"),
                                          ("leaving", "leave"))  # fmt: skip
    for name, deed in said:
        deeds |= dict.fromkeys(given[name], deed)
    return Choices(
        deeds=deeds,
        sorts=cast(
            "dict[int, PostingSort]", dict(_lines(given["sorts"], "sort", "12=sold", SORTS))
        ),
        buckets=dict(_lines(given["buckets"], "bucket", "12=parts", BUCKETS)),
        taxes={line: _share(share) for line, share in _lines(given["taxes"], "tax", TAX, ())},
        belongs={
            line: (given["lot"], machine)
            for line, machine in _lines(given["machines"], "for", "12=lathe", ())
        },
        good_rows=given["good_rows"],
    )


def _share(said: str) -> Decimal:
    """A share of tax, as post takes it."""
    try:
        share = Decimal(said.replace(",", "."))
    except InvalidOperation:
        share = Decimal(-1)
    if not 0 <= share < 1:
        raise _unusable("tax", say("is {value}, not a share", value=repr(said)),
                        say("Write 0.21 for 21 %."))  # fmt: skip
    return share


def _pairs(said: Iterable[str], option: str, example: str) -> Iterator[tuple[str, str]]:
    for one in said:
        name, equals, value = one.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise _unusable(option, say("is {value}", value=repr(one)),
                            say("Write it as {example}.", example=example))  # fmt: skip
        yield name.strip(), value.strip()


def _lines(
    said: Iterable[str], option: str, example: str, allowed: tuple[str, ...]
) -> Iterator[tuple[int, str]]:
    for name, value in _pairs(said, option, example):
        if not (name.isascii() and name.isdigit()):
            raise _unusable(option, say("{name} is no line of the file", name=repr(name)),
                            say("Write it as {example}.", example=example))  # fmt: skip
        if allowed and value not in allowed:
            raise _unusable(option, say("is {value}", value=repr(value)),
                            say("It can be {named}.", named=", ".join(allowed)))  # fmt: skip
        yield int(name), value


def _unusable(option: str, what: str, remedy: str) -> Unusable:
    reason = say("--{option} {what}", option=option, what=what)
    return Unusable(reason, remedy=remedy, problems=(Problem(option, what, remedy),))


def _write(to: Path, kind: FileKind) -> None:
    ending = to.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        what = say("{path} is neither CSV nor XLSX", path=to.name)
        remedy = say("Name it list.csv or list.xlsx.")
        raise Unusable(what, remedy=remedy, problems=(Problem("write", what, remedy),))
    rows = template_rows(kind)
    write_tables(rows, to if ending == ".csv" else None, to if ending == ".xlsx" else None)
    click.echo(str(to))
