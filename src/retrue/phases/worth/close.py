"""The end of looking: cost lines of one's own, the frozen number, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Literal, Unpack

from retrue.kinds.library import Kind
from retrue.records.facts import CostLine, Frozen, Outcome
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop


def overtype(
    shop: RecordShop,
    lot: str,
    line: str,
    amount: Decimal,
    reason: str,
    kinds: Mapping[str, Kind],
    *,
    machine: str | None = None,
    hours: float | None = None,
    days: float | None = None,
    **hand: Unpack[Hand],
) -> Record[CostLine]:
    """Put your own figure in place of a cost line, with the reason ("I know a winder").

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    line : str
        A cost (E11), a way of putting right (F15:local), or a job (J24).
    amount : Decimal
        In the lot's currency.
    reason : str
        Refused without one.
    kinds : mapping of str to Kind
        The library.
    machine : str or None
        None: the whole lot.
    hours, days : float or None
        Own hours and waiting days, if they are known too.

    Returns
    -------
    Record of CostLine

    Raises
    ------
    Unusable
        No reason, a negative figure, or no such line.
    """
    ...


def freeze(
    shop: RecordShop,
    lot: str,
    kinds: Mapping[str, Kind],
    *,
    reason: str = "",
    seed: int = 7,
    worlds: int = 20000,
    **hand: Unpack[Hand],
) -> Record[Frozen]:
    """Fix the number before the bidding; it never rises without a typed reason.

    Returns
    -------
    Record of Frozen
        Three numbers (hammer, all in, chance of being sorry), three dangers, the whole sheet.

    Raises
    ------
    NotYet
        It would rise and no reason was typed; or there is no price to freeze.
    """
    ...


def frozen(shop: RecordShop, lot: str) -> Record[Frozen] | None:
    """The number that stands, or None."""
    ...


def outcome(
    shop: RecordShop,
    lot: str,
    result: Literal["won", "lost", "walked"],
    *,
    amount: Decimal | None = None,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[Outcome]:
    """Won at, lost at, or walked away; a second word takes the place of the first."""
    ...
