"""Limits and instruments of the shop: what stands against readings, and what reads them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import click

from retrue.base.formatter import short
from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.known import nearest
from retrue.cases.prove.said import amount
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.options import AMOUNT, json_option, shop_option
from retrue.cli.prove_options import REAL
from retrue.kinds.library import Kind
from retrue.phases import prove as phase
from retrue.phases.prove import InstrumentLine, LimitLine
from retrue.records.measuring import Instrument

pass_house = click.make_pass_decorator(House)
WAYS = ("owned", "borrow", "hire")


@click.command()
@click.argument("kind", metavar="KIND")
@click.option("--own", metavar="LIMIT=VALUE", help="Your own value for one of them.")
@click.option("--standard", default="", help="Of the copy you read it in.")
@click.option("--edition", default="", help="Of that copy.")
@click.option("--confirmed", is_flag=True, help="You read it in your own copy.")
@click.option("--reason", default="", help="Why, if there is a reason.")
@json_option
@shop_option
@pass_house
def limits(
    house: House, /, kind: str, own: str | None, as_json: bool, shop: str | None, **said: Any
) -> None:
    """Show the table of limits of a type of machine; keep your own value for one of them.

    Every value is from memory until you confirm it from your own copy of the standard.
    """
    of = _kind(house, kind)
    with house.open_shop(shop) as opened:
        if own is not None:
            limit, mark, value = own.partition("=")
            if not mark:
                raise click.UsageError(say("--own is LIMIT=VALUE, for instance level=30."))
            wanted = float(number(value, field="--own"))
            phase.keep_limit(opened, of, limit.strip(), wanted, **said, **house.hand)
        lines = phase.limits(opened, of)
    if as_json:
        rows = [_told_limit(line) for line in lines]
        click.echo(dumps({"kind": of.id, "limits": rows, "schema": 1}))
        return
    for line in lines:
        said_of = line.own.fact if line.own else line.limit
        source = " ".join(str(part) for part in (said_of.standard, said_of.edition) if part)
        held = ", ".join(str(part) for part in (source, say(line.mark)) if part)
        digits = 0 if float(line.value).is_integer() else 3
        click.echo(f"{line.limit.id}: {line.limit.name}")
        click.echo(f"  {amount(line.value, line.limit.unit, digits)}; {held}")


def _kind(house: House, id: str) -> Kind:
    kinds = house.kinds()
    if id in kinds:
        return kinds[id]
    raise Unknown(
        say("there is no type of machine {id}", id=id),
        remedy=nearest(id, list(kinds)) or say("retrue kinds list names the types of machine."),
    )


def _told_limit(line: LimitLine) -> dict[str, Any]:
    said = line.own.fact if line.own else line.limit
    names = ("id", "key", "name", "test", "unit", "note")
    told = {name: getattr(line.limit, name) for name in names}
    told |= {"standard": said.standard, "edition": said.edition}
    return told | {"mark": line.mark, "own": line.own is not None, "value": line.value}


@click.group()
def instrument() -> None:
    """What you measure with: owned, to borrow, or to hire."""


@instrument.command("list")
@json_option
@shop_option
@pass_house
def instruments(house: House, as_json: bool, shop: str | None) -> None:
    """List the instruments, with what each serves."""
    with house.open_shop(shop) as opened:
        lines = phase.instruments(opened)
    if as_json:
        click.echo(dumps({"instruments": [_told_instrument(line) for line in lines], "schema": 1}))
        return
    if not lines:
        click.echo(say("None yet. retrue prove instrument keep NAME --sort level keeps one."))
    for line in lines:
        fact = line.record.fact
        parts = [say(fact.way)]
        if fact.uncertainty is not None:
            parts.append(say("give or take {u}", u=f"{short(fact.uncertainty)} {fact.unit}"))
        if fact.due_on:
            parts.append(say("to be checked on {day}", day=fact.due_on))
        parts += [", ".join(str(one.id) for one in line.serves)] if line.serves else []
        click.echo(f"{fact.name}: {'; '.join(map(str, parts))}")


def _told_instrument(line: InstrumentLine) -> dict[str, Any]:
    fact = line.record.fact
    names = (
        "certificate", "certified_on", "due_on", "name", "resolution", "sort", "uncertainty",
        "unit", "way",
    )  # fmt: skip
    told: dict[str, Any] = {name: getattr(fact, name) for name in names}
    told |= {"hire_a_day": float(fact.hire_a_day) if fact.hire_a_day is not None else None}
    told |= {"id": line.id, "serves": [one.id for one in line.serves]}
    return told | {"why": {name: say("nobody said") for name in told if told[name] is None}}


@instrument.command("keep")
@click.argument("name")
@click.option("--sort", required=True, help="level, indicator, test_bar, square, ball_bar ...")
@click.option("--way", type=click.Choice(WAYS), default="owned", show_default=True, help="Whose.")
@click.option("--hire-a-day", type=AMOUNT, help="What a day of hire costs.")
@click.option("--unit", default="", help="Of resolution and uncertainty: µm, µm/m, °C.")
@click.option("--resolution", type=REAL, help="The smallest step that it shows.")
@click.option("--uncertainty", type=REAL, help="Give or take of one reading, k = 2.")
@click.option("--certificate", default="", help="Its number.")
@click.option("--certified-on", help="The day of the certificate: 2026-03-14.")
@click.option("--due-on", help="The day it is to be checked again.")
@json_option
@shop_option
@pass_house
def keep_instrument(
    house: House,
    /,
    hire_a_day: Decimal | None,
    as_json: bool,
    shop: str | None,
    **said: Any,
) -> None:
    """Keep an instrument; one of the same name takes the place of what stood before."""
    with house.open_shop(shop) as opened:
        fact = Instrument(hire_a_day=hire_a_day, **said)
        record = phase.keep_instrument(opened, fact, **house.hand)
    if as_json:
        click.echo(dumps({"id": record.id, "kept": [fact.name], "schema": 1}))
    else:
        click.echo(say("Kept: {what}", what=fact.name))
