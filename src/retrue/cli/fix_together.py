"""While you're in there, and extras: what to renew as well, what makes it better than it was."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import click

from retrue.base.formatter import money, number, odds
from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.cases.fix.ageing_parts import ageing_places
from retrue.cases.fix.choice_lines import RenewRow, Together, UpgradeRow, Upgrades
from retrue.cases.fix.together_json import flat_together, flat_upgrades
from retrue.cases.fix.together_words import spoken
from retrue.cases.lot_file import read_lot
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put, table
from retrue.cli.options import content_of, is_file, json_option, shop_option
from retrue.cli.strip_options import caution_lines, machine_of
from retrue.kinds.library import Kind
from retrue.phases.fix.together import (
    SEED,
    WORLDS,
    YEARS,
    read_parts,
    together_case,
    together_file,
)
from retrue.phases.fix.together import together as weigh
from retrue.phases.fix.upgrades import upgrades as extras
from retrue.phases.fix.upgrades import upgrades_case
from retrue.records.facts import Machine

pass_house = click.make_pass_decorator(House)
FILE = click.Path(dir_okay=False, path_type=Path)
HOUR = 15.0
NAMES = 34  # letters of a part's name in the table


@click.command()
@click.argument("lot", metavar="[LOT|FILE]", required=False)
@click.argument("machine", metavar="[MACHINE]", required=False)
@click.option("--place", metavar="ID", help="The place that stands open: cabinet.")
@click.option("--years", type=float, default=YEARS, show_default=True,
              help="How far ahead.")  # fmt: skip
@click.option("--file", "path", type=FILE, help="Without a lot: parts from this CSV.")
@click.option("--reopening", type=float, help="With --file: what opening again costs, all in.")
@click.option("--hour", type=float, default=HOUR, show_default=True,
              help="With --file: what an own hour is worth.")  # fmt: skip
@click.option("--currency", default="EUR", show_default=True, help="With --file.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=SEED, show_default=True,
              help="Start of the chance; the same seed gives the same numbers.")  # fmt: skip
@click.option("--worlds", type=click.IntRange(100, 100_000), default=WORLDS,
              show_default=True, help="In how many ways it may be.")  # fmt: skip
@json_option
@shop_option
@pass_house
def together(
    house: House, lot: str | None, machine: str | None, place: str | None, years: float,
    path: Path | None, reopening: float | None, hour: float, currency: str, seed: int, worlds: int,
    as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """While you're in there: what to renew as well, now that a place stands open.

    LOT is a lot in the shop, or a lot file. Or --file with columns part, money, hours, then chance
    or shape and life_years and age_years, and money_if_it_fails for what a failure breaks beside;
    chances are for the --years asked for.
    """
    if (path is None) == (lot is None):
        raise Unusable(
            say("say one thing: a lot, or a file of parts"),
            remedy=say("retrue fix together LOT MACHINE --place cabinet, or --file PARTS.csv."),
        )
    if path is not None:
        rows = read_parts(content_of(str(path)), path.name)
        told = together_file(rows, years, _reopening(reopening), rate=hour, currency=currency)
    else:
        draws = {"seed": seed, "worlds": worlds}
        told = _of_lot(house, lot or "", machine, place, years, draws, shop)
    if as_json:
        click.echo(dumps(flat_together(told)))
        return
    put(together_lines(told))


def _of_lot(
    house: House, lot: str, machine: str | None, place: str | None, years: float,
    draws: dict[str, int], shop: str | None,
) -> Together:  # fmt: skip
    kinds, now = house.kinds(), house.clock()
    if is_file(lot):
        case = read_lot(content_of(lot), lot, kinds)
        one = machine or only_one(case.machines)
        kind = next((m.kind for m in case.machines if m.name == one), "")
        opened_at = _place(place, kinds, kind)
        return together_case(
            case, one, kinds, place=opened_at, years=years, now=now, seed=draws["seed"],
            worlds=draws["worlds"],
        )  # fmt: skip
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        opened_at = _place(place, kinds, opened.history(at[1])[-1].fact.kind)
        return weigh(
            opened, *at, kinds, place=opened_at, years=years, now=now, seed=draws["seed"],
            worlds=draws["worlds"],
        )  # fmt: skip


@click.command()
@click.argument("lot", metavar="LOT|FILE")
@click.argument("machine", metavar="[MACHINE]", required=False)
@json_option
@shop_option
@pass_house
def upgrades(house: House, lot: str, machine: str | None, as_json: bool, shop: str | None) -> None:
    """Extras: what each costs and what it adds, chosen or not.

    Hours in noise, light, comfort, looks and resale, from what was read where it was read. Choose
    one with `retrue fix choose LOT MACHINE paint yes`.
    """
    kinds = house.kinds()
    if is_file(lot):
        case = read_lot(content_of(lot), lot, kinds)
        told = upgrades_case(case, machine or only_one(case.machines), kinds)
    else:
        with house.open_shop(shop) as opened:
            told = extras(opened, *machine_of(opened, lot, machine), kinds)
    if as_json:
        click.echo(dumps(flat_upgrades(told)))
        return
    put(upgrade_lines(told))


def together_lines(told: Together) -> Iterator[str]:
    """What to renew for the terminal: cautions, the answer, the parts, fine print.

    Parameters
    ----------
    told : Together

    Yields
    ------
    str
        One line each.
    """
    yield from caution_lines(told.cautions)
    if told.place_name:
        yield say("{machine}: {place}, {years} ahead.", machine=told.machine_name,
                  place=told.place_name, years=spoken(told.years))  # fmt: skip
    yield told.words
    if not told.rows:
        return
    yield told.how_sure
    if told.owner_costs >= 1.0:
        more = money(told.owner_costs, told.currency)
        yield say("Your own choices cost {more} more than the cheapest.", more=more)
    yield ""
    heads = (say("part"), say("renew?"), say("fails"), say("money"), say("hours"), say("kept"),
             say("renewed"))  # fmt: skip
    yield from table([heads, *(_row(row, told.currency) for row in told.rows)])
    yield ""
    yield say("Opening it again costs {cost}.", cost=money(told.reopening, told.currency))
    yield from told.assumed
    marks = dict.fromkeys(row.mark for row in told.rows if row.mark)
    yield from (say("Numbers: {mark}.", mark=mark) for mark in marks)


def upgrade_lines(told: Upgrades) -> Iterator[str]:
    """Extras for the terminal: cautions, then each with what it adds.

    Parameters
    ----------
    told : Upgrades

    Yields
    ------
    str
        One line each.
    """
    mine = (caution for row in told.rows for caution in row.cautions)
    yield from caution_lines(dict.fromkeys((*told.cautions, *mine)))
    for row in told.rows:
        yield ""
        yield from _upgrade(row)
    yield ""
    if any(row.chosen for row in told.rows):
        spent = {"money": money(told.chosen_money, told.currency),
                 "hours": number(told.chosen_hours, 1)}  # fmt: skip
        yield say("Chosen: {money} and {hours} h in all.", **spent)
    else:
        yield say("None is chosen.")
    yield from told.assumed


def only_one(machines: tuple[Machine, ...]) -> str:
    """The one machine of a lot file.

    Raises
    ------
    Unknown
        There are several, or none.
    """
    if len(machines) == 1:
        return machines[0].name
    raise Unknown(
        say("the lot has {count} machines", count=len(machines)),
        remedy=say("Say which: {names}.", names=", ".join(one.name for one in machines) or "-"),
    )


def _place(place: str | None, kinds: Mapping[str, Kind], kind: str) -> str:
    """The place asked for; without one, those that have parts that age are named."""
    if place is not None:
        return place
    known = ", ".join(map(str, ageing_places(kinds[kind]))) if kind in kinds else ""
    raise Unusable(
        say("no place was named"),
        remedy=say("Say which stands open: --place {places}.", places=known or "-"),
    )


def _reopening(cost: float | None) -> float:
    if cost is None:
        raise Unusable(
            say("what opening again costs is missing"),
            remedy=say("Say it all in, with hours and the day at rest: --reopening 300."),
        )
    return cost


def _row(row: RenewRow, currency: str) -> tuple[str, ...]:
    said = say("yes") if row.renew else say("no")
    return (
        row.name if len(row.name) <= NAMES else row.name[: NAMES - 1] + "…",
        say("{said}, yours", said=said) if row.by_owner else said,
        odds(row.risk),
        money(row.money, currency),
        number(row.hours, 1),
        money(row.if_kept, currency),
        money(row.if_renewed, currency),
    )


def _upgrade(row: UpgradeRow) -> Iterator[str]:
    chosen = say("chosen") if row.chosen else say("not chosen")
    yield say("{name} ({id}): {chosen}", name=row.name, id=row.id, chosen=chosen)
    yield f"  {row.words}"
    yield from (f"  {name}: {what}" for name, what in row.adds)
