"""The condition record at the keyboard: guards, what goes with it, the record, a check."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any, cast

import click

import retrue
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.settle.condition_check import (
    Checked,
)
from retrue.cases.settle.condition_file import (
    content_of,
    file_of,
)
from retrue.cases.settle.condition_json import flat_checked, flat_guards, flat_record
from retrue.cases.settle.guards import guard_of
from retrue.cases.sheet_json import dumps
from retrue.cases.spot import find
from retrue.cli.fix_days import today
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of as bytes_of
from retrue.cli.options import json_option, shop_option
from retrue.cli.settle_record_lines import (
    checked_lines,
    guards_lines,
    record_lines,
    shut_lines,
)
from retrue.cli.strip_options import machine_of, machine_option
from retrue.cli.strip_rows import put_file
from retrue.kinds.library import Kind
from retrue.paper.edition import print_edition
from retrue.phases import settle
from retrue.phases.fix.here import lots_worked
from retrue.records.settling import Included, SoldAs
from retrue.records.shop import RecordShop
from retrue.store.derived import shown

pass_house = click.make_pass_decorator(House)
PATH = click.Path(dir_okay=False, path_type=Path)
SOLD = {"as-found": "as_found", "running": "running", "proven": "proven", "parts": "parts"}
STATES = {
    "proved": "proved", "defeated": "defeated", "missing": "missing",
    "not-tested": "not_tested", "not-fitted": "not_fitted",
}  # fmt: skip
GOES = {"goes-with": "goes_with", "stays": "stays", "missing": "missing"}
PICTURE_PX = 900  # longest side of the copies that are given away


@click.command()
@click.argument("lot", metavar="[LOT]", required=False)
@machine_option
@click.option("--as", "sold_as", type=click.Choice(list(SOLD)), help="As what it is sold.")
@click.option("--pdf", type=PATH, help="Give it away: write this PDF.")
@click.option("--file", "to", type=PATH, help="Give it away: write this JSON file.")
@click.option("--to", "whom", default="", metavar="WHOM", help="To whom it is given.")
@click.option("--letter", is_flag=True, help="Letter paper in place of A4.")
@json_option
@shop_option
@pass_house
def record(
    house: House, /, lot: str | None, machine: str | None, sold_as: str | None, pdf: Path | None,
    to: Path | None, whom: str, letter: bool, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """The condition record of a machine: what was seen and measured, what was not tested.

    It stays closed while a stop item or a guard is open, unless the machine is sold as parts. With
    --pdf or --file it is kept as it was given away; a later one is another record.
    """
    with house.open_shop(shop) as opened:
        at = machine_of(opened, the_lot(opened, lot), machine)
        chosen = SOLD[sold_as] if sold_as else settle.sold_as_of(opened, *at)
        stands = settle.record_stands(
            opened, *at, house.kinds(), on=today(house), sold_as=cast(SoldAs, chosen),
            by=house.by, version=print_edition(retrue.__version__),
        )  # fmt: skip
        if stands.blocked and not as_json:
            put(shut_lines(stands))
        if stands.blocked and (pdf or to or not as_json):
            settle.refuse_open(stands)
        since, said = settle.since_given(stands), settle.since_said(stands)
        content, id = content_of(stands.record), None
        if pdf is not None or to is not None:
            id, content, copies = _given(house, opened, stands, whom)
            _write(house, content, copies, pdf, to, letter)
    files = [str(path) for path in (pdf, to) if path is not None]
    if as_json:
        click.echo(dumps(flat_record(content, stands.open, blocked=stands.blocked, given=id,
                                     files=files, since=since)))  # fmt: skip
        return
    put(record_lines(stands, content, said, id))
    for path in files:
        click.echo(path)


def _given(
    house: House, shop: RecordShop, stands: settle.RecordStands, whom: str
) -> tuple[str, dict[str, Any], Mapping[str, bytes]]:
    """Keep it as it is given away: its id, what it says, its copies of photographs."""
    made, spot = stands.record, stands.spot
    small = partial(shown, longest_px=PICTURE_PX)
    kept = settle.give(
        shop, spot.lot, spot.machine, house.kinds(), on=today(house), sold_as=made.sold_as,
        small=small, whom=whom, version=made.edition, **house.hand,
    )  # fmt: skip
    given, copies = settle.one_given(shop, kept.id)
    return kept.id, json.loads(given.fact.content), copies


def _write(
    house: House, content: Mapping[str, Any], copies: Mapping[str, bytes], pdf: Path | None,
    to: Path | None, letter: bool,
) -> None:  # fmt: skip
    if pdf is not None:
        put_file(pdf, house.printer.condition(content, copies, letter=letter))
    if to is not None:
        put_file(to, file_of(content, copies))


def the_lot(shop: RecordShop, lot: str | None) -> str:
    """The lot that was named, or the only one that was not lost."""
    every = lots_worked(shop) if lot is None else (lot,)
    if len(every) != 1:
        raise Unknown(
            say("{count} lots are worked on", count=len(every)),
            remedy=say("Say which; retrue lot list names them."),
        )
    return every[0]


@click.command()
@click.argument("file", type=PATH, metavar="FILE")
@click.option("--gate", is_flag=True, help="Exit 1 where anything was changed.")
@json_option
@shop_option
@pass_house
def check(house: House, file: Path, gate: bool, as_json: bool, shop: str | None) -> None:
    """Whether FILE, the PDF or the JSON of a condition record, is as it was made.

    It can be checked anywhere. Where the shop is at hand that gave it, what was changed is named.
    """
    content = bytes_of(str(file), say("Check the path of the record."))
    checked = _checked(house, content, shop)
    if as_json:
        click.echo(dumps(flat_checked(checked)))
    else:
        put(checked_lines(checked))
    click.get_current_context().exit(1 if gate and not checked.unchanged else 0)


def _checked(house: House, content: bytes, shop: str | None) -> Checked:
    """With the shop where there is one; a buyer has none, and none is made for him."""

    def reprint(told: Mapping[str, Any], pictures: Mapping[str, bytes], paper: str) -> bytes:
        return house.printer.condition(told, pictures, letter=paper != "a4")

    edition = print_edition(retrue.__version__)
    named = shop or os.environ.get("RETRUE_SHOP")
    if named is None and not (house.data_folder / "shop.sqlite").exists():
        return settle.check(content, reprint=reprint, edition=edition)
    with house.open_shop(shop) as opened:
        return settle.check(content, shop=opened, reprint=reprint, edition=edition)


@click.command()
@click.argument("what", metavar="[WHAT]", required=False)
@click.option("--lot", metavar="NAME", help="Which lot; else the only one.")
@machine_option
@click.option("--guard", "state", type=click.Choice(list(STATES)), help="How a guard stands.")
@click.option("--goes", type=click.Choice(list(GOES)), help="Of anything else; else goes-with.")
@click.option("--grade", type=click.IntRange(0, 5), help="3 saw it, 4 measured, 5 checked.")
@click.option("--file", type=PATH, help="A file that goes with it: its checksum is kept.")
@click.option("--text", default="", help="How it was tried, or where it lies.")
@json_option
@shop_option
@pass_house
def include(
    house: House, /, what: str | None, lot: str | None, machine: str | None, state: str | None,
    goes: str | None, grade: int | None, file: Path | None, text: str, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """Keep what goes with a machine, or how its guard WHAT stands; without WHAT, list the guards.

    A guard is proved by opening it at idle and at slow axis, both channels, by a competent person.
    Never defeat one to try it.
    """
    kinds = house.kinds()
    with house.open_shop(shop) as opened:
        at = machine_of(opened, the_lot(opened, lot), machine)
        spot = find(opened, *at, kinds)
        cautions = _cautions(spot.kind, what, state)
        if what is None:
            told = settle.guards(opened, *at, kinds)
            if as_json:
                click.echo(dumps(flat_guards(spot.lot_name, spot.name, told, cautions)))
            else:
                put(guards_lines(told, cautions))
            return
        fact = _included(opened, at, what, state, goes, grade, file, text)
        if not as_json:
            put(say("Caution: {caution}", caution=one) for one in cautions)
        kept = settle.include(opened, fact, kinds, **house.hand)
    if as_json:
        one = kept.fact
        click.echo(dumps({"kept": kept.id, "what": one.what, "sort": one.sort, "grade": one.grade,
                          "state": one.state, "schema": "settle.kept.1", "why": {}}))  # fmt: skip
        return
    click.echo(say("Kept: {what}, {id}", what=kept.fact.what, id=kept.id))
    click.echo(say("Take it back: retrue settle take-back {id}", id=kept.id))


def _included(
    shop: RecordShop, at: tuple[str, str], what: str, state: str | None, goes: str | None,
    grade: int | None, file: Path | None, text: str,
) -> Included:  # fmt: skip
    if state and goes:
        problem = say("stands beside --guard")
        remedy = say("Say one of them.")
        raise Unusable(say("two things were said of {what}", what=what), remedy=remedy,
                       problems=(Problem("goes", problem, remedy),))  # fmt: skip
    if state in ("proved", "not-fitted") and grade is None:
        remedy = say("Say --grade 3 if you opened it yourself, 4 if you measured it.")
        raise Unusable(say("how surely was not said"), remedy=remedy,
                       problems=(Problem("grade", say("is missing"), remedy),))  # fmt: skip
    kept = None if file is None else shop.keep_file(bytes_of(str(file)))
    told: dict[str, Any] = {"sort": "guard", "state": STATES[state]} if state else {}
    return Included(
        lot=at[0], machine=at[1], what=what, file=kept, text=text,
        grade=3 if grade is None else grade,
        **(told or {"sort": GOES[goes or "goes-with"]}),
    )  # fmt: skip


def _cautions(kind: Kind | None, what: str | None, state: str | None) -> tuple[str, ...]:
    """What stands before a guard is tried; of all guards where none is named."""
    if kind is None or (what is not None and not state):
        return ()
    one = guard_of(kind, what) if what else None
    ids = one.cautions if one else [id for guard in kind.guards.values() for id in guard.cautions]
    known = [kind.cautions[id] for id in dict.fromkeys(ids) if id in kind.cautions]
    return tuple(say("{text} ({to})", text=each.text, to=each.defers_to) for each in known)
