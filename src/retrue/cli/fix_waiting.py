"""Who owes me: the chase list, and what is sent, rung about, back and judged."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Literal

import click

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.fix.lines import Due, Owed, Waiting
from retrue.cases.fix.typed import currency_of
from retrue.cases.fix.waiting_json import flat
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_days import day, today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import AMOUNT, json_option, shop_option
from retrue.cli.strip_options import lot_argument, machine_option
from retrue.phases import fix
from retrue.records.fixing import Out, OutEnded, OutSort, Rung

pass_house = click.make_pass_decorator(House)
SORTS: dict[str, OutSort] = {
    "sent-out": "sent_out",
    "ordered": "ordered",
    "asked": "asked",
    "borrowed": "borrowed",
    "hired": "hired",
}
STATES = {
    "late": "{days} days late",
    "ring": "ring today",
    "out": "out",
    "back_not_judged": "back, not judged",
    "ended": "ended, the deposit is not back",
    "wrong": "the wrong thing came; say with back --wrong --paid how that was settled",
}
OUT = click.argument("out", metavar="OUT")
TEXT = click.option("--text", default="", help="What was said, in one sentence.")
ON = click.option("--on", "on", metavar="DAY", help="On which day; else today.")


@click.command()
@click.option("--lot", metavar="NAME", help="Of one lot; else of all.")
@ON
@json_option
@shop_option
@pass_house
def waiting(house: House, lot: str | None, on: str | None, as_json: bool, shop: str | None) -> None:
    """Everything that is out: at whom, promised for when, whom to ring, most pressing first."""
    at = today(house, on)
    with house.open_shop(shop) as opened:
        view = fix.waiting(opened, on=at, lot=lot, kinds=house.kinds())
    if as_json:
        click.echo(dumps(flat(view)))
        return
    put(waiting_lines(view))


@click.command()
@lot_argument
@click.argument("what", metavar="WHAT")
@click.argument("whom", metavar="WHOM")
@machine_option
@click.option("--sort", type=click.Choice(list(SORTS)), default="sent-out", show_default=True,
              help="How it is out.")  # fmt: skip
@click.option("--line", default="", help="What it is for: F15:local.")
@click.option("--reach", default="", help="Phone or address.")
@click.option("--since", metavar="DAY", help="Since when; else today.")
@click.option("--promised", metavar="DAY", help="Promised for: 2026-12-18, Friday.")
@click.option("--ring", "ring_on", metavar="DAY", help="When to ring.")
@click.option("--amount", type=AMOUNT, help="What it costs.")
@click.option("--currency", default="EUR", show_default=True, help="Of what it costs.")
@click.option("--deposit", type=AMOUNT, help="Paid, to come back.")
@click.option("--parcel", default="", help="How it went and how it comes back.")
@click.option("--serial", default="", help="Its serial number.")
@TEXT
@json_option
@shop_option
@pass_house
def send(
    house: House, /, lot: str, what: str, whom: str, machine: str | None, sort: str,
    since: str | None, promised: str | None, ring_on: str | None, currency: str,
    as_json: bool, shop: str | None, **said: Any,
) -> None:  # fmt: skip
    """Keep that WHAT is out at WHOM: sent out, ordered, asked for, borrowed, hired.

    Sent out, it stays so until it is back and judged.
    """
    on = today(house)
    out = Out(
        lot=lot, machine=machine, sort=SORTS[sort], what=what, whom=whom,
        since_on=day(since, "since", on) or on.isoformat(),
        promised_on=day(promised, "promised", on, ahead=True),
        ring_on=day(ring_on, "ring", on, ahead=True),
        currency=currency_of(currency, field="currency"), **said,
    )  # fmt: skip
    with house.open_shop(shop) as opened:
        record = fix.send(opened, out, house.kinds(), today=on, **house.hand)
    kept(record.id, as_json, what=record.fact.what, whom=record.fact.whom)


@click.command()
@OUT
@click.option("--promised", metavar="DAY", help="The new promise: 2026-12-18, Friday.")
@click.option("--ring", "ring_on", metavar="DAY", help="When to ring next.")
@click.option("--nobody", is_flag=True, help="Nobody answered.")
@ON
@TEXT
@json_option
@shop_option
@pass_house
def ring(
    house: House, /, out: str, promised: str | None, ring_on: str | None, nobody: bool,
    on: str | None, text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep what was said on the phone about OUT: its id, its first signs, its line or words."""
    at = today(house, on)
    rung = Rung(
        lot="", out=out, rung_on=at.isoformat(), nobody=nobody, text=text,
        promised_on=day(promised, "promised", at, ahead=True),
        ring_on=day(ring_on, "ring", at, ahead=True),
    )  # fmt: skip
    with house.open_shop(shop) as opened:
        record = fix.ring(opened, out, rung, today=today(house), **house.hand)
        stands = fix.one_out(opened, record.fact.out, on=at)
    kept(record.id, as_json, out=record.fact.out, promised_on=stands.promised_on,
         ring_on=stands.ring_on)  # fmt: skip


@click.command()
@OUT
@click.option("--wrong", "how", flag_value="wrong", help="The wrong thing came.")
@click.option("--called-off", "how", flag_value="called_off", help="It is not coming.")
@click.option("--deposit/--no-deposit", "deposit_back", default=None,
              help="The deposit came back, or did not.")  # fmt: skip
@click.option("--paid", type=AMOUNT, help="What was paid.")
@ON
@TEXT
@json_option
@shop_option
@pass_house
def back(
    house: House, /, out: str, how: Literal["wrong", "called_off"] | None,
    deposit_back: bool | None, paid: Decimal | None, on: str | None, text: str,
    as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep that OUT is back, that the wrong thing came, or that it was called off.

    What comes back is judged afterwards: retrue fix judge.
    """
    ended = OutEnded(
        lot="", out=out, ended_on=today(house, on).isoformat(), how=how or "back",
        deposit_back=deposit_back, paid=paid, text=text,
    )  # fmt: skip
    with house.open_shop(shop) as opened:
        record = fix.back(opened, out, ended, house.kinds(), today=today(house),
                          **house.hand)  # fmt: skip
    kept(record.id, as_json, out=record.fact.out, how=record.fact.how)


@click.command()
@OUT
@click.argument("verdict", metavar="GOOD|BAD", type=click.Choice(["good", "bad"]))
@TEXT
@json_option
@shop_option
@pass_house
def judge(house: House, out: str, verdict: str, text: str, as_json: bool, shop: str | None) -> None:
    """Keep whether what came back is good; what is bad opens its card again."""
    with house.open_shop(shop) as opened:
        record = fix.judge(opened, out, verdict == "good", text, **house.hand)
    kept(record.id, as_json, out=record.fact.out, judged=record.fact.judged)


@click.command("take-back")
@click.argument("record", metavar="ID")
@click.option("--reason", default="", help="Why, in one sentence.")
@json_option
@shop_option
@pass_house
def take_back(house: House, record: str, reason: str, as_json: bool, shop: str | None) -> None:
    """Take back what was kept of something out, a quote or the shelf; it counts no more."""
    with house.open_shop(shop) as opened:
        gone = fix.withdraw_out(opened, record, reason, **house.hand)
    kept(gone.id, as_json, of=gone.fact.of_kind)


def kept(id: str, as_json: bool, **more: Any) -> None:
    """Say what was kept under which id."""
    if not as_json:
        click.echo(say("Kept: {id}", id=id))
        return
    whys = {name: say("nobody said") for name, value in more.items() if value is None}
    click.echo(dumps({"kept": id, **more, "schema": "fix.kept.1", "why": whys}))


def waiting_lines(view: Waiting) -> Iterator[str]:
    """The chase list: each with its promise and whom to ring.

    Parameters
    ----------
    view : Waiting

    Yields
    ------
    str
    """
    if not view.owed and not view.due:
        yield say("Nothing is out.")
    for one in view.owed:
        yield from _owed(one)
    for due in view.due:
        yield _due(due)
    for currency, amount in view.deposits.items():
        yield say("Deposits out: {amount}", amount=formatter.money(amount, currency, 2))


def _owed(one: Owed) -> Iterator[str]:
    state = say(STATES["wrong" if one.return_owed else one.state], days=one.days_late)
    of = ", ".join(filter(None, (one.lot_name, one.machine_name)))
    yield say("{what}, {whom}: {state}", what=one.out.what, whom=one.out.whom, state=state)
    told = [
        of,
        say("promised for {day}", day=one.promised_on) if one.promised_on else "",
        _put_off(one.broken),
        say("ring on {day}", day=one.ring_on) if one.ring_on else "",
        one.out.reach,
        say("serial {serial}", serial=one.out.serial) if one.out.serial else "",
        one.out.parcel,
    ]
    if one.deposit is not None:
        amount = formatter.money(one.deposit, one.out.currency, 2)
        told.append(say("deposit {amount}", amount=amount))
    yield "  " + "; ".join(map(str, filter(None, told)))
    if one.holds_up:
        yield "  " + say("holds up: {cards}", cards=", ".join(map(str, one.holds_up)))
    yield "  " + one.first.id


def _put_off(count: int) -> str:
    if count < 2:
        return say("put off once") if count else ""
    return say("put off {count} times", count=count)


def _due(due: Due) -> str:
    if due.days_left < 0:
        sentence = "{words} {machine}: was due on {day}."
    elif due.days_left == 0:
        sentence = "{words} {machine}: today."
    else:
        sentence = "{words} {machine}: until {day}."
    return say(sentence, words=due.words, machine=due.machine_name, day=due.on)
