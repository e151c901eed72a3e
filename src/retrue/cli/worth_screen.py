"""Screen a catalogue at the keyboard: every lot priced, the few worth a call first."""

from __future__ import annotations

import contextlib
from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

import click

from retrue.base.refusals import NotKept, Problem, Unusable
from retrue.base.say import say
from retrue.cases.screen.asking import best_asked
from retrue.cases.screen.done_text import done_of, text_of
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.parts import PartDone, parts_of
from retrue.cases.screen.rank import WAYS, By, ranked
from retrue.cases.screen.score import score_part
from retrue.cases.screen.screen_json import screen_json
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.screening import left, rows_of, screening_key
from retrue.cases.screen.table import screen_table
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import json_option, shop_option
from retrue.cli.progress import Tell, shown
from retrue.cli.strip_rows import put_file
from retrue.cli.worth_screen_lines import screen_lines
from retrue.cli.worth_screen_source import (
    Opened,
    catalogue_options,
    is_catalogue_file,
    open_catalogue,
    told_of,
)
from retrue.store.spool import Spool, beside, spooled
from retrue.store.table_out import csv_of, xlsx_of

pass_house = click.make_pass_decorator(House)

WORLDS = 2_000
EVERY = 100  # lots between two lines of progress
FILES = (".csv", ".xlsx", ".pdf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """How a catalogue is to be screened.

    Attributes
    ----------
    seed, worlds : int
    processes : int or None
        None: one a core.
    cluster : str or None
        Address of a Dask scheduler.
    anew : bool
        Leave what a run that was stopped has kept.
    """

    seed: int
    worlds: int
    processes: int | None
    cluster: str | None
    anew: bool


@click.command()
@click.argument("catalogue", metavar="CATALOGUE")
@catalogue_options
@click.option(
    "--by",
    type=click.Choice(WAYS),
    default="risk",
    show_default=True,
    help="Best first: gain for each euro at risk, or for each own hour.",
)
@click.option(
    "--best",
    type=click.IntRange(1, 100),
    default=10,
    show_default=True,
    help="How many are told in full, with what to ask first.",
)
@click.option(
    "--to",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write every lot to this CSV, XLSX or PDF.",
)
@click.option("--all", "whole", is_flag=True, help="Every line and cell of the file, not a few.")
@click.option(
    "--processes", type=click.IntRange(1, 256), help="Share the sum out; else one for each core."
)
@click.option("--cluster", metavar="ADDRESS", help="Share it out to a Dask cluster.")
@click.option("--restart", is_flag=True, help="Begin anew; leave what a stopped run has kept.")
@click.option(
    "--worlds",
    type=click.IntRange(100, 100_000),
    default=WORLDS,
    show_default=True,
    help="In how many ways each lot may turn out.",
)
@click.option(
    "--seed",
    type=click.IntRange(0, 2**63 - 1),
    default=7,
    show_default=True,
    help="Start of the chance; the same seed gives the same numbers.",
)
@json_option
@shop_option
@pass_house
def screen(
    house: House, /, catalogue: str, by: By, best: int, target: Path | None, whole: bool,
    as_json: bool, shop: str | None, **given: Any,
) -> None:  # fmt: skip
    """Price every lot of a sale, and say which are worth a call.

    CATALOGUE is a CSV, XLSX or TOML file, or the name of one that is kept in the shop. A run that
    is stopped goes on where it was: what is done is kept beside the file.
    """
    _refuse_file(target)
    told = told_of(given)
    wanted = Wanted(anew=given.pop("restart"), **given)
    with shown(quiet=as_json, every=EVERY) as tell:
        if is_catalogue_file(catalogue):
            opened = open_catalogue(house, catalogue, shop, told)
            rows = screen_file(house, Path(catalogue), opened, wanted, tell)
        else:
            from retrue.cli.worth_screen_shop import screen_kept

            opened, rows = screen_kept(house, shop, catalogue, told, wanted, tell)
    rows = best_asked(
        ranked(rows, by), opened.english.lots, opened.kinds,
        best=best, seed=wanted.seed, worlds=wanted.worlds,
    )  # fmt: skip
    if target is not None:
        put_file(target, _written(house, target, opened, rows, by))
    if as_json:
        click.echo(dumps(screen_json(
            opened.listing, rows, currency=opened.currency, by=by,
            seed=wanted.seed, worlds=wanted.worlds,
        )))  # fmt: skip
        return
    put(screen_lines(
        opened.listing, rows, opened.currency, best, kinds=house.kinds(), by=by, whole=whole
    ))  # fmt: skip
    if target is not None:
        click.echo(str(target))


def screen_file(
    house: House, path: Path, opened: Opened, wanted: Wanted, tell: Tell
) -> tuple[ScreenedLot, ...]:
    """Every row of a catalogue that is a file, in its order; what is done is kept beside it."""
    sum_ = {"seed": wanted.seed, "worlds": wanted.worlds}
    key = screening_key(opened.english, opened.kinds, **sum_)
    lots = [[lot.number for lot in part.lots] for part in parts_of(opened.english.lots, **sum_)]
    with _spool(path, key, lots, wanted) as spool:
        done = {} if spool is None else dict(spool.done)
        parts = left(opened.english, **sum_, done=done)
        spread = house.spread(wanted.processes, wanted.cluster)
        _told(tell, opened.listing, done)
        answers = spread.run(score_part, parts, opened.kinds)
        try:
            for answer in answers:
                part = done_of(text_of(answer))
                if spool is not None:
                    spool.keep(part)
                done[part.number] = part
                _told(tell, opened.listing, done)
        except KeyboardInterrupt:
            _stopped(opened.listing, done, spool)
        finally:
            if isinstance(answers, Generator):
                answers.close()  # no worker is left
    return rows_of(done.values())


def _told(tell: Tell, listing: Listing, done: dict[int, PartDone]) -> None:
    tell("lots", sum(len(part.rows) for part in done.values()), len(listing.lots))


def _stopped(listing: Listing, done: dict[int, PartDone], spool: Spool | None) -> NoReturn:
    """Say what is kept, and how to go on."""
    lots = sum(len(part.rows) for part in done.values())
    click.echo(say("Stopped: {done} of {of} lots.", done=lots, of=len(listing.lots)), err=True)
    if spool is not None:
        words = say("Kept in {path}; the same command goes on from there.", path=spool.path.name)
        click.echo(words, err=True)
    click.get_current_context().exit(1)


@contextlib.contextmanager
def _spool(
    path: Path, key: str, lots: Sequence[Sequence[str]], wanted: Wanted
) -> Iterator[Spool | None]:
    """The spool beside the catalogue; none, and that is said, where nothing may be written."""
    with contextlib.ExitStack() as stack:
        spool = None
        try:
            kept = spooled(beside(path), key, len(lots), anew=wanted.anew, lots=lots)
            spool = stack.enter_context(kept)
            _damage(spool, lots)
        except NotKept as refusal:
            click.echo(say("Not kept: {why}.", why=refusal.reason), err=True)
        yield spool


def _damage(spool: Spool, lots: Sequence[Sequence[str]]) -> None:
    """Say what is worked out anew because what was kept of it is not what was written."""
    missing = sum(len(one) for number, one in enumerate(lots) if number not in spool.done)
    if spool.damaged and missing:
        words = say(
            "{path} is damaged: {count} of its lines are left out, and their lots worked out anew.",
            path=spool.path.name,
            count=spool.damaged,
        )
        click.echo(words, err=True)


def _refuse_file(target: Path | None) -> None:
    """Before hours are spent: whether the file that is wanted can be made."""
    if target is None or target.suffix.lower() in FILES:
        return
    remedy = say("Name it list.csv, list.xlsx or list.pdf.")
    what = say("{path} is neither CSV, XLSX nor PDF", path=target.name)
    raise Unusable(what, remedy=remedy, problems=(Problem("to", what, remedy),))


def _written(
    house: House, target: Path, opened: Opened, rows: tuple[ScreenedLot, ...], by: By
) -> bytes:
    ending = target.suffix.lower()
    if ending == ".pdf":
        return house.printer.screened(opened.listing, rows, house.by)
    table = screen_table(rows, opened.currency, by=by)
    return csv_of(table) if ending == ".csv" else xlsx_of(table)
