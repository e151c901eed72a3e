"""Vibration at the keyboard: a recording in; velocity, lines and what they say of a bearing out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.proof import Conditions, Limit, Proof
from retrue.cases.prove.vibration import DEED, flat
from retrue.cases.prove.vibration import prove as shaken
from retrue.cases.sheet_json import dumps
from retrue.cli.lines import put
from retrue.cli.options import content_of
from retrue.cli.prove_lines import grid_lines, proof_lines
from retrue.cli.prove_options import REAL, options_from, typed_from
from retrue.store.sound_file import sound_or_table

HELP = """How strongly it shakes, against its own baseline, and what a bearing's lines say.

FILE is CSV or XLSX with time_s and acceleration_m_s2, acceleration_g or velocity_mm_s (without
time_s say --rate-hz; a column named acceleration needs --unit), or WAV or FLAC of a sensor.

Without the geometry of the bearing its lines are not told; without a belt, or --nothing-else, no
cage is named. A result is an estimate for planning."""


def _call(file: str, **given: Any) -> None:
    """Work a file out, write its picture, say it."""
    content = content_of(file, say("Check the path of the file."))
    limit = given["limit"]
    conditions = Conditions(
        limit=None if limit is None else Limit(value=float(limit)),
        uncertainty=given["uncertainty"],
    )
    read = sound_or_table(content, Path(file).name)
    proof = shaken(read, typed_from(DEED, given), conditions)
    click.echo(dumps(flat(proof))) if given["as_json"] else put(_lines(proof))
    if given["picture"] is not None:
        given["picture"].write_text(_picture(proof), encoding="utf-8")
        if not given["as_json"]:
            click.echo(str(given["picture"]))


def _lines(proof: Proof) -> Iterator[str]:
    yield from proof_lines(proof)
    for grid in proof.tables[1:]:
        yield ""
        yield from grid_lines(grid)


def _picture(proof: Proof) -> str:
    from retrue.figures.drawing import picture
    from retrue.figures.ink import PAGE

    drawn = picture(proof.drawing, theme=PAGE, room="wide")
    if drawn:
        return drawn
    raise Unusable(say("this recording gives no picture"), remedy=say("Leave --picture away."))


vibration = click.Command(
    "vibration",
    callback=_call,
    help=HELP,
    short_help=DEED.title,
    params=[
        click.Argument(["file"], metavar="FILE"),
        *options_from(DEED),
        click.Option(["--limit"], type=REAL, help="What the velocity may be at most, mm/s."),
        click.Option(["--uncertainty"], type=REAL, help="Give or take of it, k = 2, mm/s."),
        click.Option(
            ["--picture"],
            type=click.Path(dir_okay=False, path_type=Path),
            help="Write the picture to this SVG.",
        ),
        click.Option(
            ["--json", "as_json"], is_flag=True, help="Print one JSON object and nothing else."
        ),
    ],
)
