"""Options that several commands share, and what a LOT is: a file, or a name in the shop."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, TypeVar

import click

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say

C = TypeVar("C", bound=Callable[..., Any])


class Amount(click.ParamType[Decimal]):
    """An amount of money: one comma or one point is the decimal mark."""

    name = "amount"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Decimal:
        """Read it exactly."""
        if isinstance(value, Decimal):
            return value
        bare = str(value).strip().replace("'", "").replace("\u202f", "").replace(" ", "")
        if bare.count(",") == 1 and "." not in bare:
            bare = bare.replace(",", ".")
        try:
            amount = Decimal(bare)
        except InvalidOperation:
            self.fail(f"{value!r} is not an amount.", param, ctx)
        if not amount.is_finite():
            self.fail(f"{value!r} is not an amount.", param, ctx)
        return amount


AMOUNT = Amount()
_BELOW_ZERO = re.compile(r"-[0-9][0-9.,]*")


class AmountsFirst(click.Command):
    """A command with an amount among its arguments: one below zero is named, and no option."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the arguments."""
        below = next((one for one in args if _BELOW_ZERO.fullmatch(one)), None)
        try:
            return super().parse_args(ctx, args)
        except click.NoSuchOption:
            if below is None:
                raise
            what = say("is {amount}, below zero", amount=below)
            remedy = say("Leave the minus away: what happened says which way the money went.")
            raise Unusable(
                say("this cannot be kept as it stands"), remedy=remedy,
                problems=(Problem("amount", what, remedy),),
            ) from None  # fmt: skip


class Between(click.FloatRange):
    """A number within limits; one that is no number lies within none."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read it, and refuse what no limit stops."""
        read = float(super().convert(value, param, ctx))
        if math.isnan(read):
            self.fail(say("{value} is no number.", value=value), param, ctx)
        return read


def shop_option(command: C) -> C:
    """--shop: where the shop is kept."""
    return click.option(
        "--shop",
        metavar="PATH|URL",
        help="Where the shop is kept; else RETRUE_SHOP, else your data folder.",
    )(command)


def json_option(command: C) -> C:
    """--json: for programs."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print one JSON object and nothing else."
    )(command)


def sum_options(command: C) -> C:
    """--seed, --worlds: of the sum."""
    command = click.option(
        "--worlds",
        type=click.IntRange(100, 1_000_000),
        default=20000,
        show_default=True,
        help="In how many ways it may turn out.",
    )(command)
    return click.option(
        "--seed",
        type=click.IntRange(0, 2**63 - 1),
        default=7,
        show_default=True,
        help="Start of the chance; the same seed gives the same numbers.",
    )(command)


def is_file(lot: str) -> bool:
    """Whether a LOT names a file: it ends in .toml, or there is a file of that name."""
    return lot.lower().endswith(".toml") or Path(lot).is_file()


def content_of(path: str, remedy: str = "") -> bytes:
    """The bytes of a file; a refusal where it cannot be read."""
    try:
        return Path(path).read_bytes()
    except OSError as wrong:
        raise Unreadable(
            say("{path} cannot be read: {why}", path=path, why=_why_not(wrong)),
            remedy=remedy or say("Check the path; retrue lot list names the lots of the shop."),
        ) from wrong


def _why_not(wrong: OSError) -> str:
    """Why a file cannot be read, in the reader's language where it is a usual reason."""
    if isinstance(wrong, FileNotFoundError):
        return say("there is no such file")
    if isinstance(wrong, IsADirectoryError):
        return say("it is a folder")
    if isinstance(wrong, PermissionError):
        return say("this user may not read it")
    return str(wrong.strerror or wrong)


def file_word(name: str) -> str:
    """A name as a word that a file may be called by.

    Examples
    --------
    >>> file_word("Hall 3, left")
    'hall-3-left'
    """
    word = "".join(sign if sign.isalnum() else "-" for sign in name.lower())
    return "-".join(part for part in word.split("-") if part) or "lot"
