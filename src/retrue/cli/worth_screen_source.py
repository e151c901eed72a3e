"""A catalogue to work on: its file, and what is said of the sale, the shop and the needs."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar

import click

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import ENGLISH, say, speaking
from retrue.cases.lot_file import read_lot
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.reading import read_catalogue
from retrue.cases.screen.terms import About
from retrue.cli.house import House
from retrue.cli.options import AMOUNT, Between, content_of
from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.records.facts import Shop
from retrue.store.spreadsheet import as_csv

C = TypeVar("C", bound=Callable[..., Any])

ENDINGS = (".csv", ".xlsx", ".toml", ".txt", ".tsv")
SALES = ("fixed_price", "offer", "ascending", "sealed")
MOST_SHARE = 1.0  # of the hammer


class Pair(click.ParamType[tuple[str, str]]):
    """Two words with an equals sign between them."""

    name = "pair"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, str]:
        """Read it."""
        if isinstance(value, tuple):
            return value
        left, equals, right = str(value).partition("=")
        if not equals or not left.strip() or not right.strip():
            self.fail(say("{value} has no two sides with = between them.", value=value), param, ctx)
        return left.strip(), right.strip()


OPTIONS = (
    click.option(
        "--needs",
        "needs",
        type=click.Path(dir_okay=False, path_type=Path),
        metavar="LOT.toml",
        help="Shop, work to be done and what else would do, as in this lot file; else the shop's.",
    ),
    click.option(
        "--columns",
        "columns",
        type=Pair(),
        multiple=True,
        metavar="ROLE=HEADING",
        help="What a column is read as: asking=Startpreis. Repeat it.",
    ),
    click.option("--sale", type=click.Choice(SALES), help="How it is sold; else as it says."),
    click.option(
        "--premium",
        type=Between(0, MOST_SHARE),
        metavar="SHARE",
        help="Buyer's premium: 18 per cent is 0.18.",
    ),
    click.option(
        "--tax",
        type=Between(0, MOST_SHARE),
        metavar="SHARE",
        help="Tax that does not come back: 21 per cent is 0.21.",
    ),
    click.option("--closes", metavar="MOMENT", help="When: 2026-12-03T18:00+01:00."),
    click.option("--distance", type=Between(0, 20_000), metavar="KM", help="One way."),
    click.option(
        "--removal", type=Between(0, 1_000), metavar="DAYS", help="From hammer to out of there."
    ),
    click.option("--currency", metavar="CODE", help="Of amounts that name none."),
    click.option(
        "--rate",
        "rates",
        type=Pair(),
        multiple=True,
        metavar="CODE=NUMBER",
        help="Shop's money for one of another: CHF=1.04. Repeat it.",
    ),
    click.option("--decimal", type=click.Choice(("comma", "point")), help="Mark before decimals."),
    click.option(
        "--dates", type=click.Choice(("day", "month")), help="Which goes first in 03/11/2026."
    ),
)


def catalogue_options(command: C) -> C:
    """--needs, --columns, --sale and the other terms of a catalogue that is a file."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What was typed of a catalogue.

    Attributes
    ----------
    needs : Path or None
    columns, rates : tuple of (str, str)
    sale, closes, currency, decimal, dates : str or None
    premium, tax, distance, removal : float or None
    """

    needs: Path | None
    columns: tuple[tuple[str, str], ...]
    sale: Any
    premium: float | None
    tax: float | None
    closes: str | None
    distance: float | None
    removal: float | None
    currency: str | None
    rates: tuple[tuple[str, str], ...]
    decimal: Any
    dates: Any


def told_of(given: dict[str, Any]) -> Told:
    """Take what belongs to the catalogue out of what a command was given.

    Examples
    --------
    >>> given = dict.fromkeys(Told.__slots__) | {"seed": 7}
    >>> told_of(given).sale is None, given
    (True, {'seed': 7})
    """
    return Told(**{name: given.pop(name) for name in Told.__slots__})


def is_catalogue_file(catalogue: str) -> bool:
    """Whether a CATALOGUE names a file: by its ending, or because there is one.

    Examples
    --------
    >>> is_catalogue_file("sale.xlsx"), is_catalogue_file("spring sale")
    (True, False)
    """
    return catalogue.lower().endswith(ENDINGS) or Path(catalogue).is_file()


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A catalogue from a file.

    Attributes
    ----------
    listing : Listing
        In the reader's language.
    english : Listing
        The same, as it is worked on.
    kinds : mapping of str to Kind
        In English.
    currency : str
        Of the shop.
    """

    listing: Listing
    english: Listing
    kinds: Mapping[str, Kind]
    currency: str


def open_catalogue(house: House, path: str, shop: str | None, told: Told) -> Opened:
    """Read a catalogue that is a file.

    Raises
    ------
    Unreadable, Unusable
        It is no table; a column, a rate or a lot file cannot be used.
    """
    content = content_of(path, say("Check the path of the catalogue."))
    if not path.lower().endswith(".toml"):
        content = as_csv(content, path, merged=True)
    about, name = _about(house, shop, told), Path(path).name
    listing = read_catalogue(content, name, house.kinds(), about)
    with speaking(ENGLISH):
        kinds = house.kinds()
        english = read_catalogue(content, name, kinds, about)
    return Opened(listing=listing, english=english, kinds=kinds, currency=about.shop.currency)


def _about(house: House, shop: str | None, told: Told) -> About:
    mine, needs, alternatives = _bought_for(house, shop, told.needs)
    return About(
        shop=mine,
        year=house.clock().year,
        needs=needs,
        alternatives=alternatives,
        own=dict(told.columns),
        currency=None if told.currency is None else told.currency.upper(),
        rates=rates_of(told.rates),
        premium=told.premium,
        tax_rate=told.tax,
        tax_reclaimable=None if told.tax is None else False,
        tax_scheme=None,
        sale=told.sale,
        distance_km=told.distance,
        removal_days=told.removal,
        closes_at=_moment(told.closes),
        decimal=told.decimal,
        dates=told.dates,
    )


def _bought_for(house: House, shop: str | None, needs: Path | None) -> tuple[Shop, Any, Any]:
    """The shop, its needs, and what else would do: of a lot file, else of the shop that is kept."""
    if needs is not None:
        case = read_lot(content_of(str(needs)), str(needs), house.kinds())
        return case.shop, case.needs, case.alternatives
    if shop is None and not _is_there(house.where(None)[0]):
        return Shop(), (), ()
    with house.open_shop(shop) as opened:
        mine = worth.my_shop(opened)
        return (
            Shop() if mine is None else mine.fact,
            tuple(one.fact for one in worth.needs(opened)),
            tuple(one.fact for one in worth.alternatives(opened)),
        )


def _is_there(place: str) -> bool:
    """Whether a shop is kept there; looking into it would begin one."""
    return "://" in place or Path(place).exists()


def _moment(closes: str | None) -> str | None:
    """When it closes, as typed; Unusable where it is no moment with its offset."""
    with contextlib.suppress(ValueError):
        if closes is None or datetime.fromisoformat(closes).utcoffset() is not None:
            return closes
    what = say("{text} is no moment with its offset", text=closes)
    remedy = say("Give it as 2026-11-25T20:00+01:00.")
    raise Unusable(what, remedy=remedy, problems=(Problem("closes", what, remedy),))


def rates_of(pairs: Iterable[tuple[str, str]]) -> dict[str, Decimal]:
    """Rates as they were typed; Unusable where one is none."""
    return {code.upper(): _rate(code, number) for code, number in pairs}


def _rate(code: str, number: str) -> Decimal:
    what = say("{number} is no rate", number=number)
    remedy = say("Give the shop's money for one of it: CHF=1.04.")
    try:
        rate: Decimal = AMOUNT.convert(number, None, None)
    except click.BadParameter:
        rate = Decimal(0)
    if not re.fullmatch(r"[A-Za-z]{3}", code) or rate <= 0:
        problem = Problem("rate", what, remedy)
        raise Unusable(what, remedy=remedy, problems=(problem,))
    return rate
