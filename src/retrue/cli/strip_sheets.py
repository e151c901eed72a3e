"""Taking apart on paper: the whole log, or the first night with its boxes."""

from __future__ import annotations

from pathlib import Path

import click

from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.options import file_word, json_option, shop_option
from retrue.cli.strip_options import lot_argument, machine_of, machine_option
from retrue.cli.strip_rows import put_file
from retrue.phases import strip

pass_house = click.make_pass_decorator(House)


@click.command()
@lot_argument
@machine_option
@click.option("--night", is_flag=True, help="The first night, a box for each line.")
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write it to this PDF.  [default: MACHINE-apart.pdf]",
)
@json_option
@shop_option
@pass_house
def sheet(
    house: House,
    lot: str,
    machine: str | None,
    night: bool,
    out: Path | None,
    as_json: bool,
    shop: str | None,
) -> None:
    """Print the log of taking apart: as found, what is off, what is clean, every evening."""
    with house.open_shop(shop) as opened:
        log = strip.strip_log(opened, *machine_of(opened, lot, machine), house.kinds())
    word = "first-night" if night else "apart"
    path = out or Path(f"{file_word(log.machine)}-{word}.pdf")
    put_file(path, house.printer.strip_log(log, house.by, blank=night))
    if as_json:
        left = sum(1 for one in log.taken if not one.back)
        told = {"file": str(path), "not_back": left, "schema": "strip.sheet.1"}
        click.echo(dumps(told))
        return
    click.echo(str(path))
