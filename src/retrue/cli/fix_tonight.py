"""Tonight at the keyboard, and how cards are marked."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, TypeVar

import click

from retrue.base.say import say
from retrue.cases.fix.cards_json import tonight_row
from retrue.cases.lot_file import read_lot
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_card_lines import tonight_lines
from retrue.cli.fix_days import day, today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import Between, content_of, is_file, json_option, shop_option
from retrue.cli.strip_options import lot_argument, machine_of, machine_option
from retrue.phases import fix

pass_house = click.make_pass_decorator(House)
How = Literal["begun", "done", "stuck", "found", "not_now", "open_again"]
C = TypeVar("C", bound=Callable[..., Any])
ON = click.option("--on", "on", metavar="DAY", help="On which day; else today.")
HOURS = click.option("--hours", type=Between(0, 200), help="Spent this time.")
LEFT = click.option("--left", type=Between(0, 1000), help="Hours still to do.")
TEXT = click.option("--text", default="", help="What was seen, in one sentence.")


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@machine_option
@click.option("--hours", type=Between(0.25, 24), default=2.0, show_default=True,
              help="How long you have.")  # fmt: skip
@click.option("--alone/--not-alone", default=True, show_default=True, help="Nobody else is there.")
@click.option("--hoist", is_flag=True, help="The hoist is here.")
@ON
@json_option
@shop_option
@pass_house
def tonight(
    house: House, lot: str | None, machine: str | None, hours: float, alone: bool, hoist: bool,
    on: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """What to do in so many hours: what was begun, then what the date hangs on.

    Without LOT on every machine that is worked for. Nothing under power is offered to somebody
    alone, live work to nobody.
    """
    kinds, at = house.kinds(), today(house, on)
    asked: dict[str, Any] = {"hours": hours, "alone": alone, "hoist": hoist, "machine": machine}
    if lot is not None and is_file(lot):
        view = fix.tonight_file(read_lot(content_of(lot), lot, kinds), kinds, on=at, **asked)
    else:
        with house.open_shop(shop) as opened:
            view = fix.tonight(opened, kinds, on=at, lot=lot, **asked)
    if as_json:
        click.echo(dumps(tonight_row(view)))
        return
    put(tonight_lines(view, kinds))


def _card(command: C) -> C:
    """LOT CARD --machine: which card."""
    for one in (shop_option, json_option, TEXT, ON, machine_option,
                click.argument("card", metavar="CARD"), lot_argument):  # fmt: skip
        command = one(command)
    return command


@click.command()
@_card
@HOURS
@LEFT
@pass_house
def begin(house: House, /, **said: Any) -> None:
    """Mark CARD begun: it stands first tonight."""
    _mark(house, "begun", **said)


@click.command()
@_card
@HOURS
@pass_house
def done(house: House, /, **said: Any) -> None:
    """Mark CARD done; a fault put right or a job done is kept for fault-finding as well."""
    _mark(house, "done", **said)


@click.command()
@_card
@HOURS
@LEFT
@pass_house
def stuck(house: House, /, **said: Any) -> None:
    """Mark CARD stuck, and hear what next; it stays open."""
    _mark(house, "stuck", **said)


@click.command()
@_card
@pass_house
def met(house: House, /, **said: Any) -> None:
    """Keep what was found on the way, with --text; it is a note until it is said as a fault."""
    _mark(house, "found", **said)


@click.command()
@_card
@click.option("--until", metavar="DAY", help="Not before that day: Friday, 2026-12-18.")
@pass_house
def notnow(house: House, /, until: str | None, **said: Any) -> None:
    """Put CARD off."""
    until_on = day(until, "until", today(house), ahead=True)
    _mark(house, "not_now", until_on=until_on, **said)


@click.command()
@_card
@pass_house
def reopen(house: House, /, **said: Any) -> None:
    """Open CARD again that was marked done; the act it stood for is taken back."""
    _mark(house, "open_again", **said)


def _mark(
    house: House, how: How, *, lot: str, card: str, machine: str | None, on: str | None,
    as_json: bool, shop: str | None, left: float | None = None, **said: Any,
) -> None:  # fmt: skip
    kinds, at = house.kinds(), today(house, on)
    with house.open_shop(shop) as opened:
        where = machine_of(opened, lot, machine)
        record = fix.mark(opened, *where, card, how, kinds, on=at, left_hours=left, **said,
                          **house.hand)  # fmt: skip
        after = fix.what_next(opened, record, kinds, on=at)
    if as_json:
        row = {"card": card, "how": how, "kept": record.id, "next": list(after), "why": {}}
        click.echo(dumps(row | {"schema": "fix.marked.1"}))
        return
    click.echo(say("Kept: {id}", id=record.id))
    put(iter(after))
