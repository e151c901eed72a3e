"""Options that the commands of taking apart share, and which machine of a lot is meant."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.base.units import convert, read
from retrue.phases import worth
from retrue.records.shop import RecordShop

C = TypeVar("C", bound=Callable[..., Any])
TABLES = (".csv", ".tsv", ".xlsx", ".ods")
EXAMPLES = {"Nm": "35 Nm", "mm": "0.5 mm", "°C": "21 °C", "%": "45 %", "kg": "12 kg",
            "bar": "40 bar"}  # fmt: skip


def lot_argument(command: C) -> C:
    """LOT: a lot in the shop."""
    return click.argument("lot", metavar="LOT")(command)


def machine_option(command: C) -> C:
    """--machine."""
    return click.option(
        "--machine", metavar="NAME", help="Which machine of the lot; else its only one."
    )(command)


def out_options(command: C) -> C:
    """--csv, --xlsx: the same rows to a file."""
    path = click.Path(dir_okay=False, path_type=Path)
    command = click.option("--xlsx", type=path, help="Write the rows to this XLSX.")(command)
    return click.option("--csv", type=path, help="Write the rows to this CSV.")(command)


def is_table(source: str) -> bool:
    """Whether a LOT|FILE is a table: it ends like one, or there is a file of that name."""
    return Path(source).suffix.lower() in TABLES or Path(source).is_file()


def machine_of(shop: RecordShop, lot: str, machine: str | None) -> tuple[str, str]:
    """Lot and machine by the ids of their first records.

    Raises
    ------
    Unknown
        No such lot or machine, or the lot has several and none was named.
    """
    view = worth.view_lot(shop, lot)
    if machine is not None:
        return view.id, view.machine_id(machine)
    if len(view.machines) != 1:
        names = ", ".join(record.fact.name for _, record in view.machines)
        raise Unknown(
            say("lot {lot} has {count} machines", lot=lot, count=len(view.machines)),
            remedy=say("Say which with --machine: {names}.", names=names or "-"),
        )
    return view.id, view.machines[0][0]


def name_of(shop: RecordShop, lot: str, machine: str) -> tuple[str, str]:
    """Lot and machine by name."""
    view = worth.view_lot(shop, lot)
    found = (record.fact.name for key, record in view.machines if key == machine)
    return view.name, next(found, machine)


def amount(text: str | None, unit: str, option: str) -> float | None:
    """A quantity as typed, in the unit the record keeps; its own unit is never guessed.

    Raises
    ------
    Unusable
        It is no quantity, or has no unit.
    """
    if text is None:
        return None
    found = read(text, field=option)
    if not found.unit:
        what = say("{text} has no unit", text=f"“{text}”")
        remedy = say("Write it as {example}: it is not guessed.", example=EXAMPLES[unit])
        raise Unusable(
            say("{option}: {what}", option=option, what=what),
            remedy=remedy,
            problems=(Problem(option, what, remedy),),
        )
    return float(convert(found.value, found.unit, unit, field=option))


def caution_lines(cautions: Iterable[str]) -> Iterable[str]:
    """Cautions, each with what it defers to, before anything else."""
    return (say("Caution: {caution}", caution=caution) for caution in cautions)


def columns(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Words in columns, each from the left.

    Examples
    --------
    >>> list(columns([("1", "wire", "blue"), ("12", "bag", "bolts")]))
    ['  1   wire  blue', '  12  bag   bolts']
    """
    wide = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (cell.ljust(size) for cell, size in zip(row, wide, strict=True))
        yield "  " + "  ".join(cells).rstrip()
