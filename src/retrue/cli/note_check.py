"""Is the shop whole? Its chain, its files, its index, and the hash noted on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime
from typing import TYPE_CHECKING

import click

from retrue.base.formatter import minute, number
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.cli.progress import shown
from retrue.cli.shop_keeping import in_groups

if TYPE_CHECKING:
    from retrue.store.whole import Whole

pass_house = click.make_pass_decorator(House)


@click.command()
@click.option("--last", metavar="HASH", help="Hash of a record as noted on paper; 16 digits do.")
@click.option("--rebuild", is_flag=True, help="Make the index anew first; no record is touched.")
@click.option("--gate", is_flag=True, help="End with 1 unless the shop is whole.")
@json_option
@shop_option
@pass_house
def check(
    house: House, last: str | None, rebuild: bool, gate: bool, as_json: bool, shop: str | None
) -> None:
    """Read all of the shop: chain of records, kept files, index; name what is not as it was.

    Records cut off the end leave a whole chain: only the hash of a record that was noted on paper
    finds that.
    """
    from retrue.store.kept import kept
    from retrue.store.whole import look_over

    with house.open_shop(shop) as opened, shown(as_json) as progress:
        if rebuild:
            kept(opened).rebuild()
        whole = look_over(opened, last=last, progress=progress)
    if as_json:
        click.echo(dumps(_flat(whole, last)))
    else:
        put(_lines(whole))
    click.get_current_context().exit(1 if gate and not whole.is_whole else 0)


def _flat(whole: Whole, last: str | None) -> dict[str, object]:
    why = {} if whole.since is not None else {
        "since": say("no record has the hash that was noted") if last else say("none was noted")
    }  # fmt: skip
    return {
        "schema": "note.check.1", "whole": whole.is_whole, "records": whole.records,
        "files": whole.files, "left_over": whole.left_over, "until": whole.until,
        "last_sha256": whole.last_sha256, "content_sha256": whole.content_sha256,
        "since": whole.since, "problems": [asdict(one) for one in whole.problems], "why": why,
    }  # fmt: skip


def _lines(whole: Whole) -> Iterator[str]:
    if whole.is_whole:
        yield say("Whole. Records: {records}, kept files: {files}", records=number(whole.records),
                  files=number(whole.files))  # fmt: skip
    else:
        yield say("Not whole. Found: {count}", count=number(len(whole.problems)))
        yield from (f"  {one}" for one in whole.problems)
    if whole.since is not None:
        yield say("The record noted on paper is there; records after it: {count}",
                  count=number(whole.since))  # fmt: skip
    elif whole.is_whole:
        yield say("Records cut off the end are not seen so: compare a noted hash with --last.")
    if whole.left_over:
        yield say(
            "Half-written files that a stopped program left: {count}. Nothing that was kept is "
            "among them; the next backup clears them.",
            count=number(whole.left_over),
        )
    if whole.until:
        yield say("Last record: {count}, {when}", count=number(whole.records),
                  when=minute(datetime.fromisoformat(whole.until).astimezone()))  # fmt: skip
        yield say("  {hash}", hash=in_groups(whole.last_sha256[:32]))
