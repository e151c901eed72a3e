"""Whose hand wrote a record, on what device, when that device says it was, under what id."""

from __future__ import annotations

from datetime import datetime
from typing import Required, TypedDict


class Hand(TypedDict, total=False):
    """The part of a record that is not the fact; passed on to the shop as it is.

    Attributes
    ----------
    by : str
        Who writes.
    device : str
        Which telephone or laptop.
    observed_at : datetime or None
        The device's claim, with its offset.
    id : str
        Made where the record is born, so that sending twice keeps once.
    """

    by: Required[str]
    device: str
    observed_at: datetime | None
    id: str
