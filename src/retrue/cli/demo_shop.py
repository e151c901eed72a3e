"""The invented lot in a shop of its own: walked once, opened as a copy each time."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

import retrue
from retrue.base.say import say
from retrue.cli import demo
from retrue.cli.demo_fix import listing
from retrue.cli.demo_move import moving
from retrue.cli.demo_quiet import quieting
from retrue.cli.demo_settle import keeping, story_of
from retrue.cli.demo_strip import stripping
from retrue.cli.demo_wake import waking
from retrue.cli.house import House
from retrue.phases import worth
from retrue.records.shop import RecordShop

SEED, WORLDS = 7, 4000
SHOP = "shop.sqlite"


@contextmanager
def invented(house: House) -> Iterator[str]:
    """A shop with the invented lot, as far as its money; it is thrown away in the end.

    Parameters
    ----------
    house : House

    Yields
    ------
    str
        Where it lies. Nothing that is done in it changes the next one, and the own shop is not
        opened.
    """
    made = house.data_folder / f"invented-{retrue.__version__}"
    if not (made / SHOP).exists():
        click.echo(say("The invented lot is walked once; that takes a minute."))
        _make(house, made)
    with tempfile.TemporaryDirectory(prefix="retrue-invented-") as place:
        shutil.copytree(made, place, dirs_exist_ok=True)
        yield str(Path(place) / SHOP)


def _make(house: House, made: Path) -> None:
    """Walk it beside its place, and move it there whole."""
    made.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="invented-", dir=made.parent) as place:
        with house.open_shop(str(Path(place) / SHOP)) as shop:
            walk(house, shop)
        shutil.rmtree(made, ignore_errors=True)
        shutil.copytree(place, made)


def walk(house: House, shop: RecordShop, seed: int = SEED, worlds: int = WORLDS) -> None:
    """The demo's walk without its papers, up to the book: both machines are still there.

    Parameters
    ----------
    house : House
    shop : RecordShop
        Empty.
    seed, worlds : int
        Of its prices.
    """
    for _ in demo.rounds(house, shop, seed, worlds):
        pass
    lot = worth.lots(shop)[0].fact.name
    worth.freeze(shop, lot, house.kinds(), seed=seed, worlds=worlds, **house.hand)
    moving(house, shop, demo.planned(house), seed=seed, worlds=worlds)
    stripping(house, shop, lot)
    listing(house, shop, lot, seed=seed)
    waking(house, shop, lot)
    quieting(house, shop, lot)
    for _ in demo.search(house, shop):
        pass
    keeping(story_of(house, shop, lot))
