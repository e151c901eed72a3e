"""How muck is taken off a machine, and whether readings prove that it is clean."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.prove.said import RULINGS
from retrue.cases.sheet_json import dumps
from retrue.cases.strip.cautions import general
from retrue.cases.strip.cleaning import cleaning_stands
from retrue.cases.strip.lines import CleaningLine, CleaningStands, ReadingLine
from retrue.cases.strip.table_file import NO_PLACE, read_cleaning
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, json_option, shop_option
from retrue.cli.strip_lists import source_argument
from retrue.cli.strip_options import (
    caution_lines,
    is_table,
    machine_of,
    machine_option,
    name_of,
    out_options,
)
from retrue.cli.strip_rows import with_why, write_tables
from retrue.kinds.load import one_of
from retrue.phases import strip
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)
COLUMNS = ("point", "sort", "unit", "before", "after", "after_running", "before_seen",
           "after_seen", "after_running_seen", "ruling", "why")  # fmt: skip


@click.command()
@source_argument
@machine_option
@click.option("--muck", "mucks", metavar="SORT", multiple=True, help="Only this sort; repeat it.")
@click.option(
    "--kind", metavar="ID", help="Type of machine of a FILE; else vertical_machining_centre."
)
@click.option("--gate", is_flag=True, help="Exit 1 unless the readings prove it clean.")
@out_options
@json_option
@shop_option
@pass_house
def cleaning(
    house: House, source: str, machine: str | None, mucks: tuple[str, ...], kind: str | None,
    gate: bool, csv: Path | None, xlsx: Path | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """How each sort of muck is taken off, what is never done, and what the readings prove."""
    lot, name, stands, cautions = _stands(house, source, machine, mucks, kind, shop)
    rows = [[getattr(one, column) for column in COLUMNS] for one in stands.readings]
    write_tables([list(COLUMNS), *rows], csv, xlsx)
    written = [str(path) for path in (csv, xlsx) if path is not None]
    if as_json:
        told: dict[str, Any] = {"accepted": stands.accepted, "accepted_why": stands.why}
        told |= {"cautions": list(cautions), "files": written, "lot": lot, "machine": name}
        told |= {"plan": [_plan_row(one) for one in stands.plan], "schema": "strip.cleaning.1"}
        told |= {"readings": [_reading_row(one) for one in stands.readings]}
        click.echo(dumps(with_why(told, "not proved")))
    else:
        put(_lines(stands, cautions))
        for path in written:
            click.echo(path)
    click.get_current_context().exit(1 if gate and stands.accepted is not True else 0)


def _stands(
    house: House, source: str, machine: str | None, mucks: tuple[str, ...], kind: str | None,
    shop: str | None,
) -> tuple[str, str, CleaningStands, tuple[str, ...]]:  # fmt: skip
    """Lot and machine by name, the plan with its readings, what stands before them."""
    kinds = house.kinds()
    of = one_of(kinds, kind or next(iter(kinds)))
    if is_table(source):
        content = as_csv(content_of(source, say("Check the path of the table.")), source)
        readings = read_cleaning(content, source)
        stands = cleaning_stands(of, mucks or tuple(of.mucks), readings, {NO_PLACE: ""})
        return "", machine or Path(source).stem, stands, general(of)
    with house.open_shop(shop) as opened:
        at = machine_of(opened, source, machine)
        return *name_of(opened, *at), strip.cleaning(opened, *at, kinds, mucks), general(of)


def _plan_row(one: CleaningLine) -> dict[str, Any]:
    told = asdict(one)
    names = ("what", "low", "likely", "high", "unit")
    told["quantities"] = [dict(zip(names, each, strict=True)) for each in one.quantities]
    return told


def _reading_row(one: ReadingLine) -> dict[str, Any]:
    told = {name: getattr(one, name) for name in COLUMNS if name != "why"}
    return with_why(told, "not read") | {"ruling_why": one.why}


def _lines(stands: CleaningStands, cautions: Iterable[str]) -> Iterator[str]:
    yield from caution_lines(cautions)
    for one in stands.plan:
        yield ""
        yield from caution_lines(one.cautions)
        yield from _plan_lines(one)
    if stands.readings:
        yield ""
    for line in stands.readings:
        ruling = say(RULINGS[line.ruling]) if line.ruling else say("no ruling")
        yield f"  {line.point or say(line.sort)}: {_values(line)} {ruling}: {line.why}"
    yield ""
    word = {True: say("Clean, and proved."), False: say("Not clean."), None: say("Not proved yet.")}
    yield f"{word[stands.accepted]} {stands.why[:1].upper()}{stands.why[1:]}."


def _plan_lines(one: CleaningLine) -> Iterator[str]:
    yield one.name
    yield f"  {one.never}"
    yield f"  {one.how}"
    hours = _spread(one.hours.low, one.hours.likely, one.hours.high)
    yield "  " + say("Hours: {hours} (estimate for planning; {mark})", hours=hours, mark=one.mark)
    for what, low, likely, high, unit in one.quantities:
        yield f"  {what}: {_spread(low, likely, high)} {unit}".rstrip()
    yield "  " + say("Waste, each by itself: {waste}", waste="; ".join(map(str, one.waste)))
    yield "  " + say("Clean when: {accept}", accept=one.accept)


def _spread(low: float, likely: float, high: float) -> str:
    numbers = [formatter.number(one, 1 if one % 1 else 0) for one in (low, likely, high)]
    return say("{likely}, from {low} to {high}", low=numbers[0], likely=numbers[1], high=numbers[2])


def _values(line: ReadingLine) -> str:
    pairs = (
        (line.before, line.before_seen),
        (line.after, line.after_seen),
        (line.after_running, line.after_running_seen),
    )
    told = [
        f"{formatter.number(value, 1)} {line.unit}" if value is not None else say(seen or "–")
        for value, seen in pairs
    ]
    return " → ".join(map(str, told)) + "."
