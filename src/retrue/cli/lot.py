"""Lots at the keyboard: a new one, a list, one shown, one written to a file."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import click

from retrue.base import formatter
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.known import machine_doubts
from retrue.cases.lot_file import read_lot, write_lot
from retrue.cases.said import finding_words
from retrue.cases.sheet import PriceSheet
from retrue.cases.sheet_json import dumps
from retrue.cli.file_notes import written
from retrue.cli.house import House
from retrue.cli.lines import answer_lines, assumed_lines, put
from retrue.cli.options import (
    AMOUNT,
    content_of,
    json_option,
    shop_option,
    sum_options,
)
from retrue.cli.source import open_lot
from retrue.phases import worth
from retrue.records.facts import Lot, Machine, Shop, Terms
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)
SALES = ("fixed_price", "offer", "ascending", "sealed")
SCHEMES = ("ordinary", "margin", "private", "import")


@click.group()
def lot() -> None:
    """Lots: a new one, a list, one shown, one written to a file."""


@lot.command()
@click.argument("name")
@click.option(
    "--machine",
    "machines",
    multiple=True,
    metavar="NAME:KIND[:YEARS]",
    help="A machine of the lot, for instance mill:vertical_machining_centre:24; repeat it.",
)
@click.option("--from", "source", metavar="LOT.toml", help="Take everything from this file.")
@click.option(
    "--file",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write a lot file instead of keeping it in the shop.",
)
@click.option(
    "--sale",
    type=click.Choice(SALES),
    default="ascending",
    show_default=True,
    help="How it is sold.",
)
@click.option("--one-by-one", is_flag=True, help="The machines are sold one by one.")
@click.option("--asking", type=AMOUNT, help="Asking price.")
@click.option("--bid-now", type=AMOUNT, help="The bid that stands now.")
@click.option("--bid-step", type=AMOUNT, help="By how much bids rise.")
@click.option("--premium", type=float, help="Buyer's premium as a share: 18 per cent is 0.18.")
@click.option("--tax-rate", type=float, help="Tax as a share.")
@click.option("--tax-scheme", type=click.Choice(SCHEMES), help="How it is taxed.")
@click.option("--distance-km", type=float, help="One way, to the machines.")
@click.option("--closes-at", help="When it closes, with its offset: 2026-12-03T18:00+01:00.")
@click.option("--removal-days", type=float, help="Days from the hammer until it must be out.")
@click.option("--currency", default="EUR", show_default=True, help="Three letters.")
@click.option("--seller", default="seller", show_default=True, help="Who answers for him.")
@sum_options
@json_option
@shop_option
@pass_house
def new(house: House, /, name: str, seed: int, worlds: int, as_json: bool, **given: Any) -> None:
    """Keep a new lot; say the price at once, and what was assumed for it.

    NAME is what you call it. Nothing but one machine is needed; the rest can follow.
    """
    kinds, shop, target = house.kinds(), given.pop("shop"), given.pop("target")
    if given["source"]:
        case = read_lot(content_of(given["source"]), given["source"], kinds)
        case = _renamed(case, name)
    else:
        case = _case(name, given, kinds)
    if target is not None:
        _write_new(target, case)
        sheet = worth.price_case(case, kinds, seed=seed, worlds=worlds)
    else:
        with house.open_shop(shop) as opened:
            worth.keep_case(opened, case, **house.hand)
            sheet = worth.price(opened, name, kinds, seed=seed, worlds=worlds)
    if as_json:
        click.echo(dumps(_told_new(name, sheet, target)))
        return
    put(answer_lines(sheet))
    put(assumed_lines(sheet))


@lot.command("list")
@json_option
@shop_option
@pass_house
def list_(house: House, as_json: bool, shop: str | None) -> None:
    """List the lots of the shop, oldest first."""
    with house.open_shop(shop) as opened:
        rows = [_row(opened, record.id) for record in worth.lots(opened)]
    if as_json:
        why = {"frozen": say("not frozen"), "outcome": say("nothing came of it yet")}
        click.echo(dumps({"lots": [asdict(row) for row in rows], "schema": 1, "why": why}))
        return
    if not rows:
        click.echo(say("No lots yet. retrue lot new keeps the first one."))
    for row in rows:
        told = [say("machines: {names}", names=", ".join(row.machines))]
        if row.frozen is not None:
            told.append(say("frozen at {money}", money=formatter.money(row.frozen, row.currency)))
        if row.outcome:
            told.append(say(row.outcome))
        click.echo(f"{row.name}: {'; '.join(map(str, told))}")


@lot.command()
@click.argument("lot", metavar="LOT.toml|NAME")
@json_option
@shop_option
@pass_house
def show(house: House, lot: str, as_json: bool, shop: str | None) -> None:
    """Show what is known of a lot, without a price."""
    with open_lot(house, lot, shop) as source:
        case = source.case()
    if as_json:
        click.echo(dumps({"case": asdict(case), "schema": 1}))
        return
    kinds = house.kinds()
    of = {machine.name: kinds.get(machine.kind) for machine in case.machines}
    click.echo(case.lot.name)
    for machine in case.machines:
        kind = of[machine.name]
        age = (
            say("{years} years", years=formatter.number(machine.age_years))
            if machine.age_years is not None
            else say("age not said")
        )
        click.echo(f"  {machine.name}: {kind.name if kind else machine.kind}, {age}")
    click.echo(say("Found so far: {count}", count=len(case.findings)))
    for kept in case.findings:
        click.echo(f"  {finding_words(kept.finding, of)}")


@lot.command()
@click.argument("lot", metavar="NAME")
@click.option(
    "--to",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write it there; else it is printed.",
)
@json_option
@shop_option
@pass_house
def export(house: House, lot: str, target: Path | None, as_json: bool, shop: str | None) -> None:
    """Write a lot of the shop as a file that gives the same price."""
    with open_lot(house, lot, shop) as source:
        case = source.case()
    text = write_lot(case)
    if target is not None:
        _write_new(target, case)
    if as_json:
        told = {"file": str(target) if target else None, "schema": 1, "text": text}
        click.echo(dumps(told | {"why": {} if target else {"file": "no --to was given"}}))
    else:
        click.echo(str(target) if target else text.rstrip())


@dataclass(frozen=True, slots=True)
class Row:
    """One lot in the list."""

    name: str
    machines: list[str]
    currency: str
    frozen: float | None
    outcome: str | None


def _row(shop: RecordShop, id: str) -> Row:
    view = worth.view_lot(shop, id)
    stands, came = worth.frozen(shop, view.id), worth.came_of(shop, view.id)
    return Row(
        view.name,
        [record.fact.name for _, record in view.machines],
        view.record.fact.currency,
        float(stands.fact.hammer) if stands else None,
        came.fact.result if came else None,
    )


def _case(name: str, given: dict[str, Any], kinds: Any) -> LotCase:
    """A case of what was typed; every wrong part is named."""
    machines = [_machine(name, text) for text in given["machines"]]
    problems = [
        Problem(f"--machine {machine.name}", doubt.what, doubt.remedy)
        for machine in machines
        for doubt in machine_doubts(machine, kinds)
    ]
    if not machines:
        what = say("a lot needs at least one machine")
        problems.append(Problem("--machine", what, say("For instance mill:turning_centre:22.")))
    names = [machine.name for machine in machines]
    if len(set(names)) < len(names):
        what = say("two machines have one name")
        problems.append(Problem("--machine", what, say("Give each its own name.")))
    if problems:
        raise Unusable(
            say("this lot cannot be kept"),
            remedy=say("retrue kinds list names the types of machine."),
            problems=tuple(problems),
        )
    terms = {key: given[key] for key in _TERMS}
    return LotCase(
        shop=Shop(currency=given["currency"]),
        lot=Lot(
            name=name,
            currency=given["currency"],
            sold="one_by_one" if given["one_by_one"] else "together",
            seller=given["seller"],
        ),
        terms=Terms(lot=name, **terms),
        machines=tuple(machines),
    )


_TERMS = (
    "sale",
    "asking",
    "bid_now",
    "bid_step",
    "premium",
    "tax_rate",
    "tax_scheme",
    "distance_km",
    "closes_at",
    "removal_days",
)


def _machine(lot: str, text: str) -> Machine:
    """NAME:KIND[:YEARS] as a machine."""
    name, _, rest = text.partition(":")
    kind, _, years = rest.partition(":")
    try:
        age = float(years.replace(",", ".")) if years else None
    except ValueError:
        age = -1.0
    if not name.strip() or not kind.strip() or (age is not None and not 0 <= age < 1000):
        raise Unusable(
            say("{text} is no machine", text=repr(text)),
            remedy=say("Write it as mill:vertical_machining_centre:24; the years may be left out."),
            problems=(Problem("--machine", say("is {text}", text=repr(text))),),
        )
    return Machine(lot=lot, name=name.strip(), kind=kind.strip(), age_years=age)


def _told_new(name: str, sheet: PriceSheet, target: Path | None) -> dict[str, object]:
    why = {} if target else {"file": say("kept in the shop")}
    if sheet.walk_away.amount is None:
        why["walk_away"] = sheet.walk_away.why
    return {
        "assumed": [asdict(row) for row in sheet.assumed],
        "currency": sheet.currency,
        "file": str(target) if target else None,
        "lot": name,
        "schema": 1,
        "seed": sheet.seed,
        "walk_away": sheet.walk_away.amount,
        "why": why,
        "worlds": sheet.worlds,
    }


def _renamed(case: LotCase, name: str) -> LotCase:
    return replace(case, lot=replace(case.lot, name=name))


def _write_new(target: Path, case: LotCase) -> None:
    if target.exists():
        raise Unusable(
            say("{path} is there already", path=str(target)),
            remedy=say("Choose another name; nothing was written."),
        )
    written(target, write_lot(case).encode())
