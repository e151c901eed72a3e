"""Sound at the keyboard: a recording or a table of levels in, what it says out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.proof import Proof, flat
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sound import Asked, Sound
from retrue.cases.prove.sound import sound as hear
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of
from retrue.cli.prove_lines import grid_lines, proof_lines
from retrue.cli.prove_options import REAL
from retrue.store.sound_file import read_sound, sound_or_table

ROWS = 40


@click.command("sound")
@click.argument("file", metavar="FILE")
@click.option("--calibration-file", metavar="FILE", help="A recording of a known level.")
@click.option("--calibration-db", type=REAL, help="That level; 94 dB where nobody says.")
@click.option("--offset-db", type=REAL, help="What to add to a level relative to full scale.")
@click.option("--background", metavar="FILE", help="The same place with the machine off.")
@click.option("--before", metavar="FILE", help="The same place before something was done.")
@click.option("--hours", type=REAL, help="A person's hours at this level in one day.")
@click.option("--channel", type=click.IntRange(1, 32), help="Counted from 1; else the loudest.")
@click.option("--meter-checked", is_flag=True, help="Of a table: its meter was calibrated.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
@click.option(
    "--picture",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the picture to this SVG.",
)
def sound(file: str, **given: Any) -> None:
    """How loud it is, in which bands, before and after, which source first, how many hours.

    FILE is a recording (WAV, FLAC, OGG) or a table (CSV, XLSX): frequency_hz with level_db and, if
    you like, background_db and before_db; or level_a_db with time; or switched_off (none, pump,
    fan, all) with level_a_db, one row with everything on and one for each source that is off alone.

    For instance examples/prove/sound.csv and examples/prove/sound-sources.csv. Without a recording
    of a known level a recording is indicative, give or take 5 dB.
    """
    context = click.get_current_context()
    house = context.find_object(House)
    assert house is not None
    proof = hear(_asked(file, given))
    if given["as_json"]:
        click.echo(dumps(flat(proof)))
    else:
        put(_lines(proof))
    if given["picture"] is not None:
        given["picture"].write_text(_picture(proof), encoding="utf-8")
        if not given["as_json"]:
            click.echo(str(given["picture"]))


def _asked(file: str, given: dict[str, Any]) -> Asked:
    known = given["calibration_file"]
    return Asked(
        sound=_read(file),
        known=None if known is None else _recording(known),
        known_db=_number(given["calibration_db"]),
        offset_db=_number(given["offset_db"]),
        background=None if given["background"] is None else _read(given["background"]),
        before=None if given["before"] is None else _read(given["before"]),
        hours=_number(given["hours"]),
        channel=given["channel"],
        checked=given["meter_checked"],
    )


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


def _read(path: str) -> Sound:
    return sound_or_table(content_of(path, say("Check the path of the file.")), Path(path).name)


def _recording(path: str) -> Recording:
    return read_sound(content_of(path, say("Check the path of the file.")), Path(path).name)


def _lines(proof: Proof) -> Iterator[str]:
    yield from proof_lines(replace(proof, tables=()))
    for grid in proof.tables:
        yield ""
        yield from grid_lines(grid, ROWS)
    if proof.more["notes"]:
        yield ""
        yield say("Of the file:")
        yield from (f"  {note}" for note in proof.more["notes"])


def _picture(proof: Proof) -> str:
    from retrue.figures.drawing import picture
    from retrue.figures.ink import PAGE

    drawn = picture(proof.drawing, theme=PAGE, room="wide")
    if drawn:
        return drawn
    raise Unusable(
        say("without bands there is no picture"),
        remedy=say("Leave --picture away, or give a recording or a table of bands."),
    )
