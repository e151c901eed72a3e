"""Blank sheets: a command for each test, so that its options are known and checked."""

from __future__ import annotations

import functools
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from retrue.base.say import say
from retrue.cases.prove.deed import Deed, deed
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.prove import TESTS
from retrue.cli.prove_options import options_from, typed_from
from retrue.paper.blank_sheet import BlankSheet, blank_code
from retrue.paper.codes import code_of
from retrue.phases import prove as phase


class Sheets(click.Group):
    """A group with one blank sheet for each test, loaded when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The tests, the daily five first."""
        return list(TESTS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Make the sheet's command of one test."""
        return _command(cmd_name) if cmd_name in TESTS else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the tests from their words."""
        with formatter.section("Tests"):
            formatter.write_dl(list(TESTS.items()))


@click.group(cls=Sheets)
def sheet(**_: Any) -> None:
    """A blank sheet of a test as PDF: cautions, steps, a box for every number, a code to type.

    With --lot and --machine the set is begun in the shop, and the code opens it on the phone.
    """


@functools.cache
def _command(id: str) -> click.Command:
    one = deed(id)
    return click.Command(
        id,
        callback=functools.partial(_call, one),
        params=[*options_from(one), *_common()],
        help=say("A blank sheet. {what}", what=one.what),
        short_help=one.title,
    )


def _common() -> list[click.Option]:
    path = click.Path(dir_okay=False, path_type=Path)
    return [
        click.Option(["--out"], type=path, help="Write it to this PDF.  [default: TEST-CODE.pdf]"),
        click.Option(["--lot"], metavar="NAME", help="Begin the set in the shop, for this lot."),
        click.Option(["--machine"], metavar="NAME", help="The machine of that lot."),
        click.Option(["--place"], default="", help="Axis or place, in your own words."),
        click.Option(["--instrument"], metavar="NAME", help="With what it is measured."),
        click.Option(
            ["--shop"],
            metavar="PATH|URL",
            help="Where the shop is kept; else RETRUE_SHOP, else your data folder.",
        ),
        click.Option(
            ["--json", "as_json"], is_flag=True, help="Print one JSON object and nothing else."
        ),
    ]


def _call(one: Deed, /, **given: Any) -> None:
    """Print a blank sheet; begin its set where a lot and a machine are named."""
    context = click.get_current_context()
    house = context.find_object(House)
    assert house is not None
    if bool(given["lot"]) != bool(given["machine"]):
        raise click.UsageError(say("--lot and --machine go together."))
    typed = typed_from(one, given)
    _, options, cells = phase.blank(one.id, typed)
    blank = BlankSheet(
        deed=one,
        options=options,
        cells=cells,
        lot=given["lot"] or "",
        machine=given["machine"] or "",
        place=given["place"],
        instrument=given["instrument"] or "",
        by=house.by,
    )
    begun = None
    if given["lot"]:
        moment = house.clock().isoformat()
        own = code_of(blank.lot, blank.machine, one.id, moment)  # each printing is a set of its own
        blank = replace(blank, code=own)
        begun = _begin(house, blank, typed, given)
    code = blank_code(blank)
    path = given["out"] or Path(f"{one.id}-{code}.pdf")
    path.write_bytes(house.printer.blank(blank))
    if given["as_json"]:
        told = {"code": code, "file": str(path), "numbers": len(cells), "schema": 1, "set": begun}
        why = {} if begun else {"set": say("no --lot was given; nothing is kept")}
        click.echo(dumps(told | {"test": one.id, "why": why}))
        return
    for caution in one.cautions:
        click.echo(say("Caution: {caution}", caution=caution))
    click.echo(say("{count} numbers. Code {code}.", count=len(cells), code=code))
    click.echo(str(path))


def _begin(house: House, blank: BlankSheet, typed: dict[str, Any], given: dict[str, Any]) -> str:
    with house.open_shop(given["shop"]) as shop:
        record = phase.begin(
            shop, blank.lot, blank.machine, blank.deed.id, typed, house.kinds(),
            place=blank.place, instrument=given["instrument"], code=blank.code, **house.hand,
        )  # fmt: skip
    return record.id
