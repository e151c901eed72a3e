"""Who may in, at the keyboard: the list of devices, and turning one away."""

from __future__ import annotations

from typing import Any

import click

from retrue.base.formatter import minute
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.phases import devices as phase
from retrue.phases.devices import Device

pass_house = click.make_pass_decorator(House)


@click.command()
@json_option
@shop_option
@pass_house
def devices(house: House, /, as_json: bool, shop: str | None) -> None:
    """Devices that may speak to the shop, and those that were turned away."""
    with house.open_shop(shop) as opened:
        every = phase.devices(opened)
    if as_json:
        click.echo(dumps({"devices": [_flat(one) for one in every], "schema": "shop.devices.1"}))
        return
    none = [say("No device has joined: retrue open --lan")]
    put(iter([_line(one) for one in every] or none))


@click.command()
@click.argument("device")
@click.option("--why", default="", metavar="WORDS", help="Why: lost, sold, no longer a helper.")
@json_option
@shop_option
@pass_house
def revoke(house: House, /, device: str, why: str, as_json: bool, shop: str | None) -> None:
    """Turn DEVICE away from its next request on: its name, or as the list calls it.

    What it wrote stays, under the name of its person. It may in again only with a new code.
    """
    with house.open_shop(shop) as opened:
        gone = phase.revoke(opened, device, why, **house.hand)
        one = next(one for one in phase.devices(opened) if one.gone_at == gone.noted_at)
    if as_json:
        click.echo(dumps(_flat(one) | {"schema": "shop.revoke.1"}))
        return
    click.echo(_line(one))


def _flat(one: Device) -> dict[str, Any]:
    """What is known of it; what does not apply to it is left out."""
    fact = one.fact
    told = {
        "device": fact.device,
        "gone_at": one.gone_at.isoformat() if one.gone_at else None,
        "gone_by": one.gone_by or None,
        "invited_by": one.invited_by,
        "joined_at": one.joined_at.isoformat(),
        "name": fact.name,
        "person": fact.person,
        "record": fact.given,
        "role": fact.role,
        "until_on": fact.until_on,
    }
    return {name: value for name, value in told.items() if value is not None}


def _line(one: Device) -> str:
    fact = one.fact
    role = {"owner": say("owner"), "helper": say("helper"), "buyer": say("buyer")}[fact.role]
    until = say(" until {day}", day=fact.until_on) if fact.until_on else ""
    if one.gone_at is None:
        return say(
            "{device}  {name}, {person}: {role}{until}, joined {when}",
            device=fact.device, name=fact.name, person=fact.person, role=role, until=until,
            when=minute(one.joined_at.astimezone()),
        )  # fmt: skip
    return say(
        "{device}  {name}, {person}: turned away {when} by {by}",
        device=fact.device, name=fact.name, person=fact.person,
        when=minute(one.gone_at.astimezone()), by=one.gone_by,
    )  # fmt: skip
