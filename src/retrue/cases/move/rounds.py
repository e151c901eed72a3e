"""When a machine at rest is to be looked at next."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from retrue.records.moving import LaidUp


def round_due(laid: LaidUp, made: Iterable[date]) -> date | None:
    """The day of the next round.

    Parameters
    ----------
    laid : LaidUp
        Since when it rests, and how often somebody goes round.
    made : iterable of date
        Days of the rounds made, in any order; those before the rest do not count.

    Returns
    -------
    date or None
        None: the rest is over.

    Examples
    --------
    >>> laid = LaidUp(lot="l", machine="m", since_on="2026-10-01", every_days=30)
    >>> round_due(laid, []), round_due(laid, [date(2026, 10, 20)])
    (datetime.date(2026, 10, 31), datetime.date(2026, 11, 19))
    """
    if laid.until_on is not None:
        return None
    begun = date.fromisoformat(laid.since_on)
    return max((day for day in made if day >= begun), default=begun) + timedelta(
        days=laid.every_days
    )
