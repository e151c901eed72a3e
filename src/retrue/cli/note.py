"""The five-second note at the keyboard, and a finding; on a lot's file or on the shop."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any, TypedDict

import click

from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.note_check import check
from retrue.cli.note_kept import back, list_
from retrue.cli.options import content_of, is_file, json_option, shop_option, sum_options
from retrue.phases import note as phase
from retrue.records.facts import Finding
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)
CHANNELS = ("photo", "call", "visit_dead", "visit_live", "apart", "power_up", "running")
GRADES = {"photo": 1, "call": 0}  # by channel, where nobody says another; else saw it


@click.group()
def note() -> None:
    """Keep what was seen, at once: finding, photo, line, file, alarm, setting."""


note.add_command(check)
note.add_command(list_)
note.add_command(back)


@note.command()
@click.argument("lot", metavar="LOT.toml|NAME")
@click.argument("machine")
@click.argument("look", metavar="CHECK|HISTORY|FAULT")
@click.argument("answer", required=False, default="")
@click.option("--reading", type=float, help="The number read, in the measure's unit.")
@click.option("--measure", help="Which measure, where the look has several.")
@click.option("--uncertainty", type=float, help="Give or take, in the same unit.")
@click.option("--grade", type=click.IntRange(0, 5), help="0 told me ... 5 measured and checked.")
@click.option(
    "--channel",
    type=click.Choice(CHANNELS),
    default="photo",
    show_default=True,
    help="How it was seen.",
)
@click.option("--informant", help="Who said it.")
@click.option(
    "--units",
    type=click.IntRange(1, 20),
    default=1,
    show_default=True,
    help="How many axes, motors or cables it names.",
)
@click.option("--temperature-c", type=float, help="Of the winding, where it matters.")
@click.option("--text", default="", help="One sentence beside it.")
@sum_options
@json_option
@shop_option
@pass_house
def finding(
    house: House,
    /,
    lot: str,
    machine: str,
    look: str,
    seed: int,
    worlds: int,
    as_json: bool,
    shop: str | None,
    **said: Any,
) -> None:
    """Keep one finding; say what it does to the price.

    MACHINE is its name ("lot" for the whole lot). ANSWER: not_seen, seen, slight, severe,
    cant_tell; of a past life yes, no, likely, maybe, unknown; of a fault present, absent.
    """
    from retrue.cli.lines import price_moved  # only this command prices; a note need not wait
    from retrue.cli.source import open_lot

    with open_lot(house, lot, shop) as source:
        case = source.case()
        kinds = [house.kinds()[m.kind] for m in case.machines if machine in ("lot", m.name)]
        made = finding_of(case.lot.name, None if machine == "lot" else machine, look, kinds, said)
        judged = source.keep(made, seed=seed, worlds=worlds)
    before, after = judged.amounts
    if as_json:
        told: dict[str, object] = {"after": after, "before": before, "look": look, "schema": 1}
        told |= {"lot": case.lot.name, "machine": made.machine}
        gone = judged.why or say("no price stands")
        why = {name: gone for name in ("after", "before") if told[name] is None}
        told["why"] = why | ({} if made.machine else {"machine": say("said of the whole lot")})
        click.echo(dumps(told))
        return
    click.echo(say("Kept."))
    for line in price_moved(judged):
        click.echo(line)


@note.command()
@click.argument("paths", metavar="FILE...", nargs=-1, required=True)
@click.option("--lot", metavar="LOT.toml|NAME", help="The lot they belong to.")
@click.option("--machine", help="The machine they show.")
@click.option("--shot", help="What they show: W_cabinet, S08, ...")
@click.option("--caption", default="", help="One line below them.")
@json_option
@shop_option
@pass_house
def photo(
    house: House,
    paths: tuple[str, ...],
    lot: str | None,
    machine: str | None,
    shot: str | None,
    caption: str,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep photographs or films, as they are."""
    contents = [(Path(path).name, content_of(path)) for path in paths]
    for name, content in contents:
        house.prove(content, name)
    if lot is not None and is_file(lot):
        for path, (_, content) in zip(paths, contents, strict=True):
            parts = [f"photo {path}", machine or "", shot or "", caption]
            words = ", ".join(str(part) for part in parts if part)
            _remark(house, lot, f"{words}, sha256 {hashlib.sha256(content).hexdigest()}")
    else:
        with house.open_shop(shop) as opened:
            for name, content in contents:
                _keep_photo(house, opened, lot, name, content, machine, shot, caption)
    _say_kept(as_json, [name for name, _ in contents])


@note.command()
@click.argument("text")
@click.option("--lot", metavar="LOT.toml|NAME", help="The lot it is about, if it is.")
@click.option("--machine", help="The machine it is about, if it is.")
@click.option("--photo", "path", help="A photograph that goes with it.")
@json_option
@shop_option
@pass_house
def line(
    house: House,
    text: str,
    lot: str | None,
    machine: str | None,
    path: str | None,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep one sentence."""
    if lot is not None and is_file(lot):
        words = [text] if machine is None else [f"{machine}: {text}"]
        _remark(house, lot, "\n".join(words + ([f"photo {path}"] if path else [])))
    else:
        with house.open_shop(shop) as opened:
            place = _place(opened, lot, machine)
            kept = _keep_file(house, opened, path, place) if path else None
            phase.note(opened, text, file=kept, **place, **house.hand)
    _say_kept(as_json, [text])


@note.command()
@click.argument("path", metavar="FILE")
@click.option("--lot", metavar="LOT.toml|NAME", help="The lot it belongs to.")
@click.option("--machine", help="The machine it belongs to.")
@click.option("--place", help="Where on the machine.")
@click.option("--caption", default="", help="One line about it.")
@json_option
@shop_option
@pass_house
def file(
    house: House,
    path: str,
    lot: str | None,
    machine: str | None,
    place: str | None,
    caption: str,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep any file: sound, PDF, parameter text. It is never run."""
    content, name = content_of(path), Path(path).name
    if lot is not None and is_file(lot):
        digest = hashlib.sha256(content).hexdigest()
        parts = [part for part in (f"file {path}", machine, place, caption) if part]
        _remark(house, lot, f"{', '.join(map(str, parts))}, sha256 {digest}")
    else:
        with house.open_shop(shop) as opened:
            where = _place(opened, lot, machine)
            phase.keep_file(
                opened, content, name, house.prove, place=place, caption=caption, **where,
                **house.hand,
            )  # fmt: skip
    _say_kept(as_json, [name])


@note.command()
@click.argument("text")
@click.option("--doing", default="", help="What I was doing when it came.")
@click.option("--lot", metavar="NAME", help="The lot, if it is one of a lot.")
@click.option("--machine", help="The machine.")
@json_option
@shop_option
@pass_house
def alarm(
    house: House,
    text: str,
    doing: str,
    lot: str | None,
    machine: str | None,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep an alarm, as its text stands on the screen."""
    with house.open_shop(shop) as opened:
        place = _place(opened, lot, machine)
        phase.alarm(opened, text, doing=doing, **place, **house.hand)
    _say_kept(as_json, [text])


@note.command()
@click.argument("name")
@click.argument("old")
@click.argument("new")
@click.option("--why", default="", help="Why it was changed.")
@click.option("--put-back/--left", default=None, help="Whether it was put back.")
@click.option("--lot", metavar="NAME", help="The lot, if it is one of a lot.")
@click.option("--machine", help="The machine.")
@json_option
@shop_option
@pass_house
def setting(
    house: House,
    name: str,
    old: str,
    new: str,
    why: str,
    put_back: bool | None,
    lot: str | None,
    machine: str | None,
    as_json: bool,
    shop: str | None,
) -> None:
    """Keep that a setting was changed: its name, what it was, what it is now."""
    with house.open_shop(shop) as opened:
        phase.changed_setting(
            opened, name, old=old, new=new, why=why, put_back=put_back,
            **_place(opened, lot, machine), **house.hand,
        )  # fmt: skip
    _say_kept(as_json, [name])


def finding_of(
    lot: str, machine: str | None, look: str, kinds: list[Any], said: dict[str, Any]
) -> Finding:
    """What was typed as a finding: the id says whether it is a check, a past life or a fault.

    Parameters
    ----------
    lot : str
        Its name.
    machine : str or None
        Its name; None: the whole lot.
    look : str
        Id of the check, past life or fault.
    kinds : list of Kind
        Of that machine, or of all.
    said : dict
        The other fields, as typed.

    Returns
    -------
    Finding
        With its only measure and its usual grade where nobody said another.
    """
    what = "check"
    for name, table in (("history", "histories"), ("fault", "faults")):
        if any(look in getattr(kind, table) for kind in kinds):
            what = name
    measures = {m for kind in kinds if look in kind.checks for m in kind.checks[look].measures}
    if said["reading"] is not None and said["measure"] is None and len(measures) == 1:
        said["measure"] = measures.pop()
    grade = said.pop("grade")
    if grade is None:
        grade = GRADES.get(said["channel"], 4 if said["reading"] is not None else 3)
    fields: dict[str, Any] = {what: look, **said}
    return Finding(lot=lot, machine=machine, grade=grade, **fields)


class Place(TypedDict):
    """Where a note belongs, by ids."""

    lot: str | None
    machine: str | None


def _place(shop: RecordShop, lot: str | None, machine: str | None) -> Place:
    if lot is None:
        return {"lot": None, "machine": machine}
    from retrue.phases import worth

    view = worth.view_lot(shop, lot)
    return {"lot": view.id, "machine": view.machine_id(machine) if machine else None}


def _keep_file(house: House, shop: RecordShop, path: str, place: Place) -> str:
    kept = phase.keep_file(
        shop, content_of(path), Path(path).name, house.prove, **place, **house.hand
    )
    return kept.id


def _keep_photo(
    house: House,
    shop: RecordShop,
    lot: str | None,
    name: str,
    content: bytes,
    machine: str | None,
    shot: str | None,
    caption: str,
) -> None:
    if lot is None:
        kept = phase.keep_file(shop, content, name, house.prove, caption=caption, **house.hand)
        phase.note(shop, caption, file=kept.id, **house.hand)
        return
    from retrue.phases import worth

    worth.keep_picture(
        shop, lot, content, name, house.prove, machine=machine, shot=shot, caption=caption,
        **house.hand,
    )  # fmt: skip


def _remark(house: House, path: str, words: str) -> None:
    from retrue.cli.file_notes import add_remark, written

    written(Path(path), add_remark(content_of(path), words, house.clock()))


def _say_kept(as_json: bool, what: list[str]) -> None:
    if as_json:
        click.echo(dumps({"kept": what, "schema": 1}))
    else:
        click.echo(say("Kept: {what}", what=", ".join(map(str, what))))
