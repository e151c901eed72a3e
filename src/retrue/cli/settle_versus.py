"""Was it worth it, at the keyboard."""

from __future__ import annotations

import click

from retrue.cases.lot_file import read_lot
from retrue.cases.settle.rate_json import flat_versus
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, is_file, json_option, shop_option
from retrue.cli.settle_rate import lot_of, only_of
from retrue.cli.settle_versus_lines import versus_lines
from retrue.cli.strip_options import machine_of, machine_option
from retrue.phases import settle
from retrue.phases.settle.rate import SEED, WORLDS

pass_house = click.make_pass_decorator(House)


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@machine_option
@click.option("--on", metavar="DAY", help="As on that day; else today.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=SEED, show_default=True,
              help="Start of the chance; the same seed gives the same numbers.")  # fmt: skip
@click.option("--worlds", type=click.IntRange(100, 100_000), default=WORLDS, show_default=True,
              help="In how many ways it may turn out.")  # fmt: skip
@json_option
@shop_option
@pass_house
def versus(
    house: House, /, lot: str | None, machine: str | None, on: str | None, seed: int,
    worlds: int, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Was it worth it: against each other way to get the same work done.

    LOT is a lot in the shop, or a lot file. What is spent counts as it was; what is to come is an
    estimate for planning. Whether to go on is another question: fix options tells it.
    """
    kinds = house.kinds()
    if lot is not None and is_file(lot):
        case = read_lot(content_of(lot), lot, kinds)
        name = only_of(case.machines, machine)
        made = settle.versus_case(case, name, kinds, on=today(house, on), seed=seed, worlds=worlds)
    else:
        with house.open_shop(shop) as opened:
            at = machine_of(opened, lot_of(opened, lot), machine)
            made = settle.versus(opened, *at, kinds, on=today(house, on), seed=seed, worlds=worlds)
    if as_json:
        click.echo(dumps(flat_versus(made)))
        return
    put(versus_lines(made))
