"""The command of each test: a file in; a result, a PDF, a picture, a table to enter out."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import NotYet, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Deed, deed
from retrue.cases.prove.proof import Conditions, Limit, Proof, flat
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of
from retrue.cli.prove_lines import proof_lines
from retrue.cli.prove_options import REAL, options_from, typed_from
from retrue.phases.prove import prove_file
from retrue.store.spreadsheet import as_csv


@functools.cache
def command_of(id: str) -> click.Command:
    """The command of one test.

    Parameters
    ----------
    id : str
        level, sweep ...

    Returns
    -------
    click.Command
    """
    one = deed(id)
    return click.Command(
        id,
        callback=functools.partial(_call, one),
        params=[_file(one), *options_from(one), *_common(one)],
        help=_words(one),
        short_help=one.title,
    )


def _words(one: Deed) -> str:
    columns = "\n".join(
        f"  {name}  {one.columns_note.get(name.strip('[]'), '')}".rstrip() for name in one.columns
    )
    example = f"\n\nFor instance examples/prove/{one.example}." if one.example else ""
    return (
        f"{one.what}\n\n\b\nColumns of FILE, those in brackets may be left out:\n{columns}{example}"
    )


def _file(one: Deed) -> click.Argument:
    return click.Argument(["file"], metavar="FILE")


def _common(one: Deed) -> list[click.Option]:
    path = click.Path(dir_okay=False, path_type=Path)
    keys = ", ".join(map(str, one.judged))
    return [
        click.Option(["--limit"], type=REAL, help="What the judged number may be at most."),
        click.Option(["--judge"], metavar="KEY", help=f"Which number: {keys}; else the first."),
        click.Option(
            ["--uncertainty"], type=REAL, help="Give or take of the judged number, k = 2."
        ),
        click.Option(
            ["--reading-uncertainty"],
            type=REAL,
            help=f"Give or take of one reading, k = 2, in {one.reading_unit}.",
        ),
        click.Option(
            ["--rule"],
            type=click.Choice(("guarded", "simple")),
            default="guarded",
            show_default=True,
            help="Whether the doubt counts against whoever claims, or is shared.",
        ),
        click.Option(["--standard"], default="", help="In which the limit stands."),
        click.Option(["--edition"], default="", help="Of that standard."),
        click.Option(
            ["--not-level"],
            is_flag=True,
            help="The machine is not level: the result is provisional.",
        ),
        click.Option(
            ["--seed"],
            type=click.IntRange(0, 2**63 - 1),
            default=7,
            show_default=True,
            help="Start of the chance; the same seed gives the same numbers.",
        ),
        click.Option(["--gate"], is_flag=True, help="Exit 1 unless it is proved good."),
        click.Option(["--pdf"], type=path, help="Write the result to this PDF."),
        click.Option(["--picture"], type=path, help="Write the picture to this SVG."),
        click.Option(["--csv"], type=path, help="Write the table to be entered to this CSV."),
        click.Option(
            ["--json", "as_json"], is_flag=True, help="Print one JSON object and nothing else."
        ),
    ]


def _call(one: Deed, /, file: str, **given: Any) -> None:
    """Prove a file; write what is asked for; say it."""
    context = click.get_current_context()
    house = context.find_object(House)
    assert house is not None
    content = as_csv(content_of(file, say("Check the path of the file of readings.")), file)
    proof = prove_file(
        content, file, one.id, typed_from(one, given), _conditions(given),
        not_level=given["not_level"],
    )  # fmt: skip
    written = _write(house, proof, given)
    if given["as_json"]:
        click.echo(dumps(flat(proof)))
    else:
        put(proof_lines(proof))
        for path in written:
            click.echo(str(path))
    good = proof.verdict is not None and proof.verdict.ruling == "proved_good"
    context.exit(1 if given["gate"] and not good else 0)


def _conditions(given: dict[str, Any]) -> Conditions:
    limit = None
    if given["limit"] is not None:
        limit = Limit(value=given["limit"], standard=given["standard"], edition=given["edition"])
    return Conditions(
        limit=limit,
        judged=given["judge"],
        uncertainty=given["uncertainty"],
        reading_uncertainty=given["reading_uncertainty"],
        rule=given["rule"],
        seed=given["seed"],
    )


def _write(house: House, proof: Proof, given: dict[str, Any]) -> list[Path]:
    """The files that were asked for."""
    from retrue.paper.proof_sheet import ProofSheet

    written: list[Path] = []
    if given["pdf"] is not None:
        given["pdf"].write_bytes(house.printer.proof(ProofSheet(proof=proof, by=house.by)))
        written.append(given["pdf"])
    if given["picture"] is not None:
        given["picture"].write_text(_picture(house, proof), encoding="utf-8")
        written.append(given["picture"])
    if given["csv"] is not None:
        written += _tables(proof, given["csv"])
    return written


def _picture(house: House, proof: Proof) -> str:
    drawn = house.printer.picture(proof)
    if drawn:
        return drawn
    raise Unusable(
        say("{test} has no picture of these readings", test=proof.title),
        remedy=say("Leave --picture away; the table says it."),
    )


def _tables(proof: Proof, path: Path) -> list[Path]:
    """The first table to the path itself, further ones beside it under their own names."""
    if not proof.files:
        if proof.provisional:
            raise NotYet(
                say("there is no table yet: {why}", why=proof.provisional),
                remedy=say("Level the machine first, then read again."),
            )
        raise Unusable(
            say("these readings give no table to be entered"),
            remedy=say("Leave --csv away; the remedies say what to do."),
        )
    written = []
    for place, (name, text) in enumerate(proof.files.items()):
        target = path if place == 0 else path.with_name(name)
        target.write_text(text, encoding="utf-8", newline="")
        written.append(target)
    return written
