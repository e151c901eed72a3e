"""What can be chosen for a machine: ways, levels, another control, go on or stop; and choosing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Literal, cast

import click

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.fix.choice_lines import Options
from retrue.cases.fix.options import only_fault
from retrue.cases.fix.options_json import flat
from retrue.cases.known import nearest
from retrue.cases.lot_file import read_lot
from retrue.cases.sheet_json import dumps
from retrue.cli.fix_option_lines import chosen_lines, option_lines
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, is_file, json_option, shop_option
from retrue.cli.strip_options import lot_argument, machine_of
from retrue.kinds.library import Kind
from retrue.phases.fix.choosing import choose as keep_choice
from retrue.phases.fix.here import machine_at
from retrue.phases.fix.options import SEED, WORLDS, options_case
from retrue.phases.fix.options import options as options_of
from retrue.records.facts import Machine
from retrue.records.fixing import Chosen, ChosenSort
from retrue.records.fixing_rules import AIMS

pass_house = click.make_pass_decorator(House)
LEVELS = ("just_running", "right", "like_new")
Level = Literal["", "just_running", "right", "like_new"]
ANSWERS = {"yes": True, "no": False, "": True}


@click.command()
@click.argument("lot", metavar="LOT|FILE")
@click.argument("machine", metavar="[MACHINE]", required=False)
@click.option("--machine", "named", metavar="NAME", help="Which machine; else its only one.")
@click.option("--level", type=click.Choice(LEVELS), help="How far; else as it is worked for.")
@click.option("--budget", type=float, help="Money from here on: the ways that give up least.")
@click.option("--by", "by_on", metavar="DAY", help="Every wait over by then: 2027-02-01.")
@click.option("--fault", metavar="ID", help="One fault alone, with every way.")
@click.option("--all", "whole", is_flag=True, help="Every likely fault, not the first dozen.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=SEED, show_default=True,
              help="Start of the chance; the same seed gives the same numbers.")  # fmt: skip
@click.option("--worlds", type=click.IntRange(100, 100_000), default=WORLDS, show_default=True,
              help="In how many ways it may turn out.")  # fmt: skip
@json_option
@shop_option
@pass_house
def options(
    house: House, lot: str, machine: str | None, named: str | None, level: str | None,
    budget: float | None, by_on: str | None, fault: str | None, whole: bool, seed: int,
    worlds: int, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Ways to put each fault right, what each level takes from here on, go on or stop.

    With --budget or --by: what fits, what is left out, what that gives up. LOT is a lot in the
    shop, or a lot file. Money, hours and days are estimates for planning.
    """
    kinds, now, name = house.kinds(), house.clock(), machine or named
    by = None if by_on is None else _day(by_on)
    if is_file(lot):
        case = read_lot(content_of(lot), lot, kinds)
        one = name or _only(case.machines)
        told = options_case(case, one, kinds, now=now, seed=seed, worlds=worlds, level=level,
                            budget=budget, by_on=by)  # fmt: skip
    else:
        with house.open_shop(shop) as opened:
            at = machine_of(opened, lot, name)
            told = options_of(opened, *at, kinds, now=now, seed=seed, worlds=worlds, level=level,
                              budget=budget, by_on=by)  # fmt: skip
    told = told if fault is None else _one_fault(told, fault)
    if as_json:
        click.echo(dumps(flat(told)))
        return
    put(option_lines(told, whole=whole))


@click.command()
@lot_argument
@click.argument("machine", metavar="MACHINE")
@click.argument("what", metavar="[WHAT]", default="")
@click.argument("way", metavar="[WAY]", default="")
@click.option("--aim", type=click.Choice(AIMS), help="What the machine is worked for.")
@click.option("--level", type=click.Choice(LEVELS), help="How far, with --aim.")
@click.option("--why", default="", help="In your own words.")
@json_option
@shop_option
@pass_house
def choose(
    house: House, lot: str, machine: str, what: str, way: str, aim: str | None,
    level: str | None, why: str, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Choose: F15 local; F15 alone for what is reckoned best again; drive_fans yes; --aim keep.

    WHAT is a fault, a part that can be renewed, or an extra; WAY one of the fault's ways, or yes
    or no. A stop item is never lived with.
    """
    kinds = house.kinds()
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        spot, kind = machine_at(opened, *at, kinds)
        fact = _chosen(kind, what, way, aim, level)
        record = keep_choice(opened, *at, kinds, replace(fact, why=why), **house.hand)
    if as_json:
        row = {name: getattr(record.fact, name) for name in ("sort", "what", "way", "level", "yes")}
        row |= {"id": record.id, "lot": spot.lot_name, "machine": spot.name, "why": {}}
        click.echo(dumps(row | {"because": record.fact.why, "schema": "fix.chosen.1"}))
        return
    put(chosen_lines(record.fact, kind, spot.name))


def _chosen(kind: Kind, what: str, way: str, aim: str | None, level: str | None) -> Chosen:
    """What was typed, as a choice; an aim and a thing at once cannot be read."""
    if (aim is None) == (not what):
        remedy = say("Name a fault and its way, or --aim and --level.")
        raise Unusable(
            say("what is chosen?"),
            remedy=remedy,
            problems=(Problem("what", say("is not clear"), remedy),),
        )
    if aim is not None:
        return Chosen(lot="", machine="", sort="aim", way=aim, level=cast(Level, level or ""))
    sort: ChosenSort = "way"
    if what in kind.renewals or what in kind.upgrades:
        sort = "renew" if what in kind.renewals else "upgrade"
        return Chosen(lot="", machine="", sort=sort, what=what, yes=_yes(way))
    return Chosen(lot="", machine="", sort=sort, what=what, way=way)


def _yes(word: str) -> bool:
    if word not in ANSWERS:
        remedy = say("Say yes or no.")
        raise Unusable(
            say("{word} is no answer", word=word),
            remedy=remedy,
            problems=(Problem("way", say("is {word}", word=word), remedy),),
        )
    return ANSWERS[word]


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as wrong:
        remedy = say("Write it as 2027-02-01.")
        raise Unusable(
            say("{text} is no day", text=text),
            remedy=remedy,
            problems=(Problem("by", say("is {text}", text=text), remedy),),
        ) from wrong


def _only(machines: tuple[Machine, ...]) -> str:
    if len(machines) == 1:
        return machines[0].name
    raise Unknown(
        say("the lot has {count} machines", count=len(machines)),
        remedy=say("Say which with --machine: {names}.", names=", ".join(m.name for m in machines)),
    )


def _one_fault(told: Options, fault: str) -> Options:
    alone = only_fault(told, fault)
    if alone.faults:
        return alone
    said = {"fault": fault, "name": told.machine_name}
    if fault in told.gone:
        raise Unknown(
            say("{fault} at {name} was put right, or seen not to be there", **said),
            remedy=say("If it is there again, note it as found; then it has its ways again."),
        )
    raise Unknown(
        say("{fault} is neither found nor likely at {name}", **said),
        remedy=nearest(fault, [one.fault for one in told.faults])
        or say("Without --fault all that are likely are named."),
    )
