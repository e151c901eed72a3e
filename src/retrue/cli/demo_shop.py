"""The invented lot in a shop of its own: walked once, opened as a copy each time.

Its story is over within the week before, so once a week it is walked anew.
"""

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
from retrue.cli.demo_days import LAST, at_one_moment, days_of
from retrue.cli.demo_fix import listing
from retrue.cli.demo_move import moving
from retrue.cli.demo_quiet import quieting
from retrue.cli.demo_sale import selling
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
    """A shop with the invented lot, its book kept, its lathe sold; it is thrown away in the end.

    Parameters
    ----------
    house : House

    Yields
    ------
    str
        Where it lies. Nothing that is done in it changes the next one, and the own shop is not
        opened.
    """
    house = at_one_moment(house)
    made = house.data_folder / f"invented-{retrue.__version__}-{days_of(house).day(LAST)}"
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
        for old in made.parent.glob("invented-*"):
            if old != Path(place):
                shutil.rmtree(old, ignore_errors=True)
        shutil.copytree(place, made)


def walk(house: House, shop: RecordShop, seed: int = SEED, worlds: int = WORLDS) -> None:
    """The demo's walk without its papers, up to the sale: the mill is at work, the lathe is sold.

    Parameters
    ----------
    house : House
    shop : RecordShop
        Empty.
    seed, worlds : int
        Of its prices.
    """
    house = at_one_moment(house)
    for _ in demo.rounds(house, shop, seed, worlds):
        pass
    lot = worth.lots(shop)[0].fact.name
    demo.freeze(house, shop, seed, worlds)
    moving(house, shop, demo.planned(house), seed=seed, worlds=worlds)
    stripping(house, shop, lot)
    listing(house, shop, lot, seed=seed)
    waking(house, shop, lot)
    quieting(house, shop, lot)
    for _ in demo.search(house, shop):
        pass
    story = story_of(house, shop, lot)
    keeping(story)
    selling(story)
