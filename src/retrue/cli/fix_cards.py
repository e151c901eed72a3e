"""Job cards at the keyboard."""

from __future__ import annotations

from pathlib import Path

import click

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.fix.cards_json import card_row, cards_row
from retrue.cases.fix.lines import Cards
from retrue.cases.known import nearest
from retrue.cases.lot_file import read_lot
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_card_lines import card_lines, cards_lines
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, is_file, json_option, shop_option
from retrue.cli.strip_options import machine_of
from retrue.cli.strip_rows import put_file
from retrue.phases import fix

pass_house = click.make_pass_decorator(House)
PDF = click.Path(dir_okay=False, path_type=Path)
LEVELS = ("just_running", "right", "like_new")


@click.command()
@click.argument("lot", metavar="LOT|FILE")
@click.argument("machine", metavar="[MACHINE]", required=False)
@click.option("--level", type=click.Choice(LEVELS), help="How far; else as it is worked for.")
@click.option("--card", metavar="KEY", help="One card with every step: F15:local, J05.")
@click.option("--all", "whole", is_flag=True, help="With what is done and what nobody has seen.")
@click.option("--pdf", type=PDF, help="Write the cards to this PDF, a visit of a place a sheet.")
@click.option("--place", default="", help="Only the visit of one place: cabinet.")
@json_option
@shop_option
@pass_house
def cards(
    house: House, lot: str, machine: str | None, level: str | None, card: str | None,
    whole: bool, pdf: Path | None, place: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Job cards of a machine, in an order that may be worked; each place opened and closed once.

    LOT is a lot in the shop, or a lot file. Hours are estimates for planning. With --pdf they are
    sheets to fill in with a pencil: all visits, one place, or one card.
    """
    made = _cards(house, lot, machine, level, shop)
    kind = house.kinds()[made.kind]
    if pdf is not None:
        sheets = fix.card_sheets(made, house.kinds(), place=place, card=card or "")
        put_file(pdf, house.printer.cards(sheets, house.by))
        click.echo(str(pdf), err=as_json)
    if card is None:
        if as_json:
            click.echo(dumps(cards_row(made)))
            return
        put(cards_lines(made, kind, whole=whole))
        return
    one = next((each for each in made.cards if each.key == card), None)
    if one is None:
        raise Unknown(
            say("{machine} has no card {key}", machine=made.machine_name, key=card),
            remedy=nearest(card, [each.key for each in made.cards])
            or say("`retrue fix cards` lists them."),
        )
    if as_json:
        row = {"lot": made.lot_name, "machine": made.machine_name, "schema": "fix.card.1"}
        click.echo(dumps(card_row(one) | row))
        return
    put(card_lines(one, kind))


def _cards(
    house: House, lot: str, machine: str | None, level: str | None, shop: str | None
) -> Cards:
    kinds, on = house.kinds(), today(house)
    if is_file(lot):
        case = read_lot(content_of(lot), lot, kinds)
        name = machine or _only([one.name for one in case.machines])
        return fix.cards_file(case, name, kinds, level=level, on=on)
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        return fix.cards(opened, *at, kinds, level=level, on=on)


def _only(names: list[str]) -> str:
    if len(names) != 1:
        raise Unknown(
            say("the lot has {count} machines", count=len(names)),
            remedy=say("Say which: {names}.", names=", ".join(map(str, names)) or "-"),
        )
    return names[0]
