"""A file of readings kept in the shop: what it means, and what it does to the price."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.prove.deed import deed
from retrue.cases.prove.proof import Proof, flat
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import price_moved, put
from retrue.cli.options import content_of, json_option, shop_option, sum_options
from retrue.cli.prove_lines import proof_lines
from retrue.cli.prove_options import REAL, typed_pairs
from retrue.paper.proof_sheet import ProofSheet
from retrue.phases import note, worth
from retrue.phases import prove as phase
from retrue.phases.prove import Judgement, SetView
from retrue.phases.worth import Judged
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv

pass_house = click.make_pass_decorator(House)


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("test", metavar="TEST")
@click.argument("file", metavar="FILE")
@click.option(
    "--set", "pairs", multiple=True, metavar="NAME=VALUE", help="An option of the test; repeat it."
)
@click.option("--place", default="", help="Axis or place, in your own words.")
@click.option("--instrument", metavar="NAME", help="With what it was read.")
@click.option("--air-c", type=REAL, help="Temperature of the air, °C.")
@click.option("--machine-c", type=REAL, help="Temperature of the machine, °C.")
@click.option("--state", default="", help="Of the machine: cold, after the move, feet turned.")
@click.option("--code", default="", help="Of the blank sheet it was typed from.")
@click.option(
    "--pdf", type=click.Path(dir_okay=False, path_type=Path), help="Write it to this PDF."
)
@sum_options
@json_option
@shop_option
@pass_house
def keep(
    house: House,
    /,
    lot: str,
    machine: str,
    test: str,
    file: str,
    pairs: tuple[str, ...],
    pdf: Path | None,
    seed: int,
    worlds: int,
    as_json: bool,
    shop: str | None,
    **around: Any,
) -> None:
    """Keep a file of readings; say what it means, and what it does to the price.

    The file is kept as it came before anything is judged. The limit is the one of the table of
    limits, the doubt that of the instrument.
    """
    one, content, kinds = deed(test), content_of(file), house.kinds()
    typed = typed_pairs(one, pairs)
    with house.open_shop(shop) as opened:
        _keep_original(house, opened, lot, machine, file, content)
        table, name = as_csv(content, file), Path(file).name
        record = phase.keep_table(
            opened, lot, machine, test, table, name, typed, kinds, **around, **house.hand
        )
        judgement = phase.judge(opened, record.id, kinds, **house.hand)
        judged = _tell(house, opened, lot, judgement, seed, worlds)
        view = phase.open_set(opened, record.id, kinds)
    if pdf is not None:
        pdf.write_bytes(
            house.printer.proof(on_paper(view, judgement.proof, lot, machine, house.by))
        )
    _say(judgement, record.id, judged, as_json)


def _keep_original(
    house: House, shop: RecordShop, lot: str, machine: str, path: str, content: bytes
) -> None:
    """A spreadsheet is kept as it came, beside the table that was read from it."""
    if as_csv(content, path) is content:
        return
    view = worth.view_lot(shop, lot)
    note.keep_file(
        shop, content, Path(path).name, house.prove, lot=view.id,
        machine=view.machine_id(machine), **house.hand,
    )  # fmt: skip


def _tell(
    house: House, shop: RecordShop, lot: str, judgement: Judgement, seed: int, worlds: int
) -> Judged | None:
    """Tell the belief what was read; the price answers."""
    if not judgement.findings:
        return None
    return worth.keep_findings(
        shop, lot, judgement.findings, house.kinds(), seed=seed, worlds=worlds, **house.hand
    )


def _say(judgement: Judgement, set_id: str, judged: Judged | None, as_json: bool) -> None:
    before, after = judged.amounts if judged else (None, None)
    if as_json:
        told = flat(judgement.proof) | {"after": after, "before": before, "set": set_id}
        gone = (judged.why if judged else "") or _unmoved(judgement)
        nulls = {name: gone for name in ("after", "before") if told[name] is None}
        click.echo(dumps(told | {"why": told["why"] | nulls}))
        return
    put(proof_lines(judgement.proof))
    click.echo(say("Kept."))
    if judged is None:
        click.echo(_unmoved(judgement))
        return
    for line in price_moved(judged):
        click.echo(line)


def _unmoved(judgement: Judgement) -> str:
    """Why the price did not hear of a result."""
    if judgement.proof.provisional:
        return say("The price has not heard of it: {why}.", why=judgement.proof.provisional)
    return say("These readings say nothing new about the price.")


def on_paper(view: SetView, proof: Proof, lot: str, machine: str, by: str) -> ProofSheet:
    """A set's result with what stood beside its readings."""
    said = view.record.fact
    tool = view.instrument
    named = (tool.name, tool.certificate) if tool else ()
    return ProofSheet(
        proof=proof,
        lot=lot,
        machine=machine,
        place=said.place,
        instrument=", ".join(str(part) for part in named if part),
        air_c=said.air_c,
        machine_c=said.machine_c,
        state=said.state,
        measured=formatter.minute(view.record.observed_at),
        code=said.code,
        by=by,
    )
