"""The tests of a machine in the shop: what was read, what comes next, what is proved."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from retrue.base.say import say
from retrue.cases.prove.said import RULINGS
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.options import file_word, json_option, shop_option
from retrue.phases import prove as phase
from retrue.phases.prove import AcceptanceRow, TestLine

pass_house = click.make_pass_decorator(House)


@click.command("list")
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@json_option
@shop_option
@pass_house
def list_(house: House, lot: str, machine: str, as_json: bool, shop: str | None) -> None:
    """List all tests of a machine, the daily five first, and say which comes next."""
    with house.open_shop(shop) as opened:
        view = phase.bench(opened, lot, machine, house.kinds())
    if as_json:
        rows = [_told_test(line) for line in view.lines]
        told = {"level": view.level, "lot": view.lot, "machine": view.machine_name}
        click.echo(dumps(told | {"next": view.next.deed.id, "schema": 1, "tests": rows}))
        return
    click.echo(say("Next: {test}. {what}", test=view.next.deed.title, what=view.next.deed.what))
    if view.level:
        click.echo(view.level)
    wide = max(len(line.deed.id) for line in view.lines)
    for line in view.lines:
        click.echo(f"  {line.deed.id.ljust(wide)}  {_state(line)}")


def _told_test(line: TestLine) -> dict[str, Any]:
    last, begun = line.last, line.open_set
    told = {
        "id": line.deed.id,
        "open_set": begun.id if begun else None,
        "provisional": line.provisional,
        "ruling": last.fact.ruling if last else None,
        "title": line.deed.title,
    }
    why = {} if begun else {"open_set": say("no set is begun")}
    return told | {"why": why if last else why | {"ruling": say("not tested")}}


def _state(line: TestLine) -> str:
    parts = []
    if line.last is not None:
        ruling = line.last.fact.ruling
        parts.append(say(RULINGS[ruling]) if ruling else say("read, no limit"))
    elif line.open_set is None:
        parts.append(say("not tested"))
    if line.open_set is not None:
        parts.append(say("a set is begun"))
    if line.provisional:
        parts.append(line.provisional)
    return ", ".join(map(str, parts))


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write it to this PDF.  [default: MACHINE-acceptance.pdf]",
)
@json_option
@shop_option
@pass_house
def acceptance(
    house: House, lot: str, machine: str, out: Path | None, as_json: bool, shop: str | None
) -> None:
    """Print what is proved of one machine, what is provisional, and what nobody has tested."""
    with house.open_shop(shop) as opened:
        accepted = phase.acceptance(opened, lot, machine, house.kinds())
    path = out or Path(f"{file_word(accepted.machine)}-acceptance.pdf")
    path.write_bytes(house.printer.acceptance(accepted, house.by))
    if as_json:
        rows = [_told_row(row) for row in accepted.rows]
        told = {"file": str(path), "lot": accepted.lot, "machine": accepted.machine, "rows": rows}
        told |= {"cautions": list(accepted.cautions), "provisional": list(accepted.provisional)}
        click.echo(dumps(told | {"schema": 1}))
        return
    for caution in accepted.cautions:
        click.echo(say("Caution: {caution}", caution=caution))
    for row in accepted.rows:
        word = say(RULINGS[row.ruling]) if row.ruling else row.why
        click.echo(f"  {row.title}: {word}")
    for line in accepted.provisional:
        click.echo(f"  {line}")
    click.echo(str(path))


def _told_row(row: AcceptanceRow) -> dict[str, Any]:
    names = ("edition", "instrument", "limit", "mark", "ruling", "standard", "test", "title",
             "uncertainty", "unit", "value")  # fmt: skip
    told = {name: getattr(row, name) for name in names}
    nulls = {name: row.why or say("not tested") for name in names if told[name] is None}
    return told | {"why": nulls}
