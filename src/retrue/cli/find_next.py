"""The list of what machines do, and the next step."""

from __future__ import annotations

import click

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.find.advice import Goal
from retrue.cases.find.advice_json import to_json
from retrue.cases.known import kind_doubt
from retrue.cases.sheet_json import dumps
from retrue.cli.find_lines import advice_lines
from retrue.cli.find_options import (
    case_argument,
    draw_options,
    goal_option,
    machine_option,
    trouble_option,
)
from retrue.cli.find_source import machine_in, open_case, trouble_in
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.phases import find

pass_house = click.make_pass_decorator(House)


@click.command()
@click.argument("search", nargs=-1)
@click.option(
    "--kind",
    "kind_id",
    default="vertical_machining_centre",
    show_default=True,
    help="Type of machine, as retrue kinds list names it.",
)
@json_option
@pass_house
def symptoms(house: House, search: tuple[str, ...], kind_id: str, as_json: bool) -> None:
    """List what machines of a type do, in owners' words; SEARCH takes a few words of them."""
    kinds = house.kinds()
    if kind_id not in kinds:
        doubt = kind_doubt("kind", kind_id, kinds)
        raise Unknown(doubt.what, remedy=doubt.remedy)
    found = find.symptoms(kinds[kind_id], " ".join(map(str, search)))
    if as_json:
        rows = [
            {"group": one.group, "id": one.id, "switch_off_first": one.switch_off_first,
             "words": one.words}
            for one in found
        ]  # fmt: skip
        click.echo(dumps({"kind": kind_id, "schema": 1, "symptoms": rows}))
        return
    if not found:
        click.echo(say("None holds one of these words. Without words the whole list is shown."))
    for one in found:
        off = say(" (switch it off first)") if one.switch_off_first else ""
        click.echo(f"  {one.id}  {one.words}{off}")


@click.command("next")
@case_argument
@machine_option
@trouble_option
@goal_option
@draw_options
@json_option
@shop_option
@pass_house
def next_(
    house: House,
    case: str,
    machine: str | None,
    trouble: str | None,
    goal: Goal,
    seed: int,
    worlds: int,
    as_json: bool,
    shop: str | None,
) -> None:
    """Say the next step, why it is worth it, and what guessing would cost."""
    with open_case(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        which = trouble_in(stands, name, trouble)
        advice = seeker.advise(name, goal=goal, trouble=which, seed=seed, worlds=worlds)
    if as_json:
        click.echo(to_json(advice))
    else:
        put(advice_lines(advice))
