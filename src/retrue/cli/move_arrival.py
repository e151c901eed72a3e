"""Arrival: how it came, photographs of its sides, the damage note."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.options import content_of, json_option, shop_option
from retrue.phases import move as phase
from retrue.phases import worth
from retrue.records.moving import Arrived

pass_house = click.make_pass_decorator(House)
CAUTION = "X44"


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.option("--on", "delivered_on", required=True, help="Day of delivery, as 2026-11-25.")
@click.option("--carrier", default="", help="Who brought it.")
@click.option("--waybill", default="", help="Number of the consignment note.")
@click.option("--damage", type=click.Choice(("none", "visible", "hidden", "not_looked")),
              default="not_looked", show_default=True, help="What was found.")  # fmt: skip
@click.option("--found-on", help="Day it was found.")
@click.option("--text", default="", help="What is broken, in plain words.")
@click.option("--law", type=click.Choice(("CMR", "local")), default="CMR", show_default=True,
              help="Which law the carriage is under.")  # fmt: skip
@click.option("--written-on", help="Day the carrier was written to.")
@click.option("--local-days", type=int, help="Days that local law or the contract gives.")
@json_option
@shop_option
@pass_house
def arrive(
    house: House, /, lot: str, machine: str, as_json: bool, shop: str | None, **given: Any
) -> None:
    """Keep how a machine came; damage has a last day for the note to the carrier."""
    with house.open_shop(shop) as opened:
        fact = Arrived(lot=lot, machine=machine, **given)
        record = phase.arrived(opened, lot, machine, fact, house.kinds(), **house.hand)
        view = phase.arrival(opened, lot, machine, house.kinds(), house.clock().date())
    if as_json:
        told = {"damage": record.fact.damage, "days_left": view.days_left,
                "last_day": view.last_day, "record": record.id,
                "schema": "move.arrive.1"}  # fmt: skip
        why = {key: say("no damage is kept") for key in ("days_left", "last_day")
               if told[key] is None}  # fmt: skip
        click.echo(dumps(told | {"why": why}))
        return
    click.echo(say("Kept: delivered on {day}.", day=record.fact.delivered_on))
    if not view.term_known:
        click.echo(
            say(
                "Write to the carrier today; the days that the local law gives are not "
                "known: retrue move damage {lot} {machine}",
                lot=lot,
                machine=machine,
            )
        )
    elif view.last_day:
        click.echo(say("Write to the carrier by {day}: retrue move damage {lot} {machine}",
                       day=view.last_day, lot=lot, machine=machine))  # fmt: skip


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("spot", type=click.Choice(("truck", "floor")), metavar="SPOT")
@click.argument("side", type=click.Choice(("front", "right", "back", "left", "feet")),
                metavar="SIDE")  # fmt: skip
@click.argument("file", metavar="FILE")
@json_option
@shop_option
@pass_house
def side(
    house: House, lot: str, machine: str, spot: str, side: str, file: str, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Keep a photograph of one side, on the truck or on the floor."""
    with house.open_shop(shop) as opened:
        record = phase.keep_side(
            opened, lot, machine, content_of(file), Path(file).name, house.prove, house.kinds(),
            spot=spot, side=side, **house.hand,
        )  # fmt: skip
    if as_json:
        told = {"record": record.id, "schema": "move.side.1", "sha256": record.fact.sha256,
                "side": side, "spot": spot}  # fmt: skip
        click.echo(dumps(told))
        return
    click.echo(say("Kept: {side}, {spot}.", side=side, spot=spot))


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path),
              help="Write it to this PDF as well.")  # fmt: skip
@json_option
@shop_option
@pass_house
def damage(
    house: House, lot: str, machine: str, out: Path | None, as_json: bool, shop: str | None
) -> None:
    """Write the damage note to the carrier, with its last day: local law first, then CMR."""
    today = house.clock()
    with house.open_shop(shop) as opened:
        view = phase.arrival(opened, lot, machine, house.kinds(), today.date())
        pictures = phase.damage_pictures(opened, lot, machine, house.kinds())
        mine = worth.my_shop(opened)
    name = mine.fact.name if mine else say("my shop")
    text = house.printer.damage_text(view, pictures, name, today.date())
    if not text:
        raise NotYet(
            say("no damage is kept of this machine"),
            remedy=say("retrue move arrive LOT MACHINE --on DAY --damage visible --text WORDS"),
        )
    if out is not None:
        out.write_bytes(house.printer.damage(view, pictures, name, house.by))
    if as_json:
        told = {"days_left": view.days_left, "file": str(out) if out else None,
                "last_day": view.last_day, "note": text, "schema": "move.damage.1"}  # fmt: skip
        click.echo(dumps(told | {"why": {} if out else {"file": say("not asked for")}}))
        return
    caution = next(iter(house.kinds().values())).cautions[CAUTION]
    click.echo(say("Caution: {text}", text=caution.text))
    click.echo(text)
    if out is not None:
        click.echo(str(out))
