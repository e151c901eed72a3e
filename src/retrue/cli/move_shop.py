"""The move of a machine in the shop: the whole plan, a calculator kept, sheets on paper."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.reckon.method import method
from retrue.cases.reckon.reckoning import flat
from retrue.cases.sheet_json import dumps
from retrue.cli.calculators import EXITS
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import file_word, json_option, shop_option
from retrue.cli.reckon_lines import answer_words, reckoning_lines
from retrue.cli.reckon_pairs import typed_pairs
from retrue.phases import move as phase
from retrue.phases import reckon
from retrue.phases.move import DataLine, Plan, StepLine

pass_house = click.make_pass_decorator(House)
OUT = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@json_option
@shop_option
@pass_house
@click.pass_context
def plan(
    ctx: click.Context, house: House, lot: str, machine: str, as_json: bool, shop: str | None
) -> None:
    """Tell the whole move of a machine: go, no-go, or which number to get first."""
    with house.open_shop(shop) as opened:
        view = phase.plan(opened, lot, machine, house.kinds())
    if as_json:
        click.echo(dumps(told_plan(view)))
    else:
        for line in _plan_lines(view):
            click.echo(line)
    ctx.exit(EXITS[view.answer])


def told_plan(view: Plan) -> dict[str, Any]:
    """A plan as one flat object."""
    return {
        "answer": view.answer,
        "cautions": [{"text": text, "defers_to": code} for text, code in view.cautions],
        "data": [_told_data(line) for line in view.data],
        "headline": view.headline,
        "lot": view.lot,
        "machine": view.machine,
        "methods": [flat(one.reckoning) | {"filled_in": one.touched} for one in view.methods],
        "next": view.next or None,
        "schema": "move.plan.1",
        "steps": [_told_step(line) for line in view.steps],
        "why": {} if view.next else {"next": say("nothing is left to do")},
    }


def _told_data(line: DataLine) -> dict[str, Any]:
    fact = line.record.fact if line.record else None
    return {
        "done": line.done,
        "how": fact.how if fact else None,
        "must": line.must,
        "name": line.name,
        "none": fact.none or None if fact else None,
        "read_back": fact.read_back if fact else None,
        "sha256": fact.sha256 or None if fact else None,
        "sort": line.sort,
    }


def _told_step(line: StepLine) -> dict[str, Any]:
    return {
        "done": line.record is not None,
        "id": line.step.id,
        "name": line.record.fact.name or None if line.record else None,
        "text": say(line.step.text),
        "waits": [str(problem) for problem in line.waits],
    }


def _plan_lines(view: Plan) -> list[str]:
    lines = [say("Caution: {text}", text=text) for text, _ in view.cautions]
    lines.append(say("Estimate for planning. {headline}", headline=view.headline))
    if view.next:
        lines.append(say("Next: {what}", what=view.next))
    lines.append("")
    for one in view.methods:
        made = one.reckoning
        lines.append(f"  {one.method.id.ljust(9)}  {answer_words(made)}")
    lines.append(say("Data before the plug is pulled:"))
    lines += [f"  [{'x' if line.done else ' '}] {line.name}" for line in view.data if line.must]
    lines.append(say("Steps:"))
    for step in view.steps:
        mark = "x" if step.record else "-" if step.waits else " "
        lines.append(f"  [{mark}] {step.step.id.ljust(14)}  {say(step.step.text)}")
    return lines


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("calculator", metavar="CALCULATOR")
@click.argument("pairs", nargs=-1, metavar="[FIELD=VALUE]...")
@json_option
@shop_option
@pass_house
@click.pass_context
def keep(
    ctx: click.Context, house: House, lot: str, machine: str, calculator: str,
    pairs: tuple[str, ...], as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Keep a calculator as it is filled in; the price of the lot follows.

    Without FIELD=VALUE it is shown as it stands.
    """
    one = method(calculator)
    with house.open_shop(shop) as opened:
        if pairs:
            typed = typed_pairs(opened, one, pairs)
            reckon.keep_plan(opened, lot, machine, calculator, typed, house.kinds(), **house.hand)
        made = reckon.stands(opened, lot, machine, calculator, house.kinds()).reckoning
    if as_json:
        click.echo(dumps(flat(made)))
    else:
        put(reckoning_lines(made))
    ctx.exit(0 if pairs else EXITS[made.answer])


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.option("--out", type=OUT, help="Write it to this PDF.  [default: MACHINE-move.pdf]")
@json_option
@shop_option
@pass_house
def sheet(
    house: House, lot: str, machine: str, out: Path | None, as_json: bool, shop: str | None
) -> None:
    """Print the method sheet: cautions before every number, steps, data, boxes for a pencil."""
    with house.open_shop(shop) as opened:
        view = phase.plan(opened, lot, machine, house.kinds())
    path = out or Path(f"{file_word(view.machine)}-move.pdf")
    path.write_bytes(house.printer.move(view, house.by, house.kinds()))
    if as_json:
        told = {"answer": view.answer, "file": str(path), "schema": "move.sheet.1"}
        click.echo(dumps(told))
        return
    click.echo(str(path))


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.option("--out", type=OUT, help="Write it to this PDF.  [default: MACHINE-layout.pdf]")
@json_option
@shop_option
@pass_house
def layout(
    house: House, lot: str, machine: str, out: Path | None, as_json: bool, shop: str | None
) -> None:
    """Print the floor plan to scale."""
    with house.open_shop(shop) as opened:
        made = reckon.stands(opened, lot, machine, "floor", house.kinds())
        view = phase.plan(opened, lot, machine, house.kinds())
    if made.reckoning.drawing is None:
        raise NotYet(
            say("the floor plan is not filled in"),
            remedy=say("retrue move keep LOT MACHINE floor plan=FILE"),
        )
    path = out or Path(f"{file_word(view.machine)}-layout.pdf")
    path.write_bytes(house.printer.layout(made.reckoning, view, house.by))
    if as_json:
        told = {"answer": made.reckoning.answer, "file": str(path),
                "schema": "move.layout.1"}  # fmt: skip
        click.echo(dumps(told))
        return
    click.echo(str(path))
