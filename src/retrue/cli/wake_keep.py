"""What is said and read while a machine is woken, kept line by line."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import read as read_amount
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.options import json_option, shop_option
from retrue.cli.strip_options import amount, lot_argument, machine_of, machine_option
from retrue.phases import wake
from retrue.phases.wake import Expected
from retrue.records.hand import Hand
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)
STAGE = click.argument("stage", metavar="STAGE")
CALLED_OFF = ("aborted", "strip")
OF_DAY = len("18:30:00")
NAME = click.option("--name", required=True, help="Whose name stands under it.")
TEXT = click.option("--text", default="", help="One sentence about it.")


def kept(id: str, as_json: bool, **more: Any) -> None:
    """Say what was kept under which id, and how its stage stands now."""
    if as_json:
        click.echo(dumps({"kept": id, **more, "schema": "wake.kept.1"}))
        return
    click.echo(say("Kept: {id}", id=id))
    if more.get("next_act"):
        click.echo(more["next_act"])


def _after(shop: RecordShop, house: House, at: tuple[str, str], stage: str) -> dict[str, Any]:
    """How the stage stands after it: what a keyboard says with an id."""
    stands = wake.stage(shop, *at, stage, house.kinds())
    words = {
        "aborted": say("Called off: {why}", why=stands.ended.fact.why if stands.ended else ""),
        "strip": say("Called off twice: strip."),
        "signed": say("{stage} is signed.", stage=stands.stage.stage),
        "begun": say("Not signed yet: {count} things.", count=len(stands.unsigned)),
    }
    next_act = words.get(stands.state, "")
    return {"next_act": next_act, "stage": stands.stage.id, "state": stands.state}


@click.command()
@lot_argument
@STAGE
@machine_option
@click.option("--by-name", required=True, help="Who does it.")
@click.option("--at-switch", default="", help="Who else stands at the main switch.")
@click.option("--licence", default="", help="Of the electrician or drive specialist.")
@click.option("--caution", "cautions", multiple=True, metavar="ID", help="Read: X32; repeat it.")
@click.option("--all-cautions", is_flag=True, help="All cautions of the stage were read.")
@click.option("--laptop/--paper", default=None, help="What keeps the watch of a watched stage.")
@click.option("--heard", is_flag=True, help="The alarm was heard once, at the machine.")
@click.option("--step", type=int, help="Of the run-in; else the next.")
@click.option("--choice", default="", help="Of the first turn of a lathe: jaws_off or clamped.")
@click.option("--pressure", metavar="AMOUNT", help="Clamped: at the cylinder, pump off: 40 bar.")
@click.option(
    "--expect", "expected", multiple=True, metavar="NAME=LOW..HIGH:WHY",
    help="A band the plate does not tell: motor_amps=..3:own plate; repeat it.",
)  # fmt: skip
@TEXT
@json_option
@shop_option
@pass_house
def begin(
    house: House, /, lot: str, stage: str, machine: str | None, cautions: tuple[str, ...],
    all_cautions: bool, pressure: str | None, expected: tuple[str, ...], as_json: bool,
    shop: str | None, **said: Any,
) -> None:  # fmt: skip
    """Begin STAGE: what it should read is written down with it.

    Refused (exit 3) with one line for each thing that is open: an earlier stage, a look, a job,
    something that is not back, nobody at the switch, a caution that was not read.
    """
    kinds = house.kinds()
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        if all_cautions:
            cautions = wake.stage(opened, *at, stage, kinds).stage.cautions
        bar = amount(pressure, "bar", "pressure")
        bands = tuple(_expected(one) for one in expected)
        record = wake.begin(
            opened, *at, stage, kinds, cautions=cautions, pressure_bar=bar, expected=bands,
            **said, **house.hand,
        )  # fmt: skip
        kept(record.id, as_json, **_after(opened, house, at, stage))


@click.command("read")
@lot_argument
@STAGE
@click.argument("band", metavar="NAME")
@click.argument("reading", metavar="AMOUNT")
@machine_option
@click.option("--point", default="", help="Where: L1 to L2, coolant pump.")
@click.option("--instrument", default="", help="What it was read with.")
@click.option("--taken-by", default="", help="Who read it.")
@click.option("--until", metavar="WHEN", help="When it was read, or hours ended: 18:30; else now.")
@TEXT
@json_option
@shop_option
@pass_house
def read(
    house: House, /, lot: str, stage: str, band: str, reading: str, machine: str | None,
    as_json: bool, shop: str | None, until: str | None, **said: Any,
) -> None:  # fmt: skip
    """Keep one reading of STAGE: NAME is one of its bands, AMOUNT as read.

    A bare number is in the unit of the band. Outside the abort limits it ends the stage: exit 1.
    """
    found = read_amount(reading, field="reading")
    hand: Hand = {**house.hand, "observed_at": _moment(until, house.clock())}
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = wake.read(
            opened, *at, stage, band, float(found.value), house.kinds(), unit=found.unit, **said,
            **hand,
        )  # fmt: skip
        more = {"name": record.fact.name, "reading": record.fact.reading, "unit": record.fact.unit}
        after = _after(opened, house, at, stage)
        kept(record.id, as_json, **more, **after, aborted=after["state"] in CALLED_OFF)
    click.get_current_context().exit(1 if after["state"] in CALLED_OFF else 0)


def _moment(text: str | None, now: datetime) -> datetime:
    """A time of today, or a moment; not one that is still to come.

    Raises
    ------
    Unusable
        It is none.
    """
    if not text:
        return now
    here = now.astimezone()
    try:
        found = datetime.fromisoformat(f"{here.date()}T{text}" if len(text) <= OF_DAY else text)
    except ValueError:
        found = None
    at = found.astimezone(here.tzinfo) if found is not None else None
    if at is None or at > now:
        told = say("is {text}", text=text) if at is None else say("is still to come")
        remedy = say("Write 18:30, or 2026-11-26T18:30.")
        raise Unusable(say("when was that?"), remedy=remedy,
                       problems=(Problem("until", told, remedy),))  # fmt: skip
    return at


@click.command()
@lot_argument
@STAGE
@machine_option
@NAME
@click.option("--licence", default="", help="Of whoever signs what only he may.")
@TEXT
@json_option
@shop_option
@pass_house
def sign(
    house: House, /, lot: str, stage: str, machine: str | None, name: str, as_json: bool,
    shop: str | None, **said: Any,
) -> None:  # fmt: skip
    """Sign the stop point of STAGE, or of the run-in step that is going on."""
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = wake.sign(opened, *at, stage, name, house.kinds(), **said, **house.hand)
        kept(record.id, as_json, **_after(opened, house, at, stage))


@click.command()
@lot_argument
@STAGE
@machine_option
@NAME
@TEXT
@json_option
@shop_option
@pass_house
def leave(
    house: House, lot: str, stage: str, machine: str | None, name: str, text: str, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Leave STAGE for another day: nothing failed, nothing is signed; attended hours stay."""
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = wake.leave(opened, *at, stage, name, house.kinds(), text=text, **house.hand)
        kept(record.id, as_json, **_after(opened, house, at, stage))


@click.command("not-fitted")
@lot_argument
@STAGE
@machine_option
@NAME
@TEXT
@json_option
@shop_option
@pass_house
def not_fitted(
    house: House, lot: str, stage: str, machine: str | None, name: str, text: str, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Say by name that nothing is there that STAGE wakes: a flat bed has no sloping slide."""
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = wake.not_fitted(opened, *at, stage, name, house.kinds(), text=text, **house.hand)
        kept(record.id, as_json, **_after(opened, house, at, stage))


@click.command()
@lot_argument
@STAGE
@click.argument("why", metavar="WHY")
@machine_option
@NAME
@json_option
@shop_option
@pass_house
def abort(
    house: House, lot: str, stage: str, why: str, machine: str | None, name: str, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Call STAGE off because of WHY: smell, growl; its cause is found before a second try."""
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = wake.abort(opened, *at, stage, name, why, house.kinds(), **house.hand)
        kept(record.id, as_json, **_after(opened, house, at, stage))


@click.command()
@lot_argument
@STAGE
@click.argument("cause", metavar="CAUSE")
@machine_option
@NAME
@click.option("--nose", metavar="AMOUNT", help="Of a spindle, as measured now: 24 °C.")
@click.option("--room", metavar="AMOUNT", help="The room: 21 °C.")
@TEXT
@json_option
@shop_option
@pass_house
def found(
    house: House, lot: str, stage: str, cause: str, machine: str | None, name: str,
    nose: str | None, room: str | None, text: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep why STAGE was called off; a spindle has cooled to within 5 K of the room first."""
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        record = wake.found(
            opened, *at, stage, name, cause, house.kinds(), nose_c=amount(nose, "°C", "nose"),
            room_c=amount(room, "°C", "room"), text=text, **house.hand,
        )  # fmt: skip
        kept(record.id, as_json, **_after(opened, house, at, stage))


@click.command("take-back")
@click.argument("record", metavar="ID")
@click.option("--reason", default="", help="Why; needed for what called a stage off.")
@json_option
@shop_option
@pass_house
def take_back(house: House, record: str, reason: str, as_json: bool, shop: str | None) -> None:
    """Take back what was typed by mistake; it stays readable and counts no more."""
    with house.open_shop(shop) as opened:
        gone = wake.take_back(opened, record, reason=reason, **house.hand)
    kept(gone.id, as_json, of=gone.fact.of_kind)


def _expected(text: str) -> Expected:
    """A band as it was typed: motor_amps=0.5..3:the motor's own plate.

    Raises
    ------
    Unusable
        It is none.
    """
    name, _, rest = text.partition("=")
    ends, _, why = rest.partition(":")
    low, dots, high = ends.partition("..")
    if not name or not dots:
        remedy = say("Write it as motor_amps=0.5..3:why; leave one end empty where there is none.")
        raise Unusable(
            say("{text} is no band", text=f"“{text}”"), remedy=remedy,
            problems=(Problem("expect", say("is no band"), remedy),),
        )  # fmt: skip
    found = {end: read_amount(part, field="expect").value for end, part in
             (("low", low), ("high", high)) if part.strip()}  # fmt: skip
    return Expected(name=name.strip(), why=why.strip(),
                    **{end: float(value) for end, value in found.items()})  # fmt: skip
