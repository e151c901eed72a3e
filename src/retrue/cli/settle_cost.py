"""What it cost at the keyboard: one machine or a whole lot, from the shop or from plain files."""

from __future__ import annotations

from pathlib import Path

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.lot_file import read_lot
from retrue.cases.settle.cost_json import flat, table_rows
from retrue.cases.settle.cost_lines import CostView
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, is_file, json_option, shop_option
from retrue.cli.settle_cost_lines import cost_lines
from retrue.cli.strip_rows import write_tables
from retrue.phases import settle
from retrue.phases.fix.owned import worked_on
from retrue.phases.settle.costing import SEED, WORLDS
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)
PATH = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@click.option("--machine", metavar="NAME", help="Of one machine; else the whole lot.")
@click.option("--book", "lines", type=PATH, help="With a FILE: its lines, as the book writes them.")
@click.option("--all", "whole", is_flag=True, help="Every line and week, not the first few.")
@click.option("--write", "to", type=PATH, help="Write rows and lines to this CSV or XLSX.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=SEED, show_default=True,
              help="Start of the chance of what is still to come.")  # fmt: skip
@click.option("--worlds", type=click.IntRange(100, 100_000), default=WORLDS,
              show_default=True, help="In how many ways it may turn out.")  # fmt: skip
@click.option("--on", metavar="DAY", help="As on that day; else today.")
@json_option
@shop_option
@pass_house
def cost(
    house: House, /, lot: str | None, machine: str | None, lines: Path | None, whole: bool,
    to: Path | None, seed: int, worlds: int, on: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """What it cost so far and will have cost, against what was expected, and by when.

    LOT is a lot in the shop, or a lot file with its lines in --book; left out, the only lot that
    is worked on. An estimate for planning.
    """
    named = {"seed": seed, "worlds": worlds}
    if lot is not None and is_file(lot):
        view = _in_file(house, lot, lines, machine, on, named)
    elif lines is not None:
        what = say("is given without a lot file")
        remedy = say("Name the lot file: retrue settle cost lot.toml --book book.csv.")
        raise Unusable(say("lines of a file belong to a lot in a file"), remedy=remedy,
                       problems=(Problem("book", what, remedy),))  # fmt: skip
    else:
        with house.open_shop(shop) as opened:
            home = lot if lot is not None else only_lot(opened)
            view = settle.cost(opened, home, machine, house.kinds(), on=today(house, on), **named)
    _told(view, whole, to, as_json)


def _told(view: CostView, whole: bool, to: Path | None, as_json: bool) -> None:
    if to is not None:
        _write(to, view)
    if as_json:
        click.echo(dumps(flat(view)))
        return
    put(cost_lines(view, whole=whole))
    if to is not None:
        click.echo(str(to))


def _in_file(
    house: House, lot: str, lines: Path | None, machine: str | None, on: str | None,
    named: dict[str, int],
) -> CostView:  # fmt: skip
    kinds, content = house.kinds(), None
    case = read_lot(content_of(lot), lot, kinds)
    if lines is not None:
        path = str(lines)
        content = as_csv(content_of(path, say("Check the path of the table.")), lines.name)
    name = lines.name if lines is not None else ""
    return settle.cost_file(case, content, name, machine, kinds, on=today(house, on), **named)


def only_lot(shop: RecordShop) -> str:
    """The only lot that is worked on; Unusable where there are several, or none."""
    lots = worked_on(shop)
    if len(lots) != 1:
        remedy = say("Name one; retrue lot list names them.")
        what = say("{count} lots are worked on", count=len(lots))
        raise Unusable(what, remedy=remedy, problems=(Problem("lot", what, remedy),))
    return lots[0]


def _write(to: Path, view: CostView) -> None:
    ending = to.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        what = say("{path} is neither CSV nor XLSX", path=to.name)
        remedy = say("Name it cost.csv or cost.xlsx.")
        raise Unusable(what, remedy=remedy, problems=(Problem("write", what, remedy),))
    rows = table_rows(view)
    write_tables(rows, to if ending == ".csv" else None, to if ending == ".xlsx" else None)
