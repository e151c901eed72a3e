"""Closing a machine at the keyboard, and closed machines given away and taken in."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.lot_file import read_lot
from retrue.cases.settle.closing_json import flat, flat_taken
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, is_file, json_option, shop_option
from retrue.cli.settle_close_lines import closing_lines, taken_lines
from retrue.cli.settle_cost import only_lot
from retrue.cli.strip_options import machine_of, machine_option
from retrue.phases import settle
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)
ENDS: dict[str, settle.End] = {
    "keeps-working": "keeps_working",
    "sold": "sold",
    "parted-out": "parted_out",
    "scrapped": "scrapped",
}
STAYS = ("price", "fault", "money", "hours", "days", "bucket", "total")
PATH = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@machine_option
@click.option("--book", "lines", type=PATH, help="With a FILE: its lines, as the book writes them.")
@click.option("--as", "end", type=click.Choice(list(ENDS)), help="Close it: how it ends.")
@click.option("--changes", default="", help="What we change, in one sentence.")
@click.option("--all", "whole", is_flag=True, help="Every fault, not the first few.")
@click.option("--on", metavar="DAY", help="As on that day; else today.")
@json_option
@shop_option
@pass_house
def close(
    house: House, /, lot: str | None, machine: str | None, lines: Path | None, end: str | None,
    changes: str, whole: bool, on: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """What we guessed of a machine, what it was, and what the tables say next time.

    With --as it is closed: the table is kept as it stands, and its figures move ranges and counts.
    LOT is a lot in the shop, or a lot file with its lines in --book; left out, the only lot that is
    worked on. Of a file nothing is kept.
    """
    day, kept = today(house, on), None
    if lot is not None and is_file(lot):
        made = _in_file(house, lot, lines, machine, end, day)
    elif lines is not None:
        raise _wrong("book", say("lines of a file belong to a lot in a file"))
    else:
        made, kept = _in_shop(house, lot, machine, end, changes, day, shop)
    if as_json:
        click.echo(dumps(flat(made, kept)))
        return
    put(closing_lines(made, whole=whole))
    if kept:
        click.echo(say("Kept: {id}", id=kept))


def _wrong(option: str, what: str) -> Unusable:
    remedy = say(
        "Leave it out, or name the lot file: retrue settle close lot.toml --book book.csv."
    )
    return Unusable(what, remedy=remedy, problems=(Problem(option, what, remedy),))


def _in_file(
    house: House, lot: str, lines: Path | None, machine: str | None, end: str | None, day: date
) -> Closing:
    if end is not None:
        raise _wrong("as", say("a file keeps nothing: it cannot be closed"))
    case = read_lot(content_of(lot), lot, house.kinds())
    names = [one.name for one in case.machines]
    name = machine if machine is not None else names[0] if len(names) == 1 else None
    if name not in names:
        what = say("the lot has no machine {name}", name=machine or "-")
        remedy = say("Say which with --machine: {names}.", names=", ".join(map(str, names)))
        raise Unknown(what, remedy=remedy, problems=(Problem("machine", what, remedy),))
    told, called = None, ""
    if lines is not None:
        called = lines.name
        told = as_csv(content_of(str(lines), say("Check the path of the table.")), called)
    return settle.closing_file(case, told, called, name, house.kinds(), on=day)


def _in_shop(
    house: House, lot: str | None, machine: str | None, end: str | None, changes: str, day: date,
    shop: str | None,
) -> tuple[Closing, str | None]:  # fmt: skip
    kinds, kept = house.kinds(), None
    with house.open_shop(shop) as opened:
        home, key = machine_of(opened, lot or only_lot(opened), machine)
        if end is not None:
            kept = settle.close(
                opened, home, key, ENDS[end], kinds, on=day, changes=changes, **house.hand
            ).id
        made = settle.closing(opened, home, key, kinds, on=day)
    return made, kept


@click.command()
@click.option("--to", type=PATH, help="Write to this file what was shown.")
@click.option("--without", multiple=True, type=click.Choice(STAYS), help="What stays here.")
@click.option("--take", "source", type=PATH, help="Look into a file of others.")
@click.option("--keep", "keeping", is_flag=True, help="With --take: keep what is new.")
@click.option("--text", default="", help="With --keep: from whom; it stays here.")
@json_option
@shop_option
@pass_house
def share(
    house: House, /, to: Path | None, without: tuple[str, ...], source: Path | None,
    keeping: bool, text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Closed machines without names: exactly the text that would leave, or what others gave.

    Nothing is sent anywhere: it is a file that you give to whom you like.
    """
    if source is not None:
        _take(house, source, keeping, text, as_json, shop)
        return
    if keeping:
        remedy = say("Name the file with --take.")
        what = say("there is no file to keep")
        raise Unusable(what, remedy=remedy, problems=(Problem("keep", what, remedy),))
    with house.open_shop(shop) as opened:
        told = settle.share(opened, without=without)
    if to is not None:
        to.write_text(told, encoding="utf-8")
    if to is None or not as_json:
        click.echo(told, nl=False)
    if to is not None:
        click.echo(dumps({"file": str(to), "schema": "settle.shared.1"}) if as_json else str(to))


def _take(
    house: House, source: Path, keeping: bool, text: str, as_json: bool, shop: str | None
) -> None:
    content, kinds, kept = content_of(str(source), say("Check the path.")), house.kinds(), None
    with house.open_shop(shop) as opened:
        read = settle.look_in(opened, content, source.name, kinds)
        if keeping:
            record = settle.take_in(
                opened, content, source.name, kinds, on=today(house), text=text, **house.hand
            )
            kept = record.id if record is not None else None
    if as_json:
        click.echo(dumps(flat_taken(read, kept)))
    else:
        put(taken_lines(read, kept is not None))
