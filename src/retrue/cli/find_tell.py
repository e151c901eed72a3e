"""What is told: what it does, what was seen, what is thought, whether it still does it."""

from __future__ import annotations

from typing import Any

import click

from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.sheet_json import dumps
from retrue.cli.find_lines import brief_lines
from retrue.cli.find_options import (
    LEVELS,
    WORLDS,
    case_argument,
    machine_option,
    trouble_option,
)
from retrue.cli.find_source import Seeker, kind_of, machine_in, open_case, open_trouble
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.note import CHANNELS, finding_of
from retrue.cli.options import json_option, shop_option
from retrue.records.seeking import Hunch, Level, Trial, Trouble

pass_house = click.make_pass_decorator(House)
SEED = 7


@click.command()
@case_argument
@click.argument("symptom")
@machine_option
@click.option("--words", default="", help="In your own words.")
@click.option("--comes-and-goes", is_flag=True, help="It does not do it every time.")
@click.option("--picture", metavar="FILE", help="A photograph of it.")
@json_option
@shop_option
@pass_house
def tell(
    house: House,
    case: str,
    symptom: str,
    machine: str | None,
    words: str,
    comes_and_goes: bool,
    picture: str | None,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep what a machine does, by its id in the list of symptoms; say the next step."""
    with open_case(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        kept = seeker.keep(
            Trouble(
                lot=stands.lot.name,
                machine=name,
                symptom=symptom,
                words=words,
                comes_and_goes=comes_and_goes,
                picture=seeker.picture(picture, name) if picture else None,
            )
        )
        say_kept(seeker, stands, name, kept, as_json)


@click.command()
@case_argument
@click.argument("look", metavar="CHECK|HISTORY")
@click.argument("answer", required=False, default="")
@machine_option
@click.option("--reading", type=float, help="The number read, in the measure's unit.")
@click.option("--measure", help="Which measure, where the look has several.")
@click.option("--uncertainty", type=float, help="Give or take, in the same unit.")
@click.option("--grade", type=click.IntRange(0, 5), help="0 told me ... 5 measured and checked.")
@click.option(
    "--channel",
    type=click.Choice(CHANNELS),
    default="visit_dead",
    show_default=True,
    help="How it was seen.",
)
@click.option("--informant", help="Who said it.")
@click.option("--text", default="", help="One sentence beside it.")
@json_option
@shop_option
@pass_house
def saw(
    house: House,
    /,
    case: str,
    look: str,
    machine: str | None,
    as_json: bool,
    shop: str | None,
    **said: Any,
) -> None:
    """Keep what a look showed; say the next step.

    ANSWER: not_seen, seen, slight, severe, cant_tell; of a past life yes, no, likely, maybe,
    unknown. Nothing, where --reading says it.
    """
    with open_case(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        kind = kind_of(stands, name, house)
        kept = seeker.saw(finding_of(stands.lot.name, name, look, [kind], said))
        say_kept(seeker, stands, name, kept, as_json)


@click.command()
@case_argument
@click.argument("fault")
@machine_option
@trouble_option
@click.option("--informant", help="Whose guess it is; else your own.")
@click.option("--text", default="", help="In his words.")
@json_option
@shop_option
@pass_house
def guess(
    house: House,
    case: str,
    fault: str,
    machine: str | None,
    trouble: str | None,
    informant: str | None,
    text: str,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep 'I think it is ...' (FAULT by its id); say what following it costs on average."""
    with open_case(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        which = open_trouble(stands, name, trouble)
        hunch = Hunch(
            lot=stands.lot.name,
            machine=name,
            trouble=which,
            fault=fault,
            informant=informant,
            text=text,
        )
        say_kept(seeker, stands, name, seeker.keep(hunch), as_json, which)


@click.command()
@case_argument
@click.argument("result", type=click.Choice(("gone", "still")))
@machine_option
@trouble_option
@click.option("--group", metavar="ID", help="A group was tried against a level instead.")
@click.option("--level", type=click.Choice(LEVELS), help="Which level, with --group.")
@click.option("--text", default="", help="What was seen.")
@json_option
@shop_option
@pass_house
def again(
    house: House,
    case: str,
    result: str,
    machine: str | None,
    trouble: str | None,
    group: str | None,
    level: Level | None,
    text: str,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep whether it still does it after what was done; of a group, gone means it is right."""
    with open_case(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        which = open_trouble(stands, name, trouble) if group is None or trouble else None
        trial = Trial(
            lot=stands.lot.name,
            machine=name,
            trouble=which,
            group=group,
            level=level or "",
            passes=result == "gone",
            text=text,
        )
        say_kept(seeker, stands, name, seeker.keep(trial), as_json, which)


def say_kept(
    seeker: Seeker,
    before: LotCase,
    machine: str,
    kept: str,
    as_json: bool,
    trouble: str | None = None,
) -> None:
    """Say that it is kept; then the next step, where a trouble was told.

    Parameters
    ----------
    seeker : Seeker
    before : LotCase
        As it stood.
    machine : str
        By name.
    kept : str
        Its id.
    as_json : bool
    trouble : str or None
        Which one is spoken of.
    """
    if as_json:
        told = {"kept": kept, "lot": before.lot.name, "machine": machine, "schema": 1}
        click.echo(dumps(told))
        return
    click.echo(say("Kept: {id}", id=kept))
    told_of = [one for one in seeker.case().happened if isinstance(one.event, Trouble)]
    if any(one.event.machine == machine for one in told_of):
        advice = seeker.advise(machine, goal="clear", trouble=trouble, seed=SEED, worlds=WORLDS)
        put(brief_lines(advice))
        if advice.hunch is not None:
            put(iter([advice.hunch.text]))
