"""The manual at the keyboard: a word looked up, or its pages listed."""

from __future__ import annotations

import click

from retrue.base.manual import Manual
from retrue.base.manual_files import manual
from retrue.base.manual_find import Found, look_up, nearest
from retrue.base.say import ENGLISH, reader, say
from retrue.cases.sheet_json import dumps
from retrue.cli.help_text import text_lines
from retrue.cli.options import json_option

MOST_LINES = 40
MOST_OTHERS = 5
HEAD, FOOT = 3, 2 + MOST_OTHERS  # lines that stand above and below what was found


@click.command("help", context_settings={"ignore_unknown_options": True})
@click.argument("words", nargs=-1, type=click.UNPROCESSED)
@json_option
def help_(words: tuple[str, ...], as_json: bool) -> None:
    """Look WORDS up in the manual; without any, list its pages.

    WORDS is a word, a command, an option, a setting, a page's address, or a refusal as
    it was printed. The best place is shown, and the names of up to five others.
    """
    asked = " ".join(words)
    book = manual()
    if not asked.strip():
        _list(book, as_json)
        return
    found = look_up(book, asked)
    close = [] if found else nearest(book, asked)
    if as_json:
        click.echo(dumps(as_object(asked, found, close)))
    elif found:
        _show(book, found)
    else:
        click.echo(say("The manual does not have “{words}”.", words=asked))
        if close:
            click.echo(say("Nearest words: {words}", words=", ".join(close)))
        click.echo(say("All pages: retrue help"))


def as_object(asked: str, found: list[Found], close: list[str]) -> dict[str, object]:
    """What was found, for programs.

    Parameters
    ----------
    asked : str
        What was looked for.
    found : list of Found
        The best first.
    close : list of str
        Nearest words, where nothing was found.

    Returns
    -------
    dict
        ``best`` is null, with ``why``, where nothing was found.

    Examples
    --------
    >>> as_object("x", [], ["y"])["best"] is None
    True
    """
    others = _others(found)
    best = (_named(found[0]) | {"text": "\n".join(text_lines(found[0].text))}) if found else None
    why = {} if found else {"best": "the manual does not have these words"}
    return {"schema": 1, "asked": asked, "best": best, "others": [_named(one) for one in others],
            "nearest": close, "why": why}  # fmt: skip


def _named(one: Found) -> dict[str, object]:
    return {"sort": one.sort, "words": one.words, "title": one.section.title, "page": _page(one)}


def _page(one: Found) -> str:
    return f"/help/{one.section.page}#{one.section.anchor}"


def _others(found: list[Found]) -> list[Found]:
    """The next places, none of them twice."""
    seen = {(_page(one), one.words): one for one in reversed(found[1:])}
    mine = (_page(found[0]), found[0].words) if found else ("", "")
    return [one for key, one in reversed(seen.items()) if key != mine][:MOST_OTHERS]


def _list(book: Manual, as_json: bool) -> None:
    titles = {name: book.title(name) for name in book.pages}
    if as_json:
        rows = [{"page": f"/help/{name}", "title": title} for name, title in titles.items()]
        click.echo(dumps({"schema": 1, "pages": rows}))
        return
    if reader() != ENGLISH:
        click.echo(say("The manual is written in English."))
    wide = max(map(len, titles)) + 2
    for name, title in titles.items():
        click.echo(f"  {name:<{wide}}{title}")
    click.echo(say("One of them, or a word of it: retrue help WORD. In the browser: /help"))


def _show(book: Manual, found: list[Found]) -> None:
    best, others = found[0], _others(found)
    if reader() != ENGLISH:
        click.echo(say("The manual is written in English."))
    click.echo(best.words if best.words == best.section.title else
               f"{best.words} ({best.section.title})")  # fmt: skip
    click.echo("")
    lines = text_lines(best.text) or [
        f"  {one.words}" for one in book.below(best.section)
    ]  # fmt: skip
    room = MOST_LINES - HEAD - FOOT
    for line in lines[:room]:
        click.echo(line)
    if len(lines) > room:
        click.echo(say("The rest: {page}, docs/{name}.md", page=_page(best),
                       name=best.section.page))  # fmt: skip
    if others:
        click.echo(say("See also:"))
        for one in others:
            click.echo(f"  {one.words} ({one.section.title})"[:100])
