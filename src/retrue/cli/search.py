"""Search at the keyboard: what was kept, what the library knows, pages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import quote

import click

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.search_kinds import Hit
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.note_kept import row_of
from retrue.cli.options import json_option, shop_option
from retrue.kinds.library import Kind
from retrue.phases import diary, search
from retrue.records.shop import RecordShop

pass_house = click.make_pass_decorator(House)


@click.command("search")
@click.argument("words", nargs=-1, required=True)
@json_option
@shop_option
@pass_house
def search_(house: House, words: tuple[str, ...], as_json: bool, shop: str | None) -> None:
    """Everything that holds all WORDS: kept, known, pages; a code on paper says where it leads.

    The beginning of a word is enough, from three signs on. Each line ends with the page that shows
    it. What was taken back is not found; retrue note list shows it.
    """
    asked = " ".join(map(str, words))
    with house.open_shop(shop) as opened:
        kinds = house.kinds()
        about = diary.about_of(opened, kinds)
        address = search.straight(asked, finders(opened, kinds))
        found = search.search(opened, asked, about)
        places = [diary.kept_of(opened, one, about) for one in found.places]
        kept = [diary.kept_of(opened, one, about) for one in found.kept]
    if as_json:
        told: dict[str, Any] = {"schema": 1, "words": found.words, "more": found.more}
        told |= {"machines": [row_of(one) for one in places], "kept": [row_of(one) for one in kept]}
        told |= {"beside": [*map(_hit, found.beside)], "pages": [*map(_hit, found.pages)]}
        told["page"] = address or None
        why = {} if address else {"page": say("it is no code of this shop")}
        click.echo(dumps(told | {"why": why}))
        return
    for line in _lines(found, places, kept, address):
        if line.lstrip().startswith("/"):
            click.echo(line)  # an address is not broken
        else:
            put(iter([line]))


def finders(shop: RecordShop, kinds: Mapping[str, Kind]) -> dict[str, search.Finder]:
    """Where the code of a label, a visit, a sheet of readings or a job card leads.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    """

    def label(code: str) -> str:
        from retrue.phases import strip

        lot, machine, _ = strip.label_by_code(shop, code)
        return f"/lots/{lot}/machines/{machine}/strip/apart/{code}"

    def card(code: str) -> str:
        from retrue.phases import fix

        lot, machine, key = fix.card_by_code(shop, code, kinds)
        return f"/lots/{lot}/machines/{machine}/fix/cards/{quote(key, safe=':')}"

    def visit(code: str) -> str:
        from retrue.phases import worth

        return f"/visits/{worth.open_visit(shop, code, kinds).code}"

    def readings(code: str) -> str:
        from retrue.phases import prove

        return f"/sets/{prove.set_by_code(shop, code)}/all"

    return {"label": label, "visit": visit, "set": readings, "card": card}


def _hit(hit: Hit) -> dict[str, Any]:
    pages = [{"machine": name, "page": path} for name, path in hit.places]
    return {"sort": hit.entry.sort, "id": hit.entry.id, "words": str(hit.entry.words),
            "pages": pages}  # fmt: skip


def _lines(
    found: search.Found, places: list[diary.Kept], kept: list[diary.Kept], address: str
) -> Iterator[str]:
    if address:
        yield say("This code leads to its page:")
        yield f"    {address}"
    elif found.is_nothing:
        yield say("Nothing has “{words}” in it.", words=found.words)
        yield say(
            "What was kept and counts, what the library knows and the titles of pages were "
            "searched. Try fewer words."
        )
        yield say("What the manual says of it: {command}", command=f"retrue help {found.words}")
    groups = ((say("Machines and lots"), places), (say("What was kept, the newest first"), kept))
    for title, rows in groups:
        if rows:
            yield title
        for row in rows:
            where = f" ({row.where})" if row.where else ""
            yield f"  {row.what}: {row.line}{where}"
            yield f"    {row.page}"
    if found.more:
        yield say("There is more: add a word.")
    if found.unread:
        yield say(
            "By the words somebody typed all of it was searched; by amounts, readings and the "
            "words of the library the newest {count} records.", count=number(search.MOST_READ)
        )  # fmt: skip
    if found.beside:
        yield say("What may be wrong, looks, places")
    for hit in found.beside:
        yield from _hit_lines(hit)
    if found.pages:
        yield say("Pages")
    for hit in found.pages:
        yield from _hit_lines(hit)


def _hit_lines(hit: Hit) -> Iterator[str]:
    yield f"  {hit.sort_word} {hit.entry.id}: {hit.entry.words}".replace(" : ", ": ")
    for name, path in hit.places:
        if name:
            yield f"    {name}"
        yield f"    {path}"
