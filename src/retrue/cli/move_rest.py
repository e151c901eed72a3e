"""A machine at rest: laid up, rounds, what is due."""

from __future__ import annotations

from typing import Any

import click

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.move.steps import ROUND
from retrue.cases.reckon.reckoning import flat
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.cli.prove_options import REAL
from retrue.cli.reckon_lines import reckoning_lines
from retrue.phases import move as phase
from retrue.phases.move import Rest
from retrue.records.moving import LaidUp, Round

pass_house = click.make_pass_decorator(House)


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.option("--since", "since_on", help="From this day on, as 2026-11-25: keep it.")
@click.option("--until", "until_on", help="The day it was taken out again.")
@click.option("--where", default="", help="Where it stands.")
@click.option("--every", "every_days", type=click.IntRange(1, 366), default=30,
              show_default=True, help="Days between two rounds.")  # fmt: skip
@click.option("--cell-changed", "cell_changed_on", help="Day the memory cell was changed.")
@click.option("--cell-years", type=REAL, help="Years that such a cell lasts: retrue move layup.")
@json_option
@shop_option
@pass_house
def rest(
    house: House, /, lot: str, machine: str, as_json: bool, shop: str | None, **given: Any
) -> None:
    """Tell how a machine at rest stands; with --since keep from when."""
    with house.open_shop(shop) as opened:
        if given["since_on"]:
            fact = LaidUp(lot=lot, machine=machine, **given)
            phase.lay_up(opened, lot, machine, fact, house.kinds(), **house.hand)
        view = phase.rest(opened, lot, machine, house.kinds(), house.clock().date())
    if as_json:
        click.echo(dumps(_told(view)))
        return
    put(reckoning_lines(view.reckoning))  # its cautions come first
    for line in _lines(view):
        click.echo(line)


def _told(view: Rest) -> dict[str, Any]:
    fact = view.record.fact if view.record else None
    told: dict[str, Any] = {
        "cell_until": view.cell_until_on,
        "damp": flat(view.reckoning),
        "due": view.due_on,
        "overdue_days": view.overdue_days,
        "rounds": [
            {"done": list(one.record.fact.done), "margin_kelvin": one.margin_kelvin,
             "when": f"{one.when:%Y-%m-%d}"}
            for one in view.rounds
        ],
        "schema": "move.rest.1",
        "since": fact.since_on if fact else None,
        "until": fact.until_on if fact else None,
        "where": fact.where or None if fact else None,
    }  # fmt: skip
    nulls = ("cell_until", "due", "since", "until", "where")
    return told | {"why": {key: say("not said") for key in nulls if told[key] is None}}


def _lines(view: Rest) -> list[str]:
    if view.record is None:
        return [say("This machine is not laid up.")]
    lines = [say("At rest since {day}.", day=view.record.fact.since_on)]
    if view.overdue_days:
        lines.append(say("The round of {day} is {count} days late.", day=view.due_on or "",
                         count=number(view.overdue_days)))  # fmt: skip
    elif view.due_on:
        lines.append(say("Next round on {day}.", day=view.due_on))
    if view.near_kelvin is not None:
        lines.append(say("At the last round iron was {kelvin} K over the dew point: oil it now.",
                         kelvin=number(view.near_kelvin, 1)))  # fmt: skip
    if view.cell_until_on:
        lines.append(say("Memory cell: to be changed before {day}, with the control powered "
                         "unless its manual says otherwise.", day=view.cell_until_on))  # fmt: skip
    for one in view.rounds:
        margin = "" if one.margin_kelvin is None else f", {number(one.margin_kelvin, 1)} K"
        lines.append(f"  {one.when:%Y-%m-%d}  {', '.join(one.record.fact.done)}{margin}")
    return lines


@click.command("round")
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("done", nargs=-1, type=click.Choice(tuple(ROUND)), metavar="[DONE]...")
@click.option("--air", "air_c", type=REAL, help="Air, in °C.")
@click.option("--humidity", "humidity_percent", type=REAL, help="Humidity, in per cent.")
@click.option("--iron", "machine_c", type=REAL, help="Bare iron, in °C.")
@click.option("--cell-volts", type=REAL, help="Memory cell in its place, in V.")
@click.option("--text", default="", help="What was seen.")
@json_option
@shop_option
@pass_house
def round_(
    house: House, /, lot: str, machine: str, done: tuple[str, ...], as_json: bool, shop: str | None,
    **given: Any,
) -> None:  # fmt: skip
    """Keep one round; the next one is due after the days that were said."""
    with house.open_shop(shop) as opened:
        fact = Round(lot=lot, machine=machine, done=done, **given)
        record = phase.go_round(opened, lot, machine, fact, house.kinds(), **house.hand)
        view = phase.rest(opened, lot, machine, house.kinds(), house.clock().date())
    if as_json:
        click.echo(dumps(_told(view) | {"record": record.id, "schema": "move.round.1"}))
        return
    click.echo(say("Kept. Next round on {day}.", day=view.due_on or "-"))
