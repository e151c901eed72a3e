"""What lies behind one machine and is in no book, and its price: one place for every page. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from retrue.cases.settle.cost_lines import CostView, Range
from retrue.cases.settle.cost_rows import PRICES
from retrue.cases.settle.cost_said import behind_of
from retrue.cases.settle.lines import BookLine
from retrue.cases.settle.sale_kept import OF_PARTS


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """What counts of one machine beside its book; shop's currency.

    Attributes
    ----------
    behind : mapping of bucket to Range
        What stands for what lies behind and is not in the book, the price among it.
    price_left : float
        The price where it is not bought yet: still to come, with all that goes up with it.
    assumed : tuple of str
        Both in words.
    """

    behind: Mapping[str, Range] = field(default_factory=dict)
    price_left: float = 0.0
    assumed: tuple[str, ...] = ()


def laid_out(view: CostView) -> LaidOut:
    """What the cost of a machine takes for what is not in the book.

    Parameters
    ----------
    view : CostView
        Of the machine: the rate, the comparison and the closing read the same.

    Returns
    -------
    LaidOut
    """
    return LaidOut(
        behind={row.bucket: row.assumed for row in view.rows if row.assumed is not None},
        price_left=sum(
            row.still.mean for row in view.rows if row.bucket in PRICES and row.still is not None
        ),
        assumed=behind_of(view),
    )


def sold_on(lines: Iterable[BookLine], machine: str) -> str:
    """The day on which a machine was sold, by the rule of :func:`sale_kept.is_sale`.

    Parameters
    ----------
    lines : iterable of BookLine
    machine : str
        Key.

    Returns
    -------
    str
        ISO date; empty: it is not sold as a whole, or all the money was given back.

    Examples
    --------
    >>> sold_on((), "mill")
    ''
    """
    told = [*lines]
    back: dict[str, Decimal] = {}
    for line in told:
        if line.sort == "returned":
            back[line.of] = back.get(line.of, Decimal(0)) + line.amount
    days = [
        line.posted_on
        for line in told
        if line.sort == "sold"
        and line.machine == machine
        and line.bucket != OF_PARTS
        and not (line.id in back and back[line.id] >= line.amount)
    ]
    return max(days, default="")
