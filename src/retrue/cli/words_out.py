"""``retrue words``: every sentence of the program as a file that a translator opens."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

import retrue
from retrue.base.say import ENGLISH, say
from retrue.cli.options import json_option

if TYPE_CHECKING:
    from retrue.base.catalogue import Sentence
    from retrue.cli.house import House

FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
LARGEST = 20_000_000  # bytes; ten whole catalogues
SHOWN = 40  # doubts; the rest are counted


@click.group()
def words() -> None:
    """Sentences of the program: write them out, check a translation, take your own words."""


@words.command()
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option(
    "--language",
    metavar="TWO LETTERS",
    default="",
    help="With what they are in it; without: nothing beside the English, to begin a language.",
)
@json_option
@click.pass_obj
def export(house: House, file: Path, language: str, as_json: bool) -> None:
    """Write every sentence to FILE, a PO file; one that is there is not written over."""
    from dataclasses import replace

    from retrue.base import catalogue

    told = _told(house, language)
    known = [replace(one, told=told.get(one.key, "")) for one in catalogue.program_sentences()]
    _fresh(file, catalogue.write(known, language, retrue.__version__))
    done = sum(1 for one in known if one.told)
    if as_json:
        _print({"file": str(file), "sentences": len(known), "translated": done})
        return
    click.echo(
        say(
            "{count} sentences are in {file}, {done} of them translated.",
            count=len(known), file=file, done=done,
        )
    )  # fmt: skip


@words.command()
@click.argument("file", type=FILE)
@json_option
def check(file: Path, as_json: bool) -> None:
    """Say what is missing or wrong in FILE, a PO file; nothing is kept."""
    from retrue.base import catalogue

    found = catalogue.doubts(_read(file), catalogue.program_sentences())
    if as_json:
        told = [{"sentence": one.where, "what": one.what, "remedy": one.remedy} for one in found]
        _print({"file": str(file), "doubts": told})
        return
    for one in found[:SHOWN]:
        click.echo(say("“{sentence}” {what}. {remedy}", sentence=one.where, what=one.what,
                       remedy=one.remedy))  # fmt: skip
    if len(found) > SHOWN:
        click.echo(say("And {count} more.", count=len(found) - SHOWN))
    if not found:
        click.echo(say("Every sentence is translated, and nothing in it is lost."))


@words.command()
@click.argument("file", type=FILE)
@click.option("--language", metavar="TWO LETTERS", default="nl", show_default=True,
              help="Which language FILE is in.")  # fmt: skip
@json_option
@click.pass_obj
def take(house: House, file: Path, language: str, as_json: bool) -> None:
    """Say from now on what FILE says, where it differs from what came with the program."""
    from retrue.base import catalogue

    _letters(language)
    folder = house.data_folder / "words"
    count = catalogue.keep_own(folder, language, _read(file), retrue.__version__)
    if as_json:
        _print({"language": language, "own": count})
        return
    click.echo(say("{count} sentences of your own are kept in {folder}.", count=count,
                   folder=folder))  # fmt: skip


def _told(house: House, language: str) -> dict[str, str]:
    from retrue.base import catalogue

    if not language or language == ENGLISH:
        return {}
    _letters(language)
    shipped = catalogue.shipped(language)
    return {**shipped, **catalogue.own(house.data_folder / "words", language)}


def _letters(language: str) -> None:
    from retrue.base.refusals import Unusable

    if len(language) != 2 or not language.isascii() or not language.islower():
        raise Unusable(
            say("{language} is no language", language=language),
            remedy=say("Write its two letters: nl."),
        )


def _read(file: Path) -> tuple[Sentence, ...]:
    from retrue.base import catalogue
    from retrue.base.refusals import Unreadable

    with file.open("rb") as opened:
        content = opened.read(LARGEST + 1)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = ""
    if not text or len(content) > LARGEST:
        raise Unreadable(
            say("{file} is empty, too large or not in UTF-8", file=file.name),
            remedy=say("Give a PO file, as `retrue words export` writes it."),
        )
    return catalogue.read(text)


def _fresh(file: Path, text: str) -> None:
    from retrue.base.refusals import Unusable

    try:
        with file.open("x", encoding="utf-8", newline="\n") as opened:
            opened.write(text)
    except FileExistsError:
        raise Unusable(
            say("{file} is there already", file=file),
            remedy=say("Name another file; this one stays as it is."),
        ) from None
    except OSError as error:
        raise Unusable(
            say("{file} cannot be written: {why}", file=file, why=error.strerror or ""),
            remedy=say("Name a file in a folder that you may write to."),
        ) from error


def _print(told: dict[str, object]) -> None:
    from retrue.cases.sheet_json import dumps

    click.echo(dumps({"schema": 1, **told}))
