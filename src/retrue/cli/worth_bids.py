"""Bids at the keyboard: which lots of a sale, and how high, within money, floor and own hours."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.screen.bid_plan import ODDS, BidPlan, Ended, Limits
from retrue.cases.screen.bid_table import bid_json, bid_table
from retrue.cases.screen.rank import ranked
from retrue.cases.screen.short_list import LOTS, plan_bids
from retrue.cases.screen.stakes import WORLDS
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import AMOUNT, Between, json_option, shop_option
from retrue.cli.progress import shown
from retrue.cli.strip_rows import put_file
from retrue.cli.worth_bids_lines import bid_lines
from retrue.cli.worth_screen import EVERY, Wanted, screen_file
from retrue.cli.worth_screen import WORLDS as SCREENING_WORLDS
from retrue.cli.worth_screen_sale_lines import top_lines
from retrue.cli.worth_screen_source import (
    Pair,
    catalogue_options,
    is_catalogue_file,
    open_catalogue,
    told_of,
)
from retrue.phases import worth
from retrue.store.table_out import xlsx_of

pass_house = click.make_pass_decorator(House)

MOST = 1e9  # of money, floor or hours
FILES = (".xlsx", ".pdf")


@click.command()
@click.argument("catalogue", metavar="CATALOGUE")
@click.option("--money", type=Between(0, MOST), help="To spend, until the first good parts.")
@click.option("--floor", type=Between(0, MOST), metavar="M2", help="Free on your floor.")
@click.option("--hours", type=Between(0, MOST), help="Of your own.")
@click.option(
    "--odds",
    type=Between(0.5, 0.999),
    help="Chance that all of these hold, whatever is won; else 0.9.",
)
@click.option(
    "--lots",
    type=click.IntRange(1, 60),
    help="From how many of the best bids are chosen; else 20.",
)
@click.option("--only", metavar="NUMBER,NUMBER", help="From these lots alone.")
@click.option(
    "--won",
    type=Pair(),
    multiple=True,
    metavar="NUMBER=PRICE",
    help="A lot that is yours, and its hammer price. Repeat it.",
)
@click.option(
    "--lost", multiple=True, metavar="NUMBER", help="A lot that went to another. Repeat it."
)
@catalogue_options
@click.option(
    "--to",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the bids to this XLSX or PDF.",
)
@click.option(
    "--processes", type=click.IntRange(1, 256), help="Share the sum out; else one for each core."
)
@click.option(
    "--restart", is_flag=True, help="Price every lot anew; leave what a stopped run has kept."
)
@click.option(
    "--worlds",
    type=click.IntRange(200, 100_000),
    default=WORLDS,
    show_default=True,
    help="In how many ways all of it may turn out.",
)
@click.option(
    "--seed",
    type=click.IntRange(0, 2**63 - 1),
    default=7,
    show_default=True,
    help="Start of the chance; the same seed gives the same numbers.",
)
@json_option
@shop_option
@pass_house
def bids(
    house: House, /, catalogue: str, money: float | None, floor: float | None,
    hours: float | None, odds: float | None, lots: int | None, only: str | None,
    won: tuple[tuple[str, str], ...], lost: tuple[str, ...], target: Path | None,
    processes: int | None, restart: bool, worlds: int, seed: int, as_json: bool,
    shop: str | None, **given: Any,
) -> None:  # fmt: skip
    """Say which lots of a sale to bid on, and how high, with what there is to spend.

    CATALOGUE is a CSV, XLSX or TOML file, or the name of one that is kept in the shop: then what
    you say is kept there, and what you leave out is as it stands. A bid may win or not. Bids are
    chosen so that together they bring the most, and so that money, floor and hours hold at the
    odds you give. As the sale goes on, say what was won and lost.
    """
    _refuse_file(target)
    asked = Asked(money=money, floor=floor, hours=hours, odds=odds, lots=lots,
                  only=_numbers(only), ended=_ended(won, lost))  # fmt: skip
    wanted = Wanted(seed=seed, worlds=SCREENING_WORLDS, processes=processes, cluster=None,
                    anew=restart)  # fmt: skip
    with shown(quiet=as_json, every=EVERY) as tell:
        told = told_of(given)
        if is_catalogue_file(catalogue):
            opened = open_catalogue(house, catalogue, shop, told)
            rows = screen_file(house, Path(catalogue), opened, wanted, tell)
        else:
            from retrue.cli.worth_screen_shop import screen_kept

            opened, rows = screen_kept(house, shop, catalogue, told, wanted, tell)
            asked = _as_kept(house, shop, catalogue, asked)
    plan = plan_bids(
        opened.listing, ranked(rows), opened.kinds, asked.limits,
        ended=asked.ended, lots=asked.lots or LOTS, only=asked.only, seed=seed, worlds=worlds,
    )  # fmt: skip
    if target is not None:
        put_file(target, _written(house, target, opened.listing.name, plan))
    if as_json:
        click.echo(dumps(bid_json(plan) | {"catalogue": opened.listing.name}))
        return
    put(bid_lines(plan, tuple(top_lines(opened.listing))))
    if target is not None:
        click.echo(str(target))


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What bids are to be chosen from, and within what.

    Attributes
    ----------
    money, floor, hours, odds : float or None
    lots : int or None
    only : tuple of str
    ended : tuple of Ended
    """

    money: float | None
    floor: float | None
    hours: float | None
    odds: float | None
    lots: int | None
    only: tuple[str, ...]
    ended: tuple[Ended, ...]

    @property
    def limits(self) -> Limits:
        """What there is to spend."""
        odds = ODDS if self.odds is None else self.odds
        return Limits(money=self.money, floor_m2=self.floor, hours=self.hours, odds=odds)


def _as_kept(house: House, shop: str | None, catalogue: str, asked: Asked) -> Asked:
    """Keep what was typed at a kept catalogue; what was left out is as it stands there."""
    from retrue.cli.worth_screen_shop import bids_kept

    with house.open_shop(shop) as opened:
        budget = worth.budget_of(opened, catalogue)
    if budget is not None:
        said = budget.fact
        asked = replace(
            asked,
            odds=said.odds if asked.odds is None else asked.odds,
            lots=asked.lots or said.short_list,
            only=asked.only or said.only,
        )
    limits, ended = bids_kept(house, shop, catalogue, asked.limits, asked.ended)
    return replace(
        asked,
        money=limits.money,
        floor=limits.floor_m2,
        hours=limits.hours,
        odds=limits.odds,
        ended=ended,
    )


def _numbers(only: str | None) -> tuple[str, ...]:
    return tuple(part.strip() for part in (only or "").split(",") if part.strip())


def _ended(won: tuple[tuple[str, str], ...], lost: tuple[str, ...]) -> tuple[Ended, ...]:
    """What has gone, to whom, at what price."""
    return (
        *(Ended(number=number, won=True, amount=_price(price)) for number, price in won),
        *(Ended(number=number, won=False) for number in lost),
    )


def _price(text: str) -> float:
    try:
        return float(AMOUNT.convert(text, None, None))
    except click.BadParameter:
        what = say("{text} is no amount", text=text)
        remedy = say("Give the number and its hammer price: --won 14=7200.")
        raise Unusable(what, remedy=remedy, problems=(Problem("won", what, remedy),)) from None


def _refuse_file(target: Path | None) -> None:
    if target is None or target.suffix.lower() in FILES:
        return
    remedy = say("Name it bids.xlsx or bids.pdf.")
    what = say("{path} is neither XLSX nor PDF", path=target.name)
    raise Unusable(what, remedy=remedy, problems=(Problem("to", what, remedy),))


def _written(house: House, target: Path, name: str, plan: BidPlan) -> bytes:
    if target.suffix.lower() == ".pdf":
        return house.printer.bids(plan, name, house.by)
    return xlsx_of(bid_table(plan))
