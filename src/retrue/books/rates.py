"""What another currency was worth: the rate typed with a line, else one kept near its day."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from retrue.base.currencies import Rounding, to_step

MOST_DAYS_OLD = 7  # a rate older than that is asked for again (judgement, editable)


@dataclass(frozen=True, slots=True)
class Rate:
    """What one unit was worth in the shop's currency, and of which day that is."""

    currency: str
    day: str  # ISO date
    rate: Decimal
    typed: bool = False  # with the line itself


class Rates:
    """Rates that were kept, by currency and day; the last of a day counts.

    Parameters
    ----------
    home : str
        The shop's currency: one unit of it is worth 1.
    kept : iterable of (currency, ISO date, rate)
        In the order they were kept.
    most_days_old : int
        How old a rate may be on the day it is used, in days.

    References
    ----------
    IAS 21, The Effects of Changes in Foreign Exchange Rates, 21 and 22: the rate of the day of
    the transaction, or one near it (from memory).

    Examples
    --------
    >>> rates = Rates("EUR", [("CHF", "2026-11-20", Decimal("1.07"))])
    >>> rates.on("CHF", "2026-11-25").rate
    Decimal('1.07')
    >>> rates.on("CHF", "2026-12-25") is None
    True
    """

    def __init__(
        self,
        home: str,
        kept: Iterable[tuple[str, str, Decimal]] = (),
        *,
        most_days_old: int = MOST_DAYS_OLD,
    ) -> None:
        self.home = home
        self.most_days_old = most_days_old
        by: dict[str, dict[str, Decimal]] = {}
        for currency, day, rate in kept:
            by.setdefault(currency, {})[day] = rate
        self._days: Mapping[str, Sequence[tuple[str, Decimal]]] = {
            currency: sorted(days.items()) for currency, days in by.items()
        }

    def on(
        self, currency: str, day: str, *, typed: Decimal | None = None, typed_on: str | None = None
    ) -> Rate | None:
        """The rate of a currency on a day, or None: it is missing.

        Parameters
        ----------
        currency : str
        day : str
            ISO date of the paper.
        typed : Decimal or None
            With the line itself: it stands before every other.
        typed_on : str or None
            ISO date that one is of.

        Returns
        -------
        Rate or None
            The newest kept on or before the day that is not too old.
        """
        if currency == self.home:
            return Rate(currency, day, Decimal(1))
        if typed is not None:
            return Rate(currency, typed_on or day, typed, typed=True)
        days = self._days.get(currency, ())
        at = bisect_right(days, day, key=lambda one: one[0])
        if at == 0:
            return None
        found, rate = days[at - 1]
        old = (date.fromisoformat(day) - date.fromisoformat(found)).days
        return Rate(currency, found, rate) if old <= self.most_days_old else None


def changed(amount: Decimal, rate: Decimal, home: str, rounding: Rounding = "half_even") -> Decimal:
    """An amount in the shop's currency, to its smallest coin.

    Parameters
    ----------
    amount : Decimal
        In another currency.
    rate : Decimal
        Shop's currency for one unit of it.
    home : str
        The shop's currency.
    rounding : str
        half_even or half_up.

    Returns
    -------
    Decimal
        In ``home``.

    References
    ----------
    IAS 21, 21: amount times the rate of the day (from memory).

    Examples
    --------
    >>> changed(Decimal("100.00"), Decimal("1.0725"), "EUR")
    Decimal('107.25')
    """
    return to_step(amount * rate, home, rounding)
