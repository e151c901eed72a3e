"""A judged range: the one shape of number that every part of the library shares."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Three:
    """A judged range: low, likely, high (about 5 %, mode, 95 %)."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """One judged number of fault-finding that the owner may overtype."""

    id: str  # day_worth, call_out_money, call_out_hours, call_out_days, hunch_right ...
    name: str
    value: float
    unit: str
    mark: str
