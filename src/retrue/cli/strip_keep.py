"""What is said and done while a machine comes apart, kept line by line."""

from __future__ import annotations

from pathlib import Path
from typing import Any, get_args

import click

from retrue.base.say import say
from retrue.base.units import read
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.options import content_of, json_option, shop_option
from retrue.cli.strip_options import amount, lot_argument, machine_of, machine_option
from retrue.phases import strip
from retrue.records.stripping import Muck, TakenSort

pass_house = click.make_pass_decorator(House)
TEXT = click.option("--text", default="", help="One sentence about it.")


def kept(id: str, as_json: bool, **more: Any) -> None:
    """Say what was kept under which id."""
    if as_json:
        click.echo(dumps({"kept": id, **more, "schema": "strip.kept.1"}))
        return
    click.echo(say("Kept: {id}", id=id))


@click.command()
@lot_argument
@click.argument("list", metavar="LIST", type=click.Choice(strip.LISTS))
@click.argument("item", metavar="ITEM")
@machine_option
@TEXT
@json_option
@shop_option
@pass_house
def tick(
    house: House, lot: str, list: str, item: str, machine: str | None, text: str, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Tick ITEM of LIST: first_night, evening, dies_first, or allowed, which is never refused."""
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = strip.tick(opened, *at, list, item, house.kinds(), text, **house.hand)
    kept(record.id, as_json)


@click.command()
@lot_argument
@click.argument("place", metavar="PLACE")
@click.argument("paths", metavar="FILE...", nargs=-1, required=True)
@machine_option
@click.option("--entry", metavar="ID", help="Which line of the list; else the next open shot.")
@click.option("--taken", metavar="CODE", help="The label it belongs to.")
@json_option
@shop_option
@pass_house
def shot(
    house: House, lot: str, place: str, paths: tuple[str, ...], machine: str | None,
    entry: str | None, taken: str | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep photographs of PLACE; nothing has to be said of them."""
    ids = []
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        for path in paths:
            record = strip.keep_shot(
                opened, *at, place, content_of(path), Path(path).name, house.prove,
                house.kinds(), entry=entry, taken=taken, **house.hand,
            )  # fmt: skip
            ids.append((record.id, record.fact.shot))
    if as_json:
        rows = [{"id": id, "shot": line or ""} for id, line in ids]
        click.echo(dumps({"kept": rows, "schema": "strip.shots.1"}))
        return
    for id, line in ids:
        click.echo(say("Kept: {id}", id=id) + (f" ({line})" if line else ""))


@click.command()
@lot_argument
@click.argument("entry", metavar="ENTRY")
@machine_option
@click.option(
    "--state", type=click.Choice(strip.STATES), default="done", show_default=True,
    help="Done, later, or not possible.",
)  # fmt: skip
@click.option("--why", default="", help="Not possible because.")
@click.option("--reading", metavar="AMOUNT", help="What was read, with its unit: 0.04 mm.")
@TEXT
@json_option
@shop_option
@pass_house
def entry(
    house: House, lot: str, entry: str, machine: str | None, state: str, why: str,
    reading: str | None, text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Say of line ENTRY that it is done, comes later, or is not possible because."""
    found = read(reading, field="reading") if reading is not None else None
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = strip.say_entry(
            opened, *at, entry, house.kinds(), state=state, why=why,
            reading=float(found.value) if found else None, unit=found.unit if found else "",
            text=text, **house.hand,
        )  # fmt: skip
    kept(record.id, as_json)


@click.command()
@lot_argument
@click.argument("place", metavar="PLACE")
@click.argument("sort", type=click.Choice(get_args(TakenSort)))
@machine_option
@click.option("--what", default="", help="What it is.")
@click.option("--from", "from_end", default="", help="Where one end belongs.")
@click.option("--to", "to_end", default="", help="Where the other end belongs.")
@click.option("--count", type=click.IntRange(min=1), help="Pieces in the bag.")
@click.option("--torque", metavar="AMOUNT", help="With its unit: 35 Nm, 26 lbf.ft.")
@click.option("--shim", metavar="AMOUNT", help="Thickness with its unit: 0.5 mm, 0.02 in.")
@click.option(
    "--state", type=click.Choice(("whole", "stuck", "broken")), default="whole",
    show_default=True, help="How it came off.",
)  # fmt: skip
@click.option("--step", type=click.IntRange(min=1), help="At which step; else in this order.")
@TEXT
@json_option
@shop_option
@pass_house
def off(
    house: House, /, lot: str, place: str, sort: str, machine: str | None, torque: str | None,
    shim: str | None, step: int | None, as_json: bool, shop: str | None, **said: Any,
) -> None:  # fmt: skip
    """Keep that something of PLACE was undone; it gets the code for its label."""
    said |= {"torque_nm": amount(torque, "Nm", "torque"), "shim_mm": amount(shim, "mm", "shim")}
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = strip.take_off(opened, *at, place, sort, house.kinds(), **said, **house.hand)
        if step is not None:
            strip.write_step(opened, *at, record.id, step, **house.hand)
    if as_json:
        kept(record.id, as_json, code=record.fact.code)
        return
    click.echo(say("Write on its label: {code}", code=record.fact.code))


@click.command()
@lot_argument
@click.argument("codes", metavar="CODE...", nargs=-1, required=True)
@machine_option
@click.option("--torque", metavar="AMOUNT", help="As it was done up: 35 Nm, 26 lbf.ft.")
@TEXT
@json_option
@shop_option
@pass_house
def back(
    house: House, lot: str, codes: tuple[str, ...], machine: str | None, torque: str | None,
    text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep that what carries CODE is back where it belongs."""
    done_up = amount(torque, "Nm", "torque")
    ids = []
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        for code in codes:
            record = strip.put_back(opened, *at, code, torque_nm=done_up, text=text, **house.hand)
            ids.append(record.id)
        left = len(strip.remaining(opened, *at, house.kinds()))
    if as_json:
        click.echo(dumps({"kept": ids, "remaining": left, "schema": "strip.back.1"}))
        return
    click.echo(say("Not yet back: {count}", count=left))


@click.command()
@lot_argument
@click.argument("place", metavar="PLACE")
@click.argument("muck", type=click.Choice(get_args(Muck)))
@machine_option
@click.option("--hours", type=float, help="Own hours.")
@click.option("--waste", metavar="AMOUNT", help="What came off, with its unit: 12 kg, 26 lb.")
@TEXT
@json_option
@shop_option
@pass_house
def clean(
    house: House, lot: str, place: str, muck: str, machine: str | None, hours: float | None,
    waste: str | None, text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep that PLACE was cleaned of MUCK: refused with the list while it is not kept as found."""
    said: dict[str, Any] = {"hours": hours, "waste_kg": amount(waste, "kg", "waste"), "text": text}
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = strip.clean(opened, *at, place, muck, house.kinds(), **said, **house.hand)
    kept(record.id, as_json)


@click.command()
@lot_argument
@click.argument("place", metavar="PLACE")
@click.argument("when", type=click.Choice(("before", "after", "after_running")))
@click.argument(
    "sort", type=click.Choice(("insulation", "winding", "tape", "wipe", "sludge", "other"))
)
@machine_option
@click.option("--point", default="", help="Where exactly: the same words before and after.")
@click.option("--reading", metavar="AMOUNT", help="With its unit: 20 MΩ, 0.4 GΩ, 12 mm.")
@click.option("--seen", type=click.Choice(("clean", "grey", "dirty")), help="Of a wipe or tape.")
@click.option("--temperature", metavar="AMOUNT", help="Of the room: 21 °C, 70 °F.")
@click.option("--humidity", metavar="AMOUNT", help="Of the room: 45 %.")
@TEXT
@json_option
@shop_option
@pass_house
def reading(
    house: House, lot: str, place: str, when: str, sort: str, machine: str | None, point: str,
    reading: str | None, seen: str | None, temperature: str | None, humidity: str | None,
    text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep a reading of PLACE that cleaning is proved by: before, after, or after running."""
    found = read(reading, field="reading") if reading is not None else None
    said: dict[str, Any] = {
        "point": point, "seen": seen or "", "text": text,
        "reading": float(found.value) if found else None, "unit": found.unit if found else "",
        "air_c": amount(temperature, "°C", "temperature"),
        "humidity_percent": amount(humidity, "%", "humidity"),
    }  # fmt: skip
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = strip.clean_reading(
            opened, *at, place, when, sort, house.kinds(), **said, **house.hand
        )
    kept(record.id, as_json)


@click.command("take-back")
@click.argument("record", metavar="ID")
@click.option("--reason", default="", help="Why it does not count.")
@json_option
@shop_option
@pass_house
def take_back(house: House, record: str, reason: str, as_json: bool, shop: str | None) -> None:
    """Take back what was said by mistake; it stays readable and counts no more."""
    with house.open_shop(shop) as opened:
        gone = strip.withdraw(opened, record, reason, **house.hand)
    kept(gone.id, as_json, of=gone.fact.of_kind)
