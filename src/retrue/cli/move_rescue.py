"""Data saved before the plug is pulled, and the steps of a move."""

from __future__ import annotations

from pathlib import Path

import click

from retrue.base.say import say
from retrue.cases.move.steps import DATA, STEPS
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.options import content_of, json_option, shop_option
from retrue.phases import move as phase
from retrue.records.moving import DataCopy
from retrue.records.shop import Record

pass_house = click.make_pass_decorator(House)
SORT = click.Choice(tuple(DATA))


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("sort", type=SORT, metavar="SORT")
@click.argument("file", required=False, type=click.Path(exists=True, dir_okay=False,
                path_type=Path))  # fmt: skip
@click.option("--how", default="", help="Serial line, memory card, photographed screens.")
@click.option("--second-place", default="", help="Where the other copy lies.")
@click.option("--none", default="", metavar="WHY", help="It is not possible because ...")
@json_option
@shop_option
@pass_house
def save(
    house: House, lot: str, machine: str, sort: str, file: Path | None, how: str,
    second_place: str, none: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep a copy of one sort of data with its checksum, or why there can be none.

    The memory cell stays in its place until everything is saved and read back; it is changed with
    the control powered, unless its manual says otherwise.
    """
    with house.open_shop(shop) as opened:
        kept = None
        if file is not None:
            content = content_of(str(file))
            kept = phase.keep_data_file(
                opened, lot, machine, content, file.name, house.prove, house.kinds(), **house.hand
            ).id
        fact = DataCopy(lot=lot, machine=machine, sort=sort, how=how or ("file" if file else ""),  # type: ignore[arg-type]  # click has checked the word
                        file=kept, second_place=second_place, none=none)  # fmt: skip
        record = phase.keep_copy(opened, lot, machine, fact, house.kinds(), **house.hand)
    _tell(record, as_json)


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("sort", type=SORT, metavar="SORT")
@click.argument("file", metavar="FILE")
@json_option
@shop_option
@pass_house
def readback(
    house: House, lot: str, machine: str, sort: str, file: str, as_json: bool, shop: str | None
) -> None:
    """Compare a file that was read again with the one that was kept, byte for byte."""
    with house.open_shop(shop) as opened:
        record = phase.read_back(opened, lot, machine, sort, content_of(file), house.kinds(),
                                 **house.hand)  # fmt: skip
    _tell(record, as_json)


def _tell(record: Record[DataCopy], as_json: bool) -> None:
    fact = record.fact
    if as_json:
        told = {"how": fact.how, "none": fact.none or None, "read_back": fact.read_back,
                "record": record.id, "schema": "move.copy.1",
                "second_place": fact.second_place or None, "sha256": fact.sha256 or None,
                "sort": fact.sort}  # fmt: skip
        why = {name: say("not said") for name in ("none", "read_back", "second_place", "sha256")
               if told[name] is None}  # fmt: skip
        click.echo(dumps(told | {"why": why}))
        return
    name = say(DATA[fact.sort])
    if fact.none:
        click.echo(say("{name}: no copy, {why}.", name=name, why=fact.none))
    elif fact.read_back is None:
        click.echo(say("{name}: kept, not read back yet.", name=name))
    elif fact.read_back:
        click.echo(say("{name}: read back, every byte the same.", name=name))
    else:
        click.echo(say("{name}: read back, and NOT the same. Save it again.", name=name))
    if fact.sha256:
        click.echo(f"  sha256 {fact.sha256}")


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("step", type=click.Choice(tuple(one.id for one in STEPS)), metavar="STEP")
@click.option("--name", default="", help="Who did it, where the step asks.")
@click.option("--rigger", default="",
              help="Who lifts by their own numbers, instead of the calculators.")  # fmt: skip
@click.option("--text", default="", help="What was said.")
@json_option
@shop_option
@pass_house
def step(
    house: House, lot: str, machine: str, step: str, name: str, rigger: str, text: str,
    as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Tick a step of the move; one that waits for another is refused with the list."""
    with house.open_shop(shop) as opened:
        record = phase.do_step(opened, lot, machine, step, house.kinds(), name=name, rigger=rigger,
                               text=text, **house.hand)  # fmt: skip
        view = phase.plan(opened, lot, machine, house.kinds())
    if as_json:
        told = {"name": record.fact.name or None, "next": view.next or None, "record": record.id,
                "rigger": record.fact.rigger or None, "schema": "move.step.1",
                "step": record.fact.step}  # fmt: skip
        why = {key: say("none") for key in ("name", "next", "rigger") if told[key] is None}
        click.echo(dumps(told | {"why": why}))
        return
    click.echo(say("Kept: {what}.", what=say(next(s.text for s in STEPS if s.id == step))))
    if view.next:
        click.echo(say("Next: {what}", what=view.next))


@click.command("take-back")
@click.argument("record", metavar="ID")
@click.option("--reason", default="", help="Why.")
@json_option
@shop_option
@pass_house
def take_back(house: House, record: str, reason: str, as_json: bool, shop: str | None) -> None:
    """Take back what was said by mistake; it stays readable and counts no more."""
    with house.open_shop(shop) as opened:
        gone = phase.withdraw(opened, record, reason, **house.hand)
    if as_json:
        click.echo(dumps({"kept": gone.id, "of": gone.fact.of_kind, "schema": "move.back.1"}))
        return
    click.echo(say("Taken back: {kind}.", kind=gone.fact.of_kind))
