"""How first power stands: the ladder, and one stage of it."""

from __future__ import annotations

from pathlib import Path

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cases.wake.ladder_drawing import ladder_drawing
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.cli.strip_options import lot_argument, machine_of, machine_option
from retrue.cli.strip_rows import put_file
from retrue.cli.wake_rows import ladder_lines, ladder_row, stage_lines, stage_row
from retrue.kinds.load import one_of
from retrue.phases import wake
from retrue.phases.wake import Ladder

pass_house = click.make_pass_decorator(House)
PDF = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.argument("lot", metavar="[LOT]", required=False)
@machine_option
@click.option("--kind", metavar="ID", help="Without a shop: the ladder of a kind of machine.")
@click.option("--at-switch", default="", help="Who stands at the main switch.")
@click.option("--picture", type=PDF, help="Write the ladder as a picture to this SVG.")
@json_option
@shop_option
@pass_house
def plan(
    house: House, lot: str | None, machine: str | None, kind: str | None, at_switch: str,
    picture: Path | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """The ladder of first power: what is signed, what is next, what can be done alone tonight."""
    kinds = house.kinds()
    if lot is None:
        told = wake.plan(one_of(kinds, _kind(kind)))
    else:
        with house.open_shop(shop) as opened:
            at = machine_of(opened, lot, machine)
            told = wake.ladder(opened, *at, kinds, at_switch=at_switch)
    if picture is not None:
        _draw(told, picture)
    if as_json:
        click.echo(dumps(ladder_row(told)))
        return
    put(ladder_lines(told))


def _draw(told: Ladder, path: Path) -> None:
    from retrue.figures.drawing import picture
    from retrue.figures.ink import PAPER

    drawn = picture(ladder_drawing(told), theme=PAPER, room="wide")
    path.write_text(drawn, encoding="utf-8")


@click.command()
@lot_argument
@click.argument("stage", metavar="STAGE")
@machine_option
@click.option("--at-switch", help="Who stands at the main switch; left out, it is not judged.")
@click.option("--pdf", type=PDF, help="Write the sheet to be signed to this PDF.")
@click.option("--watch-pdf", type=PDF, help="Write the watch for pencil and kitchen timer.")
@json_option
@shop_option
@pass_house
def stage(
    house: House, lot: str, stage: str, machine: str | None, at_switch: str | None,
    pdf: Path | None, watch_pdf: Path | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """One stage, P3 or P3-V: what must be closed and by what it is, bands, limits, what is read.

    Of live work there is only why, who, which numbers and signature he hands back, and what ends
    it. With --pdf it is a sheet to be signed.
    """
    kinds = house.kinds()
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        told = wake.stage(opened, *at, stage, kinds, at_switch=at_switch)
        ladder = wake.ladder(opened, *at, kinds, at_switch=at_switch or "")
    files = []
    if pdf is not None:
        put_file(pdf, house.printer.stage(told, ladder, house.by))
        files.append(str(pdf))
    if watch_pdf is not None:
        content = house.printer.watch(told, ladder, kinds[ladder.kind], house.by)
        put_file(watch_pdf, content)
        files.append(str(watch_pdf))
    if as_json:
        row = stage_row(told) | {"lot": ladder.lot_name, "machine": ladder.name, "files": files}
        click.echo(dumps(row | {"schema": "wake.stage.1"}))
        return
    put(stage_lines(told))
    put(iter(files))


def _kind(kind: str | None) -> str:
    if kind:
        return kind
    remedy = say("Name a lot of the shop, or a kind with --kind.")
    raise Unusable(
        say("whose ladder?"), remedy=remedy, problems=(Problem("kind", say("is not said"), remedy),)
    )
