"""The visit: the looks that decide the price, on paper, and typing them in afterwards."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Unpack

from retrue.kinds.library import Check, Kind, Measure
from retrue.phases.worth.judge import Judged
from retrue.records.hand import Hand
from retrue.records.shop import RecordShop


@dataclass(frozen=True, slots=True)
class VisitLine:
    """One look of the pack, in walking order; ``number`` is its box on the paper."""

    number: int
    machine: str
    check: Check
    measures: tuple[Measure, ...]


@dataclass(frozen=True, slots=True)
class VisitPack:
    """What to look at, what to bring. ``code`` is eight characters that can be typed."""

    name: str
    code: str
    lot: str
    lines: tuple[VisitLine, ...]
    tools: tuple[str, ...]
    minutes: float
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitAnswer:
    """A box typed in: not_seen, seen, slight, severe, cant_tell, or a reading."""

    number: int
    answer: str = ""
    measure: str | None = None
    reading: float | None = None
    checked_instrument: bool = False
    units: int = 1
    text: str = ""


def visit_pack(
    shop: RecordShop, lot: str, kinds: Mapping[str, Kind], **hand: Unpack[Hand]
) -> VisitPack:
    """Choose the looks that decide the price, keep the list, and give it a code."""
    ...


def open_visit(shop: RecordShop, code: str, kinds: Mapping[str, Kind]) -> VisitPack:
    """The pack with that code; capitals and a dash do not matter. Unknown if there is none."""
    ...


def keep_visit(
    shop: RecordShop,
    code: str,
    answers: Sequence[VisitAnswer],
    kinds: Mapping[str, Kind],
    *,
    seed: int = 7,
    worlds: int = 20000,
    **hand: Unpack[Hand],
) -> Judged:
    """Type the pack in: boxes left empty were not looked at and say nothing.

    Grade 3 (saw it), 4 (measured), or 5 (measured with a checked instrument).
    """
    ...
