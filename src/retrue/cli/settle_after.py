"""After the sale at the keyboard: what was promised, until when; questions and answers."""

from __future__ import annotations

from datetime import date
from typing import Any

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.sale_json import flat_after
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import day, today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.cli.settle_sell import LOT, ON, come, home_of
from retrue.cli.settle_sell_lines import after_lines
from retrue.cli.strip_options import machine_of, machine_option
from retrue.phases import settle
from retrue.records.settling import BuyerAsked, Promised
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)


@click.command()
@click.argument("what", metavar="[WHAT]", required=False)
@click.argument("whom", metavar="[WHOM]", required=False)
@LOT
@machine_option
@click.option("--until", metavar="DAY", help="Until when: 2027-02-01.")
@click.option("--kept", "kept_id", metavar="ID", help="A promise that was kept.")
@ON
@json_option
@shop_option
@pass_house
def promise(
    house: House, /, what: str | None, whom: str | None, lot: str | None, machine: str | None,
    until: str | None, kept_id: str | None, on: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep WHAT was promised to WHOM, or that it was kept; alone, what comes after the sale."""
    kinds, at = house.kinds(), _when(house, on, what or kept_id)
    with house.open_shop(shop) as opened:
        if kept_id is not None:
            record = settle.promise_kept(opened, kept_id, on=at, **house.hand)
            _told(opened, house, (record.fact.lot, record.fact.machine), on, as_json)
            return
        where = machine_of(opened, home_of(opened, lot), machine)
        if what is not None:
            fact = Promised(lot="", machine="", what=what, whom=_whom(whom),
                            promised_on=at.isoformat(),
                            until_on=day(until, "until", at, ahead=True))  # fmt: skip
            settle.promise(opened, *where, kinds, fact, on=at, **house.hand)
        _told(opened, house, where, on, as_json)


@click.command()
@click.argument("question", metavar="[QUESTION]", required=False)
@click.argument("whom", metavar="[WHOM]", required=False)
@LOT
@machine_option
@click.option("--answer", default="", help="What was answered.")
@click.option("--of", "of_id", metavar="ID", help="With --answer: of that question.")
@ON
@json_option
@shop_option
@pass_house
def asked(
    house: House, /, question: str | None, whom: str | None, lot: str | None,
    machine: str | None, answer: str, of_id: str | None, on: str | None, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Keep a QUESTION that WHOM asked, or its answer; alone, what comes after the sale."""
    kinds, at = house.kinds(), _when(house, on, question or of_id)
    with house.open_shop(shop) as opened:
        if of_id is not None:
            record = settle.answered(opened, of_id, answer, on=at, kinds=kinds, **house.hand)
            _told(opened, house, (record.fact.lot, record.fact.machine), on, as_json)
            return
        where = machine_of(opened, home_of(opened, lot), machine)
        if question is not None:
            fact = BuyerAsked(lot="", machine="", whom=_whom(whom), asked_on=at.isoformat(),
                              question=question, answer=answer)  # fmt: skip
            settle.asked(opened, *where, kinds, fact, on=at, **house.hand)
        _told(opened, house, where, on, as_json)


def _told(
    shop: RecordShop, house: House, where: tuple[Any, ...], on: str | None, as_json: bool
) -> None:
    view = settle.after_sale(shop, where[0], where[1], house.kinds(), on=today(house, on))
    if as_json:
        click.echo(dumps(flat_after(view)))
        return
    put(after_lines(view))


def _whom(whom: str | None) -> str:
    if whom is None:
        remedy = say("Say it behind the words, in quotes.")
        what = say("who it was is missing")
        raise Unusable(what, remedy=remedy, problems=(Problem("whom", what, remedy),))
    return whom


def _when(house: House, on: str | None, said: str | None) -> date:
    """As of which day; nothing was said or kept on one that is still to come."""
    return today(house, on) if said is None else come(house, on)
