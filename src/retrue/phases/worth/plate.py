"""What is stamped on a machine: typed once, beside its photograph."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Unpack

from retrue.kinds.library import Kind, PlateEntry
from retrue.records.facts import Plate
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class PlateLine:
    """One stamped value of a machine; ``doubt`` is a plain sentence where it looks odd."""

    entry: PlateEntry
    kept: Record[Plate] | None
    doubt: str = ""


def plate_sheet(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> list[PlateLine]:
    """All values that may be stamped on a machine, with those typed so far."""
    ...


def keep_plate(
    shop: RecordShop,
    lot: str,
    machine: str,
    entry: str,
    value: str,
    kinds: Mapping[str, Kind],
    *,
    picture: str | None = None,
    **hand: Unpack[Hand],
) -> PlateLine:
    """Keep one stamped value; an odd one is kept too, with a doubt, never refused.

    A weight also becomes the machine's mass, where nobody has said another.
    """
    ...
