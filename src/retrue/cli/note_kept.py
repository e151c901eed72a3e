"""What was kept, at the keyboard: listed, taken back, brought back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import click

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.diary_words import SORTS, kind_word
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.phases import diary
from retrue.phases.diary import Kept, TakeBack
from retrue.records.hand import Hand
from retrue.records.noting import noting
from retrue.records.shop import Record, RecordShop

pass_house = click.make_pass_decorator(House)


def rooms() -> Mapping[str, TakeBack]:
    """The deeds by which the phases take back what is theirs; loaded when one is asked for."""
    from retrue.phases import fix, move, prove, settle, strip, wake

    def sale(shop: RecordShop, one: Record[Any], reason: str, hand: Hand) -> object:
        """Of an offer what stood before counts again; its sale goes out of the book with it."""
        return settle.as_before(shop, one.id, at=(one.fact.lot, one.fact.machine), **hand)

    return {
        "strip": lambda shop, one, reason, hand: strip.withdraw(shop, one.id, reason, **hand),
        "move": lambda shop, one, reason, hand: move.withdraw(shop, one.id, reason, **hand),
        "fix": lambda shop, one, why, hand: fix.take_back_mark(shop, one.id, reason=why, **hand),
        "wake": lambda shop, one, why, hand: wake.take_back(shop, one.id, reason=why, **hand),
        "prove": lambda shop, one, why, hand: prove.take_back_sensed(shop, one.id, why, **hand),
        "settle": lambda shop, one, reason, hand: settle.take_back(shop, one.id, reason, **hand),
        "sale": sale,
        "hours": lambda shop, one, reason, hand: settle.take_back_hours(shop, one.id, **hand),
    }


@click.command("list")
@click.option("--sort", type=click.Choice(list(SORTS)), help="Of one sort of thing; else all.")
@click.option("--machine", metavar="NAME", default="", help="Of one machine, by name or id.")
@click.option("--device", default="", help="Noted on one device.")
@click.option("--by", default="", help="Noted by one person.")
@click.option("--page", type=click.IntRange(1, 100), default=1, show_default=True,
              help="1: the newest; 2: those before them.")  # fmt: skip
@json_option
@shop_option
@pass_house
def list_(
    house: House, sort: str | None, machine: str, device: str, by: str, page: int, as_json: bool,
    shop: str | None,
) -> None:  # fmt: skip
    """What was kept, the newest first, with its id; what was taken back as well."""
    with house.open_shop(shop) as opened:
        kinds = house.kinds()
        about = diary.about_of(opened, kinds)
        named = [id for id, name in about.machines.items() if machine in (name, id)]
        key = (named[-1] if named else machine) if machine else ""
        which = next((id for id, name in about.devices.items() if device == name), device)
        made = diary.kept(
            opened, kinds, page=page, sort=sort or "", machine=key, device=which, by=by
        )
    if as_json:
        rows = [row_of(one) for one in made.rows]
        told: dict[str, Any] = {"schema": 1, "kept": rows, "more": made.more, "page": page}
        told["looked_through"] = made.looked_through
        why = {} if made.looked_through else {"looked_through": say("all there is")}
        click.echo(dumps(told | {"why": why}))
        return
    put(_lines(made, page))


def row_of(one: Kept) -> dict[str, Any]:
    """One record for a program: who, when, what, in words, and where it is shown.

    Parameters
    ----------
    one : Kept
        As a list shows it.

    Returns
    -------
    dict
        Plain values.
    """
    record = one.record
    return {
        "id": record.id,
        "kind": record.kind,
        "what": one.what,
        "words": one.line,
        "where": one.where,
        "by": record.by,
        "device": record.device,
        "device_name": one.device,
        "observed_at": one.when.isoformat(),
        "noted_at": record.noted_at.isoformat(),
        "page": one.page,
        "picture": one.picture,
    }


def _lines(made: diary.Page, page: int) -> Iterator[str]:
    if not made.rows:
        yield say("Nothing was kept that fits.")
    for one in made.rows:
        where = f" ({one.where})" if one.where else ""
        when, who = formatter.minute(one.when), one.record.by
        yield f"{when}, {who}: {one.what}: {one.line}{where}"
        yield f"    {one.record.id}"
    if made.more:
        yield say("There is more: --page {page}", page=page + 1)


@click.command("back")
@click.argument("record", metavar="ID")
@click.option("--reason", default="", help="Why it no longer counts.")
@click.option("--again", is_flag=True, help="Bring it back: it counts again as it was.")
@json_option
@shop_option
@pass_house
def back(
    house: House, record: str, reason: str, again: bool, as_json: bool, shop: str | None
) -> None:
    """Take a kept record back: it stays readable and counts no more, nor what hangs on it.

    ID is told by retrue note list and retrue search --json. What something stands on is not taken
    back before that; what has a page of its own for it says so.
    """
    with house.open_shop(shop) as opened:
        kinds = house.kinds()
        with noting() as noted:
            if again:
                kept = diary.bring_back(opened, record, **house.hand)
            else:
                kept = diary.take_back(opened, record, reason=reason, rooms=rooms(), **house.hand)
        about = diary.about_of(opened, kinds)
        newest = diary.kept_of(opened, kept, about)
        others = [one for one in noted if one.id != kept.id]
        beside = [
            f"{kind_word(diary.said_by(opened, one).KIND)}: "
            f"{diary.kept_of(opened, one, about).line}"
            for one in others
        ]
    if as_json:
        ids = [one.replaces or one.id for one in others]
        told: dict[str, Any] = {"schema": 1, "kept": kept.id, "of": record, "with": ids}
        click.echo(dumps(told | {"what": newest.what, "words": newest.line, "why": {}}))
        return
    put(_told(newest, beside, again=again))


def _told(newest: Kept, beside: list[str], *, again: bool) -> Iterator[str]:
    what = f"{newest.what}: {newest.line}"
    yield say("Brought back: {what}", what=what) if again else what[:1].upper() + what[1:]
    yield f"    {newest.record.id}"
    for one in beside:
        yield say("With it: {what}", what=one)
