"""What was done: acts, parts that change places, stop points, and the truth at teardown."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Literal, get_args

import click

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cli.find_options import case_argument, machine_option, trouble_option
from retrue.cli.find_source import machine_in, open_case, open_kept, trouble_in
from retrue.cli.find_tell import say_kept
from retrue.cli.house import House
from retrue.cli.options import AMOUNT, json_option, shop_option
from retrue.phases import find
from retrue.records.seeking import Act, ActSort, PartMoved, Signed

pass_house = click.make_pass_decorator(House)
SORTS = get_args(ActSort)


@click.command()
@case_argument
@click.argument("sort", type=click.Choice(SORTS))
@machine_option
@trouble_option
@click.option("--fault", metavar="ID", help="What it was to put right: F15.")
@click.option("--way", default="", help="Which of its ways: local, replace, second_hand ...")
@click.option("--job", metavar="ID", help="Or a job of the list: J07.")
@click.option("--cures", type=float, help="Chance that it cured, where you know better.")
@click.option("--expected", default="", help="What you expected of it.")
@click.option("--seen", default="", help="What was seen.")
@click.option("--decided", default="", help="What you decided then.")
@click.option("--picture", "paths", metavar="FILE", multiple=True, help="A photograph; repeat it.")
@click.option("--money", type=AMOUNT, help="What it cost.")
@click.option("--hours", type=float, help="Own hours.")
@click.option("--days", type=float, help="Days of waiting.")
@click.option("--bought", default="", help="What was bought for it.")
@click.option("--needed/--not-needed", default=None, help="Whether it was needed after all.")
@json_option
@shop_option
@pass_house
def did(
    house: House,
    /,
    case: str,
    sort: ActSort,
    machine: str | None,
    trouble: str | None,
    paths: tuple[str, ...],
    money: Decimal | None,
    as_json: bool,
    shop: str | None,
    **said: Any,
) -> None:
    """Keep what was done: what you expected, saw and decided, what it cost and who needed it."""
    with open_case(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        which = trouble_in(stands, name, trouble)
        pictures = tuple(seeker.picture(path, name) for path in paths)
        act = Act(
            lot=stands.lot.name, machine=name, trouble=which, sort=sort, pictures=pictures,
            money=money, **said,
        )  # fmt: skip
        say_kept(seeker, stands, name, seeker.keep(act), as_json, which)


@click.command()
@case_argument
@click.argument("part", metavar="PART")
@machine_option
@click.option("--slot", required=True, help="Where it now is, for instance Z.")
@click.option("--serial", required=True, help="The serial number on its plate.")
@click.option("--from-slot", required=True, help="Where it was.")
@click.option("--from-machine", metavar="NAME", help="The machine it was in; else the same.")
@click.option("--other-serial", default="", help="Of the part that went the other way.")
@click.option(
    "--why",
    type=click.Choice(("swap", "donor", "back")),
    default="swap",
    show_default=True,
    help="Two changed places, one was given, or it went back.",
)
@click.option("--same-type", is_flag=True, help="Type, rating and settings agree on both plates.")
@click.option("--text", default="", help="One sentence about it.")
@json_option
@shop_option
@pass_house
def swap(
    house: House,
    /,
    case: str,
    part: str,
    machine: str | None,
    from_machine: str | None,
    why: Literal["swap", "donor", "back"],
    as_json: bool,
    shop: str | None,
    **said: Any,
) -> None:
    """Keep that a part changed places: like with like only, motor and cable first."""
    with open_kept(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        moved = PartMoved(
            lot=stands.lot.name, machine=name, part=part, from_machine=from_machine or name,
            why=why, **said,
        )  # fmt: skip
        say_kept(seeker, stands, name, seeker.keep(moved), as_json)


@click.command()
@case_argument
@click.argument("stage", type=click.Choice(find.STAGES))
@click.argument("name")
@machine_option
@click.option("--text", default="", help="What was closed before, and how it was proved.")
@json_option
@shop_option
@pass_house
def sign(
    house: House,
    case: str,
    stage: Literal["apart", "power_up", "running"],
    name: str,
    machine: str | None,
    text: str,
    as_json: bool,
    shop: str | None,
) -> None:
    """Sign a stop point with your NAME: what it closes off was done, what it opens may be done."""
    with open_case(house, case, shop) as seeker:
        stands = seeker.case()
        which = machine_in(stands, machine)
        signed = Signed(lot=stands.lot.name, machine=which, stage=stage, name=name, text=text)
        say_kept(seeker, stands, which, seeker.keep(signed), as_json)


@click.command()
@case_argument
@click.argument("fault")
@click.argument("truth", type=click.Choice(("present", "absent")))
@machine_option
@click.option("--text", default="", help="What was seen.")
@click.option("--picture", metavar="FILE", help="A photograph of it.")
@json_option
@shop_option
@pass_house
def teardown(
    house: House,
    case: str,
    fault: str,
    truth: str,
    machine: str | None,
    text: str,
    picture: str | None,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep what was really there once it was open, beside what was guessed before."""
    with open_kept(house, case, shop) as seeker:
        stands = seeker.case()
        name = machine_in(stands, machine)
        record = find.teardown(
            seeker.shop, seeker.lot, name, fault, truth == "present", house.kinds(), text=text,
            picture=seeker.picture(picture, name) if picture else None, **house.hand,
        )  # fmt: skip
    said = record.fact
    if as_json:
        told = {"base_rate": said.base_rate, "fault": fault, "guessed": said.share}
        told |= {"kept": record.id, "lot": stands.lot.name, "machine": name, "was": said.was}
        click.echo(dumps(told | {"schema": 1}))
        return
    click.echo(say("Kept: {id}", id=record.id))
    was = say("it was there") if said.was else say("it was not there")
    click.echo(
        say("{fault}: {was}; guessed before: {odds}.", fault=fault, was=was,
            odds=formatter.odds(said.share))
    )  # fmt: skip
