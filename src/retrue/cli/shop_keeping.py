"""Backup, restore, copy and export at the keyboard."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path

import click

import retrue
from retrue.base.formatter import minute, number
from retrue.base.refusals import Problem, Refusal
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.cli.progress import shown
from retrue.phases import keeping

pass_house = click.make_pass_decorator(House)
PATH = click.Path(path_type=Path)
MEGABYTE = 1_000_000


@click.command()
@click.argument("file", type=PATH, metavar="FILE")
@json_option
@shop_option
@pass_house
def backup(house: House, file: Path, as_json: bool, shop: str | None) -> None:
    """Write the shop to one file, read all of it back, and only then call it FILE.

    A server may go on writing. An older backup of this shop is replaced once the new one is
    proved; anything else of that name stays. FILE is a zip of open forms: every record as a line
    of JSON with its hash, every kept file as it came.
    """
    from retrue.store.backup import back_up, own_folders, refuse_place

    target = file.expanduser().absolute()
    with house.open_shop(shop) as opened, shown(as_json) as progress:
        refuse_place(target, own_folders(opened))
        made = back_up(
            opened, target, version=retrue.__version__, now=house.clock(), progress=progress
        )
        size = target.stat().st_size
        try:
            keeping.keep_backup(opened, made, place=str(target), size_bytes=size, **house.hand)
        except Refusal:  # a shop that cannot be written has its backup all the same
            kept = False
        else:
            kept = True
    if as_json:
        click.echo(dumps({
            "schema": "shop.backup.1", "file": str(target), "records": made.records,
            "files": made.files, "size_bytes": size, "until": made.until,
            "last_sha256": made.last_sha256, "content_sha256": made.content_sha256,
            "whole": not made.problems, "problems": _listed(made.problems), "noted": kept,
        }))  # fmt: skip
        return
    click.echo(say("Backed up: {path}", path=target))
    put(_inside(made.records, made.until, made.files, size))
    put(_paper(made.records, made.last_sha256))
    if made.problems:
        click.echo(say("The shop itself is not whole; this is a backup of what there is:"))
        put(str(Problem(where, what)) for where, what in made.problems)


@click.command()
@click.argument("file", type=PATH, metavar="FILE")
@json_option
@shop_option
@pass_house
def restore(house: House, file: Path, as_json: bool, shop: str | None) -> None:
    """Put a backup back, where there is no shop or one without records.

    All of FILE is proved before anything is written. If it is interrupted, nothing half is left:
    do it again.
    """
    from retrue.store.restoring import restore as put_back

    place, files = house.where(shop)
    with shown(as_json) as progress:
        inside, there = put_back(
            file.expanduser(), place, files=files, clock=house.clock, progress=progress
        )
    if as_json:
        click.echo(dumps({
            "schema": "shop.restore.1", "records": there.records, "files": there.files,
            "until": there.until, "last_sha256": there.last_sha256,
            "content_sha256": there.content_sha256, "made_at": inside.made_at,
            "version": inside.version, "whole": not inside.problems,
            "problems": _listed(inside.problems),
        }))  # fmt: skip
        return
    made_at = minute(datetime.fromisoformat(inside.made_at))
    click.echo(say("Put back; the backup was made {when} by version {version}.", when=made_at,
                   version=inside.version))  # fmt: skip
    put(_inside(there.records, there.until, there.files, there.file_bytes))
    put(_paper(there.records, there.last_sha256))
    if inside.problems:
        click.echo(say("The shop was not whole when the backup was made:"))
        put(str(Problem(where, what)) for where, what in inside.problems)


@click.command()
@click.argument("source", metavar="FROM")
@click.argument("to", metavar="TO")
@json_option
@pass_house
def copy(house: House, source: str, to: str, as_json: bool) -> None:
    """Copy a shop to an empty place, row for row; FROM and TO are paths or postgresql://.

    FROM is only read and stays as it is. The hash of the last record and the hash over all rows
    of both are told, and must be equal.
    """
    from retrue.store.copying import copy as copy_to
    from retrue.store.copying import refuse_absent

    refuse_absent(house.where(source)[0])
    place, files = house.where(to)
    with house.open_shop(source) as opened, shown(as_json) as progress:
        done = copy_to(opened, place, files=files, clock=house.clock, progress=progress)
    if as_json:
        click.echo(dumps({
            "schema": "shop.copy.1", "records": done.copy.records, "files": done.copy.files,
            "until": done.copy.until, "equal": done.is_equal,
            "from_last_sha256": done.source.last_sha256, "to_last_sha256": done.copy.last_sha256,
            "from_content_sha256": done.source.content_sha256,
            "to_content_sha256": done.copy.content_sha256,
        }))  # fmt: skip
        return
    click.echo(say("Copied; every row is the same."))
    put(_inside(done.copy.records, done.copy.until, done.copy.files, done.copy.file_bytes))
    for name, one in ((say("from"), done.source), (say("to"), done.copy)):
        click.echo(say("{name}: last record {hash}", name=name, hash=one.last_sha256))
        click.echo(say("{name}: all rows    {hash}", name=name, hash=one.content_sha256))
    click.echo(say("The old place stays as it is: name the new one from now on (RETRUE_SHOP)."))


@click.command()
@click.argument("file", type=PATH, metavar="FILE.zip")
@json_option
@shop_option
@pass_house
def export(house: House, file: Path, as_json: bool, shop: str | None) -> None:
    """Take everything away in open forms: tables, lines of JSON, files under plain names.

    One CSV for each kind of record, what counts alone; every record there ever was as a line of
    JSON; every kept file by lot and machine. A name without an ending
    gets .zip. A text in a table that begins with = + - or @ has an apostrophe before it, so that no
    spreadsheet runs it.
    """
    from retrue.store.export import export as take_away

    target = file.expanduser().absolute()
    if target.suffix.lower() != ".zip":
        target = target.with_name(target.name + ".zip")
    with house.open_shop(shop) as opened, shown(as_json) as progress:
        done = take_away(
            opened, target, version=retrue.__version__, now=house.clock(), progress=progress
        )
    if as_json:
        click.echo(dumps({
            "schema": "shop.export.1", "file": str(target), "records": done.records,
            "counting": done.counting, "tables": done.tables, "files": done.files,
            "size_bytes": done.size_bytes, "damaged": list(done.damaged),
            "unread": list(done.unread),
        }))  # fmt: skip
        return
    click.echo(say("Everything is in {path}, {size} MB; README.txt in it says what is what.",
                   path=target, size=_megabytes(done.size_bytes)))  # fmt: skip
    click.echo(say("Records: {records}, of which {gone} were corrected or taken back since. "
                   "Tables: {tables}. Files: {files}.", records=number(done.records),
                   gone=number(done.records - done.counting), tables=number(done.tables),
                   files=number(done.files)))  # fmt: skip
    for name in done.damaged:
        click.echo(say("Damaged, and written as it is: {name}", name=name))
    for name in done.unread:
        click.echo(say("Not understood, and written in records.jsonl alone: {name}", name=name))


def in_groups(hash_in_hex: str) -> str:
    """A hash as one copies it by hand.

    Examples
    --------
    >>> in_groups("098f80fc6672b080")
    '098f 80fc 6672 b080'
    """
    return " ".join(hash_in_hex[at : at + 4] for at in range(0, len(hash_in_hex), 4))


def _inside(records: int, until: str, files: int, size_bytes: int) -> Iterator[str]:
    if not until:
        yield say("It holds no records yet.")
        return
    yield say(
        "Records: {records}, until {until}. Kept files: {files}. {size} MB, read back, whole.",
        records=number(records),
        until=minute(datetime.fromisoformat(until).astimezone()),
        files=number(files),
        size=_megabytes(size_bytes),
    )


def _paper(records: int, last: str) -> Iterator[str]:
    if not records:  # no hash to note
        return
    yield say("Note on paper: it shows later whether records were cut off the end.")
    yield say("  record {count}: {hash}", count=number(records), hash=in_groups(last[:32]))


def _megabytes(size_bytes: int) -> str:
    return number(size_bytes / MEGABYTE, 1)


def _listed(problems: Iterable[tuple[str, str]]) -> list[dict[str, str]]:
    return [{"where": where, "what": what} for where, what in problems]
