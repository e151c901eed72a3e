"""What an hour of a machine costs, at the keyboard; and figures of one's own."""

from __future__ import annotations

from decimal import Decimal

import click

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.lot_file import read_lot
from retrue.cases.settle.hour_rate_file import is_rate_file, rate_of_file, read_rate
from retrue.cases.settle.rate_json import flat_figure, flat_rate
from retrue.cases.settle.rate_lines import HourRateView
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import (
    AMOUNT,
    AmountsFirst,
    Between,
    content_of,
    is_file,
    json_option,
    shop_option,
)
from retrue.cli.settle_rate_lines import figure_lines, rate_lines
from retrue.cli.strip_options import machine_of, machine_option
from retrue.phases import fix, settle, worth
from retrue.phases.settle.rate import SEED, WORLDS
from retrue.records.facts import Machine, Shop
from retrue.records.settling import RUN_ITEMS, RunFigure
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)
MOST_MARGIN = 99.0  # per cent


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@machine_option
@click.option("--margin", type=Between(0, MOST_MARGIN), metavar="PERCENT",
              help="What of the price is to be left: what to ask for an hour.")  # fmt: skip
@click.option("--on", metavar="DAY", help="As on that day; else today.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=SEED, show_default=True,
              help="Start of the chance; the same seed gives the same numbers.")  # fmt: skip
@click.option("--worlds", type=click.IntRange(100, 100_000), default=WORLDS, show_default=True,
              help="In how many ways it may turn out.")  # fmt: skip
@json_option
@shop_option
@pass_house
def rate(
    house: House, /, lot: str | None, machine: str | None, margin: float | None, on: str | None,
    seed: int, worlds: int, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """What an hour of a machine costs, what it is made of, what moves it most.

    LOT is a lot in the shop, a lot file, or a file with a table of figures. Estimates for planning.
    """
    share = None if margin is None else margin / 100.0
    if lot is not None and is_file(lot):
        content = content_of(lot)
        if is_rate_file(content):
            told = read_rate(content, lot)
            made = rate_of_file(told, margin=share, seed=seed, worlds=worlds)
        else:
            kinds = house.kinds()
            case = read_lot(content, lot, kinds)
            name = only_of(case.machines, machine)
            made = settle.rate_case(case, name, kinds, on=today(house, on), margin=share,
                                    seed=seed, worlds=worlds)  # fmt: skip
    else:
        with house.open_shop(shop) as opened:
            at = machine_of(opened, lot_of(opened, lot), machine)
            made = settle.rate(opened, *at, house.kinds(), on=today(house, on), margin=share,
                               seed=seed, worlds=worlds)  # fmt: skip
    _told(made, as_json)


def _told(made: HourRateView, as_json: bool) -> None:
    if as_json:
        click.echo(dumps(flat_rate(made)))
        return
    put(rate_lines(made))


@click.command(cls=AmountsFirst)
@click.argument("item", type=click.Choice(RUN_ITEMS), metavar="ITEM")
@click.argument("low", type=AMOUNT, metavar="LOW")
@click.argument("likely", type=AMOUNT, metavar="[LIKELY]", required=False)
@click.argument("high", type=AMOUNT, metavar="[HIGH]", required=False)
@click.option("--lot", metavar="NAME", help="Of which lot; else the only one in hand.")
@machine_option
@click.option("--reason", default="", help="Where the figure is from, in your own words.")
@json_option
@shop_option
@pass_house
def figure(
    house: House, /, item: str, low: Decimal, likely: Decimal | None, high: Decimal | None,
    lot: str | None, machine: str | None, reason: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """A figure of your own for a machine, in place of what is assumed: low, likely, high.

    ITEM is hours_a_year, maintenance_a_year, energy_kw, energy_price_kwh, tooling_a_year,
    insurance_a_year, floor_m2, floor_m2_year, life_years, resale_at_end, down_days_a_year,
    wage_an_hour or work_cost_an_hour. One number alone: you are sure of it. The newest counts.
    """
    three = _three(low, likely, high)
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot_of(opened, lot), machine)
        fact = RunFigure(lot=at[0], machine=at[1], item=item, low=three[0], likely=three[1],
                         high=three[2], reason=reason)  # fmt: skip
        record = settle.set_figure(opened, *at, house.kinds(), fact, **house.hand)
        name = worth.machine_of(opened, *at).fact.name
        mine = worth.my_shop(opened)
    currency = mine.fact.currency if mine else Shop().currency
    if as_json:
        click.echo(dumps(flat_figure(record.fact, record.id, name, currency)))
        return
    put(figure_lines(record.fact, name, currency))


def _three(
    low: Decimal, likely: Decimal | None, high: Decimal | None
) -> tuple[Decimal, Decimal, Decimal]:
    if likely is None:
        return low, low, low
    if high is None:
        remedy = say("Give one figure, or three: low, likely, high.")
        raise Unusable(
            say("two figures are neither one nor three"),
            remedy=remedy,
            problems=(Problem("high", say("is missing"), remedy),),
        )
    return low, likely, high


def lot_of(shop: RecordShop, lot: str | None) -> str:
    """The lot that was named, or the only one that is in hand."""
    if lot is not None:
        return lot
    mine = sorted(fix.in_hand(shop)) or [
        worth.view_lot(shop, one.id).id for one in worth.lots(shop)
    ]
    if len(mine) == 1:
        return mine[0]
    names = ", ".join(str(worth.view_lot(shop, one).name) for one in mine)
    raise Unknown(
        say("{count} lots are in hand", count=len(mine)) if mine else say("there is no lot"),
        remedy=say("Name one: {names}.", names=names) if mine else say("retrue lot new makes one."),
    )


def only_of(machines: tuple[Machine, ...], named: str | None) -> str:
    """The machine of a lot file that was named, or its only one."""
    if named is not None:
        return named
    if len(machines) == 1:
        return machines[0].name
    raise Unknown(
        say("the lot has {count} machines", count=len(machines)),
        remedy=say("Say which with --machine: {names}.", names=", ".join(m.name for m in machines)),
    )
