"""Light at the keyboard: points with their lux in; enough or not, how even, how many lamps out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from retrue.base.say import say
from retrue.cases.prove.light import DEED, flat
from retrue.cases.prove.light import prove as lighted
from retrue.cases.prove.proof import Conditions, Proof
from retrue.cases.prove.table import read_table
from retrue.cases.sheet_json import dumps
from retrue.cli.lines import put
from retrue.cli.options import content_of
from retrue.cli.prove_lines import grid_lines, proof_lines
from retrue.cli.prove_options import REAL, options_from, typed_from
from retrue.store.spreadsheet import as_csv

HELP = """Whether the light on the work is enough and even, and what it makes of a turning chuck.

FILE is CSV or XLSX with lux, one point a row, and point if you like: nine spread over the table.

The table of what a task needs comes from a secondary source and is not verified. A result is an
estimate for planning."""


def _call(file: str, **given: Any) -> None:
    """Work the readings out and say it."""
    content = as_csv(content_of(file, say("Check the path of the file.")), file)
    conditions = Conditions(uncertainty=given["uncertainty"])
    proof = lighted(read_table(content, file), typed_from(DEED, given), conditions)
    click.echo(dumps(flat(proof))) if given["as_json"] else put(_lines(proof))


def _lines(proof: Proof) -> Iterator[str]:
    yield from proof_lines(proof)
    for grid in proof.tables[1:]:
        yield ""
        yield from grid_lines(grid)


light = click.Command(
    "light",
    callback=_call,
    help=HELP,
    short_help=DEED.title,
    params=[
        click.Argument(["file"], metavar="FILE"),
        *options_from(DEED),
        click.Option(["--uncertainty"], type=REAL, help="Give or take of the mean, k = 2, lux."),
        click.Option(
            ["--json", "as_json"], is_flag=True, help="Print one JSON object and nothing else."
        ),
    ],
)
