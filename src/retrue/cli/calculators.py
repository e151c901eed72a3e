"""The command of each calculator: fields in, an answer out."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

import click

from retrue.base.say import say
from retrue.cases.prove.table import read_table
from retrue.cases.reckon.method import Field, Method, method, short, typed_as
from retrue.cases.reckon.reckoning import Reckoning, flat
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of
from retrue.cli.reckon_lines import reckoning_lines
from retrue.phases.reckon import reckon_file, stands
from retrue.store.spreadsheet import as_csv

EXITS = {"go": 0, "no_go": 2, "get_first": 3}
METAVARS = {"number": "AMOUNT", "whole": "COUNT", "text": "TEXT", "file": "FILE"}


@functools.cache
def command_of(id: str) -> click.Command:
    """The command of one calculator.

    Parameters
    ----------
    id : str
        lift, forklift ...

    Returns
    -------
    click.Command
    """
    one = method(id)
    return click.Command(
        short(id),
        callback=functools.partial(_call, one),
        params=[*(_option(field) for field in one.fields), *_common()],
        help=_words(one),
        short_help=one.title,
    )


def _words(one: Method) -> str:
    told = one.what
    if one.standard:
        told += f"\n\nAfter {one.standard}."
    if one.columns:
        told += "\n\n\b\nColumns of the file, those in brackets may be left out:\n"
        told += "\n".join(f"  {name}" for name in one.columns)
    if one.example:
        words = " ".join(f'"{word}"' if " " in word else word for word in one.example)
        told += f"\n\n\b\nFor instance: retrue {typed_as(one.id)} {words}"
    return told


def _option(field: Field) -> click.Option:
    flag = "--" + field.id.replace("_", "-")
    inside, told = f"of_{field.id}", _help(field)
    if field.sort == "flag":
        return click.Option([f"{flag}/--no-{flag[2:]}", inside], is_flag=True, default=None,
                            help=told)  # fmt: skip
    if field.sort == "choice":
        kind = click.Choice([key for key, _ in field.choices])
        return click.Option([flag, inside], type=kind, help=told)
    return click.Option([flag, inside], metavar=METAVARS[field.sort], help=told)


def _help(field: Field) -> str:
    told = f"{field.name[:1].upper()}{field.name[1:]}"
    if field.unit:
        told += f", in {field.unit}"
    told += "."
    if field.default not in (None, False, 0.0):
        told += f"  [default: {field.default}]"
    return told


def _common() -> list[click.Option]:
    return [
        click.Option(["--values"], metavar="FILE", help="CSV or XLSX of field, value; options go "
                     "before it."),
        click.Option(["--lot"], metavar="LOT", help="Take what the shop knows of this lot ..."),
        click.Option(["--machine"], metavar="MACHINE", help="... and of this machine of it."),
        click.Option(["--shop"], metavar="PATH|URL",
                     help="Where the shop is kept; else RETRUE_SHOP, else your data folder."),
        click.Option(["--picture"], type=click.Path(dir_okay=False, path_type=Path),
                     help="Write the picture to this SVG."),
        click.Option(["--json", "as_json"], is_flag=True,
                     help="Print one JSON object and nothing else."),
    ]  # fmt: skip


def _call(one: Method, /, **given: Any) -> None:
    """Reckon, and say it."""
    context = click.get_current_context()
    house = context.find_object(House)
    assert house is not None
    made = reckon_file(one.id, _typed(one, given, house), house.kinds())
    if given["picture"] is not None:
        _draw(made, given["picture"])
    if given["as_json"]:
        click.echo(dumps(flat(made)))
    else:
        put(reckoning_lines(made))
        if given["picture"] is not None:
            click.echo(str(given["picture"]))
    context.exit(EXITS[made.answer])


def _typed(one: Method, given: dict[str, Any], house: House) -> dict[str, Any]:
    """What the shop knows, over it the file of values, over it the options."""
    typed: dict[str, Any] = {}
    if given["lot"] and given["machine"]:
        with house.open_shop(given["shop"]) as opened:
            known = stands(opened, given["lot"], given["machine"], one.id, house.kinds()).known
        files = {field.id for field in one.fields if field.sort == "file"}
        typed |= {id: filled.value for id, filled in known.items() if id not in files}
    elif given["lot"] or given["machine"]:
        raise click.UsageError("Give --lot and --machine together.")
    if given["values"]:
        typed |= _values(given["values"])
    for field in one.fields:
        value = given[f"of_{field.id}"]
        if value is None:
            continue
        is_file = field.sort == "file"
        typed[field.id] = as_csv(content_of(str(value)), str(value)) if is_file else value
    return typed


def _values(path: str) -> dict[str, Any]:
    """A file of two columns, field and value."""
    table = read_table(as_csv(content_of(path), path), path)
    return dict(zip(table.text("field"), table.text("value"), strict=True))


def _draw(made: Reckoning, path: Path) -> None:
    from retrue.base.refusals import Unusable
    from retrue.figures.drawing import picture
    from retrue.figures.ink import PAPER

    drawn = picture(made.drawing, theme=PAPER, room="wide") if made.drawing else ""
    if not drawn:
        raise Unusable(
            say("{title} has no picture of these numbers", title=made.title),
            remedy=say("Leave --picture away, or give what is lacking."),
        )
    path.write_text(drawn, encoding="utf-8")
