"""What was seen is kept first; then the price answers, before and after, and the step is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Unpack

from retrue.base.refusals import Refusal
from retrue.cases.case import LotCase
from retrue.cases.pricing import price as price_case
from retrue.cases.sheet import MovedRow, PriceSheet
from retrue.cases.sheet_json import case_key, from_json, to_json
from retrue.kinds.library import Kind
from retrue.phases.worth.lots import case_of, view_lot
from retrue.records.facts import Finding, Moved, Withdrawn
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class Judged:
    """What was kept, and what it did to the price.

    Attributes
    ----------
    kept : tuple of Record
        The findings; they are kept whatever the price says.
    before, after : PriceSheet or None
        None where no price could be told; ``why`` says so.
    why : str
    """

    kept: tuple[Record[Finding], ...]
    before: PriceSheet | None
    after: PriceSheet | None
    why: str = ""

    @property
    def amounts(self) -> tuple[float | None, float | None]:
        """The hammer price not to go above, before and after."""
        pair = (self.before, self.after)
        return (
            pair[0].walk_away.amount if pair[0] else None,
            pair[1].walk_away.amount if pair[1] else None,
        )


def price(
    shop: RecordShop,
    lot: str,
    kinds: Mapping[str, Kind],
    *,
    seed: int = 7,
    worlds: int = 20000,
) -> PriceSheet:
    """The price sheet of a lot; remembered by the hash of all it depends on.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    seed, worlds : int
        Printed on the sheet.

    Returns
    -------
    PriceSheet
        ``moved`` holds what each finding did when it was kept.
    """
    ...


def keep_finding(
    shop: RecordShop,
    finding: Finding,
    kinds: Mapping[str, Kind],
    *,
    seed: int = 7,
    worlds: int = 20000,
    **hand: Unpack[Hand],
) -> Judged:
    """Keep one finding, then say what it did to the price.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    finding : Finding
        ``lot`` and ``machine`` as name or id.
    kinds : mapping of str to Kind
        The library.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who writes.

    Returns
    -------
    Judged
        The finding as kept, price before and after.

    Raises
    ------
    Unknown
        No such lot or machine, or the kind has no such check, history or fault.
    """
    ...


def keep_findings(
    shop: RecordShop,
    lot: str,
    findings: Sequence[Finding],
    kinds: Mapping[str, Kind],
    *,
    seed: int = 7,
    worlds: int = 20000,
    **hand: Unpack[Hand],
) -> Judged:
    """Keep several findings of one lot at once; with an ``id`` they become id, id.2, id.3 ..."""
    ...


def withdraw(
    shop: RecordShop,
    id: str,
    kinds: Mapping[str, Kind],
    *,
    reason: str = "",
    seed: int = 7,
    worlds: int = 20000,
    **hand: Unpack[Hand],
) -> Judged:
    """Take a finding back; it stays readable and counts no more. The price answers."""
    ...
