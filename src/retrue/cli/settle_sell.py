"""The surplus one at the keyboard: ask, take, let go; what each repair adds; offers."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any, cast, get_args

import click

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.lot_file import read_lot
from retrue.cases.settle.sale_json import flat, flat_offer
from retrue.cases.settle.sale_lines import Sale
from retrue.cases.settle.sale_text import LANGUAGES
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import day, today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import AMOUNT, Between, content_of, is_file, json_option, shop_option
from retrue.cli.settle_sell_lines import offer_lines, sale_lines
from retrue.cli.strip_options import machine_of, machine_option
from retrue.phases import settle, worth
from retrue.phases.settle.offering import Answer, Terms, one_offer
from retrue.phases.settle.selling import SEED, WORLDS
from retrue.records.facts import Machine
from retrue.records.settling import SALE_ITEMS, ForSale, Offered, RunFigure, Scheme, SoldAs
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)
SOLD_AS = get_args(SoldAs)
ON = click.option("--on", "on", metavar="DAY", help="As of that day; else today.")
LOT = click.option("--lot", metavar="NAME", help="Which lot; else the only one.")
FIGURE = click.Tuple([click.Choice(SALE_ITEMS), AMOUNT, AMOUNT, AMOUNT])


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@machine_option
@click.option("--by", "by_on", metavar="DAY", help="It must be gone by then; else in a year.")
@click.option("--set-ask", type=AMOUNT, help="List it: what is asked.")
@click.option("--set-take", type=AMOUNT, help="With --set-ask: what you take.")
@click.option("--set-dump", type=AMOUNT, help="With --set-ask: what you let it go for.")
@click.option("--dump-on", metavar="DAY", help="With --set-ask: from that day on.")
@click.option("--sold-as", type=click.Choice(SOLD_AS), help="With --set-ask: as what it is sold.")
@click.option("--listed", metavar="DAY", help="With --set-ask: listed since; else today.")
@click.option("--figure", type=FIGURE, default=None, metavar="ITEM LOW LIKELY HIGH",
              help="A figure of your own: film_share 0.1 0.2 0.3.")  # fmt: skip
@click.option("--why", default="", help="With --figure: the reason.")
@click.option("--text", "language", type=click.Choice(LANGUAGES),
              help="The listing in plain words: what the condition record states.")  # fmt: skip
@click.option("--all", "whole", is_flag=True, help="Every deed and every figure.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=SEED, show_default=True,
              help="Start of the chance; the same seed gives the same numbers.")  # fmt: skip
@click.option("--worlds", type=click.IntRange(100, 100_000), default=WORLDS, show_default=True,
              help="In how many ways it may turn out.")  # fmt: skip
@ON
@json_option
@shop_option
@pass_house
def sell(
    house: House, /, lot: str | None, machine: str | None, by_on: str | None,
    figure: tuple[str, Decimal, Decimal, Decimal] | None, why: str, language: str | None,
    whole: bool, seed: int, worlds: int, on: str | None, as_json: bool, shop: str | None,
    **listing: Any,
) -> None:  # fmt: skip
    """What to ask, what to take now, when to let it go; what each repair and proof adds.

    LOT is a lot in the shop, or a lot file; left out, the only one. Prices and days are ranges:
    estimates for planning. Tax and what a buyer may claim go by local law.
    """
    kinds = house.kinds()
    at = today(house, on) if listing["set_ask"] is None else come(house, on)
    by = day(by_on, "by", at, ahead=True)
    named: dict[str, Any] = {"on": at, "by": date.fromisoformat(by) if by else None,
                             "seed": seed, "worlds": worlds}  # fmt: skip
    _refuse_loose(listing)
    if lot is not None and is_file(lot):
        _refuse_kept(listing, figure, language)
        case = read_lot(content_of(lot), lot, kinds)
        _told(settle.sale_case(case, machine or _only(case.machines), kinds, **named), whole,
              as_json)  # fmt: skip
        return
    with house.open_shop(shop) as opened:
        where = machine_of(opened, home_of(opened, lot), machine)
        if figure is not None:
            own = RunFigure(lot="", machine="", item=figure[0], low=figure[1], likely=figure[2],
                            high=figure[3], reason=why)  # fmt: skip
            settle.set_sale_figure(opened, *where, kinds, own, **house.hand)
        if listing["set_ask"] is not None:
            settle.put_up(opened, *where, kinds, _listing(listing, at), on=at, **house.hand)
        if language is not None:
            text = settle.sale_text(opened, *where, kinds, on=at, language=language, by=house.by)
            click.echo(text)
            return
        told = settle.sale(opened, *where, kinds, **named)
    _told(told, whole, as_json)


def _told(told: Sale, whole: bool, as_json: bool) -> None:
    if as_json:
        click.echo(dumps(flat(told)))
        return
    put(sale_lines(told, whole=whole))


def _listing(given: dict[str, Any], on: date) -> ForSale:
    return ForSale(
        lot="", machine="", sold_as=given["sold_as"], ask=given["set_ask"],
        take=given["set_take"], dump=given["set_dump"],
        dump_on=day(given["dump_on"], "dump-on", on, ahead=True),
        listed_on=day(given["listed"], "listed", on) or "",
    )  # fmt: skip


def _refuse_loose(listing: dict[str, Any]) -> None:
    """What belongs to a listing needs an ask, and an ask needs to say as what it is sold."""
    if listing["set_ask"] is None:
        loose = [name for name, value in listing.items() if value is not None]
        if loose:
            _refuse(loose[0].replace("_", "-"), say("stands without --set-ask"),
                    say("Say what is asked: --set-ask 9500 --sold-as running."))  # fmt: skip
    elif listing["sold_as"] is None:
        _refuse("sold-as", say("is missing"),
                say("Say as what it is sold: {words}.", words=", ".join(map(str,
                                                                            SOLD_AS))))  # fmt: skip


def _refuse_kept(
    listing: dict[str, Any], figure: tuple[Any, ...] | None, language: str | None
) -> None:
    if listing["set_ask"] is not None or figure is not None or language is not None:
        _refuse("lot", say("is a file"), say("Keep it in the shop first: retrue lot import."))


def _refuse(field: str, what: str, remedy: str) -> None:
    raise Unusable(
        say("--{field} {what}", field=field, what=what),
        remedy=remedy,
        problems=(Problem(field, what, remedy),),
    )


def _only(machines: tuple[Machine, ...]) -> str:
    if len(machines) == 1:
        return machines[0].name
    raise Unknown(
        say("the lot has {count} machines", count=len(machines)),
        remedy=say("Say which with --machine: {names}.", names=", ".join(m.name for m in machines)),
    )


def home_of(shop: RecordShop, lot: str | None) -> str:
    """The lot that was named, or the only one of the shop."""
    if lot is not None:
        return lot
    every = worth.lots(shop)
    if len(every) != 1:
        raise Unknown(
            say("the shop has {count} lots", count=len(every)),
            remedy=say("Say which; retrue lot list names them."),
        )
    return every[0].fact.name


@click.command()
@click.argument("whom", metavar="WHOM")
@click.argument("amount", type=AMOUNT, metavar="[AMOUNT]", required=False)
@LOT
@machine_option
@click.option("--currency", default="", metavar="CODE", help="Of the offer; else the shop's.")
@click.option("--holds-tax", type=Between(0, 100), metavar="SHARE",
              help="AMOUNT holds this tax: 0.21; else without, as what is asked.")  # fmt: skip
@click.option("--answer", type=click.Choice(get_args(Answer)), help="What you answered.")
@click.option("--paid", type=AMOUNT, help="With --answer taken: what came at once.")
@click.option("--load-by", metavar="DAY", help="With --answer taken: to be loaded by.")
@click.option("--tax-rate", type=Between(0, 100), metavar="SHARE",
              help="With --answer taken: the tax on top, 0.21.")  # fmt: skip
@click.option("--scheme", type=click.Choice([one for one in get_args(Scheme) if one]), default=None,
              help="With --answer taken: how it is taxed.")  # fmt: skip
@click.option("--text", default="", help="What was said, in one sentence.")
@ON
@json_option
@shop_option
@pass_house
def offer(
    house: House, /, whom: str, amount: Decimal | None, lot: str | None, machine: str | None,
    currency: str, answer: str | None, text: str, on: str | None, as_json: bool,
    shop: str | None, **terms: Any,
) -> None:  # fmt: skip
    """Keep what WHOM offers, and say what to answer; or keep what you answered.

    An offer that is taken is sold in the book, its money owed until it comes.
    """
    kinds, at = house.kinds(), come(house, on)
    if amount is None and answer is None:
        _refuse("answer", say("is missing"), say("Say how much is offered, or --answer."))
    agreed, held = _terms(terms, at), _share(terms["holds_tax"], "holds-tax")
    with house.open_shop(shop) as opened:
        at_one = amount is not None or machine is not None
        where = machine_of(opened, home_of(opened, lot), machine) if at_one else None
        if amount is not None and where is not None:
            mine = worth.my_shop(opened)
            code = currency or (mine.fact.currency if mine is not None else "EUR")
            fact = Offered(
                lot="", machine="", whom=whom, offered_on=at.isoformat(), amount=amount,
                currency=code, text=text, tax_held=held,
            )  # fmt: skip
            whom = _keep(opened, house, where, fact, answer, agreed, at)
        elif answer is not None:
            settle.answer_offer(
                opened, whom, cast(Answer, answer), kinds, on=at, text=text, terms=agreed,
                at=where, **house.hand,
            )  # fmt: skip
        first, record = one_offer(opened, whom, at=where)
        told = settle.sale(opened, record.fact.lot, record.fact.machine, kinds, on=at)
    if as_json:
        click.echo(dumps(flat_offer(told, first)))
        return
    put(offer_lines(told))


def _keep(
    shop: RecordShop, house: House, where: tuple[str, str], fact: Offered, answer: str | None,
    agreed: Terms, on: date,
) -> str:  # fmt: skip
    """The offer, with its answer where there is one: both, or neither."""
    kinds = house.kinds()
    if answer is None:
        return settle.offer(shop, *where, kinds, fact, on=on, **house.hand).id
    return settle.offer_answered(shop, *where, kinds, fact, cast(Answer, answer), on=on,
                                 terms=agreed, **house.hand).id  # fmt: skip


def come(house: House, on: str | None) -> date:
    """The day that was typed, or today; one that is still to come is refused: nothing was then."""
    at, now = today(house, on), today(house)
    if at > now:
        _refuse("on", say("is {day}, and that is still to come", day=at.isoformat()),
                say("Write the day on which it was."))  # fmt: skip
    return at


def _share(value: float | None, field: str) -> Decimal | None:
    """Tax as a share, the same at every command."""
    if value is None:
        return None
    told = Decimal(repr(value)).normalize()
    if told >= 1:
        _refuse(field, say("is {value}, and a share is wanted", value=short(told, "f")),
                say("Write {share}.", share=short(told / 100, "f")))  # fmt: skip
    return told


def _terms(given: dict[str, Any], on: date) -> Terms:
    return Terms(
        tax_rate=_share(given["tax_rate"], "tax-rate"),
        tax_scheme=cast(Scheme, given["scheme"] or ""),
        paid=given["paid"],
        load_by=day(given["load_by"], "load-by", on, ahead=True),
    )
