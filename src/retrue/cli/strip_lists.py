"""Labels, bags and what is not yet back: of a machine in the shop, or of a plain table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cases.strip.cautions import ALWAYS, HANDS, told
from retrue.cases.strip.lines import TakenLine
from retrue.cases.strip.order import DASH, not_back
from retrue.cases.strip.table_file import read_taken
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, json_option, shop_option
from retrue.cli.strip_options import (
    caution_lines,
    columns,
    is_table,
    machine_of,
    machine_option,
    name_of,
    out_options,
)
from retrue.cli.strip_rows import cells, put_file, taken_row, write_tables
from retrue.phases import strip
from retrue.store.spreadsheet import as_csv

if TYPE_CHECKING:
    from retrue.paper.label_sheet import LabelSheet

pass_house = click.make_pass_decorator(House)
CAUTIONS = (*ALWAYS, HANDS)
LABELLED = ("wire", "hose", "connector", "bag", "part")


@dataclass(frozen=True, slots=True)
class Listed:
    """What was undone, whose it is, and what stands before it."""

    lot: str
    machine: str
    lines: tuple[TakenLine, ...]
    cautions: tuple[str, ...]


def source_argument(command: Any) -> Any:
    """LOT|FILE: a lot in the shop, or a table."""
    return click.argument("source", metavar="LOT|FILE")(command)


@click.command()
@source_argument
@machine_option
@click.option("--sort", "sorts", type=click.Choice(LABELLED), multiple=True, help="Only these.")
@click.option("--off", is_flag=True, help="Only what is not back.")
@click.option(
    "--pdf", type=click.Path(dir_okay=False, path_type=Path), help="Print the labels to this PDF."
)
@out_options
@json_option
@shop_option
@pass_house
def labels(
    house: House, source: str, machine: str | None, sorts: tuple[str, ...], off: bool,
    pdf: Path | None, csv: Path | None, xlsx: Path | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Labels of all that was undone: a code that can be typed, from and to, place and step."""
    listed = _listed(house, source, machine, shop)
    lines = tuple(
        line
        for line in listed.lines
        if (not sorts or line.sort in sorts) and not (off and line.back)
    )
    _answer(house, "labels", listed, lines, as_json, pdf, csv, xlsx)


@click.command()
@source_argument
@machine_option
@click.option(
    "--pdf", type=click.Path(dir_okay=False, path_type=Path), help="Print the labels to this PDF."
)
@out_options
@json_option
@shop_option
@pass_house
def bags(
    house: House, source: str, machine: str | None, pdf: Path | None, csv: Path | None,
    xlsx: Path | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """The bags: what is in them and how many, at what torque and with what shims it was."""
    listed = _listed(house, source, machine, shop, sort="bag")
    lines = tuple(line for line in listed.lines if line.sort == "bag")
    _answer(house, "bags", listed, lines, as_json, pdf, csv, xlsx)


@click.command()
@source_argument
@machine_option
@click.option("--gate", is_flag=True, help="Exit 1 unless everything is back.")
@out_options
@json_option
@shop_option
@pass_house
def remaining(
    house: House, source: str, machine: str | None, gate: bool, csv: Path | None,
    xlsx: Path | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """What is not yet back, the last undone first: the order of putting together.

    It is empty before first power.
    """
    listed = _listed(house, source, machine, shop)
    lines = not_back(listed.lines)
    _answer(house, "remaining", listed, lines, as_json, None, csv, xlsx)
    click.get_current_context().exit(1 if gate and lines else 0)


def _listed(
    house: House, source: str, machine: str | None, shop: str | None, sort: str = ""
) -> Listed:
    kinds = house.kinds()
    cautions = told(next(iter(kinds.values())), CAUTIONS)
    if is_table(source):
        content = as_csv(content_of(source, say("Check the path of the table.")), source)
        name = machine or Path(source).stem
        return Listed("", name, read_taken(content, source, sort), cautions)
    with house.open_shop(shop) as opened:
        lot, key = machine_of(opened, source, machine)
        return Listed(*name_of(opened, lot, key), strip.taken(opened, lot, key, kinds), cautions)


def _answer(
    house: House, what: str, listed: Listed, lines: tuple[TakenLine, ...], as_json: bool,
    pdf: Path | None, csv: Path | None, xlsx: Path | None,
) -> None:  # fmt: skip
    """Write what was asked for, then say it."""
    if pdf is not None:
        put_file(pdf, house.printer.labels(_sheet(house, listed, lines)))
    write_tables(cells(lines), csv, xlsx)
    written = [str(path) for path in (pdf, csv, xlsx) if path is not None]
    if as_json:
        answer = {"cautions": list(listed.cautions), "count": len(lines), "files": written}
        answer |= {"lot": listed.lot, "machine": listed.machine, "schema": f"strip.{what}.1"}
        answer |= {"rows": [taken_row(line) for line in lines], "undone": len(listed.lines)}
        click.echo(dumps(answer))
        return
    put(_lines(what, listed, lines))
    for path in written:
        click.echo(path)


def _lines(what: str, listed: Listed, lines: tuple[TakenLine, ...]) -> Iterator[str]:
    yield from caution_lines(listed.cautions)
    if not lines:
        yield (
            say("Everything is back.")
            if what == "remaining" and listed.lines
            else say("Nothing was undone yet.")
        )
        return
    sentences = {
        "labels": "{count} labels.",
        "bags": "{count} bags.",
        "remaining": "{count} of {all} are not back; put them back in this order:",
    }
    yield say(sentences[what], count=len(lines), all=len(listed.lines))
    yield from columns([_cells(line) for line in lines])


def _cells(line: TakenLine) -> tuple[str, ...]:
    ends = DASH.join(end for end in (line.from_end, line.to_end) if end)
    measures = (
        say("{count} pieces", count=line.count) if line.count else "",
        f"{formatter.number(line.torque_nm, 1)} Nm" if line.torque_nm is not None else "",
        say("shim {shim} mm", shim=formatter.number(line.shim_mm, 2)) if line.shim_mm else "",
        say(line.state) if line.state != "whole" else "",
    )
    told = ", ".join(str(word) for word in (line.what, ends, *measures) if word)
    return (str(line.step), line.code, say(line.sort), told, line.place_name)


def _sheet(house: House, listed: Listed, lines: tuple[TakenLine, ...]) -> LabelSheet:
    from retrue.paper.label_sheet import LabelRow, LabelSheet

    rows = tuple(
        LabelRow(
            code=line.code, sort=line.sort, what=_what(line), from_end=line.from_end,
            to_end=line.to_end, place=line.place_name, step=str(line.step),
        )
        for line in lines
    )  # fmt: skip
    return LabelSheet(machine=listed.machine, lot=listed.lot, rows=rows, by=house.by)


def _what(line: TakenLine) -> str:
    """What is in a bag, how many, and how it was done up."""
    words = (
        line.what,
        f"× {line.count}" if line.count else "",
        f"{formatter.number(line.torque_nm, 1)} Nm" if line.torque_nm is not None else "",
        say("shim {shim} mm", shim=formatter.number(line.shim_mm, 2)) if line.shim_mm else "",
    )
    return ", ".join(str(word) for word in words if word)
