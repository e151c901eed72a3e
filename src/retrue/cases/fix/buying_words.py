"""What stands around a purchase list in words: cautions first, whom nobody is named for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from retrue.base.say import say
from retrue.cases.find.cautions import words
from retrue.cases.fix.buying_lines import BuyRow
from retrue.cases.fix.cautions import of_fault
from retrue.kinds.library import Kind

LIKELY = 0.5  # judgement: whom to ask is named for what is rather needed than not
OWN_HANDS = ("clean", "adjust", "repair")
"""Ways one works oneself: what they take is bought at the price of the table."""


def is_asked_for(line: str) -> bool:
    """Whether somebody is asked what a line costs, rather than its parts being bought.

    Parameters
    ----------
    line : str
        F15:local, J05, renew:belt.

    Returns
    -------
    bool

    Examples
    --------
    >>> is_asked_for("F15:local"), is_asked_for("F85:repair"), is_asked_for("J05")
    (True, False, False)
    """
    head, _, way = line.partition(":")
    return head[:1] == "F" and head[1:].isdigit() and way not in OWN_HANDS


def nobody(rows: Iterable[BuyRow]) -> Iterator[str]:
    """Lines nobody is named for, and what helps: said once, with how many and which.

    Parameters
    ----------
    rows : iterable of BuyRow

    Yields
    ------
    str

    Examples
    --------
    >>> list(nobody(()))
    []
    """
    open_rows = [
        row for row in rows
        if not row.part.offers and row.part.state in ("to_buy", "no_vendor") and row.chance > 0
    ]  # fmt: skip
    sure = [row for row in open_rows if row.chance >= LIKELY]
    ask = [row for row in sure if is_asked_for(row.part.line)]
    buy = [row for row in sure if not is_asked_for(row.part.line)]
    if ask:
        yield say(
            "Nobody is named for {count}. Ask two for each, and keep what they say: retrue fix "
            'quote "LINE who, how much, how long". They are: {lines}.',
            count=len(ask), lines=_short(ask),
        )  # fmt: skip
    if buy:
        yield say(
            "What {count} more take is bought for one's own hands, at about what the table says: "
            "{lines}.",
            count=len(buy), lines=_short(buy),
        )  # fmt: skip
    if more := len(open_rows) - len(sure):
        yield say("Nobody is named for {count} more that may not be needed.", count=more)


def _short(rows: Sequence[BuyRow]) -> str:
    """The lines of each machine."""
    named: dict[str, list[str]] = {}
    for row in rows:
        named.setdefault(row.machine_name, []).append(row.part.line)
    return "; ".join(" ".join(filter(None, (name, *lines))) for name, lines in named.items())


def cautions_of_list(rows: Iterable[tuple[Kind, BuyRow]]) -> tuple[str, ...]:
    """What is read before any figure of a purchase list: the cautions that name its faults.

    Parameters
    ----------
    rows : iterable of (Kind, BuyRow)

    Returns
    -------
    tuple of str
        Each once, with what it defers to.

    Examples
    --------
    >>> cautions_of_list(())
    ()
    """
    told: dict[str, None] = {}
    for kind, row in rows:
        fault = row.part.line.partition(":")[0]
        if fault in kind.faults:
            told |= dict.fromkeys(words(one) for one in of_fault(kind, fault))
    return tuple(told)
