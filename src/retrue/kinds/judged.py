"""A judged range: the one shape of number that every part of the library shares."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Three:
    """A judged range: low, likely, high (about 5 %, mode, 95 %)."""

    low: float
    likely: float
    high: float
